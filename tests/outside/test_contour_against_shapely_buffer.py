"""What the proof says of a contour, against shapely's own offset and Hausdorff distance of the finished shapes.

Shapely sweeps the beam, a disc, along the path by `buffer`; what is left of the part is compared with what the drawing
asks for. The proof reckons from the contour's normals instead, so the two share nothing but the file.
"""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from unit.proof.hand_job import H, Run, hand_job, saw_guide

from jiggen.proof.curves import geometry
from jiggen.proof.prove import prove_files
from jiggen.proof.trace import Stroke

TWO_MICRONS = 0.002  # mm: GEOS simplifies by a hundredth of the distance before it offsets
moves = st.floats(-0.4, 0.4).map(lambda value: round(value, 3))


def polygon(run: Run) -> shapely.Polygon:
    points = tuple((x, y) for x, y, _ in run.vertices)
    return shapely.Polygon(geometry(Stroke(points, tuple(b for _, _, b in run.vertices), closed=True)))


@pytest.mark.parametrize("feature", ["fret.3", "pin.1", "outline"])
@given(dx=moves, dy=moves)
@settings(max_examples=8, derandomize=True, deadline=None)
def test_a_shifted_contour_is_off_by_as_much_as_shapely_finds(feature: str, dx: float, dy: float) -> None:
    job = hand_job([saw_guide(4)])
    job.change(
        "saw-guide",
        feature,
        lambda run: Run(tuple((x + dx, y + dy, b) for x, y, b in run.vertices), run.closed),
    )
    files = job.written()
    report = prove_files(job.manifest_bytes(files), files)
    row = next(each for each in report.rows if each.feature == feature and each.what == "contour")
    drawn = next(each for each in job.parts[0].features if each.id == feature)
    wanted = polygon(drawn.finished[0].mapped(job.parts[0].place))
    path = polygon(job.of("saw-guide", feature)[0].run)
    beam = path.exterior.buffer(H, quad_segs=64)
    finished = path.difference(beam) if feature == "outline" else path.union(beam)
    # what the beam can make at best: the disc does not get into the sharp corners of a slot
    best = wanted if feature == "outline" else wanted.buffer(-H, quad_segs=64).buffer(H, quad_segs=64)
    apart = shapely.hausdorff_distance(finished.exterior, best.exterior, densify=0.1)
    assert row.measured_mm <= apart + TWO_MICRONS
    assert row.measured_mm >= apart / 1.5 - TWO_MICRONS, "a corner lies off by up to √2 of what its sides do"
