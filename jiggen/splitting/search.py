"""Where to divide a part: every millimetre is looked at, the cheapest joints win, the same way every time. Millimetres.

A joint must find the outline plain on both sides, nothing in its way, room for a key at least, and for its mark on both
pieces. It costs something when keys are few or small, when words must move and when it leans; pieces cost something
when they are unequal.
"""

import math
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from jiggen.geometry.point import Point
from jiggen.lettering.fit import text_width
from jiggen.parts.model import Part
from jiggen.splitting.frame import Frame
from jiggen.splitting.joint import DEPTH, HEAD, Joint, Key, corner_radius, mark_height, sizes
from jiggen.splitting.obstacles import Interval, Obstacles, gaps, is_free, merged, row_of
from jiggen.splitting.outline import Outline

#: Steps in which the part is searched, mm.
_STEP = 1.0
#: Least length of a piece, and least distance of a joint from the part's end, mm.
_LEAST_PIECE = 40.0
#: By which a joint may lean, in degrees: for frets that fan out.
_SLANTS = tuple(sign * degrees for degrees in range(2, 19, 2) for sign in (1, -1))
#: Parts at least so wide get two keys, and three, mm.
_TWO_KEYS, _THREE_KEYS = 70.0, 200.0
_MARK_GAP = 1.5  # from a mark to the joint and to anything else, mm
_FROM_LINES = 1.0
_WELL_AWAY = 6.0  # beyond the gap that must be kept, mm
_MOST_PIECES = 9

#: Whether something of a width and a height finds room on the bed.
Fits = Callable[[float, float], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What a joint is made with.

    Attributes:
        web_mm: To keep between a joint and anything cut through.
        tool_radius_mm: Of the corners into which the tool must get.
        letters_mm: Least legible height of capitals.
        clearance_mm: Between a key and its pocket.
    """

    web_mm: float
    tool_radius_mm: float
    letters_mm: float
    clearance_mm: float


class Search:
    """The places for joints of one slant on a part.

    Args:
        part: To be divided.
        frame: Of the joints.
        means: What they are made with.
        moves_words: Whether heading, words and rows of the spec may be lettered anew.
    """

    def __init__(self, part: Part, frame: Frame, means: Means, *, moves_words: bool) -> None:
        self.part = part
        self.frame = frame
        self.means = means
        self.outline = Outline(part.outline, frame)
        self.obstacles = Obstacles(part, frame, web_mm=means.web_mm, moves_words=moves_words)
        self._words = (
            Obstacles(part, frame, web_mm=means.web_mm, moves_words=False) if moves_words else self.obstacles
        )
        self._free = {row_of(each.id) for each in part.features if is_free(each)}

    def joints(self) -> Iterator[Joint]:
        """Yields every joint that can be, from one end of the part to the other."""
        box = self.outline.box
        first = math.ceil((box.low.x + _LEAST_PIECE) / _STEP)
        last = math.floor((box.high.x - _LEAST_PIECE) / _STEP)
        for step in range(first, last + 1):
            joint = self.joint(step * _STEP)
            if joint is not None:
                yield joint

    def joint(self, u: float) -> Joint | None:
        """Returns the best joint at some u, None if there can be none."""
        if self.obstacles.at(u):
            return None
        crossings = self.outline.clean_crossings(u)
        if crossings is None:
            return None
        across = (crossings[0].v, crossings[1].v)
        radius = corner_radius(self.means.tool_radius_mm)
        for size in sizes(radius):
            for way in (1, -1):
                keys = self._keys(u, across, way, size)
                if not keys:
                    continue
                marks = self._marks(u, across, way, keys)
                if marks is not None:
                    return Joint(
                        frame=self.frame,
                        u=u,
                        v=across,
                        way=way,
                        keys=keys,
                        radius=radius,
                        clearance=self.means.clearance_mm,
                        mark_at=marks,
                        moved=len({each.feature for each in self._words.at(u)} & self._free),
                        crowded=1.0 - min(self.obstacles.nearest(u), _WELL_AWAY) / _WELL_AWAY,
                    )
        return None

    def _keys(self, u: float, across: Interval, way: int, size: float) -> tuple[Key, ...]:
        """Returns keys as near as can be to where they hold best; none where there is no room for any."""
        reach = u + way * (DEPTH * size + self.means.clearance_mm)
        inner = self.outline.crossings(reach)
        if len(inner) < 2:
            return ()
        web = max(self.means.web_mm, HEAD * size / 4.0)
        within = (max(across[0], inner[0].v) + web, min(across[1], inner[-1].v) - web)
        if within[0] >= within[1]:
            return ()
        taken = self.obstacles.taken((min(u, reach), max(u, reach)))
        half = HEAD * size / 2.0 + self.means.clearance_mm
        free = [(low + half, high - half) for low, high in gaps(within, taken) if high - low >= 2.0 * half]
        wanted = _wanted_keys(across)
        found: list[Key] = []
        for number in range(wanted):
            ideal = across[0] + (across[1] - across[0]) * (number + 0.5) / wanted
            places = [min(max(ideal, low), high) for low, high in free]
            places = [
                v
                for v in places
                if all(abs(v - key.middle) > 2.0 * half + self.means.web_mm for key in found)
            ]
            if places:
                found.append(Key(middle=min(places, key=lambda v: (abs(v - ideal), v)), size=size))
        return tuple(sorted(found, key=lambda key: key.middle))

    def _marks(self, u: float, across: Interval, way: int, keys: Sequence[Key]) -> tuple[Point, Point] | None:
        """Returns where the mark stands on both pieces: side by side if it can."""
        high = mark_height(self.means.letters_mm)
        lean = abs(math.sin(self.frame.slant_rad))
        wide = text_width("M", high)
        width, height = wide + high * lean, high + wide * lean
        free: list[tuple[Interval, ...]] = []
        for side in (-1, 1):
            ends = sorted((u + side * _MARK_GAP, u + side * (_MARK_GAP + width)))
            taken = [*self.obstacles.taken((ends[0], ends[1]), lines_gap=_FROM_LINES)]
            if side == way:
                pockets = (key.half_head + self.means.clearance_mm + _MARK_GAP for key in keys)
                taken += [
                    (key.middle - half, key.middle + half) for key, half in zip(keys, pockets, strict=True)
                ]
            inner = (across[0] + _MARK_GAP, across[1] - _MARK_GAP)
            free.append(tuple(each for each in gaps(inner, merged(taken)) if each[1] - each[0] >= height))
        if not all(free):
            return None
        both = [
            (max(one[0], other[0]), min(one[1], other[1]))
            for one in free[0]
            for other in free[1]
            if min(one[1], other[1]) - max(one[0], other[0]) >= height
        ]
        places = [_middle_of_longest(both)] * 2 if both else [_middle_of_longest(each) for each in free]
        off = _MARK_GAP + width / 2.0
        return Point(u - off, places[0]), Point(u + off, places[1])


def _middle_of_longest(intervals: Sequence[Interval]) -> float:
    low, high = max(intervals, key=lambda each: (each[1] - each[0], -each[0]))
    return (low + high) / 2.0


def _wanted_keys(across: Interval) -> int:
    width = across[1] - across[0]
    return 1 + (width >= _TWO_KEYS) + (width >= _THREE_KEYS)


def _cost(joint: Joint) -> float:
    """What a joint costs, in shares of a piece's length."""
    missing = _wanted_keys(joint.v) - len(joint.keys)
    small = 1.0 - joint.keys[0].size
    lean = math.degrees(abs(joint.frame.slant_rad))
    return 0.4 * missing + 0.4 * small + 0.1 * joint.moved + 0.1 * joint.crowded + 0.02 * lean


def best_joints(part: Part, means: Means, fits: Fits) -> tuple[Joint, ...] | None:
    """Returns the joints that divide a part into as few pieces as the bed demands, None if there are none.

    Args:
        part: Too large for the bed.
        means: What joints are made with.
        fits: Whether something of a width and a height finds room on the bed.
    """
    upright = Frame()
    outline = Outline(part.outline, upright)
    if not could_fit(outline, fits):
        return None
    slanted = [Frame(math.radians(degrees)) for degrees in _SLANTS]
    for frames, moves_words in (([upright], False), ([upright], True), (slanted, False), (slanted, True)):
        found = [
            joint
            for frame in frames
            for joint in Search(part, frame, means, moves_words=moves_words).joints()
        ]
        chosen = _Choice(found, outline, fits).best()
        if chosen is not None:
            return chosen
    return None


def could_fit(outline: Outline, fits: Fits) -> bool:
    """Tells whether the part is nowhere so wide that no piece across it finds room on the bed."""
    low, steps = outline.box.low.x, math.ceil(outline.box.width / _LEAST_PIECE)
    return all(
        fits(_LEAST_PIECE, outline.across(low + step * _LEAST_PIECE, low + (step + 1) * _LEAST_PIECE))
        for step in range(steps)
    )


@dataclass(frozen=True, slots=True)
class _Ends:
    """What the pieces before and after a joint, or an end of the part, reach, in x, keys and all.

    Attributes:
        before: How far the piece before it reaches.
        after: Where the piece after it begins.
        limit: How far that one may reach for it to find room on the bed.
    """

    before: float
    after: float
    limit: float


class _Choice:
    """The cheapest run of joints by which all pieces fit.

    Args:
        joints: Of which to choose.
        outline: Of the part.
        fits: Whether something of a width and a height finds room on the bed.
    """

    def __init__(self, joints: Iterable[Joint], outline: Outline, fits: Fits) -> None:
        cheapest: dict[int, Joint] = {}
        for joint in sorted(joints, key=lambda joint: (_cost(joint), joint.frame.slant_rad)):
            cheapest.setdefault(round(joint.at / _STEP), joint)
        self.joints = sorted(cheapest.values(), key=lambda joint: joint.at)
        self._outline = outline
        self._fits = fits
        box = outline.box
        reaches = [_reaches(joint) for joint in self.joints]
        self._befores = sorted({box.high.x, *(before for before, _ in reaches)})
        self._part = _Ends(box.high.x, box.low.x, self._limit(box.low.x))
        self._ends = [_Ends(before, after, self._limit(after)) for before, after in reaches]
        self._costs = [_cost(joint) for joint in self.joints]

    def best(self) -> tuple[Joint, ...] | None:
        """Returns as few as can be, and of those the cheapest; None if there are none."""
        for pieces in range(2, _MOST_PIECES + 1):
            found = self._run(pieces)
            if found is not None:
                return tuple(self.joints[index] for index in found)
        return None

    def _run(self, pieces: int) -> list[int] | None:
        fair = self._outline.box.width / pieces
        # For each joint the cheapest run of joints that ends with it, and the joint before it; longer and longer runs.
        runs = [
            [
                (self._piece(self._part, ends, fair) + cost, -1)
                for ends, cost in zip(self._ends, self._costs, strict=True)
            ]
        ]
        for _ in range(pieces - 2):
            known = [(index, cost) for index, (cost, _) in enumerate(runs[-1]) if cost < math.inf]
            runs.append([self._after(known, index, fair) for index in range(len(self.joints))])
        last = [
            (cost + self._piece(self._ends[index], self._part, fair), index)
            for index, (cost, _) in enumerate(runs[-1])
            if cost < math.inf
        ]
        cost, index = min(last, default=(math.inf, -1))
        if cost == math.inf:
            return None
        found: list[int] = []
        for run in reversed(runs):
            found.append(index)
            index = run[index][1]
        return found[::-1]

    def _after(self, known: Sequence[tuple[int, float]], index: int, fair: float) -> tuple[float, int]:
        """Returns the cheapest run that goes on from one of those known to a joint."""
        best = (math.inf, -1)
        for before, cost in known:
            if before >= index:
                break
            if cost < best[0]:
                best = min(best, (cost + self._piece(self._ends[before], self._ends[index], fair), before))
        return best[0] + self._costs[index], best[1]

    def _piece(self, one: _Ends, other: _Ends, fair: float) -> float:
        """What the piece between two joints or ends costs; infinity if it is too short or does not fit."""
        length = other.before - one.after
        if length < _LEAST_PIECE or other.before > one.limit:
            return math.inf
        return (length / fair - 1.0) ** 2

    def _limit(self, low: float) -> float:
        """Returns how far a piece that begins at some x may reach: the longer it is, the less it fits."""
        first = bisect_left(self._befores, low)
        end = bisect_left(self._befores, x=True, lo=first, key=lambda high: not self._finds_room(low, high))
        return self._befores[end - 1] if end > first else -math.inf

    def _finds_room(self, low: float, high: float) -> bool:
        whole = self._outline.box
        return self._fits(high - low, whole.height) or (
            self._fits(high - low, 0.0) and self._fits(high - low, self._outline.across(low, high))
        )


def _reaches(joint: Joint) -> tuple[float, float]:
    """Returns how far the piece before a joint reaches, and where the one after it begins."""
    reach = [end.x for end in joint.ends]
    return max(reach) + joint.depth * (joint.way == 1), min(reach) - joint.depth * (joint.way == -1)


def marked(joints: Sequence[Joint]) -> tuple[Joint, ...]:
    """Returns joints with their letters, in order: A, B, C."""
    return tuple(
        replace(joint, mark=chr(ord("A") + number))
        for number, joint in enumerate(sorted(joints, key=lambda joint: joint.at))
    )
