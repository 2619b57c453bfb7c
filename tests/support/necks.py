"""Seeded random readings of a neck of known scale, with slips and missing frets."""

from random import Random

from jiggen.design.fret_places import distance
from jiggen.design.fret_rule import EqualSteps, FretRule
from jiggen.layout.measured import Reading

SCALE = 628.0  # mm: the Wren
NOISE = 0.1  # mm, of a steel rule read by eye
TWELVE = EqualSteps(steps=12)


def seeded(seed: int) -> Random:
    """The same chance every time."""
    return Random(seed)  # noqa: S311 - no secrets here


def neck(
    chance: Random,
    *,
    rule: FretRule = TWELVE,
    frets: range = range(1, 21),
    offset: float = 0.0,
    noise: float = NOISE,
    slips: int = 0,
    missing: int = 0,
) -> tuple[list[Reading], set[int]]:
    """Returns readings, and the frets whose reading is a slip."""
    present = sorted(chance.sample(frets, len(frets) - missing))
    slipped = set(chance.sample(present, slips))
    return [
        Reading(
            fret=fret,
            distance=distance(rule, SCALE, fret)
            + offset
            + chance.gauss(0.0, noise)
            + (chance.choice([-27.0, -10.0, 9.0, 10.0]) if fret in slipped else 0.0),
        )
        for fret in present
    ], slipped
