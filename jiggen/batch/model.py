"""What is asked of a run over many designs, and what became of each."""

from dataclasses import dataclass
from enum import StrEnum

from jiggen.design.model import Design
from jiggen.errors import JiggenError


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One design of a run.

    Attributes:
        where: What the maker knows it by: a file, or a line of a class list.
        design: What it says, or what is wrong with it.
    """

    where: str
    design: Design | JiggenError


class State(StrEnum):
    """What became of a design."""

    MADE = "made"
    KEPT = "kept"  #: nothing that it is made from has changed since
    FAILED = "failed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What became of one design; words and small numbers only, so that a thousand of them weigh little.

    Attributes:
        where: As in its source.
        name: Of the design; empty when it could not be read.
        owner: Of the design.
        id: Of the design.
        folder: Name of its folder in the output folder.
        state: What became of it.
        shop: Tells which designs can lie on the same sheets: those made with the same material and machine alike.
        material: Title of the material.
        mark: Of all that the set is made from: it is the same as long as nothing has changed.
        manifest: SHA-256 of the set's manifest.
        doubts: What is unusual about the instrument, in sentences.
        told: What the run would say of this set alone.
        fault: What is wrong, in sentences; empty when it was made.
        is_ours: Whether the fault is jiggen's.
    """

    where: str
    name: str = ""
    owner: str = ""
    id: str = ""
    folder: str = ""
    state: State
    shop: str = ""
    material: str = ""
    mark: str = ""
    manifest: str = ""
    doubts: tuple[str, ...] = ()
    told: tuple[str, ...] = ()
    fault: str = ""
    is_ours: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassSheet:
    """One sheet on which the parts of a class lie together.

    Attributes:
        folder: Name of the folder that holds it.
        number: Of the sheet in that folder.
        size: In words.
        used: Share of its area.
        left: The largest rectangle left, in words.
        seconds: That it takes to cut; None when a speed is not known.
        parts: Name of the design and title of the part, for each part on it.
    """

    folder: str
    number: int
    size: str
    used: float
    left: str
    seconds: float | None
    parts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """A set of sheets on which the parts of several designs lie together.

    Attributes:
        folder: Name of its folder in the output folder.
        material: Title of the material.
        state: What became of it.
        sheets: What lies where.
        verdict: Of the proof, in one line.
        told: What whoever cuts the sheets must know, in sentences: pieces, tabs, lead-ins, parts in openings.
        cautions: Of material and machine.
        mark: As in `Outcome`.
        manifest: As in `Outcome`.
        fault: What is wrong, in sentences; empty when it was made.
        is_ours: Whether the fault is jiggen's.
    """

    folder: str
    material: str
    state: State
    sheets: tuple[ClassSheet, ...] = ()
    verdict: str = ""
    told: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    mark: str = ""
    manifest: str = ""
    fault: str = ""
    is_ours: bool = False
