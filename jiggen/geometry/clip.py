"""What of a path lies inside a contour. Millimetres."""

from itertools import pairwise

from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import flatten
from jiggen.geometry.path import COINCIDENT, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import part_of, point_on

#: By how much chords may stand off a contour's arcs when it is asked what lies inside.
_CHORDS = 1e-3


def clipped(path: Path, contour: Path) -> tuple[Path, ...]:
    """Returns the pieces of a path that lie inside a closed contour, each open, in the path's order.

    Args:
        path: Open or closed; a closed one that lies wholly inside is returned as it is.
        contour: Closed, not crossing itself.
    """
    corners = flatten(contour, _CHORDS)
    runs: list[list[Segment]] = []
    whole, joined = True, False
    for piece in path:
        shares = {0.0: piece.start, 1.0: piece.end}
        for other in contour:
            for meeting in meetings(piece, other):
                if all(meeting.at.distance(known) > COINCIDENT for known in shares.values()):
                    shares[meeting.first] = meeting.at
        for low, high in pairwise(sorted(shares)):
            if not _inside(point_on(piece, (low + high) / 2.0), corners):
                whole = joined = False
                continue
            part = part_of(piece, shares[low], shares[high], high - low)
            if joined:
                runs[-1].append(part)
            else:
                runs.append([part])
            joined = True
    if whole:
        return (path,)
    return tuple(Path(tuple(run)) for run in runs)


def _inside(place: Point, corners: tuple[Point, ...]) -> bool:
    """Tells whether a line from a place toward +x crosses the corners' polygon an odd number of times."""
    crossings = 0
    for one, other in pairwise((*corners, corners[0])):
        if (one.y > place.y) is (other.y > place.y):
            continue
        crossings += one.x + (other.x - one.x) * (place.y - one.y) / (other.y - one.y) > place.x
    return crossings % 2 == 1
