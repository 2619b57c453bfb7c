"""DXF: units, layers, blocks, every curve; and what is left out is named."""

import math

import ezdxf
import pytest
from support.outlines import dxf_bytes, of_dxf

from jiggen.errors import JiggenError
from jiggen.geometry.measure import area, faults
from jiggen.geometry.path import as_circle
from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline


def drawing(units: int = 4, version: str = "R2010") -> ezdxf.document.Drawing:
    document = ezdxf.new(version)
    if version != "R12":
        document.header["$INSUNITS"] = units
    return document


@pytest.mark.parametrize(
    ("units", "unit_mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0), (14, 100.0)]
)
@pytest.mark.parametrize("binary", [False, True])
def test_a_unit_is_what_the_header_says(tmp_path, units, unit_mm, binary):
    document = drawing(units)
    document.modelspace().add_circle((3, 4), 2.0)
    found = of_dxf(tmp_path, document, binary=binary)
    assert found.length_mm == pytest.approx(4.0 * unit_mm, abs=1e-9)
    assert ("binary" in found.took[0]) == binary


@pytest.mark.parametrize(("version", "units"), [("R12", 0), ("R2010", 0), ("R2010", 17)])
def test_a_file_without_a_unit_is_asked_for_it(tmp_path, version, units):
    document = drawing(units, version)
    document.modelspace().add_circle((3, 4), 2.0)
    with pytest.raises(JiggenError, match='Add units = "mm"'):
        of_dxf(tmp_path, document)
    assert of_dxf(tmp_path, document, units="in").length_mm == pytest.approx(4.0 * 25.4)


def test_every_curve_is_read(tmp_path):
    document = drawing()
    space = document.modelspace()
    space.add_lwpolyline([(0, 0, 0), (200, 0, 1), (200, 160, 0), (0, 160, 1)], format="xyb", close=True)
    space.add_circle((20, 30), 10)
    space.add_ellipse((60, 30), major_axis=(15, 0), ratio=0.5)
    space.add_arc((100, 30), 10, 0, 180)
    space.add_line((90, 30), (110, 30))
    space.add_polyline2d([(130, 20, 1), (150, 20, 1)], format="xyb", close=True)
    space.add_open_spline([(0, 80), (30, 80), (30, 120), (0, 120), (0, 80)])
    space.add_rational_spline([(60, 80), (90, 80), (90, 120), (60, 120), (60, 80)], [1, 2, 1, 3, 1])
    space.add_spline([(110, 90), (140, 80), (140, 120), (110, 90)])
    space.add_polyline3d([(160, 90), (180, 90), (170, 110)], close=True)
    found = of_dxf(tmp_path, document)
    assert area(found.outline) == pytest.approx(200 * 160 + math.pi * 80**2, abs=1e-6)
    assert len(found.inner) == 8
    assert not any(faults(inner) for inner in found.inner)
    surfaces = [area(inner) for inner in found.inner]
    for surface, exact in (
        (math.pi * 100.0, True),
        (math.pi * 112.5, False),
        (math.pi * 50.0, True),
        (200.0, True),
    ):
        assert min(abs(each - surface) for each in surfaces) < (
            1e-6 if exact else 0.01 * 82
        )  # the fit's tolerance all round


def test_blocks_are_followed_with_scale_rotation_mirror_and_array(tmp_path):
    document = drawing()
    inner = document.blocks.new("hole", base_point=(1, 1))
    inner.add_circle((1, 1), 2)
    inner.add_text("n")
    outer = document.blocks.new("plate")
    outer.add_lwpolyline([(0, 0), (100, 0), (100, 60), (0, 60)], close=True)
    outer.add_blockref("hole", (20, 20), dxfattribs={"xscale": 3})
    array = outer.add_blockref("hole", (50, 20), dxfattribs={"rotation": 10})
    array.dxf.row_count, array.dxf.column_count = 2, 3
    array.dxf.row_spacing, array.dxf.column_spacing = 15, 12
    document.modelspace().add_blockref(
        "plate", (10, 0), dxfattribs={"xscale": -2, "yscale": 2, "rotation": 25}
    )
    found = of_dxf(tmp_path, document)
    assert (found.length_mm, found.width_mm) == pytest.approx((200.0, 120.0), abs=1e-6)
    assert len(found.inner) == 7
    round_ones = [as_circle(inner) for inner in found.inner if as_circle(inner)]
    assert [radius for _, radius in round_ones] == pytest.approx([4.0] * 6)
    apart = sorted(one.distance(other) for one, _ in round_ones for other, _ in round_ones if one != other)
    assert apart[0] == pytest.approx(24.0)
    assert area(found.inner[0]) == pytest.approx(math.pi * 12.0 * 4.0, abs=0.01 * 54)  # all round
    assert "7 × TEXT: words are no outline" in found.ignored


def test_what_faces_down_is_mirrored(tmp_path):
    document = drawing()
    space = document.modelspace()
    facing = {"extrusion": (0, 0, -1)}
    space.add_lwpolyline(
        [(0, 0, 0), (100, 0, 0.5), (100, 40, 0), (0, 40, 0)], format="xyb", close=True, dxfattribs=facing
    )
    space.add_circle((20, 20), 5, dxfattribs=facing)
    space.add_circle((-60, 20), 5)
    found = of_dxf(tmp_path, document)
    assert len(found.inner) == 2
    centres = [as_circle(inner)[0] for inner in found.inner]
    assert centres[0].distance(centres[1]) == pytest.approx(40.0)


def test_a_layer_can_be_chosen_and_hidden_ones_are_named(tmp_path):
    document = drawing()
    space = document.modelspace()
    for name, radius, x in (("body", 20, 0), ("head", 10, 50), ("old", 90, 0), ("older", 95, 0)):
        document.layers.add(name)
        space.add_circle((x, 0), radius, dxfattribs={"layer": name})
    document.layers.get("old").off()
    document.layers.get("older").freeze()
    with pytest.raises(JiggenError, match="Take one layer .there are body, head") as error:
        of_dxf(tmp_path, document)
    assert "40.00 × 40.00 mm" in str(error.value)
    found = of_dxf(tmp_path, document, layer="head")
    assert found.length_mm == pytest.approx(20.0)
    with pytest.raises(JiggenError, match="it is not shown"):
        of_dxf(tmp_path, document, layer="old")
    with pytest.raises(JiggenError, match="Did you mean head"):
        of_dxf(tmp_path, document, layer="haed")


def test_what_draws_no_outline_is_named(tmp_path):
    document = drawing()
    space = document.modelspace()
    space.add_circle((0, 0), 50)
    space.add_text("Wren")
    space.add_mtext("Wren")
    space.add_point((3, 3))
    space.add_hatch().paths.add_polyline_path([(0, 0), (9, 0), (9, 9)])
    space.add_linear_dim((0, 60), (0, 0), (50, 0)).render()
    space.add_3dface([(0, 0), (9, 0), (9, 9)])
    space.add_line((0, 0, 0), (5, 0, 5))
    space.add_circle((0, 0), 5, dxfattribs={"extrusion": (0, 1, 0)})
    space.add_line((1, 1), (1, 1))
    space.add_blockref("nobody", (0, 0))
    document.layout("Layout1").add_circle((0, 0), 500)
    found = of_dxf(tmp_path, document)
    assert found.length_mm == pytest.approx(100.0)
    said = "\n".join(found.ignored)
    for words in (
        "TEXT: words",
        "MTEXT: words",
        "POINT: a point has no length",
        "HATCH: a filling",
        "DIMENSION: a dimension",
        "3DFACE: it is no line and no curve",
        "LINE on layer",
        "it does not lie in the plane",
        "it has no length",
        "there is no such block",
        "paper space",
    ):
        assert words in said, said


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        (b" 40\n50.0\n", b" 40\nnan\n", "expected"),
        (b" 40\n50.0\n", b" 40\ninf\n", "expected"),
        (b" 40\n50.0\n", b" 40\n1e300\n", "expected"),
        (b" 40\n50.0\n", b" 40\nfifty\n", "expected"),
        (b"EOF", b"", "cut short"),
        (b"ENDSEC", b"ENDSUC", "expected"),
    ],
)
def test_what_is_wrong_is_told(tmp_path, old, new, sentence):
    document = drawing(version="R2000")
    document.modelspace().add_circle((0, 0), 50)
    data = dxf_bytes(document)
    assert old in data
    file = tmp_path / "drawing.dxf"
    file.write_bytes(data.replace(old, new))
    with pytest.raises(JiggenError, match="drawing.dxf") as error:
        read_outline(file, wish=Wish())
    assert sentence in str(error.value)
