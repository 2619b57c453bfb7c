"""What readings tell: patterns planted in seeded readings are found and named, and the advice fits."""

import math
from collections.abc import Callable, Iterable

import pytest
from support.necks import seeded

from jiggen.design.accuracy import DEFAULT_LIMITS, Kind
from jiggen.errors import InputError
from jiggen.proof.caliper import Group, Judgement, Subject, Verdict, judge
from jiggen.proof.caliper_advice import Do, advice, patterns
from jiggen.proof.caliper_picture import picture
from jiggen.proof.caliper_report import judgement_dict, judgement_lines, judgement_page, judgement_rows
from jiggen.proof.gauges import Gauge, GaugeReading, Sort

SCALE = 628.0
NOISE = 0.015  # mm, of a caliper in a steady hand


def fret_gauge(number: int) -> Gauge:
    x = SCALE * (1.0 - 2.0 ** (-number / 12.0))
    limit = DEFAULT_LIMITS.limit_mm(Kind.FRET, x, string_left_mm=SCALE - x)
    return Gauge(
        name=f"fret.{number}",
        sort=Sort.PLACE,
        nominal_mm=x,
        limit_mm=limit,
        at_mm=x,
        fret=number,
        string_left_mm=SCALE - x,
    )


SADDLE = Gauge(name="saddle", sort=Sort.PLACE, nominal_mm=SCALE, limit_mm=0.36, at_mm=SCALE)
FRETS = [fret_gauge(number) for number in range(1, 19)]


def width_gauge(name: str, at: float) -> Gauge:
    return Gauge(
        name=f"width@{name}", sort=Sort.WIDTH, nominal_mm=46.0 + 18.0 * at / SCALE, limit_mm=0.15, at_mm=at
    )


WIDTHS = [width_gauge(name, at) for name, at in (("nut", 0.0), ("5", 157.5), ("12", 314.0), ("end", 416.0))]
PART = [
    Gauge(name=f"guide/{name}", sort=sort, nominal_mm=nominal, limit_mm=limit, part="guide")
    for name, sort, nominal, limit in (
        ("length", Sort.OUTSIDE, 452.0, 0.3),
        ("width", Sort.OUTSIDE, 110.0, 0.15),
        ("fret.1/width", Sort.OPENING, 0.68, 0.05),
        ("fret.9/width", Sort.OPENING, 0.68, 0.05),
        ("pin.1/width", Sort.OPENING, 3.05, 0.05),
        ("pin.2/width", Sort.OPENING, 3.05, 0.05),
        ("fret.1..fret.18", Sort.MIDDLE, 370.0, 0.2),
        ("fret.1..fret.12", Sort.MIDDLE, 278.0, 0.2),
    )
]


def readings(
    gauges: Iterable[Gauge], off: Callable[[Gauge], float], *, seed: int = 1, repeats: int = 3
) -> list[GaugeReading]:
    chance = seeded(seed)
    return [
        GaugeReading(
            gauge=gauge, mm=gauge.nominal_mm + off(gauge) + chance.gauss(0.0, NOISE), where=f"line {n}"
        )
        for n, gauge in enumerate(each for each in gauges for _ in range(repeats))
    ]


def judged(some: list[GaugeReading], **more: float) -> Judgement:
    return judge(some, scale_mm=SCALE, fret_cents_limit=1.0, kerfs_mm={"guide": 0.2}, **more)


def names(judgement: Judgement) -> list[str]:
    return [pattern.name for pattern in patterns(judgement)]


def to_do(judgement: Judgement) -> list[Do]:
    return [each.do for each in advice(judgement)]


def group(judgement: Judgement, subject: Subject) -> Group:
    return next(each for each in judgement.groups if each.subject is subject)


SEEDS = pytest.mark.parametrize("seed", range(12))


@SEEDS
def test_a_neck_as_it_should_be_is_left_alone(seed: int) -> None:
    found = judged(readings([*FRETS, SADDLE], lambda _: 0.0, seed=seed))
    assert all(each.verdict is Verdict.OK for each in found.measured)
    assert found.ok
    assert to_do(found)[0] is Do.LEAVE
    assert found.saddle is not None
    assert abs(found.saddle.move_mm) <= 0.05


@SEEDS
def test_an_even_stretch_is_a_uniform_scale_and_the_saddle_mends_it(seed: int) -> None:
    share = 1.2e-3
    found = judged(readings(FRETS, lambda gauge: share * gauge.nominal_mm, seed=seed))
    assert "uniform scale" in names(found)
    estimate = group(found, Subject.NECK).causes.scale
    assert estimate is not None
    assert abs(estimate.value - share) <= 4.0 * estimate.uncertainty
    assert to_do(found)[0] is Do.MOVE_SADDLE
    assert found.saddle is not None
    assert found.saddle.move_mm == pytest.approx(share * SCALE, abs=0.06)
    assert max(map(abs, found.saddle.shift.after_cents)) < 0.3
    assert max(map(abs, found.saddle.shift.before_cents)) > 1.0


def test_a_stretch_that_the_saddle_shares_costs_nothing() -> None:
    found = judged(readings([*FRETS, SADDLE], lambda gauge: 1.2e-3 * gauge.nominal_mm))
    assert to_do(found)[0] is Do.LEAVE
    assert found.ok
    assert "uniform scale" in names(found)


@SEEDS
def test_a_nut_that_is_off_is_a_constant_offset(seed: int) -> None:
    found = judged(readings(FRETS, lambda _: 0.4, seed=seed))
    assert names(found) == ["constant offset"]
    offset = group(found, Subject.NECK).causes.offset
    assert offset is not None
    assert offset.value == pytest.approx(0.4, abs=0.02)
    assert Do.MOVE_SADDLE in to_do(found)


def test_a_nut_far_off_is_better_moved_than_the_saddle() -> None:
    found = judged(readings(FRETS, lambda _: 1.5))
    assert to_do(found)[:2] == [Do.MOVE_SADDLE, Do.MOVE_NUT]
    nut = next(each for each in advice(found) if each.do is Do.MOVE_NUT)
    assert "its front by 1.50 mm toward the saddle" in nut.sentence


@SEEDS
def test_one_bad_slot_is_named_and_has_no_say_in_the_saddle(seed: int) -> None:
    found = judged(readings(FRETS, lambda gauge: 0.4 if gauge.fret == 7 else 0.0, seed=seed))
    assert [each.gauge.name for each in group(found, Subject.NECK).odd] == ["fret.7"]
    assert "odd" in names(found)
    assert to_do(found)[:2] == [Do.LEAVE, Do.LOOK]
    look = next(each for each in advice(found) if each.do is Do.LOOK)
    assert look.sentence.startswith("fret.7 is off by +0.")
    assert found.saddle is not None
    assert abs(found.saddle.move_mm) < 0.05
    assert found.saddle.shift.before_cents[6] == pytest.approx(1731.2 * 0.4 / (SCALE - 209.0), abs=0.15)


def test_one_slip_among_readings_of_a_thing_is_left_out() -> None:
    some = readings(FRETS, lambda _: 0.0)
    slip = GaugeReading(gauge=some[0].gauge, mm=some[0].mm + 10.0, where="line 1")
    found = judged([slip, *some[1:]])
    assert [each.reading for each in found.slips] == [slip]
    assert group(found, Subject.NECK).odd == ()
    assert "slip, left out: line 1: fret.1" in "\n".join(judgement_lines(found))


def test_a_single_reading_that_is_odd_is_to_be_read_again() -> None:
    some = readings(FRETS, lambda gauge: 0.6 if gauge.fret == 7 else 0.0, repeats=1)
    look = next(each for each in advice(judged(some)) if each.do is Do.LOOK)
    assert "read it again; if it stands, fill the slot and saw it anew" in look.sentence


@SEEDS
def test_a_wrong_taper_is_named_and_planed(seed: int) -> None:
    found = judged(readings(WIDTHS, lambda gauge: 1e-3 * (gauge.at_mm or 0.0), seed=seed, repeats=4))
    assert names(found) == ["taper"]
    assert Do.PLANE in to_do(found)


@SEEDS
def test_a_board_too_narrow_all_along_is_named_as_such(seed: int) -> None:
    found = judged(readings(WIDTHS, lambda _: -0.5, seed=seed, repeats=4))
    assert names(found) == ["width"]
    (told,) = [each for each in advice(found) if each.about == "board"]
    assert "too narrow by 0." in told.sentence


@SEEDS
def test_a_kerf_that_is_another_is_told_by_openings_and_outsides(seed: int) -> None:
    signs = {Sort.OPENING: 1.0, Sort.OUTSIDE: -1.0, Sort.MIDDLE: 0.0}
    found = judged(readings(PART, lambda gauge: 0.08 * signs[gauge.sort], seed=seed))
    assert names(found) == ["constant offset"]
    offset = group(found, Subject.PART).causes.offset
    assert offset is not None
    assert offset.value == pytest.approx(0.08, abs=0.015)
    kerf = next(each for each in advice(found) if each.do is Do.SET_KERF)
    assert kerf.sentence.startswith(f"to {0.2 + offset.value:.3f} mm (± 0.0")
    assert kerf.sentence.endswith("then cut it again")


@SEEDS
def test_a_machine_s_scale_is_told_by_long_things(seed: int) -> None:
    found = judged(readings(PART, lambda gauge: 1e-3 * gauge.nominal_mm, seed=seed))
    assert names(found) == ["uniform scale"]
    scale = next(each for each in advice(found) if each.do is Do.SET_SCALE)
    assert scale.sentence.startswith("times 0.99")


def test_a_part_as_it_should_be_is_left_alone() -> None:
    assert to_do(judged(readings(PART, lambda _: 0.0))) == [Do.LEAVE]


def test_a_thing_near_its_limit_is_unsure_until_it_is_read_more_often() -> None:
    some = readings(PART[2:6], lambda gauge: 0.046 if gauge.name.endswith("pin.1/width") else 0.0, repeats=2)
    found = judged(some)
    pin = next(each for each in found.measured if each.gauge.name.endswith("pin.1/width"))
    assert pin.verdict is Verdict.UNSURE
    assert found.ok, "it is not out for certain"


def test_uncertainty_shrinks_with_repeats_as_it_should() -> None:
    few, many = (
        judged(readings(FRETS, lambda _: 0.0, repeats=count)).measured[0].expanded_mm for count in (2, 8)
    )
    assert many < few
    assert many >= 2.0 * 0.02 / math.sqrt(12.0) * 0.9, "the caliper's step stays"


def test_a_coarser_rule_is_less_sure() -> None:
    some = readings(FRETS, lambda _: 0.0)
    fine, coarse = (judged(some, resolution_mm=step).measured[0].expanded_mm for step in (0.02, 0.5))
    assert coarse > 5.0 * fine


def test_a_few_readings_tell_no_pattern() -> None:
    found = judged(readings(FRETS[:1], lambda _: 0.0, repeats=1))
    assert [pattern.sentence for pattern in patterns(found)] == ["too few readings to tell a pattern"]


def test_strings_are_measured_but_make_no_pattern() -> None:
    spread = Gauge(name="spread@nut", sort=Sort.SPREAD, nominal_mm=39.0, limit_mm=0.15, at_mm=0.0)
    found = judged(readings([spread], lambda _: 0.3))
    assert [each.verdict for each in found.measured] == [Verdict.OUT]
    assert names(found) == []
    assert not found.ok


def test_a_fret_beyond_the_saddle_gets_no_advice() -> None:
    assert judged(readings(FRETS[:1], lambda _: 700.0)).saddle is None


def test_no_readings_and_no_resolution_are_refused() -> None:
    with pytest.raises(InputError, match="the readings: got none, expected at least one"):
        judged([])
    with pytest.raises(InputError, match="resolution of the caliper"):
        judged(readings(FRETS, lambda _: 0.0), resolution_mm=0.0)


def test_the_order_of_readings_plays_no_part_in_what_is_found() -> None:
    some = readings([*FRETS, SADDLE], lambda gauge: 1e-3 * gauge.nominal_mm)
    one, other = judged(some), judged(some[::-1])
    by_name = {each.gauge.name: each for each in other.measured}
    assert all(by_name[each.gauge.name].mean_mm == pytest.approx(each.mean_mm) for each in one.measured)
    assert one.saddle is not None
    assert other.saddle is not None
    assert one.saddle.move_mm == pytest.approx(other.saddle.move_mm, abs=1e-9)


def everything() -> Judgement:
    some = readings([*FRETS, SADDLE, *WIDTHS, *PART], lambda gauge: 0.5 if gauge.fret == 7 else 0.0)
    return judged(some)


def test_the_page_needs_no_other_file_and_tells_all() -> None:
    found = everything()
    page = judgement_page(found, title="Wren, measured", facts=["<Wren>"], picture="<svg></svg>").decode()
    assert page.count("<svg>") == 1
    assert "&lt;Wren&gt;" in page
    assert "http" not in page
    assert "src=" not in page
    for row in judgement_rows(found)[1]:
        assert f"<td>{row[0]}</td>" in page
    for each in advice(found):
        assert each.sentence in page


def test_the_dict_is_plain_json() -> None:
    import json

    told = json.loads(json.dumps(judgement_dict(everything())))
    assert told["schema"] == "jiggen-caliper/1"
    assert [group["subject"] for group in told["groups"]] == ["neck", "board", "part"]
    assert told["groups"][0]["measured"][6]["odd"] is True
    assert told["saddle"]["frets"][0]["fret"] == 1


def test_the_picture_shows_every_reading_inside_the_page() -> None:
    from jiggen.drawing.model import Area, Ink, Words

    found = everything()
    page = picture(found, "Wren, measured")
    said = {item.line.text for item in page.items if isinstance(item, Words)}
    assert {"7", "18", "saddle", "nut", "end", "pin.1/width"} <= said
    dots = [item for item in page.items if isinstance(item, Area) and len(item.paths[0]) == 2]
    assert len(dots) == len(found.measured) + len(FRETS)  # frets stand in the diagram of their cents too
    for item in page.items:
        paths = item.paths if isinstance(item, Ink | Area) else ()
        for path in paths:
            for piece in path:
                assert 0.0 <= piece.start.x <= page.width_mm
                assert 0.0 <= piece.start.y <= page.height_mm
