"""Looks at one file of a sheet: finds what makes each feature, measures it, burns it, and names what is wrong."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jiggen.proof.burn import Fallen, Reach, burn
from jiggen.proof.curves import Curves, gather
from jiggen.proof.diagnose import diagnose, scale_message
from jiggen.proof.locate import locate, name_motion, scaled_by
from jiggen.proof.manifest import NAME
from jiggen.proof.maps import Motion, machine_scale, put_back
from jiggen.proof.match import Matched, match
from jiggen.proof.measure import Measured, measure
from jiggen.proof.nominal import STRAY, Nominal
from jiggen.proof.placing import Lying, beyond_the_sheet, meeting, nested, overlapping
from jiggen.proof.probes import Caliper
from jiggen.proof.report import WARNINGS, Fault, Finding, Row
from jiggen.proof.scoring import Scoring
from jiggen.proof.sequence import out_of_order
from jiggen.proof.trace import Reading
from jiggen.proof.wanted import WantedPart, WantedSheet

#: Two ends this near are joined when a contour is cut.
_JOINED_MM = 0.002
#: Faults of a part that leave its shape alone, so that they do not explain why the beam leaves another.
_SHAPELESS = frozenset(
    {
        *WARNINGS,
        Fault.WRONG_TAG,
        Fault.LOST_ID,
        Fault.WRONG_ID,
        Fault.DISPLACED,
        Fault.TURNED,
        Fault.WRONG_ORDER,
    }
)

_Located = dict[str, tuple[Motion, frozenset[int]]]


@dataclass(frozen=True, slots=True)
class Seen:
    """What one file holds.

    Attributes:
        rows: All that was measured.
        findings: All that is wrong.
        fallen: What falls out of the sheet, part by part.
    """

    rows: tuple[Row, ...]
    findings: tuple[Finding, ...]
    fallen: tuple[Fallen, ...] = ()


class SheetProof:
    """The proof of one sheet, for one file of it after the other.

    Args:
        sheet: What the files are to hold.
    """

    def __init__(self, sheet: WantedSheet) -> None:
        self.sheet = sheet

    @cached_property
    def nominal(self) -> Nominal:
        """What is to be there, laid out once for all files, in the process that looks at one first."""
        return Nominal(self.sheet)

    @cached_property
    def caliper(self) -> Caliper:
        """Where to measure it."""
        return Caliper(self.nominal)

    @cached_property
    def reach(self) -> Reach:
        """What a beam can make of it."""
        return Reach(self.nominal)

    @cached_property
    def meetings(self) -> tuple[tuple[Lying, Lying], ...]:
        """Which parts meet where they are to lie."""
        return meeting(self.sheet, self.nominal)

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with the sheet itself, as the manifest has it."""
        return (*self._unmeasurable(), *overlapping(self.meetings, self.sheet))

    def __reduce__(self) -> tuple[type["SheetProof"], tuple[WantedSheet]]:
        """Goes to another process as its sheet: all else is made anew more quickly than it is sent."""
        return SheetProof, (self.sheet,)

    def look(self, reading: Reading, name: str) -> Seen:
        """Returns what a file holds.

        Args:
            reading: Of the file.
            name: Of the file.
        """
        nominal = self.nominal
        scoring = Scoring(file=name)
        written = gather([[each.stroke] for each in reading.traced])
        matched, measured = self._measured(reading, written, scoring)
        wrong = list(self._misplaced(matched, measured))
        located: _Located = {}
        if wrong:
            made = self._made_by_name(reading) | self._made_in_place(matched, wrong)
            located = locate(nominal, written, made, wrong)
        there = {nominal.items[number].part.name for number in np.unique(matched.curves.owner).tolist()}
        lost = [part for part in wrong if part.name not in located and part.name not in there]
        if located:
            matched, measured = self._measured(reading, self._put_back(written, located), scoring)
        meetings = self.meetings
        if located:
            motions = {part: motion for part, (motion, _) in located.items()}
            meetings = meeting(self.sheet, nominal, motions)
        causes = list(diagnose(nominal, measured, name))
        scaled = {finding.part for finding in causes if finding.fault is Fault.WRONG_SCALE}
        bounds = matched.bounds
        if located:  # then what was measured had been put back to where it should lie
            places = written.owned(matched.made[written.owner])
            bounds = places.bounds(places.owner, len(nominal.items))
        findings = [
            *matched.findings,
            *self._open_contours(measured, name),
            *self._moved(located, name),
            *overlapping(
                [pair for pair in meetings if any(each.motion is not None for each in pair)],
                self.sheet,
                file=name,
            ),
            *out_of_order(nominal, reading.traced, matched.made, nested(meetings), name),
            *self._scaled(written, lost, name),
            *(
                each
                for each in beyond_the_sheet(self.sheet, nominal.items, bounds, name)
                if each.part not in scaled
            ),
            *causes,
        ]
        fallen = burn(self.sheet, nominal.items, matched.through)
        departures, holes = self.reach.departures(fallen)
        rows = [scoring.row(nominal.items[number], "as cut", 0.0, off) for number, off in departures.items()]
        findings += self._consequences(fallen, holes, rows, [*self.findings, *findings], name)
        return Seen((*measured.rows, *rows), tuple(findings), fallen)

    def _unmeasurable(self) -> Iterator[Finding]:
        for item in self.nominal.items:
            feature = item.feature
            wordless = feature.role == "lettering" and None in {feature.cut_bounds, feature.cut_length_mm}
            if wordless or (feature.role != "lettering" and not feature.finished):
                message = "the manifest does not say what it should be, so it was not measured"
                part, id = item.key
                yield Finding(fault=Fault.NOT_MEASURED, message=message, file=NAME, part=part, features=(id,))

    def _measured(self, reading: Reading, curves: Curves, scoring: Scoring) -> tuple[Matched, Measured]:
        matched = match(self.nominal, reading, curves, scoring.file)
        return matched, measure(self.caliper, matched, scoring)

    def _made_by_name(self, reading: Reading) -> dict[int, int]:
        numbers = {
            item.key: number for number, item in enumerate(self.nominal.items) if item.target == number
        }
        named = (numbers.get((each.part or "", each.feature or "")) for each in reading.traced)
        return {stroke: number for stroke, number in enumerate(named) if number is not None}

    def _made_in_place(self, matched: Matched, wrong: Sequence[WantedPart]) -> dict[int, int]:
        """Returns what each stroke makes of parts that lie where they should, where some lie in openings of others.

        These do not go along when the part round them is looked for by its outline.
        """
        if not self.meetings:
            return {}
        items, moved = self.nominal.items, {part.name for part in wrong}
        return {
            stroke: number
            for stroke, number in enumerate(matched.made.tolist())
            if number != STRAY and items[number].part.name not in moved
        }

    def _misplaced(self, matched: Matched, measured: Measured) -> Iterator[WantedPart]:
        """Yields the parts that may lie elsewhere as a whole: their outline is off or missing, or most features are."""
        failing = {(row.part, row.feature) for row in measured.rows if not row.ok}
        there = set(np.unique(matched.curves.owner).tolist())
        for part in self.sheet.parts:
            mine = [(number, item) for number, item in enumerate(self.nominal.items) if item.part is part]
            wrong = [item for number, item in mine if item.key in failing or item.target not in there]
            if 2 * len(wrong) > len(mine) or any(item.feature.role == "edge" for item in wrong):
                yield part

    def _put_back(self, curves: Curves, located: _Located) -> Curves:
        scale = machine_scale(self.sheet)
        if scale[0] != scale[1]:
            curves = curves.straightened()
        which = np.full(len(curves.owner), STRAY)
        for index, (_, strokes) in enumerate(located.values()):
            which[np.isin(curves.stroke, list(strokes))] = index
        return put_back(curves, [motion for motion, _ in located.values()], which, scale)

    def _moved(self, located: _Located, name: str) -> Iterator[Finding]:
        scale = machine_scale(self.sheet)
        for item in self.nominal.items:
            box = item.feature.cut_bounds
            if item.feature.role == "edge" and item.part.name in located and box is not None:
                middle = np.array([box[0] + box[2], box[1] + box[3]]) / 2.0 / scale
                fault, message = name_motion(located[item.part.name][0], middle)
                yield Finding(fault=fault, message=message, file=name, part=item.part.name)

    def _scaled(self, curves: Curves, lost: Sequence[WantedPart], name: str) -> Iterator[Finding]:
        """Yields what is wrong with a file in which nothing has its size."""
        factor = scaled_by(self.nominal, curves, lost) if lost else None
        if factor is not None:
            for part in lost:
                message = scale_message(factor, factor)
                yield Finding(fault=Fault.WRONG_SCALE, message=message, file=name, part=part.name)

    def _open_contours(self, measured: Measured, name: str) -> Iterator[Finding]:
        items = self.nominal.items
        for number in sorted(measured.open_items(items, _JOINED_MM)):
            part, feature = items[number].key
            message = "its contour does not close, so nothing falls out"
            yield Finding(
                fault=Fault.OPEN_CONTOUR, message=message, file=name, part=part, features=(feature,)
            )

    def _consequences(
        self,
        fallen: Sequence[Fallen],
        holes: Sequence[tuple[str, object]],
        rows: Sequence[Row],
        findings: Sequence[Finding],
        name: str,
    ) -> Iterator[Finding]:
        """Yields what comes of the cut that nothing so far has explained."""
        explained = {finding.part for finding in findings if finding.fault not in _SHAPELESS}
        if "" in explained or any(finding.fault is Fault.PARTS_OVERLAP for finding in findings):
            return  # something without a name, which may cut anything, or two parts that cut one another
        cut: dict[str, list[str]] = {}
        for row in rows:
            if not row.ok:
                cut.setdefault(row.part, []).append(row.feature)
        for part, _ in holes:
            cut.setdefault(part, [])
        for each in fallen:
            if each.part in explained:
                continue
            if not each.plates:
                message = "nothing falls out where it should"
                yield Finding(fault=Fault.NOT_FREE, message=message, file=name, part=each.part)
            elif len(each.plates) > 1:
                message = f"falls apart into {len(each.plates)} pieces"
                yield Finding(fault=Fault.FALLS_APART, message=message, file=name, part=each.part)
            elif each.part in cut:
                message = "what falls out has not its shape: another cut runs into it"
                features = tuple(cut[each.part])
                yield Finding(
                    fault=Fault.CUT_INTO, message=message, file=name, part=each.part, features=features
                )
