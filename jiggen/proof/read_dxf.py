"""Reads DXF back, by its group codes alone. Millimetres, y up.

Source: the published DXF reference: group codes, the sections HEADER and ENTITIES, bulges, object coordinate systems.
"""

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain, pairwise
from pathlib import Path

from jiggen.errors import InputError, quoted
from jiggen.proof.chords import ellipse, spline
from jiggen.proof.dxf_tags import Tags
from jiggen.proof.report import Fault, Finding
from jiggen.proof.trace import Reading, Stroke, Traced, arc, circle
from jiggen.units import INCH

_INCH_MM = float(INCH)
#: Millimetres in one drawing unit, by $INSUNITS (DXF reference, header variables).
_UNITS_MM = {1: _INCH_MM, 2: 12.0 * _INCH_MM, 4: 1.0, 5: 10.0, 6: 1000.0, 14: 100.0}
_APPLICATION = "JIGGEN"
#: Entities that our files never hold, and how far chords may lie off them, in mm.
_CURVED, _CHORD_ERROR_MM = frozenset({"ELLIPSE", "SPLINE"}), 0.0005
_HANDLE = re.compile(r"\s*([0-9A-Fa-f]{1,16})\s*", re.ASCII)
#: Groups that lift an entity off the plane of the sheet, unless they are nought.
_LIFTING = (30, 31, 38, 210, 220)
_ESCAPED = re.compile(r"\\U\+([0-9A-Fa-f]{4})")


def read_dxf(source: bytes | Path, *, name: str = "") -> Reading:
    """Reads a DXF file.

    Args:
        source: The file's bytes, or where it lies.
        name: Of the file, for messages; its own when `source` is a path.

    Raises:
        InputError: If it ends early or is no DXF.
    """
    if isinstance(source, Path):
        name, source = name or source.name, source.read_bytes()
    return _Reader(name or "DXF", Tags(source, name or "DXF")).read()


@dataclass(slots=True)
class _Entity:
    """One entity as it stands in the file."""

    kind: str
    where: str
    fields: dict[int, str] = field(default_factory=dict)
    points: list[list[str]] = field(default_factory=list)  #: x, y and bulge of each vertex
    words: list[str] = field(default_factory=list)  #: of our XDATA
    speaks_for: int = 1  #: how many entities, itself and those after it, our XDATA is true of
    pairs: list[tuple[int, str]] = field(default_factory=list)  #: of a spline, all that it says, in its order

    def number(self, code: int, default: str = "0") -> float:
        return _number(self.fields.get(code, default), self.where)

    @property
    def handle(self) -> int | None:
        """Group 5, which no two entities share; R12 does without."""
        found = _HANDLE.fullmatch(self.fields.get(5, ""))
        return int(found[1], 16) if found else None

    def flags(self) -> int:
        """Group 70, whose bits say what kind of polyline it is."""
        text = self.fields.get(70, "0")
        if not text.strip().isdecimal():
            raise InputError(
                where=self.where, got=quoted(text.strip()), expected="a whole number in group 70"
            )
        return int(text)


def _number(text: str, where: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise InputError(where=where, got=quoted(text.strip()), expected="a number") from None


class _Reader:
    def __init__(self, name: str, tags: Tags) -> None:
        self.name = name
        self.tags = tags
        self.factor = 1.0
        self.traced: list[Traced] = []
        self.findings: list[Finding] = []
        self.part_tags: dict[str, dict[str, str]] = {}

    def read(self) -> Reading:
        section = ""
        entities: list[_Entity] = []
        stated = ""
        for word, start, end in self.tags.entries():
            match word:
                case "SECTION":
                    section = self.tags.values[start].strip() if start < end else ""
                    if section == "HEADER":
                        stated = self._header_value("$INSUNITS", start, end)
                case "ENDSEC":
                    section = ""
                case _ if section == "ENTITIES":
                    entities.append(self._entity(word, start, end))
                case _:
                    pass  # tables, blocks and objects hold nothing that is cut
        if section:
            raise InputError(
                where=self.name, got=f"no end of section {section}", expected="ENDSEC: the file is cut short"
            )
        self._set_units(stated)
        for entity in _spoken_for(list(_joined(entities))):
            self._trace(entity)
        return Reading(traced=tuple(self.traced), findings=tuple(self.findings), tags=self.part_tags)

    def _header_value(self, variable: str, start: int, end: int) -> str:
        for index in range(start, end - 1):
            if self.tags.codes[index] == 9 and self.tags.values[index].strip() == variable:
                return self.tags.values[index + 1].strip()
        return ""

    def _set_units(self, stated: str) -> None:
        try:
            units = int(stated or "0")
        except ValueError:
            units = -1
        if units in _UNITS_MM:
            self.factor = _UNITS_MM[units]
        elif units == 0:
            self._find(Fault.NO_UNITS, "$INSUNITS says nothing, so the numbers were taken as millimetres")
        else:
            self._find(Fault.UNKNOWN_ENTITY, f"$INSUNITS is {quoted(stated)}, which no template is drawn in")

    def _find(self, fault: Fault, message: str, entity: _Entity | None = None) -> None:
        part, feature = _names(entity) if entity else (None, None)
        self.findings.append(
            Finding(
                fault=fault,
                message=message,
                file=self.name,
                part=part or "",
                features=(feature,) if feature else (),
            )
        )

    def _entity(self, kind: str, start: int, end: int) -> _Entity:
        entity = _Entity(kind, f"{self.name} line {2 * start}")
        codes, values = self.tags.codes[start:end], self.tags.values[start:end]
        if 1001 in codes:  # extended data stand last
            plain = codes.index(1001)
            self._extended(entity, codes[plain:], values[plain:])
            codes, values = codes[:plain], values[:plain]
        if kind == "SPLINE":
            entity.pairs += zip(codes, values, strict=True)
        if kind != "LWPOLYLINE":
            entity.fields |= zip(codes, values, strict=True)
            return entity
        fields, points = entity.fields, entity.points
        for code, value in zip(codes, values, strict=True):
            if code == 10:
                points.append([value, "0", "0"])
            elif points and code in {20, 42}:
                points[-1][1 if code == 20 else 2] = value
            else:
                fields[code] = value
        return entity

    @staticmethod
    def _extended(entity: _Entity, codes: Sequence[int], values: Sequence[str]) -> None:
        """Reads what stands under our own name, among that of other software."""
        ours = False
        for code, value in zip(codes, values, strict=True):
            if code == 1001:
                ours = value.strip() == _APPLICATION
            elif ours and code == 1000:
                entity.words.append(_unescaped(value.strip()))
            elif ours and code == 1071 and value.strip().isdecimal():
                entity.speaks_for = int(value)

    def _trace(self, entity: _Entity) -> None:
        if entity.fields.get(67, "0").strip() == "1":
            self._find(Fault.UNKNOWN_ENTITY, f"{entity.kind} lies in paper space", entity)
            return
        stroke = _stroke(entity, self.factor)
        part, feature = _names(entity)
        if stroke is None:
            self._find(
                Fault.UNKNOWN_ENTITY, f"{entity.kind}, where only flat lines and arcs may stand", entity
            )
        elif not stroke.is_plausible():
            self._find(
                Fault.NOT_FINITE,
                f"a coordinate of {entity.kind} is no number, or none that a sheet could have",
                entity,
            )
        else:
            if entity.kind in _CURVED:
                message = f"{entity.kind}, which was read as chords within {_CHORD_ERROR_MM:g} mm"
                self._find(Fault.UNUSUAL, message, entity)
            layer = _unescaped(entity.fields.get(8, "").strip())
            self.traced.append(
                Traced(
                    operation=layer,
                    part=part,
                    feature=feature,
                    stroke=stroke,
                    where=entity.where,
                    turns=(len(self.traced),),
                )
            )
            if part and len(entity.words) > 1:
                tags = [
                    word[4:].split("=", 1) for word in entity.words if word.startswith("tag.") and "=" in word
                ]
                if tags:
                    self.part_tags.setdefault(part, {}).update(dict(tags))


def _names(entity: _Entity) -> tuple[str | None, str | None]:
    """Returns part and feature: from words of their own, or from one that joins them, as in `nut-rule.string.1`."""
    words = dict(word.split("=", 1) for word in entity.words if "=" in word) if entity.words else {}
    if "part" in words or "feature" in words:
        return words.get("part"), words.get("feature")
    part, _, feature = next((word for word in entity.words if "=" not in word), "").partition(".")
    return part or None, feature or None


def _unescaped(text: str) -> str:
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text) if "\\U+" in text else text


def _joined(entities: Sequence[_Entity]) -> Iterator[_Entity]:
    """Yields the entities with the vertices of R12's POLYLINE gathered into it."""
    polyline: _Entity | None = None
    for entity in entities:
        if polyline is None:
            if entity.kind == "POLYLINE":
                polyline = entity
            else:
                yield entity
        elif entity.kind == "VERTEX":
            fields = entity.fields
            polyline.points.append([fields.get(10, "0"), fields.get(20, "0"), fields.get(42, "0")])
            if any(entity.number(code) for code in (30, 70) if code in fields):
                polyline.fields[38] = "1"  # a vertex of a spline or a mesh, or off the plane: not flat
        elif entity.kind == "SEQEND":
            yield polyline
            polyline = None
        else:
            raise InputError(
                where=entity.where, got=entity.kind, expected="VERTEX or SEQEND inside a POLYLINE"
            )
    if polyline is not None:
        raise InputError(
            where=polyline.where, got="no SEQEND", expected="SEQEND after the POLYLINE's vertices"
        )


def _spoken_for(entities: Sequence[_Entity]) -> Iterator[_Entity]:
    """Yields the entities; those without words of ours have the words of one that speaks for them too.

    That is one on their own layer which was written before them, by no more steps than it says it speaks for. Handles
    tell the steps, whatever was added, taken away or moved since; where there are none, the order of the file does.
    """
    handles = [entity.handle for entity in entities]
    by_handle = {
        handle + step: speaker
        for speaker, handle in zip(entities, handles, strict=True)
        if speaker.words and handle is not None
        for step in range(1, min(speaker.speaks_for, len(entities)))
    }
    before, passed = None, 0
    for entity, handle in zip(entities, handles, strict=True):
        if entity.words:
            before, passed = entity, 0
        else:
            passed += 1
            near = before if before is not None and passed < before.speaks_for else None
            speaker = near if handle is None else by_handle.get(handle)
            if speaker is not None and speaker.fields.get(8) == entity.fields.get(8):
                entity.words = speaker.words[:1]
        yield entity


def _stroke(entity: _Entity, factor: float) -> Stroke | None:
    """Returns the entity's geometry in mm, None when it is no flat line or arc."""
    number = entity.number
    lifted = [code for code in _LIFTING if code in entity.fields]
    facing = number(230, "1") if 230 in entity.fields else 1.0
    if abs(facing) != 1.0 or any(map(number, lifted)):
        return None
    match entity.kind:
        case "LINE":
            ends = ((number(10), number(20)), (number(11), number(21)))
            return _scaled(
                Stroke(ends, (0.0,), closed=False), factor, seen_from_below=False
            )  # LINE has no facing
        case "CIRCLE":
            stroke = circle(number(10), number(20), number(40))
        case "ARC":
            start, end = math.radians(number(50)), math.radians(number(51))
            if not math.isfinite(start - end):
                return Stroke(((start, end),), (), closed=False)  # for the caller to refuse by that name
            sweep = (end - start) % math.tau or math.tau
            stroke = arc(number(10), number(20), number(40), start, sweep)
        case "LWPOLYLINE" | "POLYLINE":
            polyline = _polyline(entity)
            if polyline is None:
                return None
            stroke = polyline
        case "ELLIPSE" | "SPLINE":
            curve = _curve(entity, _CHORD_ERROR_MM / factor)
            if curve is None:
                return None
            stroke = curve
            if entity.kind == "SPLINE":
                facing = 1.0  # its places are the world's own
        case _:
            return None
    return _scaled(stroke, factor, seen_from_below=facing < 0.0)


def _polyline(entity: _Entity) -> Stroke | None:
    """Returns a polyline in drawing units, None for what is none in a plane."""
    flags = entity.flags()
    if (
        flags & ~0x81 or len(entity.points) < 2
    ):  # 1 closed, 128 line type pattern; the rest is curves and meshes
        return None
    try:
        points = [(float(x), float(y)) for x, y, _ in entity.points]
        bulges = [float(bulge) for _, _, bulge in entity.points]
    except ValueError:
        for text in chain.from_iterable(entity.points):
            _number(text, entity.where)  # raises for the one that is none
        raise
    closed = bool(flags & 1)
    return Stroke(tuple(points), tuple(bulges if closed else bulges[:-1]), closed=closed)


def _curve(entity: _Entity, error: float) -> Stroke | None:
    """Returns a curve as chords, None when it lacks what makes it one.

    Args:
        entity: An ELLIPSE or a SPLINE.
        error: How far chords may lie off it, in drawing units.
    """
    number = entity.number
    if entity.kind == "ELLIPSE":
        axis = (number(11), number(21))
        if not (0.0 < number(40) <= 1.0 and math.hypot(*axis) > 0.0):
            return None
        first, last = number(41), number(42, str(math.tau))
        places = ellipse(
            (number(10), number(20)), axis, ratio=number(40), first=first, last=last, error=error
        )
    else:
        values: dict[int, list[float]] = {}
        for code, text in entity.pairs:
            if code in {10, 20, 40, 41}:
                values.setdefault(code, []).append(_number(text, entity.where))
        controls = list(zip(values.get(10, ()), values.get(20, ()), strict=False))
        knots, weights, degree = values.get(40, []), values.get(41, []), int(number(71))
        rising = all(one <= other for one, other in pairwise(knots))
        if not (1 <= degree < len(controls) and len(knots) == len(controls) + degree + 1 and rising):
            return None
        if weights and (len(weights) != len(controls) or min(weights) <= 0.0):
            return None
        places = spline(degree=degree, knots=knots, controls=controls, weights=weights, error=error)
    closed = len(places) > 2 and math.dist(places[0], places[-1]) <= error
    places = places[:-1] if closed else places
    return Stroke(tuple(places), (0.0,) * (len(places) - (not closed)), closed=closed)


def _scaled(stroke: Stroke, factor: float, *, seen_from_below: bool) -> Stroke:
    """Returns the stroke in mm, from the object's own coordinates: x runs the other way when it faces down."""
    if factor == 1.0 and not seen_from_below:
        return stroke
    sign = -1.0 if seen_from_below else 1.0
    return Stroke(
        tuple((sign * factor * x, factor * y) for x, y in stroke.points),
        tuple(sign * bulge for bulge in stroke.bulges),
        closed=stroke.closed,
    )
