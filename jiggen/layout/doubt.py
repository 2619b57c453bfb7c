"""What a tradesman would ask about before he starts."""

from dataclasses import dataclass

from jiggen.units import format_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Something that can be made, but is not usual.

    Attributes:
        name: By which a design silences it: `short-scale`.
        reason: What is doubtful and what it leads to, in one sentence.
        number: The figure in question, with its unit.
        usual: What is usual, with its unit.
        source: Where that comes from.
        mend: What would mend it, as an instruction; empty when the figures say it.
    """

    name: str
    reason: str
    number: str
    usual: str
    source: str = "common practice"
    mend: str = ""

    @property
    def text(self) -> str:
        """All of it on one line, for people."""
        mend = f" {self.mend}" if self.mend else ""
        return f"{self.reason}: {self.number}, usual is {self.usual} ({self.source}).{mend} [{self.name}]"


def below(name: str, reason: str, mm: float, least: float) -> Doubt | None:
    """Returns a doubt about a length of less than the least that is usual, or None.

    Args:
        name: Of the doubt.
        reason: As in `Doubt`.
        mm: The length.
        least: mm.
    """
    if mm >= least:
        return None
    return Doubt(name=name, reason=reason, number=format_mm(mm), usual=f"{least:g} mm or more")


def outside(name: str, reason: str, mm: float, least: float, most: float) -> Doubt | None:
    """Returns a doubt about a length outside the usual range, or None.

    Args:
        name: Of the doubt.
        reason: As in `Doubt`.
        mm: The length.
        least: mm.
        most: mm.
    """
    if least <= mm <= most:
        return None
    return Doubt(name=name, reason=reason, number=format_mm(mm), usual=f"{least:g} to {most:g} mm")
