"""The set-up card: how high the strings should stand at the first fret and at the 12th, to be held against them.

One edge stands on the first fret and one on the 12th, each hollow as the board is round there, with a pocket for every
course as deep as the top of the string should stand above the fret: a string that is too high holds the card up, over
one that is too low light shows. Beside the pockets for the 12th fret one runs in from the side whose floor is a flight
of steps: stood on the fret and slid under an outer string, it stops at that string's height, whatever that is.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from jiggen.geometry.path import Arc, Line, Path, Segment, polyline
from jiggen.geometry.point import ORIGIN, Point
from jiggen.layout.heights import share_at, string_actions, string_lies
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
_LOWEST, _USUAL_LOWEST = (
    1.0,
    1.6,
)  # height of the first step; no less than half the sheet either: a thinner tongue breaks
_FEWEST_STEPS = 3
_WHOLE = 1e-6  # of a step; less than that is rounding
_BESIDE_STRING = 0.8  # of a pocket
_TOOTH = 1.5  # least width of what stands on the fret beyond the outer strings' pockets
_ABOVE_STRING = 1.5  # of the stepped pocket
_LEAST_WIDTH = 84.0  # for the words
_GAP = 1.5
_MARGIN = 4.0
_FRETS = (1, 12)


def _on_fret(number: int) -> str:
    return f"this edge on fret {number}, strings in the pockets"


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    for number in _FRETS:
        fret = _fret(neck.layout, number)
        if fret is None:
            return "it stands on frets 1 and 12"
        if None in fret.crossings:
            return f"fret {number} does not lie under all strings"
    return ""


def setup_card(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part, the edge for fret 12 below; x runs along the first fret, zero at the centre line.

    Args:
        neck: That it is for; gauges, action and height at the nut are known.
        bench: Sets the lettering's height.
    """
    letters = bench.smallest_lettering_mm
    first, octave = (_comb(neck, number) for number in _FRETS)
    steps = _steps(neck, bench.thickness_mm)
    flight = _RUN * len(steps)
    spelled = text_width(_on_fret(12), letters)
    right = max(octave.half, spelled / 2.0) + _MARGIN  # of the pockets for fret 12, from their middle
    half = max(first.half, max(_LEAST_WIDTH, flight + 2.0 * right, spelled + 2.0 * _MARGIN) / 2.0)
    thickest = max(neck.spec.gauges.value if neck.spec.gauges else (0.0,))
    ceiling = steps[-1] + thickest + _ABOVE_STRING
    stepped = _stepped_pocket(-half, steps, ceiling)
    octave = octave.moved(Point(flight / 2.0, octave.sag(octave.half)))
    words_low = max(ceiling + 3.0 * letters, octave.deepest + 2.0 * letters + 2.0 * _GAP) + _GAP
    probe = _caption(neck, -half + _MARGIN, 0.0, 2.0 * (half - _MARGIN), letters)
    words_top = words_low + _GAP - probe.low
    words = _caption(neck, -half + _MARGIN, words_top, 2.0 * (half - _MARGIN), letters)
    first = first.moved(Point(0.0, words_top + 2.0 * letters + 4.0 * _GAP + first.deepest))
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(_outline(half, first, octave, stepped),)),
            Feature(
                id="steps",
                role=Role.OPENING,
                paths=(stepped,),
                datum=Line(Point(-half, ceiling), Point(-half, steps[0])),
                cut_in="outline",
            ),
            *(pocket.feature() for comb in (first, octave) for pocket in comb.pockets()),
            *_step_numbers(-half, steps, ceiling, letters),
            *(feature for comb in (first, octave) for feature in _edge_words(comb, half, letters)),
            *words.features,
        ),
        tag_box=words.tag_box,
    )
    return (part,)


def _fret(layout: Layout, number: int) -> FretLine | None:
    return next((fret for fret in layout.frets if fret.number == number), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pocket:
    """A pocket of a comb.

    Attributes:
        id: Of its feature.
        course: Over which it goes.
        corners: Round it as the outline goes: mouth, floor, floor, mouth.
        inward: From the mouth to the floor: -1 down, 1 up.
    """

    id: str
    course: int
    corners: tuple[Point, Point, Point, Point]
    inward: float

    @property
    def middle(self) -> float:
        """Half way between its walls, x."""
        return (self.corners[0].x + self.corners[-1].x) / 2.0

    def feature(self) -> Feature:
        """The pocket from where both walls are, at the inner one of its mouth's two corners."""
        one, floor_one, floor_other, other = self.corners
        mouth = max(one.y * self.inward, other.y * self.inward) * self.inward
        run = (Point(one.x, mouth), floor_one, floor_other, Point(other.x, mouth))
        return Feature(
            id=self.id,
            role=Role.OPENING,
            paths=(polyline(run),),
            datum=Line(Point(self.middle, mouth), Point(self.middle, floor_one.y)),
            width_mm=abs(one.x - other.x),
            cut_in="outline",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Comb:
    """An edge that stands on a fret, its own x from the centre line along the fret.

    Both edges are seen from the same side of the fret when they stand on it, so that one is the other turned round.

    Attributes:
        fret: Number of the fret.
        half: Half its width.
        radius: Of its hollow; None: it is straight.
        tops: Of each course: where its strings lie, how thick they are, and how high their tops stand above the fret.
        middle: The place of its middle on the card.
    """

    fret: int
    half: float
    radius: float | None
    tops: tuple[tuple[int, tuple[tuple[float, float, float], ...]], ...]
    middle: Point = ORIGIN

    def moved(self, middle: Point) -> "_Comb":
        """The same with its middle elsewhere."""
        return replace(self, middle=middle)

    @property
    def inward(self) -> float:
        """Which way the card lies from the edge: -1 below it, 1 above it."""
        return -1.0 if self.fret == 1 else 1.0

    def sag(self, x: float) -> float:
        """How much lower the fret is at x than at the centre line."""
        return 0.0 if self.radius is None else sagitta(self.radius, 2.0 * abs(x))

    @property
    def deepest(self) -> float:
        """From the edge's ends to the floor of the deepest pocket."""
        return max(top for _, strings in self.tops for *_, top in strings) + self.sag(self.half)

    def place(self, x: float) -> Point:
        """The place of the edge at its own x."""
        return self.middle - Point(x, self.sag(x)) * self.inward

    @property
    def ends(self) -> tuple[Point, Point]:
        """Where it starts and ends, as the outline goes."""
        return self.place(self.half), self.place(-self.half)

    def pockets(self) -> tuple[_Pocket, ...]:
        """The pockets, as the outline goes."""
        found: list[_Pocket] = []
        for course, strings in self.tops:
            low = min(x - gauge / 2.0 for x, gauge, _ in strings) - _BESIDE_STRING
            high = max(x + gauge / 2.0 for x, gauge, _ in strings) + _BESIDE_STRING
            one, other = self.place(high), self.place(low)
            depths = [self.place(x).y * self.inward + top for x, _, top in strings]
            floor = max(depths) * self.inward
            corners = (one, Point(one.x, floor), Point(other.x, floor), other)
            id = f"pocket.{course}" if self.fret == 1 else f"fret-{self.fret}.pocket.{course}"
            found.append(_Pocket(id=id, course=course, corners=corners, inward=self.inward))
        return tuple(sorted(found, key=lambda pocket: pocket.corners[0].x * self.inward))

    def run(self, start: Point, end: Point) -> Segment:
        """The piece of the edge between two of its places."""
        if self.radius is None:
            return Line(start, end)
        centre = self.middle - Point(0.0, self.radius) * self.inward
        sweep = (end - centre).angle() - (start - centre).angle()
        return Arc(start, end, math.tan(sweep / 4.0))

    def segments(self) -> Iterator[Segment]:
        """All of the edge with its pockets, as the outline goes."""
        pen, last = self.ends
        for pocket in self.pockets():
            yield self.run(pen, pocket.corners[0])
            yield from polyline(pocket.corners)
            pen = pocket.corners[-1]
        yield self.run(pen, last)


def _comb(neck: Neck, number: int) -> _Comb:
    layout, spec = neck.layout, neck.spec
    fret = _fret(layout, number)
    if fret is None or spec.gauges is None or spec.setup.action is None:
        raise RuntimeError(f"a set-up card without fret {number}, gauges or action")
    if number == 1:
        share = share_at(spec, number)
        heights = tuple(lie.at(share) for lie in string_lies(spec))
    else:
        heights = string_actions(spec, treble=spec.setup.action.value)
    courses: dict[int, list[tuple[float, float, float]]] = {}
    for string, height, place, gauge in zip(
        layout.strings, heights, fret.crossings, spec.gauges.value, strict=True
    ):
        if place is None:
            raise RuntimeError(f"a set-up card for a partial fret {number}")
        x = aside(fret.line, place)
        courses.setdefault(string.course, []).append((x, gauge, height + gauge))
    ends = [abs(aside(fret.line, end)) for end in (fret.line.start, fret.line.end)]
    walls = [abs(x) + gauge / 2.0 + _BESIDE_STRING for each in courses.values() for x, gauge, _ in each]
    half = max(*ends, max(walls) + _TOOTH)
    radius = layout.radius.at(fret.distance) if layout.radius else None
    return _Comb(
        fret=number,
        half=half,
        radius=radius,
        tops=tuple((course, tuple(each)) for course, each in courses.items()),
    )


def _steps(neck: Neck, thickness_mm: float) -> tuple[float, ...]:
    """Heights of the steps, which reach past the action on both sides as far as the sheet can."""
    setup = neck.spec.setup
    actions = [given.value for given in (setup.action, setup.action_bass) if given is not None]
    wanted = min(_USUAL_LOWEST, min(actions) - _STEP)
    low = max(round(wanted / _STEP), math.ceil(max(_LOWEST, thickness_mm / 2.0) / _STEP - _WHOLE))
    high = max(math.ceil(max(actions) / _STEP) + 2, low + _FEWEST_STEPS - 1)
    return tuple(_STEP * number for number in range(low, high + 1))


def _stepped_pocket(left: float, steps: Sequence[float], ceiling: float) -> Path:
    """From the mouth's upper corner along ceiling, end and steps to its lower one."""
    end = left + _RUN * len(steps)
    corners = [Point(left, ceiling), Point(end, ceiling)]
    for number in range(len(steps), 0, -1):
        height, right = steps[number - 1], left + _RUN * number
        corners += [Point(right, height), Point(right - _RUN, height)]
    return polyline(corners)


def _outline(half: float, first: _Comb, octave: _Comb, stepped: Path) -> Path:
    segments: list[Segment] = []
    pen = Point(-half, 0.0)

    def go_on(place: Point) -> None:
        nonlocal pen
        if place.distance(pen) > _WHOLE:
            segments.append(Line(pen, place))
        pen = place

    for comb, corner in ((octave, Point(half, 0.0)), (first, Point(-half, first.ends[1].y))):
        start, end = comb.ends
        if comb is first:
            go_on(Point(half, start.y))
        go_on(start)
        segments.extend(comb.segments())
        pen = end
        go_on(corner)
    go_on(stepped.start)
    segments.extend(stepped)
    segments.append(Line(stepped.end, Point(-half, 0.0)))
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


def _edge_words(comb: _Comb, half: float, letters: float) -> Iterator[Feature]:
    """What an edge stands on, and the courses of its pockets, to be read when it stands."""
    angle = 0.0 if comb.inward > 0.0 else math.pi
    floor = comb.ends[0].y + comb.inward * comb.deepest
    key = "" if comb.fret == 1 else f"fret-{comb.fret}."
    side, edge = (half - _MARGIN / 2.0) * comb.inward, comb.ends[0].y
    tail = Point(side, floor + comb.inward * (3.0 * _GAP + letters))
    yield arrow(f"arrow.fret-{comb.fret}", tail, Point(side, edge + comb.inward * _GAP))
    for pocket in comb.pockets():
        yield label(
            f"{key}number.{pocket.course}",
            str(pocket.course),
            Point(pocket.middle, floor + comb.inward * _GAP),
            height=letters,
            anchor=Anchor.CENTRE_BASELINE,
            angle=angle,
        )
    yield label(
        f"name.fret-{comb.fret}",
        _on_fret(comb.fret),
        Point(comb.middle.x, floor + comb.inward * (2.0 * _GAP + letters)),
        height=letters,
        anchor=Anchor.CENTRE_BASELINE,
        angle=angle,
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
        "steps: stand the left end on fret 12 and slide it under an outer string until it stops",
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
