"""SVG to strokes: size, units, the turn of y, arcs, names."""

import gc
import math

import pytest

from jiggen.errors import InputError
from jiggen.proof.curves import geometry
from jiggen.proof.read_svg import read_svg
from jiggen.proof.report import Fault
from jiggen.proof.trace import Reading, Stroke

MICRON = 0.001  # mm
NAMES = 'id="plate.fret.7" data-part="plate" data-feature="fret.7"'


def svg(body: str, size: str = 'width="100mm" height="50mm" viewBox="0 0 100 50"') -> bytes:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}><g id="score">{body}</g></svg>'.encode()


def path(data: str, size: str = 'width="100mm" height="50mm" viewBox="0 0 100 50"') -> Reading:
    return read_svg(svg(f'<path {NAMES} d="{data}"/>', size))


def test_y_runs_up_again() -> None:
    reading = path("M 1 2 L 3 5")
    assert reading.findings == ()
    assert reading.traced[0].stroke == Stroke(((1.0, 48.0), (3.0, 45.0)), (0.0,), closed=False)
    assert reading.size_mm == (100.0, 50.0)


def test_names_are_the_element_s_and_the_group_s() -> None:
    (traced,) = path("M 1 2 L 3 5").traced
    assert (traced.operation, traced.part, traced.feature) == ("score", "plate", "fret.7")


def test_an_arc_that_turns_clockwise_on_the_screen_turns_right() -> None:
    """SVG 2, 9.3.8: sweep-flag 1 draws in the direction of growing angles, clockwise on a screen whose y runs down."""
    (traced,) = path("M 10 30 A 5 5 0 0 1 20 30").traced
    assert traced.stroke.bulges == (-1.0,)
    assert geometry(traced.stroke).bounds == pytest.approx(
        (10.0, 20.0, 20.0, 25.0), abs=MICRON
    )  # a hill, seen y up


def test_a_circle_keeps_centre_and_radius() -> None:
    reading = read_svg(svg(f'<circle {NAMES} cx="10" cy="20" r="2.5"/>'))
    assert reading.traced[0].stroke.points == ((12.5, 30.0), (7.5, 30.0))
    assert reading.traced[0].stroke.closed


@pytest.mark.parametrize(
    ("width", "mm"),
    [
        ("100mm", 100.0),
        ("10cm", 100.0),
        ("4in", 101.6),
        ("72pt", 25.4),
        ("6pc", 25.4),
        ("400Q", 100.0),
        ("1e2mm", 100.0),
    ],
)
def test_units_of_the_root_are_those_of_css(width: str, mm: float) -> None:
    """CSS Values and Units 4, 6.2: 1 in = 2.54 cm = 6 pc = 72 pt; 1 Q = 1/40 cm."""
    size = f'width="{width}" height="{width}" viewBox="0 0 10 10"'
    reading = path("M 0 10 L 10 10", size)
    assert reading.findings == ()
    assert sum(reading.traced[0].stroke.points, ()) == pytest.approx((0.0, 0.0, mm, 0.0))


@pytest.mark.parametrize("width", ["96", "96px"])
def test_pixels_are_96_to_the_inch_and_warned_of(width: str) -> None:
    reading = path("M 0 96 L 96 96", f'width="{width}" height="{width}" viewBox="0 0 96 96"')
    assert sum(reading.traced[0].stroke.points, ()) == pytest.approx((0.0, 0.0, 25.4, 0.0))
    assert {finding.fault for finding in reading.findings} == {Fault.NO_UNITS}


@pytest.mark.parametrize("width", ["", "wide", "-5mm", "0mm", "100%", "100em", "1e400mm"])
def test_a_size_that_is_no_length_is_refused(width: str) -> None:
    with pytest.raises(InputError, match="expected a length in mm"):
        path("M 0 0 L 1 1", f'width="{width}" height="50mm" viewBox="0 0 100 50"')


@pytest.mark.parametrize("box", ["", "0 0 100", "0 0 100 -50", "0 0 100 nan", "0 0 100mm 50mm"])
def test_a_view_box_that_is_none_is_refused(box: str) -> None:
    with pytest.raises(InputError, match="expected four numbers"):
        path("M 0 0 L 1 1", f'width="100mm" height="50mm" viewBox="{box}"')


def test_the_view_box_shifts_and_scales() -> None:
    (traced,) = path("M 10 5 L 20 5", 'width="100mm" height="50mm" viewBox="10,5 1000 500"').traced
    assert sum(traced.stroke.points, ()) == pytest.approx((0.0, 50.0, 1.0, 50.0))


def test_a_view_box_of_another_shape_is_named() -> None:
    reading = path("M 0 0 L 1 1", 'width="100mm" height="50mm" viewBox="0 0 100 60"')
    assert [finding.fault for finding in reading.findings] == [Fault.WRONG_SCALE]


def test_two_elements_of_one_id_are_named() -> None:
    reading = read_svg(svg(f'<path {NAMES} d="M 0 0 L 1 1"/>' * 2))
    assert [finding.fault for finding in reading.findings] == [Fault.WRONG_ID]


def test_other_namespaces_and_words_draw_nothing() -> None:
    body = '<title>M 0 0</title><x:path xmlns:x="urn:editor" d="M 0 0 L 1 1"/><desc><path d="M 0 0 L 1 1"/></desc>'
    reading = read_svg(svg(body))
    assert reading.traced == ()
    assert reading.findings == ()


def test_every_subpath_is_a_stroke() -> None:
    reading = path("M 0 0 L 1 0 M 5 5 L 6 5 L 6 6 Z")
    assert [traced.stroke.closed for traced in reading.traced] == [False, True]


def test_a_large_arc_goes_the_long_way_round() -> None:
    (traced,) = path("M 10 30 A 5 5 0 1 0 10 29").traced
    sweep = 4.0 * math.atan(abs(traced.stroke.bulges[0]))
    assert sweep == pytest.approx(math.tau - 2.0 * math.asin(0.1))


def test_a_file_that_was_read_is_let_go_of_at_once() -> None:
    gc.collect()
    path(" ".join(f"M {each} 2 L {each} 5" for each in range(1000)))
    assert gc.collect() < 100


def test_a_file_too_large_is_refused() -> None:
    with pytest.raises(InputError, match="at most 20000000"):
        read_svg(bytes(20_000_001))
