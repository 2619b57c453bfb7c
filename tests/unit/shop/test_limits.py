"""Every rule, broken once and kept once."""

import math
from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from support.shop import line, opening, plate, slot_at, tag_for, workshop

from jiggen.errors import InputError
from jiggen.geometry.path import Path, arc_around, circle, polyline, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.model import Feature, Role
from jiggen.shop.check import check_part
from jiggen.shop.compensate import compensate
from jiggen.shop.limits import LIMITS, Finding, Severity, allowed, errors_of
from jiggen.shop.limits import told as told_in_words
from jiggen.shop.machine import Process
from jiggen.shop.model import CutFeature

SAW = slot_at("fret.1", 20.0, 0.68)


def hole(id: str, x: float, diameter: float) -> Feature:
    return opening(id, circle(Point(x, 35.0), diameter / 2.0), diameter)


def lettering(id: str, height: float, x: float = 20.0) -> Feature:
    at = Point(x, 30.0)
    stroke = segment(at, at + Point(0.0, height))
    return Feature(id=id, role=Role.LETTERING, paths=(stroke,), text="I", letter_mm=height)


def findings(*features: Feature, outline: Path | None = None, **shop) -> tuple[Finding, ...]:
    there = workshop(**shop)
    part = plate(*features)
    if outline:
        edge = Feature(id="outline", role=Role.EDGE, paths=(outline,))
        part = replace(part, features=(edge, *part.features[1:]))
    return check_part(compensate(part, there, tag_for(part, there)), there)


def told(*features: Feature, **more) -> list[tuple[str, str, str]]:
    return [(each.name, each.feature, each.other) for each in findings(*features, **more)]


def test_a_sound_part_has_no_findings():
    features = (
        SAW,
        hole("pin.1", 60.0, 3.05),
        line("line.1", Point(80.0, 20.0), Point(180.0, 20.0)),
        line("line.2", Point(80.0, 20.0), Point(80.0, 50.0)),
        lettering("word", 2.5, 90.0),
    )
    assert told(*features) == []


@pytest.mark.parametrize(
    ("gap", "name"),
    [(0.3, "thin-web"), (0.39, "thin-web"), (0.41, "narrow-web"), (1.4, "narrow-web"), (1.6, None)],
)
def test_webs(gap, name):
    pair = hole("a", 60.0, 10.0), hole("b", 70.0 + gap, 10.0)
    found = findings(*pair)
    assert [(each.name, each.feature, each.other) for each in found] == ([(name, "a", "b")] if name else [])
    if found:
        assert found[0].measured_mm == pytest.approx(gap, abs=0.01)
        assert found[0].limit_mm == (0.4 if name == "thin-web" else 1.5)


def test_a_web_to_the_edge_counts_too():
    assert told(opening("a", circle(Point(60.0, 54.0), 5.0), 10.0)) == [("narrow-web", "outline", "a")]


def test_cuts_that_meet():
    assert told(hole("a", 60.0, 10.0), hole("b", 69.0, 10.0)) == [("contours-touch", "a", "b")]


def test_a_strip_between_two_notches_of_one_edge():
    comb = polyline(
        [
            *(ORIGIN, Point(200.0, 0.0), Point(200.0, 60.0), Point(106.0, 60.0), Point(106.0, 40.0)),
            *(Point(101.0, 40.0), Point(101.0, 60.0), Point(100.0, 60.0), Point(100.0, 40.0)),
            *(Point(95.0, 40.0), Point(95.0, 60.0), Point(0.0, 60.0)),
        ],
        closed=True,
    )
    (found,) = findings(outline=comb)
    assert (found.name, found.severity, found.feature) == ("sliver", Severity.WARNING, "outline")
    assert found.measured_mm == pytest.approx(1.0, abs=0.02)
    (error,) = findings(outline=comb, smallest_web_mm=1.2)
    assert (error.name, error.severity) == ("thin-web", Severity.ERROR)


def test_what_lies_in_an_opening_falls_out():
    window = opening("window", rectangle(Point(30.0, 18.0), Point(90.0, 50.0)))
    inner = hole("pin", 60.0, 5.0)
    mark = line("line.1", Point(40.0, 30.0), Point(120.0, 30.0))
    assert set(told(window, inner, mark)) == {
        ("inside-opening", "pin", "window"),
        ("mark-in-opening", "line.1", "window"),
    }


def test_what_runs_off_the_part():
    assert told(line("line.1", Point(150.0, 30.0), Point(203.0, 30.0))) == [("outside-part", "line.1", "")]


@pytest.mark.parametrize(
    ("diameter", "name"),
    [(0.35, "small-hole"), (0.9, "hole-under-thickness"), (2.95, "hole-under-thickness"), (3.0, None)],
)
def test_holes(diameter, name):
    assert told(hole("pin", 60.0, diameter)) == ([(name, "pin", "")] if name else [])


def test_a_hole_in_paper_may_be_as_small_as_it_likes():
    assert told(hole("pin", 60.0, 0.5), process=Process.PAPER) == []


def test_a_single_pass_says_what_was_asked_for():
    (found,) = findings(slot_at("fret.1", 20.0, 0.24))
    assert (found.name, found.feature, found.measured_mm, found.limit_mm) == (
        "single-pass",
        "fret.1",
        0.2,
        0.24,
    )


def test_inside_corners_that_a_tool_cannot_get_into():
    window = opening("window", rectangle(Point(30.0, 18.0), Point(90.0, 50.0)))
    soft = opening("soft", rectangle(Point(100.0, 18.0), Point(150.0, 50.0), radius=2.0))
    router = {"process": Process.ROUTER, "kerf": 3.0, "smallest_inside_radius_mm": 1.5}
    assert told(window, soft, **router) == [("inside-radius", "window", "")]
    assert told(replace(window, takes_square=True), **router) == []
    assert told(window, soft) == []


def test_lettering_too_low_to_read():
    (found,) = findings(lettering("word", 1.5))
    assert (found.name, found.measured_mm, found.limit_mm) == ("small-lettering", 1.5, 2.5)


@pytest.mark.parametrize(
    ("gap", "name"), [(0.0, "doubled-line"), (0.1, "line-gap"), (0.29, "line-gap"), (0.31, None)]
)
def test_lines_side_by_side(gap, name):
    one = line("a", Point(20.0, 30.0), Point(120.0, 30.0))
    other = line("b", Point(60.0, 30.0 + gap), Point(160.0, 30.0 + gap))
    assert told(one, other) == ([(name, "a", "b")] if name else [])


def test_arcs_side_by_side():
    arcs = [
        Feature(
            id=id,
            role=Role.LINE,
            paths=(Path((arc_around(Point(100.0, -60.0), radius, math.pi / 3.0, 0.8),)),),
        )
        for id, radius in (("a", 100.0), ("b", 100.2))
    ]
    assert told(*arcs) == [("line-gap", "a", "b")]


def test_a_stretch_that_is_cut_twice():
    one = opening("a", rectangle(Point(20.0, 20.0), Point(40.0, 40.0)))
    other = opening(
        "b", rectangle(Point(39.8, 20.0), Point(60.0, 40.0))
    )  # with 0.2 mm of kerf, on the same line
    names = {each.name for each in findings(one, other)}
    assert names >= {"contours-touch", "cut-twice"}


def test_a_cut_that_does_not_close():
    there, part = workshop(), plate(hole("pin", 60.0, 5.0))
    cut = compensate(part, there, tag_for(part, there))
    broken = CutFeature(
        feature=cut.features[1].feature,
        operation="cut-opening",
        paths=(Path(cut.features[1].paths[0].segments[:1]),),
    )
    found = check_part(replace(cut, features=(cut.features[0], broken, *cut.features[2:])), there)
    assert [(each.name, each.feature) for each in found] == [("open-contour", "pin")]


def test_a_finding_says_all_that_one_needs():
    (found,) = findings(hole("pin.1", 60.0, 2.05))
    assert str(found) == (
        "warning hole-under-thickness: part plate, feature pin.1: 2.05 mm at (60.0, 35.0): the hole is narrower than"
        " the sheet is thick, so that it tapers and may not come free; expected at least 3.00 mm. Try it on a coupon"
        " first, or use a larger pin."
    )


def test_findings_that_are_alike_are_told_in_one_sentence():
    pins = [hole(f"pin.{number}", 20.0 + 20.0 * number, 2.05) for number in range(1, 9)]
    one, other = told_in_words(findings(*pins, lettering("word", 1.5)))
    assert one == (
        "warning hole-under-thickness: part plate, features pin.1, pin.2, pin.3, pin.4, pin.5, pin.6 and 2 more:"
        " 2.05 mm: the hole is narrower than the sheet is thick, so that it tapers and may not come free; expected at"
        " least 3.00 mm. Try it on a coupon first, or use a larger pin."
    )
    assert other.startswith("warning small-lettering: part plate, feature word: 1.50 mm at ")


def test_webs_that_are_alike_are_named_with_both_sides():
    (one,) = told_in_words(findings(hole("a", 60.0, 10.0), hole("b", 71.0, 10.0), hole("c", 82.0, 10.0)))
    assert one.startswith(
        "warning narrow-web: part plate, features a and b, b and c: 1.00 mm: less than half"
    )


def test_errors_can_be_raised_and_warnings_cannot():
    found = findings(hole("a", 60.0, 10.0), hole("b", 70.2, 10.0), hole("pin", 100.0, 1.0))
    (error,) = errors_of(found)
    assert str(error) == (
        "part plate, feature a and b: got 0.20 mm at (65.1, 35.0): too little of the sheet is left to hold together,"
        " expected at least 0.40 mm. Move the two apart"
    )


def test_allowing_a_warning_marks_it():
    found = findings(hole("pin", 60.0, 1.0), lettering("word", 1.5))
    kept = allowed(found, ["small-lettering"], where="--allow")
    assert [(each.name, each.allowed) for each in kept] == [
        ("hole-under-thickness", False),
        ("small-lettering", True),
    ]


def test_errors_and_unknown_names_cannot_be_allowed():
    with pytest.raises(
        InputError, match=r"^--allow: got 'smal-lettering', expected the name of a warning: narrow-web,"
    ):
        allowed((), ["smal-lettering"], where="--allow")
    with pytest.raises(InputError, match="got thin-web, which is an error, expected the name of a warning"):
        allowed((), ["thin-web"], where="--allow")


def test_every_rule_has_words_to_be_read():
    for limit in LIMITS.values():
        assert limit.about
        assert limit.about[0].islower()
        assert limit.mend[0].isupper()
        assert not limit.mend.endswith(".")


def test_readme_lists_every_rule():
    readme = (FilePath(__file__).parents[3] / "README.md").read_text(encoding="utf-8")
    for limit in LIMITS.values():
        assert f"| `{limit.name}` | {limit.severity} | {limit.about} |" in readme
