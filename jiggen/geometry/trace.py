"""Curves, lines and arcs followed closely: dense places with directions, and how far the chords lie off. Millimetres.

The places lie on the source; between two of them it keeps within a known distance of their chord, which is proved by
the hull of the control points and not guessed from more places.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self, assert_never

import numpy as np
import numpy.typing as npt

from jiggen.geometry.bspline import BSpline, Weighted
from jiggen.geometry.curve import CubicBezier, EllipseArc, QuadraticBezier
from jiggen.geometry.path import COINCIDENT, Arc, Line, Segment
from jiggen.geometry.point import Point

Curve = QuadraticBezier | CubicBezier | EllipseArc | BSpline
Floats = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

#: A step turns by this at most, in radians, unless it is minute: 15 degrees.
STEP_TURN = math.radians(15.0)
#: Halvings of one curve at most: its parts are then beyond what a float can tell apart.
DEEPEST = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """Steps along a chain: `n` rows.

    Attributes:
        source: Number of the curve that each step lies on, counted in the chain.
        starts: (n, 2) mm.
        ends: (n, 2) mm; the start of the next step, but for rounding.
        sets_out: (n, 2) unit vectors along the curve at the start.
        arrives: The same at the end.
        slack: (n,) mm, how far the curve may lie off the chord, and the chord off the curve.
    """

    source: Numbers
    starts: Floats
    ends: Floats
    sets_out: Floats
    arrives: Floats
    slack: Floats

    def __len__(self) -> int:
        return len(self.source)

    def rows(self, chosen: Numbers) -> "Steps":
        """Returns some of them."""
        return Steps(**{name: getattr(self, name)[chosen] for name in self.__slots__})


def trace(curves: Sequence[Curve | Segment], slack_mm: float, minute_mm: float) -> Steps:
    """Returns steps along a chain of curves, in order. Curves without length are left out.

    Args:
        curves: The chain.
        slack_mm: How far chords may lie off, above zero.
        minute_mm: A step shorter than this may turn by any angle.
    """
    batches: dict[int, list[_Controls]] = {}  # by degree
    found: list[_Raw] = []
    for index, curve in enumerate(curves):
        match curve:
            case Line():
                batches.setdefault(1, []).append((index, _unweighted((curve.start, curve.end))))
            case QuadraticBezier() | CubicBezier():
                controls = _unweighted(curve.controls)
                batches.setdefault(len(controls) - 1, []).append((index, controls))
            case BSpline():
                batches.setdefault(curve.degree, []).extend((index, part) for part in curve.beziers())
            case EllipseArc():
                found.append(_round(index, curve, curve.start, curve.end, slack_mm))
            case Arc():
                found.append(_round(index, _as_ellipse(curve), curve.start, curve.end, slack_mm))
            case _:
                assert_never(curve)
    found += [_halved(members, slack_mm, minute_mm) for members in batches.values()]
    if not found:
        found = [_Raw.none()]
    source, key, starts, ends, sets_out, arrives, slack = _joined(found)
    order = np.lexsort((key, source))
    return Steps(
        source=source[order],
        starts=starts[order],
        ends=ends[order],
        sets_out=sets_out[order],
        arrives=arrives[order],
        slack=slack[order],
    )


#: A curve's number, and its control points times their weights, with the weights.
_Controls = tuple[int, tuple[Weighted, ...]]


def _unweighted(spots: Sequence[Point]) -> tuple[Weighted, ...]:
    return tuple((spot.x, spot.y, 1.0) for spot in spots)


def _as_ellipse(arc: Arc) -> EllipseArc:
    out = arc.start - arc.centre
    return EllipseArc(centre=arc.centre, major=out, minor=out.left(), sweep_rad=arc.sweep)


@dataclass(frozen=True, slots=True)
class _Raw:
    """Steps not yet in order: within one curve they go by `key`."""

    source: Numbers
    key: Floats
    starts: Floats
    ends: Floats
    sets_out: Floats
    arrives: Floats
    slack: Floats

    @classmethod
    def none(cls) -> Self:
        """Returns no steps."""
        pairs = np.zeros((0, 2))
        return cls(np.zeros(0, dtype=np.intp), np.zeros(0), pairs, pairs, pairs, pairs, np.zeros(0))


def _joined(raws: Sequence[_Raw]) -> tuple[Numbers, Floats, Floats, Floats, Floats, Floats, Floats]:
    return (
        np.concatenate([raw.source for raw in raws]),
        np.concatenate([raw.key for raw in raws]),
        np.concatenate([raw.starts for raw in raws]),
        np.concatenate([raw.ends for raw in raws]),
        np.concatenate([raw.sets_out for raw in raws]),
        np.concatenate([raw.arrives for raw in raws]),
        np.concatenate([raw.slack for raw in raws]),
    )


def _halved(members: Sequence[_Controls], slack_mm: float, minute_mm: float) -> _Raw:
    """Returns steps along Bézier curves of one degree, halved until the hull of each is flat and turns little.

    Source: a Bézier curve lies in the hull of its control points, and its directions among those of the legs between
    them; de Casteljau's construction at 1/2 gives the controls of both halves. Weights are positive, so that the
    same holds for weighted curves.
    """
    source = np.array([index for index, _ in members], dtype=np.intp)
    controls = np.array([row for _, row in members], dtype=np.float64)
    key = np.arange(len(members), dtype=np.float64)  # parts of one curve follow one another
    width = np.ones(len(members))
    done: list[_Raw] = []
    for depth in range(DEEPEST + 1):
        flat = controls[:, :, :2] / controls[:, :, 2:]
        legs = np.diff(flat, axis=1)
        size = np.abs(flat - flat[:, :1]).max(axis=(1, 2))
        slack = _off_chord(flat)
        turn = _turn(legs)
        goes = (flat[:, -1] != flat[:, 0]).any(axis=1)  # a loop has no chord
        ready = (slack <= slack_mm) & ((turn <= STEP_TURN) | (size < minute_mm)) & (goes | (size == 0.0))
        ready |= depth == DEEPEST
        lasting = ready & goes
        if lasting.any():
            sets_out, arrives = _first_leg(legs[lasting]), _first_leg(legs[lasting][:, ::-1])
            done.append(
                _Raw(
                    source[lasting],
                    key[lasting],
                    flat[lasting, 0],
                    flat[lasting, -1],
                    sets_out,
                    arrives,
                    slack[lasting],
                )
            )
        if ready.all():
            break
        left, right = _halves(controls[~ready])
        controls = np.concatenate([left, right])
        source = np.tile(source[~ready], 2)
        width = np.tile(width[~ready] / 2.0, 2)
        key = np.concatenate([key[~ready], key[~ready] + width[: len(left)]])
    return _Raw(*_joined(done)) if done else _Raw.none()


def _halves(controls: Floats) -> tuple[Floats, Floats]:
    left, right = np.empty_like(controls), np.empty_like(controls)
    last = controls.shape[1] - 1
    row = controls
    for level in range(last + 1):
        left[:, level] = row[:, 0]
        right[:, last - level] = row[:, -1]
        row = (row[:, :-1] + row[:, 1:]) / 2.0
    return left, right


def _off_chord(flat: Floats) -> Floats:
    """Returns how far the control points lie off the chord between the first and the last, at most."""
    chord = flat[:, -1] - flat[:, 0]
    square = (chord**2).sum(axis=1)
    seen = flat - flat[:, :1]
    with np.errstate(invalid="ignore", divide="ignore"):
        share = (seen * chord[:, None]).sum(axis=2) / square[:, None]
    share = np.where(square[:, None] > 0.0, np.clip(share, 0.0, 1.0), 0.0)
    off: Floats = np.hypot(*np.moveaxis(seen - share[:, :, None] * chord[:, None], 2, 0)).max(axis=1)
    return off


def _turn(legs: Floats) -> Floats:
    """Returns the sum of the angles between legs, where legs of no length are passed over."""
    total = np.zeros(len(legs))
    last = legs[:, 0]
    for level in range(1, legs.shape[1]):
        leg = legs[:, level]
        cross = last[:, 0] * leg[:, 1] - last[:, 1] * leg[:, 0]
        dot = (last * leg).sum(axis=1)
        total += np.abs(np.arctan2(cross, dot))
        still = (leg == 0.0).all(axis=1)
        last = np.where(still[:, None], last, leg)
    return total


def _first_leg(legs: Floats) -> Floats:
    """Returns the unit vector of the first leg that has a length worth the name."""
    long = np.hypot(legs[:, :, 0], legs[:, :, 1])
    worth = long > 1e-9 * long.max(axis=1, keepdims=True)
    at = worth.argmax(axis=1)
    rows = np.arange(len(legs))
    unit: Floats = legs[rows, at] / long[rows, at, None]
    return unit


def _round(index: int, curve: EllipseArc, start: Point, end: Point, slack_mm: float) -> _Raw:
    """Returns steps along an arc of an ellipse, or of a circle.

    Source: a chord over a step h of the parameter lies at most h²/8 times the largest second derivative off, which
    is no longer than the longest half axis; and that is no longer than both given ones together.
    """
    major, minor, sweep = curve.major, curve.minor, curve.sweep_rad
    longest = math.hypot(major.length(), minor.length())
    least = abs(major.cross(minor)) / longest
    turn = STEP_TURN * least / longest if least < longest / 2.0 else STEP_TURN
    step = max(min(math.sqrt(8.0 * slack_mm / longest), STEP_TURN), min(turn, 1e-3))
    count = math.ceil(abs(sweep) / step)
    angle = curve.start_rad + sweep * np.arange(count + 1) / count
    cosine, sine = np.cos(angle)[:, None], np.sin(angle)[:, None]
    out, up = np.array([major.x, major.y]), np.array([minor.x, minor.y])
    places = np.array([curve.centre.x, curve.centre.y]) + cosine * out + sine * up
    places[0], places[-1] = (start.x, start.y), (end.x, end.y)
    along = (cosine * up - sine * out) * math.copysign(1.0, sweep)
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    slack = np.full(count, (sweep / count) ** 2 / 8.0 * longest + COINCIDENT / 1000.0)
    return _Raw(
        np.full(count, index, dtype=np.intp),
        np.arange(count, dtype=np.float64),
        places[:-1],
        places[1:],
        along[:-1],
        along[1:],
        slack,
    )
