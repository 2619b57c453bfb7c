"""Finds each feature of the manifest in a file again, and says what is missing, too much or under another name."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jiggen.errors import quoted
from jiggen.proof.by_shape import adopt
from jiggen.proof.curves import Curves, Flags, Floats, Ints, united
from jiggen.proof.nominal import CUT_THROUGH, STRAY, Item, Nominal
from jiggen.proof.pieces import Bounds
from jiggen.proof.report import Fault, Finding
from jiggen.proof.trace import Reading

#: Two boxes this near are those of the same thing: far below a saw's width, far above rounding.
SAME_PLACE_MM = 0.05
#: Two strokes this near are one line run twice.
_DOUBLED_MM = 0.01


@dataclass(frozen=True, slots=True)
class Matched:
    """What makes each feature.

    Attributes:
        curves: The paths on the sheet; their owners are the numbers of the items that they make.
        through: Those that the machine cuts through; strays among them are owned by `STRAY`.
        made: (strokes,) the item that each stroke of the file makes, or `STRAY`.
        bounds: (n, 4) of each item's paths on the sheet; NaN where it has none.
        run_mm: (n,) how long they are together.
        findings: What was wrong with that.
    """

    curves: Curves
    through: Curves
    made: Ints
    bounds: Floats
    run_mm: Floats
    findings: tuple[Finding, ...]


def match(nominal: Nominal, reading: Reading, curves: Curves, file: str) -> Matched:
    """Returns what makes each feature.

    Args:
        nominal: Of one sheet.
        reading: Of one of its files.
        curves: Its strokes, on the sheet; owners and strokes both count the things that were read.
        file: Its name, for findings.
    """
    return _Matching(nominal, reading, curves, file).run()


class _Matching:
    def __init__(self, nominal: Nominal, reading: Reading, curves: Curves, file: str) -> None:
        self.nominal = nominal
        self.wanted = [item for number, item in enumerate(nominal.items) if item.target == number]
        self.traced = reading.traced
        self.file = file
        self.excused = {
            (finding.part, id)
            for finding in reading.findings
            if finding.fault in {Fault.NOT_FINITE, Fault.UNKNOWN_ENTITY}
            for id in finding.features
        }
        self.findings: list[Finding] = []
        self.curves = curves
        self.bounds = self.curves.bounds(self.curves.owner, len(self.traced))
        self.lengths = np.bincount(
            self.curves.owner, weights=self.curves.lengths(), minlength=len(self.traced)
        )
        self.repeated = _repeated(self.curves, self.bounds, [each.part is not None for each in self.traced])

    def run(self) -> Matched:
        numbers = {item.key: number for number, item in enumerate(self.wanted)}
        found: list[list[int]] = [[] for _ in self.wanted]
        strays: list[int] = []
        empty: list[bool] = np.isnan(self.bounds[:, 0]).tolist()
        for index, each in enumerate(self.traced):
            number = numbers.get((each.part or "", each.feature or ""))
            if empty[index]:
                self._find(Fault.EXTRA_ENTITY, f"{each.where} has no length", each.part, each.feature)
            elif index in self.repeated:
                named = each if each.part else self.traced[self.repeated[index]]
                self._find(
                    Fault.DOUBLED_LINE, "the same line stands twice in the file", named.part, named.feature
                )
            elif number is None:
                strays.append(index)
            else:
                found[number].append(index)
        self._set_surplus_aside(found)
        if strays:
            strays = self._adopt(found, strays)
        self._name_strays(strays)
        for item, indices in zip(self.wanted, found, strict=True):
            if not indices and item.key not in self.excused:
                self._find(Fault.MISSING_FEATURE, "nothing in the file makes it", *item.key)
            self._check_operation(item, indices)
        made = np.full(len(self.traced), STRAY)
        for number, indices in enumerate(found):
            made[indices] = number
        used = np.argsort(made, kind="stable")[np.count_nonzero(made == STRAY) :]
        count = len(self.nominal.items)
        return Matched(
            curves=self.curves.owned(made[self.curves.owner]),
            through=self._through(made),
            made=made,
            bounds=united(self.bounds[used], made[used], count),
            run_mm=np.asarray(
                np.bincount(made[used], weights=self.lengths[used], minlength=count), dtype=np.float64
            ),
            findings=tuple(self.findings),
        )

    def _through(self, made: Ints) -> Curves:
        """Returns what the machine cuts through: what lies on such a layer, or on one that it does not know."""
        layers = {item.feature.operation: item.feature.role in CUT_THROUGH for item in self.wanted}
        cut = [
            layers.get(each.operation, number != STRAY and self.wanted[number].feature.role in CUT_THROUGH)
            for each, number in zip(self.traced, made.tolist(), strict=True)
        ]
        mine = self.curves.take(np.array(cut, dtype=np.bool_)[self.curves.owner])
        owner = made[mine.owner]
        order = np.argsort(owner, kind="stable")
        return Curves(mine.start[order], mine.end[order], mine.bulge[order], owner[order], mine.stroke[order])

    def _find(self, fault: Fault, message: str, part: str | None, feature: str | None) -> None:
        features = (feature,) if feature else ()
        self.findings.append(
            Finding(fault=fault, message=message, file=self.file, part=part or "", features=features)
        )

    def _check_operation(self, item: Item, indices: Sequence[int]) -> None:
        for operation in sorted(
            {self.traced[index].operation for index in indices} - {item.feature.operation}
        ):
            message = f"lies on {quoted(operation)}, the manifest says {quoted(item.feature.operation or '')}"
            self._find(Fault.WRONG_OPERATION, message, *item.key)

    def _set_surplus_aside(self, found: list[list[int]]) -> None:
        """Takes out what stands beside a feature that is whole without it: a second copy somewhere else."""
        surplus: dict[str, list[tuple[Item, int]]] = {}
        for item, indices in zip(self.wanted, found, strict=True):
            if item.feature.cut_bounds is None or len(indices) < 2:
                continue
            within = _within(self.bounds[indices], item.feature.cut_bounds)
            if within.all() or not within.any():
                continue
            kept = [index for index, inside in zip(indices, within, strict=True) if inside]
            if _same(_union(self.bounds[kept]), item.feature.cut_bounds) and self._is_whole(item, kept):
                for index in sorted(set(indices) - set(kept)):
                    surplus.setdefault(item.part.name, []).append((item, index))
                indices[:] = kept
        for part, copies in surplus.items():
            if any(item.feature.role == "edge" and self._is_copy(item, index) for item, index in copies):
                self._find(Fault.PART_CUT_TWICE, "a second copy of it lies on the sheet", part, None)
            else:
                for item, _ in copies:
                    self._find(Fault.EXTRA_ENTITY, "stands once more in another place", *item.key)

    def _is_whole(self, item: Item, indices: Sequence[int]) -> bool:
        wanted = item.feature.cut_length_mm
        return wanted is None or abs(float(self.lengths[indices].sum()) - wanted) <= SAME_PLACE_MM

    def _is_copy(self, item: Item, index: int) -> bool:
        box, wanted = self.bounds[index], item.feature.cut_bounds
        if wanted is None:
            return False
        sides = (box[2] - box[0], box[3] - box[1])
        expected = (wanted[2] - wanted[0], wanted[3] - wanted[1])
        return bool(np.allclose(sorted(sides), sorted(expected), rtol=0.0, atol=SAME_PLACE_MM))

    def _adopt(self, found: list[list[int]], strays: list[int]) -> list[int]:
        """Gives to each missing feature what makes it under another name or none; returns the strays that are left."""
        missing = [number for number, indices in enumerate(found) if self._lacks(number, indices)]
        operations = [each.operation for each in self.traced]
        adopted = adopt(self.nominal, self.curves, operations, missing, np.array(strays))
        for stroke, number in sorted(adopted.items()):
            found[number].append(stroke)
        for number in missing:
            own = self.wanted[number].key
            taken = [index for index in found[number] if adopted.get(index) == number]
            names = sorted(
                {label for index in taken if (label := self._label(index)) and label != ".".join(own)}
            )
            if names:
                message = f"stands in the file under the name {', '.join(names)}"
                self._find(Fault.WRONG_ID, message, *own)
            elif taken:
                self._find(Fault.LOST_ID, "stands in the file without a name", *own)
        return [index for index in strays if index not in adopted]

    def _lacks(self, number: int, indices: Sequence[int]) -> bool:
        """Tells whether some or all of an item is not there under its name."""
        wanted = self.wanted[number].feature.cut_length_mm
        return not indices or (
            wanted is not None and float(self.lengths[indices].sum()) < wanted - SAME_PLACE_MM
        )

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


def _repeated(curves: Curves, bounds: Floats, named: Sequence[bool]) -> dict[int, int]:
    """Returns the numbers of the strokes that run where another runs, in whichever direction, with its number.

    Of strokes that run alike the first one with a name stays, or the first where none has one.

    Args:
        curves: All strokes; owners and strokes both count them.
        bounds: (n, 4) of each.
        named: Whether each has a name.
    """
    _, box, count = np.unique(_cells(np.nan_to_num(bounds)), axis=0, return_inverse=True, return_counts=True)
    alike = np.flatnonzero(count[box.ravel()] > 1)  # only these can lie on one another
    pieces = curves.take(np.isin(curves.owner, alike))
    cells = _cells(pieces.at(np.array([0.0, 0.5, 1.0])))
    codes = (cells[:, :, 0] * 2**31 + cells[:, :, 1]).tolist()
    runs: dict[int, set[int]] = {}
    for owner, code in zip(pieces.owner.tolist(), codes, strict=True):
        runs.setdefault(owner, set()).update(code)
    alike_runs: dict[frozenset[int], list[int]] = {}
    for number, run in runs.items():
        alike_runs.setdefault(frozenset(run), []).append(number)
    return {
        number: stays
        for numbers in alike_runs.values()
        for stays in [min(numbers, key=lambda each: (not named[each], each))]
        for number in numbers
        if number != stays
    }


def _cells(places: Floats) -> Ints:
    """Returns the cells of a fine grid that places lie in, so that no round number falls between two of them."""
    return np.rint(places / _DOUBLED_MM + 0.3717).astype(np.int64)


def _within(bounds: Floats, wanted: Bounds) -> Flags:
    """Tells of each box (n, 4) whether it lies inside the one wanted."""
    low, high = np.array(wanted[:2]) - SAME_PLACE_MM, np.array(wanted[2:]) + SAME_PLACE_MM
    return np.asarray((bounds[:, :2] >= low).all(axis=1) & (bounds[:, 2:] <= high).all(axis=1))


def _union(bounds: Floats) -> Floats:
    return np.concatenate([bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)])


def _same(bounds: Floats, wanted: Bounds) -> bool:
    return bool(np.all(np.abs(bounds - np.array(wanted)) <= SAME_PLACE_MM))
