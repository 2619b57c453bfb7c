"""All shop aids by name: a new one is a module of its own and one row here."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jiggen.errors import InputError, JiggenError, LimitError, did_you_mean, raise_all
from jiggen.layout.model import Layout
from jiggen.parts import fret_slot_guide, nut_rule, plan_template, saw_guide
from jiggen.parts.model import Bench, Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A shop aid that can be made.

    Attributes:
        name: As typed after `--only`.
        title: For people.
        build: From layout and bench to the finished-size part.
        unsuited: Tells why a neck cannot have one; empty when it can.
    """

    name: str
    title: str
    build: Callable[[Layout, Bench], Part]
    unsuited: Callable[[Layout], str]


def _suits_all(_: Layout) -> str:
    return ""


CATALOGUE = tuple(
    Entry(name=name, title=title, build=build, unsuited=unsuited)
    for name, title, build, unsuited in (
        (plan_template.NAME, plan_template.TITLE, plan_template.plan_template, _suits_all),
        (
            fret_slot_guide.NAME,
            fret_slot_guide.TITLE,
            fret_slot_guide.fret_slot_guide,
            fret_slot_guide.unsuited,
        ),
        (saw_guide.NAME, saw_guide.TITLE, saw_guide.saw_guide, saw_guide.unsuited),
        (nut_rule.NAME, nut_rule.TITLE, nut_rule.nut_rule, _suits_all),
    )
)


def choose(names: Sequence[str], layout: Layout, *, where: str) -> tuple[Entry, ...]:
    """Returns the entries of those names, in the catalogue's order; all that suit the neck when none is named.

    Args:
        names: As typed.
        layout: Of the neck.
        where: The place to name in an error.

    Raises:
        InputError: If a name is not in the catalogue.
        LimitError: If the neck cannot have a part that is named.
    """
    known = [entry.name for entry in CATALOGUE]
    errors: list[JiggenError] = [
        InputError(
            where=where,
            got=f"part {name!r}",
            expected=f"one of {', '.join(known)}",
            mend=did_you_mean(name, known),
        )
        for name in names
        if name not in known
    ]
    chosen = [entry for entry in CATALOGUE if not names or entry.name in names]
    reasons = {entry.name: entry.unsuited(layout) for entry in chosen}
    errors += [
        LimitError(where=where, got=f"part {name}", expected=f"a part that this neck can have: {reason}")
        for name, reason in reasons.items()
        if names and reason
    ]
    raise_all(errors)
    return tuple(entry for entry in chosen if not reasons[entry.name])
