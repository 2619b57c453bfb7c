"""The set-up card: how high the strings should stand at the first fret and at the 12th, to be held against them.

One edge stands on the first fret, hollow as the board is round, and has a pocket for every course, as deep as the top
of the string should stand above the fret: a string that is too high holds the card up, over one that is too low light
shows. Along the other edge a pocket runs in from the side whose floor is a flight of steps: stood on the 12th fret
and slid under an outer string, it stops at that string's height.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.geometry.path import Arc, Line, Path, Segment, polyline
from jiggen.geometry.point import Point
from jiggen.layout.heights import share_at, string_lies
from jiggen.layout.model import FretLine, Layout
from jiggen.layout.places import aside
from jiggen.layout.radius import sagitta
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import Caption, caption
from jiggen.parts.marks import arrow, label
from jiggen.parts.model import Bench, Feature, Part, Role

NAME, TITLE = "set-up-card", "Set-up card"

_STEP, _RUN = 0.2, 4.5  # from step to step, and how long each is: a string's width and its number's
_LOWEST, _USUAL_LOWEST = 1.0, 1.6  # height of the first step: a thinner tongue breaks
_BESIDE_STRING = 0.8  # of a pocket
_ABOVE_STRING = 1.5  # of the stepped pocket
_LEAST_WIDTH = 84.0  # for the words
_GAP = 1.5
_MARGIN = 4.0
_ON_FRET_12, _ON_FRET_1 = "this edge on fret 12", "this edge on fret 1, strings in the pockets"


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    first = _first_fret(neck.layout)
    if first is None or neck.spec.frets.value < 12:
        return "it stands on frets 1 and 12"
    return "fret 1 does not lie under all strings" if None in first.crossings else ""


def setup_card(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part, the edge for fret 12 below; x runs along the first fret, zero at the centre line.

    Args:
        neck: That it is for; gauges, action and height at the nut are known.
        bench: Sets the lettering's height.
    """
    letters = bench.smallest_lettering_mm
    comb = _comb(neck)
    steps = _steps(neck)
    least = max(
        _RUN * len(steps) + text_width(_ON_FRET_12, letters) + 3.0 * _MARGIN,
        text_width(_ON_FRET_1, letters) + 2.0 * _MARGIN,
    )
    half = max(comb.half, _LEAST_WIDTH / 2.0, least / 2.0)
    thickest = max(neck.spec.gauges.value if neck.spec.gauges else (0.0,))
    ceiling = steps[-1] + thickest + _ABOVE_STRING
    stepped = _stepped_pocket(-half, steps, ceiling)
    numbers_top = ceiling + _GAP + 3.0 * letters
    probe = _caption(neck, -half + _MARGIN, 0.0, 2.0 * (half - _MARGIN), letters)
    words_top = numbers_top + _GAP - probe.low
    words = _caption(neck, -half + _MARGIN, words_top, 2.0 * (half - _MARGIN), letters)
    edge = words_top + 2.0 * letters + 4.0 * _GAP + comb.deepest
    pockets = comb.pockets(edge)
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(_outline(half, edge, comb, pockets, stepped),)),
            Feature(
                id="steps",
                role=Role.OPENING,
                paths=(stepped,),
                datum=Line(Point(-half, ceiling), Point(-half, steps[0])),
                cut_in="outline",
            ),
            *(pocket.feature() for pocket in pockets),
            *_step_numbers(-half, steps, ceiling, letters),
            *_edge_words(half, edge - comb.deepest, pockets, ceiling, letters),
            *words.features,
        ),
        tag_box=words.tag_box,
    )
    return (part,)


def _first_fret(layout: Layout) -> FretLine | None:
    return next((fret for fret in layout.frets if fret.number == 1), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pocket:
    """A pocket of the comb.

    Attributes:
        course: Over which it goes.
        corners: Round it from right to left: mouth, floor, floor, mouth.
    """

    course: int
    corners: tuple[Point, Point, Point, Point]

    def feature(self) -> Feature:
        """The pocket below the lower one of its mouth's two corners, where both walls are."""
        right, floor_right, floor_left, left = self.corners
        mouth = min(right.y, left.y)
        middle = (right.x + left.x) / 2.0
        run = (Point(right.x, mouth), floor_right, floor_left, Point(left.x, mouth))
        return Feature(
            id=f"pocket.{self.course}",
            role=Role.OPENING,
            paths=(polyline(run),),
            datum=Line(Point(middle, mouth), Point(middle, floor_left.y)),
            width_mm=right.x - left.x,
            cut_in="outline",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Comb:
    """The edge that stands on the first fret.

    Attributes:
        half: Half its width.
        radius: Of its hollow; None: it is straight.
        tops: Of each course: where its strings lie from and to, x, and how high their tops stand above the fret, at x.
    """

    half: float
    radius: float | None
    tops: tuple[tuple[int, tuple[tuple[float, float, float], ...]], ...]

    def sag(self, x: float) -> float:
        """How much lower the fret is at x than at the centre line."""
        return 0.0 if self.radius is None else sagitta(self.radius, 2.0 * abs(x))

    @property
    def deepest(self) -> float:
        """From the edge's ends to the floor of the deepest pocket."""
        return max(top for _, strings in self.tops for *_, top in strings) + self.sag(self.half)

    def place(self, x: float, edge: float) -> Point:
        """The place of the edge at x, when its middle is at y = `edge`."""
        return Point(x, edge + self.sag(x))

    def pockets(self, edge: float) -> tuple[_Pocket, ...]:
        """The pockets from right to left."""
        found: list[_Pocket] = []
        for course, strings in self.tops:
            left = min(x - gauge / 2.0 for x, gauge, _ in strings) - _BESIDE_STRING
            right = max(x + gauge / 2.0 for x, gauge, _ in strings) + _BESIDE_STRING
            floor = min(self.place(x, edge).y - top for x, _, top in strings)
            corners = (
                self.place(right, edge),
                Point(right, floor),
                Point(left, floor),
                self.place(left, edge),
            )
            found.append(_Pocket(course=course, corners=corners))
        return tuple(sorted(found, key=lambda pocket: -pocket.corners[0].x))

    def run(self, start: Point, end: Point, edge: float) -> Segment:
        """The piece of the edge between two of its places."""
        if self.radius is None:
            return Line(start, end)
        centre = Point(0.0, edge + self.radius)
        sweep = (end - centre).angle() - (start - centre).angle()
        return Arc(start, end, math.tan(sweep / 4.0))


def _comb(neck: Neck) -> _Comb:
    layout, spec = neck.layout, neck.spec
    fret = _first_fret(layout)
    if fret is None or spec.gauges is None:
        raise RuntimeError("a set-up card without a first fret or gauges")
    share = share_at(spec, 1)
    courses: dict[int, list[tuple[float, float, float]]] = {}
    for string, lie, place, gauge in zip(
        layout.strings, string_lies(spec), fret.crossings, spec.gauges.value, strict=True
    ):
        if place is None:
            raise RuntimeError("a set-up card for a partial first fret")
        x = aside(fret.line, place)
        courses.setdefault(string.course, []).append((x, gauge, lie.at(share) + gauge))
    half = max(abs(aside(fret.line, end)) for end in (fret.line.start, fret.line.end))
    radius = layout.radius.at(fret.distance) if layout.radius else None
    return _Comb(
        half=half, radius=radius, tops=tuple((course, tuple(each)) for course, each in courses.items())
    )


def _steps(neck: Neck) -> tuple[float, ...]:
    """Heights of the steps, which reach past the action on both sides."""
    setup = neck.spec.setup
    actions = [given.value for given in (setup.action, setup.action_bass) if given is not None]
    low = round(max(_LOWEST, min(_USUAL_LOWEST, min(actions) - _STEP)) / _STEP)
    high = math.ceil(max(actions) / _STEP) + 2
    return tuple(_STEP * number for number in range(low, high + 1))


def _stepped_pocket(left: float, steps: Sequence[float], ceiling: float) -> Path:
    """From the mouth's upper corner along ceiling, end and steps to its lower one."""
    end = left + _RUN * len(steps)
    corners = [Point(left, ceiling), Point(end, ceiling)]
    for number in range(len(steps), 0, -1):
        height, right = steps[number - 1], left + _RUN * number
        corners += [Point(right, height), Point(right - _RUN, height)]
    return polyline(corners)


def _outline(half: float, edge: float, comb: _Comb, pockets: Sequence[_Pocket], stepped: Path) -> Path:
    low_left, low_right = Point(-half, 0.0), Point(half, 0.0)
    top_right, top_left = comb.place(comb.half, edge), comb.place(-comb.half, edge)
    shoulder_right, shoulder_left = Point(half, top_right.y), Point(-half, top_left.y)
    segments: list[Segment] = [Line(low_left, low_right), Line(low_right, shoulder_right)]
    pen = shoulder_right
    if shoulder_right.x > top_right.x:
        segments.append(Line(pen, top_right))
        pen = top_right
    for pocket in pockets:
        segments += [comb.run(pen, pocket.corners[0], edge), *polyline(pocket.corners)]
        pen = pocket.corners[-1]
    segments.append(comb.run(pen, top_left, edge))
    if shoulder_left.x < top_left.x:
        segments.append(Line(top_left, shoulder_left))
    segments += [Line(segments[-1].end, stepped.start), *stepped, Line(stepped.end, low_left)]
    return Path(tuple(segments), closed=True)


def _step_numbers(left: float, steps: Sequence[float], ceiling: float, letters: float) -> Iterator[Feature]:
    for number, height in enumerate(steps, start=1):
        at = Point(left + _RUN * (number - 0.5), ceiling + _GAP)
        yield label(
            f"step.{number}",
            f"{height:.2f}",
            at,
            height=letters,
            anchor=Anchor.LEFT_MIDDLE,
            angle=math.pi / 2.0,
        )


def _edge_words(
    half: float, floor: float, pockets: Sequence[_Pocket], ceiling: float, letters: float
) -> Iterator[Feature]:
    """What each edge stands on, the upper one's words to be read when the card is turned over."""
    x = half - _MARGIN
    yield arrow("arrow.fret-12", Point(x, 4.0 * letters), Point(x, _GAP))
    yield label(
        "name.fret-12",
        _ON_FRET_12,
        Point(x - _GAP, max(_GAP, ceiling / 3.0)),
        height=letters,
        anchor=Anchor.RIGHT_BASELINE,
    )
    numbers_at, words_at = floor - _GAP, floor - 2.0 * _GAP - letters
    for pocket in pockets:
        middle = (pocket.corners[0].x + pocket.corners[-1].x) / 2.0
        yield label(
            f"number.{pocket.course}",
            str(pocket.course),
            Point(middle, numbers_at),
            height=letters,
            anchor=Anchor.CENTRE_BASELINE,
            angle=math.pi,
        )
    yield label(
        "name.fret-1",
        _ON_FRET_1,
        Point(0.0, words_at),
        height=letters,
        anchor=Anchor.CENTRE_BASELINE,
        angle=math.pi,
    )


def _caption(neck: Neck, left: float, top: float, width: float, letters: float) -> Caption:
    return caption(neck.spec, TITLE, _words(neck), left=left, top=top, width=width, letters=letters)


def _words(neck: Neck) -> tuple[str, ...]:
    spec, setup = neck.spec, neck.spec.setup
    action = setup.action.value if setup.action else 0.0
    bass = setup.action_bass.value if setup.action_bass else action
    lies, share = string_lies(spec), share_at(spec, 1)
    relief = f"relief {setup.relief.value:.2f} mm" if setup.relief else "relief not said"
    heights = (
        f"under the strings, mm · fret 12: treble {action:.2f}, bass {bass:.2f}"
        f" · fret 1: treble {lies[0].at(share):.2f}, bass {lies[-1].at(share):.2f} · {relief}"
    )
    lines = [
        heights,
        f"spread at nut {spec.spread_at_nut.value:.2f} · at bridge {spec.spread_at_bridge.value:.2f} mm",
    ]
    saddle = neck.setup.saddle
    if saddle is None:
        return (*lines, "saddle not compensated")
    places = " · ".join(
        f"{string.number}: {saddle.straight.setback_at(string.line.end.y):.2f}"
        for string in neck.layout.strings
    )
    return (*lines, f"saddle behind its line on paper, mm · {places}")
