"""The scale length from whatever distances along the strings the maker gave. Millimetres."""

from collections.abc import Iterator
from dataclasses import dataclass

from jiggen.design.fret_places import remaining
from jiggen.design.fret_rule import FretRule
from jiggen.design.model import ASSUMED, SOLVED, Design, Given
from jiggen.design.quote import is_own, key_of, missing, said, where_of
from jiggen.design.step import Step
from jiggen.design.taper import SAME
from jiggen.errors import ConflictError
from jiggen.units import format_mm

_ONE_SCALE = ("scale", "nut_to_twelfth", "nut_to_fret", "bridge_to_fret")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scales:
    """How long the strings are.

    Attributes:
        bass: Along the last string.
        treble: Along the first string; the same where frets are parallel.
        middle: Halfway between the two.
        steps: How they were derived.
    """

    bass: Given[float]
    treble: Given[float]
    middle: Given[float]
    steps: tuple[Step, ...]


def solve_scales(full: Design, rule: FretRule, *, tolerance: float, where: str) -> Scales | None:
    """Returns the scale lengths; None when none was given.

    Args:
        full: A design, filled up.
        rule: Tells which part of the string a fret leaves.
        tolerance: By which the distances given may differ from those that follow, mm.
        where: The design, to name in errors.

    Raises:
        ConflictError: If distances disagree, or a fan's two scales are given beside one scale or for one string.
        InputError: If one of a fan's two scales is missing.
    """
    bass, treble = full.scale_bass, full.scale_treble
    if bass is None and treble is None:
        return _one_scale(full, rule, tolerance, where)
    beside = [name for name in _ONE_SCALE if is_own(getattr(full, name))]
    if beside:
        fan = [name for name in ("scale_bass", "scale_treble") if getattr(full, name)]
        raise ConflictError(
            where=where_of(full, beside[0], getattr(full, beside[0])),
            got=f"{key_of(beside[0])} beside {' and '.join(key_of(name) for name in fan)}",
            expected="either one scale or two",
            mend=f"Take {key_of(beside[0])} out.",
        )
    if bass is None or treble is None:
        raise missing(full, "scale_bass" if bass is None else "scale_treble")
    if full.string_count and full.string_count.value == 1 and bass.value != treble.value:
        raise ConflictError(
            where=where_of(full, "scale_bass", bass),
            got=f"{said(bass)} and {said(treble)} for one string",
            expected="one scale",
            mend=f"Give {key_of('scale')} in place of the two.",
        )
    middle = Given((bass.value + treble.value) / 2.0, SOLVED)
    steps = (
        Step(name="bass scale", formula="", figures="", result=format_mm(bass.value), source=bass.source),
        Step(
            name="treble scale", formula="", figures="", result=format_mm(treble.value), source=treble.source
        ),
        Step(
            name="scale length",
            formula="(bass scale + treble scale) ÷ 2",
            figures=f"({bass.value:.3f} + {treble.value:.3f}) ÷ 2",
            result=format_mm(middle.value),
            source=SOLVED,
        ),
    )
    return Scales(bass=bass, treble=treble, middle=middle, steps=steps)


@dataclass(frozen=True, slots=True)
class _Told:
    """A distance along the strings: its name, what was given, its share of the scale, and that share in words."""

    name: str
    given: Given[float]
    share: float = 1.0
    words: str = ""


def _one_scale(full: Design, rule: FretRule, tolerance: float, where: str) -> Scales | None:
    told = sorted(_told(full, rule), key=lambda each: -each.share)  # the longest tells the scale best
    own = [each for each in told if each.given.source != ASSUMED] or told
    if not own:
        return None
    first = own[0]
    value = first.given.value / first.share
    for other in own[1:]:
        _check(first, other, value, tolerance, where)
    scale = first.given if first.share == 1.0 else Given(value, SOLVED, note=f"from {first.name}")
    steps = (_step(first), *(_checked(other, value) for other in own[1:]))
    return Scales(bass=scale, treble=scale, middle=scale, steps=steps)


def _told(full: Design, rule: FretRule) -> Iterator[_Told]:
    if full.scale:
        yield _Told("scale length", full.scale)
    if full.nut_to_twelfth:
        yield _Told(
            "nut to 12th fret", full.nut_to_twelfth, 1.0 - remaining(rule, 12), "1 − part left at fret 12"
        )
    for name, at, from_nut in (
        ("nut to fret", full.nut_to_fret, True),
        ("bridge to fret", full.bridge_to_fret, False),
    ):
        if at:
            fret = at.value.fret
            left = remaining(rule, fret)
            given = Given(at.value.distance, at.source, at.text, at.note, at.where)
            words = f"part left at fret {fret}"
            yield _Told(
                f"{name} {fret}",
                given,
                1.0 - left if from_nut else left,
                f"1 − {words}" if from_nut else words,
            )


def _step(told: _Told) -> Step:
    if told.share == 1.0:
        result = format_mm(told.given.value)
        return Step(name="scale length", formula="", figures="", result=result, source=told.given.source)
    return Step(
        name="scale length",
        formula=f"{told.name} ÷ ({told.words})",
        figures=f"{told.given.value:.3f} ÷ {told.share:.8f}",
        result=format_mm(told.given.value / told.share),
        source=SOLVED,
    )


def _checked(told: _Told, scale: float) -> Step:
    return Step(
        name=told.name,
        formula=f"given too, and it follows: scale length × ({told.words})",
        figures=f"given {said(told.given)}; {scale:.3f} × {told.share:.8f}",
        result=format_mm(scale * told.share),
        source="checked",
    )


def _check(first: _Told, other: _Told, scale: float, tolerance: float, where: str) -> None:
    follows, given = scale * other.share, other.given.value
    if abs(given - follows) <= tolerance + SAME:
        return
    raise ConflictError(
        where=where,
        got=f"{first.name} {said(first.given)} and {other.name} {said(other.given)}, "
        f"which disagree by {abs(given - follows):.3f} mm",
        expected=f"numbers that agree within {tolerance:.3f} mm: a scale of {format_mm(scale)} puts {other.name} at "
        f"{format_mm(follows)}, and {format_mm(given)} asks for a scale of {format_mm(given / other.share)}",
        mend="Correct one of them, leave one out, or allow more with `tolerance`",
    )
