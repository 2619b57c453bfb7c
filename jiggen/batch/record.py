"""What a run over many designs made, kept beside the folders, so that the next run does only what changed."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

from jiggen.batch.model import ClassSheet, Outcome, Together
from jiggen.errors import InputError
from jiggen.export.manifest import FILE_NAME

SCHEMA = "jiggen-class/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What is known of a folder made earlier.

    Attributes:
        mark: Of all that it was made from.
        manifest: SHA-256 of its manifest.
        told: What the run said of it.
        sheets: On which its parts lie, when it is a set of several designs.
        verdict: Of its proof.
    """

    mark: str
    manifest: str
    told: tuple[str, ...] = ()
    sheets: tuple[ClassSheet, ...] = ()
    verdict: str = ""

    def holds(self, folder: Path, mark: str) -> bool:
        """Tells whether a folder is still as it was made, from just what is asked for now."""
        return mark == self.mark and _checksum_if_whole(folder) == self.manifest


def manifest_checksum(folder: Path) -> str:
    """Returns the SHA-256 of the manifest of a set."""
    return hashlib.sha256((folder / FILE_NAME).read_bytes()).hexdigest()


def mark_of(*facts: object) -> str:
    """Returns a mark of facts: values whose `repr` says all there is to know of them, alike in every run."""
    return hashlib.sha256(repr(facts).encode()).hexdigest()[:32]


def read_record(path: Path) -> Mapping[str, Kept]:
    """Returns what is known of each folder by its name; nothing when there is no record.

    Raises:
        InputError: If there is a file of that name that is no record of ours.
    """
    if not path.exists():
        return MappingProxyType({})
    try:
        record = json.loads(path.read_bytes())
        ours, folders = record["schema"] == SCHEMA, record["folders"]
        kept = {name: _kept(entry) for name, entry in folders.items()}
    except (ValueError, KeyError, TypeError, AttributeError, OSError):
        ours, kept = False, {}
    if not ours:
        raise InputError(
            where=str(path),
            got="a file that is no record of a run over many designs",
            expected="none there, or one that jiggen wrote",
            mend="Give the run another name with --class-name, or move the file",
        )
    return kept


def known_of(outcomes: Iterable[Outcome], together: Iterable[Together]) -> dict[str, Kept]:
    """Returns what is known after a run of each folder that stands."""
    own = {
        each.folder: Kept(mark=each.mark, manifest=each.manifest, told=each.told)
        for each in outcomes
        if not each.fault
    }
    return own | {
        each.folder: Kept(
            mark=each.mark, manifest=each.manifest, told=each.told, sheets=each.sheets, verdict=each.verdict
        )
        for each in together
        if not each.fault
    }


def record_bytes(known: Mapping[str, Kept]) -> bytes:
    """Returns the record of what is known of each folder."""
    folders = {name: _entry(kept) for name, kept in known.items()}
    text = json.dumps({"schema": SCHEMA, "folders": folders}, ensure_ascii=False, indent=1)
    return f"{text}\n".encode()


def _entry(kept: Kept) -> dict[str, Any]:
    return {
        "mark": kept.mark,
        "manifest": kept.manifest,
        "told": kept.told,
        "verdict": kept.verdict,
        "sheets": [
            {
                "number": sheet.number,
                "size": sheet.size,
                "used": round(sheet.used, 6),
                "left": sheet.left,
                "seconds": None if sheet.seconds is None else round(sheet.seconds, 3),
                "parts": sheet.parts,
            }
            for sheet in kept.sheets
        ],
    }


def _kept(entry: Any) -> Kept:
    return Kept(
        mark=str(entry["mark"]),
        manifest=str(entry["manifest"]),
        told=tuple(map(str, entry.get("told", ()))),
        verdict=str(entry.get("verdict", "")),
        sheets=tuple(
            ClassSheet(
                folder="",
                number=int(each["number"]),
                size=str(each["size"]),
                used=float(each["used"]),
                left=str(each.get("left", "")),
                seconds=None if each["seconds"] is None else float(each["seconds"]),
                parts=tuple((str(design), str(part)) for design, part in each["parts"]),
            )
            for each in entry.get("sheets", ())
        ),
    )


def _checksum_if_whole(folder: Path) -> str:
    """Returns the manifest's checksum when every file that it lists is there as it was written, or nothing."""
    try:
        data = (folder / FILE_NAME).read_bytes()
        files = json.loads(data)["files"]
        for name, entry in files.items():
            if hashlib.sha256((folder / name).read_bytes()).hexdigest() != entry["sha256"]:
                return ""
    except (OSError, ValueError, KeyError, TypeError):
        return ""
    return hashlib.sha256(data).hexdigest()
