"""Finds each feature of the manifest in a file again, and says what is missing, too much or under another name."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jiggen.errors import quoted
from jiggen.proof.curves import Curves, Flags, Floats, gather
from jiggen.proof.manifest import Bounds, Wanted, WantedPart, WantedSheet
from jiggen.proof.report import Fault, Finding
from jiggen.proof.trace import Reading

#: Two boxes this near are those of the same thing: far below a saw's width, far above rounding.
SAME_PLACE_MM = 0.05
#: Two strokes this near are one line run twice.
_DOUBLED_MM = 0.01


@dataclass(frozen=True, slots=True)
class Cut:
    """A feature that is cut on its own, and its part."""

    part: WantedPart
    feature: Wanted

    @property
    def key(self) -> tuple[str, str]:
        """Names of the part and the feature."""
        return self.part.name, self.feature.id


@dataclass(frozen=True, slots=True)
class Matched:
    """What makes each feature.

    Attributes:
        curves: The paths on the sheet; their owners are the numbers of the cuts that they make.
        findings: What was wrong with that.
    """

    curves: Curves
    findings: tuple[Finding, ...]


def cuts(sheet: WantedSheet) -> tuple[Cut, ...]:
    """Returns the features of a sheet that are cut on their own."""
    return tuple(
        Cut(part, feature)
        for part in sheet.parts
        for feature in part.features
        if feature.operation is not None
    )


def match(wanted: Sequence[Cut], reading: Reading, file: str) -> Matched:
    """Returns what makes each feature.

    Args:
        wanted: Of one sheet.
        reading: Of one of its files.
        file: Its name, for findings.
    """
    return _Matching(wanted, reading, file).run()


class _Matching:
    def __init__(self, wanted: Sequence[Cut], reading: Reading, file: str) -> None:
        self.wanted = wanted
        self.traced = reading.traced
        self.file = file
        self.excused = {(finding.part, id) for finding in reading.findings for id in finding.features}
        self.findings: list[Finding] = []
        self.curves = gather([[each.stroke] for each in self.traced])
        self.bounds = self.curves.bounds(self.curves.owner, len(self.traced))
        self.lengths = np.bincount(
            self.curves.owner, weights=self.curves.lengths(), minlength=len(self.traced)
        )
        self.repeated = _repeated(self.curves, len(self.traced))

    def run(self) -> Matched:
        numbers = {cut.key: number for number, cut in enumerate(self.wanted)}
        found: list[list[int]] = [[] for _ in self.wanted]
        strays: list[int] = []
        for index, each in enumerate(self.traced):
            number = numbers.get((each.part or "", each.feature or ""))
            if np.isnan(self.bounds[index]).any():
                self._find(Fault.EXTRA_ENTITY, f"{each.where} has no length", each.part, each.feature)
            elif index in self.repeated:
                self._find(
                    Fault.DOUBLED_LINE, "the same line stands twice in the file", each.part, each.feature
                )
            elif number is None:
                strays.append(index)
            else:
                found[number].append(index)
        self._set_surplus_aside(found)
        strays = self._adopt(found, strays)
        self._name_strays(strays)
        for cut, indices in zip(self.wanted, found, strict=True):
            if not indices and cut.key not in self.excused:
                self._find(Fault.MISSING_FEATURE, "nothing in the file makes it", *cut.key)
            self._check_operation(cut, indices)
        makes = np.full(len(self.traced), -1)
        for number, indices in enumerate(found):
            makes[indices] = number
        return Matched(self.curves.owned(makes[self.curves.owner]), tuple(self.findings))

    def _find(self, fault: Fault, message: str, part: str | None, feature: str | None) -> None:
        features = (feature,) if feature else ()
        self.findings.append(
            Finding(fault=fault, message=message, file=self.file, part=part or "", features=features)
        )

    def _check_operation(self, cut: Cut, indices: Sequence[int]) -> None:
        for operation in sorted(
            {self.traced[index].operation for index in indices} - {cut.feature.operation}
        ):
            message = f"lies on {quoted(operation)}, the manifest says {quoted(cut.feature.operation or '')}"
            self._find(Fault.WRONG_OPERATION, message, *cut.key)

    def _set_surplus_aside(self, found: list[list[int]]) -> None:
        """Takes out what stands beside a feature that is whole without it: a second copy somewhere else."""
        surplus: dict[str, list[tuple[Cut, int]]] = {}
        for cut, indices in zip(self.wanted, found, strict=True):
            if cut.feature.cut_bounds is None or len(indices) < 2:
                continue
            within = _within(self.bounds[indices], cut.feature.cut_bounds)
            if within.all() or not within.any():
                continue
            kept = [index for index, inside in zip(indices, within, strict=True) if inside]
            if _same(_union(self.bounds[kept]), cut.feature.cut_bounds) and self._is_whole(cut, kept):
                for index in sorted(set(indices) - set(kept)):
                    surplus.setdefault(cut.part.name, []).append((cut, index))
                indices[:] = kept
        for part, copies in surplus.items():
            if any(cut.feature.role == "edge" and self._is_copy(cut, index) for cut, index in copies):
                self._find(Fault.PART_CUT_TWICE, "a second copy of it lies on the sheet", part, None)
            else:
                for cut, _ in copies:
                    self._find(Fault.EXTRA_ENTITY, "stands once more in another place", *cut.key)

    def _is_whole(self, cut: Cut, indices: Sequence[int]) -> bool:
        wanted = cut.feature.cut_length_mm
        return wanted is None or abs(float(self.lengths[indices].sum()) - wanted) <= SAME_PLACE_MM

    def _is_copy(self, cut: Cut, index: int) -> bool:
        box, wanted = self.bounds[index], cut.feature.cut_bounds
        if wanted is None:
            return False
        sides = (box[2] - box[0], box[3] - box[1])
        expected = (wanted[2] - wanted[0], wanted[3] - wanted[1])
        return bool(np.allclose(sorted(sides), sorted(expected), rtol=0.0, atol=SAME_PLACE_MM))

    def _adopt(self, found: list[list[int]], strays: list[int]) -> list[int]:
        """Gives to each missing feature the unnamed things that lie just where it should; returns the rest."""
        left = list(strays)
        for cut, indices in zip(self.wanted, found, strict=True):
            if indices or cut.feature.cut_bounds is None or not left:
                continue
            within = _within(self.bounds[left], cut.feature.cut_bounds)
            inside = [index for index, is_in in zip(left, within, strict=True) if is_in]
            if not inside or not _same(_union(self.bounds[inside]), cut.feature.cut_bounds):
                continue
            indices[:] = inside
            left = [index for index in left if index not in set(inside)]
            names = sorted({self._label(index) for index in inside if self._label(index)})
            if names:
                self._find(Fault.WRONG_ID, f"stands in the file under the name {', '.join(names)}", *cut.key)
            else:
                self._find(Fault.LOST_ID, "stands in the file without a name", *cut.key)
        return left

    def _label(self, index: int) -> str:
        each = self.traced[index]
        return ".".join(name for name in (each.part, each.feature) if name)

    def _name_strays(self, strays: Sequence[int]) -> None:
        groups: dict[str, list[int]] = {}
        for index in strays:
            groups.setdefault(self._label(index), []).append(index)
        for label, indices in groups.items():
            first = self.traced[indices[0]]
            x, y = first.stroke.points[0]
            named = f"{quoted(label)} is no feature to be cut" if label else "something without a name"
            more = f", and {len(indices) - 1} more like it" if len(indices) > 1 else ""
            message = f"{named}, {first.where} at ({x:.3f}, {y:.3f}){more}"
            self._find(Fault.EXTRA_ENTITY, message, first.part, first.feature)


def _repeated(curves: Curves, count: int) -> set[int]:
    """Returns the numbers of the strokes that run where an earlier one ran, in whichever direction."""
    places = curves.at(np.array([0.0, 0.5, 1.0]))
    grid = np.rint(places / _DOUBLED_MM + 0.3717).astype(
        np.int64
    )  # so that no round number falls between cells
    codes = (grid[:, :, 0] * 2**31 + grid[:, :, 1]).tolist()
    runs: list[set[int]] = [set() for _ in range(count)]
    for owner, code in zip(curves.owner.tolist(), codes, strict=True):
        runs[owner].update(code)
    seen: set[frozenset[int]] = set()
    repeated: set[int] = set()
    for number, run in enumerate(map(frozenset, runs)):
        if run and run in seen:
            repeated.add(number)
        seen.add(run)
    return repeated


def _within(bounds: Floats, wanted: Bounds) -> Flags:
    """Tells of each box (n, 4) whether it lies inside the one wanted."""
    low, high = np.array(wanted[:2]) - SAME_PLACE_MM, np.array(wanted[2:]) + SAME_PLACE_MM
    return np.asarray((bounds[:, :2] >= low).all(axis=1) & (bounds[:, 2:] <= high).all(axis=1))


def _union(bounds: Floats) -> Floats:
    return np.concatenate([bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)])


def _same(bounds: Floats, wanted: Bounds) -> bool:
    return bool(np.all(np.abs(bounds - np.array(wanted)) <= SAME_PLACE_MM))
