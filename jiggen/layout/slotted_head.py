"""The slots and rollers of a slotted headstock. Millimetres.

Tuners lie on the head's sides, so that their rollers stand square to these and are spaced along them; slots are parallel
to the centre line. Strings go to the rollers on their own side, the outermost to the nearest, and wind where they run
straight on, or as near to that as the slot's walls let them (common practice).
"""

import math
from collections.abc import Iterator, Mapping
from typing import Any

from jiggen.design.given import known
from jiggen.design.model import Given
from jiggen.design.quote import missing
from jiggen.errors import LimitError
from jiggen.geometry.measure import distance_to, flatten
from jiggen.geometry.path import Line, Path, segment
from jiggen.geometry.point import Point, between
from jiggen.geometry.stroke import slot_along
from jiggen.layout.board import crossing
from jiggen.layout.head_shape import Slot, Tuner
from jiggen.layout.model import Layout, StringLine
from jiggen.units import format_mm

#: Wood left beside a slot, to the head's sides and tip and to the other slot, at least (common practice).
LEAST_WALL = 6.0
#: Between a string and the wall of its slot.
_BESIDE_STRING = 1.5
#: How far chords of a slot's round end may lie off it where walls are measured.
_CHORDS = 0.01


class Slots:
    """Lays out slots and rollers.

    Args:
        layout: Of an instrument whose head's tuners and their spacing are known.
        sides: Of the head, each from its shoulder to the tip, by `bass` and `treble`.
        nut: The back of the nut, bass edge to treble edge.
        treble: The sign of y on the treble side.
    """

    def __init__(
        self, layout: Layout, sides: Mapping[str, tuple[Point, Point]], *, nut: Line, treble: float
    ) -> None:
        self._layout, self._sides, self._nut = layout, sides, nut
        self._outward = {"bass": -treble, "treble": treble}
        self._zero = crossing(nut, Line(Point(0.0, 0.0), Point(1.0, 0.0))).x

    def slots(self, outline: Path) -> tuple[Slot, ...]:
        """Returns a slot for each side that has tuners.

        Args:
            outline: Of the head.

        Raises:
            InputError: If one of the slots' numbers is missing.
            LimitError: If too little wood is left beside them.
        """
        found = tuple(
            self._slot(side)
            for side, count in zip(("bass", "treble"), self._counts(), strict=True)
            if count > 0
        )
        for slot in found:
            wall = min(distance_to(outline, at) for at in flatten(slot.contour, _CHORDS))
            self._check_wall(wall, "the head's edge")
        if len(found) > 1:
            self._check_wall(2.0 * (self._needed("slot_from_centre") - self._width() / 2.0), "the other slot")
        return found

    def tuners(self) -> Iterator[Tuner]:
        """Yields the rollers, bass side first, on each side from the nut on.

        Raises:
            InputError: If one of the slots' numbers is missing.
            LimitError: If a roller would not lie between the slot's round ends, or a string that is to run straight on
                would not pass between its walls.
        """
        on_bass, on_treble = self._counts()
        strings = self._layout.strings
        for side, own in (("bass", strings[::-1][:on_bass]), ("treble", strings[:on_treble])):
            for number, string in enumerate(own):
                yield self._tuner(string, side, number)

    def _counts(self) -> tuple[int, ...]:
        return known(self._layout.spec.head.tuners)

    def _needed(self, name: str) -> float:
        given: Given[Any] | None = getattr(self._layout.spec.head, name)
        if given is None:
            raise missing(self._layout.spec.design, f"head.{name}")
        return float(given.value)

    def _width(self) -> float:
        return self._needed("slot_width")

    def _slot(self, side: str) -> Slot:
        y = self._needed("slot_from_centre") * self._outward[side]
        near = self._zero - self._needed("slot_from_nut") - self._width() / 2.0
        far = self._zero - self._needed("slot_from_nut") - self._needed("slot_length") + self._width() / 2.0
        if far >= near:
            raise LimitError(
                where="head.slot-length",
                got=format_mm(self._needed("slot_length")),
                expected=f"more than the slots are wide, {format_mm(self._width())}",
            )
        middle = Line(Point(near, y), Point(far, y))
        return Slot(
            side=side, middle=middle, contour=slot_along(segment(middle.start, middle.end), self._width())
        )

    def _check_wall(self, wall: float, other: str) -> None:
        if wall < LEAST_WALL - 1e-9:
            raise LimitError(
                where="head, slots",
                got=f"{format_mm(max(wall, 0.0))} of wood between a slot and {other}",
                expected=f"at least {format_mm(LEAST_WALL)}",
                mend="Make the head wider or longer, the slots narrower or shorter, or change head.slot-from-centre",
            )

    def _tuner(self, string: StringLine, side: str, number: int) -> Tuner:
        slot, axis = self._slot(side), self._axis(side, number)
        centre = crossing(slot.middle, axis)
        self._check_ends(string, slot, centre)
        start, own = crossing(self._nut, string.line), string.line
        straight = crossing(own, axis)
        middle, reach = slot.middle.start.y, self._width() / 2.0 - self._beside(string)
        if known(self._layout.spec.head.straight_pull):
            self._check_straight(string, abs(straight.y - middle), reach)
            touches = straight
        else:
            y = min(max(straight.y, middle - reach), middle + reach)
            touches = between(axis.start, axis.end, (y - axis.start.y) / (axis.end.y - axis.start.y))
        way, run = own.start - own.end, touches - start
        bend = abs(math.atan2(way.cross(run), way.dot(run)))
        return Tuner(
            string=string.number, side=side, centre=centre, run=Line(start, touches), bend=bend, axis=axis
        )

    def _beside(self, string: StringLine) -> float:
        return (string.gauge or 0.0) / 2.0 + _BESIDE_STRING

    def _axis(self, side: str, number: int) -> Line:
        """Square to the head's side, from there to the far wall of the slot."""
        head = self._layout.spec.head
        begin, end = self._sides[side]
        along = (end - begin).unit()
        first = between(begin, end, (self._zero - known(head.first_tuner) - begin.x) / (end.x - begin.x))
        start = first + along * (number * known(head.tuner_spacing))
        inward = along.left()
        if inward.y * self._outward[side] > 0.0:
            inward = -inward
        far_wall = (self._needed("slot_from_centre") - self._width() / 2.0) * self._outward[side]
        return Line(start, start + inward * ((far_wall - start.y) / inward.y))

    def _check_ends(self, string: StringLine, slot: Slot, centre: Point) -> None:
        reach = known(self._layout.spec.head.tuner_hole) / 2.0
        near, far = slot.middle.start.x, slot.middle.end.x
        if not far + reach <= centre.x <= near - reach:
            raise LimitError(
                where="head.slot-length",
                got=f"slots from {format_mm(self._zero - near - self._width() / 2.0)} to"
                f" {format_mm(self._zero - far + self._width() / 2.0)} from the nut, with the roller of string"
                f" {string.number} at {format_mm(self._zero - centre.x)}",
                expected="slots whose straight walls hold every roller's hole",
                mend="Change head.slot-from-nut or head.slot-length, or the tuners' places",
            )

    def _check_straight(self, string: StringLine, off: float, reach: float) -> None:
        if off > reach:
            raise LimitError(
                where="head.straight-pull",
                got=f"string {string.number}, which runs {format_mm(off)} beside the middle of its slot",
                expected=f"at most {format_mm(reach)}, for it to pass between the walls",
                mend="Change head.slot-from-centre, widen the slots, or leave straight-pull out",
            )
