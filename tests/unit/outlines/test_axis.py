"""The centre line is where one side mirrors the other best."""

import math

import numpy as np
import pytest
from support.outlines import FIGURE, of_svg

from jiggen.outlines.asked import read_axis
from jiggen.outlines.axis import find_axis
from jiggen.outlines.model import Axis


def heart(turn: float, shift: tuple[float, float], bump: float = 0.0) -> np.ndarray:
    """Corners of a figure that is symmetric about a line through `shift` at `turn`, but for a bump on one side."""
    angle = np.linspace(0.0, 2.0 * math.pi, 2001)
    radius = 150.0 * (1.0 + 0.2 * np.cos(angle) - 0.25 * np.cos(2.0 * angle))
    radius += bump * np.exp(-(((angle - 1.6) / 0.2) ** 2))
    x, y = radius * np.cos(angle), radius * np.sin(angle)
    places = np.column_stack(
        [x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)]
    )
    return places + shift


@pytest.mark.parametrize("turn", [0.0, 0.3, 1.2, math.pi / 2.0, 2.0, -0.7])
def test_a_turned_figure_has_its_line_turned(turn):
    found = find_axis(heart(turn, (40.0, -70.0)), Axis(), y_down=False)
    assert math.sin(found.angle - turn) == pytest.approx(0.0, abs=1e-6)
    aside = -(found.on.x - 40.0) * math.sin(turn) + (found.on.y + 70.0) * math.cos(turn)
    assert aside == pytest.approx(0.0, abs=1e-4)
    assert found.miss_mm < 0.01


def test_a_bump_on_one_side_moves_the_line_little():
    found = find_axis(heart(0.3, (0.0, 0.0), bump=3.0), Axis(), y_down=False)
    assert found.angle == pytest.approx(0.3, abs=0.01)
    assert 0.1 < found.miss_mm < 2.0


def test_asymmetry_is_the_largest_distance_from_the_mirrored_other_side(tmp_path):
    found = of_svg(tmp_path, '<path d="M0,0 h200 v98 h-200 z"/>', axis=read_axis("x at 50mm", where="-"))
    assert found.asymmetry_mm == pytest.approx(2.0, abs=1e-9)
    assert any("as asked" in sentence for sentence in found.took)
    assert found.outline.box.low.y == pytest.approx(-48.0)


def test_a_drawing_may_say_where_its_centre_line_lies(tmp_path):
    along_y = of_svg(tmp_path, f'<path d="{FIGURE}"/>', axis=read_axis("y", where="-"))
    assert any("along y" in sentence for sentence in along_y.took)
    at = of_svg(tmp_path, f'<path d="{FIGURE}"/>', axis=read_axis("y at 95mm", where="-"))
    assert at.length_mm == pytest.approx(along_y.length_mm, abs=1e-6)


def test_a_body_with_horns_that_was_drawn_upright_stays_so(tmp_path):
    """Where no line mirrors well, drawings mostly lie upright; the maker is asked to say so if not."""
    horns = (
        "M50,10 C60,0 72,2 70,14 C68,24 62,30 70,38 C90,40 100,60 98,85 C96,120 70,132 50,132"
        " C30,132 4,120 2,85 C0,60 12,50 14,40 C16,28 8,24 10,14 C14,4 40,0 50,10z"
    )
    found = of_svg(tmp_path, f'<path transform="scale(3)" d="{horns}"/>')
    assert any("along y" in sentence and "say where it lies" in sentence for sentence in found.took)
    assert 5.0 < found.asymmetry_mm < 50.0


def test_a_square_lies_along_a_side(tmp_path):
    assert of_svg(tmp_path, '<rect width="90" height="90"/>').length_mm == pytest.approx(90.0)


@pytest.mark.parametrize("sides", [(200, 100), (100, 200)])
def test_a_rectangle_lies_along_its_longer_side(tmp_path, sides):
    found = of_svg(tmp_path, f'<rect width="{sides[0]}" height="{sides[1]}"/>')
    assert (found.length_mm, found.width_mm) == pytest.approx((200.0, 100.0), abs=1e-9)
    assert any("both ends are alike" in sentence for sentence in found.took)


def test_a_right_handed_body_stays_one(tmp_path):
    """A drawing is turned, never mirrored: a hole on the treble side stays there, whichever way up it is drawn."""
    body = f'<path d="{FIGURE}"/><circle cx="120" cy="80" r="3"/>'
    places = []
    for transform in ("", "rotate(90)", "rotate(200)", "scale(-1 1)"):
        (hole,) = of_svg(tmp_path, f'<g transform="{transform}">{body}</g>').inner
        places.append(hole.box.centre)
    assert places[0].x == pytest.approx(places[2].x, abs=0.05)
    assert places[0].y == pytest.approx(places[1].y, abs=0.05)
    assert places[0].y == pytest.approx(places[2].y, abs=0.05)
    assert places[0].y == pytest.approx(-places[3].y, abs=0.05)
    # with the neck up and seen from the front, right is the treble side
    assert places[0].y > 10.0
