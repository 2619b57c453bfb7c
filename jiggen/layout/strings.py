"""How strings spread across the neck. Millimetres; y grows toward the treble side, first string (treble) first.

Strings stand singly or in courses. A rule places the courses between the outermost strings, which the setbacks fix;
within a course the strings stand at a distance of their own.
"""

from collections.abc import Sequence
from itertools import accumulate, pairwise


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
        y of each centre, mm, first string first. A single course lies halfway, its `within` kept.
    """
    halves = [(size - 1) * within / 2.0 for size in courses]
    first, last = treble - halves[0], bass + halves[-1]
    middle = (bass + treble) / 2.0
    count = len(courses)
    middles = (
        [middle] if count == 1 else [first + (last - first) * index / (count - 1) for index in range(count)]
    )
    centres = tuple(
        at + half - within * place
        for at, half, size in zip(middles, halves, courses, strict=True)
        for place in range(size)
    )
    return centres if count == 1 else (treble, *centres[1:-1], bass)


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
        ValueError: If gauges and courses count differently, or nothing is left for the gaps.
    """
    if len(gauges) != sum(courses):
        raise ValueError(f"{len(gauges)} gauges for {sum(courses)} strings")
    if len(gauges) == 1:
        return ((bass + treble) / 2.0,)
    lasts = set(accumulate(courses))  # strings that are the last of their course
    inside = sum(gauges) - (gauges[0] + gauges[-1]) / 2.0
    gaps_within = sum(courses) - len(courses)
    if len(courses) == 1:
        gap = 0.0
        within_gap = (treble - bass - inside) / gaps_within
    else:
        gap = (treble - bass - inside - gaps_within * within_gap) / (len(courses) - 1)
    if min(gap, within_gap) < 0.0:
        raise ValueError(f"the strings are wider than the {treble - bass:.3f} mm they must share")
    centres = [treble]
    for number, (gauge, following) in enumerate(pairwise(gauges), start=1):
        clear = gap if number in lasts else within_gap
        centres.append(centres[-1] - gauge / 2.0 - clear - following / 2.0)
    return (*centres[:-1], bass)
