"""Where parts are laid, judged by shapely: none overlaps another, gaps and margins are kept, on 300 random jobs.

Source: shapely's (GEOS') distance and containment, on chords that keep within 0.002 mm of their arcs.
"""

import math
import random
from dataclasses import replace

import pytest
import shapely
from support.sheets import MACHINE, tag_for

from jiggen.design.making import Stock
from jiggen.geometry.box import Box
from jiggen.geometry.measure import to_polygon
from jiggen.geometry.path import Arc, Line, Path, circle, polyline, rectangle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.leftover import leftover
from jiggen.sheets.nest import nest
from jiggen.shop.model import CutFeature, CutPart

JOBS, FILES = 300, 10
CHORDS = 0.002
SLACK = 0.005  # mm: twice the chords, and rounding


def outline(chance: random.Random) -> Path:
    """A bar, a taper, a disc, a half ring or a shape with a waist, of any size that the bed takes."""
    length, width = chance.uniform(20.0, 420.0), chance.uniform(8.0, 110.0)
    match chance.randrange(6):
        case 0 | 1:
            return rectangle(Point(-5.0, 2.0), Point(length - 5.0, width + 2.0))
        case 2 | 3:
            end = width * chance.uniform(0.3, 0.95)
            corners = [(0.0, -width / 2.0), (length, -end / 2.0), (length, end / 2.0), (0.0, width / 2.0)]
            return polyline([Point(x, y) for x, y in corners], closed=True)
        case 4:
            return circle(Point(3.0, 4.0), width / 2.0)
        case _:
            outer, inner = Point(width, 0.0), Point(width * 0.6, 0.0)
            return Path(
                (
                    Arc(outer, -outer, 1.0),
                    Line(-outer, -inner),
                    Arc(-inner, inner, -1.0),
                    Line(inner, outer),
                ),
                closed=True,
            )


def part_of(number: int, path: Path, *, may_turn: bool, mirrored: bool) -> CutPart:
    name = f"part-{number}"
    edge = Feature(id="outline", role=Role.EDGE, paths=(path,))
    part = Part(name=name, title=name, features=(edge,), tag_box=Box(ORIGIN, ORIGIN))
    tag = tag_for(name)
    if mirrored:
        tag = replace(tag, mark_face="under")
    cut = CutFeature(feature=edge, operation="cut-edge", paths=(path,))
    return CutPart(part=part, tag=tag, features=(cut,), may_turn=may_turn)


def job(seed: int) -> tuple[list[CutPart], tuple[Stock, ...]]:
    chance = random.Random(seed)  # noqa: S311 - jobs, not secrets
    may_turn = chance.random() < 0.7
    parts = [
        part_of(number, outline(chance), may_turn=may_turn, mirrored=chance.random() < 0.3)
        for number in range(chance.randint(1, 12))
    ]
    stock = (
        Stock(length=450.0, width=240.0, count=2),
        Stock(length=300.0, width=150.0),
        Stock(length=600.0, width=300.0, count=14),
    )
    return parts, stock if chance.random() < 0.5 else ()


def gap_between(one: shapely.Polygon, other: shapely.Polygon) -> float:
    return -1.0 if one.intersects(other) else float(one.distance(other))


@pytest.mark.parametrize("file", range(FILES))
def test_parts_lie_clear_of_one_another_and_of_the_sheets_edges(file):
    for seed in range(file, JOBS, FILES):
        parts, stock = job(seed)
        sheets = nest(parts, MACHINE, stock)
        names = [placement.cut_part.part.name for sheet in sheets for placement in sheet.placements]
        assert sorted(names) == sorted(part.part.name for part in parts)
        for sheet in sheets:
            shapes = []
            for placement in sheet.placements:
                (path,) = placement.cut_part.features[0].paths
                shapes.append(to_polygon(placement.place.path(path), CHORDS))
                mirrored = placement.cut_part.tag.mirrored
                assert placement.place.mirrored is mirrored
                if not placement.cut_part.may_turn:
                    assert placement.place.sine == 0.0
            room = shapely.box(0.0, 0.0, sheet.width_mm, sheet.height_mm).buffer(
                SLACK - MACHINE.margin_mm, join_style="mitre"
            )
            assert all(room.covers(shape) for shape in shapes), seed
            for index, shape in enumerate(shapes):
                nearest = min((gap_between(shape, other) for other in shapes[:index]), default=math.inf)
                assert nearest > MACHINE.gap_mm - SLACK, seed
            _judge_leftover(sheet, shapes)


def _judge_leftover(sheet, shapes):
    rest = leftover(sheet)
    if rest is None:
        return
    box = shapely.box(rest.low.x, rest.low.y, rest.high.x, rest.high.y)
    assert shapely.box(0.0, 0.0, sheet.width_mm, sheet.height_mm).covers(box)
    assert all(gap_between(box, shape) > MACHINE.gap_mm - SLACK for shape in shapes)
    for trial in (box.buffer(5.0, join_style="mitre"),):  # it could not be larger on all sides
        assert not shapely.box(0.0, 0.0, sheet.width_mm, sheet.height_mm).covers(trial) or any(
            gap_between(trial, shape) < MACHINE.gap_mm + 20.0 for shape in shapes
        )


def test_a_gap_that_is_too_small_would_be_seen():
    parts, _ = job(7)
    (sheet, *_) = nest(parts, MACHINE)
    shapes = [
        to_polygon(each.place.path(each.cut_part.features[0].paths[0]), CHORDS) for each in sheet.placements
    ]
    assert len(shapes) > 1
    assert (
        min(gap_between(one, other) for one in shapes for other in shapes if one is not other)
        < MACHINE.gap_mm + 3.0
    )
