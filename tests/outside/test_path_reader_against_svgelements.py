"""The path-data reader of the proof against svgelements, a general SVG library."""

import math

import numpy as np
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from svgelements import Close, Move, Path

from jiggen.proof.curves import geometry
from jiggen.proof.path_data import strokes

MICRON = 0.001  # mm
number = st.floats(-300.0, 300.0).map(lambda value: round(value, 4))
length = st.floats(0.05, 200.0).map(lambda value: round(value, 4))
flag = st.integers(0, 1)
step = st.one_of(
    st.builds("{} {} {}".format, st.sampled_from("Ll"), number, number),
    st.builds("{} {}".format, st.sampled_from("HhVv"), number),
    st.builds(
        "{0} {1} {1} 0 {2} {3} {4} {5}".format, st.sampled_from("Aa"), length, flag, flag, number, number
    ),
)
run = st.builds(
    "{} {} {} {} {}".format,
    st.sampled_from("Mm"),
    number,
    number,
    st.lists(step, min_size=1, max_size=6).map(" ".join),
    st.sampled_from(["", "Z", "z"]),
)
path_data = st.lists(run, min_size=1, max_size=3).map(" ".join)


@given(data=path_data)
@settings(max_examples=80, derandomize=True, deadline=None)
def test_both_see_the_same_lines_and_arcs(data: str) -> None:
    ours = shapely.GeometryCollection([geometry(stroke) for stroke in strokes(data)])
    theirs = [piece for piece in Path(data) if not isinstance(piece, Move) and piece.start != piece.end]
    shares = np.linspace(0.0, 1.0, 9)
    places = [(point.x, point.y) for piece in theirs for point in (piece.point(share) for share in shares)]
    assume(places)
    far = shapely.distance(ours, shapely.points(places)).max()
    assert far <= MICRON
    total = sum(
        math.dist((piece.start.x, piece.start.y), (piece.end.x, piece.end.y))
        if isinstance(piece, Close)
        else piece.length(error=1e-6)
        for piece in theirs
    )
    assert math.isclose(ours.length, total, rel_tol=1e-4, abs_tol=0.01)
