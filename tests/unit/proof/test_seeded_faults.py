"""Two hundred faults seeded into written files: each is found and called by its name, and clean files have none."""

import json
from dataclasses import dataclass

import pytest
from support.made import make_set
from support.spoilt import FAULTS, spoil, take_apart

from jiggen.proof.prove import prove_files

COUNT = 200
PART = "saw-guide"


@dataclass(frozen=True)
class Clean:
    """A file as it was written, and a manifest as if it were all there is, and no checksum gave a fault away."""

    name: str
    data: bytes
    manifest: bytes


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Clean]:
    folder = make_set(tmp_path_factory.mktemp("made"), PART, design="ukulele-soprano")
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    found = {}
    for suffix in (".dxf", ".svg"):
        name = f"sheet-1{suffix}"
        manifest["files"], manifest["sheets"][0]["files"] = {}, [name]
        found[suffix] = Clean(name, (folder / name).read_bytes(), json.dumps(manifest).encode())
    return found


@pytest.mark.parametrize("suffix", [".dxf", ".svg"])
def test_a_clean_file_taken_apart_and_put_together_again_has_no_fault(
    files: dict[str, Clean], suffix: str
) -> None:
    clean = files[suffix]
    report = prove_files(clean.manifest, {clean.name: take_apart(clean.name, clean.data).data()})
    assert [f.fault for f in report.findings if not f.is_warning] == []
    assert report.ok


@pytest.mark.parametrize("number", range(COUNT))
def test_every_fault_is_found_and_named(files: dict[str, Clean], number: int) -> None:
    clean = files[(".dxf", ".svg")[number // len(FAULTS) % 2]]
    spoilt, seeded = spoil(number, clean.name, clean.data, PART)
    report = prove_files(clean.manifest, {clean.name: spoilt})
    assert not report.ok
    faults = [finding for finding in report.findings if not finding.is_warning]
    mine = [finding for finding in faults if finding.fault is seeded.fault and finding.part == seeded.part]
    assert mine, report.text()
    if seeded.feature:
        assert seeded.feature in {id for finding in mine for id in finding.features}, report.text()
    assert {finding.fault for finding in faults} <= {seeded.fault} | seeded.beside, report.text()
