"""Shop aids read from their DXF by ezdxf, and measured by school trigonometry and scipy, with none of our geometry.

Kerf is taken off by hand: openings are cut half a kerf smaller all round.
"""

import io
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from ezdxf.entities.circle import Circle
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read
from ezdxf.math import bulge_to_arc
from scipy.optimize import least_squares

from jiggen.design.model import Given
from jiggen.export.dxf import encode_dxf
from jiggen.prepare import Order, draw_up
from jiggen.reckon import load, work_out

MICRON = 0.001  # mm
KERF = 0.2  # mm, of cast acrylic in the library
WREN = Path(__file__).parents[2] / "profiles" / "instruments" / "wren.toml"
SCALE, NUT_SPREAD, BRIDGE_SPREAD = 628.0, 39.0, 57.0  # mm, of the Wren
BOARD_RADIUS = 16.0 * 25.4


def drawn(part: str, **setup: float) -> list[LWPolyline | Circle]:
    """What is cut of one part of the Wren, as ezdxf reads it."""
    design = load(WREN)
    design = replace(
        design, setup=replace(design.setup, **{name: Given(value) for name, value in setup.items()})
    )
    (sheet,) = draw_up(work_out(design), Order(parts=(part,))).sheets
    document = read(io.StringIO(encode_dxf(sheet).decode("cp1252")))
    return list(document.modelspace().query('*[layer=="cut-opening"]'))


def holes(part: str, diameter: float) -> np.ndarray:
    """(n, 2) centres of its holes of a clear diameter, low to high."""
    radius = (diameter - KERF) / 2.0
    found = [
        (each.dxf.center.x, each.dxf.center.y)
        for each in drawn(part)
        if isinstance(each, Circle) and abs(each.dxf.radius - radius) < MICRON
    ]
    return np.array(sorted(found, key=lambda place: place[1]))


def test_string_holes_stand_on_the_strings_carried_on():
    """Strings spread evenly from 39 mm at the nut to 57 mm at 628 mm, so at 644 mm by the rule of three."""
    places = holes("string-hole-jig", 5.05)
    at_holes = NUT_SPREAD + (BRIDGE_SPREAD - NUT_SPREAD) * (SCALE + 16.0) / SCALE
    assert len(places) == 6
    assert np.ptp(places[:, 0]) < MICRON
    assert np.diff(places[:, 1]) == pytest.approx(np.full(5, at_holes / 5.0), abs=MICRON)


def test_locator_and_jig_agree():
    marks, drilled = holes("bridge-locator", 1.55), holes("string-hole-jig", 5.05)
    pins = holes("bridge-locator", 3.25), holes("string-hole-jig", 3.25)
    assert marks - pins[0][0] == pytest.approx(drilled - pins[1][0], abs=MICRON)
    assert math.dist(*pins[0]) == pytest.approx(math.dist(*pins[1]), abs=MICRON)


def test_position_dots_lie_halfway_between_frets():
    """Fret n stands at L (1 - 2^(-n/12)); the dot of fret n midway between it and the fret before."""
    places = holes("inlay-guide", 6.05)
    frets = [SCALE * (1.0 - 2.0 ** (-n / 12.0)) for n in range(16)]
    middles = {n: (frets[n - 1] + frets[n]) / 2.0 for n in (5, 7, 9, 12, 15)}
    wanted = sorted([*middles.values(), middles[12]])
    along = np.sort(places[:, 0])
    assert np.diff(along) == pytest.approx(np.diff(wanted), abs=MICRON)


def arc_of(part: str, **setup: float) -> tuple[np.ndarray, float]:
    """Places along the one arc of a part's window, and the arc's own radius."""
    (window,) = (each for each in drawn(part, **setup) if isinstance(each, LWPolyline))
    points = list(window.get_points("xyb"))
    (index,) = (number for number, (*_, bulge) in enumerate(points) if bulge)
    start, end = points[index], points[(index + 1) % len(points)]
    centre, first, last, radius = bulge_to_arc(start[:2], end[:2], start[2])
    angles = np.linspace(first, last if last > first else last + 2.0 * math.pi, 50)
    return np.stack([centre.x + radius * np.cos(angles), centre.y + radius * np.sin(angles)], axis=1), radius


@pytest.mark.parametrize("part", ["nut-blank", "saddle-blank"])
def test_tops_of_nut_and_saddle_are_as_round_as_the_board(part):
    """A circle fitted to places on the arc; strings all of one height, so that the top is not tilted."""
    places, radius = arc_of(part, action_bass=1.9)
    guess = [*places.mean(axis=0), 300.0]
    fitted = least_squares(
        lambda p: np.hypot(places[:, 0] - p[0], places[:, 1] - p[1]) - p[2], guess, xtol=1e-15, ftol=1e-15
    ).x
    assert fitted[2] == pytest.approx(radius, abs=MICRON)
    tilted = (
        0.01 if part == "nut-blank" else 0.0
    )  # the nut rises by half the strings' gauges from treble to bass
    assert fitted[2] + KERF / 2.0 == pytest.approx(BOARD_RADIUS, rel=tilted, abs=MICRON)


def test_truss_rod_slot_is_as_long_and_wide_as_said():
    (slot,) = (each for each in drawn("truss-rod-guide") if isinstance(each, LWPolyline))
    places = np.array(slot.get_points("xy"))
    size = np.ptp(places, axis=0)
    begin = (6.0 - KERF) / 2.0  # the half turn at the beginning reaches so far beyond its ends
    assert size[0] + begin == pytest.approx(360.0 - KERF, abs=MICRON)
    assert size[1] == pytest.approx(10.0 - KERF, abs=MICRON)
