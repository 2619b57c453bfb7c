"""Reads SVG back: the size it states, its groups, paths and circles. Millimetres, y turned up again.

A file that other software has saved may hold more: transforms, other shapes, curves. These are read too, and said to
be unusual; what cannot be read for certain is named. The file may come from anywhere: a document type that declares
anything, and with it every kind of entity, is refused before it can expand.
Source: W3C SVG 2, chapters 7 (units, viewBox) and 9 (paths); CSS Values 4, 6.2 (1 in = 2.54 cm = 96 px = 72 pt = 6 pc).
"""

import json
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.parsers import expat

from jiggen.errors import InputError, quoted
from jiggen.proof.affine import IDENTITY, Affine, read_transform
from jiggen.proof.curves import gather
from jiggen.proof.path_data import strokes
from jiggen.proof.report import Fault, Finding
from jiggen.proof.shape_data import shape_data
from jiggen.proof.trace import Reading, Stroke, Traced, circle
from jiggen.units import INCH

_INCH_MM = float(INCH)
_SVG = "http://www.w3.org/2000/svg "
_LARGEST_BYTES = 20_000_000
_DEEPEST = 50
_LENGTH = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*([a-zA-Z%]*)\s*", re.ASCII)
_PX = _INCH_MM / 96.0
_UNITS_MM = {
    "mm": 1.0,
    "cm": 10.0,
    "q": 0.25,
    "in": _INCH_MM,
    "pt": _INCH_MM / 72.0,
    "pc": _INCH_MM / 6.0,
    "px": _PX,
    "": _PX,
}
#: Elements that draw nothing and hold nothing that does.
_SILENT = frozenset({"title", "desc", "metadata", "defs"})
#: Elements that are drawn, the first two in our own files.
_SHAPES = ("path", "circle", "line", "polyline", "polygon", "rect", "ellipse")
#: Attributes that change what is drawn in ways that nobody should have to guess.
_FORBIDDEN = ("clip-path", "mask", "filter")
#: Properties that hide an element, and the values that do.
_HIDING = {"display": {"none"}, "visibility": {"hidden", "collapse"}}
#: mm. How far chords may lie off curves that are neither straight nor circular.
_CHORD_ERROR_MM = 0.0005
_NOT_FINITE = re.compile(r"nan|inf", re.IGNORECASE)


def read_svg(source: bytes | Path, *, name: str = "") -> Reading:
    """Reads an SVG file.

    Args:
        source: The file's bytes, or where it lies.
        name: Of the file, for messages; its own when `source` is a path.

    Raises:
        InputError: If it ends early, is no SVG, has no size, or brings a document type.
    """
    if isinstance(source, Path):
        name, source = name or source.name, source.read_bytes()
    return _Reader(name or "SVG").read(source)


@dataclass(frozen=True, slots=True)
class _Open:
    """An element that we are in.

    Attributes:
        kind: Its name in SVG, empty for those of others.
        id: Its id.
        affine: All transforms down to it.
        silent: Whether nothing in it is drawn.
        hidden: Whether it is not shown.
    """

    kind: str
    id: str
    affine: Affine
    silent: bool = False
    hidden: bool = False


class _Reader:
    def __init__(self, name: str) -> None:
        self.name = name
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._characters
        self.parser.StartDoctypeDeclHandler = self._check_doctype
        self.open: list[_Open] = []  # the elements that we are in
        self.scale = 1.0
        self.origin = (0.0, 0.0)
        self.size: tuple[float, float] | None = None
        self.ids: set[str] = set()
        self.metadata: list[str] = []
        self.traced: list[Traced] = []
        self.findings: list[Finding] = []

    def read(self, data: bytes) -> Reading:
        if len(data) > _LARGEST_BYTES:
            raise InputError(where=self.name, got=f"{len(data)} bytes", expected=f"at most {_LARGEST_BYTES}")
        try:
            self.parser.Parse(data, True)  # noqa: FBT003 - expat's own form
        except expat.ExpatError as error:
            raise InputError(
                where=f"{self.name} line {error.lineno}",
                got=expat.ErrorString(error.code) or "broken XML",
                expected="well-formed XML to its end",
                mend="Make it again",
            ) from None
        finally:
            del self.parser  # it knows this reader, which would keep both alive until garbage is looked for
        if self.size is None:
            raise InputError(where=self.name, got="no svg element", expected="an SVG file")
        return Reading(
            traced=tuple(self.traced),
            findings=tuple(self.findings),
            tags=_tags("".join(self.metadata)),
            size_mm=self.size,
        )

    def _where(self) -> str:
        return f"{self.name} line {self.parser.CurrentLineNumber}"

    def _check_doctype(self, _name: str, _system: str | None, _public: str | None, declares: int) -> None:
        if declares:
            raise InputError(
                where=self._where(),
                got="a document type that declares something",
                expected="none: what it declares could hide or swell anything",
            )
        self._find(Fault.UNUSUAL, "has a document type", {})

    def _start(self, full_name: str, attributes: dict[str, str]) -> None:
        if len(self.open) >= _DEEPEST:
            raise InputError(
                where=self._where(), got=f"elements {_DEEPEST} deep", expected="groups a few deep"
            )
        above = self.open[-1] if self.open else _Open("", "", IDENTITY)
        kind = full_name.removeprefix(_SVG) if full_name.startswith(_SVG) else ""
        if not self.open:
            if kind != "svg":
                raise InputError(
                    where=self._where(), got=f"a file of {quoted(full_name)}", expected="an SVG file"
                )
            self._set_size(attributes)
        silent = above.silent or (bool(self.open) and (kind in _SILENT or not kind))
        if silent:
            self.open.append(_Open(kind, "", above.affine, silent=True))
            return  # words, or some editor's own notes
        hidden = above.hidden or self._looks(kind, attributes)
        affine = self._transform(kind, attributes, above.affine)
        self.open.append(_Open(kind, attributes.get("id", ""), affine, hidden=hidden))
        if kind in _SHAPES and hidden:
            self._find(Fault.UNKNOWN_ENTITY, f"<{kind}> is hidden, and was not read", attributes)
        elif kind in _SHAPES:
            self._draw(kind, attributes, affine)
        elif kind != "g" and len(self.open) > 1:
            self._find(Fault.UNKNOWN_ENTITY, f"<{kind}>, where only shapes in groups may stand", attributes)

    def _looks(self, kind: str, attributes: Mapping[str, str]) -> bool:
        """Says what changes how an element looks; returns whether it is hidden."""
        for each in _FORBIDDEN:
            if each in attributes:
                message = f"<{kind}> has the attribute {each}, which can change what is cut"
                self._find(Fault.UNKNOWN_ENTITY, message, attributes)
        style = {
            name.strip().lower(): value.strip().lower()
            for name, _, value in (each.partition(":") for each in attributes.get("style", "").split(";"))
        }
        for each in {*_FORBIDDEN, "transform", "d"} & set(style):
            message = f"<{kind}> has {each} in its style, which can change what is cut"
            self._find(Fault.UNKNOWN_ENTITY, message, attributes)
        for each in ("style", "class"):
            if each in attributes:
                self._find(Fault.UNUSUAL, f"<{kind}> has the attribute {each}", attributes)
        return any(
            style.get(name, attributes.get(name, "").strip().lower()) in values
            for name, values in _HIDING.items()
        )

    def _transform(self, kind: str, attributes: Mapping[str, str], above: Affine) -> Affine:
        text = attributes.get("transform")
        if text is None:
            return above
        self._find(Fault.UNUSUAL, f"<{kind}> has the attribute transform, which was applied", attributes)
        return above.after(read_transform(text, where=self._where()))

    def _end(self, _name: str) -> None:
        self.open.pop()

    def _characters(self, text: str) -> None:
        if any(each.kind == "metadata" for each in self.open):
            self.metadata.append(text)

    def _set_size(self, attributes: Mapping[str, str]) -> None:
        width, height = (self._length(attributes, each) for each in ("width", "height"))
        box = [_finite(each) for each in re.split(r"[\s,]+", attributes.get("viewBox", "").strip())]
        if len(box) != 4 or None in box or min(each or 0.0 for each in box[2:]) <= 0.0:
            raise InputError(
                where=self._where(),
                got=f"viewBox {quoted(attributes.get('viewBox', ''))}",
                expected="four numbers, the last two the sheet's width and height",
            )
        left, top, across, down = (each or 0.0 for each in box)
        self.scale = min(width / across, height / down)  # preserveAspectRatio's default: meet
        if abs(width / across - height / down) > 1e-6 * self.scale:
            self._find(Fault.WRONG_SCALE, "viewBox and size have different shapes", attributes)
        self.origin = (left, top)
        self.size = (width, height)

    def _length(self, attributes: Mapping[str, str], key: str) -> float:
        text = attributes.get(key, "")
        found = _LENGTH.fullmatch(text)
        unit = found[2].lower() if found else ""
        value = float(found[1]) * _UNITS_MM.get(unit, math.nan) if found else math.nan
        if not (math.isfinite(value) and value > 0.0):
            raise InputError(
                where=self._where(),
                got=f"{key} {quoted(text)}",
                expected="a length in mm",
                mend="Make it again",
            )
        if unit in {"", "px"}:
            self._find(Fault.NO_UNITS, f"{key} is in pixels; it was read as 96 to the inch", attributes)
        return value

    def _find(self, fault: Fault, message: str, attributes: Mapping[str, str]) -> None:
        feature = attributes.get("data-feature")
        self.findings.append(
            Finding(
                fault=fault,
                message=message,
                file=self.name,
                part=attributes.get("data-part", ""),
                features=(feature,) if feature else (),
            )
        )

    def _draw(self, kind: str, attributes: Mapping[str, str], affine: Affine) -> None:
        part, feature, own_id = (attributes.get(key) for key in ("data-part", "data-feature", "id"))
        where = self._where()
        if own_id is None or own_id in self.ids:
            self._find(Fault.WRONG_ID, f"id {quoted(own_id or '')} is missing or stands twice", attributes)
        elif part is not None and feature is not None and own_id != f"{part}.{feature}":
            self._find(Fault.WRONG_ID, f"id {quoted(own_id)} is not part and feature", attributes)
        self.ids.add(own_id or "")
        operation = next((each.id for each in reversed(self.open) if each.kind == "g" and each.id), "")
        if kind not in _SHAPES[:2]:
            self._find(Fault.UNUSUAL, f"<{kind}>, where only paths and circles may stand", attributes)
        for stroke in self._strokes(kind, attributes, affine):
            if stroke.is_plausible():
                placed = self._placed(stroke if affine is IDENTITY else _mapped(stroke, affine, self.scale))
                self.traced.append(
                    Traced(
                        operation=operation,
                        part=part,
                        feature=feature,
                        stroke=placed,
                        where=where,
                        turns=(len(self.traced),),
                    )
                )
            else:
                self._not_finite(kind, attributes)

    def _not_finite(self, kind: str, attributes: Mapping[str, str]) -> None:
        message = f"a coordinate of <{kind}> is no number, or none that a sheet could have"
        self._find(Fault.NOT_FINITE, message, attributes)

    def _strokes(self, kind: str, attributes: Mapping[str, str], affine: Affine) -> tuple[Stroke, ...]:
        if kind == "circle":
            x, y, radius = self._numbers(attributes, "cx", "cy", "r")
            return (circle(x, y, radius),)
        data = attributes.get("d", "") if kind == "path" else shape_data(kind, attributes)
        if ("n" in data or "N" in data) and _NOT_FINITE.search(data):  # a search letter by letter is slow
            self._not_finite(kind, attributes)
            return ()
        try:
            return strokes(data)
        except InputError as error:
            complaint = str(error)
        try:
            found = strokes(data, chord_error=_CHORD_ERROR_MM / (self.scale * affine.factor))
        except InputError:
            self._find(Fault.UNKNOWN_ENTITY, complaint, attributes)
            return ()
        message = f"<{kind}> has curves, which were read as chords within {_CHORD_ERROR_MM:g} mm"
        self._find(Fault.UNUSUAL, message, attributes)
        return found

    def _numbers(self, attributes: Mapping[str, str], *keys: str) -> Iterator[float]:
        for key in keys:
            number = _finite(attributes.get(key, "0"))
            yield math.nan if number is None else number

    def _placed(self, stroke: Stroke) -> Stroke:
        """Returns the stroke on the sheet: in mm, and y up, so that left and right turns change places."""
        scale, (left, top) = self.scale, self.origin
        height = self.size[1] if self.size else 0.0
        return Stroke(
            tuple(((x - left) * scale, height - (y - top) * scale) for x, y in stroke.points),
            tuple(-bulge for bulge in stroke.bulges),
            closed=stroke.closed,
        )


def _mapped(stroke: Stroke, affine: Affine, scale: float) -> Stroke:
    """Returns a stroke under a transform; arcs that would not stay round as chords."""
    if not affine.keeps_circles() and any(stroke.bulges):
        chords, _ = gather([[stroke]]).flattened(_CHORD_ERROR_MM / (scale * affine.factor))
        points = tuple((float(x), float(y)) for x, y in chords[:, 0])
        points = points if stroke.closed else (*points, stroke.points[-1])
        stroke = Stroke(points, (0.0,) * (len(points) - (not stroke.closed)), closed=stroke.closed)
    return affine.stroke(stroke)


def _finite(text: str) -> float | None:
    """Returns the number, None when it is no plain finite one."""
    found = _LENGTH.fullmatch(text)
    number = float(found[1]) if found and not found[2] else math.nan
    return number if math.isfinite(number) else None


def _tags(metadata: str) -> dict[str, dict[str, str]]:
    """Returns the tags in the metadata's JSON, by part: every object under a part's name that has a design_id."""
    start = metadata.find("{")
    if start < 0:
        return {}
    try:
        found = list(_tag_objects(json.loads(metadata[start : metadata.rfind("}") + 1]), ""))
    except (ValueError, RecursionError):
        return {}  # no tag, which the proof then says of each part
    return {part: {field: _plain(value) for field, value in tag.items()} for part, tag in found}


def _tag_objects(value: Any, name: str) -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(value, dict):
        if "design_id" in value and name:
            yield name, value
        for key, inner in value.items():
            yield from _tag_objects(inner, key)
    elif isinstance(value, list):
        for inner in value:
            yield from _tag_objects(inner, name)


def _plain(value: object) -> str:
    return value if isinstance(value, str) else json.dumps(value)
