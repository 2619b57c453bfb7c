"""A lock file that cannot go stale: the system lets go of it when its process ends, however it ends."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _lock(opened: int) -> None:
        try:
            msvcrt.locking(opened, msvcrt.LK_NBLCK, 1)
        except PermissionError as error:
            raise BlockingIOError(error.errno, error.strerror) from None

    def _release(path: Path, opened: int) -> None:
        os.close(opened)  # no open file can be removed, so another process may get in between
        try:
            path.unlink()
        except (PermissionError, FileNotFoundError):
            return
else:
    import fcntl

    def _lock(opened: int) -> None:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)

    def _release(path: Path, opened: int) -> None:
        path.unlink(missing_ok=True)
        os.close(opened)


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Holds a lock file, which is made for it and removed afterwards.

    Args:
        path: Of the lock file; one left behind by a process that was killed is no hindrance.

    Raises:
        BlockingIOError: If another process, or another thread, holds it.
    """
    opened = _open_locked(path)
    while not _is_still(path, opened):  # its last holder removed it while we waited at the door
        os.close(opened)
        opened = _open_locked(path)
    try:
        yield
    finally:
        _release(path, opened)


def _open_locked(path: Path) -> int:
    opened = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
    try:
        _lock(opened)
    except OSError:
        os.close(opened)
        raise
    return opened


def _is_still(path: Path, opened: int) -> bool:
    try:
        return os.path.samestat(path.stat(), os.fstat(opened))
    except FileNotFoundError:
        return False
