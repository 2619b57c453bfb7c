"""Few arcs along curves: how many against a slow search, how far off at worst, how quickly.

Run on request: `PYTHONPATH=.:tests python tests/bench/bench_fit.py [CURVES]`; so many random Béziers, 10,000
when left out. Glyphs are those of two free fonts that matplotlib brings along.
"""

import math
import statistics
import sys
import time
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import matplotlib as mpl
import numpy as np
import svgpathtools
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont
from support.curves import KINDS, clothoid, random_cubic, wavy_outline
from support.off_curve import off_path, off_places
from support.slow_arcs import fewest_arcs

from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import EllipseArc, QuadraticBezier
from jiggen.geometry.fit import fit_curves
from jiggen.geometry.fit_points import CORNER
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.geometry.trace import Curve
from jiggen.layout.body_curve import smooth_figure

TOLERANCE = 0.01
FONTS = Path(mpl.get_data_path()) / "fonts" / "ttf"
Chain = list[Curve | Line]


def corpus() -> Iterator[tuple[str, Chain]]:
    """Chains without corners, each with the name of its kind."""
    for seed in range(25):
        for kind in ("plain", "loop", "without handles"):
            yield "random Béziers", [random_cubic(seed, kind)]
    for ratio in (0.9, 0.6, 0.4, 0.2):
        for sweep in (0.5 * math.pi, math.pi):
            arc = EllipseArc(
                centre=Point(0.0, 0.0),
                major=Point(80.0, 0.0),
                minor=Point(0.0, 80.0 * ratio),
                sweep_rad=sweep,
            )
            yield "parts of ellipses", [arc]
    for turn in (0.5, 1.0, 2.0, 4.0):
        yield "clothoids", list(clothoid(200.0, turn))
    for neck, tail in ((None, None), (230.0, 260.0), (150.0, 320.0)):
        for waist in (95.0, 105.0, 115.0):
            stations = (Point(96.0, 125.0), Point(192.0, waist), Point(352.8, 170.0))
            yield "bodies", list(smooth_figure(480.0, stations, neck_radius=neck, tail_radius=tail))
    for name in ("DejaVuSerif.ttf", "DejaVuSans-Bold.ttf"):
        for height in (10.0, 100.0):
            for chain in _glyphs(FONTS / name, "Rgs&8", height):
                yield "glyphs", chain
    rim = np.random.default_rng(5)
    for _ in range(6):
        spots = [Point(x, y) for x, y in rim.uniform(0.0, 200.0, (9, 2)).tolist()]
        knots = (0.0,) * 4 + (1.0, 2.0, 3.0, 4.0, 5.0) + (6.0,) * 4
        yield "B-splines", [BSpline(degree=3, knots=knots, controls=tuple(spots))]


def _glyphs(font: Path, letters: str, height: float) -> Iterator[Chain]:
    """The contours of letters, cut at their corners."""
    face = TTFont(font)
    glyphs, names = face.getGlyphSet(), face.getBestCmap()
    scale = height / face["head"].unitsPerEm
    for letter in letters:
        pen = DecomposingRecordingPen(glyphs)
        glyphs[names[ord(letter)]].draw(pen)
        chain: Chain = []
        at = first = Point(0.0, 0.0)
        for verb, row in pen.value:
            spots = [Point(x * scale, y * scale) for x, y in row if (x, y)]
            match verb:
                case "moveTo":
                    at = first = spots[0]
                case "lineTo":
                    chain.append(Line(at, spots[0]))
                    at = spots[0]
                case "qCurveTo":
                    middles = [(one + other) * 0.5 for one, other in pairwise(spots[:-1])]
                    for control, end in zip(spots[:-1], [*middles, spots[-1]], strict=True):
                        chain.append(QuadraticBezier(at, control, end))
                        at = end
                case _:
                    if at != first:
                        chain.append(Line(at, first))
                    yield from _without_corners(chain)
                    chain = []


def _without_corners(chain: Chain) -> Iterator[Chain]:
    chain = [piece for piece in chain if piece.start != piece.end]
    sharp = [abs(_turn(chain[index - 1], chain[index])) > CORNER for index in range(len(chain))]
    if any(sharp):
        first = sharp.index(True)
        chain, sharp = chain[first:] + chain[:first], sharp[first:] + sharp[:first]
    part: Chain = []
    for piece, is_sharp in zip(chain, sharp, strict=True):
        if is_sharp and part:
            yield part
            part = []
        part.append(piece)
    yield part


def _heading(piece: Curve | Line, t: float) -> Point:
    return (piece.end - piece.start).unit() if isinstance(piece, Line) else piece.direction(t)


def _turn(one: Curve | Line, other: Curve | Line) -> float:
    before, after = _heading(one, 1.0), _heading(other, 0.0)
    return math.atan2(before.cross(after), before.dot(after))


def _dense(chain: Chain, count: int = 1200) -> tuple[np.ndarray, np.ndarray]:
    """Places and directions along a chain."""
    each = max(count // len(chain), 40)
    places, headings = [], []
    for piece in chain:
        for t in np.linspace(0.0, 1.0, each + 1):
            if t == 0.0 and places:
                continue
            spot = piece.start + (piece.end - piece.start) * t if isinstance(piece, Line) else piece.point(t)
            heading = _heading(piece, t)
            places.append((spot.x, spot.y))
            headings.append((heading.x, heading.y))
    return np.array(places), np.array(headings)


def count_arcs() -> None:
    """Prints how many arcs there are for each found by the slow search, by kind and in all."""
    rows: dict[str, list[tuple[int, int]]] = {}
    began = time.process_time()
    for kind, chain in corpus():
        ours = len(fit_curves(chain, TOLERANCE, closed=False).path.segments)
        best = fewest_arcs(*_dense(chain), TOLERANCE)
        if best:
            rows.setdefault(kind, []).append((ours, best))
        else:
            print(f"  (the slow search found no way along one of the {kind})")
    rows["all"] = [row for kind in list(rows) for row in rows[kind]]
    for kind, counts in rows.items():
        ours, best = (sum(row[index] for row in counts) for index in (0, 1))
        worst = max(counts, key=lambda row: row[0] / row[1])
        print(
            f"{kind}: {len(counts)} chains, {ours} arcs, slow search {best}: ratio {ours / best:.3f} (at most 1.3);"
            f" worst {worst[0]} to {worst[1]}"
        )
    print(f"({time.process_time() - began:.0f} s)")


def measure_errors(count: int) -> None:
    """Prints how far arcs and so many random Béziers lie apart at worst, both ways, by svgpathtools' sampling."""
    each = count // len(KINDS)
    over = 0
    for kind in KINDS:
        dense = np.linspace(0.0, 1.0, 20001 if kind == "huge" else 2001)
        arcs, there, back, spent = 0, 0.0, 0.0, 0.0
        for seed in range(each):
            curve = random_cubic(seed, kind)
            began = time.process_time()
            fitted = fit_curves([curve], TOLERANCE, closed=False)
            spent += time.process_time() - began
            polynomial = svgpathtools.CubicBezier(*(complex(p.x, p.y) for p in curve.controls)).poly()
            at = polynomial(dense)
            places = np.stack([at.real, at.imag], axis=1)
            off, away = off_path(places, fitted.path), off_places(fitted.path, places)
            over += off > TOLERANCE or fitted.error_mm > TOLERANCE or off > fitted.error_mm + 1e-9
            arcs, there, back = arcs + len(fitted.path.segments), max(there, off), max(back, away)
        print(
            f"{each} {kind}: {arcs} arcs, curves off arcs {there:.6f} mm, arcs off curves {back:.6f} mm"
            f" (tolerance {TOLERANCE}), {spent / each * 1000.0:.1f} ms each"
        )
    print(f"{each * len(KINDS)} random Béziers, {over} over the tolerance (0)")


def time_outlines() -> None:
    """Prints how long outlines of 5,000 pieces take."""
    for name, chain in (
        ("smooth, of cubics", wavy_outline(5000)),
        ("with 50 waves, of cubics", wavy_outline(5000, 50)),
        ("of lines", [Line(piece.start, piece.end) for piece in wavy_outline(5000)]),
    ):
        took = []
        for _ in range(5):
            began = time.process_time()
            fitted = fit_curves(chain, TOLERANCE, closed=True)
            took.append(time.process_time() - began)
        print(
            f"5,000 pieces, {name}: {len(fitted.path.segments)} arcs, {fitted.error_mm:.4f} mm,"
            f" {statistics.median(took):.2f} s"
        )


if __name__ == "__main__":
    time_outlines()
    count_arcs()
    measure_errors(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
