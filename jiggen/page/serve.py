"""Listens on this machine, on a free port, and says where."""

import errno
import secrets
import socket
from collections.abc import Callable, Mapping

from jiggen.errors import InputError

ADDRESS = "127.0.0.1"
#: Tried first, so that links to designs go on working from one run to the next; any free port when it is taken.
USUAL_PORT = 8714


def listen(port: int | None) -> socket.socket:
    """Returns a socket that listens on this machine only.

    Args:
        port: Which; None: the usual one, or a free one when that is taken.

    Raises:
        InputError: If the port that was named is taken.
    """
    for each in (USUAL_PORT, 0) if port is None else (port,):
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            listener.bind((ADDRESS, each))
            listener.listen(64)
        except OSError as error:
            listener.close()
            if error.errno not in {errno.EADDRINUSE, errno.EACCES}:
                raise
            continue
        return listener
    raise InputError(
        where="--port",
        got=str(port),
        expected="a port that nobody else listens on",
        mend="Leave it out: a free one is then taken.",
    )


def serve(listener: socket.socket, opened: Mapping[str, str], ready: Callable[[str], None]) -> None:
    """Serves the page until Ctrl-C.

    Args:
        listener: From `listen`.
        opened: The fields of `answers.Opened`.
        ready: Called once with the address to open, its token in the fragment.
    """
    import uvicorn

    from jiggen.page.app import page_app
    from jiggen.page.guard import Guard

    port = listener.getsockname()[1]
    token = secrets.token_urlsafe(24)
    app = page_app(Guard(port=port, token=token), opened)

    class Announcing(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            ready(f"http://{ADDRESS}:{port}/#token={token}")

    config = uvicorn.Config(
        app,
        log_level="error",
        access_log=False,
        server_header=False,
        date_header=False,
        ws="none",
        timeout_graceful_shutdown=1,
        proxy_headers=False,
        limit_concurrency=64,
    )
    with listener:
        try:
            Announcing(config).run(sockets=[listener])
        except KeyboardInterrupt:
            return  # the way to end it
