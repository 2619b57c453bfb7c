"""The halves of an outline on its centre line, and where they are widest and narrowest. Millimetres."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from jiggen.errors import LimitError
from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import length, locate
from jiggen.geometry.path import Arc, Line, Path, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.segment import fraction_round, point_on
from jiggen.geometry.similarity import MIRROR
from jiggen.geometry.stroke import stretch
from jiggen.outlines.model import Brought

#: Places nearer to one another than this are the same, mm.
_SAME = 1e-4
#: A hollow between two bouts, or a bout between two hollows, is told as such from this depth on, mm.
SHALLOWEST = 1.0
#: Sides that differ by no more than this are taken to be alike, mm.
ALIKE = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Bout:
    """A place where an outline is widest or narrowest; on each side, at positive y first.

    Attributes:
        name: `upper-bout`, `waist` or `lower-bout`.
        at: x, from the outline's neck end on its centre line.
        reach: Distance from the centre line, not negative.
    """

    name: str
    at: tuple[float, float]
    reach: tuple[float, float]

    @property
    def width(self) -> float:
        """Of both sides together."""
        return sum(self.reach)

    @property
    def x(self) -> float:
        """Halfway between its places on both sides."""
        return sum(self.at) / 2.0

    @property
    def shift(self) -> float:
        """How much larger its x is at positive y than at negative y."""
        return self.at[0] - self.at[1]

    @property
    def offset(self) -> float:
        """How far its middle lies toward positive y."""
        return (self.reach[0] - self.reach[1]) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Halves:
    """An outline taken apart where its centre line meets it.

    Attributes:
        high: From neck end to tail at positive y.
        low: The same at negative y.
    """

    high: Path
    low: Path

    @property
    def neck_end(self) -> float:
        """The x of its neck end on the centre line."""
        return self.high.start.x

    @property
    def length(self) -> float:
        """Along the centre line."""
        return self.high.end.x - self.high.start.x


def halves(outline: Path, *, where: str) -> Halves:
    """Returns the halves of an outline.

    Args:
        outline: Closed and counter-clockwise, its centre line along y = 0, its neck end at the lesser x.
        where: Its place, for errors.

    Raises:
        LimitError: If the centre line does not meet it in two places.
    """
    box = outline.box
    centre = Line(Point(box.low.x - 1.0, 0.0), Point(box.high.x + 1.0, 0.0))
    places: list[float] = []
    for x in sorted(each.at.x for piece in outline for each in meetings(piece, centre)):
        if not places or x - places[-1] > _SAME:
            places.append(x)
    if len(places) != 2:
        met = ", ".join(f"{each - box.low.x:.2f}" for each in places)
        raise LimitError(
            where=where,
            got=f"a centre line that meets the outline {len(places)} times, at {met} mm from its neck end"
            if places
            else "a centre line that does not meet the outline",
            expected="one that meets it twice: at the neck end and at the tail",
            mend='Say where the centre line lies: axis = "x at …mm" or "y at …mm"',
        )
    neck, tail = (Point(x, 0.0) for x in places)
    whole = length(outline)
    at_neck, at_tail = (min(locate(outline, end), whole) for end in (neck, tail))
    low = stretch(outline, at_neck, at_tail if at_tail > at_neck else at_tail + whole)
    high = reverse(stretch(outline, at_tail, at_neck if at_neck > at_tail else at_neck + whole))
    return Halves(high=_from_to(high, neck, tail), low=_from_to(low, neck, tail))


def _from_to(path: Path, start: Point, end: Point) -> Path:
    """The same path between the very points, a rounding away."""
    first, *rest = path.segments
    pieces = [replace(first, start=start), *rest]
    pieces[-1] = replace(pieces[-1], end=end)
    return Path(tuple(pieces))


def bouts(of: Halves) -> tuple[Bout, ...]:
    """Returns upper bout, waist and lower bout of an outline; the lower bout alone where a side has no waist.

    A place that another of the same side reaches beyond, such as the bottom of a cutaway beside its horn, is none.

    Args:
        of: Its halves.
    """
    sides = [_side(of.high), _side(MIRROR.path(of.low))]
    waisted = all(len(each) == 3 for each in sides)
    names = ("upper-bout", "waist", "lower-bout") if waisted else ("lower-bout",)
    high, low = (each if waisted else (max(each, key=lambda place: place.y),) for each in sides)
    return tuple(
        Bout(
            name=name,
            at=(one.x - of.neck_end, other.x - of.neck_end),
            reach=(one.y, other.y),
        )
        for name, one, other in zip(names, high, low, strict=True)
    )


def body_bouts(brought: Brought, *, where: str) -> tuple[Halves, tuple[Bout, ...], bool]:
    """Returns the halves of an outline, its bouts and waist, and whether both sides are taken to be alike.

    Args:
        brought: The outline.
        where: Its place, for errors.

    Raises:
        LimitError: If the centre line does not meet it in two places.
    """
    found = halves(brought.outline, where=where)
    places = bouts(found)
    if brought.asymmetry_mm > ALIKE:
        return found, places, False
    even = (
        Bout(name=each.name, at=(each.x, each.x), reach=(each.width / 2.0, each.width / 2.0))
        for each in places
    )
    return found, tuple(even), True


def reach_at(half: Path, x: float) -> float:
    """Returns how far from the centre line a half reaches at some x; 0 where it is not."""
    box = half.box
    across = Line(Point(x, box.low.y - 1.0), Point(x, box.high.y + 1.0))
    return max((abs(each.at.y) for piece in half for each in meetings(piece, across)), default=0.0)


def _side(half: Path) -> tuple[Point, ...]:
    """Upper bout, waist and lower bout of a half at positive y, or what it is widest at."""
    turns = _turns(half)
    shown = _without_hidden(half, _deep_only(turns))
    lows = shown[2:-2:2]
    if not lows:
        return (max(shown, key=lambda place: place.y),)
    waist = min(lows, key=lambda place: place.y)
    middle = shown.index(waist)
    upper = max(shown[:middle], key=lambda place: place.y)
    lower = max(shown[middle + 1 :], key=lambda place: place.y)
    return upper, waist, lower


def _turns(half: Path) -> list[Point]:
    """Its ends, and between them where y stops growing or falling, in turns: a high place first."""
    levels: list[tuple[float, float, float]] = []  # y, and where a stretch at that height begins and ends
    for place in _knots(half):
        if levels and abs(place.y - levels[-1][0]) <= _SAME:
            levels[-1] = (levels[-1][0], levels[-1][1], place.x)
        else:
            levels.append((place.y, place.x, place.x))
    found = [half.start]
    for before, here, after in zip(levels, levels[1:], levels[2:], strict=False):
        if (here[0] - before[0]) * (after[0] - here[0]) < 0.0:
            found.append(Point((here[1] + here[2]) / 2.0, here[0]))
    return [*found, half.end]


def _knots(half: Path) -> Iterator[Point]:
    """Places on a path between which y only grows or only falls."""
    yield half.start
    for piece in half:
        if isinstance(piece, Arc):
            centre, radius = piece.centre, piece.radius
            tops = (Point(centre.x, centre.y + radius), Point(centre.x, centre.y - radius))
            shares = sorted(each for each in (fraction_round(piece, top) for top in tops) if 0.0 < each < 1.0)
            yield from (point_on(piece, share) for share in shares)
        yield piece.end


def _deep_only(turns: Sequence[Point]) -> list[Point]:
    """The same without rises and falls of less than `SHALLOWEST`, the least first."""
    kept = list(turns)
    while len(kept) > 3:
        steps = [abs(other.y - one.y) for one, other in pairwise(kept)]
        least = min(range(len(steps)), key=lambda index: (steps[index], index))
        if steps[least] >= SHALLOWEST:
            break
        # at an end only the place beside it goes, with the next, so that ends stay and turns alternate
        begin = min(max(least, 1), len(kept) - 3)
        del kept[begin : begin + 2]
    return kept


def _without_hidden(half: Path, turns: Sequence[Point]) -> list[Point]:
    """The same without hollows and bouts that the half reaches beyond at the same x."""
    kept = list(turns)
    for hollow in turns[2:-2:2]:
        if hollow in kept and reach_at(half, hollow.x) > hollow.y + SHALLOWEST:
            at = kept.index(hollow)
            lesser = at - 1 if kept[at - 1].y < kept[at + 1].y else at
            del kept[lesser : lesser + 2]
    return kept
