"""A general CAD library opens our DXF, does to it what people do, and saves it: the proof says what changed.

Source: ezdxf, https://ezdxf.mozman.at: its reader, `explode`, `transform`, `to_bsplines_and_vertices` and writer.
"""

import math
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from ezdxf import path as ezdxf_path
from ezdxf.document import Drawing
from ezdxf.math import Matrix44
from support.dxf_names import named
from support.made import make_set

from jiggen.proof.prove import prove_edited
from jiggen.proof.report import CHANGES, Fault, Report, Verdict

MICRON = 0.001  # mm
Edit = Callable[[Drawing], None]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A saw guide and an index strip, made once."""
    return make_set(tmp_path_factory.mktemp("made"), "saw-guide", "fret-slot-guide")


def edited(folder: Path, tmp_path: Path, *edits: Edit) -> Report:
    document = ezdxf.readfile(folder / "sheet-1.dxf")
    for edit in edits:
        edit(document)
    document.saveas(tmp_path / "edited.dxf")
    return prove_edited(folder, tmp_path / "edited.dxf")


def without_names(document: Drawing) -> None:
    for entity in document.modelspace():
        entity.discard_xdata("JIGGEN")


def taken_apart(document: Drawing) -> None:
    for entity in list(document.modelspace().query("LWPOLYLINE")):
        entity.explode()


def arcs_to_splines(document: Drawing) -> None:
    space = document.modelspace()
    for entity in list(space.query("ARC CIRCLE")):
        for spline in ezdxf_path.to_bsplines_and_vertices(ezdxf_path.make_path(entity)):
            space.add_spline(dxfattribs={"layer": entity.dxf.layer}).apply_construction_tool(spline)
        space.delete_entity(entity)


def circles_to_ellipses(document: Drawing) -> None:
    space = document.modelspace()
    for entity in list(space.query("CIRCLE")):
        axis = (0.6 * entity.dxf.radius, 0.8 * entity.dxf.radius)
        space.add_ellipse(entity.dxf.center, axis, ratio=1.0, dxfattribs={"layer": entity.dxf.layer})
        space.delete_entity(entity)


def all_moved(matrix: Matrix44) -> Edit:
    def edit(document: Drawing) -> None:
        for entity in document.modelspace():
            entity.transform(matrix)

    return edit


def feature_moved(name: str, x: float) -> Edit:
    def edit(document: Drawing) -> None:
        mine = [entity for owner, entity in named(document.modelspace()) if owner == name]
        assert mine
        for entity in mine:
            entity.transform(Matrix44.translate(x, 0.0, 0.0))

    return edit


def feature_deleted(name: str) -> Edit:
    def edit(document: Drawing) -> None:
        space = document.modelspace()
        for entity in [entity for owner, entity in named(space) if owner == name]:
            space.delete_entity(entity)

    return edit


def line_added(layer: str) -> Edit:
    return lambda document: document.modelspace().add_line((60, 20), (60, 580), dxfattribs={"layer": layer})


def faults(report: Report) -> set[Fault]:
    return {finding.fault for finding in report.findings}


HARMLESS: list[tuple[str, tuple[Edit, ...], set[Fault]]] = [
    ("saved again", (), set()),
    ("without names", (without_names,), {Fault.LOST_ID, Fault.WRONG_TAG}),
    ("taken apart, which loses names", (taken_apart,), {Fault.LOST_ID, Fault.WRONG_TAG}),
    ("without names, taken apart", (without_names, taken_apart), {Fault.LOST_ID, Fault.WRONG_TAG}),
    ("moved", (all_moved(Matrix44.translate(12.5, -4.25, 0.0)),), {Fault.DISPLACED}),
    (
        "without names, moved",
        (without_names, all_moved(Matrix44.translate(3.5, -4.25, 0.0))),
        {Fault.LOST_ID, Fault.WRONG_TAG, Fault.DISPLACED},
    ),
    (
        "without names, taken apart, turned",
        (
            without_names,
            taken_apart,
            all_moved(Matrix44.z_rotate(math.pi) @ Matrix44.translate(1000.0, 600.0, 0.0)),
        ),
        {Fault.LOST_ID, Fault.WRONG_TAG, Fault.TURNED},
    ),
    ("splines", (arcs_to_splines,), {Fault.UNUSUAL, Fault.LOST_ID}),
    ("ellipses", (circles_to_ellipses,), {Fault.UNUSUAL, Fault.LOST_ID}),
]


@pytest.mark.parametrize(("what", "edits", "changes"), HARMLESS, ids=[each[0] for each in HARMLESS])
def test_what_makes_the_same_parts_is_a_change_and_no_fault(
    folder: Path, tmp_path: Path, what: str, edits: tuple[Edit, ...], changes: set[Fault]
) -> None:
    report = edited(folder, tmp_path, *edits)
    assert report.ok, report.text()
    assert faults(report) == changes
    assert changes <= CHANGES
    assert report.worst is not None
    assert abs(report.worst.difference_mm) <= 2.0 * MICRON


def test_how_a_part_was_moved_is_told(folder: Path, tmp_path: Path) -> None:
    turn = Matrix44.z_rotate(math.radians(0.5))
    report = edited(folder, tmp_path, without_names, all_moved(turn @ Matrix44.translate(2.0, 0.5, 0.0)))
    (saw_guide,) = [f for f in report.findings if (f.fault, f.part) == (Fault.TURNED, "saw-guide")]
    assert "turned by +0.500°" in saw_guide.message


def test_a_sheet_in_the_mirror_is_a_fault_whether_or_not_it_has_names(folder: Path, tmp_path: Path) -> None:
    mirror = all_moved(Matrix44.scale(1.0, -1.0, 1.0) @ Matrix44.translate(0.0, 600.0, 0.0))
    for edits in ((mirror,), (without_names, mirror)):
        report = edited(folder, tmp_path, *edits)
        assert not report.ok
        assert {f.part for f in report.faults if f.fault is Fault.MIRRORED} == {
            "saw-guide",
            "fret-slot-guide",
        }


@pytest.mark.parametrize(("factor", "story"), [(25.4, "inches"), (96.0 / 72.0, "pixels of 1/96 in")])
def test_a_sheet_of_another_scale_is_a_fault_whether_or_not_it_has_names(
    folder: Path, tmp_path: Path, factor: float, story: str
) -> None:
    scaled = all_moved(Matrix44.scale(factor, factor, 1.0))
    for edits in ((scaled,), (without_names, scaled)):
        report = edited(folder, tmp_path, *edits)
        assert not report.ok
        wrong = [f for f in report.faults if f.fault is Fault.WRONG_SCALE]
        assert {f.part for f in wrong} == {"saw-guide", "fret-slot-guide"}
        assert all(story in finding.message for finding in wrong)


@pytest.mark.parametrize("edits", [(), (without_names,)], ids=["with names", "without names"])
def test_a_fret_that_moved_a_little_serves_and_one_that_moved_far_does_not(
    folder: Path, tmp_path: Path, edits: tuple[Edit, ...]
) -> None:
    for by, verdict in ((0.1, Verdict.OFF), (0.3, Verdict.OUT)):
        report = edited(folder, tmp_path, feature_moved("saw-guide.fret.7", by), *edits)
        (row,) = [
            r for r in report.rows if (r.feature, r.what, r.part) == ("fret.7", "position x", "saw-guide")
        ]
        assert abs(row.difference_mm) == pytest.approx(by, abs=MICRON)
        assert row.verdict is verdict, row
        assert Fault.MOVED in faults(report)
        assert [r for r in report.rows if r.feature == "fret.8" and not r.ok] == []


@pytest.mark.parametrize("edits", [(), (without_names,)], ids=["with names", "without names"])
def test_what_is_missing_is_a_fault(folder: Path, tmp_path: Path, edits: tuple[Edit, ...]) -> None:
    report = edited(folder, tmp_path, feature_deleted("saw-guide.fret.7"), *edits)
    assert [(f.fault, f.part, f.features) for f in report.faults] == [
        (Fault.MISSING_FEATURE, "saw-guide", ("fret.7",))
    ]


def test_a_line_too_much_is_a_fault(folder: Path, tmp_path: Path) -> None:
    for layer in ("cut-opening", "score"):
        report = edited(folder, tmp_path, line_added(layer))
        assert [f.fault for f in report.faults] == [Fault.EXTRA_ENTITY]
    assert [row for row in report.rows if not row.ok] == []
    report = edited(folder, tmp_path, line_added("cut-edge"))
    assert {row.what for row in report.rows if not row.ok} == {"as cut"}


def test_text_that_was_added_is_named(folder: Path, tmp_path: Path) -> None:
    report = edited(folder, tmp_path, lambda document: document.modelspace().add_text("Wren"))
    assert [f.fault for f in report.faults] == [Fault.UNKNOWN_ENTITY]
