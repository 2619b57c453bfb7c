"""What every writer is: a job in, named files out."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from jiggen.drawing.model import Page
from jiggen.drawing.plan import draw_plan
from jiggen.export.options import DEFAULTS, Options
from jiggen.hands import ALONE, Hands
from jiggen.layout.model import Layout
from jiggen.layout.setup import StringSetup
from jiggen.sheets.model import SheetSet


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofTold:
    """What the proof found in the files, in words: writers print it and know no more of it.

    Attributes:
        verdict: In one line, whether all is well.
        head: Of the table.
        rows: A row for each file and part.
    """

    verdict: str
    head: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Job:
    """All that is written of one design.

    Attributes:
        sheet_set: What is cut; its sheets have passed `lint.check_sheet`.
        layout: The instrument itself, for the plan.
        setup: The strings on it.
        options: What the maker asks of the files.
        proof: What the proof found, for files that are written after it; None before it.
        hands: Who may help.
    """

    sheet_set: SheetSet
    layout: Layout
    setup: StringSetup
    options: Options = DEFAULTS
    proof: ProofTold | None = None
    hands: Hands = ALONE

    @cached_property
    def plan(self) -> Page:
        """The working plan, drawn once for all who write it."""
        return draw_plan(self.layout, self.setup, design_id=self.sheet_set.design_id)


#: The bytes of a file, or what gives them, once: when somebody else may be at it meanwhile, or nobody waits for it.
Content = bytes | Callable[[], bytes]


class Writer(Protocol):
    """A function that writes a job in one format."""

    def __call__(self, job: Job) -> Iterator[tuple[str, Content]]:
        """Yields the names and contents of its files."""


def sheet_file_name(number: int, suffix: str) -> str:
    """Returns the name of one sheet's file: `sheet-1.dxf`."""
    return f"sheet-{number}.{suffix}"
