"""Files that are cut short, garbled, exchanged or hostile: one finding that says so, and no crash."""

import json
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from unit.proof.hand_job import HandJob, Run, hand_job, path_data

from jiggen.proof.prove import prove_files
from jiggen.proof.report import Fault, Report

NAN = float("nan")
BOMB = """<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;">]>"""


def spoilt_bytes(name: str, change: Callable[[bytes], bytes]) -> Report:
    """Proves the clean job with one file changed before its hash was taken."""
    job = hand_job()
    files = job.written()
    files[name] = change(files[name])
    return prove_files(job.manifest_bytes(files), files)


@dataclass(frozen=True)
class Broken:
    what: str
    file: str
    change: Callable[[bytes], bytes]
    fault: Fault
    says: str


def with_line(number: int, text: str) -> Callable[[bytes], bytes]:
    def changed(data: bytes) -> bytes:
        lines = data.decode("cp1252").split("\n")
        lines[number] = text
        return "\n".join(lines).encode("cp1252")

    return changed


def replaced(old: str, new: str) -> Callable[[bytes], bytes]:
    def changed(data: bytes) -> bytes:
        assert old.encode() in data
        return data.replace(old.encode(), new.encode(), 1)

    return changed


BROKEN = [
    Broken("half a file", "sheet-1.dxf", lambda data: data[: len(data) // 2], Fault.UNREADABLE, "cut short"),
    Broken("no EOF", "sheet-1.dxf", replaced("0\nEOF\n", ""), Fault.UNREADABLE, "EOF before it"),
    Broken(
        "no ENDSEC", "sheet-1.dxf", replaced("0\nENDSEC\n0\nEOF\n", "0\nEOF\n"), Fault.UNREADABLE, "ENDSEC"
    ),
    Broken("no group code", "sheet-1.dxf", with_line(40, "ten"), Fault.UNREADABLE, 'line 41: got "ten"'),
    Broken(
        "no number", "sheet-1.dxf", replaced("\n40\n2.95", "\n40\ntwo"), Fault.UNREADABLE, "expected a number"
    ),
    Broken("garbage", "sheet-1.dxf", lambda _: bytes(range(256)) * 8, Fault.UNREADABLE, "byte"),
    Broken("zeros", "sheet-1.dxf", lambda _: bytes(1000), Fault.UNREADABLE, "DXF in text form"),
    Broken("nothing", "sheet-1.dxf", lambda _: b"", Fault.UNREADABLE, "got nothing"),
    Broken(
        "half a file", "sheet-1.svg", lambda data: data[: len(data) // 2], Fault.UNREADABLE, "well-formed XML"
    ),
    Broken("garbage", "sheet-1.svg", lambda _: bytes(range(256)), Fault.UNREADABLE, "well-formed XML"),
    Broken("nothing", "sheet-1.svg", lambda _: b"", Fault.UNREADABLE, "well-formed XML"),
    Broken("entities", "sheet-1.svg", replaced("<svg", BOMB + "<svg"), Fault.UNREADABLE, "a document type"),
    Broken("no size", "sheet-1.svg", replaced('width="700mm"', ""), Fault.UNREADABLE, "a length in mm"),
    Broken("no viewBox", "sheet-1.svg", replaced("viewBox", "view"), Fault.UNREADABLE, "four numbers"),
    Broken("another language", "sheet-1.svg", lambda _: b"<html/>", Fault.UNREADABLE, "an SVG file"),
    Broken(
        "depth", "sheet-1.svg", replaced("</metadata>", "</metadata>" + "<g>" * 99), Fault.UNREADABLE, "deep"
    ),
]


@pytest.mark.parametrize("broken", BROKEN, ids=lambda each: f"{each.what} in {each.file}")
def test_a_broken_file_is_one_finding_and_the_other_file_is_still_measured(broken: Broken) -> None:
    report = spoilt_bytes(broken.file, broken.change)
    assert not report.ok
    (finding,) = report.findings
    assert finding.fault is broken.fault
    assert finding.file == broken.file
    assert broken.says in finding.message
    assert {row.file for row in report.rows} == {"sheet-1.dxf", "sheet-1.svg"} - {broken.file}


@pytest.mark.parametrize("value", [NAN, float("inf"), float("-inf"), 1e300, -2e5])
def test_a_coordinate_that_is_no_number_is_named_with_its_feature(value: float) -> None:
    job = hand_job()
    job.change("saw-guide", "fret.7", lambda run: Run(((value, 1.0, 0.0), *run.vertices[1:]), run.closed))
    files = job.written()
    report = prove_files(job.manifest_bytes(files), files)
    assert [(f.fault, f.file, f.part, f.features) for f in report.findings] == [
        (Fault.NOT_FINITE, name, "saw-guide", ("fret.7",)) for name in ("sheet-1.dxf", "sheet-1.svg")
    ]


def test_a_hole_of_no_size_is_named() -> None:
    report = spoilt_bytes("sheet-1.svg", replaced(' r="2.9500"', ' r="wide"'))
    assert [(f.fault, f.features) for f in report.findings] == [(Fault.NOT_FINITE, ("pin.1",))]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('id="cut-edge"', 'id="cut-edge" clip-path="url(#a)"', "clip-path"),
        ("<circle ", '<circle style="display:none" ', "is hidden"),
        ('id="cut-edge"', 'id="cut-edge" visibility="hidden"', "is hidden"),
        ("<circle ", '<circle style="transform: scale(2)" ', "transform in its style"),
        ("</svg>", "<text x='5' y='5'>no</text></svg>", "<text>"),
        ("</svg>", "<g><use href='#a'/></g></svg>", "<use>"),
        ("</svg>", "<svg width='1' height='1'/></svg>", "<svg>"),
    ],
)
def test_what_the_contract_does_not_allow_in_an_svg_is_named(old: str, new: str, says: str) -> None:
    report = spoilt_bytes("sheet-1.svg", replaced(old, new))
    assert not report.ok
    assert Fault.UNKNOWN_ENTITY in {finding.fault for finding in report.findings}
    assert any(says in finding.message for finding in report.findings)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("<svg", "<!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' 'a.dtd'><svg", "document type"),
        ('id="cut-edge"', 'id="cut-edge" transform="translate(0 0)"', "transform"),
        ("<circle ", '<circle style="stroke:#000000" ', "style"),
        ("<circle ", '<circle class="a" ', "class"),
    ],
)
def test_what_other_software_writes_is_read_and_said_to_be_unusual(old: str, new: str, says: str) -> None:
    report = spoilt_bytes("sheet-1.svg", replaced(old, new))
    assert not report.ok
    (finding,) = report.findings
    assert finding.fault is Fault.UNUSUAL
    assert says in finding.message
    assert all(row.ok for row in report.rows)


def test_a_curve_is_named_by_its_feature() -> None:
    job = hand_job()
    data = path_data([each.run for each in job.of("saw-guide", "nut")], 4, flip=480.0)
    report = spoilt_bytes("sheet-1.svg", replaced(data, "M 1 1 C 2 2 3 3 4 4"))
    assert [(f.fault, f.features) for f in report.findings] == [
        (Fault.UNUSUAL, ("nut",)),
        (Fault.WRONG_SHAPE, ("nut",)),
    ]
    assert "has curves, which were read as chords within 0.0005 mm" in report.findings[0].message


def test_path_data_that_is_none_is_named_by_its_feature() -> None:
    job = hand_job()
    data = path_data([each.run for each in job.of("saw-guide", "nut")], 4, flip=480.0)
    report = spoilt_bytes("sheet-1.svg", replaced(data, "M 1 1 C 2 2 3 3 4"))
    assert [(f.fault, f.features) for f in report.findings] == [(Fault.UNKNOWN_ENTITY, ("nut",))]


@pytest.mark.parametrize("kind", ["SPLINE", "TEXT", "INSERT", "HATCH", "ELLIPSE", "3DFACE"])
def test_an_entity_that_the_contract_does_not_allow_is_named(kind: str) -> None:
    entity = f"0\n{kind}\n8\nscore\n10\n1.0\n20\n2.0\n0\nENDSEC\n0\nEOF\n"
    report = spoilt_bytes("sheet-1.dxf", replaced("0\nENDSEC\n0\nEOF\n", entity))
    assert [(f.fault, f.file) for f in report.findings] == [(Fault.UNKNOWN_ENTITY, "sheet-1.dxf")]
    assert report.findings[0].message == f"{kind}, where only flat lines and arcs may stand"


def test_a_file_that_was_changed_after_it_was_made_is_named() -> None:
    job = hand_job()
    files = job.written()
    manifest = job.manifest_bytes(files)
    files["sheet-1.svg"] += b"\n"
    report = prove_files(manifest, files)
    assert [(f.fault, f.file) for f in report.findings] == [(Fault.HASH_MISMATCH, "sheet-1.svg")]
    assert not report.ok


def test_a_file_that_is_missing_is_named() -> None:
    job = hand_job()
    files = job.written()
    manifest = job.manifest_bytes(files)
    del files["sheet-1.dxf"]
    report = prove_files(manifest, files)
    assert [(f.fault, f.file) for f in report.findings] == [(Fault.MISSING_FILE, "sheet-1.dxf")]
    assert not report.ok


def test_a_sheet_s_file_without_a_hash_is_still_missed() -> None:
    job = hand_job()
    files = {"sheet-1.svg": job.written()["sheet-1.svg"]}
    report = prove_files(job.manifest_bytes(files), files)
    assert [(f.fault, f.file) for f in report.findings] == [(Fault.MISSING_FILE, "sheet-1.dxf")]


def test_a_file_left_over_from_another_job_is_a_warning() -> None:
    job = hand_job()
    files = job.written()
    manifest = job.manifest_bytes(files)
    report = prove_files(manifest, {**files, "sheet-9.dxf": b"0\nEOF\n"})
    assert [(f.fault, f.file, f.is_warning) for f in report.findings] == [
        (Fault.UNLISTED_FILE, "sheet-9.dxf", True)
    ]
    assert report.ok


def test_a_sheet_that_nobody_can_measure_is_not_proved() -> None:
    job = hand_job()
    job.manifest["sheets"][0]["files"] = ["sheet-1.pdf"]
    files = {"sheet-1.pdf": b"%PDF-1.4"}
    report = prove_files(job.manifest_bytes(files), files)
    assert [f.fault for f in report.findings] == [Fault.NOT_MEASURED]
    assert not report.ok


@pytest.mark.parametrize(
    ("feature", "key"),
    [("fret.7", "finished"), ("nut", "finished"), ("tag", "cut_bounds"), ("tag", "cut_length_mm")],
)
def test_a_feature_of_which_the_manifest_says_too_little_is_not_passed_over(feature: str, key: str) -> None:
    job = hand_job()
    part = job.manifest["sheets"][0]["parts"][0]
    next(each for each in part["features"] if each["id"] == feature)[key] = None
    files = job.written()
    report = prove_files(job.manifest_bytes(files), files)
    assert [(f.fault, f.part, f.features) for f in report.findings] == [
        (Fault.NOT_MEASURED, "saw-guide", (feature,))
    ]


def test_ids_that_do_not_fit_their_elements_are_named() -> None:
    report = spoilt_bytes("sheet-1.svg", replaced('id="saw-guide.nut"', 'id="saw-guide.pin.1"'))
    assert [(f.fault, f.features) for f in report.findings] == [(Fault.WRONG_ID, ("nut",))]


@pytest.mark.parametrize("metadata", ["", "{", "[]", '{"saw-guide": 3}', "{" * 5000, json.dumps({"x": [{}]})])
def test_metadata_without_tags_is_named_for_each_part(metadata: str) -> None:
    job: HandJob = hand_job()
    report = spoilt_bytes("sheet-1.svg", replaced(json.dumps(job.tags), metadata))
    assert [(f.fault, f.part) for f in report.findings] == [
        (Fault.WRONG_TAG, part) for part in ("saw-guide", "index-strip", "fan-plate")
    ]
