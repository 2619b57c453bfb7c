"""What is asked of a file with an outline, and what comes of it. Millimetres."""

from dataclasses import dataclass
from typing import Literal

from jiggen.geometry.path import Path

Kind = Literal["svg", "dxf", "csv"]
#: Which of an outline's lengths a maker may know: along its centre line, or straight across it.
Known = Literal["length", "width"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleTo:
    """A length that the outline shall have.

    Attributes:
        known: Which one.
        mm: How long it shall be.
        text: As it was asked for.
    """

    known: Known
    mm: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Where the centre line lies in the file.

    Attributes:
        along: `x` or `y` of the file; None: wherever one side mirrors the other best.
        at_mm: The other coordinate of the centre line, in the file's own directions; None: where one side mirrors the
            other best.
    """

    along: Literal["x", "y"] | None = None
    at_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What the maker asks of a file with an outline.

    Attributes:
        scale_to: Which length it shall have; None: as it is in the file.
        units: Of a file that does not say its own, as `units.parse_unit` returns them; None: such a file is refused.
        gap_mm: How far apart two ends may lie and still be joined.
        tolerance_mm: How far fitted arcs may lie off the curves in the file.
        axis: Where the centre line lies.
        turned: Whether the neck end is the other one than would be taken.
        layer: The layer of a DXF, or the group of an SVG, that is taken; None: all of them.
        smooth_mm: How far a curve through stations may lie off them, root mean square, at most.
    """

    scale_to: ScaleTo | None = None
    units: str | None = None
    gap_mm: float = 0.05
    tolerance_mm: float = 0.01
    axis: Axis = Axis()
    turned: bool = False
    layer: str | None = None
    smooth_mm: float = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A station of a traced outline, and how the curve keeps to it.

    Attributes:
        x_mm: Along the centre line, from the neck end of the outline.
        half_width_mm: As read, times the scale.
        side: 1 for the side at positive y, -1 for the other.
        residual_mm: How much farther out the curve passes.
    """

    x_mm: float
    half_width_mm: float
    side: Literal[1, -1]
    residual_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """An outline that was read from a file, laid along its centre line.

    Attributes:
        outline: Closed and counter-clockwise. Its centre line is y = 0, its neck end touches x = 0, and x grows toward
            its tail. It is turned but not mirrored, so that a drawing seen from the front has the treble side of a
            right-handed instrument at positive y.
        inner: Contours within it, in the same place, counter-clockwise, the largest first.
        length_mm: Along the centre line.
        width_mm: Across it.
        asymmetry_mm: How far one side and the mirrored other lie apart, at most.
        fit_error_mm: How far the outlines lie off the curves that they stand for, and these off them, at most: measured.
        scale: By how much all lengths were multiplied, besides what turns the file's units into millimetres.
        stations: Of a table of stations; none for drawings.
        took: What was taken from the file, and what was made of it, in sentences.
        ignored: What was not taken, and why, in sentences.
        kind: Of the file, by what is in it.
        sha256: Of the file's bytes.
    """

    outline: Path
    inner: tuple[Path, ...]
    length_mm: float
    width_mm: float
    asymmetry_mm: float
    fit_error_mm: float
    scale: float
    stations: tuple[Station, ...]
    took: tuple[str, ...]
    ignored: tuple[str, ...]
    kind: Kind
    sha256: str
