"""How far a path and a densely sampled curve lie apart, both ways, reckoned apart from the kernel. Millimetres."""

import numpy as np
import numpy.typing as npt
import shapely

from jiggen.geometry.path import Arc, Path

Floats = npt.NDArray[np.float64]


def off_path(spots: Floats, path: Path) -> float:
    """How far the farthest of (n, 2) spots lies off a path: from circles and their ends, and nothing of ours."""
    nearest = np.full(len(spots), np.inf)
    at = spots[:, 0] + 1j * spots[:, 1]
    for piece in path:
        start, end = complex(piece.start.x, piece.start.y), complex(piece.end.x, piece.end.y)
        away = np.minimum(abs(at - start), abs(at - end))
        # turned so that the chord is the real axis from -1 to 1
        chord = end - start
        seen = (at - (start + end) / 2.0) / (chord / 2.0)
        if isinstance(piece, Arc):
            # Over that chord the circle's middle lies at i·h, and a place sees the chord's ends under
            # an angle that tells on which side of the arc's sector it is.
            height = (1.0 - piece.bulge**2) / (2.0 * piece.bulge)
            radius = (1.0 + piece.bulge**2) / (2.0 * abs(piece.bulge))
            out = seen - 1j * height
            turn = np.angle(out / (-1.0 - 1j * height)) * np.sign(piece.bulge)
            sweep = 4.0 * np.arctan(abs(piece.bulge))
            within = (turn % (2.0 * np.pi)) <= sweep
            # |out| - radius without loss for flat arcs: (|seen|² - 2 h y - 1) / (|out| + radius)
            square = abs(seen) ** 2 - 2.0 * height * seen.imag - 1.0
            rim = abs(square) / (abs(out) + radius) * abs(chord) / 2.0
        else:
            within, rim = abs(seen.real) <= 1.0, abs(seen.imag) * abs(chord) / 2.0
        nearest = np.minimum(nearest, np.where(within, np.minimum(rim, away), away))
    return float(nearest.max())


def off_places(path: Path, places: Floats, each: int = 24) -> float:
    """How far the farthest of many points on a path lies off the polyline through (n, 2) places of a curve."""
    chords = shapely.STRtree(shapely.linestrings(np.stack([places[:-1], places[1:]], axis=1)))
    spots = shapely.points(places_on(path, each))
    _, away = chords.query_nearest(spots, return_distance=True, all_matches=False)
    return float(away.max())


def places_on(path: Path, each: int) -> Floats:
    """(m, 2) points on a path: so many evenly along every segment, its ends among them."""
    share = np.linspace(0.0, 1.0, each)
    rows = []
    for piece in path:
        start, end = complex(piece.start.x, piece.start.y), complex(piece.end.x, piece.end.y)
        part: npt.NDArray[np.complex128] = share.astype(np.complex128)
        if isinstance(piece, Arc):
            sweep = 4.0 * np.arctan(piece.bulge)
            part = (
                np.sin(sweep * share / 2.0) / np.sin(sweep / 2.0) * np.exp(1j * sweep * (share - 1.0) / 2.0)
            )
        rows.append(start + (end - start) * part)
    spots = np.concatenate(rows)
    return np.stack([spots.real, spots.imag], axis=1)
