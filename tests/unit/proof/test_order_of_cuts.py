"""A part in an opening of another: proved as it should lie and be cut, and every other way found and named."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from unit.proof.hand_job import (
    Feature,
    H,
    HandJob,
    Part,
    Place,
    Run,
    circle,
    hand_job,
    hole,
    lettering,
    polygon,
)

from jiggen.proof.prove import prove_files
from jiggen.proof.report import Fault, Report

BOTH = {"sheet-1.dxf", "sheet-1.svg"}
NAMES = {Fault.LOST_ID, Fault.WRONG_ID, Fault.WRONG_TAG}
#: What is cut last, in the order in which it must be: from the inside outward.
INSIDE_OUT = (("gauge", "outline"), ("frame", "window"), ("frame", "outline"))


def square(half: float) -> Run:
    return polygon([(-half, -half), (half, -half), (half, half), (-half, half)])


def frame(*, x: float = 200.0) -> Part:
    """200 mm square, with a round window of 130 mm which is cut among the edges, since a gauge lies in it."""
    return Part(
        "frame",
        Place(x=x, y=200.0),
        [
            Feature("outline", "edge", [square(100.0)], [square(100.0 + H)]),
            Feature(
                "window",
                "opening",
                [circle(0.0, 0.0, 65.0)],
                [circle(0.0, 0.0, 65.0 - H)],
                {"point": (0.0, 0.0)},
                130.0,
                operation="cut-edge",
            ),
            hole("pin.1", 85.0, 85.0, 6.0),
            lettering("tag", -90.0, 85.0, 6),
        ],
    )


def gauge(*, x: float = 200.0, y: float = 200.0) -> Part:
    """70 mm square, with a hole off its middle."""
    return Part(
        "gauge",
        Place(x=x, y=y),
        [
            Feature("outline", "edge", [square(35.0)], [square(35.0 + H)]),
            hole("hanger", 20.0, 21.0, 5.0),
            lettering("tag", -30.0, -28.0, 4),
        ],
    )


def nested_job() -> HandJob:
    job = hand_job([frame(), gauge()])
    in_order(job, INSIDE_OUT)
    return job


def in_order(job: HandJob, last: tuple[tuple[str, str], ...]) -> None:
    """Puts some features last, in an order."""
    rest = [each for each in job.things if (each.part, each.feature) not in last]
    job.things = [*rest, *(each for key in last for each in job.of(*key))]


def proof_of(job: HandJob) -> Report:
    files = job.written()
    return prove_files(job.manifest_bytes(files), files)


def nameless(job: HandJob) -> HandJob:
    job.things = [replace(each, part=None, feature=None) for each in job.things]
    return job


def test_a_part_in_an_opening_is_proved_when_it_is_cut_from_the_inside_outward() -> None:
    report = proof_of(nested_job())
    assert report.ok, report.text()
    assert {row.part for row in report.rows if row.what == "as cut"} == {"frame", "gauge"}


@pytest.mark.parametrize("lose", [lambda job: job, nameless], ids=["names", "no names"])
@pytest.mark.parametrize(
    ("order", "part", "features", "words"),
    [
        (
            (("frame", "window"), ("gauge", "outline"), ("frame", "outline")),
            "gauge",
            ("outline",),
            "is cut after the opening window of frame, with whose waste it drops",
        ),
        (
            (("gauge", "outline"), ("frame", "outline"), ("frame", "window")),
            "frame",
            ("window",),
            "is cut after the edge, when the part has come loose",
        ),
    ],
    ids=["the opening first", "the frame first"],
)
def test_another_order_is_found_and_named_names_or_no_names(
    order: tuple[tuple[str, str], ...],
    part: str,
    features: tuple[str, ...],
    words: str,
    lose: Callable[[HandJob], HandJob],
) -> None:
    job = nested_job()
    in_order(job, order)
    found = [each for each in proof_of(lose(job)).findings if each.fault is Fault.WRONG_ORDER]
    assert {each.file for each in found} == BOTH
    assert {(each.part, each.features, each.message) for each in found} == {(part, features, words)}


def test_an_opening_on_its_usual_layer_would_free_the_part_in_it_too_early() -> None:
    """Layers run one after the other, whatever the order in the file."""
    window = replace(frame().features[1], operation="")
    host = frame()
    host.features[1] = window
    job = hand_job([host, gauge()])
    in_order(job, INSIDE_OUT)
    report = proof_of(job)
    assert {each.fault for each in report.findings} == {Fault.WRONG_ORDER}
    assert {(each.part, each.features) for each in report.findings} == {("gauge", ("outline",))}


def test_what_is_in_a_part_counts_too() -> None:
    """Its hole, put by manifest and file among the edges, comes last of all."""
    inner = gauge()
    inner.features[1] = replace(inner.features[1], operation="cut-edge")
    job = hand_job([frame(), inner])
    in_order(job, (*INSIDE_OUT, ("gauge", "hanger")))
    report = proof_of(job)
    named = {(each.part, each.features, each.message) for each in report.findings}
    assert named == {
        ("gauge", ("hanger",), "is cut after the edge, when the part has come loose"),
        ("gauge", ("hanger",), "is cut after the opening window of frame, with whose waste it drops"),
    }


@pytest.mark.parametrize("off", [(0.0, 20.0), (40.0, 0.0)])
def test_a_part_that_crosses_the_opening_round_it_lies_on_the_other(off: tuple[float, float]) -> None:
    """A corner of the gauge is 49.5 mm from its middle, the window 65 mm in radius."""
    job = hand_job([frame(), gauge(x=200.0 + off[0], y=200.0 + off[1])])
    in_order(job, INSIDE_OUT)
    report = proof_of(job)
    assert Fault.PARTS_OVERLAP in {each.fault for each in report.findings}, report.text()


def test_a_part_that_was_moved_across_the_opening_in_the_file_alone_is_found() -> None:
    job = nested_job()

    def moved(run: Run) -> Run:
        return Run(tuple((x + 25.0, y, b) for x, y, b in run.vertices), run.closed)

    job.change_all(moved, "gauge")
    faults = {(each.fault, each.part) for each in proof_of(job).findings}
    assert (Fault.DISPLACED, "gauge") in faults
    assert any(fault is Fault.PARTS_OVERLAP for fault, _ in faults)


def test_a_part_that_was_moved_into_an_opening_is_asked_for_its_turn() -> None:
    """The manifest has the two side by side, and the window first, as it may be there; the file has them nested."""
    job = hand_job([frame(x=120.0), gauge(x=500.0)])
    in_order(job, (("frame", "window"), ("frame", "outline"), ("gauge", "outline")))
    assert proof_of(job).ok

    def moved(run: Run) -> Run:
        return Run(tuple((x - 380.0, y, b) for x, y, b in run.vertices), run.closed)

    job.change_all(moved, "gauge")
    faults = {(each.fault, each.part) for each in proof_of(job).findings}
    assert {(Fault.DISPLACED, "gauge"), (Fault.WRONG_ORDER, "gauge")} <= faults
    assert Fault.PARTS_OVERLAP not in {fault for fault, _ in faults}


@pytest.mark.parametrize("lose", [lambda job: job, nameless], ids=["names", "no names"])
def test_the_frame_moved_alone_leaves_the_part_in_it_behind(lose: Callable[[HandJob], HandJob]) -> None:
    job = nested_job()

    def moved(run: Run) -> Run:
        return Run(tuple((x + 3.0, y - 2.0, b) for x, y, b in run.vertices), run.closed)

    job.change_all(moved, "frame")
    report = proof_of(lose(job))
    wrong = {(each.fault, each.part) for each in report.findings if each.fault not in NAMES}
    assert wrong == {(Fault.DISPLACED, "frame")}, report.text()


@pytest.mark.parametrize("lose", [lambda job: job, nameless], ids=["names", "no names"])
def test_both_moved_as_one_are_each_found_as_moved(lose: Callable[[HandJob], HandJob]) -> None:
    job = nested_job()

    def moved(run: Run) -> Run:
        return Run(tuple((x + 30.0, y + 20.0, b) for x, y, b in run.vertices), run.closed)

    job.change_all(moved)
    report = proof_of(lose(job))
    wrong = {(each.fault, each.part) for each in report.findings if each.fault not in NAMES}
    assert wrong == {(Fault.DISPLACED, "frame"), (Fault.DISPLACED, "gauge")}, report.text()
