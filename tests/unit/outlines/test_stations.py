"""A table of stations becomes a smooth outline that tells how it keeps to each of them."""

import math
from pathlib import Path

import pytest

from jiggen.errors import JiggenError
from jiggen.geometry.measure import area, faults
from jiggen.outlines.asked import read_scale_to
from jiggen.outlines.model import Brought, Wish
from jiggen.outlines.read import read_outline


def half_width(share: float) -> float:
    return (
        180.0 * math.sqrt(max(math.sin(math.pi * share), 0.0)) * (1.0 - 0.1 * math.cos(2.0 * math.pi * share))
    )


def table(rows: list[str], head: str = "x (mm), half-width (mm)") -> str:
    return "\n".join([head, *rows])


ROUND = table([f"{12 * index}, {half_width(index / 40):.4f}" for index in range(41)])


def brought(tmp_path: Path, text: str, **wish: object) -> Brought:
    file = tmp_path / "traced.csv"
    file.write_text(text)
    return read_outline(file, wish=Wish(**wish))


def test_a_smooth_table_is_passed_through(tmp_path):
    found = brought(tmp_path, ROUND)
    assert found.kind == "csv"
    assert found.length_mm == pytest.approx(480.0, abs=0.02)
    assert found.outline.box.low.x == pytest.approx(0.0, abs=1e-9)
    assert area(found.outline) > 0.0
    assert not faults(found.outline)
    assert max(abs(each.residual_mm) for each in found.stations) < 0.02
    assert found.fit_error_mm <= 0.01
    between = [(index + 0.5) / 40 for index in range(2, 38)]
    places = [(point.x, abs(point.y)) for piece in found.outline for point in (piece.start,)]
    assert places
    assert all(
        abs(y - half_width(x / 480.0)) < 0.2 for x, y in places if between[0] < x / 480.0 < between[-1]
    )


def test_scatter_is_smoothed_and_told(tmp_path):
    scatter = [0.3 * math.sin(37.0 * index * index) for index in range(41)]
    rows = [
        f"{12 * index}, {half_width(index / 40) + (scatter[index] if 0 < index < 40 else 0.0):.4f}"
        for index in range(41)
    ]
    found = brought(tmp_path, table(rows))
    root_mean_square = math.sqrt(sum(each.residual_mm**2 for each in found.stations) / len(found.stations))
    assert 0.02 < root_mean_square <= 0.5
    for each in found.stations:
        true = half_width(each.x_mm / 480.0)
        assert each.half_width_mm + each.residual_mm == pytest.approx(true, abs=0.7)
    assert any("root mean square" in sentence for sentence in found.took)


def test_the_curve_may_be_held_close_to_the_stations(tmp_path):
    rows = [
        f"{12 * index}, {half_width(index / 40) + (index % 2 if 0 < index < 40 else 0):.4f}"
        for index in range(41)
    ]
    found = brought(tmp_path, table(rows), smooth_mm=0.05)
    root_mean_square = math.sqrt(sum(each.residual_mm**2 for each in found.stations) / len(found.stations))
    assert root_mean_square <= 0.05 + 1e-9


def test_two_sides_each_have_their_own(tmp_path):
    rows = [
        f"{12 * index}, {half_width(index / 40):.4f}, {0.9 * half_width(index / 40):.4f}"
        for index in range(41)
    ]
    found = brought(tmp_path, table(rows, "x (mm), half-width (mm), other-half-width (mm)"))
    box = found.outline.box
    assert -box.low.y == pytest.approx(0.9 * box.high.y, rel=1e-3)
    assert found.asymmetry_mm > 10.0
    assert {each.side for each in found.stations} == {1, -1}


@pytest.mark.parametrize("ends", [(30.0, 40.0), (30.0, 0.0), (0.0, 40.0)])
def test_an_end_with_a_width_is_cut_straight(tmp_path, ends):
    rows = [
        f"{20 * index}, {ends[0] * (1 - index / 10) + ends[1] * index / 10 + 20 * math.sin(math.pi * index / 10):.4f}"
        for index in range(11)
    ]
    found = brought(tmp_path, table(rows))
    assert found.length_mm == pytest.approx(200.0, abs=0.03)
    assert not faults(found.outline)
    assert found.asymmetry_mm < 0.03
    straight = [piece for piece in found.outline if abs(piece.start.x - piece.end.x) < 1e-9]
    assert sorted(round(piece.start.distance(piece.end), 6) for piece in straight if hasattr(piece, "start"))[
        -1:
    ] == [pytest.approx(2.0 * max(ends))]


def test_units_stand_in_the_head_behind_the_number_or_in_the_wish(tmp_path):
    inches = [f"{index}, {half_width(index / 10) / 25.4:.6f}" for index in range(11)]
    in_head = brought(tmp_path, table(inches, "x (in), half-width in"))
    in_wish = brought(tmp_path, table(inches, "x, half-width"), units="in")
    typed = brought(tmp_path, table([f"{row.replace(',', 'in,')}in" for row in inches], "x, half-width"))
    assert in_head.outline == in_wish.outline == typed.outline
    assert in_head.length_mm == pytest.approx(254.0, abs=0.02)


def test_it_is_scaled_and_turned_when_asked(tmp_path):
    scale = read_scale_to("width 400 mm", where="-")
    plain, scaled = brought(tmp_path, ROUND), brought(tmp_path, ROUND, scale_to=scale, turned=True)
    assert scaled.width_mm == pytest.approx(400.0, abs=1e-9)
    assert scaled.scale == pytest.approx(400.0 / plain.width_mm, rel=1e-4)
    assert scaled.fit_error_mm <= 0.01
    assert scaled.stations[0].x_mm == pytest.approx(0.0, abs=0.02)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("0, 0\n1, 2\n2, 3\n3, 0", "this file does not say its units"),
        (table(["0, 0", "5, 3", "4, 3", "9, 0"]), "expected stations in order"),
        (table(["0, 0", "5, 0", "7, 3", "9, 0"]), "got no half width"),
        (table(["0, 0", "5, 4"]), "got 2 stations"),
        (table(["0, 0", "5, nan", "7, 3", "9, 0"]), '"nan"'),
        (table(["0, 0", "5, 1e9", "7, 3", "9, 0"]), "exponent"),
        (table(["0, 0", "5; 3", "7, 3", "9, 0"]), "columns"),
        (table(["0, 0", "5, -3", "7, 3", "9, 0"]), "zero or a length above it"),
        (table(["0, 0", "1, 2, 3, 4", "7, 3", "9, 0"]), "got 4 columns"),
        (table(["0, 0", "5, 3"], "x (mm), width (mm)"), "expected the head x, half-width"),
        (
            table(
                ["0, 0, 3", "5, 3, 3", "7, 3, 3", "9, 1, 1"], "x (mm), half-width (mm), other-half-width (mm)"
            ),
            "both or none",
        ),
        (table([f"{index}, 5" for index in range(500)]), "at most 400"),
    ],
)
def test_what_is_wrong_is_told(tmp_path, text, sentence):
    with pytest.raises(JiggenError, match="traced.csv") as error:
        brought(tmp_path, text)
    assert sentence in str(error.value)
