"""Parts in openings of others, judged by shapely: wholly within, the gap kept to all cuts, on 150 random jobs.

Source: shapely's (GEOS') distance and containment, on chords that keep within 0.002 mm of their arcs.
"""

import math
import random
from dataclasses import replace
from itertools import combinations

import pytest
import shapely
from support.sheets import MACHINE, tag_for

from jiggen.design.making import Stock
from jiggen.geometry.box import Box
from jiggen.geometry.measure import to_polygon
from jiggen.geometry.path import Arc, Line, Path, circle, polyline, rectangle
from jiggen.geometry.point import ORIGIN, Point, polar
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.check import check_sheet_room
from jiggen.sheets.model import Placement, Sheet
from jiggen.sheets.nest import nest
from jiggen.shop.model import CutFeature, CutPart

JOBS, FILES = 150, 10
CHORDS = 0.002
SLACK = 0.005  # mm: twice the chords, and rounding


def part_of(name: str, outline: Path, openings: list[Path], *, may_turn: bool, mirrored: bool) -> CutPart:
    features = (
        Feature(id="outline", role=Role.EDGE, paths=(outline,)),
        *(
            Feature(id=f"opening.{number}", role=Role.OPENING, paths=(path,))
            for number, path in enumerate(openings, start=1)
        ),
    )
    tag = tag_for(name)
    return CutPart(
        part=Part(name=name, title=name, features=features, tag_box=Box(ORIGIN, ORIGIN)),
        tag=replace(tag, mark_face="under") if mirrored else tag,
        features=tuple(
            CutFeature(feature=each, operation=f"cut-{each.role.value}", paths=each.paths)
            for each in features
        ),
        may_turn=may_turn,
    )


def opening(chance: random.Random, middle: Point, size: float) -> Path:
    """A window, a disc, an angle, half a ring or a star, in a square of a size about a point."""
    half, x, y = size / 2.0, middle.x, middle.y
    match chance.randrange(5):
        case 0:
            wide, high = half * chance.uniform(0.5, 1.0), half * chance.uniform(0.5, 1.0)
            return rectangle(Point(x - wide, y - high), Point(x + wide, y + high))
        case 1:
            return circle(middle, half)
        case 2:
            arm = size * chance.uniform(0.35, 0.5)
            corners = [(0, 0), (size, 0), (size, arm), (arm, arm), (arm, size), (0, size)]
            turned = [(px - half, py - half) for px, py in corners]
            for _ in range(chance.randrange(4)):
                turned = [(-py, px) for px, py in turned]
            return polyline([Point(x + px, y + py) for px, py in turned], closed=True)
        case 3:
            inner = half * chance.uniform(0.3, 0.45)
            right, near = middle + Point(half, 0.0), middle + Point(inner, 0.0)
            left, far = middle - Point(half, 0.0), middle - Point(inner, 0.0)
            return Path(
                (Arc(right, left, 1.0), Line(left, far), Arc(far, near, -1.0), Line(near, right)),
                closed=True,
            )
        case _:
            count = chance.randint(5, 9)
            return polyline(
                [
                    middle + polar(half * chance.uniform(0.55, 1.0), math.tau * number / count)
                    for number in range(count)
                ],
                closed=True,
            )


def job(seed: int) -> list[CutPart]:
    """Plates with openings, plates of which fit into these, and many small parts."""
    chance = random.Random(seed)  # noqa: S311 - jobs, not secrets
    may_turn = chance.random() < 0.7

    def part(name: str, outline: Path, *openings: Path) -> CutPart:
        return part_of(name, outline, list(openings), may_turn=may_turn, mirrored=chance.random() < 0.3)

    parts: list[CutPart] = []
    for number in range(chance.randint(1, 3)):
        count, size = chance.randint(1, 2), chance.uniform(120.0, 240.0)
        windows = [
            opening(chance, Point((size + 12.0) * index + size / 2.0, size / 2.0), size)
            for index in range(count)
        ]
        plate = rectangle(Point(-12.0, -12.0), Point((size + 12.0) * count, size + 12.0))
        parts.append(part(f"host-{number}", plate, *windows))
    for number in range(chance.randint(0, 3)):
        size = chance.uniform(60.0, 110.0)
        parts.append(
            part(
                f"ring-{number}",
                circle(Point(4.0, 1.0), size / 2.0),
                circle(Point(4.0, 1.0), size / 2.0 - 8.0),
            )
        )
    for number in range(chance.randint(2, 14)):
        long, wide = chance.uniform(10.0, 90.0), chance.uniform(8.0, 45.0)
        end = wide * chance.uniform(0.2, 1.0)
        corners = [(0.0, -wide / 2.0), (long, -end / 2.0), (long, end / 2.0), (0.0, wide / 2.0)]
        outline = (
            polyline([Point(x, y) for x, y in corners], closed=True)
            if chance.random() < 0.7
            else circle(Point(2.0, 3.0), wide / 2.0)
        )
        parts.append(part(f"small-{number}", outline))
    chance.shuffle(parts)
    return parts


def area_of(placement: Placement, id: str) -> shapely.Polygon:
    """What a contour of a part bounds on the sheet."""
    (path,) = next(cut.paths for cut in placement.cut_part.features if cut.feature.id == id)
    return to_polygon(placement.place.path(path), CHORDS)


def plate_of(placement: Placement) -> shapely.Polygon:
    """A part without its openings."""
    inside = [cut.feature.id for cut in placement.cut_part.features if cut.feature.role is Role.OPENING]
    return area_of(placement, "outline").difference(
        shapely.union_all([area_of(placement, id) for id in inside])
    )


def judge(sheet: Sheet, seed: int) -> int:
    """Judges how the parts of a sheet lie; returns how many of them lie in openings."""
    placed = {each.cut_part.part.name: each for each in sheet.placements}
    room = shapely.box(0.0, 0.0, sheet.width_mm, sheet.height_mm).buffer(
        SLACK - MACHINE.margin_mm, join_style="mitre"
    )
    assert all(room.covers(area_of(each, "outline")) for each in placed.values()), seed
    for one, other in combinations(placed.values(), 2):
        first, second = plate_of(one), plate_of(other)
        assert not first.intersects(second), seed
        assert first.distance(second) > MACHINE.gap_mm - SLACK, seed
    for each in placed.values():
        assert each.place.mirrored is each.cut_part.tag.mirrored
        if not each.cut_part.may_turn:
            assert each.place.sine == 0.0
        edge = area_of(each, "outline")
        if each.within is not None:
            window = area_of(placed[each.within.part], each.within.feature)
            assert window.covers(edge), seed
            assert window.boundary.distance(edge) > MACHINE.gap_mm - SLACK, seed
        else:
            assert not any(
                area_of(host, cut.feature.id).intersects(plate_of(each))
                for host in placed.values()
                for cut in host.cut_part.features
                if cut.feature.role is Role.OPENING and host is not each
            ), seed
    assert check_sheet_room(sheet) == ()
    return sum(each.within is not None for each in placed.values())


@pytest.mark.parametrize("file", range(FILES))
def test_parts_lie_wholly_in_openings_and_keep_the_gap(file: int) -> None:
    nested = 0
    for seed in range(file, JOBS, FILES):
        parts = job(seed)
        stock = (Stock(length=580.0, width=290.0, count=len(parts)),) if seed % 3 else ()
        sheets = nest(parts, MACHINE, stock)
        names = [each.cut_part.part.name for sheet in sheets for each in sheet.placements]
        assert sorted(names) == sorted(part.part.name for part in parts)
        nested += sum(judge(sheet, seed) for sheet in sheets)
    assert nested > 15  # else this judges nothing


def test_a_gap_that_is_too_small_would_be_seen() -> None:
    """A part pushed about in its opening until it comes too near the wall, or another part, no longer passes."""
    sheet, seed = next(
        (sheet, seed)
        for seed in range(JOBS)
        for sheet in nest(job(seed), MACHINE)
        if any(each.within for each in sheet.placements)
    )
    moved = next(each for each in sheet.placements if each.within)
    caught = 0
    for angle in range(0, 360, 45):
        for far in range(2, 240, 2):
            shift = moved.place.shift + polar(float(far), math.radians(angle))
            pushed = replace(moved, place=replace(moved.place, shift=shift))
            placements = tuple(pushed if each is moved else each for each in sheet.placements)
            try:
                judge(replace(sheet, placements=placements), seed)
            except AssertionError:
                caught += 1
                break
    assert caught == 8
