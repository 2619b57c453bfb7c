"""Every format in one loop, and the job as a set of files."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from support.sheets import COMB_PLACE, comb, job_of, sheet_of, sheet_set

from jiggen.errors import InputError, SeveralErrors
from jiggen.export.formats import FORMATS, encode_job
from jiggen.geometry.similarity import shifted
from jiggen.proof.prove import prove_files

STARTS = {
    ".dxf": b"999\nsheet ",
    ".svg": b"<?xml ",
    ".pdf": b"%PDF-1.7\n",
    ".png": b"\x89PNG\r\n\x1a\n",
    ".html": b"<!doctype html>\n",
    ".json": b"{\n",
}
ENDS = {
    ".dxf": b"\n0\nEOF\n",
    ".svg": b"</svg>\n",
    ".pdf": b"%%EOF\n",
    ".png": b"IEND\xaeB`\x82",
    ".html": b"</html>\n",
    ".json": b"}\n",
}
#: Of a job of two sheets, by the word for the format.
FILES = {
    "dxf": ["sheet-1.dxf", "sheet-2.dxf"],
    "svg": ["sheet-1.svg", "sheet-2.svg", "plan.svg"],
    "pdf": ["sheet-1.pdf", "sheet-2.pdf", "plan.pdf", "plan-tiles.pdf"],
    "png": ["preview.png", "plan.png"],
    "ticket": ["ticket.html"],
}
TEST_FOLDERS = [str(Path(__file__).parents[2]), str(Path(__file__).parents[3])]


def test_every_format_writes_its_files_and_the_manifest_comes_last() -> None:
    assert tuple(FILES) == FORMATS
    files = encode_job(job_of(sheet_set()))
    assert list(files) == [*(name for names in FILES.values() for name in names), "manifest.json"]


@pytest.mark.parametrize("word", FORMATS)
def test_each_file_starts_and_ends_as_its_kind_does_and_comes_out_the_same_twice(word: str) -> None:
    files = encode_job(job_of(sheet_set()), [word])
    assert list(files) == [*FILES[word], "manifest.json"]
    for name, data in files.items():
        suffix = Path(name).suffix
        assert data.startswith(STARTS[suffix]), name
        assert data.endswith(ENDS[suffix]), name
    assert files == encode_job(job_of(sheet_set()), [word])


@pytest.mark.parametrize("word", FORMATS)
def test_a_change_of_ten_micron_on_a_sheet_shows_in_its_files(word: str) -> None:
    job = sheet_set()
    moved = replace(job, sheets=(sheet_of([(comb(), COMB_PLACE.then(shifted(0.01, 0.0)))]), *job.sheets[1:]))
    as_was = replace(job, sheets=(sheet_of([(comb(), COMB_PLACE)]), *job.sheets[1:]))
    name = FILES[word][0]
    assert encode_job(job_of(moved), [word])[name] != encode_job(job_of(as_was), [word])[name]


def test_formats_may_be_chosen_in_any_order() -> None:
    files = encode_job(job_of(sheet_set()), ["png", "svg"])
    assert list(files) == [*FILES["svg"], *FILES["png"], "manifest.json"]


def test_an_unknown_format() -> None:
    with pytest.raises(InputError) as caught:
        encode_job(job_of(sheet_set()), ["svg", "gcode"])
    assert str(caught.value) == "format: got 'gcode', expected one of dxf, svg, pdf, png, ticket"


def test_faults_of_all_sheets_are_told_together() -> None:
    job = sheet_set()
    bad = replace(
        job,
        sheets=tuple(replace(sheet, width_mm=100.0) for sheet in job.sheets),
    )
    with pytest.raises(SeveralErrors) as caught:
        encode_job(job_of(bad))
    assert {error.where.split(",")[0] for error in caught.value.errors} == {"sheet 1", "sheet 2"}


def test_the_proof_finds_no_fault() -> None:
    files = encode_job(job_of(sheet_set()))
    report = prove_files(files.pop("manifest.json"), files)
    assert [finding.message for finding in report.findings] == []
    assert {row.file for row in report.rows} == {*FILES["dxf"], "sheet-1.svg", "sheet-2.svg"}


def test_same_bytes_whatever_the_hash_seed_and_locale() -> None:
    program = (
        "import hashlib, json; from support.sheets import job_of, sheet_set; from jiggen.export.formats import encode_job;"
        "print(json.dumps({name: hashlib.sha256(data).hexdigest() for name, data in encode_job(job_of(sheet_set())).items()}))"
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
    assert printed[0].count("sheet-") == 6
    assert printed[0] == printed[1] == printed[2]
