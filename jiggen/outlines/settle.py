"""From what a file draws to one clean outline on its centre line. Millimetres."""

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np

from jiggen.errors import InputError
from jiggen.geometry.measure import is_counter_clockwise
from jiggen.geometry.path import Line, Path, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import IDENTITY, Similarity, scaled, shifted, turned
from jiggen.geometry.trace import Floats
from jiggen.outlines.axis import POOR, CentreLine, find_axis
from jiggen.outlines.chain import Chained, chain
from jiggen.outlines.contours import Contour, Found, find_contours
from jiggen.outlines.drawn import Drawing, reach, with_length
from jiggen.outlines.fitted import check_work, fit_contour
from jiggen.outlines.measure import waists
from jiggen.outlines.mirror import asymmetry, followed
from jiggen.outlines.model import Brought, Kind, Station, Wish

#: Size of a drawing in either direction.
LARGEST_MM = 5_000.0
_HALF_TURN = Similarity(cosine=-1.0, sine=0.0)
#: Bouts whose widths differ by a smaller share than this are as wide; so is a middle as far from both ends.
_AS_WIDE, _IN_THE_MIDDLE = 0.005, 0.002
#: An end is cut straight across where a line's ends lie so near to it, mm.
_AT_END = 0.5


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
    _check_size(drawing, file)
    strokes = [stroke for each in drawing.strokes for stroke in with_length(each)]
    chained = chain(strokes, wish.gap_mm, file=file)
    found = find_contours(chained, drawing, wish, file=file)
    outer = found.outer
    took += _joined_words(chained, drawing)
    took.append(_contour_words(found))
    corners = followed(outer.pieces)
    lay = IDENTITY
    if not drawing.laid:
        line = find_axis(corners, wish.axis, y_down=drawing.y_down)
        size = max(outer.path.box.width, outer.path.box.height)
        took.append(_axis_words(line, wish, drawing, poor=line.miss_mm > POOR * size))
        lay = shifted(-line.on.x, -line.on.y).then(turned(-line.angle) if line.angle else IDENTITY)
        half, why = _neck_end(lay.path(outer.path))
        lay = lay.then(half)
        took.append(why)
    if wish.turned:
        lay = lay.then(_HALF_TURN)
        took.append("turned as asked: the neck end is the other one")
    if wish.scale_to is not None:
        close = wish.tolerance_mm / max(_factor(lay.path(outer.path), wish), 1.0)
        check_work([each.pieces for each in (outer, *found.inner)], close, where="scale-to")
    outline, factor, error = _sized(outer, lay, wish)
    if wish.scale_to is not None:
        took.append(f"scaled by {factor:.6g}, to {wish.scale_to.text}")
    lay = lay.then(scaled(factor))
    back = shifted(-outline.box.low.x, 0.0)
    lay = lay.then(back)
    inner = [_placed(each, lay, wish) for each in found.inner]
    return Brought(
        outline=_counter_clockwise(back.path(outline)),
        inner=tuple(path for path, _ in inner),
        length_mm=outline.box.width,
        width_mm=outline.box.height,
        asymmetry_mm=asymmetry(_moved(corners, lay)),
        fit_error_mm=max(error, *(miss for _, miss in inner)) if inner else error,
        scale=factor,
        stations=_stations(drawing, lay, turned=wish.turned),
        took=tuple(took),
        ignored=(*drawing.ignored, *_double_words(chained), *found.ignored),
        kind=kind,
        sha256=sha256,
    )


def _check_size(drawing: Drawing, file: str) -> None:
    """Refuses what no drawing of an instrument could be, before anything is reckoned with it."""
    places = [place for stroke in drawing.strokes for piece in stroke.pieces for place in reach(piece)]
    for axis in ("x", "y"):
        along = [getattr(place, axis) for place in places]
        size = max(along, default=0.0) - min(along, default=0.0)
        if size > LARGEST_MM:
            raise InputError(
                where=file,
                got=f"a drawing of {size / 1000.0:.1f} m",
                expected=f"at most {LARGEST_MM / 1000.0:.0f} m",
                mend="Check its units, or take one layer",
            )


def _sized(outer: Contour, lay: Similarity, wish: Wish) -> tuple[Path, float, float]:
    """Returns the outline as it is laid and scaled, the factor, and how far it lies off what it stands for."""
    path, error = lay.path(outer.path), outer.error_mm
    factor = _factor(path, wish)
    if factor > 1.0:
        fresh, error = fit_contour(outer.pieces, wish.tolerance_mm / factor)
        path = lay.path(fresh)
        factor = _factor(path, wish)
    return (scaled(factor).path(path) if factor != 1.0 else path), factor, error * factor


def _placed(contour: Contour, lay: Similarity, wish: Wish) -> tuple[Path, float]:
    path, error = contour.path, contour.error_mm
    if lay.scale > 1.0:
        path, error = fit_contour(contour.pieces, wish.tolerance_mm / lay.scale)
    return _counter_clockwise(lay.path(path)), error * lay.scale


def _counter_clockwise(path: Path) -> Path:
    return path if is_counter_clockwise(path) else reverse(path)


def _factor(outline: Path, wish: Wish) -> float:
    if wish.scale_to is None:
        return 1.0
    has = outline.box.width if wish.scale_to.known == "length" else outline.box.height
    factor = wish.scale_to.mm / has
    if not 1e-4 < factor < 1e4:
        raise InputError(
            where="scale-to",
            got=f"{wish.scale_to.text} for an outline of {has:.3f} mm",
            expected="a length that it might have",
            mend="Check the units of both",
        )
    return factor


def _neck_end(outline: Path) -> tuple[Similarity, str]:
    """Returns what brings the neck end to the left, and why it is that one."""
    at_left, at_right = (
        _straight_across(outline, outline.box.low.x),
        _straight_across(outline, outline.box.high.x),
    )
    if (at_left > 0.0) is not (at_right > 0.0):
        why = f"the neck end is the one that is cut straight across, {max(at_left, at_right):.2f} mm wide"
        return (IDENTITY if at_left else _HALF_TURN), why
    found = [each for each in waists(outline) if each.kind == "widest"]
    if len(found) > 1:
        first, last = found[0], found[-1]
        if abs(first.width_mm - last.width_mm) > _AS_WIDE * max(first.width_mm, last.width_mm):
            small, large = sorted((first, last), key=lambda each: each.width_mm)
            why = (
                f"the neck end is the one with the smaller bout, {small.width_mm:.2f} mm"
                f" against {large.width_mm:.2f} mm"
            )
            return (IDENTITY if first is small else _HALF_TURN), why
    box = outline.box
    middle = _middle(outline)
    lean = (middle - box.centre.x) / box.width
    if abs(lean) > _IN_THE_MIDDLE:
        why = "the neck end is the slimmer one: most of the area lies nearer to the other"
        return (IDENTITY if lean > 0.0 else _HALF_TURN), why
    return IDENTITY, "both ends are alike: the neck end is the one at the left or the bottom of the drawing"


def _straight_across(outline: Path, x: float) -> float:
    """Returns how long the straight line is that lies across the centre line at an end of the outline; 0 for none."""
    return max(
        (
            piece.start.distance(piece.end)
            for piece in outline
            if isinstance(piece, Line)
            and piece.start.y * piece.end.y < 0.0
            and abs(piece.start.x - x) < _AT_END
            and abs(piece.end.x - x) < _AT_END
        ),
        default=0.0,
    )


def _middle(outline: Path) -> float:
    """Returns x of the middle of the area.

    Source: Green's theorem, on chords.
    """
    corners = followed(tuple(outline))
    x, y = corners[:, 0], corners[:, 1] - corners[0, 1]
    cross = x[:-1] * y[1:] - x[1:] * y[:-1]
    return float(((x[:-1] + x[1:]) * cross).sum() / (3.0 * cross.sum()))


def _moved(corners: Floats, lay: Similarity) -> Floats:
    x, y = corners[:, 0], corners[:, 1]
    return np.column_stack(
        [lay.cosine * x - lay.sine * y + lay.shift.x, lay.sine * x + lay.cosine * y + lay.shift.y]
    )


def _axis_words(line: CentreLine, wish: Wish, drawing: Drawing, *, poor: bool) -> str:
    if wish.axis.at_mm is not None:
        return f"the centre line lies along {wish.axis.along} at {wish.axis.at_mm:g} mm, as asked"
    degrees = math.degrees(-line.angle if drawing.y_down else line.angle)
    upright = {0.0: "along x", 90.0: "along y", -90.0: "along y"}
    direction = upright.get(round(degrees, 6), f"{degrees:.3f}° from x")
    asked = ", as asked" if wish.axis.along else ""
    where = f"the centre line lies {direction}{asked}, through {drawing.spot(line.on)}"
    if poor and not wish.axis.along:
        return f"{where}: the sides differ much, so say where it lies (axis) if it is elsewhere"
    return f"{where}: where one side mirrors the other best"


def _contour_words(found: Found) -> str:
    outer = found.outer
    within = _counted(len(found.inner), "contour") if found.inner else "nothing"
    return (
        f"the outline ({outer.where}): {outer.size} as drawn, {_counted(len(outer.pieces), 'piece')};"
        f" {within} within it"
    )


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _joined_words(chained: Chained, drawing: Drawing) -> list[str]:
    if not chained.joined:
        return []
    widest = max(chained.joined, key=lambda gap: gap.mm)
    count = len(chained.joined)
    gaps = "a gap" if count == 1 else f"{count} gaps"
    return [f"{gaps} closed, the widest {widest.mm:.4f} mm at {drawing.spot(widest.at)}"]


def _double_words(chained: Chained) -> list[str]:
    doubles: Sequence[str] = chained.doubles
    if not doubles:
        return []
    if len(doubles) == 1:
        return [f"a line that lies on another one ({doubles[0]})"]
    return [f"{len(doubles)} lines that lie on others (the first: {doubles[0]})"]


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
