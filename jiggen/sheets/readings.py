"""What to measure on a part once it is cut, and what one should read. Millimetres, finished size."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.geometry.box import around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between
from jiggen.parts.model import Feature, Part, Role

#: Pairs that tell most about an instrument, where a part has both.
_TELLING = (("nut", "octave"), ("nut", "saddle"), ("nut", "fret.12"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thing to measure.

    Attributes:
        part: Name of the part.
        features: Ids of the features it is measured on, one or two.
        what: What is measured: `length`, `width`, `clear width` or `middle to middle`.
        expected_mm: What a caliper or rule should read.
    """

    part: str
    features: tuple[str, ...]
    what: str
    expected_mm: float


def readings(part: Part) -> tuple[Reading, ...]:
    """Returns a few readings that would show a wrong scale, a wrong kerf or a wrong place.

    Its outside; the clear width of the first of each kind of opening; from the first to the last of each row of
    features; and from the nut to octave and saddle line.
    """
    return (*_outside(part), *_clear_widths(part), *_distances(part))


def _outside(part: Part) -> Iterator[Reading]:
    edge = next(feature for feature in part.features if feature.role is Role.EDGE)
    box = around(bounds(path) for path in edge.paths)
    for what, size in (("length", max(box.width, box.height)), ("width", min(box.width, box.height))):
        yield Reading(part=part.name, features=(edge.id,), what=what, expected_mm=size)


def _clear_widths(part: Part) -> Iterator[Reading]:
    seen: set[tuple[str, float]] = set()
    for feature in part.features:
        if feature.width_mm is None:
            continue
        kind = (_row(feature.id) or feature.role.value, round(feature.width_mm, 6))
        if kind not in seen:
            seen.add(kind)
            yield Reading(
                part=part.name, features=(feature.id,), what="clear width", expected_mm=feature.width_mm
            )


def _distances(part: Part) -> Iterator[Reading]:
    by_id = {feature.id: feature for feature in part.features if feature.datum is not None}
    pairs = [(by_id[one], by_id[other]) for one, other in _TELLING if one in by_id and other in by_id]
    rows: dict[str, list[Feature]] = {}
    for feature in by_id.values():
        rows.setdefault(_row(feature.id), []).append(feature)
    pairs += [(row[0], row[-1]) for name, row in rows.items() if name and len(row) > 1]
    for first, last in pairs:
        distance = _middle(first).distance(_middle(last))
        yield Reading(
            part=part.name, features=(first.id, last.id), what="middle to middle", expected_mm=distance
        )


def _row(id: str) -> str:
    """Returns what features of one row have in common, `string.#.nut` for `string.3.nut`; empty without a number."""
    return re.sub(r"\.\d+", ".#", id) if re.search(r"\.\d+", id) else ""


def _middle(feature: Feature) -> Point:
    match feature.datum:
        case Line() as line:
            return between(line.start, line.end, 0.5)
        case Point() as point:
            return point
        case None:
            raise ValueError(f"feature {feature.id} stands for no place")


def readings_of(parts: Sequence[Part]) -> tuple[Reading, ...]:
    """Returns the readings of several parts, in their order."""
    return tuple(reading for part in parts for reading in readings(part))
