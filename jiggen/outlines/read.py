"""Reads an outline from a file, whatever it is: the only place of this layer that opens one."""

import hashlib
import stat
from pathlib import Path

from jiggen.errors import InputError
from jiggen.outlines.drawn import Drawing
from jiggen.outlines.model import Brought, Kind, Wish
from jiggen.outlines.read_csv import read_csv
from jiggen.outlines.settle import settle

#: Bytes that a file of each kind may have: outlines are hundred times smaller.
LARGEST: dict[Kind, int] = {"csv": 1_000_000}


def read_outline(file: Path, *, wish: Wish) -> Brought:
    """Reads an outline from a file and lays it along its centre line.

    Args:
        file: An SVG, a DXF or a table of stations as comma-separated values. What it is, its content says.
        wish: What the maker asks.

    Raises:
        JiggenError: If it cannot be opened, is none of these, is too large, or holds no outline, or several.
    """
    content = _content(file)
    return settle(_drawing(content, file, wish), wish, file=str(file), kind="csv", sha256=_hash(content))


def _drawing(content: bytes, file: Path, wish: Wish) -> Drawing:
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(
            where=str(file), got="bytes that are no text in UTF-8", expected="a table of stations"
        ) from None
    return read_csv(text, file=str(file), wish=wish)


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _content(file: Path) -> bytes:
    """Returns the bytes of a plain file that is not too large."""

    def wrong(got: str, expected: str, mend: str = "") -> InputError:
        return InputError(where=str(file), got=got, expected=expected, mend=mend)

    what = "a file with an outline"
    largest = max(LARGEST.values())
    try:
        state = file.stat()
        if stat.S_ISDIR(state.st_mode):
            raise wrong("a folder", what)
        if not stat.S_ISREG(state.st_mode):
            raise wrong("a device or pipe", what)
        if state.st_size > largest:
            raise wrong(f"{state.st_size} bytes", f"at most {largest}")
        with file.open("rb") as stream:
            content = stream.read(largest + 1)
    except FileNotFoundError:
        raise wrong("no such file", what) from None
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        reason = getattr(error, "strerror", None) or str(error)
        raise wrong("a file that cannot be opened", what, f"The system says: {reason}.") from error
    if len(content) > largest:
        raise wrong("a larger file", f"at most {largest} bytes")
    return content
