"""The derivation of a layout, step by step, as a teacher would write it on the board."""

from collections.abc import Iterator
from dataclasses import dataclass

from jiggen.design.fret_places import cents, distance
from jiggen.design.fret_rule import DivisorSteps, EqualSteps, FretRule, rule_words
from jiggen.design.model import SOLVED, Spacing
from jiggen.design.step import Step
from jiggen.layout.body_numbers import body_steps
from jiggen.layout.model import Layout
from jiggen.layout.radius import sagitta
from jiggen.layout.setup import StringSetup
from jiggen.units import format_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Steps that belong together."""

    title: str
    steps: tuple[Step, ...]


def derivation(layout: Layout, setup: StringSetup) -> tuple[Section, ...]:
    """Returns how every number of a layout follows from what was given.

    Args:
        layout: Of the neck.
        setup: Of the strings on it.
    """
    sections = (
        Section(title="Scale, widths and spreads", steps=layout.spec.steps),
        Section(title="Strings", steps=tuple(_strings(layout))),
        Section(title="Frets", steps=tuple(_frets(layout))),
        Section(title="Board", steps=tuple(_board(layout))),
        Section(title="Body", steps=tuple(body_steps(layout))),
        Section(title="Tension", steps=tuple(_tension(layout, setup))),
        Section(title="Saddle", steps=tuple(_saddle(layout, setup))),
    )
    return tuple(section for section in sections if section.steps)


def _strings(layout: Layout) -> Iterator[Step]:
    spec = layout.spec
    gaps = len(spec.courses.value) - 1
    if gaps < 1:
        return
    if spec.spacing.value is Spacing.GAPS:
        formula, what = "(spread − strings between the outer centres) ÷ gaps", "clear gap"
    else:
        formula, what = (
            "spread ÷ gaps",
            "from course to course" if gaps + 1 < spec.string_count.value else "from string to string",
        )
    for place, spread, positions, within in (
        ("nut", spec.spread_at_nut, spec.positions_nut, spec.course_spacing_nut),
        ("bridge", spec.spread_at_bridge, spec.positions_bridge, spec.course_spacing_bridge),
    ):
        if positions:
            listed = ", ".join(f"{each:.2f}" for each in positions.value)
            yield Step(
                name=f"strings at the {place}",
                formula="as given",
                figures="",
                result=f"{listed} mm",
                source=positions.source,
            )
            continue
        taken = _taken(layout, within.value)
        result = (spread.value - taken) / gaps
        figures = (
            f"{spread.value:.3f} ÷ {gaps}" if taken == 0.0 else f"({spread.value:.3f} − {taken:.3f}) ÷ {gaps}"
        )
        yield Step(
            name=f"{what}, at the {place}",
            formula=formula
            if taken == 0.0 or spec.spacing.value is Spacing.GAPS
            else "(spread − width of one course) ÷ gaps",
            figures=figures,
            result=format_mm(result),
            source=SOLVED,
        )


def _taken(layout: Layout, within: float) -> float:
    """What of the spread is not shared out among the gaps."""
    spec = layout.spec
    courses = spec.courses.value
    if spec.spacing.value is Spacing.GAPS and spec.gauges:
        gauges = spec.gauges.value
        return sum(gauges) - (gauges[0] + gauges[-1]) / 2.0 + within * (len(gauges) - len(courses))
    return (courses[0] - 1 + courses[-1] - 1) * within / 2.0


def _frets(layout: Layout) -> Iterator[Step]:
    spec = layout.spec
    frets = [fret for fret in layout.frets if fret.number > 0]
    if not frets:
        return
    rule = spec.fret_rule.value
    yield Step(
        name="fret rule", formula=rule_words(rule), figures="", result="", source=spec.fret_rule.source
    )
    shown = sorted({1, 2, 12, len(frets)} & set(range(1, len(frets) + 1)))
    if not spec.fanned:
        for number in shown:
            fret = frets[number - 1]
            yield _fret_step(rule, number, f"fret {fret.label}", ("scale", spec.scale.value))
        return
    for name, string in (("bass", layout.strings[-1]), ("treble", layout.strings[0])):
        run = string.line.end.x - string.line.start.x
        aside = string.line.end.y - string.line.start.y
        yield Step(
            name=f"run of the {name} string along the centre line",
            formula="√(its scale² − its way across²)",
            figures=f"√({string.scale:.3f}² − {abs(aside):.3f}²)",
            result=format_mm(run),
            source=SOLVED,
        )
        for number in shown:
            fret = frets[number - 1]
            yield _fret_step(
                rule, number, f"fret {fret.label} along the {name} string", ("its scale", string.scale)
            )
    yield Step(
        name="every fret",
        formula="the line through its places on the bass and the treble string",
        figures=f"both at one distance along the centre line at fret {spec.straight_fret.value:g}",
        result="",
        source=spec.straight_fret.source,
    )


def _fret_step(rule: FretRule, fret: int, name: str, scale: tuple[str, float]) -> Step:
    scale_name, length = scale
    match rule:
        case EqualSteps():
            share, figures = (
                f"{float(rule.period):g}^(−n/{rule.steps})",
                f"{float(rule.period):g}^(−{fret}/{rule.steps})",
            )
        case DivisorSteps():
            share, figures = "(1 − 1/divisor)^n", f"(1 − 1/{rule.divisor:g})^{fret}"
        case _:
            share, figures = "2^(−cents/1200)", f"2^(−{cents(rule, fret):.3f}/1200)"
    return Step(
        name=name,
        formula=f"{scale_name} × (1 − {share})",
        figures=f"{length:.3f} × (1 − {figures})",
        result=f"{distance(rule, length, fret):.3f} mm",
        source=SOLVED,
    )


def _board(layout: Layout) -> Iterator[Step]:
    spec = layout.spec
    if not spec.fanned:
        taper = (spec.width_at_saddle.value - spec.nut_width.value) / spec.scale.value
        at_twelfth = next((fret for fret in layout.frets if fret.number == 12), None)
        end = layout.board_end.start.x
        places = [("fret 12", at_twelfth.distance)] if at_twelfth else []
        places.append(("the board's end", end))
        for name, distance in places:
            yield Step(
                name=f"board width at {name}",
                formula="nut width + taper per mm × distance",
                figures=f"{spec.nut_width.value:.3f} + {taper:.6f} × {distance:.3f}",
                result=format_mm(spec.nut_width.value + taper * distance),
                source=SOLVED,
            )
    if layout.radius and layout.frets:
        fret = layout.frets[-1]
        radius = layout.radius.at(fret.distance)
        rise = sagitta(radius, fret.width)
        yield Step(
            name=f"rise of the board's middle at fret {fret.label}",
            formula="R − √(R² − (width ÷ 2)²)",
            figures=f"{radius:.2f} − √({radius:.2f}² − {fret.width / 2.0:.3f}²)",
            result=f"{rise:.3f} mm",
            source=SOLVED,
        )


def _tension(layout: Layout, setup: StringSetup) -> Iterator[Step]:
    for string, pull in zip(layout.strings, setup.pulls, strict=False):
        yield Step(
            name=f"tension of string {pull.number}, {pull.pitch.name}",
            formula="mass per length × (2 × scale × frequency)²",
            figures=f"{pull.unit_mass_kg_m:.7f} kg/m × (2 × {string.scale / 1000.0:.4f} m × {pull.pitch.frequency_hz:.3f} Hz)²",
            result=f"{pull.tension_n:.1f} N",
            source=SOLVED,
        )


def _saddle(layout: Layout, setup: StringSetup) -> Iterator[Step]:
    if setup.saddle is None:
        return
    for string, own in zip(layout.strings, setup.saddle.compensations, strict=False):
        yield Step(
            name=f"own setback of string {string.number}",
            formula="least squares of the fret errors (Anderson & Beausoleil 2024)",
            figures=f"{own.stretch.basis}; action {own.fretting.action_mm:.2f} mm",
            result=f"{own.setbacks.saddle_mm:.2f} mm, {own.rms_cents:.2f} cents left",
            source="estimate",
        )
    straight = setup.saddle.straight
    yield Step(
        name="straight saddle",
        formula="the line nearest to the strings' setbacks"
        if setup.saddle.compensations
        else "rule of thumb",
        figures="",
        result=f"{straight.setback_at_centre_mm:.2f} mm at the centre line, slope {straight.slope:+.4f}",
        source="estimate",
    )
