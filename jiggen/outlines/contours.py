"""Closed runs become sound contours: one outline, and what lies within it. Millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from jiggen.errors import InputError, JiggenError, raise_all
from jiggen.geometry.cross import first_crossing
from jiggen.geometry.measure import area, flatten, length
from jiggen.geometry.path import COINCIDENT, Path
from jiggen.geometry.segment import length_of
from jiggen.outlines.chain import Chained, Loop, gaps_of
from jiggen.outlines.drawn import Drawing, Piece, reach
from jiggen.outlines.fitted import check_work, fit_contour
from jiggen.outlines.model import Wish

if TYPE_CHECKING:
    from shapely import Polygon

#: How far chords may lie off contours when it is told which lies within which.
_CHORDS = 0.01
MOST = 200  #: contours
_MINUTE = 0.001  #: mm: what is no larger is a dot
#: Pairs of pieces side by side, beyond which a contour is no outline.
MOST_NEAR = 5_000_000
_MOST_TOLD = 6
_MOST_GAPS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Contour:
    """A closed run and the path that stands for it.

    Attributes:
        pieces: As in the file.
        path: Lines and arcs along them.
        error_mm: How far both lie apart, at most.
        where: Its place in the file.
    """

    pieces: tuple[Piece, ...]
    path: Path
    error_mm: float
    where: str

    @property
    def size(self) -> str:
        """Its size in words."""
        return f"{self.path.box.width:.2f} × {self.path.box.height:.2f} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What closed runs amount to.

    Attributes:
        outer: The outline.
        inner: Contours within it, the largest first.
        ignored: Sentences about what was left out.
    """

    outer: Contour
    inner: tuple[Contour, ...]
    ignored: tuple[str, ...]


def find_contours(chained: Chained, drawing: Drawing, wish: Wish, *, file: str) -> Found:
    """Returns the outline and what lies within it.

    Args:
        chained: What the strokes make.
        drawing: What they are from.
        wish: What is asked.
        file: What to call it in errors.

    Raises:
        JiggenError: If there is no closed outline, or more than one, or one crosses itself or another.
    """
    if len(chained.loops) > MOST:
        raise InputError(
            where=file,
            got=f"{len(chained.loops)} contours",
            expected=f"at most {MOST}",
            mend="Take only the layer of the outline",
        )
    check_work([loop.pieces for loop in chained.loops], wish.tolerance_mm, where=file)
    ignored: list[str] = []
    contours: list[Contour] = []
    for loop in chained.loops:
        contour = _contour(loop, wish.tolerance_mm, drawing, file)
        if contour is None:
            ignored.append(f"a contour at {drawing.spot(loop.pieces[0].start)}: it bounds no area")
        else:
            contours.append(contour)
    contours.sort(key=lambda each: -abs(area(each.path)))
    contours = _without_page(_without_doubles(contours, wish.gap_mm, drawing, ignored), drawing, ignored)
    if not contours:
        raise _no_outline(chained, drawing, wish, file, ignored)
    _check_crossings(contours, drawing, file)
    shapes = _shapes(contours)
    outers: list[int] = []
    for index, shape in enumerate(shapes):
        if not any(
            contours[outer].path.box.contains(contours[index].path.box) and shapes[outer].contains(shape)
            for outer in outers
        ):
            outers.append(index)
    _check_overlaps(contours, shapes, drawing, file)
    if len(outers) > 1:
        raise _several([contours[index] for index in outers], drawing, file)
    ignored += _open_words(chained, contours[0], drawing, wish, file)
    return Found(outer=contours[0], inner=tuple(contours[1:]), ignored=tuple(ignored))


def _contour(loop: Loop, tolerance: float, drawing: Drawing, file: str) -> Contour | None:
    """Returns the contour along a run, None if it bounds nothing.

    Raises:
        InputError: If it bounds as much one way round as the other, or cannot be followed.
    """
    pieces = loop.pieces
    places = [place for piece in pieces for place in reach(piece)]
    if max(place.distance(places[0]) for place in places) <= _MINUTE:
        return None
    try:
        path, error = fit_contour(pieces, tolerance)
    except (ValueError, ZeroDivisionError) as fault:
        raise InputError(
            where=f"{file}, {loop.where}",
            got=f"a contour at {drawing.spot(places[0])} that cannot be followed ({fault})",
            expected="lines and curves that go on from one another",
            mend="Draw it anew there",
        ) from None
    contour = Contour(pieces=pieces, path=path, error_mm=error, where=loop.where)
    if abs(area(path)) <= COINCIDENT * length(path):
        if _covers(path) > COINCIDENT * length(path):
            _check_crossings([contour], drawing, file)
        return None
    return contour


def _covers(path: Path) -> float:
    """Returns the area of all that a path goes round, whichever way."""
    from shapely import LineString, polygonize, unary_union

    rings = unary_union(LineString([(point.x, point.y) for point in flatten(path, _CHORDS)]))
    return float(polygonize([rings]).area)


def _without_doubles(
    contours: Sequence[Contour], gap: float, drawing: Drawing, ignored: list[str]
) -> list[Contour]:
    """Returns contours without those that lie on another one."""
    kept: list[Contour] = []
    for contour in contours:
        double = next((each for each in reversed(kept) if _is_double(contour, each, gap)), None)
        if double is None:
            kept.append(contour)
        else:
            place = f"{drawing.spot(contour.path.start)} ({contour.where})"
            ignored.append(f"a contour of {contour.size} at {place}: it lies on another one ({double.where})")
    return kept


def _is_double(one: Contour, other: Contour, gap: float) -> bool:
    box, other_box = one.path.box, other.path.box
    return max(other_box.low.distance(box.low), other_box.high.distance(box.high)) <= gap and _lies_on(
        one.path, other.path, gap
    )


def _lies_on(one: Path, other: Path, gap: float) -> bool:
    from shapely import LineString, hausdorff_distance

    line, beside = (
        LineString([(point.x, point.y) for point in flatten(path, _CHORDS)]) for path in (one, other)
    )
    return bool(hausdorff_distance(line, beside) <= gap + 2.0 * _CHORDS)


def _without_page(contours: list[Contour], drawing: Drawing, ignored: list[str]) -> list[Contour]:
    """Returns contours without a rectangle that is the page itself, unless it is all there is."""
    page = drawing.page
    if page is None or len(contours) < 2:
        return contours
    first = contours[0]
    box = first.path.box
    if len(first.path) == 4 and max(box.low.distance(page.low), box.high.distance(page.high)) <= 0.1:
        ignored.append(f"a rectangle of {first.size} ({first.where}): it is the page")
        return contours[1:]
    return contours


def _check_crossings(contours: Sequence[Contour], drawing: Drawing, file: str) -> None:
    errors: list[JiggenError] = []
    for contour in contours:
        short = next((piece for piece in contour.path if length_of(piece) <= COINCIDENT), None)
        if len(contour.path) > 1000:
            _check_tangle(contour, drawing, file)
        crossing = short.start if short is not None else first_crossing(contour.path)
        if crossing is not None:
            errors.append(
                InputError(
                    where=f"{file}, {contour.where}",
                    got=f"a contour of {contour.size} that meets itself at {drawing.spot(crossing)}",
                    expected="one that does not cross, touch or retrace itself",
                    mend="Mend it there in the drawing",
                )
            )
        if len(errors) >= _MOST_TOLD:
            break
    raise_all(errors)


def _check_tangle(contour: Contour, drawing: Drawing, file: str) -> None:
    """Refuses what would take long to look through: pieces many of which lie beside many others."""
    boxes = [piece.box for piece in contour.path]
    is_wide = contour.path.box.width >= contour.path.box.height  # so goes the search for crossings
    along = [(box.low.x, box.high.x) if is_wide else (box.low.y, box.high.y) for box in boxes]
    if _side_by_side(along) > MOST_NEAR:
        raise InputError(
            where=f"{file}, {contour.where}",
            got=f"a tangle of {len(contour.path)} lines at {drawing.spot(contour.path.start)}",
            expected="an outline",
            mend="Take another layer, or simplify it in the drawing",
        )


def _side_by_side(spans: Sequence[tuple[float, float]]) -> int:
    """Returns how many pairs of spans overlap."""
    starts, ends = np.sort(np.array(spans).T)
    return int((np.searchsorted(starts, ends, side="right") - np.arange(1, len(ends) + 1)).sum())


def _shapes(contours: Sequence[Contour]) -> "list[Polygon]":
    from shapely import Polygon

    return [Polygon([(point.x, point.y) for point in flatten(each.path, _CHORDS)]) for each in contours]


def _check_overlaps(
    contours: Sequence[Contour], shapes: "Sequence[Polygon]", drawing: Drawing, file: str
) -> None:
    from shapely import STRtree, intersection

    tree = STRtree([shape.boundary for shape in shapes])
    pairs = tree.query([shape.boundary for shape in shapes], predicate="intersects")
    for one, other in zip(*pairs.tolist(), strict=True):
        if one < other:
            place = intersection(shapes[one].boundary, shapes[other].boundary).representative_point()
            at = type(contours[0].path.start)(place.x, place.y)
            raise InputError(
                where=f"{file}, {contours[other].where}",
                got=f"a contour of {contours[other].size} that meets one of {contours[one].size}"
                f" ({contours[one].where}) at {drawing.spot(at)}",
                expected="contours that lie apart or one within another",
                mend="Move them apart, join them in the drawing, or take only the layer of the outline",
            )


def _several(outers: Sequence[Contour], drawing: Drawing, file: str) -> InputError:
    told = [f"{each.size} at {drawing.spot(each.path.box.centre)} ({each.where})" for each in outers]
    more = len(told) - _MOST_TOLD
    listed = "; ".join(told[:_MOST_TOLD]) + (f"; and {more} more" if more > 0 else "")
    layers = ", ".join(drawing.layers[:12])
    return InputError(
        where=file,
        got=f"{len(outers)} contours side by side: {listed}",
        expected="one outline, and nothing but what lies within it",
        mend=f"Take one layer (there are {layers})" if layers else "Leave one of them in the drawing",
    )


def _no_outline(
    chained: Chained, drawing: Drawing, wish: Wish, file: str, ignored: Sequence[str]
) -> InputError:
    if not chained.open:
        return InputError(
            where=file,
            got="; ".join([*ignored, *drawing.ignored][:_MOST_TOLD]) or "nothing that is drawn",
            expected="a closed outline",
        )
    return InputError(
        where=file,
        got=f"no closed contour: {_gap_words(chained, drawing)}",
        expected="an outline whose lines meet",
        mend=f"Join the ends in the drawing, or allow larger gaps than {wish.gap_mm:g} mm",
    )


def _gap_words(chained: Chained, drawing: Drawing) -> str:
    found = gaps_of(chained.open, _MOST_GAPS)
    told = ", ".join(f"{gap.mm:.3f} mm at {drawing.spot(gap.at)}" for gap in found[:_MOST_GAPS])
    count = len(chained.open)
    lines = "a line" if count == 1 else f"{count} lines"
    return f"{lines} with loose ends, which lie apart by {told}"


def _open_words(chained: Chained, outline: Contour, drawing: Drawing, wish: Wish, file: str) -> list[str]:
    """Returns sentences about open runs.

    Raises:
        InputError: If one of them is larger than the outline, and so might be the outline itself.
    """
    words: list[str] = []
    box = outline.path.box
    for run in chained.open:
        path = [piece.start for piece in run.pieces] + [run.pieces[-1].end]
        width = max(point.x for point in path) - min(point.x for point in path)
        height = max(point.y for point in path) - min(point.y for point in path)
        if width * height > box.width * box.height and len(run.pieces) > 1:
            raise InputError(
                where=f"{file}, {run.where}",
                got=f"a line with loose ends round the largest closed contour, which is {outline.size}:"
                f" {_gap_words(chained, drawing)}",
                expected="an outline whose lines meet",
                mend=f"Join the ends in the drawing, or allow larger gaps than {wish.gap_mm:g} mm",
            )
        ends = f"from {drawing.spot(path[0])} to {drawing.spot(path[-1])}"
        words.append(f"an open line {ends} ({run.where}): it bounds nothing")
    more = len(words) - _MOST_TOLD
    return [*words[:_MOST_TOLD], f"{more} more open lines: they bound nothing"] if more > 0 else words
