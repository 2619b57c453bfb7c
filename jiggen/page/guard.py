"""Who may ask: the page itself, and nobody else on or off this machine.

A page of another site can reach 127.0.0.1 from the same browser, and a name that it owns can be made to lead there; so
the Host that is named must be ours to the letter, the Origin of whatever changes or computes anything too, and the
question must carry the token of this run, which no other page can read.
"""

import hmac
from collections.abc import Mapping
from dataclasses import dataclass

TOKEN_HEADER = "x-jiggen-token"  # noqa: S105 - a header's name
#: Bytes of a question; a design file has a few thousand.
LARGEST_QUESTION = 256_000

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self';"
    " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
#: A ticket has a style of its own and pictures in it, and needs no script.
MADE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox allow-modals; frame-ancestors 'none'"


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why somebody is turned away.

    Attributes:
        status: Of HTTP.
        text: For people.
    """

    status: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """The rules of one run.

    Attributes:
        port: On 127.0.0.1.
        token: Of this run.
    """

    port: int
    token: str

    @property
    def host(self) -> str:
        """The only name we answer to."""
        return f"127.0.0.1:{self.port}"

    def refuse(self, method: str, headers: Mapping[str, str]) -> Refusal | None:
        """Returns why a request is turned away, or None.

        Args:
            method: Of HTTP.
            headers: Small letters.
        """
        if headers.get("host") != self.host:
            return Refusal(421, "This page is for this machine only, under its own address.")
        origin = headers.get("origin")
        own = f"http://{self.host}"
        if origin is not None and origin != own:
            return Refusal(403, "Another page asked; only the page itself may.")
        if headers.get("sec-fetch-site", "none") not in {"none", "same-origin"} and method not in {
            "GET",
            "HEAD",
        }:
            return Refusal(403, "Another page asked; only the page itself may.")
        if method in {"GET", "HEAD"}:
            return None
        if method != "POST":
            return Refusal(405, "Only GET and POST.")
        if origin is None:
            return Refusal(403, "A question must say which page asks.")
        if not hmac.compare_digest(headers.get(TOKEN_HEADER, "").encode(), self.token.encode()):
            return Refusal(
                403, "This page is from another run. Close it and open the address that jiggen printed."
            )
        if headers.get("content-type", "").partition(";")[0].strip().lower() != "application/json":
            return Refusal(415, "A question must be JSON.")
        size = headers.get("content-length", "")
        if size.isdecimal() and int(size) > LARGEST_QUESTION:
            return TOO_LARGE
        return None


TOO_LARGE = Refusal(413, f"A question may have {LARGEST_QUESTION} bytes at most.")
