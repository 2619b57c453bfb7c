"""The straight taper from any sufficient set of widths, spreads, setbacks and the angle between the edges.

A board of straight edges has width(x) = w + k·x, its outer strings spread(x) = s + k·x at the same taper k, and
the two differ by the setbacks on both sides: w − s = c. Three numbers are unknown; three facts that do not follow
from one another settle them, and any further fact is checked. Millimetres; x from the nut.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from jiggen.design.step import Step
from jiggen.errors import ConflictError, InputError
from jiggen.units import format_mm

#: mm; lengths that differ by less are one, told apart by the last bits of a float only.
SAME = 1e-9


class Kind(StrEnum):
    """What a fact tells."""

    WIDTH = "width"  #: of the board at a place
    SPREAD = "spread"  #: centre to centre of the outer strings at a place
    SETBACKS = "setbacks"  #: from edge to string centre, both sides together
    TAPER = "taper"  #: growth of the width per mm of length


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One number that the maker gave, or that is assumed.

    Attributes:
        name: In the maker's words: `nut width`.
        kind: What it tells.
        at: Its place from the nut, mm; None for setbacks and taper.
        value: mm; for a taper mm per mm.
        text: The value to quote, with its unit.
        source: Where it comes from.
        formula: How it was made of other numbers, in words; empty when it was given as it is.
        figures: The same with figures.
    """

    name: str
    kind: Kind
    at: float | None
    value: float
    text: str
    source: str
    formula: str = ""
    figures: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """The taper that all facts agree on.

    Attributes:
        width_at_nut: mm.
        width_at_saddle: mm, projected.
        spread_at_nut: mm.
        spread_at_saddle: mm.
        assumed: Names of the assumed facts that were needed.
        steps: How it was derived.
    """

    width_at_nut: float
    width_at_saddle: float
    spread_at_nut: float
    spread_at_saddle: float
    assumed: frozenset[str]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class _Known:
    """A number and what it is called in a derivation."""

    value: float
    name: str


@dataclass(slots=True)
class _Board:
    """What is known so far; grows by deduction."""

    scale: float
    widths: dict[float, _Known] = field(default_factory=dict)
    spreads: dict[float, _Known] = field(default_factory=dict)
    setbacks: _Known | None = None
    taper: _Known | None = None
    facts: list[Fact] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)

    @property
    def complete(self) -> bool:
        return all(at in known for known in (self.widths, self.spreads) for at in (0.0, self.scale))

    def implied(self, fact: Fact) -> _Known | None:
        """What the facts so far say about the thing that `fact` tells; None if they leave it open."""
        match fact.kind:
            case Kind.SETBACKS:
                return self.setbacks
            case Kind.TAPER:
                return self.taper
            case Kind.WIDTH | Kind.SPREAD:
                known = self.widths if fact.kind is Kind.WIDTH else self.spreads
                at = self._place(fact.at or 0.0)
                if at in known or self.taper is None or not known:
                    return known.get(at)
                near = min(known)
                return _Known(known[near].value + self.taper.value * (at - near), fact.name)

    def add(self, fact: Fact) -> None:
        """Takes an independent fact in and deduces what follows."""
        known = _Known(fact.value, fact.name)
        at = self._place(fact.at or 0.0)
        self.facts.append(fact)
        self.steps.append(
            Step(
                name=fact.name,
                formula=fact.formula,
                figures=fact.figures,
                result=fact.text,
                source=fact.source,
            )
        )
        match fact.kind:
            case Kind.SETBACKS:
                self.setbacks = known
            case Kind.TAPER:
                self.taper = _Known(fact.value, "taper per mm")
                self.steps.append(
                    Step(
                        name="taper per mm",
                        formula=f"2 × tan({fact.name} ÷ 2)",
                        figures=f"2 × tan({fact.text} ÷ 2)",
                        result=f"{fact.value:.6f} mm per mm",
                        source="solved",
                    )
                )
            case Kind.WIDTH:
                self.widths[at] = known
            case Kind.SPREAD:
                self.spreads[at] = known
        while self._deduce():
            pass

    def _place(self, at: float) -> float:
        """The place itself, or the known place that it falls on."""
        places = (0.0, self.scale, *self.widths, *self.spreads)
        return next((place for place in places if abs(place - at) <= SAME), at)

    def _deduce(self) -> bool:
        return self._find_setbacks() or self._carry_across() or self._find_taper() or self._carry_along()

    def _find_setbacks(self) -> bool:
        at = next((at for at in self.widths if at in self.spreads), None)
        if self.setbacks is not None or at is None:
            return False
        width, spread = self.widths[at], self.spreads[at]
        self.setbacks = self._found(
            "setbacks, both sides", "{} − {}", (width, spread), width.value - spread.value
        )
        return True

    def _carry_across(self) -> bool:
        """Widths from spreads and spreads from widths, once the setbacks are known."""
        if self.setbacks is None:
            return False
        for at, width in self.widths.items():
            if at not in self.spreads:
                value = width.value - self.setbacks.value
                self.spreads[at] = self._found(
                    self._name("spread", at), "{} − {}", (width, self.setbacks), value
                )
                return True
        for at, spread in self.spreads.items():
            if at not in self.widths:
                value = spread.value + self.setbacks.value
                self.widths[at] = self._found(
                    self._name("width", at), "{} + {}", (spread, self.setbacks), value
                )
                return True
        return False

    def _find_taper(self) -> bool:
        if self.taper is not None:
            return False
        for known in (self.widths, self.spreads):
            if len(known) > 1:
                near, far = min(known), max(known)
                rise = (known[far].value - known[near].value) / (far - near)
                self.taper = _Known(rise, "taper per mm")
                self.steps.append(
                    Step(
                        name="taper per mm",
                        formula=f"({known[far].name} − {known[near].name}) ÷ distance between them",
                        figures=f"({known[far].value:.3f} − {known[near].value:.3f}) ÷ {far - near:.3f}",
                        result=f"{rise:.6f} mm per mm",
                        source="solved",
                    )
                )
                return True
        return False

    def _carry_along(self) -> bool:
        if self.taper is None:
            return False
        for what, known in (("width", self.widths), ("spread", self.spreads)):
            for at in (0.0, self.scale):
                if known and at not in known:
                    near = min(known, key=lambda place: abs(place - at))
                    value = known[near].value + self.taper.value * (at - near)
                    sign = "−" if at < near else "+"
                    known[at] = _Known(value, self._name(what, at))
                    self.steps.append(
                        Step(
                            name=self._name(what, at),
                            formula=f"{known[near].name} {sign} taper per mm × distance",
                            figures=f"{known[near].value:.3f} {sign} {self.taper.value:.6f} × {abs(at - near):.3f}",
                            result=format_mm(value),
                            source="solved",
                        )
                    )
                    return True
        return False

    def _found(self, name: str, formula: str, parts: tuple[_Known, _Known], value: float) -> _Known:
        self.steps.append(
            Step(
                name=name,
                formula=formula.format(*(part.name for part in parts)),
                figures=formula.format(*(f"{part.value:.3f}" for part in parts)),
                result=format_mm(value),
                source="solved",
            )
        )
        return _Known(value, name)

    def _name(self, what: str, at: float) -> str:
        names = {
            ("width", 0.0): "nut width",
            ("width", self.scale): "projected width at saddle",
            ("spread", 0.0): "spread at nut",
            ("spread", self.scale): "spread at bridge",
        }
        return names.get((what, at), f"{what} at {at:.2f} mm")


def solve_taper(
    scale: float, given: Sequence[Fact], assumed: Sequence[Fact], *, tolerance: float, where: str
) -> Solution:
    """Returns the taper on which all given facts agree, filled up with assumed ones where they leave it open.

    Args:
        scale: Distance from nut to saddle line, mm.
        given: What the maker said, the most direct first.
        assumed: What may be taken from a profile, the least harmful first; one that follows from the given facts
            is not used.
        tolerance: Largest difference between facts, mm (for a taper: over the whole scale).
        where: The design, to name in errors.

    Raises:
        ConflictError: If given facts disagree; names them, what each would have to be, and the difference.
        InputError: If given and assumed facts together do not settle the taper.
    """
    board = _Board(scale)
    for fact in given:
        implied = board.implied(fact)
        if implied is None:
            board.add(fact)
        else:
            _check(fact, implied.value, board, tolerance, where)
    used: set[str] = set()
    for fact in assumed:
        if not board.complete and board.implied(fact) is None:
            board.add(fact)
            used.add(fact.name)
    if not board.complete:
        raise InputError(
            where=where,
            got=_named(given) or "no widths, spreads or setbacks",
            expected="enough to settle the taper: for example nut width, spread at bridge and setback",
            mend="Give one more of: nut width, spread at nut, spread at bridge, setback, width at a fret, taper angle",
        )
    return Solution(
        width_at_nut=board.widths[0.0].value,
        width_at_saddle=board.widths[scale].value,
        spread_at_nut=board.spreads[0.0].value,
        spread_at_saddle=board.spreads[scale].value,
        assumed=frozenset(used),
        steps=tuple(board.steps),
    )


def _check(fact: Fact, implied: float, board: _Board, tolerance: float, where: str) -> None:
    """Notes that a fact agrees with what the others imply, or raises."""
    off = abs(fact.value - implied)
    difference = off * board.scale if fact.kind is Kind.TAPER else off
    grounds = _grounds(fact, board.facts, board.scale)
    if difference <= tolerance + SAME:
        board.steps.append(
            Step(
                name=fact.name,
                formula=f"given too, and it follows from {_named(grounds)}",
                figures=f"given {fact.text}",
                result=_amount(fact.kind, implied),
                source="checked",
            )
        )
        return
    involved = [*grounds, fact]
    wanted = ", or ".join(f"{each.name} to be {_wanted(each, involved, board.scale)}" for each in involved)
    raise ConflictError(
        where=where,
        got=", ".join(f"{each.name} {each.text}" for each in involved)
        + f", which disagree by {difference:.3f} mm",
        expected=f"numbers that agree within {tolerance:.3f} mm: the others ask for {wanted}",
        mend="Correct one of them, leave one out, or allow more with `tolerance`",
    )


def _grounds(fact: Fact, facts: Sequence[Fact], scale: float) -> list[Fact]:
    """Returns those of some independent facts on which what they imply for another one rests.

    There is only one such choice, since none of them follows from the others: one that can be left out has no part in
    it.
    """
    grounds = list(facts)
    for each in facts:
        fewer = [other for other in grounds if other is not each]
        if _implied(fact, fewer, scale) is not None:
            grounds = fewer
    return grounds


def _implied(fact: Fact, facts: Iterable[Fact], scale: float) -> _Known | None:
    board = _Board(scale)
    for each in facts:
        board.add(each)
    return board.implied(fact)


def _wanted(fact: Fact, involved: Sequence[Fact], scale: float) -> str:
    """What the others say that one of several facts that disagree should be, as text."""
    implied = _implied(fact, [other for other in involved if other is not fact], scale)
    if implied is None:
        raise RuntimeError(f"{fact.name} has no part in the disagreement it was named in")
    return _amount(fact.kind, implied.value)


def _amount(kind: Kind, value: float) -> str:
    """Returns a value as text; a taper as the angle between the edges."""
    if kind is Kind.TAPER:
        return f"{math.degrees(2.0 * math.atan(value / 2.0)):.4f} deg"
    return format_mm(value)


def _named(facts: Iterable[Fact]) -> str:
    return ", ".join(fact.name for fact in facts)
