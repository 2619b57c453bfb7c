"""One row for each way in which a job can be spoilt: the proof must find it and call it by its name."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest
from unit.proof.hand_job import HandJob, Run, hand_job

from jiggen.proof.prove import prove_files
from jiggen.proof.report import Fault, Report

INCH = 25.4  # mm, the international inch of 1959
BOTH = ("sheet-1.dxf", "sheet-1.svg")


def proof_of(job: HandJob) -> Report:
    files = job.written()
    return prove_files(job.manifest_bytes(files), files)


def moved(dx: float, dy: float) -> Callable[[Run], Run]:
    return lambda run: Run(tuple((x + dx, y + dy, b) for x, y, b in run.vertices), run.closed)


def scaled(factor: float) -> Callable[[Run], Run]:
    return lambda run: Run(tuple((x * factor, y * factor, b) for x, y, b in run.vertices), run.closed)


def redrawn(job: HandJob, part: str, feature: str, vertices: list[tuple[float, float]]) -> None:
    """Replaces a straight-sided path by one through other places, given in part coordinates."""
    place = next(each.place for each in job.parts if each.name == part)
    job.change(
        part, feature, lambda run: Run(tuple((*place.point(x, y), 0.0) for x, y in vertices), run.closed)
    )


def slot_box(job: HandJob, part: str, feature: str, grow: float) -> None:
    """Redraws an upright slot of the saw guide from its finished size, moved out by `grow`."""
    each = next(f for p in job.parts if p.name == part for f in p.features if f.id == feature)
    xs, ys = ([v[axis] for v in each.finished[0].vertices] for axis in (0, 1))
    x0, x1, y0, y1 = min(xs) - grow, max(xs) + grow, min(ys) - grow, max(ys) + grow
    redrawn(job, part, feature, [(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def fret_moved(job: HandJob) -> None:
    job.change("saw-guide", "fret.7", moved(0.05, 0.0))


def kerf_on_the_wrong_side(job: HandJob) -> None:
    slot_box(job, "saw-guide", "fret.5", 0.1)


def kerf_left_out(job: HandJob) -> None:
    slot_box(job, "saw-guide", "fret.5", 0.0)


def hole_with_kerf_on_the_wrong_side(job: HandJob) -> None:
    def grown(run: Run) -> Run:
        (x0, y, b), (x1, _, _) = run.vertices
        return Run(((x0 + 0.2, y, b), (x1 - 0.2, y, b)), closed=True)

    job.change("saw-guide", "pin.1", grown)


def outline_with_kerf_on_the_wrong_side(job: HandJob) -> None:
    left, low, right, high, r = -21.9, -44.9, 399.9, 54.9, 3.9
    b = math.tan(math.pi / 8.0)
    corners = [(left + r, low, 0.0), (right - r, low, b), (right, low + r, 0.0), (right, high - r, b)]
    corners += [(right - r, high, 0.0), (left + r, high, b), (left, high - r, 0.0), (left, low + r, b)]
    place = job.parts[0].place
    job.change(
        "saw-guide",
        "outline",
        lambda run: Run(tuple((*place.point(x, y), c) for x, y, c in corners), run.closed),
    )


def part_mirrored(job: HandJob) -> None:
    low, high = 300.0 - 22.0, 300.0 + 22.0  # any axis will do: about y = 300
    job.change_all(
        lambda run: Run(tuple((x, low + high - y, -b) for x, y, b in run.vertices), run.closed), "fan-plate"
    )


def part_mirrored_left_to_right(job: HandJob) -> None:
    job.change_all(
        lambda run: Run(tuple((458.0 - x, y, -b) for x, y, b in run.vertices), run.closed), "saw-guide"
    )


def part_upside_down(job: HandJob) -> None:
    job.change_all(
        lambda run: Run(tuple((458.0 - x, 130.0 - y, b) for x, y, b in run.vertices), run.closed), "saw-guide"
    )


def part_displaced(job: HandJob) -> None:
    job.change_all(moved(0.0, 1.5), "index-strip")


def inches_for_millimetres(job: HandJob) -> None:
    job.change_all(scaled(1.0 / INCH))


def millimetres_read_as_inches(job: HandJob) -> None:
    job.change_all(scaled(INCH))


def pixels_for_points(job: HandJob) -> None:
    job.change_all(scaled(96.0 / 72.0))


def scale_slightly_off(job: HandJob) -> None:
    job.change_all(scaled(1.0005), "saw-guide")


def slot_missing(job: HandJob) -> None:
    job.things = [each for each in job.things if each.feature != "fret.9"]


def line_doubled(job: HandJob) -> None:
    nut = job.of("saw-guide", "nut")[0]
    back = replace(nut, run=Run(tuple(reversed(nut.run.vertices)), closed=False))
    job.things.append(back)


def layer_swapped(job: HandJob) -> None:
    job.things = [
        replace(each, operation="cut-opening") if each.feature == "nut" else each for each in job.things
    ]


def part_twice(job: HandJob) -> None:
    job.things += [replace(each, run=moved(0.0, 90.0)(each.run)) for each in job.of("fan-plate")]


def part_twice_by_manifest(job: HandJob) -> None:
    sheet = job.manifest["sheets"][0]
    job.manifest["sheets"].append({**sheet, "number": 2, "parts": sheet["parts"][2:]})
    job.manifest["sheets"][0] = {**sheet, "parts": sheet["parts"]}


def hole_shifted(job: HandJob) -> None:
    job.change("saw-guide", "pin.2", moved(0.02, -0.03))


def hole_too_wide(job: HandJob) -> None:
    def grown(run: Run) -> Run:
        (x0, y, b), (x1, _, _) = run.vertices
        return Run(((x0 + 0.05, y, b), (x1 - 0.05, y, b)), closed=True)

    job.change("saw-guide", "pin.2", grown)


def arc_flipped(job: HandJob) -> None:
    def flipped(run: Run) -> Run:
        vertices = list(run.vertices)
        index = next(i for i, v in enumerate(vertices) if v[2] != 0.0)
        x, y, b = vertices[index]
        vertices[index] = (x, y, -b)
        return Run(tuple(vertices), run.closed)

    job.change("index-strip", "hanger", flipped)


def text_outside_its_part(job: HandJob) -> None:
    job.change("saw-guide", "tag", moved(0.0, 9.0))


def text_lost_a_stroke(job: HandJob) -> None:
    job.things.remove(job.of("saw-guide", "tag")[3])


def text_shed_a_stroke(job: HandJob) -> None:
    """One stroke falls a little way below its line: it is not there twice."""
    stroke = job.of("saw-guide", "tag")[3]
    job.things[job.things.index(stroke)] = replace(stroke, run=moved(0.0, -3.0)(stroke.run))


def text_written_twice(job: HandJob) -> None:
    job.things += [replace(each, run=moved(0.0, -5.0)(each.run)) for each in job.of("saw-guide", "tag")]


def wrong_id(job: HandJob) -> None:
    job.things = [
        replace(each, feature="fret.77") if each.feature == "fret.7" else each for each in job.things
    ]


def lost_id(job: HandJob) -> None:
    job.things = [
        replace(each, part=None, feature=None)
        if (each.part, each.feature) == ("saw-guide", "fret.7")
        else each
        for each in job.things
    ]


def ids_exchanged(job: HandJob) -> None:
    other = {"fret.10": "fret.11", "fret.11": "fret.10"}
    job.things = [replace(each, feature=other.get(each.feature or "", each.feature)) for each in job.things]


def stray_line(job: HandJob) -> None:
    nut = job.of("saw-guide", "nut")[0]
    job.things.append(replace(nut, part=None, feature=None, run=moved(3.0, 0.0)(nut.run)))


def note_sent_to_the_machine(job: HandJob) -> None:
    nut = job.of("saw-guide", "nut")[0]
    job.things.append(replace(nut, feature="reminder", run=moved(3.0, 0.0)(nut.run)))


def slot_shrunk_to_a_point(job: HandJob) -> None:
    job.change("saw-guide", "fret.9", lambda run: Run((run.vertices[0],) * 2, closed=False))


def contour_open(job: HandJob) -> None:
    job.change(
        "saw-guide",
        "fret.3",
        lambda run: Run((*run.vertices, (run.vertices[0][0] + 0.1, *run.vertices[0][1:])), closed=False),
    )


def notch_moved(job: HandJob) -> None:
    """The third notch: four corners of the outline, 0.03 mm along the strip (which stands upright)."""

    def shoved(run: Run) -> Run:
        vertices = list(run.vertices)
        at = 2 + 4 * 2  # two vertices of the rounded corner come first
        for index in range(at, at + 4):
            x, y, b = vertices[index]
            vertices[index] = (x, y + 0.03, b)
        return Run(tuple(vertices), run.closed)

    job.change("index-strip", "outline", shoved)


def slot_too_long(job: HandJob) -> None:
    fret = next(f for f in job.parts[0].features if f.id == "fret.4")
    xs = [v[0] for v in fret.cut[0].vertices]
    x0, x1, y = min(xs), max(xs), 28.0 - 0.1
    redrawn(job, "saw-guide", "fret.4", [(x0, -y), (x1, -y), (x1, y + 0.5), (x0, y + 0.5)])


def spike_into_the_part(job: HandJob) -> None:
    """A corner more on one side of a slot, away from every place that is looked at on the contour."""
    fret = next(f for f in job.parts[0].features if f.id == "fret.4")
    xs = [v[0] for v in fret.cut[0].vertices]
    x0, x1, y = min(xs), max(xs), 27.9
    redrawn(
        job,
        "saw-guide",
        "fret.4",
        [(x0, -y), (x1, -y), (x1, 7.0), (x1 + 0.3, 7.5), (x1, 8.0), (x1, y), (x0, y)],
    )


def stale_tag(job: HandJob) -> None:
    job.tags["saw-guide"] = {**job.tags["saw-guide"], "design_id": "000000"}


def tag_without_field(job: HandJob) -> None:
    job.tags["saw-guide"] = {key: value for key, value in job.tags["saw-guide"].items() if key != "kerf_mm"}


def no_tag(job: HandJob) -> None:
    del job.tags["fan-plate"]


@dataclass(frozen=True)
class Spoilt:
    """A fault and how it must be reported."""

    by: Callable[[HandJob], None]
    fault: Fault
    part: str = "saw-guide"
    features: tuple[str, ...] = ()
    beside: frozenset[Fault] = frozenset()  #: other names that truly apply as well


SPOILT = [
    Spoilt(fret_moved, Fault.MOVED, features=("fret.7",)),
    Spoilt(kerf_on_the_wrong_side, Fault.KERF_WRONG_SIDE, features=("fret.5",)),
    Spoilt(kerf_left_out, Fault.KERF_NOT_APPLIED, features=("fret.5",)),
    Spoilt(hole_with_kerf_on_the_wrong_side, Fault.KERF_WRONG_SIDE, features=("pin.1",)),
    Spoilt(outline_with_kerf_on_the_wrong_side, Fault.KERF_WRONG_SIDE, features=("outline",)),
    Spoilt(part_mirrored, Fault.MIRRORED, "fan-plate"),
    Spoilt(part_mirrored_left_to_right, Fault.MIRRORED),
    Spoilt(part_upside_down, Fault.TURNED),
    Spoilt(part_displaced, Fault.DISPLACED, "index-strip"),
    Spoilt(inches_for_millimetres, Fault.WRONG_SCALE),
    Spoilt(millimetres_read_as_inches, Fault.WRONG_SCALE),
    Spoilt(pixels_for_points, Fault.WRONG_SCALE),
    Spoilt(scale_slightly_off, Fault.WRONG_SCALE),
    Spoilt(slot_missing, Fault.MISSING_FEATURE, features=("fret.9",)),
    Spoilt(
        slot_shrunk_to_a_point,
        Fault.MISSING_FEATURE,
        features=("fret.9",),
        beside=frozenset({Fault.EXTRA_ENTITY}),
    ),
    Spoilt(line_doubled, Fault.DOUBLED_LINE, features=("nut",)),
    Spoilt(layer_swapped, Fault.WRONG_OPERATION, features=("nut",)),
    Spoilt(part_twice, Fault.PART_CUT_TWICE, "fan-plate"),
    Spoilt(part_twice_by_manifest, Fault.PART_CUT_TWICE, "fan-plate", beside=frozenset({Fault.EXTRA_ENTITY})),
    Spoilt(hole_shifted, Fault.MOVED, features=("pin.2",)),
    Spoilt(hole_too_wide, Fault.WRONG_SIZE, features=("pin.2",)),
    Spoilt(arc_flipped, Fault.ARC_FLIPPED, "index-strip", ("hanger",)),
    Spoilt(text_outside_its_part, Fault.OUTSIDE_PART, features=("tag",), beside=frozenset({Fault.MOVED})),
    Spoilt(text_lost_a_stroke, Fault.WRONG_SHAPE, features=("tag",)),
    Spoilt(text_shed_a_stroke, Fault.WRONG_SHAPE, features=("tag",)),
    Spoilt(text_written_twice, Fault.EXTRA_ENTITY, features=("tag",)),
    Spoilt(wrong_id, Fault.WRONG_ID, features=("fret.7",)),
    Spoilt(lost_id, Fault.LOST_ID, features=("fret.7",)),
    Spoilt(ids_exchanged, Fault.WRONG_ID, features=("fret.10",)),
    Spoilt(stray_line, Fault.EXTRA_ENTITY, ""),
    Spoilt(note_sent_to_the_machine, Fault.EXTRA_ENTITY, features=("reminder",)),
    Spoilt(contour_open, Fault.OPEN_CONTOUR, features=("fret.3",), beside=frozenset({Fault.WRONG_SHAPE})),
    Spoilt(notch_moved, Fault.MOVED, "index-strip", ("fret.3",), beside=frozenset({Fault.WRONG_SHAPE})),
    Spoilt(slot_too_long, Fault.WRONG_SIZE, features=("fret.4",)),
    Spoilt(spike_into_the_part, Fault.WRONG_SHAPE, features=("fret.4",)),
    Spoilt(stale_tag, Fault.WRONG_TAG),
    Spoilt(tag_without_field, Fault.WRONG_TAG),
    Spoilt(no_tag, Fault.WRONG_TAG, "fan-plate"),
]


@pytest.mark.parametrize("spoilt", SPOILT, ids=lambda spoilt: spoilt.by.__name__)
def test_a_spoilt_job_is_found_and_named_in_both_files(spoilt: Spoilt) -> None:
    job = hand_job()
    spoilt.by(job)
    report = proof_of(job)
    assert not report.ok
    named = [f for f in report.findings if f.fault is spoilt.fault and f.part == spoilt.part]
    if spoilt.by is not part_twice_by_manifest:
        assert {f.file for f in named} == set(BOTH), report.text()
    assert named, report.text()
    assert set(spoilt.features) <= {id for finding in named for id in finding.features}
    assert {f.fault for f in report.findings} <= {spoilt.fault} | spoilt.beside, report.text()
