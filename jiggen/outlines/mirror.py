"""How far one side of an outline and the mirrored other lie apart. Millimetres."""

import numpy as np

from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Path
from jiggen.geometry.trace import Floats

#: How far chords may lie off the outline when it is measured, and how many places round it are.
CHORDS = 0.001
PLACES = 1000


def asymmetry(outline: Path) -> float:
    """Returns how far places on a closed outline, mirrored across y = 0, lie off it at most, mm."""
    corners = np.array([(point.x, point.y) for point in flatten(outline, CHORDS)])
    places = np.concatenate([evenly_along(corners, PLACES), corners])
    return float(distances(corners, places * (1.0, -1.0)).max())


def evenly_along(corners: Floats, count: int) -> Floats:
    """Returns `count` places evenly along a polyline that ends where it starts, (count, 2)."""
    walked = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    at = np.arange(count) * (walked[-1] / count)
    return np.column_stack([np.interp(at, walked, corners[:, axis]) for axis in (0, 1)])


def distances(corners: Floats, places: Floats) -> Floats:
    """Returns how far places lie from the nearest point of a polyline, (n,) mm."""
    from shapely import LineString, distance, points, prepare

    line = LineString(corners)
    prepare(line)
    return np.asarray(distance(line, points(places)), dtype=np.float64)
