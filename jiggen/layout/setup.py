"""The strings on the neck: how hard they pull, and where the saddle should stand for the frets to be in tune.

Both are estimates from the numbers beside them. What cannot be reckoned, for want of a number, is left out and said.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.design.fret_rule import EqualSteps, FretRule, fret_step
from jiggen.design.model import ASSUMED, CompensationBy, Family, Given
from jiggen.design.spec import Spec
from jiggen.design.string_set import SetString, StringSet
from jiggen.errors import ConflictError, InputError
from jiggen.layout.compensation import ESTIMATE_CAUTION, Compensation, compensate
from jiggen.layout.intonation import FIRST_OCTAVE, Fretting, fretting_from_action, stretch_of
from jiggen.layout.model import Layout
from jiggen.layout.pitch import Pitch, read_pitch
from jiggen.layout.rule_of_thumb import RuleOfThumb, rule_of_thumb
from jiggen.layout.straight_saddle import (
    BreakPoint,
    StraightSaddle,
    best_straight_saddle,
    straight_saddle_errors_cents,
)
from jiggen.layout.tension import TENSION_CAUTIONS, Pull, Strain, add_up, strain_of, tension_n, unit_mass_of

#: Stress beyond this share of the wire's strength is near enough to breaking to say so (common practice).
NEAR_BREAKING = 0.8
_SAME_GAUGE_MM = 0.011  # half a thousandth of an inch, as gauges are given


@dataclass(frozen=True, slots=True, kw_only=True)
class StringPull:
    """One string's pull.

    Attributes:
        number: 1 is the treble-most.
        pitch: That it is tuned to.
        unit_mass_kg_m: Mass by length.
        tension_n: N.
        strain: How near that is to its strength; None when core or strength are not known.
    """

    number: int
    pitch: Pitch
    unit_mass_kg_m: float
    tension_n: float
    strain: Strain | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SaddlePlan:
    """Where the saddle should stand. Millimetres, from the saddle line on paper, away from the nut.

    Attributes:
        by: Model or rule of thumb.
        compensations: What the model found for each string, first string first; empty by rule of thumb.
        straight: The best straight saddle.
        residual_cents: What the frets are still off by on it: a row for each string, first fret first.
        rule: The rule of thumb; None by the model.
        caution: To be printed beside it.
    """

    by: CompensationBy
    compensations: tuple[Compensation, ...]
    straight: StraightSaddle
    residual_cents: tuple[tuple[float, ...], ...]
    rule: RuleOfThumb | None
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StringSetup:
    """The strings on a neck.

    Attributes:
        string_set: What they are; None when nobody said.
        pulls: Of each string, first string first; empty when unknown.
        pull: Per course and in all; None when unknown.
        saddle: None when it could not be reckoned.
        remarks: What could not be reckoned, and why; then strings near breaking; sentences.
        cautions: To be printed beside the tensions.
    """

    string_set: StringSet | None
    pulls: tuple[StringPull, ...]
    pull: Pull | None
    saddle: SaddlePlan | None
    remarks: tuple[str, ...]
    cautions: tuple[str, ...]


def set_up(layout: Layout, string_set: StringSet | None) -> StringSetup:
    """Returns pull and saddle of the strings on a neck.

    Args:
        layout: Of the neck.
        string_set: The set that the spec names.

    Raises:
        ConflictError: If set and spec are of another number of strings, or of other gauges.
        InputError: If a note cannot be read, or compensation is asked for by a rule of thumb for no known family.
    """
    spec = layout.spec
    remarks: list[str] = []
    pulls: tuple[StringPull, ...] = ()
    if string_set is None:
        remarks.append("No string set is named (strings.set), so tension is not known.")
    elif other := _other_strings(spec, string_set):
        remarks.append(other)
        string_set = None
    else:
        pulls = _pulls(layout, string_set)
        remarks += _near_breaking(pulls)
    saddle, why = _saddle(layout, string_set, pulls)
    if why:
        remarks.append(why)
    courses = [string.course for string in layout.strings]
    return StringSetup(
        string_set=string_set,
        pulls=pulls,
        pull=add_up([each.tension_n for each in pulls], courses) if pulls else None,
        saddle=saddle,
        remarks=tuple(remarks),
        cautions=TENSION_CAUTIONS if pulls else (),
    )


def _other_strings(spec: Spec, string_set: StringSet) -> str:
    """Tells why an assumed set does not apply; empty when the set is that of the spec.

    Raises:
        ConflictError: If it is not, although the maker named it.
    """
    clash = _clash(spec, string_set)
    if clash is None:
        return ""
    if spec.string_set is not None and spec.string_set.source == ASSUMED:
        return (
            f"The profile's string set {string_set.name} is not that of this design, so tension is not known."
        )
    raise clash


def _clash(spec: Spec, string_set: StringSet) -> ConflictError | None:
    count, counted = spec.string_count.value, len(string_set.strings)
    if count != counted:
        return ConflictError(
            where=f'design "{spec.design.name}", strings.set',
            got=f"set {string_set.name} of {counted} strings for {count} strings",
            expected="a set of as many strings",
            mend="Name another set, or change strings.count.",
        )
    gauges = spec.gauges.value if spec.gauges else ()
    for string, gauge in zip(string_set.strings, gauges, strict=False):
        if abs(string.diameter_mm.value - gauge) > _SAME_GAUGE_MM:
            return ConflictError(
                where=f'design "{spec.design.name}", strings.gauges',
                got=f"{gauge:.3f} mm for string {string.number}, where set {string_set.name} has "
                f"{string.diameter_mm.value:.3f} mm",
                expected="the same strings in both",
                mend="Leave strings.gauges out, or name a set of these gauges.",
            )
    return None


def _pulls(layout: Layout, string_set: StringSet) -> tuple[StringPull, ...]:
    spec = layout.spec
    notes = spec.tuning.value if spec.tuning else [string.pitch.value for string in string_set.strings]
    pulls: list[StringPull] = []
    for line, string, note in zip(layout.strings, string_set.strings, notes, strict=True):
        where = f'design "{spec.design.name}", strings.tuning, item {line.number}'
        pitch = read_pitch(note, a4_hz=spec.pitch_standard.value, where=where)
        mass = unit_mass_of(string)
        tension = tension_n(
            unit_mass_kg_m=mass, speaking_length_mm=line.scale, frequency_hz=pitch.frequency_hz
        )
        pulls.append(
            StringPull(
                number=line.number,
                pitch=pitch,
                unit_mass_kg_m=mass,
                tension_n=tension,
                strain=strain_of(string, tension),
            )
        )
    return tuple(pulls)


def _near_breaking(pulls: Sequence[StringPull]) -> list[str]:
    return [
        f"String {each.number} at {each.pitch.name} is pulled to {each.strain.share:.0%} of its strength of "
        f"{each.strain.strength_mpa:.0f} MPa ({each.strain.strength_source}): it may break."
        for each in pulls
        if each.strain and each.strain.share > NEAR_BREAKING
    ]


def _saddle(
    layout: Layout, string_set: StringSet | None, pulls: Sequence[StringPull]
) -> tuple[SaddlePlan | None, str]:
    """The saddle, or None and why."""
    by = layout.spec.setup.compensation.value if layout.spec.setup.compensation else CompensationBy.MODEL
    if by is CompensationBy.NONE:
        return None, ""
    if by is CompensationBy.RULE_OF_THUMB:
        return _by_rule_of_thumb(layout), ""
    why = _no_model(layout.spec, string_set)
    if why or string_set is None:
        return None, f"The saddle is not compensated: {why}"
    return _by_model(layout, string_set.strings, pulls), ""


def _no_model(spec: Spec, string_set: StringSet | None) -> str:
    """Why the model cannot be used; empty when it can."""
    if not _is_semitones(spec.fret_rule.value):
        return "the model is for frets among 12 equal steps to the octave."
    if spec.frets.value < 1:
        return "there are no frets to be in tune."
    if string_set is None:
        return "no string set is named; `--rule-of-thumb` does without."
    lacking = [
        key
        for key, given in (("setup.action", spec.setup.action), ("setup.nut-height", spec.setup.nut_height))
        if given is None
    ]
    if lacking:
        return f"{' and '.join(lacking)} must be known."
    unknown = [
        string.number
        for string in string_set.strings
        if string.response is None and (string.load_diameter_mm is None or string.wire.modulus_gpa is None)
    ]
    if unknown:
        return f"the set does not say how string {unknown[0]} stretches."
    return ""


def _is_semitones(rule: FretRule) -> bool:
    """Whether the frets are 12 equal steps to the octave, or some of them."""
    return isinstance(rule, EqualSteps) and rule.steps == 12 and rule.period == 2


def _by_model(layout: Layout, strings: Sequence[SetString], pulls: Sequence[StringPull]) -> SaddlePlan:
    spec = layout.spec
    reported = [fret_step(spec.fret_rule.value, fret) for fret in range(1, spec.frets.value + 1)]
    fitted = [step for step in reported if step <= 12] or FIRST_OCTAVE
    fitted = fitted if len(fitted) > 1 else FIRST_OCTAVE
    at_nut = bool(spec.setup.compensate_nut and spec.setup.compensate_nut.value)
    compensations = tuple(
        compensate(
            stretch_of(string, pull.tension_n),
            _fretting(spec, line.scale, place),
            frets=fitted,
            report=reported,
            at_nut=at_nut,
        )
        for line, string, pull, place in zip(
            layout.strings, strings, pulls, _places(len(strings)), strict=True
        )
    )
    straight = best_straight_saddle(
        [
            BreakPoint(
                across_mm=line.line.end.y, setback_mm=each.setbacks.saddle_mm, weight=1.0 / line.scale**2
            )
            for line, each in zip(layout.strings, compensations, strict=True)
        ]
    )
    return SaddlePlan(
        by=CompensationBy.MODEL,
        compensations=compensations,
        straight=straight,
        residual_cents=straight_saddle_errors_cents(straight, compensations),
        rule=None,
        caution=ESTIMATE_CAUTION,
    )


def _places(count: int) -> list[float]:
    """How far each string is from the first to the last: 0 to 1."""
    return [index / (count - 1) if count > 1 else 0.0 for index in range(count)]


def _fretting(spec: Spec, scale: float, place: float) -> Fretting:
    setup = spec.setup
    treble = _value(setup.action)
    bass = setup.action_bass.value if setup.action_bass else treble
    return fretting_from_action(
        scale_mm=scale,
        action_mm=treble + (bass - treble) * place,
        nut_height_mm=_value(setup.nut_height),
        relief_mm=setup.relief.value if setup.relief else 0.0,
        finger_mm=setup.finger.value if setup.finger else 0.0,
    )


def _value(given: Given[float] | None) -> float:
    if given is None:
        raise RuntimeError("a number that was checked to be there is missing")
    return given.value


def _by_rule_of_thumb(layout: Layout) -> SaddlePlan:
    rule = rule_of_thumb(_family(layout.spec))
    ends = [layout.strings[0], layout.strings[-1]] if len(layout.strings) > 1 else [layout.strings[0]]
    setbacks = (rule.treble_mm, rule.bass_mm)
    straight = best_straight_saddle(
        [
            BreakPoint(across_mm=string.line.end.y, setback_mm=setback)
            for string, setback in zip(ends, setbacks, strict=False)
        ]
    )
    return SaddlePlan(
        by=CompensationBy.RULE_OF_THUMB,
        compensations=(),
        straight=straight,
        residual_cents=(),
        rule=rule,
        caution=rule.caution,
    )


def _family(spec: Spec) -> Family:
    given = spec.setup.family
    if given is None:
        raise InputError(
            where=f'design "{spec.design.name}", setup.family',
            got="nothing",
            expected=f"a kind of instrument for the rule of thumb: {', '.join(Family)}",
            mend=f'Add it, such as setup.family = "{Family.STEEL_GUITAR}"',
        )
    return given.value
