"""What the proof found: measured rows, findings, and whether all is well."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Fault(StrEnum):
    """The names of what can be wrong; the value is the word used in reports and JSON."""

    HASH_MISMATCH = "hash-mismatch"  #: the file is not the one that the manifest describes
    MISSING_FILE = "missing-file"  #: the manifest names it, the folder has it not
    UNLISTED_FILE = "unlisted-file"  #: lies in the folder, but the manifest knows nothing of it
    NOT_MEASURED = "not-measured"  #: a sheet without a file that the proof can read
    UNREADABLE = "unreadable"  #: ends early, or is no such file at all
    NO_UNITS = "no-units"  #: the file does not say what its numbers count
    UNKNOWN_ENTITY = "unknown-entity"  #: something that the contract does not allow in a file
    NOT_FINITE = "not-finite"  #: a coordinate that is no number, or none that a sheet could have
    WRONG_SIZE_OF_SHEET = "wrong-size-of-sheet"  #: width and height are not the manifest's
    WRONG_SCALE = "wrong-scale"  #: everything is too large or too small by one factor
    MIRRORED = "mirrored"  #: left and right, or top and bottom, have changed places
    TURNED = "turned"  #: upside down
    DISPLACED = "displaced"  #: the whole part lies elsewhere than the manifest says
    OUTSIDE_SHEET = "outside-sheet"  #: something lies beyond the sheet's edge
    PARTS_OVERLAP = "parts-overlap"  #: two parts lie on one another
    PART_CUT_TWICE = "part-cut-twice"  #: the same part is on the sheets more than once
    MISSING_FEATURE = "missing-feature"  #: nothing in the file makes it
    EXTRA_ENTITY = "extra-entity"  #: something in the file that no feature asks for
    DOUBLED_LINE = "doubled-line"  #: the machine would run the same line twice
    WRONG_ID = "wrong-id"  #: a feature under another's name
    LOST_ID = "lost-id"  #: a feature without a name
    WRONG_OPERATION = "wrong-operation"  #: on another layer or in another group than the manifest says
    OPEN_CONTOUR = "open-contour"  #: what is to be cut out has a gap
    ARC_FLIPPED = "arc-flipped"  #: an arc bulges to the wrong side
    KERF_WRONG_SIDE = "kerf-wrong-side"  #: the path lies on the part's side of its finished contour
    KERF_NOT_APPLIED = "kerf-not-applied"  #: the path lies on the finished contour itself
    MOVED = "moved"  #: in the wrong place
    WRONG_SIZE = "wrong-size"  #: too wide, narrow, long or short
    WRONG_SHAPE = "wrong-shape"  #: the contour departs from the finished one
    OUTSIDE_PART = "outside-part"  #: lettering that runs off its part
    WRONG_TAG = "wrong-tag"  #: the tag in the file is not the manifest's


#: What is worth saying but makes no wrong part.
WARNINGS = frozenset({Fault.NO_UNITS, Fault.UNLISTED_FILE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is wrong, named.

    Attributes:
        fault: Its name.
        message: What was found and what was expected, as a sentence.
        file: Name of the file; the manifest's when it is no one file's fault.
        part: Name of the part, empty when it is no one part's.
        features: Ids of the features concerned.
    """

    fault: Fault
    message: str
    file: str = ""
    part: str = ""
    features: tuple[str, ...] = ()

    @property
    def is_warning(self) -> bool:
        """Whether the parts come out right all the same."""
        return self.fault in WARNINGS

    def __str__(self) -> str:
        place = " ".join(each for each in (self.file, self.part, _some(self.features)) if each)
        return f"{self.fault}: {place}: {self.message}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One number measured in a file, set against the manifest.

    Attributes:
        part: Name of the part.
        feature: Id of the feature.
        what: `position x`, `position y`, `width`, `length`, `contour` (its largest departure), `bounds` (of
            lettering, on the sheet) or `run` (length of all that the machine follows).
        nominal_mm: What the manifest asks for.
        measured_mm: What the file would make.
        tolerance_mm: Largest difference that passes.
        file: Where it was measured.
        cents: What the difference does to a fret's pitch, + is sharp; None for all but frets.
    """

    part: str
    feature: str
    what: str
    nominal_mm: float
    measured_mm: float
    tolerance_mm: float
    file: str
    cents: float | None = None

    @property
    def difference_mm(self) -> float:
        """Measured less nominal."""
        return self.measured_mm - self.nominal_mm

    @property
    def ok(self) -> bool:
        """Whether the difference is within tolerance."""
        return abs(self.difference_mm) <= self.tolerance_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """The proof of one job.

    Attributes:
        rows: All that was measured, file by file.
        findings: All that is wrong; empty for clean files.
    """

    rows: tuple[Row, ...]
    findings: tuple[Finding, ...]

    @property
    def worst(self) -> Row | None:
        """The row of a place or a size with the largest difference; None when nothing could be measured.

        A `run` is no such row: it sums up the rounding of all its pieces.
        """
        return _worst(self.rows)

    @property
    def ok(self) -> bool:
        """Whether something was measured and nothing is wrong but warnings."""
        return (
            bool(self.rows) and all(row.ok for row in self.rows) and all(f.is_warning for f in self.findings)
        )

    def text(self, *, every_row: bool = False) -> str:
        """Returns the report as lines of text.

        Args:
            every_row: Whether to print each row; else only a sum for each file and part, and the rows that fail.
        """
        lines = [*_table(_SUM_HEAD, [*_sums(self.rows)])]
        shown = [row for row in self.rows if every_row or not row.ok]
        if shown:
            lines += ["", *_table(_ROW_HEAD, [_cells(row) for row in shown])]
        if self.findings:
            lines += ["", *(str(finding) for finding in self.findings)]
        return "\n".join([*lines, "", self._verdict()])

    def _verdict(self) -> str:
        warnings = sum(finding.is_warning for finding in self.findings)
        faults = len(self.findings) - warnings
        worst = (
            f"largest difference {_mm(abs(self.worst.difference_mm))} mm"
            if self.worst
            else "nothing measured"
        )
        count = f"{faults} fault{'' if faults == 1 else 's'}" if faults else "no fault"
        more = f", {warnings} warning{'' if warnings == 1 else 's'}" if warnings else ""
        return (
            f"{'proved' if self.ok else 'NOT PROVED'}: {len(self.rows)} measurements, {worst}, {count}{more}"
        )

    def as_dict(self) -> dict[str, Any]:
        """Returns the report as plain dicts, lists, text and numbers, for JSON; lengths in mm, to a nanometre."""
        return {
            "schema": "jiggen-proof/1",
            "ok": self.ok,
            "worst_mm": round(abs(self.worst.difference_mm), 6) if self.worst else None,
            "rows": [
                {
                    "file": row.file,
                    "part": row.part,
                    "feature": row.feature,
                    "what": row.what,
                    "nominal_mm": round(row.nominal_mm, 6),
                    "measured_mm": round(row.measured_mm, 6),
                    "difference_mm": round(row.difference_mm, 6),
                    "tolerance_mm": round(row.tolerance_mm, 6),
                    "cents": None if row.cents is None else round(row.cents, 4),
                    "ok": row.ok,
                }
                for row in self.rows
            ],
            "findings": [
                {
                    "fault": str(finding.fault),
                    "warning": finding.is_warning,
                    "file": finding.file,
                    "part": finding.part,
                    "features": list(finding.features),
                    "message": finding.message,
                }
                for finding in self.findings
            ],
        }


_SUM_HEAD = ("file", "part", "measured", "fail", "worst mm", "where")
_ROW_HEAD = ("file", "part", "feature", "what", "nominal mm", "measured mm", "difference", "cents", "")


def _sums(rows: Sequence[Row]) -> Iterator[tuple[str, ...]]:
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.file, row.part), []).append(row)
    for (file, part), group in groups.items():
        worst = _worst(group) or group[0]
        failing = sum(not row.ok for row in group)
        yield (
            file,
            part,
            str(len(group)),
            str(failing),
            _mm(abs(worst.difference_mm)),
            f"{worst.feature} {worst.what}",
        )


def _worst(rows: Sequence[Row]) -> Row | None:
    places = (row for row in rows if row.what != "run")
    return max(places, key=lambda row: abs(row.difference_mm), default=None)


def _cells(row: Row) -> tuple[str, ...]:
    return (
        row.file,
        row.part,
        row.feature,
        row.what,
        _mm(row.nominal_mm),
        _mm(row.measured_mm),
        f"{row.difference_mm:+.4f}",
        "" if row.cents is None else f"{row.cents:+.3f}",
        "ok" if row.ok else "FAIL",
    )


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(len(row[column]) for row in (head, *rows)) for column in range(len(head))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in (head, *rows)
    ]


def _mm(mm: float) -> str:
    return f"{mm:.4f}"


def _some(features: Sequence[str]) -> str:
    most = 6
    rest = f" and {len(features) - most} more" if len(features) > most else ""
    return ", ".join(features[:most]) + rest


def gathered(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Returns the findings with those of the same fault, file, part and message made one, in order of appearance."""
    groups: dict[tuple[Fault, str, str, str], list[str]] = {}
    for finding in findings:
        key = (finding.fault, finding.file, finding.part, finding.message)
        groups.setdefault(key, []).extend(finding.features)
    return tuple(
        Finding(fault=fault, file=file, part=part, message=message, features=tuple(dict.fromkeys(features)))
        for (fault, file, part, message), features in groups.items()
    )
