import pytest

from jiggen.geometry.box import Box
from jiggen.geometry.measure import area, bounds
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.parts.model import Role
from jiggen.parts.plate import Notch, Side, plate

BOX = Box(Point(-10.0, 0.0), Point(90.0, 30.0))
CORNERS = (4.0 - 3.141592653589793) * 2.0**2  # lost at four corners of radius 2


def notch(side: Side, at: float, *, pointed: bool = False, width: float = 2.0) -> Notch:
    return Notch(id=f"{side}.{at:.0f}", side=side, at=at, width=width, depth=4.0, pointed=pointed)


def test_plain_plate_is_a_counter_clockwise_rounded_rectangle():
    (outline,) = plate(BOX, radius=2.0)
    assert outline.role is Role.EDGE
    assert area(outline.paths[0]) == pytest.approx(3000.0 - CORNERS)
    assert BOX.grown(1e-9).contains(bounds(outline.paths[0]))
    assert bounds(outline.paths[0]).grown(1e-9).contains(BOX)


@pytest.mark.parametrize("side", list(Side))
def test_square_notch_takes_its_width_times_its_depth(side):
    outline, cut = plate(BOX, radius=2.0, notches=(notch(side, 15.0),))
    assert area(outline.paths[0]) == pytest.approx(3000.0 - CORNERS - 2.0 * 4.0)
    assert cut.cut_in == "outline"
    assert cut.width_mm == 2.0
    assert BOX.grown(1e-9).contains(bounds(outline.paths[0]))
    assert bounds(outline.paths[0]).grown(1e-9).contains(BOX)


@pytest.mark.parametrize("side", list(Side))
def test_pointed_notch_takes_half_of_that(side):
    outline, _ = plate(BOX, radius=2.0, notches=(notch(side, 15.0, pointed=True),))
    assert area(outline.paths[0]) == pytest.approx(3000.0 - CORNERS - 4.0)


def test_notch_stands_for_the_line_from_its_mouth_to_its_bottom():
    _, cut = plate(BOX, radius=2.0, notches=(notch(Side.BOTTOM, 15.0),))
    assert cut.datum == Line(Point(15.0, 0.0), Point(15.0, 4.0))
    _, cut = plate(BOX, radius=2.0, notches=(notch(Side.TOP, 15.0, pointed=True),))
    assert cut.datum == Line(Point(15.0, 30.0), Point(15.0, 26.0))


def test_features_come_in_the_order_of_the_notches():
    features = plate(
        BOX, radius=2.0, notches=(notch(Side.BOTTOM, 50.0), notch(Side.LEFT, 15.0), notch(Side.BOTTOM, 5.0))
    )
    assert [feature.id for feature in features] == ["outline", "bottom.50", "left.15", "bottom.5"]


@pytest.mark.parametrize(
    "notches",
    [
        (notch(Side.BOTTOM, 15.0), notch(Side.BOTTOM, 16.5)),
        (notch(Side.BOTTOM, -9.0),),
        (notch(Side.RIGHT, 28.5),),
    ],
)
def test_notches_that_touch_are_refused(notches):
    with pytest.raises(ValueError, match="touches"):
        plate(BOX, radius=2.0, notches=notches)
