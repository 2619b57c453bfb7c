"""What the proof found: measured rows, findings, and whether all is well."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Verdict(StrEnum):
    """What a measured number comes to; the value is the word used in reports and JSON."""

    OK = "ok"  #: as written, to the file's last digits
    OFF = "off"  #: not as written, but a part that is off by as much still serves
    OUT = "OUT"  #: off by more than a part may be


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
    MIRRORED = "mirrored"  #: the whole part lies with its face down
    TURNED = "turned"  #: the whole part lies the other way round, or aslant
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
    CUT_INTO = "cut-into"  #: something cuts into the part where nothing should
    FALLS_APART = "falls-apart"  #: the part comes out in pieces
    NOT_FREE = "not-free"  #: the part stays in the sheet
    WRONG_ORDER = "wrong-order"  #: cut when it has come loose, or after the opening that it drops with
    TAB_CUT = "tab-cut"  #: a stretch that was to hold the part in the sheet is cut as well
    UNUSUAL = "unusual"  #: not as the contract has it, but read all the same
    OUTSIDE_PART = "outside-part"  #: lettering that runs off its part
    WRONG_TAG = "wrong-tag"  #: the tag in the file is not the manifest's


#: What is worth saying but makes no wrong part.
WARNINGS = frozenset({Fault.NO_UNITS, Fault.UNLISTED_FILE})
#: What other software may do to a file without making a wrong part; whether one that moved or changed its size still
#: serves is for its rows to say.
CHANGES = frozenset(
    {
        Fault.LOST_ID,
        Fault.WRONG_ID,
        Fault.WRONG_TAG,
        Fault.WRONG_SIZE_OF_SHEET,
        Fault.DISPLACED,
        Fault.TURNED,
        Fault.UNUSUAL,
        Fault.MOVED,
        Fault.WRONG_SIZE,
        Fault.WRONG_SHAPE,
    }
)


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
        what: `position x`, `position y`, `width`, `length`, `radius`, `contour` (its path's largest departure),
            `as cut` (the largest departure of what the beam leaves), `bounds` (of lettering) or `run` (length of
            all that the machine follows); of pieces put together `overlap`, `clearance`, `across x`, `across y` and
            `step`, see `proof.joined`.
        nominal_mm: What the manifest asks for.
        measured_mm: What the file would make.
        tolerance_mm: Largest difference that a file may have: what it says is exact to this.
        limit_mm: Largest difference with which a finished part still serves; None for what no part shows.
        file: Where it was measured.
        cents: What the difference does to a fret's pitch, + is sharp; None for all but frets.
    """

    part: str
    feature: str
    what: str
    nominal_mm: float
    measured_mm: float
    tolerance_mm: float
    limit_mm: float | None = None
    file: str
    cents: float | None = None

    @property
    def difference_mm(self) -> float:
        """Measured less nominal."""
        return self.measured_mm - self.nominal_mm

    @property
    def ok(self) -> bool:
        """Whether the file says what it should."""
        return abs(self.difference_mm) <= self.tolerance_mm

    @property
    def serves(self) -> bool:
        """Whether a part that is off by as much still serves."""
        return self.ok or self.limit_mm is None or abs(self.difference_mm) <= self.limit_mm

    @property
    def verdict(self) -> Verdict:
        """What it comes to."""
        return Verdict.OK if self.ok else Verdict.OFF if self.serves else Verdict.OUT


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """The proof of one job.

    Attributes:
        rows: All that was measured, file by file.
        findings: All that is wrong; empty for clean files.
        edited: Whether it is of a file that was edited elsewhere, which need not be as written, if only its parts serve.
    """

    rows: tuple[Row, ...]
    findings: tuple[Finding, ...]
    edited: bool = False

    @property
    def worst(self) -> Row | None:
        """The row of a place or a size with the largest difference; None when nothing could be measured.

        A `run` is no such row, since it sums up the rounding of all its pieces; nor are `as cut`, `overlap` and
        `clearance`, which are taken from chords that lie up to a micrometre off their arcs.
        """
        return _worst(self.rows)

    @property
    def ok(self) -> bool:
        """Whether something was measured and nothing is wrong but warnings."""
        right = all(row.serves if self.edited else row.ok for row in self.rows)
        return bool(self.rows) and right and not self.faults

    @property
    def faults(self) -> tuple[Finding, ...]:
        """The findings that make a wrong part, or a file that cannot be trusted."""
        harmless = WARNINGS | CHANGES if self.edited else WARNINGS
        return tuple(finding for finding in self.findings if finding.fault not in harmless)

    def text(self, *, every_row: bool = False) -> str:
        """Returns the report as lines of text.

        Args:
            every_row: Whether to print each row; else only a sum for each file and part, and the rows that fail.
        """
        lines = [*_table(_SUM_HEAD, [*_sums(self.rows)])]
        shown = [row for row in self.rows if every_row or not row.ok]
        if shown:
            lines += ["", *_table(_ROW_HEAD, [_cells(row) for row in shown])]
        faults = self.faults
        harmless = [finding for finding in self.findings if finding not in faults]
        lines += ["", *map(str, faults)] if faults else []
        lines += ["", "changed:" if self.edited else "warnings:", *map(str, harmless)] if harmless else []
        return "\n".join([*lines, "", self.verdict()])

    def verdict(self) -> str:
        """Returns in one line whether all is well."""
        faults = len(self.faults)
        harmless = len(self.findings) - faults
        out = sum(not row.serves for row in self.rows)
        worst = (
            f"largest difference {_mm(abs(self.worst.difference_mm))} mm"
            if self.worst
            else "nothing measured"
        )
        word = "change" if self.edited else "warning"
        if self.edited:
            head = "the parts serve" if self.ok else "THE PARTS DO NOT SERVE"
        else:
            head = "proved" if self.ok else "NOT PROVED"
        parts = [f"{head}: {_count(len(self.rows), 'measurement')}", worst]
        parts += [f"{out} out of tolerance"] if out else []
        parts += [_count(faults, "fault")] + ([_count(harmless, word)] if harmless else [])
        return ", ".join(parts)

    def summary(self) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
        """Returns head and rows of a short table: what was measured in each file of each part, and how it came out."""
        head = ("file", "part", "measured", "worst, mm", "where")
        rows = ((row[0], row[1], row[2], row[5], row[6]) for row in _sums(self.rows))
        return head, tuple(rows)

    def as_dict(self) -> dict[str, Any]:
        """Returns the report as plain dicts, lists, text and numbers, for JSON; lengths in mm, to a nanometre."""
        faults = self.faults
        return {
            "schema": "jiggen-proof/1",
            "ok": self.ok,
            "edited": self.edited,
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
                    "limit_mm": None if row.limit_mm is None else round(row.limit_mm, 6),
                    "cents": None if row.cents is None else round(row.cents, 4),
                    "verdict": str(row.verdict),
                }
                for row in self.rows
            ],
            "findings": [
                {
                    "fault": str(finding.fault),
                    "harmless": finding not in faults,
                    "file": finding.file,
                    "part": finding.part,
                    "features": list(finding.features),
                    "message": finding.message,
                }
                for finding in self.findings
            ],
        }


_SUM_HEAD = ("file", "part", "measured", "off", "out", "worst mm", "where")
_ROW_HEAD = (
    "file",
    "part",
    "feature",
    "what",
    "nominal mm",
    "measured mm",
    "difference",
    "cents",
    "allowed",
    "",
)


def _sums(rows: Sequence[Row]) -> Iterator[tuple[str, ...]]:
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.file, row.part), []).append(row)
    for (file, part), group in groups.items():
        worst = _worst(group) or group[0]
        verdicts = [row.verdict for row in group]
        yield (
            file,
            part,
            str(len(group)),
            str(verdicts.count(Verdict.OFF)),
            str(verdicts.count(Verdict.OUT)),
            _mm(abs(worst.difference_mm)),
            f"{worst.feature} {worst.what}",
        )


#: Rows that are no place and no size, or are taken from chords.
_FROM_CHORDS = frozenset({"run", "as cut", "overlap", "clearance"})


def _worst(rows: Sequence[Row]) -> Row | None:
    places = (row for row in rows if row.what not in _FROM_CHORDS)
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
        "" if row.limit_mm is None else f"± {row.limit_mm:.2f}",
        row.verdict,
    )


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(len(row[column]) for row in (head, *rows)) for column in range(len(head))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in (head, *rows)
    ]


def _count(number: int, what: str) -> str:
    return f"{number or 'no'} {what}{'' if number < 2 else 's'}"


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
