"""Outlines that cairo, matplotlib, fontTools and skia wrote, against areas and lengths by svgpathtools and shapely.

Source: svgpathtools (MIT): `Path.area`, exact for Bézier curves, `Path.length`; shapely: areas of dense polygons.
"""

import importlib
import math
import os
import re

import pytest
from shapely import Polygon
from support.drawn_elsewhere import GLYPHS, NEEDS, WRITERS
from svgpathtools import Path as Judge
from svgpathtools import parse_path

from jiggen.geometry.measure import area, faults, length, to_polygon
from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline

#: Share by which areas and lengths may differ: 0.01 %.
SHARE = 1e-4


def have(writer: str) -> None:
    try:
        importlib.import_module(NEEDS[writer])
    except (ImportError, OSError) as missing:  # OSError: cairocffi without the library cairo
        if os.environ.get("JIGGEN_ALL_JUDGES") == "1":
            pytest.fail(f"{writer} is missing: {missing}")
        pytest.skip(f"{writer} is missing: {missing}")


def contours(text: str) -> list[Judge]:
    """The contours of the one filled path in an SVG, the largest first."""
    (data,) = [
        each
        for each in re.findall(r'<path[^>]*?\sd="([^"]+)"', text)
        if "C" in each.upper() or "Q" in each.upper()
    ]
    found = parse_path(data).continuous_subpaths()
    return sorted((each for each in found if len(each)), key=lambda each: -abs(each.area()))


@pytest.mark.parametrize("letter", GLYPHS)
@pytest.mark.parametrize("writer", WRITERS)
def test_areas_and_lengths_are_those_of_the_judge(tmp_path, writer, letter):
    have(writer)
    text, unit_mm = WRITERS[writer](letter)
    outer, *inner = contours(text)
    file = tmp_path / "glyph.svg"
    file.write_text(text, encoding="utf-8")
    found = read_outline(file, wish=Wish())
    assert len(found.inner) == len(inner)
    assert found.fit_error_mm <= 0.01
    # Skia's unions leave slivers of some square centimetres, whose areas want a closer fit to be told to 0.01 %.
    close = read_outline(file, wish=Wish(tolerance_mm=0.002)) if writer == "skia" else found
    for path, judge in zip((found.outline, *close.inner), (outer, *inner), strict=True):
        assert not faults(path)
        assert length(path) == pytest.approx(judge.length() * unit_mm, rel=SHARE)
        assert area(path) == pytest.approx(abs(judge.area()) * unit_mm**2, rel=SHARE)


@pytest.mark.parametrize("writer", WRITERS)
def test_shapely_agrees(tmp_path, writer):
    have(writer)
    text, unit_mm = WRITERS[writer]("8")
    outer, *inner = contours(text)
    rings = [[each.point(step / 8000.0) * unit_mm for step in range(8000)] for each in (outer, *inner)]
    shell, *holes = [[(place.real, place.imag) for place in ring] for ring in rings]
    judged = Polygon(shell, holes)
    file = tmp_path / "glyph.svg"
    file.write_text(text, encoding="utf-8")
    found = read_outline(file, wish=Wish())
    mine = to_polygon((found.outline, *found.inner), 0.0005)
    assert mine.area == pytest.approx(judged.area, rel=SHARE)
    assert mine.length == pytest.approx(judged.length, rel=SHARE)


def test_a_shift_of_a_hundredth_would_be_seen(tmp_path):
    """The judge can tell: an outline 0.03 mm larger all round fails both comparisons."""
    have("fontTools")
    text, unit_mm = WRITERS["fontTools"]("8")
    outer, *_ = contours(text)
    perimeter, surface = outer.length() * unit_mm, abs(outer.area()) * unit_mm**2
    assert 0.03 * perimeter / surface > SHARE
    assert 0.03 * math.tau / perimeter > SHARE
