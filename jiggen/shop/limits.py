"""What a machine and a sheet can take: every part is checked before anything is written. Millimetres, finished size.

Errors stop the run. Warnings do not; `--allow` says that one has been seen. Either is a `Finding` with a name.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType

from jiggen.errors import InputError, LimitError, did_you_mean, named
from jiggen.geometry.point import Point


class Severity(StrEnum):
    """What a finding does to the run."""

    ERROR = "error"  #: nothing is written
    WARNING = "warning"  #: it is said


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One rule.

    Attributes:
        name: As typed after `--allow`.
        severity: Of its findings.
        about: What is wrong when it is broken, as a phrase.
        mend: What to do about it.
    """

    name: str
    severity: Severity
    about: str
    mend: str


def _limits() -> Iterator[Limit]:
    rows = (
        (
            "thin-web",
            Severity.ERROR,
            "too little of the sheet is left to hold together",
            "Move the two apart",
        ),
        (
            "narrow-web",
            Severity.WARNING,
            "less than half the sheet's thickness is left, which breaks easily",
            "Move the two apart, or handle it with care",
        ),
        (
            "contours-touch",
            Severity.ERROR,
            "two cuts meet, so that something falls out that should not",
            "Move them apart, or make them one",
        ),
        (
            "inside-opening",
            Severity.ERROR,
            "it lies in an opening and falls out with it",
            "Move it onto the part",
        ),
        (
            "mark-in-opening",
            Severity.WARNING,
            "a line or lettering runs into an opening, where there is nothing to mark",
            "Move it onto the part",
        ),
        ("outside-part", Severity.ERROR, "it runs off the part", "Move it onto the part"),
        ("sliver", Severity.WARNING, "a thin strip of the sheet is left", "Widen it, or cut it away"),
        (
            "small-hole",
            Severity.ERROR,
            "the hole is smaller than the machine can make",
            "Use a larger hole, or a machine with a finer tool",
        ),
        (
            "hole-under-thickness",
            Severity.WARNING,
            "the hole is narrower than the sheet is thick, so that it tapers and may not come free",
            "Try it on a coupon first, or use a larger pin",
        ),
        (
            "single-pass",
            Severity.WARNING,
            "the slot is hardly wider than the kerf, so it is cut in one pass and comes out as wide as that",
            "Measure it before use; a wider slot is cut along both sides",
        ),
        (
            "inside-radius",
            Severity.WARNING,
            "the tool cannot get into an inside corner, which stays round",
            "File it square, or round what goes in",
        ),
        (
            "small-lettering",
            Severity.WARNING,
            "capitals are lower than can be read well",
            "Letter larger, or expect to guess",
        ),
        (
            "line-gap",
            Severity.WARNING,
            "two lines run so near each other that they burn into one",
            "Leave one of them out",
        ),
        (
            "doubled-line",
            Severity.WARNING,
            "a line is scored twice, which burns deeper",
            "Leave one of them out",
        ),
        ("cut-twice", Severity.ERROR, "the same stretch is cut twice, which burns", "Leave one of them out"),
        ("open-contour", Severity.ERROR, "a cut does not close, so that nothing falls out", "Join its ends"),
        ("sheet-edge", Severity.ERROR, "it lies too near the edge of the sheet", "Use a larger sheet"),
        ("part-gap", Severity.ERROR, "two parts lie too near each other", "Use a larger sheet"),
    )
    return (
        Limit(name=name, severity=severity, about=about, mend=mend) for name, severity, about, mend in rows
    )


#: Every rule by its name, in the order of the list in README.
LIMITS = MappingProxyType({limit.name: limit for limit in _limits()})


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One place where a rule is broken.

    Attributes:
        name: Of the rule.
        part: Name of the part.
        feature: Id of the feature.
        other: Id of the other feature concerned, or the name of the other part; empty when there is none.
        measured_mm: What was found there; None where it is no number.
        limit_mm: What the rule asks for; None likewise.
        at: Where, in part coordinates.
        allowed: Whether the maker said that it may be.
    """

    name: str
    part: str
    feature: str
    other: str = ""
    measured_mm: float | None = None
    limit_mm: float | None = None
    at: Point
    allowed: bool = False

    @property
    def limit(self) -> Limit:
        """The rule."""
        return LIMITS[self.name]

    @property
    def severity(self) -> Severity:
        """What it does to the run."""
        return self.limit.severity

    @property
    def where(self) -> str:
        """Which place of which part, in words."""
        return f"part {self.part}, feature {self.concerns}"

    @property
    def concerns(self) -> str:
        """Which feature, and which other."""
        return f"{self.feature} and {self.other}" if self.other else self.feature

    @property
    def got(self) -> str:
        """What was found, in words."""
        size = "" if self.measured_mm is None else f"{self.measured_mm:.2f} mm "
        return f"{size}at ({self.at.x:.1f}, {self.at.y:.1f}): {self.limit.about}"

    @property
    def expected(self) -> str:
        """What the rule asks for, in words."""
        return "none of that" if self.limit_mm is None else f"at least {self.limit_mm:.2f} mm"

    def __str__(self) -> str:
        return f"{self.severity} {self.name}: {self.where}: {self.got}; expected {self.expected}. {self.limit.mend}."


def told(findings: Sequence[Finding]) -> Iterator[str]:
    """Yields findings as sentences, those that are alike but for their feature in one."""
    groups: dict[tuple[str, str, str, str], list[Finding]] = {}
    for each in findings:
        size = "" if each.measured_mm is None else f"{each.measured_mm:.2f}"
        groups.setdefault((each.name, each.part, each.expected, size), []).append(each)
    for alike in groups.values():
        first = alike[0]
        if len(alike) == 1:
            yield str(first)
            continue
        features = named([each.concerns for each in alike])
        size = "" if first.measured_mm is None else f"{first.measured_mm:.2f} mm: "
        yield (
            f"{first.severity} {first.name}: part {first.part}, features {features}: {size}{first.limit.about};"
            f" expected {first.expected}. {first.limit.mend}."
        )


def allowed(findings: Sequence[Finding], names: Sequence[str], *, where: str) -> tuple[Finding, ...]:
    """Returns the findings with those of some names marked as allowed.

    Args:
        findings: In any order.
        names: Of warnings, as typed.
        where: The place that names them, for errors.

    Raises:
        InputError: If a name is not known, or that of an error.
    """
    warnings = [name for name, limit in LIMITS.items() if limit.severity is Severity.WARNING]
    for name in names:
        if name not in warnings:
            got = f"{name}, which is an error" if name in LIMITS else repr(name)
            mend = "" if name in LIMITS else did_you_mean(name, warnings)
            raise InputError(
                where=where, got=got, expected=f"the name of a warning: {', '.join(warnings)}", mend=mend
            )
    return tuple(replace(finding, allowed=True) if finding.name in names else finding for finding in findings)


def errors_of(findings: Sequence[Finding]) -> tuple[LimitError, ...]:
    """Returns what must be mended before anything is written."""
    return tuple(
        LimitError(where=each.where, got=each.got, expected=each.expected, mend=each.limit.mend)
        for each in findings
        if each.severity is Severity.ERROR
    )
