"""How high the open strings stand above the frets. Millimetres."""

from dataclasses import dataclass

from jiggen.design.fret_places import remaining
from jiggen.design.spec import Spec
from jiggen.errors import InputError
from jiggen.layout.intonation import fretting_from_action


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """How an open string lies over the plane of the fret tops.

    Attributes:
        at_nut: Height of its underside at the nut.
        rise: By how much it is higher at the saddle.
    """

    at_nut: float
    rise: float

    def at(self, share: float) -> float:
        """Returns the height of its underside at a share of the way from nut to saddle."""
        return self.at_nut + self.rise * share


def string_lies(spec: Spec) -> tuple[Lie, ...]:
    """Returns how each string lies, first string first; the action changes evenly from the first to the last.

    Raises:
        InputError: If action or height at the nut are not known.
    """
    setup = spec.setup
    if setup.action is None or setup.nut_height is None:
        raise InputError(
            where=f'design "{spec.design.name}", setup',
            got="no action or no height at the nut",
            expected="setup.action and setup.nut-height",
        )
    relief = setup.relief.value if setup.relief else 0.0
    lies = [
        fretting_from_action(
            scale_mm=spec.scale.value,
            action_mm=action,
            nut_height_mm=setup.nut_height.value,
            relief_mm=relief,
        )
        for action in string_actions(spec, treble=setup.action.value)
    ]
    return tuple(Lie(at_nut=each.nut_height_mm, rise=each.saddle_rise_mm) for each in lies)


def string_actions(spec: Spec, *, treble: float) -> tuple[float, ...]:
    """Returns the height of each string's underside over fret 12 as it is measured, relief and all, first string first.

    Args:
        spec: Of the neck.
        treble: The first string's; from there it changes evenly to the last one's.
    """
    bass = spec.setup.action_bass.value if spec.setup.action_bass else treble
    last = spec.string_count.value - 1
    return tuple(treble + (bass - treble) * (number / last if last else 0.0) for number in range(last + 1))


def share_at(spec: Spec, fret: int) -> float:
    """Returns how far along the string a fret stands: 0 at the nut, 1 at the saddle."""
    return 1.0 - remaining(spec.fret_rule.value, fret)
