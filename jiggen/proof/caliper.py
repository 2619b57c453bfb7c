"""Readings of what was cut or built, against the design: how far off, how sure, why, and what to do about it.

Millimetres and cents. Three kinds of things are looked at, each for itself: places along the neck, which a wrong scale
and a wrong nut move; widths of the board, which a wrong taper and planed edges change; sizes of a part, which a
machine's scale, the warmth and a wrong kerf change. What follows no such pattern is odd: one bad slot, or a slip.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from jiggen.errors import InputError
from jiggen.layout.quantity import require_positive
from jiggen.layout.student import coverage_factor
from jiggen.proof.causes import Causes, Point, find_causes
from jiggen.proof.gauges import Gauge, GaugeReading, Sort
from jiggen.proof.saddle_shift import FretStand, SaddleShift, best_saddle, fret_cents

#: mm. A caliper that shows fiftieths, a common vernier (common practice).
DEFAULT_RESOLUTION_MM = 0.02
#: Covers 95 % where no readings tell the scatter (JCGM 100:2008, G.6.6).
_KNOWN_FACTOR = 2.0
#: Repeats tell the scatter when there are so many to spare.
_ENOUGH_REPEATS = 3
#: A reading this many times its scatter from the others of the same thing is a slip: common practice, three sigma.
_SLIP = 3.0
#: How an offset shows in each sort.
_SIGNS: Mapping[Sort, float] = {
    Sort.PLACE: 1.0,
    Sort.WIDTH: 1.0,
    Sort.OPENING: 1.0,
    Sort.OUTSIDE: -1.0,
    Sort.MIDDLE: 0.0,
}


class Verdict(StrEnum):
    """Whether a thing is as it should be; the value is the word used in reports and JSON."""

    OK = "ok"  #: within its limit, for certain
    UNSURE = "unsure"  #: so near its limit that the readings do not tell
    OUT = "OUT"  #: beyond its limit, for certain


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One thing, as it was measured.

    Attributes:
        gauge: What it is.
        mean_mm: Of its readings, slips left out.
        count: How many these are.
        expanded_mm: Half of the interval that holds it with a probability of 95 %.
        judged_mm: How far it is off what matters: of most things the design; of a fret, by so much its pitch is off
            with the saddle where it is; of the saddle, its best place for the frets as they are.
        cents: What a fret is off by with the saddle where it is, sharp positive; None for all else.
        explained_mm: What the pattern makes of it.
        odd: Whether it does not follow the others.
    """

    gauge: Gauge
    mean_mm: float
    count: int
    expanded_mm: float
    judged_mm: float
    cents: float | None = None
    explained_mm: float = 0.0
    odd: bool = False

    @property
    def off_mm(self) -> float:
        """How far it is off the design."""
        return self.mean_mm - self.gauge.nominal_mm

    @property
    def verdict(self) -> Verdict:
        """What it comes to.

        Source: ISO 14253-1, decision rules: the uncertainty is taken off the limit to prove that a thing conforms,
            and added to prove that it does not (from memory).
        """
        off, limit = abs(self.judged_mm), self.gauge.limit_mm
        if off + self.expanded_mm <= limit:
            return Verdict.OK
        return Verdict.OUT if off - self.expanded_mm > limit else Verdict.UNSURE


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A reading that was left out.

    Attributes:
        reading: As given.
        others_mm: What the other readings of the same thing say.
    """

    reading: GaugeReading
    others_mm: float


class Subject(StrEnum):
    """What a group of readings is about."""

    NECK = "neck"  #: places along it
    BOARD = "board"  #: its widths
    PART = "part"  #: sizes of one part
    STRINGS = "strings"  #: their spread, of which there are too few for a pattern


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Readings that answer to the same causes.

    Attributes:
        subject: What they are about.
        part: Name of the part; empty for the board or instrument itself.
        measured: In the order in which they were first read.
        causes: Why they are off.
    """

    subject: Subject
    part: str
    measured: tuple[Measured, ...]
    causes: Causes

    @property
    def odd(self) -> tuple[Measured, ...]:
        """Those that do not follow the others."""
        return tuple(each for each in self.measured if each.odd)


@dataclass(frozen=True, slots=True, kw_only=True)
class SaddleAdvice:
    """Where the saddle should stand for the frets as they are.

    Attributes:
        frets: Their numbers; the odd ones too, whose cents are told though they had no say.
        from_mm: Where it stands, from the front of the nut: as measured, or else as designed.
        measured: Whether it was measured.
        shift: The best place, and what the frets are off by before and after.
    """

    frets: tuple[int, ...]
    from_mm: float
    measured: bool
    shift: SaddleShift

    @property
    def move_mm(self) -> float:
        """By how much to move it, + is away from the nut."""
        return self.shift.at_mm - self.from_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """All that readings tell.

    Attributes:
        groups: Neck, board, strings, then part by part, as far as they were read.
        slips: Readings left out.
        saddle: Where it should stand; None when no fret was read.
        fret_cents_limit: How far a fret may be off.
        kerfs_mm: That the parts were cut with, by name.
    """

    groups: tuple[Group, ...]
    slips: tuple[Slip, ...]
    saddle: SaddleAdvice | None
    fret_cents_limit: float
    kerfs_mm: Mapping[str, float]

    @property
    def measured(self) -> tuple[Measured, ...]:
        """All things, group by group."""
        return tuple(each for group in self.groups for each in group.measured)

    @property
    def ok(self) -> bool:
        """Whether nothing is out for certain."""
        return all(each.verdict is not Verdict.OUT for each in self.measured)


def judge(
    readings: Sequence[GaugeReading],
    *,
    scale_mm: float,
    fret_cents_limit: float,
    kerfs_mm: Mapping[str, float] | None = None,
    resolution_mm: float = DEFAULT_RESOLUTION_MM,
) -> Judgement:
    """Returns what readings tell.

    Args:
        readings: In any order, things as often as they were read.
        scale_mm: That the frets were laid out for.
        fret_cents_limit: How far a fret may be off.
        kerfs_mm: That the parts were cut with, by name.
        resolution_mm: Smallest step of the caliper or rule.

    Raises:
        InputError: If there are no readings, or the resolution is not above zero.
    """
    require_positive("resolution of the caliper", resolution_mm, "mm")
    if not readings:
        raise InputError(where="the readings", got="none", expected="at least one")
    by_gauge: dict[str, list[GaugeReading]] = {}
    for reading in readings:
        by_gauge.setdefault(reading.gauge.name, []).append(reading)
    least = resolution_mm / math.sqrt(12.0)
    groups: list[Group] = []
    slips: list[Slip] = []
    for subject, part in _subjects(readings):
        mine = [some for some in by_gauge.values() if _subject(some[0].gauge) == (subject, part)]
        group, left_out = _group(subject, part, mine, least)
        groups.append(group)
        slips += left_out
    saddle = _saddle(groups, scale_mm)
    return Judgement(
        groups=tuple(_heard(group, saddle) for group in groups) if saddle is not None else tuple(groups),
        slips=tuple(slips),
        saddle=saddle,
        fret_cents_limit=fret_cents_limit,
        kerfs_mm=kerfs_mm or {},
    )


def _subject(gauge: Gauge) -> tuple[Subject, str]:
    if gauge.part:
        return Subject.PART, gauge.part
    match gauge.sort:
        case Sort.WIDTH:
            return Subject.BOARD, ""
        case Sort.SPREAD:
            return Subject.STRINGS, ""
        case _:
            return Subject.NECK, ""


def _subjects(readings: Sequence[GaugeReading]) -> Iterator[tuple[Subject, str]]:
    """Yields what was read: the neck first, then the board, the strings, and parts as they come."""
    found = list(dict.fromkeys(_subject(reading.gauge) for reading in readings))
    order = (Subject.NECK, Subject.BOARD, Subject.STRINGS, Subject.PART)
    yield from sorted(found, key=lambda each: order.index(each[0]))


def _group(
    subject: Subject, part: str, mine: Sequence[Sequence[GaugeReading]], least: float
) -> tuple[Group, list[Slip]]:
    kept, slips = _without_slips(mine, least)
    means = [math.fsum(each.mm for each in some) / len(some) for some in kept]
    points = [_point(some[0].gauge, mean) for some, mean in zip(kept, means, strict=True)]
    told = [index for index, point in enumerate(points) if point is not None]
    causes = find_causes([point for point in points if point is not None], least_scatter=least)
    odd = {index for index, sound in zip(told, causes.sound, strict=True) if not sound}
    repeats, freedom = _repeat_scatter(kept, least)
    measured = []
    for index, (some, mean, point) in enumerate(zip(kept, means, points, strict=True)):
        gauge = some[0].gauge
        if freedom >= _ENOUGH_REPEATS:
            expanded = coverage_factor(freedom) * math.hypot(repeats / math.sqrt(len(some)), least)
        elif causes.freedom > 0:
            expanded = coverage_factor(causes.freedom) * causes.scatter
        else:
            expanded = _KNOWN_FACTOR * least
        measured.append(
            Measured(
                gauge=gauge,
                mean_mm=mean,
                count=len(some),
                expanded_mm=expanded,
                judged_mm=mean - gauge.nominal_mm,
                explained_mm=causes.explained(point.x, point.g) if point is not None else 0.0,
                odd=index in odd,
            )
        )
    return Group(subject=subject, part=part, measured=tuple(measured), causes=causes), slips


def _point(gauge: Gauge, mean: float) -> Point | None:
    """Returns what a thing tells of the causes; None for what they do not show in.

    The saddle is set by hand after the frets, so it tells nothing of them.
    """
    if gauge.sort is Sort.SPREAD or (gauge.sort is Sort.PLACE and gauge.fret is None):
        return None
    x = gauge.at_mm if gauge.sort is Sort.WIDTH and gauge.at_mm is not None else gauge.nominal_mm
    return Point(x, _SIGNS[gauge.sort], mean - gauge.nominal_mm)


def _without_slips(
    mine: Sequence[Sequence[GaugeReading]], least: float
) -> tuple[list[list[GaugeReading]], list[Slip]]:
    """Returns the readings of each thing that agree, and those that do not, where there are three or more to judge."""
    kept: list[list[GaugeReading]] = []
    slips: list[Slip] = []
    scatter = _usual_scatter(mine, least)
    for some in mine:
        middle = sorted(each.mm for each in some)[len(some) // 2]
        good = [each for each in some if len(some) < 3 or abs(each.mm - middle) <= _SLIP * scatter]
        mean = math.fsum(each.mm for each in good) / len(good)
        kept.append(good)
        slips += [Slip(reading=each, others_mm=mean) for each in some if each not in good]
    return kept, slips


def _usual_scatter(mine: Sequence[Sequence[GaugeReading]], least: float) -> float:
    """Returns how far readings of one thing usually lie from their middle: the median of that, as a standard deviation."""
    off = sorted(
        abs(each.mm - sorted(other.mm for other in some)[len(some) // 2])
        for some in mine
        if len(some) > 2
        for each in some
    )
    off = [each for each in off if each > 0.0]
    return max(1.4826 * off[len(off) // 2], 2.0 * least) if off else 2.0 * least


def _repeat_scatter(kept: Sequence[Sequence[GaugeReading]], least: float) -> tuple[float, int]:
    """Returns the standard deviation of readings of one thing, from all repeats together, and its freedom.

    Source: pooled variance, JCGM 100:2008, 4.2.4 and H.5.
    """
    squares, freedom = 0.0, 0
    for some in kept:
        mean = math.fsum(each.mm for each in some) / len(some)
        squares += math.fsum((each.mm - mean) ** 2 for each in some)
        freedom += len(some) - 1
    return (max(math.sqrt(squares / freedom), least) if freedom else least), freedom


def _saddle(groups: Sequence[Group], scale_mm: float) -> SaddleAdvice | None:
    neck = next((group for group in groups if group.subject is Subject.NECK), None)
    frets = [each for each in neck.measured if each.gauge.fret is not None] if neck else []
    if not frets:
        return None
    read = [each for each in neck.measured if each.gauge.fret is None] if neck else []
    from_mm = read[0].mean_mm if read else scale_mm
    stands = [FretStand(each.gauge.nominal_mm, each.mean_mm) for each in frets]
    say = [stand for stand, each in zip(stands, frets, strict=True) if not each.odd] or stands
    if max(stand.found for stand in stands) >= from_mm:
        return None  # a fret beyond the saddle is a slip that no saddle mends
    best = best_saddle(say, scale_mm=scale_mm, saddle_mm=from_mm)
    shift = SaddleShift(
        at_mm=best.at_mm,
        before_cents=fret_cents(stands, scale_mm=scale_mm, saddle_mm=from_mm),
        after_cents=fret_cents(stands, scale_mm=scale_mm, saddle_mm=best.at_mm),
    )
    return SaddleAdvice(
        frets=tuple(each.gauge.fret for each in frets if each.gauge.fret is not None),
        from_mm=from_mm,
        measured=bool(read),
        shift=shift,
    )


def _heard(group: Group, saddle: SaddleAdvice) -> Group:
    """Returns a group with its frets judged by what is heard, and the saddle by its best place."""
    if group.subject is not Subject.NECK:
        return group
    cents = dict(zip(saddle.frets, saddle.shift.before_cents, strict=True))
    measured = []
    for each in group.measured:
        left = each.gauge.string_left_mm
        if each.gauge.fret is None:
            measured.append(replace(each, judged_mm=saddle.from_mm - saddle.shift.at_mm))
        elif left is not None:
            heard = cents[each.gauge.fret]
            judged = left * (1.0 - math.exp2(-heard / 1200.0))
            measured.append(replace(each, cents=heard, judged_mm=judged))
    return replace(group, measured=tuple(measured))
