"""How far one side of an outline and the mirrored other lie apart. Millimetres."""

from collections.abc import Sequence

import numpy as np

from jiggen.geometry.trace import Floats, trace
from jiggen.outlines.drawn import Piece

#: How far chords may lie off the outline when it is measured, and how many places round it are, besides its corners.
CHORDS = 0.001
PLACES = 1500


def followed(pieces: Sequence[Piece]) -> Floats:
    """Returns corners of a polyline along a closed run that ends where it starts, (n, 2) mm."""
    steps = trace(pieces, CHORDS, CHORDS)
    return np.concatenate([steps.starts, steps.starts[:1]])


def asymmetry(corners: Floats) -> float:
    """Returns how far places on a closed outline, mirrored across y = 0, lie off it at most, mm.

    Args:
        corners: (n, 2) mm, a polyline along the outline that ends where it starts.
    """
    places = evenly_along(corners, PLACES)
    if len(corners) <= PLACES:
        places = np.concatenate([places, corners])
    near, _ = Ring(corners).nearest(places * (1.0, -1.0))
    return float(np.hypot(*(near - places * (1.0, -1.0)).T).max())


def evenly_along(corners: Floats, count: int) -> Floats:
    """Returns `count` places evenly along a polyline that ends where it starts, (count, 2)."""
    walked = _walked(corners)
    at = np.arange(count) * (walked[-1] / count)
    return np.column_stack([np.interp(at, walked, corners[:, axis]) for axis in (0, 1)])


def _walked(corners: Floats) -> Floats:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])


class Ring:
    """A closed polyline to which places find their way.

    Its vertices lie so near to one another that the nearest place on it is on one of the two sides at the nearest vertex.

    Args:
        corners: (n, 2) mm, ends where it starts.
        only: Vertices that stand for it; None: all corners, and more between them.
    """

    def __init__(self, corners: Floats, only: int | None = None) -> None:
        from shapely import STRtree, points

        if only is None:
            walked = _walked(corners)
            at = np.union1d(walked[:-1], np.arange(PLACES) * (walked[-1] / PLACES))
            self.vertices = np.column_stack([np.interp(at, walked, corners[:, axis]) for axis in (0, 1)])
        else:
            self.vertices = evenly_along(corners, only)
        self.tree = STRtree(np.asarray(points(self.vertices)))

    def nearest(self, places: Floats) -> tuple[Floats, Floats]:
        """Returns the nearest places on the ring, and unit vectors along it there, both (n, 2)."""
        from shapely import points

        at = self.tree.nearest(points(places))
        count = len(self.vertices)
        best, along, least = places, places, np.full(len(places), np.inf)
        for start, end in ((at, (at + 1) % count), ((at - 1) % count, at)):
            one = self.vertices[start]
            side = self.vertices[end] - one
            square = np.maximum((side**2).sum(axis=1), 1e-30)
            share = np.clip(((places - one) * side).sum(axis=1) / square, 0.0, 1.0)
            foot = one + share[:, None] * side
            off = np.hypot(*(foot - places).T)
            closer = (off < least)[:, None]
            best = np.where(closer, foot, best)
            along = np.where(closer, side / np.sqrt(square)[:, None], along)
            least = np.minimum(off, least)
        return best, along
