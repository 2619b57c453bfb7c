"""Lays parts close together on sheets: from parts to whole numbers, through `dense`, and back. Millimetres."""

from collections.abc import Sequence

from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.sheets.dense import Ground, Nester, Spot
from jiggen.sheets.profile import CHORDS, LEAST_COLUMN, STEPS_PER_MM, profiles_of
from jiggen.sheets.room import Laid, Lie, fits, half_turned
from jiggen.shop.model import CutPart


def lay_close(
    cut_parts: Sequence[CutPart],
    lies: Sequence[Sequence[Lie]],
    rooms: Sequence[Box],
    gap_mm: float,
    steps: int,
) -> tuple[tuple[tuple[Laid, ...], ...], tuple[int, ...]]:
    """Returns what lies on each sheet, and the parts that found no room.

    Args:
        cut_parts: What shall lie there.
        lies: The ways in which each may lie; each may be turned by half besides.
        rooms: Of the sheets, in the order in which they are filled.
        gap_mm: Between parts.
        steps: How many comparisons may be spent.
    """
    grounds = {room: _ground(cut_parts, lies, room, gap_mm) for room in dict.fromkeys(rooms)}
    packing = Nester([grounds[room] for room in rooms]).best(steps)
    sheets = tuple(
        tuple(_laid(spot, room, grounds[room].columns, gap_mm) for spot in spots)
        for room, spots in zip(rooms, packing.sheets, strict=False)
    )
    return sheets, packing.left


def _ground(cut_parts: Sequence[CutPart], lies: Sequence[Sequence[Lie]], room: Box, gap_mm: float) -> Ground:
    """Returns a room in columns and steps. Round it there is half a gap more, which every part has round it too."""
    spare = gap_mm + 2.0 * CHORDS
    columns = max(int(round((room.width + spare) / LEAST_COLUMN, 6)), 1)
    ways = [
        profiles_of(
            cut_part,
            [lie for way in ways if fits(way.box, room) for lie in (way, half_turned(way))],
            gap_mm=gap_mm,
            column_mm=(room.width + spare) / columns,
        )
        for cut_part, ways in zip(cut_parts, lies, strict=True)
    ]
    return Ground(columns, int(round((room.height + spare) * STEPS_PER_MM, 3)), ways)


def _laid(spot: Spot, room: Box, columns: int, gap_mm: float) -> Laid:
    lie = spot.profile.lie
    column = (room.width + gap_mm + 2.0 * CHORDS) / columns
    top = room.high.y - spot.depth / STEPS_PER_MM
    low = Point(room.low.x + spot.column * column, top - lie.box.height)
    return Laid(index=spot.part, lie=lie, low=low)
