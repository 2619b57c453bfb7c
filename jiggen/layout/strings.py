"""How strings spread across the neck. Millimetres; y grows toward the treble side, first string (treble) first.

Strings stand singly or in courses. A rule places the courses between the outermost strings, which the setbacks fix;
within a course the strings stand at a distance of their own.
"""

from collections.abc import Sequence
from itertools import accumulate, pairwise

from jiggen.errors import LimitError


def equal_centres(
    bass: float, treble: float, courses: Sequence[int], *, within: float = 0.0
) -> tuple[float, ...]:
    """Returns string centres with equal distances from the middle of one course to that of the next.

    Args:
        bass: y of the bass-most string's centre, mm.
        treble: y of the treble-most string's centre, mm.
        courses: How many strings each course has, first course (treble) first; all ones for single strings.
        within: Centre-to-centre distance of neighbours within a course, mm.

    Returns:
        y of each centre, mm, first string first. A single course fills the spread, a single string lies halfway.
    """
    if len(courses) == 1:
        return _evenly(bass, treble, courses[0])
    halves = [(size - 1) * within / 2.0 for size in courses]
    first, last = treble - halves[0], bass + halves[-1]
    middles = [first + (last - first) * index / (len(courses) - 1) for index in range(len(courses))]
    centres = tuple(
        at + half - within * place
        for at, half, size in zip(middles, halves, courses, strict=True)
        for place in range(size)
    )
    return (treble, *centres[1:-1], bass)


def _evenly(bass: float, treble: float, count: int) -> tuple[float, ...]:
    """A single course from the outer strings' centres inward; a single string halfway between them."""
    if count == 1:
        return ((bass + treble) / 2.0,)
    steps = (treble + (bass - treble) * place / (count - 1) for place in range(1, count - 1))
    return (treble, *steps, bass)


def equal_gaps(
    bass: float, treble: float, courses: Sequence[int], gauges: Sequence[float], *, within_gap: float = 0.0
) -> tuple[float, ...]:
    """Returns string centres with equal clear gaps between the edges of neighbouring courses.

    The gap is what is left of the distance between the outermost centres when all strings and all gaps within
    courses are taken off, shared out equally.

    Args:
        bass: y of the bass-most string's centre, mm.
        treble: y of the treble-most string's centre, mm.
        courses: How many strings each course has, first course (treble) first.
        gauges: Diameter of each string, mm, first string first.
        within_gap: Clear gap between neighbours within a course, mm.

    Returns:
        y of each centre, mm, first string first.

    Raises:
        ValueError: If gauges and courses count differently.
        LimitError: If nothing is left for the gaps.
    """
    if len(gauges) != sum(courses):
        raise ValueError(f"{len(gauges)} gauges for {sum(courses)} strings")
    if len(gauges) == 1:
        return ((bass + treble) / 2.0,)
    lasts = set(accumulate(courses))  # strings that are the last of their course
    inside = sum(gauges) - (gauges[0] + gauges[-1]) / 2.0
    gaps_within = sum(courses) - len(courses)
    taken = inside + (gaps_within * within_gap if len(courses) > 1 else 0.0)
    gap = (treble - bass - taken) / (len(courses) - 1 or gaps_within)
    if gap < 0.0:
        raise LimitError(
            where="strings.spacing",
            got=f"strings, and gaps within courses, that need {taken:.2f} mm of the {treble - bass:.2f} mm between the "
            "outer strings' centres",
            expected="some room for the gaps",
            mend="Spread the strings wider, or give them by equal centres.",
        )
    if len(courses) == 1:
        within_gap = gap
    centres = [treble]
    for number, (gauge, following) in enumerate(pairwise(gauges), start=1):
        clear = gap if number in lasts else within_gap
        centres.append(centres[-1] - gauge / 2.0 - clear - following / 2.0)
    return (*centres[:-1], bass)
