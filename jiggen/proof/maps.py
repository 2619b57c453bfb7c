"""The way back from what is written to the finished part: machine scale, place and growth undone. Millimetres.

A place of the finished part is multiplied by the growth along each of the part's axes, put on the sheet, and multiplied
by the machine's scale along each of the sheet's axes; that is what is written (`shop.compensate`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jiggen.proof.curves import Curves, Floats, Ints, mapped
from jiggen.proof.wanted import WantedPart, WantedSheet


@dataclass(frozen=True, slots=True)
class Motion:
    """How a part that keeps its shape lies elsewhere: mirrored across the x axis if so, turned, shifted.

    Attributes:
        turn_rad: + is to the left.
        shift: (2,) where the sheet's corner goes.
        mirrored: Whether y is negated first.
    """

    turn_rad: float
    shift: Floats
    mirrored: bool

    @property
    def matrix(self) -> Floats:
        """(2, 2) without the shift."""
        cosine, sine = math.cos(self.turn_rad), math.sin(self.turn_rad)
        across = -1.0 if self.mirrored else 1.0
        return np.array([[cosine, -sine * across], [sine, cosine * across]])

    def moved(self, places: Floats) -> Floats:
        """Returns where places (..., 2) go."""
        moved: Floats = places @ self.matrix.T + self.shift
        return moved

    def undone(self, places: Floats) -> Floats:
        """Returns where places (..., 2) came from."""
        undone: Floats = (places - self.shift) @ self.matrix
        return undone


def machine_scale(sheet: WantedSheet) -> Floats:
    """Returns (2,) the factors of the machine's axes, which are one machine's for all parts of a sheet."""
    factors = [(part.machine_x, part.machine_y) for part in sheet.parts] or [(1.0, 1.0)]
    return np.array(factors[0])


def growth(part: WantedPart) -> Floats:
    """Returns (2,) the factors from finished size to size when cut, along the part's axes."""
    return np.array([part.growth, part.growth_across])


def to_finished(part: WantedPart) -> tuple[Floats, Floats]:
    """Returns what takes written places to the finished part: a shift (2,) to take off, then a matrix (2, 2)."""
    place = part.place
    across = -1.0 if place.mirrored else 1.0
    square = place.cosine**2 + place.sine**2
    turn = np.array([[place.cosine, place.sine], [-place.sine * across, place.cosine * across]]) / square
    machine = np.array([part.machine_x, part.machine_y])
    return np.array([place.x_mm, place.y_mm]), turn / machine / growth(part)[:, None]


def is_uneven(part: WantedPart) -> bool:
    """Tells whether circles do not stay circles on the way."""
    return part.machine_x != part.machine_y or part.growth != part.growth_across


def finished(curves: Curves, parts: Sequence[WantedPart]) -> Curves:
    """Returns paths in their parts' coordinates at finished size.

    Args:
        curves: As written.
        parts: Of each owner, by its number.
    """
    own = list({id(part): part for part in parts}.values())  # each once, though many owners are of one part
    numbers = {id(part): number for number, part in enumerate(own)}
    if any(is_uneven(part) for part in own):  # then arcs are arcs no longer
        curves = curves.straightened()
    which = np.array([numbers[id(part)] for part in parts], dtype=np.int64)[curves.owner]
    maps = [to_finished(part) for part in own]
    return mapped(
        curves,
        np.array([matrix for _, matrix in maps]).reshape(-1, 2, 2)[which],
        np.array([shift for shift, _ in maps]).reshape(-1, 2)[which],
        np.array([part.place.mirrored for part in own], dtype=np.bool_)[which],
    )


def put_back(curves: Curves, motions: Sequence[Motion | None], which: Ints, scale: Floats) -> Curves:
    """Returns paths with each undone by the motion of its part.

    Args:
        curves: As written.
        motions: Of the parts; None for those that lie where they should.
        which: (n,) the part of each piece, or -1.
        scale: (2,) of the machine's axes: the motions are those of the beam.
    """
    start, end, bulge = curves.start.copy(), curves.end.copy(), curves.bulge.copy()
    for number, motion in enumerate(motions):
        mine = which == number
        if motion is not None:
            start[mine] = motion.undone(start[mine] / scale) * scale
            end[mine] = motion.undone(end[mine] / scale) * scale
            if motion.mirrored:
                bulge[mine] = -bulge[mine]
    return Curves(start, end, bulge, curves.owner, curves.stroke)
