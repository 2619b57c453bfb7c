"""What a maker asks of an outline is read in one place."""

import pytest
from support.outlines import FIGURE, of_svg

from jiggen.errors import JiggenError
from jiggen.outlines.asked import read_axis, read_scale_to


@pytest.mark.parametrize(
    ("text", "known", "mm"),
    [
        ("body-length 480 mm", "length", 480.0),
        ("width 370mm", "width", 370.0),
        ("length=19in", "length", 482.6),
        ("Head-Width: 3 1/4 in", "width", 82.55),
    ],
)
def test_a_length_to_scale_to(text, known, mm):
    found = read_scale_to(text, where="scale-to")
    assert (found.known, found.mm) == (known, pytest.approx(mm))


@pytest.mark.parametrize(
    "text", ["480 mm", "waist 200 mm", "length", "length 480", "length -3 mm", "x" * 500]
)
def test_what_is_no_such_length_is_an_error(text):
    with pytest.raises(JiggenError, match="scale-to"):
        read_scale_to(text, where="scale-to")


@pytest.mark.parametrize(
    ("text", "along", "at"),
    [
        ("auto", None, None),
        ("x", "x", None),
        ("y at 120 mm", "y", 120.0),
        ("x = -1in", "x", -25.4),
        ("y at 0mm", "y", 0.0),
    ],
)
def test_a_centre_line(text, along, at):
    found = read_axis(text, where="axis")
    assert (found.along, found.at_mm) == (along, at)


@pytest.mark.parametrize("text", ["z", "auto at 3mm", "x at 3", "y at", "middle"])
def test_what_is_no_centre_line_is_an_error(text):
    with pytest.raises(JiggenError, match="axis"):
        read_axis(text, where="axis")


@pytest.mark.parametrize(
    ("text", "mm"), [("length 480 mm", 480.0), ("width 12 in", 304.8), ("width 3 mm", 3.0)]
)
def test_an_outline_has_the_length_that_was_asked_for(tmp_path, text, mm):
    found = of_svg(tmp_path, f'<path d="{FIGURE}"/>', scale_to=read_scale_to(text, where="-"))
    assert (found.length_mm if "length" in text else found.width_mm) == pytest.approx(mm, abs=1e-9)
    assert found.fit_error_mm <= 0.01
    assert found.outline.box.width == pytest.approx(found.length_mm, abs=1e-9)


def test_a_length_that_no_such_drawing_could_have_is_an_error(tmp_path):
    with pytest.raises(JiggenError, match="scale-to"):
        of_svg(tmp_path, '<circle r="1e-3"/>', scale_to=read_scale_to("length 50 m", where="-"))
