"""Lays parts in the openings of others, out of what would be waste. Millimetres.

To the search an opening is a sheet of its own shape, seen as its part lies unturned; whatever lies in it goes along when
that part is laid somewhere. A part in an opening may have parts in its own openings. None lies in a notch, which is cut
as part of the edge, in a slot of one pass, which leaves no waste, or where marks of the other part run.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.geometry.measure import area
from jiggen.geometry.nearness import touching
from jiggen.geometry.path import Path
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import Similarity
from jiggen.parts.model import Role
from jiggen.sheets.dense import Ground, Nester, Spot
from jiggen.sheets.profile import CHORDS, STEPS_PER_MM, Hollow, Profile, hollow_of, profiles_of
from jiggen.sheets.room import Laid, half_turned, straight_lies, way_of
from jiggen.sheets.tabs import is_held
from jiggen.shop.machine import Machine, Process
from jiggen.shop.model import CutPart

#: Width of a column in an opening, in mm: narrower than on a sheet, since there is so much less room.
_COLUMN = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """A part that lies in an opening of another.

    Attributes:
        host: Which part the opening is in.
        feature: Id of the opening.
        place: From the part's own coordinates to those of the host.
    """

    host: int
    feature: str
    place: Similarity


@dataclass(frozen=True, slots=True, kw_only=True)
class _Opening:
    host: int
    feature: str
    contour: Path
    room: tuple[float, float]  # width and height of all that may be used

    def may_hold(self, width: float, height: float, *, may_turn: bool) -> bool:
        along, across = self.room
        return (width <= along and height <= across) or (may_turn and height <= along and width <= across)


def lay_in_openings(cut_parts: Sequence[CutPart], machine: Machine) -> dict[int, Inside]:
    """Returns which parts can lie in openings of others, and where: as much of them, by their area, as was found.

    A part keeps the machine's gap to the opening's contour and to others in it. Where the one with the opening may be
    turned on the sheet, only such may lie in it as may be turned too. On a router only parts with tabs do, since a bit
    would else cut beside a loose part in loose waste.

    Args:
        cut_parts: All that is to be cut.
        machine: Gives gap and tabs.
    """
    gap = machine.gap_mm
    sizes = [_size(cut_part) for cut_part in cut_parts]
    if machine.process is Process.ROUTER:
        may_lie = [index for index, cut_part in enumerate(cut_parts) if is_held(cut_part, machine)]
    else:
        may_lie = list(range(len(cut_parts)))
    if not may_lie:
        return {}
    least = min(min(sizes[index]) for index in may_lie), min(max(sizes[index]) for index in may_lie)
    mates: dict[_Opening, list[int]] = {}
    for opening in _openings(cut_parts, gap, least):
        host_may_turn = cut_parts[opening.host].may_turn
        found = [
            index
            for index in may_lie
            if (cut_parts[index].may_turn or not host_may_turn)
            and opening.may_hold(*sizes[index], may_turn=cut_parts[index].may_turn)
        ]
        if found:
            mates[opening] = found
    for opening in _marked(cut_parts, list(mates)):
        del mates[opening]
    return _filled(cut_parts, mates, gap) if mates else {}


def _openings(cut_parts: Sequence[CutPart], gap: float, least: tuple[float, float]) -> Iterator[_Opening]:
    """Yields the openings in which there is room for something, the smallest first."""
    found: list[_Opening] = []
    for host, cut_part in enumerate(cut_parts):
        for cut in cut_part.features:
            if cut.feature.role is Role.OPENING and not cut.single_pass:
                for path in cut.paths:
                    room = path.box.width - 2.0 * gap, path.box.height - 2.0 * gap
                    if min(room) >= max(least[0], _COLUMN) and max(room) >= least[1]:
                        found.append(_Opening(host=host, feature=cut.feature.id, contour=path, room=room))
    yield from sorted(found, key=lambda each: round(abs(area(each.contour)), 3))


def _size(cut_part: CutPart) -> tuple[float, float]:
    box = next(cut.paths[0].box for cut in cut_part.features if cut.feature.role is Role.EDGE)
    return box.width, box.height


def _marked(cut_parts: Sequence[CutPart], openings: Sequence[_Opening]) -> Iterator[_Opening]:
    """Yields the openings into which lines or letters of their own part run, which would mark what lies there."""
    for host in dict.fromkeys(opening.host for opening in openings):
        mine = [opening for opening in openings if opening.host == host]
        marks = [
            cut.paths for cut in cut_parts[host].features if cut.feature.role in {Role.LINE, Role.LETTERING}
        ]
        found = {index for _, index in touching(marks, [opening.contour for opening in mine])}
        yield from (mine[index] for index in sorted(found))


def _filled(cut_parts: Sequence[CutPart], mates: dict[_Opening, list[int]], gap: float) -> dict[int, Inside]:
    """Returns what the openings hold after the best of a few orders in which the parts are tried."""
    profiles = {
        index: profiles_of(
            cut_parts[index],
            [lie for way in straight_lies(cut_parts[index]) for lie in (way, half_turned(way))],
            gap_mm=gap,
            column_mm=_COLUMN,
        )
        for index in sorted({index for found in mates.values() for index in found})
    }
    openings = list(mates)
    hollows = [
        hollow_of(each.contour, way_of(cut_parts[each.host]), gap_mm=gap, column_mm=_COLUMN)
        for each in openings
    ]
    numbers = list(profiles)
    nester = Nester(
        [
            _ground([profiles[index] if index in mates[each] else () for index in numbers], hollow)
            for each, hollow in zip(openings, hollows, strict=True)
        ]
    )
    packings = [nester.pack(order) for order in nester.first_orders()]
    size = [abs(area(_edge(cut_parts[index]))) for index in numbers]
    best = min(packings, key=lambda packing: round(sum(size[number] for number in packing.left), 3))
    return {
        numbers[spot.part]: Inside(
            host=opening.host,
            feature=opening.feature,
            place=_place(spot, hollow, gap).then(way_of(cut_parts[opening.host]).inverse()),
        )
        for opening, hollow, spots in zip(openings, hollows, best.sheets, strict=False)
        for spot in spots
    }


def _edge(cut_part: CutPart) -> Path:
    return next(cut.paths[0] for cut in cut_part.features if cut.feature.role is Role.EDGE)


def _ground(ways: Sequence[Sequence[Profile]], hollow: Hollow) -> Ground:
    """Returns an opening as a sheet, and of the parts only those that find room in it when it is empty."""
    columns, depth, shape = len(hollow.roof), int(hollow.floor.max()), (hollow.roof, hollow.floor)
    fitting = set(Nester([Ground(columns, depth, ways, shape)]).fitting())
    return Ground(columns, depth, [each if part in fitting else () for part, each in enumerate(ways)], shape)


def _place(spot: Spot, hollow: Hollow, gap: float) -> Similarity:
    """Returns where a part lies; its columns and steps begin half a gap before it does."""
    half = gap / 2.0 + CHORDS
    lie = spot.profile.lie
    top = hollow.box.high.y - spot.depth / STEPS_PER_MM - half
    low = Point(hollow.box.low.x + spot.column * _COLUMN + half, top - lie.box.height)
    return Laid(index=spot.part, lie=lie, low=low).place
