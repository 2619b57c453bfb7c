"""Fanned necks against a construction of their own in shapely, from outer strings and scale lengths alone.

Nothing of ours is used to draw: strings are laid as shapely lines on either side of the straight fret, frets are joined
through points that shapely finds along the outer strings, and every place is where shapely says that two lines cross.
"""

import math
from dataclasses import dataclass
from random import Random

import pytest
from shapely import LineString, Point, affinity
from support.specs import wren

from jiggen.layout.fan import x_at_centre
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out

TENTH_MICRON = 1e-4  # mm
NANOMETRE = 1e-6  # mm


@dataclass(frozen=True)
class Drawn:
    """A fan in shapely: x from the straight fret, y across, as far as the four ends of the outer strings tell it."""

    bass: LineString
    treble: LineString

    @property
    def nut(self) -> LineString:
        return LineString([self.bass.coords[0], self.treble.coords[0]])

    @property
    def saddle(self) -> LineString:
        return LineString([self.bass.coords[1], self.treble.coords[1]])

    def fret(self, number: float) -> LineString:
        share = 1.0 - 2.0 ** (-number / 12.0)
        return LineString([each.interpolate(share, normalized=True) for each in (self.bass, self.treble)])

    def strings(self, count: int) -> list[LineString]:
        """Strings at equal steps along nut and saddle, bass first."""
        shares = [number / (count - 1) for number in range(count)]
        return [
            LineString([line.interpolate(share, normalized=True) for line in (self.nut, self.saddle)])
            for share in shares
        ]

    def edges(self, setback: float) -> tuple[LineString, LineString]:
        """Board edges, as far outside the strings square across at nut and saddle as the setback says."""
        sides = []
        for side, string in ((-1.0, self.bass), (1.0, self.treble)):
            ends = []
            for line, (_, y) in zip((self.nut, self.saddle), string.coords, strict=True):
                level = LineString([(-1e4, y + side * setback), (1e4, y + side * setback)])
                ends.append(carried_on(line).intersection(level))
            sides.append(LineString(ends))
        return sides[0], sides[1]


def carried_on(line: LineString) -> LineString:
    """The same line, a hundred times as long on both sides."""
    return affinity.scale(line, 100.0, 100.0, origin="center")


def draw(bass: float, treble: float, straight: float, span_nut: float, span_saddle: float) -> Drawn:
    """Outer strings on either side of the straight fret, each as long as its scale, leaning by half of what spans differ."""
    lines = []
    for side, scale in ((-1.0, bass), (1.0, treble)):
        lean = (span_saddle - span_nut) / 2.0
        level = LineString([(0.0, 0.0), (math.sqrt(scale**2 - lean**2), lean * side)])
        assert level.length == pytest.approx(scale, abs=NANOMETRE)
        stopped = level.interpolate(1.0 - 2.0 ** (-straight / 12.0), normalized=True)
        lines.append(affinity.translate(level, -stopped.x, side * span_nut / 2.0))
    return Drawn(bass=lines[0], treble=lines[1])


def assert_same_neck(layout: Layout, drawn: Drawn, setback: float, *, within: float = NANOMETRE) -> None:
    """Every string, fret, crossing and edge of ours where shapely has it."""
    zero = carried_on(drawn.nut).intersection(LineString([(-1e4, 0.0), (1e4, 0.0)])).x

    def place(point) -> Point:
        return Point(point.x + zero, point.y)

    def assert_at(point, expected: Point) -> None:
        assert place(point).distance(expected) <= within

    edges = [carried_on(edge) for edge in drawn.edges(setback)]
    strings = drawn.strings(len(layout.strings))
    for ours, theirs in zip(reversed(layout.strings), strings, strict=True):
        assert_at(ours.line.start, Point(theirs.coords[0]))
        assert_at(ours.line.end, Point(theirs.coords[1]))
        assert ours.scale == pytest.approx(theirs.length, abs=within)
    for line, theirs in [
        (layout.nut, drawn.nut),
        (layout.saddle, drawn.saddle),
        *((fret.line, drawn.fret(fret.number)) for fret in layout.frets),
    ]:
        long = carried_on(theirs)
        assert_at(line.start, long.intersection(edges[0]))
        assert_at(line.end, long.intersection(edges[1]))
    for fret in layout.frets:
        theirs = drawn.fret(fret.number)
        for crossing, string in zip(reversed(fret.crossings), strings, strict=True):
            assert_at(crossing, carried_on(theirs).intersection(carried_on(string)))
        assert fret.spread == pytest.approx(theirs.length, abs=within)
        assert fret.bend == 0.0
        (bass_x, bass_y), (treble_x, treble_y) = theirs.coords
        assert fret.skew == pytest.approx(math.atan((treble_x - bass_x) / (treble_y - bass_y)), abs=1e-9)


def ours(
    bass: float, treble: float, straight: float, spans: tuple[float, float], setback: float, **more
) -> Layout:
    return lay_out(
        wren(
            scale=None,
            scale_bass=bass,
            scale_treble=treble,
            straight_fret=straight,
            nut=spans[0] + 2.0 * setback,
            spread=spans[1],
            setback=setback,
            frets=24,
            **more,
        )
    )


def test_twenty_seven_and_twenty_five_and_a_half_inches() -> None:
    """27 in bass, 25.5 in treble, straight fret 7, spans 36 and 52 mm."""
    drawn = draw(685.8, 647.7, 7.0, 36.0, 52.0)
    by_hand = {  # bass x and y, treble x and y, length, skew in degrees: worked with 30 digits
        0: (-228.0679, -18.0, -215.3957, 18.0, 38.1652, 19.3924),
        1: (-189.5795, -18.4490, -179.0458, 18.4490, 38.3721, 15.9330),
        5: (-56.0491, -20.0068, -52.9348, 20.0068, 40.1346, 4.4504),
        7: (0.0, -20.6606, 0.0, 20.6606, 41.3213, 0.0),
        12: (114.8088, -22.0, 108.4296, 22.0, 44.46, -8.2493),
        24: (286.2471, -24.0, 270.3423, 24.0, 50.5664, -18.3327),
    }
    for number, (*ends, length, skew) in by_hand.items():
        line = drawn.fret(number)
        assert [figure for end in line.coords for figure in end] == pytest.approx(ends, abs=TENTH_MICRON)
        assert line.length == pytest.approx(length, abs=TENTH_MICRON)
        (bass_x, bass_y), (treble_x, treble_y) = line.coords
        assert math.degrees(math.atan((treble_x - bass_x) / (treble_y - bass_y))) == pytest.approx(
            skew, abs=1e-4
        )
    assert [string.length for string in drawn.strings(6)] == pytest.approx(
        [685.8, 678.1498, 670.5141, 662.8936, 655.2887, 647.7], abs=TENTH_MICRON
    )
    assert_same_neck(ours(685.8, 647.7, 7.0, (36.0, 52.0), 3.5), drawn, 3.5)


def test_parallel_strings() -> None:
    """700 and 650 mm, span 40 mm all along, straight fret 12: by hand."""
    drawn = draw(700.0, 650.0, 12.0, 40.0, 40.0)
    assert list(drawn.nut.coords) == [(-350.0, -20.0), (-325.0, 20.0)]
    assert list(drawn.saddle.coords) == [(350.0, -20.0), (325.0, 20.0)]
    assert [x for x, _ in drawn.fret(24).coords] == pytest.approx([175.0, 162.5], abs=NANOMETRE)
    assert [x for x, _ in drawn.fret(1).coords] == pytest.approx([-310.7120, -288.5183], abs=TENTH_MICRON)
    layout = ours(700.0, 650.0, 12.0, (40.0, 40.0), 3.0)
    assert_same_neck(layout, drawn, 3.0)
    run = layout.nut.end - layout.nut.start
    assert math.degrees(math.atan2(run.x, run.y)) == pytest.approx(32.0054, abs=1e-4)


def test_equal_scales_give_square_frets() -> None:
    layout = ours(650.0, 650.0, 7.0, (40.0, 40.0), 3.0)  # parallel strings: along them is along the neck
    assert_same_neck(layout, draw(650.0, 650.0, 7.0, 40.0, 40.0), 3.0)
    assert all(fret.skew == 0.0 for fret in layout.frets)


def test_straight_fret_nought_gives_a_square_nut() -> None:
    layout = ours(700.0, 650.0, 0.0, (36.0, 52.0), 3.5)
    assert_same_neck(layout, draw(700.0, 650.0, 0.0, 36.0, 52.0), 3.5)
    assert layout.nut.start.x == layout.nut.end.x == 0.0


def test_a_fan_the_other_way_round_is_its_mirror() -> None:
    """The longer scale on the treble side is the same fan seen from the other side."""
    layout = ours(647.7, 685.8, 7.0, (36.0, 52.0), 3.5)
    drawn = draw(685.8, 647.7, 7.0, 36.0, 52.0)
    mirrored = Drawn(
        bass=affinity.scale(drawn.treble, 1.0, -1.0, origin=(0.0, 0.0)),
        treble=affinity.scale(drawn.bass, 1.0, -1.0, origin=(0.0, 0.0)),
    )
    assert_same_neck(layout, mirrored, 3.5)


@pytest.mark.parametrize("seed", range(40))
def test_fans_at_random(seed: int) -> None:
    chance = Random(seed)  # noqa: S311 - no secrets here
    treble = chance.uniform(300.0, 900.0)
    bass = treble + chance.choice([-1.0, 1.0]) * chance.uniform(1.0, 50.0)
    straight, setback = chance.uniform(0.0, 24.0), chance.uniform(1.0, 5.0)
    spans = chance.uniform(30.0, 60.0), chance.uniform(30.0, 90.0)
    layout = ours(bass, treble, straight, spans, setback, strings=chance.randint(2, 10), left_handed=False)
    assert_same_neck(layout, draw(bass, treble, straight, *spans), setback)


def test_the_judge_sees_a_hundredth_of_a_millimetre() -> None:
    drawn = draw(685.8, 647.71, 7.0, 36.0, 52.0)
    with pytest.raises(AssertionError):
        assert_same_neck(ours(685.8, 647.7, 7.0, (36.0, 52.0), 3.5), drawn, 3.5, within=0.001)
    with pytest.raises(AssertionError):
        assert_same_neck(ours(685.8, 647.71, 7.0, (36.0, 52.0), 3.51), drawn, 3.5, within=0.001)


def test_the_neck_begins_where_the_nut_crosses_the_centre_line() -> None:
    layout = ours(685.8, 647.7, 7.0, (36.0, 52.0), 3.5)
    drawn = draw(685.8, 647.7, 7.0, 36.0, 52.0)
    centre = LineString([(-1e3, 0.0), (1e3, 0.0)])
    run = centre.intersection(drawn.saddle).x - centre.intersection(drawn.nut).x
    assert x_at_centre(layout.saddle) == pytest.approx(run, abs=NANOMETRE)
    assert run == pytest.approx(666.7020, abs=TENTH_MICRON)
