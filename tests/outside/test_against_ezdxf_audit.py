"""DXF as ezdxf's own auditor and reader see it: nothing to mend, and the same geometry after a round trip."""

import io
from collections import Counter

import pytest
from ezdxf.audit import Auditor
from ezdxf.colors import BYLAYER
from ezdxf.document import Drawing
from ezdxf.entities.arc import Arc as ArcEntity
from ezdxf.entities.circle import Circle
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.line import Line as LineEntity
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read
from ezdxf.lldxf.encoding import decode_dxf_unicode
from ezdxf.math import Vec3
from support.dxf_names import named
from support.sheets import COUNTS, sheet_set, tag_for

from jiggen.export.dxf import encode_dxf
from jiggen.geometry.measure import to_bulges
from jiggen.geometry.path import Arc, Path, as_circle
from jiggen.geometry.point import Point
from jiggen.sheets.model import Sheet

MICRON = 0.001  # mm
SHEETS = sheet_set().sheets


def read_back(sheet: Sheet) -> Drawing:
    text = encode_dxf(sheet).decode("cp1252")
    return read(io.StringIO(text))


@pytest.mark.parametrize("index", [0, 1])
def test_audit_finds_no_error_and_mends_nothing(index: int) -> None:
    auditor: Auditor = read_back(SHEETS[index]).audit()
    assert (auditor.errors, auditor.fixes) == ([], [])


@pytest.mark.parametrize("index", [0, 1])
def test_entities_are_those_counted_by_hand(index: int) -> None:
    space = read_back(SHEETS[index]).modelspace()
    assert Counter((each.dxf.layer, each.dxftype()) for each in space) == COUNTS[index]


@pytest.mark.parametrize("index", [0, 1])
def test_every_entity_lies_where_its_mark_lies(index: int) -> None:
    sheet = SHEETS[index]
    marks = [mark for operation in sheet.machine.operations for mark in sheet.marks(operation.name)]
    paths = [(mark, path) for mark in marks for path in mark.paths]
    for entity, (mark, path) in zip(read_back(sheet).modelspace(), paths, strict=True):
        assert entity.dxf.layer == mark.operation
        assert follows(entity, path), mark.id


def follows(entity: DXFGraphic, path: Path) -> bool:
    circle = as_circle(path)
    match entity:
        case Circle() if circle:  # before arcs, which are circles to ezdxf
            return near(entity.dxf.center, circle[0]) and bool(abs(entity.dxf.radius - circle[1]) <= MICRON)
        case LineEntity():
            return near(entity.dxf.start, path.start) and near(entity.dxf.end, path.end)
        case ArcEntity():
            (piece,) = path.segments
            assert isinstance(piece, Arc)
            ends = (piece.start, piece.end) if piece.bulge > 0.0 else (piece.end, piece.start)
            return near(entity.start_point, ends[0]) and near(entity.end_point, ends[1])
        case LWPolyline():
            vertices = entity.get_points("xyb")
            return entity.closed == path.closed and all(
                near(Point(x, y), Point(to_x, to_y)) and abs(bulge - to_bulge) * half_chord <= MICRON / 10
                for (x, y, bulge), (to_x, to_y, to_bulge), half_chord in zip(
                    vertices, to_bulges(path), half_chords(path), strict=True
                )
            )
        case _:
            return False


def half_chords(path: Path) -> list[float]:
    """Half the chord of what follows each vertex, by which a bulge makes the height of the belly."""
    halves = [piece.start.distance(piece.end) / 2.0 for piece in path]
    return halves if path.closed else [*halves, 0.0]


def near(one: Point | Vec3, other: Point) -> bool:
    return abs(one.x - other.x) <= MICRON / 2 and abs(one.y - other.y) <= MICRON / 2


def test_no_closed_polyline_repeats_its_first_vertex() -> None:
    polylines = [each for each in read_back(SHEETS[0]).modelspace() if isinstance(each, LWPolyline)]
    closed = [each for each in polylines if each.closed]
    assert closed
    for polyline in closed:
        first, *_, last = polyline.get_points("xy")
        assert first != last


def test_units_and_sheet_are_in_the_header_and_the_view() -> None:
    doc = read_back(SHEETS[0])
    assert doc.dxfversion == "AC1015"  # R2000
    assert doc.header["$INSUNITS"] == 4
    assert doc.header["$MEASUREMENT"] == 1
    assert doc.header["$EXTMIN"] == (0.0, 0.0, 0.0)
    assert doc.header["$EXTMAX"] == (600.0, 300.0, 0.0)
    assert doc.header["$LIMMIN"] == (0.0, 0.0)
    assert doc.header["$LIMMAX"] == (600.0, 300.0)
    (view,) = doc.viewports.get_config("*Active")
    assert view.dxf.center == (300.0, 150.0)
    assert view.dxf.height >= 300.0
    assert view.dxf.height * view.dxf.aspect_ratio >= 600.0


def test_layers_are_the_operations_with_their_colours() -> None:
    doc = read_back(SHEETS[1])  # which engraves nothing, and has the layer all the same
    layers = {layer.dxf.name: layer.dxf.color for layer in doc.layers if layer.dxf.name[0].islower()}
    assert layers == {"engrave": 5, "score": 3, "cut-opening": 30, "cut-edge": 1}
    assert all(each.dxf.color == BYLAYER and each.dxf.layer in layers for each in doc.modelspace())


def test_every_entity_says_what_it_is() -> None:
    sheet = SHEETS[0]
    marks = [mark for operation in sheet.machine.operations for mark in sheet.marks(operation.name)]
    expected = [f"{mark.part}.{mark.feature.id}" for mark in marks for _ in mark.paths]
    assert [name for name, _ in named(read_back(sheet).modelspace())] == expected


def test_an_edge_carries_the_whole_tag() -> None:
    words = words_of_edge(sheet_set(design_name="Zaunkönig ミ").sheets[0])
    assert words == [
        "comb.outline",
        "tag.design_name=Zaunkönig ミ",
        "tag.design_id=k3f9a2",
        "tag.part_name=Comb",
        "tag.material=3 mm cast acrylic",
        "tag.thickness_mm=3",
        "tag.kerf_mm=0.2",
        "tag.kerf_source=coupon of 2026-11-02",
        "tag.offset_mm=0.1",
        "tag.true_face=marked",
        "tag.growth_scale=1.000012",
        "tag.growth_scale_across=1.000012",
        "tag.machine_scale_x=1",
        "tag.machine_scale_y=1",
        "tag.cut_degc=20",
        "tag.use_degc=20",
        "tag.cut_humidity=50",
        "tag.use_humidity=50",
        "tag.mark_face=top",
        "tag.pattern_guide_mm=0",
        "tag.pattern_bit_mm=0",
        "tag.revision_date=2026-11-25",
        "tag.version=0.1.0",
    ]


def words_of_edge(sheet: Sheet) -> list[str]:
    entities = named(read_back(sheet).modelspace())
    edge = next(each for name, each in entities if name == "comb.outline")
    return [decode_dxf_unicode(tag.value) for tag in edge.get_xdata("JIGGEN")]


def test_a_character_of_two_halves_survives() -> None:
    words = words_of_edge(sheet_set(design_name="Wren 🐦").sheets[0])
    assert words[1].encode("utf-16", "surrogatepass").decode("utf-16") == "tag.design_name=Wren 🐦"


def test_whoever_opens_it_as_text_sees_the_unit_and_the_tags() -> None:
    lines = encode_dxf(SHEETS[0]).decode("cp1252").split("\n")
    remarks = [lines[at + 1] for at in range(0, 40, 2) if lines[at] == "999"]
    assert remarks[0] == "sheet 1, 600 x 300 mm, one unit is 1 mm"
    assert f"comb: {tag_for('Comb').line()}" in remarks
