"""Sheets: parts laid on stock, ready for any writer. Millimetres, x to the right, y up, origin lower left.

Parts are laid as they will really lie. What is written is what the machine must be told to get them there: all of it
times the machine's scale, about the sheet's origin (step 4 of the model in `shop.compensate`).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from jiggen.design.spec import Spec
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Path, reverse
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import Similarity
from jiggen.geometry.stretch import stretched
from jiggen.parts.model import Feature, Role
from jiggen.sheets.leads import Way, with_lead
from jiggen.sheets.order import NOTHING, Before, cooled, in_turn, shortest_way
from jiggen.sheets.tabs import parted
from jiggen.shop.limits import Finding
from jiggen.shop.machine import Machine
from jiggen.shop.material import Material
from jiggen.shop.model import CutPart
from jiggen.shop.workshop import Workshop

#: Roles that are cut through.
CUT_THROUGH = frozenset({Role.EDGE, Role.OPENING})
#: A beam without width keeps so far from what it must not cut, in mm.
_LEAST_CLEAR = 0.01


@dataclass(frozen=True, slots=True)
class Within:
    """An opening in which another part lies.

    Attributes:
        part: Name of the part that the opening is in.
        feature: Id of the opening.
    """

    part: str
    feature: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """A part and the map from its own coordinates to the sheet's, where it really lies.

    Attributes:
        cut_part: The part.
        place: The map.
        within: The opening that it lies in; None for a part that lies in none.
    """

    cut_part: CutPart
    place: Similarity
    within: Within | None = None

    @property
    def written_shift(self) -> Point:
        """Where the part's origin lies in what is written."""
        tag, shift = self.cut_part.tag, self.place.shift
        return Point(shift.x * tag.machine_scale_x, shift.y * tag.machine_scale_y)

    def written(self, path: Path) -> Path:
        """Returns a path of the part as the machine must be told it."""
        tag = self.cut_part.tag
        return stretched(self.place.path(path), tag.machine_scale_x, tag.machine_scale_y)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One thing the machine does, in sheet coordinates: what writers write, in the order it is cut.

    Attributes:
        id: Unique on the sheet: `plan-template.fret.7`; a feature of several paths keeps one mark.
        part: Name of the part.
        feature: The feature it makes.
        operation: Name of the machine's operation.
        paths: Sheet coordinates, times the machine's scale.
        box: Bounds of all paths.
        single_pass: Whether it is a slot cut in one pass, whose path is open.
        tabs: Stretches between the paths of an edge that are left uncut.
        leads: Lead-ins, each the first piece of one of the paths, which else are closed.
    """

    id: str
    part: str
    feature: Feature
    operation: str
    paths: tuple[Path, ...]
    box: Box
    single_pass: bool = False
    tabs: tuple[Path, ...] = ()
    leads: tuple[Path, ...] = ()

    @property
    def start(self) -> Point:
        """Where the head sets in."""
        return self.paths[0].start

    @property
    def end(self) -> Point:
        """Where it leaves off."""
        return self.paths[-1].end

    def from_other_end(self) -> "Mark":
        """Returns the same mark, made the other way round; one with a lead-in stays as it is."""
        if self.leads:
            return self
        return replace(self, paths=tuple(path if path.closed else reverse(path) for path in self.paths[::-1]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One piece of stock and what is cut from it.

    Attributes:
        number: Counts from 1.
        width_mm: Along x.
        height_mm: Along y.
        placements: In the order of the parts.
        machine: Whose operations, colours and order apply.
        known: What has been found out about it; see `sheets.once`.
    """

    number: int
    width_mm: float
    height_mm: float
    placements: tuple[Placement, ...]
    machine: Machine
    _marks: tuple[Mark, ...] = field(
        init=False, repr=False, compare=False
    )  # laid out once, read by every writer
    known: dict[str, object] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        marks = _led_in(tuple(_marks_of(self.placements, self.machine)), self)
        object.__setattr__(self, "_marks", tuple(_in_order(marks, self.machine, _first(self.placements))))

    def marks(self, operation: str) -> Iterator[Mark]:
        """Yields what one operation does on this sheet, in the order in which the head goes least far."""
        return (mark for mark in self._marks if mark.operation == operation)

    def marks_of_part(self, name: str) -> Iterator[Mark]:
        """Yields what is done for one part, operation by operation."""
        return (mark for mark in self._marks if mark.part == name)


def _in_order(
    marks: Sequence[Mark], machine: Machine, first: Mapping[Within, frozenset[Within]]
) -> Iterator[Mark]:
    """Yields the marks operation by operation, each begun where the one before it ends, some from their other end."""
    at = ORIGIN
    for operation in machine.operations:
        mine = [mark for mark in marks if mark.operation == operation.name]
        way = shortest_way([(mark.start, mark.end) for mark in mine], at)
        before = _before(mine, first) if first else NOTHING
        way = in_turn(way, before)
        if machine.rest_mm is not None and operation.role in CUT_THROUGH:
            way = cooled(way, [mark.box for mark in mine], machine.rest_mm, before)
        for number, turned in way:
            mark = mine[number].from_other_end() if turned else mine[number]
            at = mark.end
            yield mark


def _before(marks: Sequence[Mark], first: Mapping[Within, frozenset[Within]]) -> Before:
    """Returns for the numbers of marks those that must be made before them, by what must be first."""
    numbers = {Within(mark.part, mark.feature.id): number for number, mark in enumerate(marks)}
    return {
        numbers[each]: frozenset(numbers[other] for other in others if other in numbers)
        for each, others in first.items()
        if each in numbers
    }


def _first(placements: Sequence[Placement]) -> dict[Within, frozenset[Within]]:
    """Returns for each opening that holds a part, and the edge round it, what must be cut before.

    The part that lies in an opening would drop or shift with the waste, so that its edge is cut before that opening;
    for the same reason the opening is cut before the edge of its own part.
    """
    edges = {
        placement.cut_part.part.name: Within(placement.cut_part.part.name, cut.feature.id)
        for placement in placements
        for cut in placement.cut_part.features
        if cut.feature.role is Role.EDGE
    }
    first: dict[Within, frozenset[Within]] = {}
    for placement in placements:
        held = placement.within
        if held is not None:
            inner, outer = edges[placement.cut_part.part.name], edges[held.part]
            first[held] = first.get(held, frozenset()) | {inner}
            first[outer] = first.get(outer, frozenset()) | {held}
    return first


def _marks_of(placements: Sequence[Placement], machine: Machine) -> Iterator[Mark]:
    """Yields the marks of parts; an opening that holds a part is cut among the edges, so that it is not cut first."""
    holding = {placement.within for placement in placements if placement.within is not None}
    for placement in placements:
        part = placement.cut_part.part.name
        for cut in placement.cut_part.features:
            runs, tabs = parted(cut, placement.cut_part, machine)
            paths = tuple(placement.written(path) for path in runs)
            holds = bool(holding) and Within(part, cut.feature.id) in holding
            yield Mark(
                id=f"{part}.{cut.feature.id}",
                part=part,
                feature=cut.feature,
                operation=machine.operation_for(Role.EDGE).name if holds else cut.operation,
                paths=paths,
                box=around(bounds(path) for path in paths),
                single_pass=cut.single_pass,
                tabs=tuple(placement.written(path) for path in tabs),
            )


def _led_in(marks: Sequence[Mark], sheet: Sheet) -> Sequence[Mark]:
    """Returns the marks of a sheet with lead-ins, where an operation asks for them and there is room."""
    machine, room = sheet.machine, Box.of_size(sheet.width_mm, sheet.height_mm)
    asked = {each.name: each.lead_in_mm for each in machine.operations if each.lead_in_mm is not None}
    if not asked:
        return marks
    beams = {each.cut_part.part.name: each.cut_part.tag.kerf_mm for each in sheet.placements}
    cut = {each.name for each in machine.operations if each.role in CUT_THROUGH}
    paths = [path for mark in marks if mark.operation in cut for path in mark.paths]
    led: list[Mark] = []
    leads: list[Path] = []  # of all marks so far, which the next ones keep clear of
    for mark in marks:
        lead_mm = asked.get(mark.operation)
        ways: list[Way] = []
        for path in mark.paths:
            way = Way(path=path, lead=None)
            if lead_mm is not None and path.closed:
                others = [*(other for other in paths if other is not path), *leads]
                clear = max(beams[mark.part], _LEAST_CLEAR)
                outside = mark.feature.role is Role.EDGE
                way = with_lead(path, lead_mm, outside=outside, others=others, clear_mm=clear, room=room)
            ways.append(way)
            leads += [way.lead] if way.lead else []
        own = tuple(way.lead for way in ways if way.lead is not None)
        led.append(replace(mark, paths=tuple(way.path for way in ways), leads=own))
    return led


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One design of a class whose parts lie together on sheets.

    Attributes:
        spec: Of the design.
        design_id: Short hash of it, which the tags of its parts carry.
    """

    spec: Spec
    design_id: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSet:
    """All sheets of one design, or of a class of them, on one machine, in one material: what a job writes.

    Attributes:
        spec: Of the design; of a class, what its sheets are called and how accurate they are to be.
        design_id: Short hash of it, or of the whole class.
        workshop: What the parts are made with.
        sheets: At least one.
        findings: What the limits had to say, none of them an error.
        members: The designs of a class; none when it is one design alone.
    """

    spec: Spec
    design_id: str
    workshop: Workshop
    sheets: tuple[Sheet, ...]
    findings: tuple[Finding, ...] = ()
    members: tuple[Member, ...] = ()

    @property
    def material(self) -> Material:
        """The sheet material."""
        return self.workshop.material

    @property
    def machine(self) -> Machine:
        """What works it."""
        return self.workshop.machine
