"""SVG: units, view boxes, transforms, symbols, every shape; and what is left out is named."""

import math

import pytest
from support.outlines import FIGURE, of_svg, svg

from jiggen.errors import JiggenError
from jiggen.geometry.measure import area, faults, is_counter_clockwise, length
from jiggen.geometry.path import Arc, as_circle
from jiggen.outlines.asked import read_axis
from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline

IN_MM = 25.4


@pytest.mark.parametrize(
    ("head", "unit_mm"),
    [
        ('width="600mm" height="400mm" viewBox="0 0 600 400"', 1.0),
        ('width="60cm" height="40cm" viewBox="0 0 600 400"', 1.0),
        ('width="6in" height="4in" viewBox="0 0 600 400"', IN_MM / 100.0),
        ('width="432pt" height="288pt" viewBox="0 0 432 288"', IN_MM / 72.0),
        ('width="36pc" height="24pc" viewBox="0 0 36 24"', IN_MM / 6.0),
        ('width="600px" height="400px"', IN_MM / 96.0),
        ('width="600" height="400"', IN_MM / 96.0),
        ('viewBox="0 0 600 400"', IN_MM / 96.0),
        ('width="100%" height="100%" viewBox="0 0 600 400"', IN_MM / 96.0),
        ('width="600mm" viewBox="0 0 300 200"', 2.0),
        ('width="600mm" height="100mm" viewBox="0 0 600 400"', 0.25),
        ('width="600mm" height="100mm" viewBox="0 0 600 400" preserveAspectRatio="xMinYMax slice"', 1.0),
        ('width="600mm" height="400mm" viewBox="-50 -70 600 400"', 1.0),
    ],
)
def test_a_unit_is_what_the_file_says(tmp_path, head, unit_mm):
    found = of_svg(tmp_path, '<rect x="10" y="10" width="30" height="20"/>', head)
    assert found.length_mm == pytest.approx(30.0 * unit_mm, abs=1e-9)
    assert found.width_mm == pytest.approx(20.0 * unit_mm, abs=1e-9)


def test_a_file_in_pixels_may_be_told_its_unit_and_one_in_mm_may_not(tmp_path):
    body = '<rect x="10" y="10" width="30" height="20"/>'
    told = of_svg(tmp_path, body, 'width="600" height="400"', units="in")
    assert told.length_mm == pytest.approx(30.0 * IN_MM)
    assert any("as asked" in sentence for sentence in told.took)
    kept = of_svg(tmp_path, body, units="in")
    assert kept.length_mm == pytest.approx(30.0)
    assert any("the file says its own" in sentence for sentence in kept.ignored)


@pytest.mark.parametrize(
    ("body", "size", "surface"),
    [
        ('<rect width="40" height="30"/>', (40, 30), 1200.0),
        ('<rect width="4cm" height="10%"/>', (40.0 / 600.0 * 600.0, 40), None),
        ('<rect width="40" height="30" rx="5"/>', (40, 30), 1200.0 - (4.0 - math.pi) * 25.0),
        ('<rect width="40" height="30" rx="50"/>', (40, 30), math.pi * 20.0 * 15.0),
        ('<circle cx="50" cy="50" r="30"/>', (60, 60), math.pi * 900.0),
        ('<ellipse cx="90" cy="90" rx="80" ry="40"/>', (160, 80), math.pi * 3200.0),
        ('<polygon points="0,0 40,0 40,30 0,30"/>', (40, 30), 1200.0),
        ('<polyline points="0,0 40,0 40,30 0,30 0,0"/>', (40, 30), 1200.0),
        ('<path d="M0 0h40v30h-40z"/>', (40, 30), 1200.0),
        ('<path d="m0,0l40-0 0,30-40,0z"/>', (40, 30), 1200.0),
        ('<path d="M10,50 A40,40 0 0 1 90,50 A40 40 0 0 1 10 50"/>', (80, 80), math.pi * 1600.0),
        ('<path d="M0,0 Q20,40 40,0 z"/>', (40, 20), 2.0 / 3.0 * 40.0 * 20.0),
        ('<path d="M0,0 L40,0 T40 30 L0,30 z"/>', None, None),
        (
            '<line x2="40"/><line y1="30" x2="40"/><line y1="30"/>',
            None,
            600.0,
        ),
    ],
)
def test_every_shape_is_read(tmp_path, body, size, surface):
    found = of_svg(tmp_path, body, axis=read_axis("x", where="-"))
    assert not faults(found.outline)
    assert is_counter_clockwise(found.outline)
    if surface is not None:
        assert area(found.outline) == pytest.approx(surface, rel=3e-4)
    if size is not None and surface is not None:
        assert (found.length_mm, found.width_mm) == pytest.approx(size, abs=0.02)


def test_lines_and_circles_stay_exact(tmp_path):
    found = of_svg(tmp_path, '<g transform="rotate(33) scale(2)"><circle cx="50" cy="-50" r="30"/></g>')
    circle = as_circle(found.outline)
    assert circle is not None
    assert circle[1] == pytest.approx(60.0, abs=1e-9)
    assert found.fit_error_mm == 0.0


def test_transforms_are_nested_through_groups_views_and_symbols(tmp_path):
    body = """
      <defs><symbol id="s" viewBox="0 0 10 10"><path d="M0,0 L10,0 L10,5 L0,5z"/></symbol>
      <g id="twice" transform="scale(2)"><use xlink:href="#s" x="5" y="5" width="50" height="50"/></g></defs>
      <g transform="translate(10,10) rotate(30)"><svg x="3" y="4" width="200" height="200" viewBox="0 0 100 100">
      <use href="#twice"/></svg></g>"""
    found = of_svg(tmp_path, body)
    assert found.length_mm == pytest.approx(200.0, abs=1e-6)
    assert found.width_mm == pytest.approx(100.0, abs=1e-6)
    assert any("30.000°" in sentence for sentence in found.took)


def test_a_sheared_circle_is_fitted(tmp_path):
    found = of_svg(tmp_path, '<circle r="50" transform="translate(200,200) skewX(30) scale(2 1)"/>')
    assert area(found.outline) == pytest.approx(math.pi * 5000.0, rel=1e-4)
    assert found.fit_error_mm <= 0.01


def test_what_draws_no_outline_is_named(tmp_path):
    body = """<rect width="600" height="400"/><circle cx="90" cy="90" r="80"/><text x="3">Wren</text>
      <image href="http://example.invalid/picture.png"/><circle r="3" style="display:none"/>
      <circle cx="90" cy="90" r="30" visibility="hidden"/><g fill="none"><circle cx="90" cy="90" r="20" stroke="none"/></g>
      <circle cx="90" cy="90" r="10" clip-path="url(#c)"/><use href="other.svg#a"/><use href="#nobody"/>
      <line x1="90" y1="0" x2="90" y2="200"/><path d=""/><style>circle { display: none }</style>"""
    found = of_svg(tmp_path, body)
    assert found.length_mm == pytest.approx(160.0)
    assert len(found.inner) == 1
    said = "\n".join(found.ignored)
    for words in (
        "it is the page",
        "words are no outline",
        "a picture is no outline",
        "it is hidden",
        "neither filled nor stroked",
        "shapes are taken whole",
        "nothing outside of it is read",
        "it is not in this file",
        "it bounds nothing",
        "it has no length",
        "a style sheet",
    ):
        assert words in said, said


def test_a_group_can_be_chosen_by_its_id_or_label(tmp_path):
    body = """<g id="plan"><circle cx="200" cy="50" r="10"/></g>
      <g xmlns:e="urn:editor" e:label="body outline"><circle cx="60" cy="50" r="20"/></g>"""
    with pytest.raises(
        JiggenError, match="2 contours side by side.*40.00 × 40.00 mm.*20.00 × 20.00 mm"
    ) as error:
        of_svg(tmp_path, body)
    assert "plan, body outline" in str(error.value)
    assert of_svg(tmp_path, body, layer="plan").width_mm == pytest.approx(20.0)
    assert of_svg(tmp_path, body, layer="body outline").width_mm == pytest.approx(40.0)
    with pytest.raises(JiggenError, match="Did you mean plan"):
        of_svg(tmp_path, body, layer="plam")


def test_a_figure_lies_on_its_centre_line_with_the_smaller_bout_at_the_neck_end(tmp_path):
    upright = of_svg(tmp_path, f'<path d="{FIGURE}"/>')
    for transform in ("rotate(20 100 50)", "rotate(200)", "translate(300 300) scale(-1 1) rotate(77)"):
        found = of_svg(tmp_path, f'<path transform="{transform}" d="{FIGURE}"/>')
        assert found.length_mm == pytest.approx(upright.length_mm, abs=0.03)
        assert found.width_mm == pytest.approx(upright.width_mm, abs=0.03)
        assert found.asymmetry_mm == pytest.approx(upright.asymmetry_mm, abs=0.01)
        assert found.outline.box.low.x == pytest.approx(0.0, abs=1e-9)
        near = [piece.start for piece in found.outline if piece.start.x < 20.0]
        far = [piece.start for piece in found.outline if piece.start.x > 60.0]
        assert max(abs(point.y) for point in near) < max(abs(point.y) for point in far)
    turned = of_svg(tmp_path, f'<path d="{FIGURE}"/>', turned=True)
    assert max(turned.outline, key=lambda piece: piece.start.y).start.x < 40.0


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        ('<path d="M10,50 L nan 3"/>', 'got path data "nan 3"'),
        ('<path d="M10,50 L 3 3 9"/>', "as many numbers after each letter as it needs"),
        ('<path d="M10,50 L 1e999 3 4 4z"/>', "numbers that a drawing could have"),
        ('<circle r="1e300"/>', "numbers that a drawing could have"),
        ('<circle r="inf"/>', 'got "inf"'),
        ('<path d="L 3 3"/>', "M first"),
        ('<path d="M0,0 L5,5 exec"/>', "path data"),
        ('<polygon points="1,2 3"/>', "pairs of numbers"),
        ('<polygon points="1,2 x,3"/>', "pairs of numbers"),
        ('<g transform="rotatr(3)"><circle r="3"/></g>', 'got transform "rotatr(3)"'),
        ('<g transform="rotate(3,4)"><circle r="3"/></g>', "got transform"),
        ('<rect width="3furlong" height="3"/>', "a length such as 12 or 12mm"),
        ('<path d="M10,10 L50,10 L10,40 L50,40 z"/>', "meets itself at (30.00, 25.00) mm"),
        ('<path d="M0,0 h40 v30 h-50 v-10 h70 z"/>', "meets itself at"),
        ('<path d="M10,10 L50,10 L10,10z"/>', "it bounds no area"),
        ('<path d="M10,10 L50,10 L50,50"/>', "no closed contour: a line with loose ends"),
        ("<text>Wren</text>", "words are no outline"),
        ("", "nothing that is drawn"),
        ('<circle r="9" cx="9" cy="9"/><circle r="9" cx="15" cy="9"/>', "that meets one of"),
        ('<svg viewBox="0 0 0 5"><circle r="3"/></svg>', "four numbers"),
    ],
)
def test_what_is_wrong_is_told(tmp_path, body, sentence):
    with pytest.raises(JiggenError, match="drawing.svg") as error:
        of_svg(tmp_path, body)
    assert sentence in str(error.value)


def test_a_wrong_name_does_not_matter_but_is_told(tmp_path):
    file = tmp_path / "body.dxf"
    file.write_text(svg('<circle r="9" cx="9" cy="9"/>'))
    found = read_outline(file, wish=Wish())
    assert found.kind == "svg"
    assert any("named" in sentence for sentence in found.took)


def test_an_arc_of_more_than_a_half_turn_is_one_circle_and_a_line(tmp_path):
    found = of_svg(tmp_path, '<path d="M10,50 A40,40 0 1 1 10,50.001z"/>')
    arcs = [piece for piece in found.outline if isinstance(piece, Arc)]
    assert all(arc.radius == pytest.approx(40.0, abs=1e-3) for arc in arcs)
    assert length(found.outline) == pytest.approx(80.0 * math.pi, abs=1e-2)
