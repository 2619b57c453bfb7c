"""The scale length from whatever distance along the string the maker gave. Millimetres."""

from collections.abc import Sequence

from jiggen.design.fret_places import remaining
from jiggen.design.fret_rule import FretRule
from jiggen.design.model import ASSUMED, SOLVED, Design, Given
from jiggen.design.step import Step
from jiggen.errors import ConflictError
from jiggen.units import format_mm


def solve_scale(
    design: Design, rule: FretRule, *, tolerance: float, where: str
) -> tuple[Given[float] | None, list[Step]]:
    """Returns the scale length that all given distances agree on, and how it follows; None when none was given.

    Args:
        design: May hold the scale, the distance to fret 12 or any other fret, or from the bridge to a fret.
        rule: Tells which part of the string a fret leaves.
        tolerance: By which the distances given may differ from those that follow, mm.
        where: The design, to name in errors.

    Raises:
        ConflictError: If two of them disagree.
    """
    told = list(_told(design, rule))
    own = [each for each in told if each[1].source != ASSUMED] or told
    if not own:
        return None, []
    name, given, share, _ = own[0]
    value = given.value if share == 1.0 else given.value / share
    steps = [_step(*own[0], value)]
    for other in own[1:]:
        _check(own[0], other, value, tolerance, where)
        steps.append(_step(*other, value))
    return (given if share == 1.0 else Given(value, SOLVED, note=f"from {name}")), steps


def _told(design: Design, rule: FretRule) -> Sequence[tuple[str, Given[float], float, str]]:
    """What is said of lengths along the string: name, value, its share of the scale, and that share in words."""
    told: list[tuple[str, Given[float], float, str]] = []
    if design.scale:
        told.append(("scale length", design.scale, 1.0, ""))
    if design.nut_to_twelfth:
        told.append(
            ("nut to 12th fret", design.nut_to_twelfth, 1.0 - remaining(rule, 12), "1 − part left at fret 12")
        )
    for name, at, from_nut in (
        ("nut to fret", design.nut_to_fret, True),
        ("bridge to fret", design.bridge_to_fret, False),
    ):
        if at:
            left = remaining(rule, at.value.fret)
            given = Given(at.value.distance, at.source, at.text, at.note, at.where)
            words = (
                f"1 − part left at fret {at.value.fret}" if from_nut else f"part left at fret {at.value.fret}"
            )
            told.append((f"{name} {at.value.fret}", given, 1.0 - left if from_nut else left, words))
    return told


def _step(name: str, given: Given[float], share: float, words: str, scale: float) -> Step:
    if share == 1.0:
        return Step(name=name, formula="", figures="", result=format_mm(scale), source=given.source)
    return Step(
        name="scale length",
        formula=f"{name} ÷ ({words})",
        figures=f"{given.value:.3f} ÷ {share:.8f}",
        result=format_mm(given.value / share),
        source=given.source,
    )


def _check(
    first: tuple[str, Given[float], float, str],
    other: tuple[str, Given[float], float, str],
    scale: float,
    tolerance: float,
    where: str,
) -> None:
    (name, given, _, _), (other_name, said, share, _) = first, other
    follows = scale * share
    if abs(said.value - follows) <= tolerance:
        return
    raise ConflictError(
        where=where,
        got=f"{name} {given.text or format_mm(given.value)} and {other_name} {said.text or format_mm(said.value)}, "
        f"which disagree by {abs(said.value - follows):.2f} mm",
        expected=f"numbers that agree within {tolerance:.2f} mm: a scale of {format_mm(scale)} puts {other_name} at "
        f"{format_mm(follows)}, and {format_mm(said.value)} asks for a scale of {format_mm(said.value / share)}",
        mend="Correct one of them, leave one out, or allow more with `tolerance`",
    )
