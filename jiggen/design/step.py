"""One line of a derivation."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of a derivation, as on a blackboard.

    Attributes:
        name: What is found.
        formula: In words: `nut width − setbacks`.
        figures: The same with figures: `46.00 − 7.00`.
        result: With its unit.
        source: `solved`, `checked`, or where a given number comes from.
    """

    name: str
    formula: str
    figures: str
    result: str
    source: str
