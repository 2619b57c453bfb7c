"""All shop aids by name: a new one is a module of its own and one row here."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jiggen.errors import InputError
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
    """

    name: str
    title: str
    build: Callable[[Layout, Bench], Part]


CATALOGUE = tuple(
    Entry(name=name, title=title, build=build)
    for name, title, build in (
        (plan_template.NAME, plan_template.TITLE, plan_template.plan_template),
        (fret_slot_guide.NAME, fret_slot_guide.TITLE, fret_slot_guide.fret_slot_guide),
        (saw_guide.NAME, saw_guide.TITLE, saw_guide.saw_guide),
        (nut_rule.NAME, nut_rule.TITLE, nut_rule.nut_rule),
    )
)


def choose(names: Sequence[str], *, where: str) -> tuple[Entry, ...]:
    """Returns the entries of those names, in the catalogue's order; all of them when none is named.

    Args:
        names: As typed.
        where: The place to name in an error.

    Raises:
        InputError: If a name is not in the catalogue.
    """
    known = [entry.name for entry in CATALOGUE]
    for name in names:
        if name not in known:
            raise InputError(where=where, got=f"part {name!r}", expected=f"one of {', '.join(known)}")
    return tuple(entry for entry in CATALOGUE if not names or entry.name in names)
