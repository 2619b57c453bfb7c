"""Drawings of outlines for tests."""

import io
from pathlib import Path

from ezdxf.document import Drawing

from jiggen.outlines.model import Brought, Wish
from jiggen.outlines.read import read_outline

PAGE = 'width="600mm" height="400mm" viewBox="0 0 600 400"'
#: A figure with two bouts, 17 degrees from upright, made up for tests.
FIGURE = (
    "M100,10 C120,10 130,30 115,45 C110,50 112,52 120,60 C140,80 120,95 100,95"
    " C80,95 60,80 80,60 C88,52 90,50 85,45 C70,30 80,10 100,10 z"
)


def svg(body: str, head: str = PAGE) -> str:
    """Returns an SVG with a body; a page of 600 × 400 mm unless another head is given."""
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f"<svg {names} {head}>{body}</svg>"


def of_svg(folder: Path, body: str, head: str = PAGE, **wish: object) -> Brought:
    """Returns the outline that an SVG holds."""
    file = folder / "drawing.svg"
    file.write_text(svg(body, head), encoding="utf-8")
    return read_outline(file, wish=Wish(**wish))


def of_dxf(folder: Path, document: Drawing, *, binary: bool = False, **wish: object) -> Brought:
    """Returns the outline that a document of ezdxf holds, once it has been written to a file."""
    file = folder / "drawing.dxf"
    file.write_bytes(dxf_bytes(document, binary=binary))
    return read_outline(file, wish=Wish(**wish))


def dxf_bytes(document: Drawing, *, binary: bool = False) -> bytes:
    """Returns a document of ezdxf as a file holds it."""
    if binary:
        stream = io.BytesIO()
        document.write(stream, fmt="bin")
        return stream.getvalue()
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding, "dxfreplace")
