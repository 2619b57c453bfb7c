"""What every writer is: a job in, named files out."""

from collections.abc import Callable, Iterator, Mapping
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
class PlanJob:
    """All that is written of the instrument itself, whatever is cut for it.

    Attributes:
        layout: Of its neck.
        setup: The strings on it.
        design_id: Short hash of the design.
        options: What the maker asks of the files.
    """

    layout: Layout
    setup: StringSetup
    design_id: str
    options: Options = DEFAULTS

    @cached_property
    def page(self) -> Page:
        """The working plan, drawn once for all who write it."""
        return draw_plan(self.layout, self.setup, design_id=self.design_id)

    @property
    def subject(self) -> str:
        """What the files are about."""
        return f"{self.layout.spec.design.name} {self.design_id}"


#: Bytes of files by name, under the word for their format.
ByFormat = Mapping[str, Mapping[str, bytes]]


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
        begun_plan: Gives the files of the plan where somebody is at them already; None where nobody is.
    """

    sheet_set: SheetSet
    layout: Layout
    setup: StringSetup
    options: Options = DEFAULTS
    proof: ProofTold | None = None
    hands: Hands = ALONE
    begun_plan: Callable[[], ByFormat] | None = None

    @property
    def plan(self) -> PlanJob:
        """What is written of the instrument itself."""
        return PlanJob(
            layout=self.layout, setup=self.setup, design_id=self.sheet_set.design_id, options=self.options
        )


#: The bytes of a file, or what gives them, once: when somebody else may be at it meanwhile, or nobody waits for it.
Content = bytes | Callable[[], bytes]


class PlanWriter(Protocol):
    """A function that writes the plan in one format."""

    def __call__(self, plan: PlanJob) -> Iterator[tuple[str, bytes]]:
        """Yields the names and contents of its files."""


class Writer(Protocol):
    """A function that writes the sheets of a job in one format."""

    def __call__(self, job: Job) -> Iterator[tuple[str, Content]]:
        """Yields the names and contents of its files."""


def sheet_file_name(number: int, suffix: str) -> str:
    """Returns the name of one sheet's file: `sheet-1.dxf`."""
    return f"sheet-{number}.{suffix}"
