"""Parts that are made in pieces, as the manifest tells of them. Millimetres, in the coordinates of the whole part."""

from collections.abc import Mapping
from dataclasses import dataclass

from jiggen.proof.trace import Place

#: Least x and y, greatest x and y.
Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedSeam:
    """Where two pieces of a part meet, in the coordinates of both.

    Attributes:
        mark: Its letter.
        line: The ends of the line along which their faces touch.
        depth_mm: How far keys reach beyond it.
        clearance_mm: Round a key.
    """

    mark: str
    line: tuple[Place, Place]
    depth_mm: float
    clearance_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedPiece:
    """What a part is a piece of.

    Attributes:
        of: Name of the whole.
        number: From 1, along the whole.
        count: Of all its pieces.
        seams: To its neighbours.
    """

    of: str
    number: int
    count: int
    seams: tuple[WantedSeam, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedWhole:
    """A part that is made in pieces.

    Attributes:
        name: Of the whole.
        bounds: When it is put together.
        datums: What its features stand for, by their ids.
    """

    name: str
    bounds: Bounds
    datums: Mapping[str, tuple[Place, ...]]
