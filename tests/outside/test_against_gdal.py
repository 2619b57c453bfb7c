"""DXF as GDAL reads it: same counts per layer, same bounds, same lengths. GDAL is an independent DXF reader."""

import itertools
import json
import math
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from support.programs import run_program
from support.sheets import COUNTS, sheet_set

from jiggen.export.dxf import encode_dxf
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds, length
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import shifted
from jiggen.sheets.model import Sheet

MICRON = 0.001  # mm
#: GDAL turns arcs into chords; at this step (degrees) they stay within 0.02 micron of an arc of 60 mm.
ARC_STEP = "0.05"
KINDS = {"AcDbLine": "LINE", "AcDbPolyline": "LWPOLYLINE", "AcDbCircle": "CIRCLE", "AcDbArc": "ARC"}
SHEETS = sheet_set().sheets


def features_of(sheet: Sheet, folder: Path) -> list[dict[str, Any]]:
    """What GDAL finds in the sheet's DXF file, as GeoJSON features."""
    dxf, geojson = folder / "sheet.dxf", folder / "sheet.geojson"
    dxf.write_bytes(encode_dxf(sheet))
    run_program(
        "ogr2ogr",
        *("-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=9", geojson, dxf, "entities"),
        package="gdal-bin",
        env={"OGR_ARC_STEPSIZE": ARC_STEP, "OGR_ARC_MAX_GAP": "0"},
    )
    found: list[dict[str, Any]] = json.loads(geojson.read_text())["features"]
    return found


def points_of(feature: dict[str, Any]) -> list[Point]:
    geometry = feature["geometry"]
    lines = geometry["coordinates"] if geometry["type"] == "Polygon" else [geometry["coordinates"]]
    return [Point(x, y) for line in lines for x, y, *_ in line]


def on_layer(features: list[dict[str, Any]], layer: str) -> list[list[Point]]:
    return [points_of(each) for each in features if each["properties"]["Layer"] == layer]


def box_of(lines: list[list[Point]]) -> Box:
    return around(Box(point, point) for line in lines for point in line)


def same_box(one: Box, other: Box) -> bool:
    corners = zip((one.low, one.high), (other.low, other.high), strict=True)
    return all(a.distance(b) <= MICRON for a, b in corners)


@pytest.mark.parametrize("index", [0, 1])
def test_same_entities_per_layer(index: int, tmp_path: Path) -> None:
    found = Counter(
        (each["properties"]["Layer"], KINDS[each["properties"]["SubClasses"].split(":")[-1]])
        for each in features_of(SHEETS[index], tmp_path)
    )
    assert found == COUNTS[index]


@pytest.mark.parametrize("index", [0, 1])
def test_same_bounds_and_lengths_per_layer(index: int, tmp_path: Path) -> None:
    sheet = SHEETS[index]
    features = features_of(sheet, tmp_path)
    for operation in sheet.machine.operations:
        paths = [path for mark in sheet.marks(operation.name) for path in mark.paths]
        lines = on_layer(features, operation.name)
        assert len(lines) == len(paths)
        if not paths:
            continue
        assert same_box(box_of(lines), around(bounds(path) for path in paths)), operation.name
        walked = [sum(a.distance(b) for a, b in itertools.pairwise(line)) for line in lines]
        for measured, path in zip(walked, paths, strict=True):
            assert measured == pytest.approx(length(path), abs=MICRON), operation.name


def test_a_shift_of_ten_micron_is_seen(tmp_path: Path) -> None:
    sheet = SHEETS[1]
    moved = replace(
        sheet,
        placements=tuple(
            replace(each, place=each.place.then(shifted(0.0, 10 * MICRON))) for each in sheet.placements
        ),
    )
    lines = on_layer(features_of(moved, tmp_path), "cut-edge")
    expected = around(bounds(path) for mark in sheet.marks("cut-edge") for path in mark.paths)
    assert not same_box(box_of(lines), expected)


def test_cuts_are_closed_rings(tmp_path: Path) -> None:
    features = features_of(SHEETS[0], tmp_path)
    for layer in ("cut-edge", "cut-opening"):
        for line in on_layer(features, layer):
            assert math.dist((line[0].x, line[0].y), (line[-1].x, line[-1].y)) <= MICRON
