"""The headstock: its outline, its tuners, and the way of each string from the nut to its post. Millimetres.

It lies in the layout's coordinates, so that x is negative, and is measured from the back of the nut. A head that leans
back is drawn in its own plane, as if it were in the neck's: at 15 degrees a string that runs on straight is then out by
less than 0.1 mm at its post.

Strings go to the posts on their own side of the neck, the outermost to the nearest, and pass the post on the side of
the centre line (common practice).

An outline that was brought along (`brought_head`) takes the place of the head's own sides.
"""

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise

from jiggen.design.given import known
from jiggen.design.instrument import HeadForm
from jiggen.design.quote import missing
from jiggen.errors import ConflictError, InputError, LimitError
from jiggen.geometry.path import Line, Path, rounded
from jiggen.geometry.point import Point, between
from jiggen.layout.board import crossing
from jiggen.layout.brought_head import check_on_head, inset_y, laid_head, straight_side
from jiggen.layout.head_shape import HeadShape, Tuner
from jiggen.layout.model import Layout, StringLine
from jiggen.layout.slotted_head import Slots

_TIP_RADIUS = 8.0  # of the corners at the tip
_SHOULDER_RADIUS = 12.0  # of the corners where the sides begin
_TURN_RADIUS = 60.0  # where a side that follows the tuners turns along the centre line
_BESIDE_STRING = 5.0  # head left beside a string on a side without tuners, at least


def lay_out_head(layout: Layout) -> HeadShape:
    """Returns the headstock of an instrument.

    Args:
        layout: Of an instrument whose head's length, tuners, their holes and places are known.

    Raises:
        ConflictError: If there is not one tuner for each string.
        InputError: If the width, the tuners' inset or a number of the slots is needed and missing.
        LimitError: If tuners or slots do not fit on the head.
    """
    return _Head(layout).shape()


class _Head:
    def __init__(self, layout: Layout) -> None:
        head = layout.spec.head
        self.layout, self.numbers = layout, head
        self.treble = 1.0 if layout.board_start.end.y > layout.board_start.start.y else -1.0
        self.nut = self._nut_back()
        middle = crossing(self.nut, Line(Point(0.0, 0.0), Point(1.0, 0.0))).x
        self.zero = middle
        self.tip = middle - known(head.length)
        self.straight = known(head.straight_pull)
        self.brought = (
            laid_head(head.outline.value, middle, left_handed=layout.spec.left_handed.value)
            if head.outline
            else None
        )

    def shape(self) -> HeadShape:
        self._check_count()
        if known(self.numbers.form) is HeadForm.SLOTTED:
            return self._slotted()
        tuners = tuple(self._tuners())
        if self.brought is not None:
            hole = known(self.numbers.tuner_hole)
            for each in tuners:
                check_on_head(self.brought, each.centre, each.run, string=each.string, hole=hole)
            return HeadShape(outline=self.brought, nut=self.nut, tip=self.tip, tuners=tuners)
        sides = {side: self._side(side, tuners) for side in ("bass", "treble")}
        return HeadShape(outline=self._outline(sides), nut=self.nut, tip=self.tip, tuners=tuners)

    def _slotted(self) -> HeadShape:
        sides = {side: self._given_side(side) for side in ("bass", "treble")}
        outline = self.brought or self._outline(sides)
        slots = Slots(self.layout, sides, nut=self.nut, treble=self.treble)
        return HeadShape(
            outline=outline,
            nut=self.nut,
            tip=self.tip,
            slots=slots.slots(outline),
            tuners=tuple(slots.tuners()),
        )

    def _nut_back(self) -> Line:
        """Where the nut's back is: as far behind its front as it is thick, square to it."""
        front = self.layout.board_start
        lean = abs((front.end - front.start).unit().y)
        back = Point(known(self.numbers.nut_thickness) / lean, 0.0)
        moved = Line(front.start - back, front.end - back)
        return Line(crossing(moved, self.layout.bass_edge), crossing(moved, self.layout.treble_edge))

    def _check_count(self) -> None:
        strings, tuners = self.layout.spec.string_count.value, known(self.numbers.tuners)
        if sum(tuners) != strings:
            raise ConflictError(
                where="head.tuners",
                got=f"{tuners[0]} on the bass side and {tuners[1]} on the treble side for {strings} strings",
                expected="one tuner for each string",
                mend="Change head.tuners",
            )

    def _tuners(self) -> Iterator[Tuner]:
        on_bass, on_treble = known(self.numbers.tuners)
        strings = self.layout.strings
        for side, own in (("bass", strings[::-1][:on_bass]), ("treble", strings[:on_treble])):
            for number, string in enumerate(own):
                x = self.zero - known(self.numbers.first_tuner) - number * known(self.numbers.tuner_spacing)
                yield self._pulled_straight(string, side, x) if self.straight else self._bent(string, side, x)

    def _outward(self, side: str) -> float:
        """The sign of y on a side."""
        return self.treble if side == "treble" else -self.treble

    def _winding_radius(self, string: StringLine) -> float:
        """From the middle of a post to that of its string."""
        return (known(self.numbers.post) + (string.gauge or 0.0)) / 2.0

    def _pulled_straight(self, string: StringLine, side: str, x: float) -> Tuner:
        """A post so placed that the string runs on along its own line and touches it."""
        start = crossing(self.nut, string.line)
        along = (string.line.start - string.line.end).unit()
        aside = along.left()
        if aside.y * self._outward(side) < 0.0:
            aside = -aside
        aside *= self._winding_radius(string)
        touches = start + along * ((x - aside.x - start.x) / along.x)
        return Tuner(
            string=string.number, side=side, centre=touches + aside, run=Line(start, touches), bend=0.0
        )

    def _bent(self, string: StringLine, side: str, x: float) -> Tuner:
        """A post at its inset from the head's side, and the tangent from the nut to it.

        Source: the tangent from a point to a circle leaves the line to its centre by the angle whose sine is the
        radius over the distance.
        """
        centre = Point(x, self._inset_y(side, x))
        start = crossing(self.nut, string.line)
        to_centre = centre - start
        lean = math.asin(self._winding_radius(string) / to_centre.length())
        reach = to_centre.length() * math.cos(lean)
        turn = lean * self._outward(
            side
        )  # the head lies toward −x: turning left brings the string nearer the middle
        touches = start + _turned(to_centre.unit(), turn) * reach
        own, run = string.line.start - string.line.end, touches - start
        bend = abs(math.atan2(own.cross(run), own.dot(run)))
        return Tuner(string=string.number, side=side, centre=centre, run=Line(start, touches), bend=bend)

    def _inset_y(self, side: str, x: float) -> float:
        if self.brought is not None:
            return inset_y(self.brought, self._inset(), x, self._outward(side))
        begin, end = self._given_side(side)
        lean = abs((end - begin).unit().x)
        inset = self._inset() / lean * self._outward(side)
        return begin.y + (end.y - begin.y) * (x - begin.x) / (end.x - begin.x) - inset

    def _given_side(self, side: str) -> tuple[Point, Point]:
        """A side by the widths given, from its shoulder to the tip; of an outline that was brought along, by its tuners."""
        if self.brought is not None:
            first = self.zero - known(self.numbers.first_tuner)
            tuners = known(self.numbers.tuners)
            reach = (max(tuners) - 1) * known(self.numbers.tuner_spacing)
            return straight_side(self.brought, (first, first - max(reach, 10.0)), self._outward(side))
        half = self._width() / 2.0 * self._outward(side)
        tip = self.numbers.width_at_tip
        half_at_tip = tip.value / 2.0 * self._outward(side) if tip else half
        return Point(self._shoulder(side), half), Point(self.tip, half_at_tip)

    def _shoulder(self, side: str) -> float:
        """The x where a side begins, measured from the nut's own end there, which on a fan is not the middle's."""
        corner = self.nut.start if side == "bass" else self.nut.end
        return corner.x - known(self.numbers.shoulder)

    def _inset(self) -> float:
        if self.numbers.tuner_inset is None:
            raise missing(self.layout.spec.design, "head.tuner_inset")
        return self.numbers.tuner_inset.value

    def _width(self) -> float:
        if self.numbers.width is None:
            raise InputError(
                where="head.width",
                got="nothing",
                expected="how wide the headstock is where its sides begin",
                mend='Add width = "74mm" to [head], or straight-pull = true for sides that follow the tuners',
            )
        return self.numbers.width.value

    def _side(self, side: str, tuners: tuple[Tuner, ...]) -> tuple[Point, ...]:
        """A side of the head from its shoulder to the tip."""
        own = [each for each in tuners if each.side == side]
        if not self.straight:
            return self._given_side(side)
        if not own:
            return self._bare_side(side, tuners)
        return self._side_along(side, own)

    def _side_along(self, side: str, own: list[Tuner]) -> tuple[Point, ...]:
        """A side at the inset from all its tuners, parallel to their row; beyond the last one along the centre line."""
        first, last = own[0].centre, own[-1].centre
        way = (last - first).unit() if len(own) > 1 else Point(-1.0, 0.0)
        out = way.left() if way.left().y * self._outward(side) > 0.0 else -way.left()
        farthest = max((each.centre - first).dot(out) for each in own)
        base = first + out * (farthest + self._inset())

        def at(x: float) -> Point:
            return Point(x, base.y + way.y / way.x * (x - base.x))

        begin, turn = at(self._shoulder(side)), at(last.x)
        return begin, turn, Point(self.tip, turn.y)

    def _bare_side(self, side: str, tuners: tuple[Tuner, ...]) -> tuple[Point, ...]:
        """A side without tuners: the other one moved across by the head's width.

        Raises:
            LimitError: If a string would run off it.
        """
        other = self._side("bass" if side == "treble" else "treble", tuners)
        across = Point(0.0, self._width() * self._outward(side))
        moved = tuple(point + across for point in other)
        for tuner in tuners:
            for end in (tuner.run.end, tuner.centre):
                y = _y_along(moved, end.x)
                if (y - end.y) * self._outward(side) < _BESIDE_STRING:
                    raise LimitError(
                        where="head.width",
                        got=f"{self._width():.2f} mm, which leaves {(y - end.y) * self._outward(side):.2f} mm"
                        f" beside string {tuner.string}",
                        expected=f"at least {_BESIDE_STRING:.1f} mm",
                        mend="Make the head wider",
                    )
        return moved

    def _outline(self, sides: Mapping[str, tuple[Point, ...]]) -> Path:
        """From the nut's bass end round the tip to its treble end."""
        bass, treble = sides["bass"], sides["treble"]
        corners = [self.nut.start, *bass, *reversed(treble), self.nut.end]
        radii = [0.0, *_radii(bass), *reversed(_radii(treble)), 0.0]
        if self.treble > 0.0:  # bass is at −y: that way round is clockwise
            corners, radii = corners[::-1], radii[::-1]
        try:
            return rounded(corners, radii)
        except ValueError as error:
            raise LimitError(
                where="head",
                got=f"a head {known(self.numbers.length):.2f} mm long whose corners do not fit",
                expected=f"sides with room for corners of {_SHOULDER_RADIUS:.0f} and {_TIP_RADIUS:.0f} mm",
                mend="Lengthen the head, widen it at the tip, or move its shoulder",
            ) from error


def _radii(side: tuple[Point, ...]) -> tuple[float, ...]:
    """Of the corners of a side, from its shoulder to the tip."""
    return (_SHOULDER_RADIUS, *[_TURN_RADIUS] * (len(side) - 2), _TIP_RADIUS)


def _turned(way: Point, angle: float) -> Point:
    return way * math.cos(angle) + way.left() * math.sin(angle)


def _y_along(points: tuple[Point, ...], x: float) -> float:
    """The y at some x of a run of points toward −x."""
    pieces = list(pairwise(points))
    one, other = next(((one, other) for one, other in pieces if other.x <= x), pieces[-1])
    return between(one, other, (x - one.x) / (other.x - one.x)).y
