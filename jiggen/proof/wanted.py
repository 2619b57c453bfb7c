"""What the files of a job are to hold, as its manifest says. Millimetres; parts in their own coordinates."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jiggen.design.accuracy import Limits
from jiggen.proof.pieces import Bounds, WantedPiece, WantedWhole
from jiggen.proof.trace import Place, Stroke


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One feature that the manifest asks for.

    Attributes:
        id: Of the feature.
        role: `edge`, `opening`, `line`, `lettering` or `note`.
        operation: Layer or group it must lie on; None when it is not cut on its own.
        cut_in: For a notch, the id of the edge that holds it.
        width_mm: Clear width.
        single_pass: Whether it is a slot as wide as the beam, whose path is its open centre line.
        datum: The point or line that it stands for.
        finished: Its finished contours; empty for lettering.
        finished_bounds: Of those.
        cut_bounds: Of what the machine follows, on the sheet.
        cut_length_mm: Of the same, tabs included, lead-ins not.
        tabs: Stretches of it that are left uncut.
        leads: Straight runs from the waste to where a contour starts.
    """

    id: str
    role: str
    operation: str | None
    cut_in: str | None
    width_mm: float | None
    single_pass: bool
    datum: tuple[Place, ...]
    finished: tuple[Stroke, ...]
    finished_bounds: Bounds | None
    cut_bounds: Bounds | None
    cut_length_mm: float | None
    tabs: tuple[Stroke, ...] = ()
    leads: tuple[Stroke, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """Where a part lies: mirror across its x axis if asked, then turn, then shift.

    Attributes:
        cosine: Of the turn.
        sine: Of the turn.
        x_mm: Where the part's origin lies on the sheet.
        y_mm: The same.
        mirrored: Whether y is negated first.
    """

    cosine: float
    sine: float
    x_mm: float
    y_mm: float
    mirrored: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedPart:
    """One part on a sheet.

    Attributes:
        name: Of the part.
        place: From part to sheet coordinates.
        tag: Every field of its tag.
        kerf_mm: Full width of the beam's cut.
        growth: Factor from finished size to size when cut, along the part's x.
        growth_across: The same along its y.
        machine_x: Factor for the machine, along the sheet's x; applied last, after kerf and place.
        machine_y: The same along y.
        features: In the manifest's order.
        scale_mm: Of the instrument it is for, None when that has none.
        limits: How far it may be off when finished.
        piece: What it is a piece of; None for a part in one.
    """

    name: str
    place: Placing
    tag: Mapping[str, Any]
    kerf_mm: float
    growth: float
    growth_across: float
    machine_x: float
    machine_y: float
    features: tuple[Wanted, ...]
    scale_mm: float | None
    limits: Limits
    piece: WantedPiece | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedSheet:
    """One sheet.

    Attributes:
        number: From 1.
        size_mm: Width and height.
        files: Names of the files that hold it.
        parts: What lies on it.
        operations: Names of the machine's operations, in the order in which they are run.
    """

    number: int
    size_mm: tuple[float, float]
    files: tuple[str, ...]
    parts: tuple[WantedPart, ...]
    operations: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """What a job is to hold.

    Attributes:
        sheets: In order.
        hashes: SHA-256 of each file, by name, in hexadecimal.
        wholes: Parts that are made in pieces.
    """

    sheets: tuple[WantedSheet, ...]
    hashes: Mapping[str, str]
    wholes: tuple[WantedWhole, ...] = ()
