"""Outlines that were brought along, as a reader hands them on, and files to bring along."""

from pathlib import Path as File

from jiggen.design.model import Given
from jiggen.design.outline import Outline
from jiggen.geometry.path import Path
from jiggen.geometry.similarity import shifted
from jiggen.outlines.model import Brought, Wish

#: A body 480 mm long, 340 mm wide, drawn upright with its neck end up; the lower bout may lie farther out on one side.
_FIGURE = (
    "M170 0 C110 0 45 30 45 96 C45 140 65 160 65 192 C65 240 0 280 0 353 C0 430 80 480 170 480"
    " C260 480 {wide} 430 {wide} 353 C{wide} 280 275 240 275 192 C275 160 295 140 295 96 C295 30 230 0 170 0 Z"
)
_HEAD = "M23 170 L23 160 C23 148 9 150 9 138 L15 8 Q16 0 24 0 L68 0 Q76 0 77 8 L83 138 C83 150 69 148 69 160 L69 170 Z"


def svg(data: str, *, width: float = 400.0, height: float = 500.0) -> str:
    """An SVG in mm of one path."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}mm" height="{height:g}mm"'
        f' viewBox="0 0 {width:g} {height:g}"><path fill="none" stroke="black" d="{data}"/></svg>\n'
    )


def figure(wide: float = 340.0) -> str:
    """A body with a waist; both sides are alike as long as it is 340 mm wide."""
    return svg(_FIGURE.format(wide=f"{wide:g}"))


def head() -> str:
    """A headstock 170 mm long, 46 mm wide at the nut."""
    return svg(_HEAD, width=92.0, height=170.0)


def put_files(folder: File) -> None:
    """Writes the files that the examples of keys name."""
    (folder / "body.svg").write_text(figure(), encoding="utf-8")
    (folder / "head.svg").write_text(head(), encoding="utf-8")


def brought(
    outline: Path, *, inner: tuple[Path, ...] = (), asymmetry: float = 0.0, sha256: str = "0" * 64
) -> Brought:
    """An outline as a reader hands it on.

    Args:
        outline: Closed and counter-clockwise, its centre line along y = 0.
        inner: Within it, in the same place.
        asymmetry: By which the sides differ.
        sha256: Of the file.
    """
    box = outline.box
    move = shifted(-box.low.x, 0.0)
    return Brought(
        outline=move.path(outline),
        inner=tuple(move.path(each) for each in inner),
        length_mm=box.width,
        width_mm=box.height,
        asymmetry_mm=asymmetry,
        fit_error_mm=0.0,
        scale=1.0,
        stations=(),
        took=("one closed path",),
        ignored=(),
        kind="svg",
        sha256=sha256,
    )


def as_given(found: Brought, *, inner: bool = False, file: str = "folder/wren.svg") -> Given[Outline]:
    """The same as a design has it."""
    return Given(Outline(file=file, wish=Wish(), inner=inner, brought=found), text=file)
