"""Every format in one loop, and the job as a set of files."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from support.sheets import COMB_PLACE, comb, sheet_of, sheet_set

from jiggen.errors import InputError, SeveralErrors
from jiggen.export.formats import FORMATS, JOB_WRITERS, SHEET_WRITERS, encode_job
from jiggen.geometry.similarity import shifted
from jiggen.proof.prove import prove_files

STARTS = {"dxf": b"  0\nSECTION\n", "svg": b"<?xml ", "png": b"\x89PNG\r\n\x1a\n"}
ENDS = {"dxf": b"EOF\n", "svg": b"</svg>\n", "png": b"IEND\xaeB`\x82"}
TEST_FOLDERS = [str(Path(__file__).parents[2]), str(Path(__file__).parents[3])]


def encoded(suffix: str) -> bytes:
    job = sheet_set()
    return (
        SHEET_WRITERS[suffix].encode(job.sheets[0])
        if suffix in SHEET_WRITERS
        else JOB_WRITERS[suffix].encode(job)
    )


@pytest.mark.parametrize("suffix", FORMATS)
def test_every_writer_is_listed_under_its_suffix(suffix: str) -> None:
    if suffix in SHEET_WRITERS:
        assert SHEET_WRITERS[suffix].suffix == suffix
    else:
        assert JOB_WRITERS[suffix].suffix == suffix
        assert JOB_WRITERS[suffix].file_name.endswith(f".{suffix}")


@pytest.mark.parametrize("suffix", FORMATS)
def test_every_format_starts_and_ends_as_it_should_and_twice_alike(suffix: str) -> None:
    data = encoded(suffix)
    assert data.startswith(STARTS[suffix])
    assert data.endswith(ENDS[suffix])
    assert data == encoded(suffix)


@pytest.mark.parametrize("suffix", FORMATS)
def test_every_format_shows_a_change_of_ten_micron(suffix: str) -> None:
    job = sheet_set()
    moved = replace(job, sheets=(sheet_of([(comb(), COMB_PLACE.then(shifted(0.01, 0.0)))]), *job.sheets[1:]))
    as_was = replace(job, sheets=(sheet_of([(comb(), COMB_PLACE)]), *job.sheets[1:]))
    names = encode_job(job, [suffix])
    name = next(iter(names))
    assert encode_job(moved, [suffix])[name] != encode_job(as_was, [suffix])[name]


def test_a_job_lists_sheets_then_preview_then_manifest() -> None:
    assert list(encode_job(sheet_set())) == [
        "sheet-1.dxf",
        "sheet-1.svg",
        "sheet-2.dxf",
        "sheet-2.svg",
        "preview.png",
        "manifest.json",
    ]


def test_formats_may_be_chosen_in_any_order() -> None:
    assert list(encode_job(sheet_set(), ["png", "svg"])) == [
        "sheet-1.svg",
        "sheet-2.svg",
        "preview.png",
        "manifest.json",
    ]


def test_an_unknown_format() -> None:
    with pytest.raises(InputError) as caught:
        encode_job(sheet_set(), ["svg", "gcode"])
    assert str(caught.value) == "format: got 'gcode', expected one of dxf, svg, png"


def test_faults_of_all_sheets_are_told_together() -> None:
    job = sheet_set()
    bad = replace(
        job,
        sheets=tuple(replace(sheet, width_mm=100.0) for sheet in job.sheets),
    )
    with pytest.raises(SeveralErrors) as caught:
        encode_job(bad)
    assert {error.where.split(",")[0] for error in caught.value.errors} == {"sheet 1", "sheet 2"}


def test_the_proof_finds_no_fault() -> None:
    files = encode_job(sheet_set())
    report = prove_files(files.pop("manifest.json"), files)
    assert [finding.message for finding in report.findings] == []
    assert {row.file for row in report.rows} == {name for name in files if name != "preview.png"}


def test_same_bytes_whatever_the_hash_seed_and_locale() -> None:
    program = (
        "import hashlib, json; from support.sheets import sheet_set; from jiggen.export.formats import encode_job;"
        "print(json.dumps({name: hashlib.sha256(data).hexdigest() for name, data in encode_job(sheet_set()).items()}))"
    )
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", program],
            env={
                **os.environ,
                "PYTHONPATH": os.pathsep.join(TEST_FOLDERS),
                "PYTHONHASHSEED": seed,
                "LC_ALL": locale,
                "TZ": zone,
            },
            stdout=subprocess.PIPE,
            text=True,
        )
        for seed, locale, zone in [
            ("0", "C", "UTC"),
            ("1", "de_DE.UTF-8", "Asia/Tokyo"),
            ("4711", "C.UTF-8", "UTC"),
        ]
    ]
    printed = [run.communicate()[0] for run in runs]
    assert [run.returncode for run in runs] == [0, 0, 0]
    assert printed[0].count("sheet-") == 4
    assert printed[0] == printed[1] == printed[2]
