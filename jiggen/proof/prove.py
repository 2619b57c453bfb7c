"""The proof: reads a job's files back, measures what they would make, and reports. Shares no code with the writers."""

import math
from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Protocol

from jiggen.errors import InputError, JiggenError
from jiggen.hands import ALONE, Hands
from jiggen.proof.hashes import compare_hashes
from jiggen.proof.joined import Look, put_together
from jiggen.proof.known import is_earlier
from jiggen.proof.leads import without_leads
from jiggen.proof.look import Seen, SheetProof
from jiggen.proof.manifest import NAME, read_manifest
from jiggen.proof.placing import placed_twice
from jiggen.proof.read_dxf import read_dxf
from jiggen.proof.read_svg import read_svg
from jiggen.proof.report import Fault, Finding, Report, Row, gathered
from jiggen.proof.tabs import broken_free
from jiggen.proof.trace import Reading
from jiggen.proof.wanted import Manifest, WantedPart, WantedSheet


class _Read(Protocol):
    def __call__(self, source: bytes | Path, *, name: str = "") -> Reading: ...


#: The operation of the line that a maker may ask for to measure a file by, its length and how far that may be off.
_CHECK, _CHECK_MM, _CHECK_ERROR_MM = "check", 50.0, 0.001
_READERS: Mapping[str, _Read] = {".dxf": read_dxf, ".svg": read_svg}


def prove(folder: Path) -> Report:
    """Proves the job in a folder.

    Args:
        folder: Holds `manifest.json` and the files it names.

    Raises:
        InputError: If there is no manifest, or it cannot be read.
    """
    manifest = read_manifest(_manifest_of(folder))
    known = {*manifest.hashes, *(name for sheet in manifest.sheets for name in sheet.files)}
    found = (each for each in folder.iterdir() if each.is_file() and not each.name.startswith("."))
    files = {
        each.name: each.read_bytes() if each.name in known else b""
        for each in found
        if each.name != NAME and not is_earlier(each.name)
    }
    return _prove(manifest, files)


def prove_files(manifest_bytes: bytes, files: Mapping[str, bytes], *, hands: Hands = ALONE) -> Report:
    """Proves a job that need not be on disk yet.

    Args:
        manifest_bytes: Of `manifest.json`.
        files: The bytes of all other files, by name.
        hands: Who may help.

    Raises:
        InputError: If the manifest cannot be read.
    """
    return _prove(read_manifest(manifest_bytes), files, hands)


def _prove(manifest: Manifest, files: Mapping[str, bytes], hands: Hands = ALONE) -> Report:
    return Proving(manifest, files, hands).report(manifest.hashes, files)


def prove_edited(folder: Path, path: Path) -> Report:
    """Proves a file that was edited elsewhere: what changed, and whether the parts it makes still serve.

    Args:
        folder: Of the job that it came from.
        path: The edited file. It is taken for the sheet whose file has its name, or else for the first whose
            parts it makes, or the one it fits best.

    Raises:
        InputError: If there is no manifest, or it or the file cannot be read.
    """
    manifest = read_manifest(_manifest_of(folder))
    if path.suffix.lower() not in _READERS:
        raise InputError(
            where=str(path), got=f"a file *{path.suffix}", expected=f"one of {', '.join(_READERS)}"
        )
    reading = _READERS[path.suffix.lower()](path, name=path.name)
    named = [sheet for sheet in manifest.sheets if path.name in sheet.files]
    reports: list[Report] = []
    for sheet in named or manifest.sheets:
        report = _edited(sheet, reading, path.name)
        if report.ok:
            return report
        reports.append(report)
    if not reports:
        raise InputError(where=str(folder), got="a job without sheets", expected="at least one")
    return min(reports, key=lambda report: len(report.faults) - len(report.rows))


def _edited(sheet: WantedSheet, reading: Reading, name: str) -> Report:
    seen = _prove_reading(SheetProof(sheet), name, reading)
    return Report(rows=seen.rows, findings=gathered(seen.findings), edited=True)


def _manifest_of(folder: Path) -> bytes:
    path = folder / NAME
    if not path.is_file():
        raise InputError(
            where=str(folder),
            got=f"no {NAME}",
            expected="the folder of a job",
            mend="Name the folder that holds it",
        )
    return path.read_bytes()


class Proving:
    """The proof of a job under way, so that its files are looked at while others are still being written.

    Args:
        manifest: What the files are to hold; the list of files with their checksums need not be there yet.
        files: The bytes of those that hold sheets, by name.
        hands: Who may help.
    """

    def __init__(self, manifest: Manifest, files: Mapping[str, bytes], hands: Hands = ALONE) -> None:
        self._manifest = manifest
        self._proofs = deque(SheetProof(sheet) for sheet in manifest.sheets)
        large_first = sorted(
            ((proof, name) for proof in self._proofs for name in _readable(proof.sheet) if name in files),
            key=lambda each: -len(files[each[1]]),
        )  # so that whoever helps comes to an end at about the same time
        self._begun = {name: hands.take(_prove_file, proof, name, files[name]) for proof, name in large_first}

    def report(self, hashes: Mapping[str, str], files: Mapping[str, bytes]) -> Report:
        """Returns the report, once all files are there; to be asked for once.

        Args:
            hashes: SHA-256 of all files, by name, as the manifest has them.
            files: The bytes of all other files than the manifest, by name.
        """
        manifest = self._manifest
        findings = [*compare_hashes(hashes, files), *placed_twice(manifest.sheets)]
        rows: list[Row] = []
        looks: dict[str, list[Look]] = {}
        while self._proofs:  # let go of one by one, since each takes some memory
            proof = self._proofs.popleft()
            sheet = proof.sheet
            findings += proof.findings
            if not _readable(sheet):
                message = f"sheet {sheet.number} has no DXF or SVG, so nothing of it was measured"
                findings.append(Finding(fault=Fault.NOT_MEASURED, message=message, file=NAME))
            for name in _readable(sheet):
                if name in self._begun:
                    seen = self._begun.pop(name)()
                    rows += seen.rows
                    findings += seen.findings
                    if manifest.wholes:  # else all that was seen need not be kept
                        looks.setdefault(Path(name).suffix.lower(), []).append(Look(name, sheet, seen))
                elif name not in hashes:
                    message = "a sheet's file is not there"
                    findings.append(Finding(fault=Fault.MISSING_FILE, message=message, file=name))
        for of_one_format in looks.values():
            rows += put_together(manifest, of_one_format)
        return Report(rows=tuple(rows), findings=gathered(findings))


def _readable(sheet: WantedSheet) -> list[str]:
    return [name for name in sheet.files if Path(name).suffix.lower() in _READERS]


def _prove_file(proof: SheetProof, name: str, data: bytes) -> Seen:
    try:
        reading = _READERS[Path(name).suffix.lower()](data, name=name)
    except JiggenError as error:
        return Seen((), (Finding(fault=Fault.UNREADABLE, message=str(error), file=name),))
    return _prove_reading(proof, name, reading)


def _without_check_line(reading: Reading, name: str) -> tuple[Reading, list[Finding]]:
    """Returns a reading without the line of 50 mm that a maker may ask for, and what is wrong with that line.

    It lies in an operation of its own, `check`, and belongs to no part.
    """
    lines = [each for each in reading.traced if each.operation == _CHECK]
    rest = tuple(each for each in reading.traced if each.operation != _CHECK)
    findings = [
        Finding(
            fault=Fault.WRONG_SCALE,
            message=f"the check line at {each.where} is not the straight line of {_CHECK_MM:g} mm that it should be",
            file=name,
        )
        for each in lines
        if each.stroke.closed
        or any(each.stroke.bulges)
        or abs(math.dist(each.stroke.points[0], each.stroke.points[-1]) - _CHECK_MM) > _CHECK_ERROR_MM
    ]
    return replace(reading, traced=rest), findings


def _prove_reading(proof: SheetProof, name: str, reading: Reading) -> Seen:
    reading, checked = _without_check_line(reading, name)
    reading, cut_tabs = broken_free(proof.sheet, reading, name)
    reading, harm = without_leads(proof.sheet, reading, name)
    seen = proof.look(reading, name)
    findings = [
        *reading.findings,
        *checked,
        *cut_tabs,
        *harm,
        *_sheet_size(proof.sheet, reading, name),
        *seen.findings,
        *(finding for part in proof.sheet.parts for finding in _tag(part, reading, name)),
    ]
    return replace(seen, findings=tuple(findings))


def _sheet_size(sheet: WantedSheet, reading: Reading, name: str) -> Iterator[Finding]:
    if reading.size_mm is None:
        return
    if max(abs(got - wanted) for got, wanted in zip(reading.size_mm, sheet.size_mm, strict=True)) > 0.001:
        got, wanted = (f"{width:.3f} × {height:.3f} mm" for width, height in (reading.size_mm, sheet.size_mm))
        message = f"the sheet is {got}, the manifest says {wanted}"
        yield Finding(fault=Fault.WRONG_SIZE_OF_SHEET, message=message, file=name)


def _tag(part: WantedPart, reading: Reading, name: str) -> Iterator[Finding]:
    found = reading.tags.get(part.name)
    if found is None:
        yield Finding(fault=Fault.WRONG_TAG, message="the file has no tag for it", file=name, part=part.name)
        return
    for field, value in part.tag.items():
        if field not in found:
            yield Finding(fault=Fault.WRONG_TAG, message=f"its tag has no {field}", file=name, part=part.name)
        elif not _same_value(value, found[field]):
            message = f"its tag says {field} {found[field]}, the manifest {value}"
            yield Finding(fault=Fault.WRONG_TAG, message=message, file=name, part=part.name)


def _same_value(wanted: object, text: str) -> bool:
    if isinstance(wanted, (int, float)) and not isinstance(wanted, bool):
        try:
            return abs(float(text) - wanted) <= 1e-6
        except ValueError:
            return False
    return text == wanted
