"""From what a file draws to one clean outline on its centre line. Millimetres."""

from typing import Literal

from jiggen.errors import InputError
from jiggen.geometry.measure import faults, is_counter_clockwise
from jiggen.geometry.path import Path, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import IDENTITY, Similarity, scaled, shifted
from jiggen.outlines.drawn import Drawing
from jiggen.outlines.fitted import fit_contour
from jiggen.outlines.mirror import asymmetry
from jiggen.outlines.model import Brought, Kind, Station, Wish

_HALF_TURN = Similarity(cosine=-1.0, sine=0.0)


def settle(drawing: Drawing, wish: Wish, *, file: str, kind: Kind, sha256: str) -> Brought:
    """Returns the outline that a drawing holds, laid along y = 0 with its neck end at x = 0.

    Args:
        drawing: What the file draws.
        wish: What is asked.
        file: What to call it in errors.
        kind: Of the file.
        sha256: Of its bytes.

    Raises:
        JiggenError: If it holds no sound outline.
    """
    took = list(drawing.took)
    pieces = drawing.strokes[0].pieces
    outline, error = fit_contour(pieces, wish.tolerance_mm)
    _check_sound(outline, file)
    lay = _HALF_TURN if wish.turned else IDENTITY
    if wish.turned:
        took.append("turned, so that the last station is the neck end")
    factor = _factor(outline, wish)
    if factor > 1.0:
        outline, error = fit_contour(pieces, wish.tolerance_mm / factor)
    if wish.scale_to is not None:
        factor = _factor(outline, wish)
        took.append(f"scaled by {factor:.6g} to {wish.scale_to.text}")
    outline = lay.then(scaled(factor)).path(outline)
    lay = lay.then(scaled(factor)).then(shifted(-outline.box.low.x, 0.0))
    outline = shifted(-outline.box.low.x, 0.0).path(outline)
    if not is_counter_clockwise(outline):
        outline = reverse(outline)
    return Brought(
        outline=outline,
        inner=(),
        length_mm=outline.box.width,
        width_mm=outline.box.height,
        asymmetry_mm=asymmetry(outline),
        fit_error_mm=error * factor,
        scale=factor,
        stations=_stations(drawing, lay, turned=wish.turned),
        took=tuple(took),
        ignored=drawing.ignored,
        kind=kind,
        sha256=sha256,
    )


def _factor(outline: Path, wish: Wish) -> float:
    if wish.scale_to is None:
        return 1.0
    has = outline.box.width if wish.scale_to.known == "length" else outline.box.height
    return wish.scale_to.mm / has


def _check_sound(outline: Path, file: str) -> None:
    if found := faults(outline):
        raise InputError(
            where=file,
            got=f"an outline that {found[0]} mm",
            expected="one that does not cross or touch itself",
        )


def _stations(drawing: Drawing, lay: Similarity, *, turned: bool) -> tuple[Station, ...]:
    found = []
    for each in drawing.readings:
        side: Literal[1, -1] = 1 if (each.side > 0) != turned else -1
        found.append(
            Station(
                x_mm=lay.point(Point(each.x, 0.0)).x,
                half_width_mm=each.half_width * lay.scale,
                side=side,
                residual_mm=each.residual * lay.scale,
            )
        )
    return tuple(sorted(found, key=lambda each: (-each.side, each.x_mm)))
