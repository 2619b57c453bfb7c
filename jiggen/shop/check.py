"""Checks a part, as it will be and as it is cut, against every rule of `shop.limits`. Millimetres."""

from collections.abc import Iterator, Sequence

from jiggen.geometry.measure import bounds
from jiggen.geometry.nearness import holders, near_pairs, outside, runs_alongside, thin_places, touching
from jiggen.geometry.path import as_circle
from jiggen.geometry.point import Point
from jiggen.geometry.relief import tightest_hollow
from jiggen.parts.model import Feature, Role
from jiggen.shop.limits import Finding
from jiggen.shop.model import CutPart
from jiggen.shop.workshop import Workshop

#: Cuts nearer than this, in mm, meet; lines this near are one line run twice.
_ONE_PLACE = 0.01
#: What an opening lies in that lies in no other.
_PLATE = -1
#: Lines that run side by side for less than this, in mm, do no harm.
_LEAST_RUN = 1.0
#: A rule is broken only by more than this, in mm.
_SLACK = 1e-6


def check_part(cut_part: CutPart, workshop: Workshop) -> tuple[Finding, ...]:
    """Returns where a part breaks a rule, rule by rule."""
    return tuple(_Check(cut_part, workshop).run())


class _Check:
    def __init__(self, cut_part: CutPart, workshop: Workshop) -> None:
        self.part = cut_part.part
        self.cut = cut_part.features
        self.machine = workshop.machine
        self.thickness = 0.0 if workshop.is_paper else workshop.material.thickness_mm
        self.tool_radius = self.machine.smallest_inside_radius_mm
        own = [each.feature for each in self.cut]
        self.through = [each for each in own if each.role in {Role.EDGE, Role.OPENING}]
        self.openings = [each for each in own if each.role is Role.OPENING]
        self.lines = [each for each in own if each.role is Role.LINE]
        self.marks = [each for each in own if each.role in {Role.LINE, Role.LETTERING}]
        self.contours = [(each, path) for each in self.openings for path in each.paths]
        #: For each of them what it lies in: `_PLATE`, the number of another, or nothing.
        self.holders = [
            None if holder is None else holder - 1
            for holder in holders([self.part.outline, *(path for _, path in self.contours)])[1:]
        ]

    def run(self) -> Iterator[Finding]:
        yield from self._open_contours()
        webs = tuple(self._webs())
        yield from webs
        yield from self._slivers(webs)
        yield from self._in_and_out()
        yield from self._holes()
        yield from self._slots()
        yield from self._corners()
        yield from self._lettering()
        yield from self._lines_together()
        yield from self._cuts_together()

    def _found(
        self,
        name: str,
        feature: Feature,
        at: Point,
        *,
        measured: float | None = None,
        limit: float | None = None,
        other: Feature | None = None,
    ) -> Finding:
        return Finding(
            name=name,
            part=self.part.name,
            feature=feature.id,
            other=other.id if other is not None else "",
            measured_mm=measured,
            limit_mm=limit,
            at=at,
        )

    def _open_contours(self) -> Iterator[Finding]:
        for each in self.cut:
            through = each.feature.role in {Role.EDGE, Role.OPENING} and not each.single_pass
            for path in each.paths:
                if through and not path.closed:
                    gap = path.start.distance(path.end)
                    yield self._found("open-contour", each.feature, path.end, measured=gap)

    def _webs(self) -> Iterator[Finding]:
        for near in near_pairs([each.paths for each in self.through], self._least_web()):
            one, other = self.through[near.first], self.through[near.second]
            if near.distance <= _ONE_PLACE:
                yield self._found("contours-touch", one, near.at, other=other)
            else:
                yield self._thin(one, near.distance, near.at, "narrow-web", other)

    def _least_web(self) -> float:
        """Half the thickness at least (common practice): thinner webs break."""
        return max(self.machine.smallest_web_mm, self.thickness / 2.0)

    def _thin(self, feature: Feature, width: float, at: Point, name: str, other: Feature | None) -> Finding:
        least = self.machine.smallest_web_mm
        if width < least - _SLACK:
            return self._found("thin-web", feature, at, measured=width, limit=least, other=other)
        return self._found(name, feature, at, measured=width, limit=self._least_web(), other=other)

    def _slivers(self, webs: Sequence[Finding]) -> Iterator[Finding]:
        if any(each.name == "contours-touch" for each in webs):
            return  # then it is no plate, and that has been said
        limit = self._least_web()
        paths = [
            path for (_, path), holder in zip(self.contours, self.holders, strict=True) if holder == _PLATE
        ]
        edge = next(each for each in self.through if each.role is Role.EDGE)
        for thin in thin_places(self.part.outline, paths, limit):
            if all(thin.at.distance(web.at) > limit for web in webs):
                yield self._thin(edge, thin.width, thin.at, "sliver", None)

    def _in_and_out(self) -> Iterator[Finding]:
        contours = self.contours
        paths = [path for _, path in contours]
        for (feature, path), holder in zip(contours, self.holders, strict=True):
            if holder not in {None, _PLATE}:
                yield self._found("inside-opening", feature, bounds(path).centre, other=contours[holder][0])
        for mark, index in touching([each.paths for each in self.marks], paths):
            feature = self.marks[mark]
            yield self._found(
                "mark-in-opening", feature, bounds(paths[index]).centre, other=contours[index][0]
            )
        inner = [*self.openings, *self.marks]
        for index in outside([each.paths for each in inner], self.part.outline):
            yield self._found("outside-part", inner[index], bounds(inner[index].paths[0]).centre)

    def _holes(self) -> Iterator[Finding]:
        for feature in self.openings:
            for round_ in filter(None, map(as_circle, feature.paths)):
                centre, diameter = round_[0], 2.0 * round_[1]
                for name, limit in (
                    ("small-hole", self.machine.smallest_hole_mm),
                    ("hole-under-thickness", self.thickness),
                ):
                    if diameter < limit - _SLACK:
                        yield self._found(name, feature, centre, measured=diameter, limit=limit)
                        break

    def _slots(self) -> Iterator[Finding]:
        for each in self.cut:
            if each.single_pass:
                yield self._found(
                    "single-pass",
                    each.feature,
                    bounds(each.feature.paths[0]).centre,
                    measured=each.feature.width_mm,
                    limit=each.narrowed_from_mm,
                )

    def _corners(self) -> Iterator[Finding]:
        for feature in self.through if self.tool_radius > 0.0 else ():
            for path in feature.paths:
                tightest = tightest_hollow(path, inside=feature.role is Role.OPENING)
                if tightest is not None and tightest < self.tool_radius - _SLACK:
                    at = bounds(path).centre
                    yield self._found("inside-radius", feature, at, measured=tightest, limit=self.tool_radius)

    def _lettering(self) -> Iterator[Finding]:
        limit = self.machine.smallest_lettering_mm
        for feature in self.marks:
            if feature.letter_mm is not None and feature.letter_mm < limit - _SLACK:
                at = bounds(feature.paths[0]).low
                yield self._found("small-lettering", feature, at, measured=feature.letter_mm, limit=limit)

    def _lines_together(self) -> Iterator[Finding]:
        limit = self.machine.smallest_line_gap_mm
        for run in runs_alongside([each.paths for each in self.lines], limit, least_mm=_LEAST_RUN):
            one, other = self.lines[run.first], self.lines[run.second]
            if run.distance < _ONE_PLACE:
                yield self._found("doubled-line", one, run.at, other=other)
            else:
                yield self._found("line-gap", one, run.at, measured=run.distance, limit=limit, other=other)

    def _cuts_together(self) -> Iterator[Finding]:
        followed = [each for each in self.cut if each.feature.role in {Role.EDGE, Role.OPENING}]
        for run in runs_alongside([each.paths for each in followed], _ONE_PLACE, least_mm=_LEAST_RUN):
            one, other = followed[run.first].feature, followed[run.second].feature
            yield self._found("cut-twice", one, run.at, other=other)
