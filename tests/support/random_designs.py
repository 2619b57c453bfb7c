"""Seeded random necks, of which any sufficient part is said, and two ways of computing what must come of it.

The numbers that a design leaves out are known here, so solver and layout can be held against them.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, combinations, pairwise
from random import Random
from typing import Any

from support.specs import TOOLS

from jiggen.design.fret_places import remaining
from jiggen.design.fret_rule import CentsSteps, DivisorSteps, EqualSteps, FretRule, RatioSteps
from jiggen.design.model import (
    Design,
    EndShape,
    FretAt,
    Given,
    Inlays,
    PartialFret,
    SetbackTo,
    Spacing,
    WidthAt,
)
from jiggen.design.solve import solve
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out

RULES: tuple[FretRule, ...] = (
    EqualSteps(steps=12),
    EqualSteps(steps=12, keep=(0, 2, 4, 5, 7, 9, 10, 12)),
    EqualSteps(steps=19),
    DivisorSteps(divisor=18.0),
    DivisorSteps(divisor=17.817),
    RatioSteps(
        ratios=tuple(
            map(
                Fraction,
                ["16/15", "9/8", "6/5", "5/4", "4/3", "45/32", "3/2", "8/5", "5/3", "9/5", "15/8", "2"],
            )
        )
    ),
    CentsSteps(cents=(193.157, 310.265, 503.422, 696.578, 889.735, 1006.843, 1200.0)),
)


@dataclass(frozen=True, kw_only=True)
class Neck:
    """All that settles how the board tapers, mm, and the rule and number of its frets.

    Attributes:
        bass_scale: Along the last string.
        treble_scale: Along the first string.
        spread_at_nut: Centre to centre of the outer strings.
        spread_at_bridge: The same at the saddle.
        setback_bass: To the string's centre.
        setback_treble: To the string's centre.
        rule: Of the frets.
        frets: Their number.
    """

    bass_scale: float
    treble_scale: float
    spread_at_nut: float
    spread_at_bridge: float
    setback_bass: float
    setback_treble: float
    rule: FretRule
    frets: int

    @property
    def scale(self) -> float:
        return (self.bass_scale + self.treble_scale) / 2.0

    @property
    def nut(self) -> float:
        return self.spread_at_nut + self.setback_bass + self.setback_treble

    @property
    def growth(self) -> float:
        return self.spread_at_bridge - self.spread_at_nut

    def share(self, fret: int) -> float:
        return 1.0 - remaining(self.rule, fret)


def random_design(chance: Random) -> tuple[Design, Neck]:
    """Returns a valid neck and a design that says enough of it: single strings or courses, parallel or fanned."""
    courses = tuple(
        chance.choice([1, 1, 1, 1, 2, 2, 3]) if chance.random() < 0.3 else 1
        for _ in range(chance.randint(1, 12))
    )
    strings = sum(courses)
    gauges = tuple(chance.uniform(0.2, 1.6) for _ in range(strings))
    to_edge, lopsided = chance.random() < 0.4, chance.random() < 0.3
    edge_bass = chance.uniform(2.0, 6.0)
    edge_treble = chance.uniform(2.0, 6.0) if lopsided else edge_bass
    spread = len(courses) * chance.uniform(7.0, 11.0) + (max(courses) - 1) * 4.0 if strings > 1 else 0.0
    wider = chance.uniform(-1.0, 25.0) if strings > 1 else 0.0
    scale = chance.uniform(200.0, 1200.0)
    fan = chance.uniform(-0.9, 0.9) * spread if strings > 1 and chance.random() < 0.35 else 0.0
    neck = Neck(
        bass_scale=scale + fan / 2.0,
        treble_scale=scale - fan / 2.0,
        spread_at_nut=spread,
        spread_at_bridge=spread + wider,
        setback_bass=edge_bass + (gauges[-1] / 2.0 if to_edge else 0.0),
        setback_treble=(edge_treble if strings > 1 else edge_bass) + (gauges[0] / 2.0 if to_edge else 0.0),
        rule=chance.choice(RULES),
        frets=chance.choice([0, 1, *range(5, 31)]),
    )
    said: dict[str, Any] = {
        "fret_rule": neck.rule,
        "frets": neck.frets,
        "string_count": strings,
        "setback_to": SetbackTo.EDGE if to_edge else SetbackTo.CENTRE,
        **_courses(chance, courses),
        **({"gauges": gauges} if to_edge or chance.random() < 0.5 else {}),
        **(_fan(chance, neck) if fan else _scale(chance, neck)),
        **_taper(chance, neck, strings, (edge_bass, edge_treble), lopsided=lopsided),
        **_spacing(chance, neck, strings),
        **_details(chance, neck, strings),
    }
    if said.get("spacing") is Spacing.GAPS:
        said["gauges"] = gauges
    inlays = (
        Inlays(frets=Given((3, 5, 7, 9, 12, 31)), doubled=Given((12,))) if chance.random() < 0.3 else Inlays()
    )
    fields = {name: Given(value) for name, value in said.items()}
    return Design(name="Dunlin", tools=TOOLS, inlays=inlays, **fields), neck


def _courses(chance: Random, courses: tuple[int, ...]) -> dict[str, Any]:
    if len(courses) == 1 or max(courses) == 1:
        return {"courses": courses} if chance.random() < 0.5 else {}
    said: dict[str, Any] = {"courses": courses, "course_spacing_nut": chance.uniform(0.5, 2.2)}
    return said | ({"course_spacing_bridge": chance.uniform(0.5, 3.0)} if chance.random() < 0.5 else {})


def _scale(chance: Random, neck: Neck) -> dict[str, Any]:
    near, far = chance.randint(1, 20), chance.randint(1, 20)
    ways: dict[str, Any] = {
        "scale": neck.scale,
        "nut_to_twelfth": neck.scale * neck.share(12),
        "nut_to_fret": FretAt(fret=near, distance=neck.scale * neck.share(near)),
        "bridge_to_fret": FretAt(fret=far, distance=neck.scale * (1.0 - neck.share(far))),
    }
    return {name: ways[name] for name in chance.sample(list(ways), chance.choice([1, 1, 1, 2, 4]))}


def _fan(chance: Random, neck: Neck) -> dict[str, Any]:
    said = {"scale_bass": neck.bass_scale, "scale_treble": neck.treble_scale}
    return said | (
        {"straight_fret": chance.choice([0.0, 7.0, chance.uniform(0.0, 20.0)])}
        if chance.random() < 0.8
        else {}
    )


def _taper(
    chance: Random, neck: Neck, strings: int, setbacks: tuple[float, float], *, lopsided: bool
) -> dict[str, Any]:
    """Any three numbers that settle the taper, and at times all of them."""
    fret, away = chance.randint(5, 20), chance.uniform(0.25, 0.9)

    def width(share: float) -> float:
        return neck.nut + neck.growth * share

    # name: what it tells of nut width, growth and setbacks; how it is said
    ways: dict[str, tuple[tuple[float, float, float], dict[str, Any]]] = {
        "nut": ((1.0, 0.0, 0.0), {"nut_width": neck.nut}),
        "spread at nut": ((1.0, 0.0, -1.0), {"spread_at_nut": neck.spread_at_nut}),
        "spread at bridge": ((1.0, 1.0, -1.0), {"spread_at_bridge": neck.spread_at_bridge}),
        "setbacks": ((0.0, 0.0, 1.0), _setbacks(chance, setbacks, lopsided=lopsided)),
        "fret": (
            (1.0, neck.share(fret), 0.0),
            {"widths": (WidthAt(fret=fret, width=width(neck.share(fret))),)},
        ),
        "away": ((1.0, away, 0.0), {"widths": (WidthAt(distance=away * neck.scale, width=width(away)),)}),
        "angle": ((0.0, 1.0, 0.0), {"taper_angle": 2.0 * math.atan(neck.growth / neck.scale / 2.0)}),
    }
    if strings == 1:
        return {"nut_width": neck.nut}
    enough = [
        three
        for three in combinations(ways, 3)
        if abs(_determinant([ways[name][0] for name in three]))
        > 0.1  # nearer to nought they say one thing twice
    ]
    chosen: Sequence[str] = chance.choice([*enough, tuple(ways)])
    said: dict[str, Any] = {}
    for name in chosen:
        more = ways[name][1]
        if "widths" in more and "widths" in said:
            more = {"widths": said["widths"] + more["widths"]}
        said |= more
    if lopsided and not {"setback_bass", "setback_treble"} & set(said):
        side = chance.choice([0, 1])
        said |= {("setback_bass", "setback_treble")[side]: setbacks[side]}
    return said


def _determinant(rows: list[tuple[float, float, float]]) -> float:
    (a, b, c), (d, e, f), (g, h, i) = rows
    return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)


def _setbacks(chance: Random, setbacks: tuple[float, float], *, lopsided: bool) -> dict[str, Any]:
    bass, treble = setbacks
    if lopsided:
        return chance.choice(
            [{"setback_bass": bass, "setback_treble": treble}, {"setback": bass, "setback_treble": treble}]
        )
    return {"setback": bass}


def _spacing(chance: Random, neck: Neck, strings: int) -> dict[str, Any]:
    said: dict[str, Any] = {}
    if chance.random() < 0.3:
        said["spacing"] = chance.choice(list(Spacing))
    for name, spread in (("positions_nut", neck.spread_at_nut), ("positions_bridge", neck.spread_at_bridge)):
        if strings > 1 and chance.random() < 0.15:
            steps = [chance.uniform(1.0, 2.0) for _ in range(strings - 1)]
            said[name] = (0.0, *(spread * each / sum(steps) for each in accumulate(steps[:-1])), spread)
    return said


def _details(chance: Random, neck: Neck, strings: int) -> dict[str, Any]:
    last = neck.scale * neck.share(neck.frets)
    room = neck.scale - last
    overhang = chance.uniform(0.4, 0.7) * room if neck.frets < 5 else chance.uniform(0.0, 0.5) * room
    widest = 1.5 * (max(neck.nut, neck.nut + neck.growth) + abs(neck.bass_scale - neck.treble_scale))
    said: dict[str, Any] = {"overhang": overhang}
    match chance.choice([*EndShape, EndShape.STRAIGHT]):
        case EndShape.ANGLED if last + overhang > widest:
            said |= {"end": EndShape.ANGLED, "end_angle": chance.uniform(-0.5, 0.5)}
        case EndShape.ROUNDED:
            said |= {"end": EndShape.ROUNDED, "end_radius": widest * chance.uniform(1.0, 5.0)}
        case _:
            pass
    if chance.random() < 0.3:
        said["radius"] = widest * chance.uniform(1.0, 5.0)
        if chance.random() < 0.5:
            said["radius_at_end"] = said["radius"] * chance.uniform(1.0, 2.0)
    if chance.random() < 0.2:
        said |= {"zero_fret": True, "nut_behind": chance.uniform(1.0, 8.0)}
    if chance.random() < 0.15:
        said["nut_offset"] = chance.uniform(-1.0, 1.0)
    if chance.random() < 0.3:
        said["left_handed"] = True
    if neck.frets and chance.random() < 0.15:
        first = chance.randint(1, strings)
        under = tuple(range(first, chance.randint(first, strings) + 1))
        said["partial_frets"] = (PartialFret(fret=chance.randint(1, neck.frets), strings=under),)
    return said


def disagreement(design: Design, neck: Neck) -> float:
    """Solves and lays out a design, and returns the largest difference between two ways of computing one length, mm."""
    spec = solve(design)
    numbers = (
        (spec.scale_bass.value, neck.bass_scale),
        (spec.scale_treble.value, neck.treble_scale),
        (spec.nut_width.value, neck.nut),
        (spec.width_at_saddle.value, neck.nut + neck.growth),
        (spec.spread_at_nut.value, neck.spread_at_nut),
        (spec.spread_at_bridge.value, neck.spread_at_bridge),
        (spec.setback_bass.value, neck.setback_bass),
        (spec.setback_treble.value, neck.setback_treble),
    )
    layout = lay_out(spec)
    return max(abs(one - other) for one, other in (*numbers, *_lengths(layout, neck)))


def _lengths(layout: Layout, neck: Neck) -> list[tuple[float, float]]:
    """Lengths in a layout, each in two ways."""
    spec, strings = layout.spec, layout.strings
    edges = layout.bass_edge, layout.treble_edge
    pairs = [
        (abs(layout.nut.end.y - layout.nut.start.y), neck.nut),
        (abs(layout.saddle.end.y - layout.saddle.start.y), neck.nut + neck.growth),
        (abs(strings[0].line.start.y - strings[-1].line.start.y), neck.spread_at_nut),
        (abs(strings[0].line.end.y - strings[-1].line.end.y), neck.spread_at_bridge),
        (abs(layout.treble_edge.end.y - strings[0].line.end.y), neck.setback_treble),
        (abs(layout.bass_edge.end.y - strings[-1].line.end.y), neck.setback_bass),
    ]
    if spec.fanned:
        pairs += [(strings[-1].scale, neck.bass_scale), (strings[0].scale, neck.treble_scale)]
    for fret in layout.frets:
        share = neck.share(fret.number)
        if not spec.fanned:
            pairs += [
                (fret.distance, neck.scale * share),
                (fret.spread, neck.spread_at_nut + neck.growth * share),
            ]
        if not all(fret.crossings):
            continue
        if not spec.fanned:
            pairs.append((fret.width, neck.nut + neck.growth * share))
        line, places = fret.line, [place for place in fret.crossings if place]
        stops = (line.start, *reversed(places), line.end)
        steps = (one.distance(other) for one, other in pairwise(stops))
        pairs.append((fret.width, math.fsum(steps)))
        for end, edge in zip((line.start, line.end), edges, strict=True):
            along = edge.end - edge.start
            pairs.append((abs(along.cross(end - edge.start)) / along.length(), 0.0))
    return pairs
