"""Reads an outline from a file, whatever it is: the only place of this layer that opens one."""

import hashlib
import re
import stat
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import assert_never

from jiggen.errors import InputError, quoted
from jiggen.outlines.drawn import Drawing
from jiggen.outlines.model import Brought, Kind, Wish
from jiggen.outlines.settle import settle

#: Bytes that a file of each kind may have: outlines are some hundred times smaller.
LARGEST: dict[Kind, int] = {"svg": 20_000_000, "dxf": 6_000_000, "csv": 1_000_000}
_DXF = re.compile(rb"\s*(?:999[ \t]*\r?\n[^\n]*\n\s*)*0[ \t]*\r?\n[ \t]*SECTION\b")
_BINARY_DXF = b"AutoCAD Binary DXF"
#: What else a file may be, by how it starts.
_OTHERS = {
    b"\x1f\x8b": ("a compressed file", "Save it without compression"),
    b"PK\x03\x04": ("a zip archive", "Take the file out of it"),
    b"%PDF": ("a PDF", "Save the drawing as SVG or DXF"),
    b"%!PS": ("PostScript", "Save the drawing as SVG or DXF"),
    b"AC10": ("a DWG", "Save the drawing as DXF"),
    b"\x89PNG": ("a picture", "Trace it, and save the outline as SVG"),
    b"\xff\xd8\xff": ("a picture", "Trace it, and save the outline as SVG"),
    b"GIF8": ("a picture", "Trace it, and save the outline as SVG"),
}
#: Outlines kept in mind: body and head of one design and of another.
_KEPT = 4
_WHAT = "an SVG, a DXF, or a table of stations as comma-separated values"


def read_outline(file: Path, *, wish: Wish) -> Brought:
    """Reads an outline from a file and lays it along its centre line.

    Args:
        file: An SVG, a DXF or a table of stations as comma-separated values. What it is, its content says.
        wish: What the maker asks.

    Raises:
        JiggenError: If it cannot be opened, is none of these, is too large, or holds no outline, or several.
    """
    _check_wish(wish)
    return _understood(_content(file), file, wish)


@lru_cache(maxsize=_KEPT)
def _understood(content: bytes, file: Path, wish: Wish) -> Brought:
    """Returns the outline in what a file holds, the same again for the next design of a class that names it."""
    kind = _kind(content, file)
    if len(content) > LARGEST[kind]:
        raise InputError(
            where=str(file),
            got=f"{len(content)} bytes",
            expected=f"at most {LARGEST[kind]} for {kind.upper()}",
            mend="Save the outline alone",
        )
    drawing = _drawing(content, kind, file, wish)
    if file.suffix.lower() not in {f".{kind}", ".txt", ""}:
        named = f"the file is named {quoted(file.name)}, but holds {kind.upper()}, and was read as such"
        drawing = replace(drawing, took=(named, *drawing.took))
    return settle(drawing, wish, file=str(file), kind=kind, sha256=hashlib.sha256(content).hexdigest())


def _check_wish(wish: Wish) -> None:
    for name, value, least, most in (
        ("gap", wish.gap_mm, 0.0001, 5.0),
        ("tolerance", wish.tolerance_mm, 0.0005, 1.0),
        ("smooth", wish.smooth_mm, 0.0, 5.0),
    ):
        if not least <= value <= most:
            raise InputError(where=name, got=f"{value:g} mm", expected=f"{least:g} to {most:g} mm")


def _kind(content: bytes, file: Path) -> Kind:
    """Returns what a file is, by what is in it."""
    for start, (got, mend) in _OTHERS.items():
        if content.startswith(start):
            raise InputError(where=str(file), got=got, expected=_WHAT, mend=mend)
    if content.startswith(_BINARY_DXF) or _DXF.match(content[:10_000].removeprefix(b"\xef\xbb\xbf")):
        return "dxf"
    start = content[:1000].removeprefix(b"\xef\xbb\xbf").removeprefix(b"\xff\xfe").removeprefix(b"\xfe\xff")
    if start.replace(b"\0", b"").lstrip().startswith(b"<"):
        return "svg"
    suffix = file.suffix.lower()
    if not content.strip():
        raise InputError(where=str(file), got="an empty file", expected=_WHAT)
    if suffix in {".svg", ".dxf"} or b"\0" in content[:1000]:
        raise InputError(
            where=str(file),
            got=f"something that starts with {quoted(content[:20].decode('latin-1'))}",
            expected=_WHAT,
        )
    return "csv"


def _drawing(content: bytes, kind: Kind, file: Path, wish: Wish) -> Drawing:
    match kind:
        case "svg":
            from jiggen.outlines.read_svg import read_svg

            return read_svg(content, file=str(file), wish=wish)
        case "dxf":
            from jiggen.outlines.read_dxf import read_dxf

            return read_dxf(content, file=str(file), wish=wish)
        case "csv":
            from jiggen.outlines.read_csv import read_csv

            return read_csv(_text(content, file), file=str(file), wish=wish)
        case _:
            assert_never(kind)


def _text(content: bytes, file: Path) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(where=str(file), got="bytes that are no text in UTF-8", expected=_WHAT) from None


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
