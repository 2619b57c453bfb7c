"""How far things may be off: the standard's table, what can be heard, and who has a say."""

import pytest

from jiggen.design.accuracy import (
    DEFAULT_LIMITS,
    Kind,
    cents_off,
    limits_of,
    linear_limit_mm,
    radial_limit_mm,
)
from jiggen.design.making import Accuracy, Grade
from jiggen.design.model import Given
from jiggen.design.read import design_from_text
from jiggen.profiles import find
from jiggen.shop.read import machine_from_profile

HEAD = 'schema = "jiggen-design/1"\nname = "Wren"\n'


@pytest.mark.parametrize(
    ("size", "fine", "medium"),
    # ISO 2768-1:1989, table 1: limit deviations for linear dimensions, classes f and m
    [
        (2.0, 0.05, 0.1),
        (3.0, 0.05, 0.1),
        (3.1, 0.05, 0.1),
        (6.1, 0.1, 0.2),
        (30.1, 0.15, 0.3),
        (120.1, 0.2, 0.5),
        (400.0, 0.2, 0.5),
        (628.0, 0.3, 0.8),
        (1000.1, 0.5, 1.2),
        (-628.0, 0.3, 0.8),
    ],
)
def test_a_dimension_is_held_to_its_row_of_the_standard(size: float, fine: float, medium: float) -> None:
    assert linear_limit_mm(size, Grade.FINE) == fine
    assert linear_limit_mm(size, Grade.MEDIUM) == medium


def test_no_class_is_tighter_on_a_longer_dimension_or_than_the_class_before() -> None:
    sizes = [0.1, 1.0, 5.0, 20.0, 100.0, 300.0, 900.0, 1900.0, 3900.0, 9000.0]
    for grade in Grade:
        limits = [linear_limit_mm(size, grade) for size in sizes]
        assert limits == sorted(limits)
    for size in sizes:
        limits = [linear_limit_mm(size, grade) for grade in Grade]
        assert limits == sorted(limits)


def test_a_radius_has_a_table_of_its_own() -> None:
    assert [radial_limit_mm(radius, Grade.FINE) for radius in (1.5, 4.0, 254.0)] == [0.2, 0.5, 1.0]
    assert radial_limit_mm(4.0, Grade.COARSE) == 1.0


def test_a_fret_may_be_off_by_what_its_cents_come_to() -> None:
    # cents per 0.1 mm at fret 12 of 650 mm: 0.1 · 1200 / (325 · ln 2), a string sounds in inverse proportion to length
    limit = DEFAULT_LIMITS.limit_mm(Kind.FRET, 325.0, string_left_mm=325.0)
    assert limit == pytest.approx(0.1 / 0.5327, rel=2e-3)
    assert cents_off(325.0, limit) == pytest.approx(1.0, abs=1e-9)


def test_a_fret_without_a_scale_is_held_like_any_line() -> None:
    assert DEFAULT_LIMITS.limit_mm(Kind.FRET, 314.0) == 0.2


def test_cents_end_at_the_saddle() -> None:
    assert cents_off(10.0, 10.0) is None
    assert cents_off(-1.0, -2.0) is None
    assert cents_off(100.0, -1.0) < 0.0


def test_the_design_is_asked_before_the_machine_and_that_before_the_default() -> None:
    machine = Accuracy(opening=Given(0.08), general=Given(Grade.MEDIUM))
    design = Accuracy(opening=Given(0.03), fret_cents=Given(0.5))
    limits = limits_of(design, machine)
    assert limits.limit_mm(Kind.OPENING, 0.6) == 0.03
    assert limits.fret_cents == 0.5
    assert limits.limit_mm(Kind.OUTLINE, 628.0) == 0.8
    assert limits.limit_mm(Kind.LETTERING, 3.0) == 0.5


def test_a_figure_of_its_own_goes_before_the_class() -> None:
    limits = limits_of(Accuracy(line=Given(0.07)))
    assert limits.limit_mm(Kind.LINE, 628.0) == 0.07
    assert limits.limit_mm(Kind.FRET, 314.0) == 0.07
    assert limits.limit_mm(Kind.FRET, 314.0, string_left_mm=314.0) != 0.07


def test_a_design_says_how_far_things_may_be_off() -> None:
    design = design_from_text(
        HEAD + '[accuracy]\nfret-cents = 0.5\nopening = "0.04mm"\ngeneral = "medium"\n', file="wren.toml"
    )
    limits = limits_of(design.accuracy)
    assert (limits.fret_cents, limits.grade, limits.own_mm[Kind.OPENING]) == (0.5, Grade.MEDIUM, 0.04)


def test_a_machine_s_profile_has_the_same_keys(tmp_path, monkeypatch) -> None:
    text = find("machines", "small-laser").text + "\n[accuracy]\noutline = '0.15mm'\n"
    (tmp_path / "machines").mkdir()
    (tmp_path / "machines" / "shed.toml").write_text(text, encoding="utf-8")
    monkeypatch.setenv("JIGGEN_PROFILES", str(tmp_path))
    machine = machine_from_profile(find("machines", "shed"))
    assert limits_of(machine.accuracy).limit_mm(Kind.OUTLINE, 628.0) == 0.15
