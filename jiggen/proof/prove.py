"""The proof: reads a job's files back, measures what they would make, and reports. Shares no code with the writers."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Protocol

from jiggen.errors import InputError, JiggenError
from jiggen.proof.diagnose import diagnose
from jiggen.proof.hashes import compare_hashes
from jiggen.proof.manifest import NAME, Manifest, WantedPart, WantedSheet, read_manifest
from jiggen.proof.match import Cut, cuts, match
from jiggen.proof.measure import measure
from jiggen.proof.nominal import Nominal
from jiggen.proof.placing import beyond_the_sheet, overlapping, placed_twice
from jiggen.proof.probes import Caliper
from jiggen.proof.read_dxf import read_dxf
from jiggen.proof.read_svg import read_svg
from jiggen.proof.report import Fault, Finding, Report, Row, gathered
from jiggen.proof.trace import Reading


class _Read(Protocol):
    def __call__(self, source: bytes | Path, *, name: str = "") -> Reading: ...


_READERS: Mapping[str, _Read] = {".dxf": read_dxf, ".svg": read_svg}
#: Two ends this near are joined when a contour is cut.
_JOINED_MM = 0.002


def prove(folder: Path) -> Report:
    """Proves the job in a folder.

    Args:
        folder: Holds `manifest.json` and the files it names.

    Raises:
        InputError: If there is no manifest, or it cannot be read.
    """
    path = folder / NAME
    if not path.is_file():
        raise InputError(
            where=str(folder),
            got=f"no {NAME}",
            expected="the folder of a job",
            mend="Name the folder that holds it",
        )
    manifest = read_manifest(path.read_bytes())
    known = {*manifest.hashes, *(name for sheet in manifest.sheets for name in sheet.files)}
    found = (each for each in folder.iterdir() if each.is_file() and not each.name.startswith("."))
    files = {
        each.name: each.read_bytes() if each.name in known else b"" for each in found if each.name != NAME
    }
    return _prove(manifest, files)


def prove_files(manifest_bytes: bytes, files: Mapping[str, bytes]) -> Report:
    """Proves a job that need not be on disk yet.

    Args:
        manifest_bytes: Of `manifest.json`.
        files: The bytes of all other files, by name.

    Raises:
        InputError: If the manifest cannot be read.
    """
    return _prove(read_manifest(manifest_bytes), files)


def _prove(manifest: Manifest, files: Mapping[str, bytes]) -> Report:
    findings = [*compare_hashes(manifest.hashes, files), *placed_twice(manifest.sheets)]
    rows: list[Row] = []
    for sheet in manifest.sheets:
        caliper = Caliper(Nominal(sheet))
        findings += [*_unmeasurable(caliper.nominal), *overlapping(sheet, caliper.nominal)]
        readable = [name for name in sheet.files if Path(name).suffix.lower() in _READERS]
        if not readable:
            message = f"sheet {sheet.number} has no DXF or SVG, so nothing of it was measured"
            findings.append(Finding(fault=Fault.NOT_MEASURED, message=message, file=NAME))
        for name in readable:
            if name in files:
                more_rows, more_findings = _prove_file(manifest, sheet, caliper, name, files[name])
                rows += more_rows
                findings += more_findings
            elif name not in manifest.hashes:
                message = "a sheet's file is not there"
                findings.append(Finding(fault=Fault.MISSING_FILE, message=message, file=name))
    return Report(rows=tuple(rows), findings=gathered(findings))


def _prove_file(
    manifest: Manifest, sheet: WantedSheet, caliper: Caliper, name: str, data: bytes
) -> tuple[tuple[Row, ...], list[Finding]]:
    try:
        reading = _READERS[Path(name).suffix.lower()](data, name=name)
    except JiggenError as error:
        return (), [Finding(fault=Fault.UNREADABLE, message=str(error), file=name)]
    wanted, nominal = cuts(sheet), caliper.nominal
    matched = match(wanted, reading, name)
    measured = measure(caliper, matched.curves, file=name, scale_mm=manifest.scale_mm)
    causes = [*diagnose(nominal, measured, name)]
    scaled = {finding.part for finding in causes if finding.fault is Fault.WRONG_SCALE}
    beyond = beyond_the_sheet(sheet, nominal.items, measured.sheet_bounds, name)
    findings = [
        *reading.findings,
        *_sheet_size(sheet, reading, name),
        *matched.findings,
        *_open_contours(wanted, measured.open_items(nominal.items, _JOINED_MM), name),
        *(finding for finding in beyond if finding.part not in scaled),  # which says it already
        *causes,
        *(finding for part in sheet.parts for finding in _tag(part, reading, name)),
    ]
    return measured.rows, findings


def _unmeasurable(nominal: Nominal) -> Iterator[Finding]:
    for item in nominal.items:
        feature = item.feature
        wordless = feature.role == "lettering" and None in {feature.cut_bounds, feature.cut_length_mm}
        if wordless or (feature.role != "lettering" and not feature.finished):
            message = "the manifest does not say what it should be, so it was not measured"
            yield Finding(
                fault=Fault.NOT_MEASURED,
                message=message,
                file=NAME,
                part=item.part.name,
                features=(feature.id,),
            )


def _sheet_size(sheet: WantedSheet, reading: Reading, name: str) -> Iterator[Finding]:
    if reading.size_mm is None:
        return
    if max(abs(got - wanted) for got, wanted in zip(reading.size_mm, sheet.size_mm, strict=True)) > 0.001:
        got, wanted = (f"{width:.3f} × {height:.3f} mm" for width, height in (reading.size_mm, sheet.size_mm))
        message = f"the sheet is {got}, the manifest says {wanted}"
        yield Finding(fault=Fault.WRONG_SIZE_OF_SHEET, message=message, file=name)


def _open_contours(wanted: tuple[Cut, ...], open_items: frozenset[int], name: str) -> Iterator[Finding]:
    for number in sorted(open_items):
        part, feature = wanted[number].key
        message = "its contour does not close, so nothing falls out"
        yield Finding(fault=Fault.OPEN_CONTOUR, message=message, file=name, part=part, features=(feature,))


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
