"""DXF of every release and style, as ezdxf and GDAL read it: entities allowed, contours closed, nothing twice or empty."""

import io
import json
import math
from collections import Counter
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest
from ezdxf.colors import BYLAYER
from ezdxf.document import Drawing
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.filemanagement import read
from ezdxf.math import Vec2, bulge_center, bulge_radius
from support.dxf_names import named
from support.programs import run_program
from support.sheets import sheet_set

from jiggen.export.dxf import CHORD_ERROR, encode_dxf
from jiggen.export.dxf_entities import DxfEntities
from jiggen.export.dxf_frame import DxfVersion
from jiggen.export.options import DEFAULTS, Options
from jiggen.geometry.measure import bounds, flatten, length
from jiggen.geometry.path import Path as Curve
from jiggen.proof.read_dxf import read_dxf

MICRON = 0.001  # mm
SHEET = sheet_set().sheets[0]
EVERY = [
    pytest.param(
        replace(DEFAULTS, dxf_version=version, dxf_entities=style), id=f"{version.value}-{style.value}"
    )
    for version, style in product(DxfVersion, DxfEntities)
]
#: What the reference of the format calls a polyline in each release.
POLYLINE = {DxfVersion.R2000: "LWPOLYLINE", DxfVersion.R12: "POLYLINE"}


def open_dxf(options: Options) -> Drawing:
    return read(io.StringIO(encode_dxf(SHEET, options).decode("cp1252")))


def paths() -> list[tuple[str, Curve]]:
    return [
        (operation.name, path)
        for operation in SHEET.machine.operations
        for mark in SHEET.marks(operation.name)
        for path in mark.paths
    ]


@pytest.mark.parametrize("options", EVERY)
def test_the_auditor_finds_no_error_and_mends_nothing(options: Options) -> None:
    auditor = open_dxf(options).audit()
    assert (auditor.errors, auditor.fixes) == ([], [])


@pytest.mark.parametrize("options", EVERY)
def test_only_the_entities_of_the_style_are_used(options: Options) -> None:
    allowed = {
        DxfEntities.POLYLINE: {"LINE", "ARC", "CIRCLE", POLYLINE[options.dxf_version]},
        DxfEntities.PRIMITIVES: {"LINE", "ARC", "CIRCLE"},
        DxfEntities.SEGMENTS: {"LINE", POLYLINE[options.dxf_version]},
    }[options.dxf_entities]
    entities = list(open_dxf(options).modelspace())
    assert {each.dxftype() for each in entities} == allowed
    if options.dxf_entities is DxfEntities.SEGMENTS:
        assert not any(bulge for each in entities for _, _, bulge in vertices(each))


def vertices(entity: DXFGraphic) -> list[tuple[float, float, float]]:
    match entity.dxftype():
        case "LWPOLYLINE":
            return list(entity.get_points("xyb"))  # type: ignore[attr-defined]
        case "POLYLINE":
            return [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in entity.vertices]  # type: ignore[attr-defined]
        case "LINE":
            return [(p.x, p.y, 0.0) for p in (entity.dxf.start, entity.dxf.end)]
        case _:
            return []


@pytest.mark.parametrize("options", EVERY)
def test_every_contour_that_is_cut_closes(options: Options) -> None:
    cuts = [each for each in open_dxf(options).modelspace() if each.dxf.layer.startswith("cut-")]
    if options.dxf_entities is not DxfEntities.PRIMITIVES:
        assert all(each.dxftype() == "CIRCLE" or each.is_closed for each in cuts)  # type: ignore[attr-defined]
        return
    ends: Counter[tuple[float, float]] = Counter()  # each place where one piece ends, another starts
    for each in cuts:
        if each.dxftype() == "ARC":
            both = [each.start_point, each.end_point]  # type: ignore[attr-defined]
        elif each.dxftype() == "LINE":
            both = [each.dxf.start, each.dxf.end]
        else:
            continue
        ends.update((round(point.x, 3) + 0.0, round(point.y, 3) + 0.0) for point in both)
    assert ends
    merged = merge_near(ends)
    assert set(merged.values()) == {2}


def merge_near(ends: Counter[tuple[float, float]]) -> Counter[tuple[float, float]]:
    """Counts places nearer than 2 µm as one, since rounding may part them."""
    merged: Counter[tuple[float, float]] = Counter()
    for place, count in ends.items():
        near = next((each for each in merged if math.dist(each, place) <= 2 * MICRON), place)
        merged[near] += count
    return merged


@pytest.mark.parametrize("options", EVERY)
def test_nothing_is_empty_and_no_cut_is_there_twice(options: Options) -> None:
    pieces: list[tuple[str, tuple[float, ...]]] = []
    for each in open_dxf(options).modelspace():
        points = vertices(each)
        closed = getattr(each, "is_closed", False)
        for (x, y, bulge), (to_x, to_y, _) in zip(
            points, [*points[1:], *points[:1]] if closed else points[1:], strict=False
        ):
            assert math.dist((x, y), (to_x, to_y)) > 0.0
            one, other = sorted(((round(x, 4), round(y, 4)), (round(to_x, 4), round(to_y, 4))))
            if each.dxf.layer.startswith("cut-"):
                pieces.append((each.dxf.layer, (*one, *other, abs(round(bulge, 4)))))
        if each.dxftype() in {"CIRCLE", "ARC"}:
            assert each.dxf.radius > 0.0
    assert [piece for piece, count in Counter(pieces).items() if count > 1] == []


def test_chords_keep_within_the_error_that_is_stated() -> None:
    options = replace(DEFAULTS, dxf_entities=DxfEntities.SEGMENTS)
    circles = [path for name, path in paths() if name == "cut-opening" and len(path) == 2]
    drawn = [each for each in open_dxf(options).modelspace() if each.dxf.layer == "cut-opening"]
    assert circles
    for path in circles:
        box = bounds(path)
        centre, radius = box.centre, box.width / 2.0
        polygon = next(
            points
            for points in ([Vec2(x, y) for x, y, _ in vertices(each)] for each in drawn)
            if abs(sum(points, Vec2()).x / len(points) - centre.x) < 0.01
            and abs(sum(points, Vec2()).y / len(points) - centre.y) < 0.01
        )
        middles = [one.lerp(other) for one, other in zip(polygon, [*polygon[1:], polygon[0]], strict=True)]
        off = max(
            abs(math.dist((each.x, each.y), (centre.x, centre.y)) - radius) for each in (*polygon, *middles)
        )
        assert off <= CHORD_ERROR + MICRON / 10


def test_bulges_say_the_same_arc_to_another_reader() -> None:
    """ezdxf works out centre and radius from ends and bulge."""
    window = next(path for name, path in paths() if name == "cut-opening" and len(path) == 8)
    arcs = [piece for piece in window if hasattr(piece, "bulge")]
    for arc in arcs:
        ends = Vec2(arc.start.x, arc.start.y), Vec2(arc.end.x, arc.end.y)
        centre = bulge_center(*ends, arc.bulge)
        assert math.dist((centre.x, centre.y), (arc.centre.x, arc.centre.y)) <= MICRON
        assert bulge_radius(*ends, arc.bulge) == pytest.approx(arc.radius, abs=MICRON)


@pytest.mark.parametrize("options", EVERY)
def test_gdal_reads_the_same_bounds_and_lengths(options: Options, tmp_path: Path) -> None:
    dxf, geojson = tmp_path / "sheet.dxf", tmp_path / "sheet.geojson"
    dxf.write_bytes(encode_dxf(SHEET, options))
    run_program(
        "ogr2ogr",
        *("-f", "GeoJSON", "-lco", "COORDINATE_PRECISION=9", geojson, dxf, "entities"),
        package="gdal-bin",
        env={"OGR_ARC_STEPSIZE": "0.05", "OGR_ARC_MAX_GAP": "0"},
    )
    walked: Counter[str] = Counter()
    places: list[tuple[float, float]] = []
    for feature in json.loads(geojson.read_text())["features"]:
        geometry = feature["geometry"]
        lines = geometry["coordinates"] if geometry["type"] == "Polygon" else [geometry["coordinates"]]
        for line in lines:
            flat = [(x, y) for x, y, *_ in line]
            places += flat
            walked[feature["properties"]["Layer"]] += sum(map(math.dist, flat[:-1], flat[1:]))
    wanted: Counter[str] = Counter()
    for name, path in paths():
        wanted[name] += length(path)
    slack = 0.02 if options.dxf_entities is DxfEntities.SEGMENTS else 5 * MICRON
    assert dict(walked) == pytest.approx(dict(wanted), abs=slack)
    every = [point for _, path in paths() for point in flatten(path, MICRON / 10)]
    for axis in (0, 1):
        ours = [(point.x, point.y)[axis] for point in every]
        theirs = [place[axis] for place in places]
        assert (min(theirs), max(theirs)) == pytest.approx((min(ours), max(ours)), abs=2 * MICRON)


def test_r12_has_no_units_and_our_own_reader_says_so() -> None:
    data = encode_dxf(SHEET, replace(DEFAULTS, dxf_version=DxfVersion.R12))
    assert b"INSUNITS" not in data
    assert b"one unit is 1 mm" in data
    assert [finding.fault.value for finding in read_dxf(data).findings] == ["no-units"]


@pytest.mark.parametrize("version", list(DxfVersion))
def test_extents_and_limits_are_the_sheet(version: DxfVersion) -> None:
    header = open_dxf(replace(DEFAULTS, dxf_version=version)).header
    assert tuple(header["$EXTMIN"])[:2] == (0.0, 0.0)
    assert tuple(header["$EXTMAX"])[:2] == (SHEET.width_mm, SHEET.height_mm)
    assert tuple(header["$LIMMAX"])[:2] == (SHEET.width_mm, SHEET.height_mm)


@pytest.mark.parametrize("options", EVERY)
def test_every_entity_is_named_and_coloured_in_every_release(options: Options) -> None:
    colours = {each.name: each.aci for each in SHEET.machine.operations}
    doc = open_dxf(options)
    for name, entity in named(doc.modelspace()):
        part, _, feature = name.partition(".")
        assert any(each.part == part and each.feature.id == feature for each in SHEET.marks_of_part(part))
        layer = doc.layers.get(entity.dxf.layer)
        assert layer.color == colours[layer.dxf.name]
        assert entity.dxf.color == (layer.color if options.dxf_version is DxfVersion.R12 else BYLAYER)
