"""The virtual cut against another polygon library: what the beam leaves is what Clipper's offsets leave.

Source: pyclipper, a binding of A. Johnson's Clipper: round offsets of closed and open paths, and differences.
"""

import math
from dataclasses import replace

import pyclipper
import pytest
import shapely
from shapely.affinity import affine_transform
from unit.proof.hand_job import (
    H,
    HandJob,
    Part,
    Place,
    Run,
    fan_plate,
    hand_job,
    index_strip,
    line,
    saw_guide,
)

from jiggen.proof.burn import Fallen, burn
from jiggen.proof.curves import gather
from jiggen.proof.look import SheetProof
from jiggen.proof.manifest import read_manifest
from jiggen.proof.match import match
from jiggen.proof.read_dxf import read_dxf

#: Clipper works in whole numbers: so many to the millimetre.
TO_MM = 1_000_000
#: Chords of both libraries lie this near their arcs, in mm; what they leave may differ by so much twice over.
CHORD = 0.001
AGREE = 0.0025


def chords(run: Run) -> list[tuple[int, int]]:
    """The corners of a path, its arcs in chords, in Clipper's numbers."""
    places: list[tuple[float, float]] = []
    for (x0, y0, bulge), (x1, y1, _) in run.pieces():
        places.append((x0, y0))
        if bulge:
            sweep, chord = 4.0 * math.atan(bulge), math.dist((x0, y0), (x1, y1))
            radius = chord / 2.0 / math.sin(sweep / 2.0)
            middle = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
            height = radius * math.cos(sweep / 2.0) / chord
            cx, cy = middle[0] - height * (y1 - y0), middle[1] + height * (x1 - x0)
            count = math.ceil(abs(sweep) / (2.0 * math.acos(1.0 - 1e-5 / abs(radius))))
            first = math.atan2(y0 - cy, x0 - cx)
            for index in range(1, count):
                angle = first + sweep * index / count
                places.append((cx + abs(radius) * math.cos(angle), cy + abs(radius) * math.sin(angle)))
    if not run.closed:
        places.append(run.vertices[-1][:2])
    return [(round(x * TO_MM), round(y * TO_MM)) for x, y in places]


def offset(runs: list[Run], by: float) -> list[list[list[int]]]:
    clipper = pyclipper.PyclipperOffset(2.0, CHORD * TO_MM / 10.0)
    for run in runs:
        end = pyclipper.ET_CLOSEDPOLYGON if run.closed else pyclipper.ET_OPENROUND
        path = chords(run)
        if run.closed and not pyclipper.Orientation(path):
            path = path[::-1]
        clipper.AddPath(path, pyclipper.JT_ROUND, end)
    return clipper.Execute(by * TO_MM)


def left_by_clipper(job: HandJob, part: Part) -> shapely.Geometry:
    """The finished plate: the inside of the edge's path less half a beam, minus the openings' and half a beam more."""
    mine = [thing for thing in job.things if thing.part == part.name]
    edges = [thing.run for thing in mine if thing.operation == "cut-edge"]
    openings = [thing.run for thing in mine if thing.operation == "cut-opening"]
    difference = pyclipper.Pyclipper()
    difference.AddPaths(offset(edges, -H), pyclipper.PT_SUBJECT)
    if openings:
        difference.AddPaths(offset(openings, H), pyclipper.PT_CLIP)
    found = difference.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    polygons = [shapely.Polygon([(x / TO_MM, y / TO_MM) for x, y in path]) for path in found if len(path) > 2]
    polygons.sort(key=lambda polygon: -polygon.area)
    plate: shapely.Geometry = polygons[0]
    for polygon in polygons[1:]:
        plate = (
            plate.difference(polygon)
            if plate.contains(polygon.representative_point())
            else plate.union(polygon)
        )
    return affine_transform(plate, back(part.place))


def back(place: Place) -> list[float]:
    """The map from the sheet to the part."""
    sign = -1.0 if place.mirrored else 1.0
    a, b, d, e = place.cosine, place.sine, -sign * place.sine, sign * place.cosine
    return [a, b, d, e, -(a * place.x + b * place.y), -(d * place.x + e * place.y)]


def left_by_beam(job: HandJob) -> dict[str, Fallen]:
    files = job.written()
    manifest = read_manifest(job.manifest_bytes(files))
    proof = SheetProof(manifest.sheets[0])
    reading = read_dxf(files["sheet-1.dxf"])
    curves = gather([[each.stroke] for each in reading.traced])
    through = match(proof.nominal, reading, curves, "sheet-1.dxf").through
    return {each.part: each for each in burn(proof.sheet, proof.nominal.items, through)}


def assert_same(one: shapely.Geometry, other: shapely.Geometry) -> None:
    for inner, outer in ((one, other), (other, one)):
        assert inner.difference(outer.buffer(AGREE, quad_segs=4)).area == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("part", [saw_guide(), index_strip(), fan_plate()], ids=lambda part: part.name)
def test_what_the_beam_leaves_is_what_clipper_leaves(part: Part) -> None:
    job = hand_job([part])
    fallen = left_by_beam(job)[part.name]
    assert len(fallen.plates) == 1
    assert_same(fallen.plates[0], left_by_clipper(job, part))


def test_a_beam_that_runs_along_an_open_path_leaves_a_slot_with_round_ends() -> None:
    job = hand_job([saw_guide()])
    stray = line((340.0, 50.0), (360.0, 75.0)).mapped(job.parts[0].place)
    job.things.append(replace(job.things[1], part=None, feature=None, run=stray))
    fallen = left_by_beam(job)["saw-guide"]
    assert_same(fallen.plates[0], left_by_clipper_with(job, stray))


def left_by_clipper_with(job: HandJob, stray: Run) -> shapely.Geometry:
    (path,) = offset([stray], H)
    slit = shapely.Polygon([(x / TO_MM, y / TO_MM) for x, y in path])
    return left_by_clipper(job, job.parts[0]).difference(affine_transform(slit, back(job.parts[0].place)))


def test_a_cut_right_through_makes_two_pieces() -> None:
    job = hand_job([saw_guide()])
    stray = line((200.0, -60.0), (200.0, 70.0)).mapped(job.parts[0].place)
    job.things.append(replace(job.things[1], part=None, feature=None, run=stray))
    job.things = [each for each in job.things if not (each.feature or "").startswith(("fret.6", "fret.7"))]
    fallen = left_by_beam(job)["saw-guide"]
    assert len(fallen.plates) == 2


def test_an_edge_that_does_not_close_leaves_nothing() -> None:
    job = hand_job([saw_guide()])
    job.change("saw-guide", "outline", lambda run: Run(run.vertices[:-1], closed=False))
    assert left_by_beam(job)["saw-guide"].plates == ()


def test_a_gap_narrower_than_the_beam_is_no_gap() -> None:
    job = hand_job([saw_guide()])
    job.change(
        "saw-guide", "outline", lambda run: Run((*run.vertices, (*run.vertices[0][:2], 0.0)), closed=False)
    )
    job.change(
        "saw-guide",
        "outline",
        lambda run: Run(
            (*run.vertices[:-1], (run.vertices[-1][0] + 0.05, *run.vertices[-1][1:])), closed=False
        ),
    )
    assert len(left_by_beam(job)["saw-guide"].plates) == 1
