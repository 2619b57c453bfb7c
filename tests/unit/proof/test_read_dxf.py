"""Group codes to strokes: each kind of entity, units, names, facing."""

import math
from pathlib import Path

import pytest

from jiggen.errors import InputError
from jiggen.proof.read_dxf import read_dxf
from jiggen.proof.report import Fault
from jiggen.proof.trace import Reading, Stroke

NANOMETRE = 1e-6  # mm
XDATA = "1001 JIGGEN 1000 part=plate 1000 feature=fret.7"


def dxf(*entities: str, version: str = "AC1015", units: str = "9 $INSUNITS 70 4") -> bytes:
    """A DXF of entities written as `CODE VALUE CODE VALUE …`; a value holds no blanks."""
    words = f"0 SECTION 2 HEADER 9 $ACADVER 1 {version} {units} 0 ENDSEC 0 SECTION 2 ENTITIES".split()
    words += [word for entity in entities for word in entity.split()]
    return ("\n".join([*words, "0", "ENDSEC", "0", "EOF"]) + "\n").encode()


def only_stroke(reading: Reading) -> Stroke:
    assert reading.findings == ()
    (traced,) = reading.traced
    return traced.stroke


def test_a_line_keeps_its_ends_layer_and_names() -> None:
    reading = read_dxf(dxf(f"0 LINE 8 score 10 1.5 20 -2 11 3 21 4 {XDATA}"), name="sheet-1.dxf")
    (line,) = reading.traced
    assert line.stroke == Stroke(((1.5, -2.0), (3.0, 4.0)), (0.0,), closed=False)
    assert (line.operation, line.part, line.feature) == ("score", "plate", "fret.7")
    assert line.where == "sheet-1.dxf line 20"


def test_a_circle_is_two_half_turns() -> None:
    stroke = only_stroke(read_dxf(dxf("0 CIRCLE 8 cut-opening 10 5 20 6 40 2")))
    assert stroke == Stroke(((7.0, 6.0), (3.0, 6.0)), (1.0, 1.0), closed=True)


@pytest.mark.parametrize(
    ("start", "end", "sweep"),
    [(0.0, 90.0, 90.0), (350.0, 10.0, 20.0), (30.0, 29.0, 359.0), (10.0, 10.0, 360.0)],
)
def test_an_arc_runs_counter_clockwise_from_its_start_angle(start: float, end: float, sweep: float) -> None:
    stroke = only_stroke(read_dxf(dxf(f"0 ARC 8 score 10 1 20 2 40 3 50 {start} 51 {end}")))
    assert math.degrees(sum(4.0 * math.atan(bulge) for bulge in stroke.bulges)) == pytest.approx(sweep)
    for place, angle in zip((stroke.points[0], stroke.points[-1]), (start, end), strict=True):
        expected = (1 + 3 * math.cos(math.radians(angle)), 2 + 3 * math.sin(math.radians(angle)))
        assert place == pytest.approx(expected, abs=NANOMETRE)


def test_a_polyline_keeps_bulges_and_whether_it_closes() -> None:
    body = "10 0 20 0 42 0.5 10 4 20 0 10 4 20 3"
    closed = only_stroke(read_dxf(dxf(f"0 LWPOLYLINE 8 cut-edge 90 3 70 1 {body}")))
    assert closed == Stroke(((0.0, 0.0), (4.0, 0.0), (4.0, 3.0)), (0.5, 0.0, 0.0), closed=True)
    opened = only_stroke(read_dxf(dxf(f"0 LWPOLYLINE 8 cut-edge 90 3 70 128 {body}")))
    assert opened == Stroke(((0.0, 0.0), (4.0, 0.0), (4.0, 3.0)), (0.5, 0.0), closed=False)


def test_the_old_polyline_of_r12_reads_the_same() -> None:
    vertices = "0 VERTEX 8 cut-edge 10 0 20 0 42 0.5 0 VERTEX 10 4 20 0 0 VERTEX 10 4 20 3 0 SEQEND"
    reading = read_dxf(
        dxf(f"0 POLYLINE 8 cut-edge 66 1 10 0 20 0 30 0 70 1 {XDATA} {vertices}", version="AC1009")
    )
    assert only_stroke(reading) == Stroke(((0.0, 0.0), (4.0, 0.0), (4.0, 3.0)), (0.5, 0.0, 0.0), closed=True)
    assert reading.traced[0].feature == "fret.7"


@pytest.mark.parametrize(
    ("vertices", "says"),
    [("0 VERTEX 10 0 20 0", "no SEQEND"), ("0 VERTEX 10 0 20 0 0 LINE 8 score 10 0", "VERTEX or SEQEND")],
)
def test_an_old_polyline_without_its_end_is_refused(vertices: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_dxf(dxf(f"0 POLYLINE 70 1 {vertices}"))


@pytest.mark.parametrize(
    ("code", "factor"), [("4", 1.0), ("1", 25.4), ("2", 304.8), ("5", 10.0), ("6", 1000.0), ("14", 100.0)]
)
def test_units_are_the_header_s(code: str, factor: float) -> None:
    """Factors: SI prefixes, and the international inch of 1959, 25.4 mm."""
    stroke = only_stroke(read_dxf(dxf("0 LINE 8 score 10 1 20 2 11 3 21 4", units=f"9 $INSUNITS 70 {code}")))
    assert sum(stroke.points, ()) == pytest.approx((factor, 2 * factor, 3 * factor, 4 * factor))


@pytest.mark.parametrize("units", ["", "9 $INSUNITS 70 0"])
def test_no_units_are_millimetres_with_a_warning(units: str) -> None:
    reading = read_dxf(dxf("0 LINE 8 score 10 1 20 2 11 3 21 4", units=units))
    assert reading.traced[0].stroke.points == ((1.0, 2.0), (3.0, 4.0))
    assert [(f.fault, f.is_warning) for f in reading.findings] == [(Fault.NO_UNITS, True)]


@pytest.mark.parametrize("code", ["3", "99", "mm"])
def test_odd_units_are_a_fault(code: str) -> None:
    reading = read_dxf(dxf(units=f"9 $INSUNITS 70 {code}"))
    assert [(f.fault, f.is_warning) for f in reading.findings] == [(Fault.UNKNOWN_ENTITY, False)]


def test_what_faces_down_is_read_from_above() -> None:
    """DXF reference, object coordinate systems: with the normal (0, 0, -1) the object's x runs the other way."""
    stroke = only_stroke(read_dxf(dxf("0 LWPOLYLINE 8 score 70 0 230 -1 10 1 20 0 42 0.5 10 3 20 0")))
    assert stroke == Stroke(((-1.0, 0.0), (-3.0, 0.0)), (-0.5,), closed=False)
    line = only_stroke(read_dxf(dxf("0 LINE 8 score 230 -1 10 1 20 0 11 3 21 0")))
    assert line.points == ((1.0, 0.0), (3.0, 0.0)), "a LINE stands in world coordinates"


@pytest.mark.parametrize(
    "entity",
    [
        "0 LINE 8 score 10 1 20 2 30 0.5 11 3 21 4",
        "0 LINE 8 score 10 1 20 2 11 3 21 4 31 1",
        "0 LWPOLYLINE 8 score 38 2 70 0 10 1 20 0 10 3 20 0",
        "0 CIRCLE 8 score 10 1 20 2 40 3 210 1 220 0 230 0",
        "0 LWPOLYLINE 8 score 70 2 10 1 20 0 10 3 20 0",
        "0 LWPOLYLINE 8 score 70 0 10 1 20 0",
        "0 LINE 67 1 8 score 10 1 20 2 11 3 21 4",
        "0 POLYLINE 8 score 70 0 0 VERTEX 10 0 20 0 30 1 0 VERTEX 10 4 20 0 0 SEQEND",
        "0 POLYLINE 8 score 70 0 0 VERTEX 10 0 20 0 70 16 0 VERTEX 10 4 20 0 0 SEQEND",
        "0 SPLINE 8 score 70 8",
    ],
)
def test_what_is_no_flat_line_or_arc_is_named_and_not_taken(entity: str) -> None:
    reading = read_dxf(dxf(entity))
    assert reading.traced == ()
    assert [f.fault for f in reading.findings] == [Fault.UNKNOWN_ENTITY]


@pytest.mark.parametrize("angle", ["nan", "inf"])
def test_an_arc_at_no_angle_is_not_finite(angle: str) -> None:
    reading = read_dxf(dxf(f"0 ARC 8 score 10 1 20 2 40 3 50 {angle} 51 20 {XDATA}"))
    assert [(f.fault, f.part, f.features) for f in reading.findings] == [
        (Fault.NOT_FINITE, "plate", ("fret.7",))
    ]


def test_names_of_other_programs_are_left_alone() -> None:
    others = "1001 OTHER 1000 part=theirs 1001 JIGGEN 1000 part=ours 1001 MORE 1000 feature=theirs"
    (traced,) = read_dxf(dxf(f"0 LINE 8 score 10 1 20 2 11 3 21 4 {others}")).traced
    assert (traced.part, traced.feature) == ("ours", None)


def test_tags_are_gathered_by_part() -> None:
    entity = f"0 CIRCLE 8 cut-edge 10 5 20 6 40 2 {XDATA} 1000 tag.kerf_mm=0.2 1000 tag.kerf_source=by=hand"
    assert read_dxf(dxf(entity)).tags == {"plate": {"kerf_mm": "0.2", "kerf_source": "by=hand"}}


def test_what_is_not_in_entities_is_not_cut() -> None:
    block = b"0\nSECTION\n2\nBLOCKS\n0\nLINE\n8\nscore\n10\n1\n20\n2\n11\n3\n21\n4\n0\nENDSEC\n"
    data = dxf("0 CIRCLE 8 cut-edge 10 5 20 6 40 2").replace(
        b"0\nSECTION\n2\nENTITIES", block + b"0\nSECTION\n2\nENTITIES"
    )
    assert len(read_dxf(data).traced) == 1


@pytest.mark.parametrize(
    ("version", "written", "read"),
    [
        ("AC1015", b"caf\xe9", "café"),
        ("AC1015", b"na\\U+00EFf", "naïf"),
        ("AC1021", "caf\u00e9".encode(), "café"),
    ],
)
def test_text_is_in_a_code_page_before_r2007_and_utf_8_since(version: str, written: bytes, read: str) -> None:
    """DXF reference: $DWGCODEPAGE, \\U+ escapes; AC1021 is R2007."""
    data = dxf("0 LINE 8 LAYER 10 1 20 2 11 3 21 4", version=version).replace(b"LAYER", written)
    assert read_dxf(data).traced[0].operation == read


def test_lines_may_end_as_they_do_elsewhere(tmp_path: Path) -> None:
    data = dxf("0 LINE 8 score 10 1 20 2 11 3 21 4")
    path = tmp_path / "sheet-1.dxf"
    path.write_bytes(data.replace(b"\n", b"\r\n"))
    assert read_dxf(path).traced == read_dxf(data, name="sheet-1.dxf").traced


def test_flags_that_are_no_number_are_refused() -> None:
    with pytest.raises(InputError, match="a whole number in group 70"):
        read_dxf(dxf("0 LWPOLYLINE 8 score 70 shut 10 1 20 0 10 3 20 0"))
