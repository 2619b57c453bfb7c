"""Reads SVG back: the size it states, its groups, paths and circles. Millimetres, y turned up again.

The file may come from anywhere: a document type, and with it every kind of entity, is refused before it can expand.
Source: W3C SVG 2, chapters 7 (units, viewBox) and 9 (paths); CSS Values 4, 6.2 (1 in = 2.54 cm = 96 px = 72 pt = 6 pc).
"""

import json
import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any
from xml.parsers import expat

from jiggen.errors import InputError, quoted
from jiggen.proof.path_data import strokes
from jiggen.proof.report import Fault, Finding
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
_SILENT = frozenset({"title", "desc", "metadata"})
#: Attributes that would move, hide or restyle what is drawn.
_FORBIDDEN = ("transform", "style", "class", "clip-path", "mask", "display", "visibility", "filter")
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


class _Reader:
    def __init__(self, name: str) -> None:
        self.name = name
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._characters
        self.parser.StartDoctypeDeclHandler = self._refuse_doctype
        self.open: list[tuple[str, str]] = []  # name and id of the elements that we are in
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

    def _refuse_doctype(self, *_declaration: object) -> None:
        raise InputError(
            where=self._where(),
            got="a document type",
            expected="none: what it declares could hide or swell anything",
        )

    def _start(self, full_name: str, attributes: dict[str, str]) -> None:
        if len(self.open) >= _DEEPEST:
            raise InputError(where=self._where(), got=f"elements {_DEEPEST} deep", expected="one group deep")
        inside = [name for name, _ in self.open]
        kind = full_name.removeprefix(_SVG) if full_name.startswith(_SVG) else ""
        self.open.append((kind, attributes.get("id", "")))
        if len(self.open) == 1:
            if kind != "svg":
                raise InputError(
                    where=self._where(), got=f"a file of {quoted(full_name)}", expected="an SVG file"
                )
            self._set_size(attributes)
        elif any(name in _SILENT for name in inside) or not full_name.startswith(_SVG):
            return  # words, or some editor's own notes
        elif kind in {"path", "circle"}:
            self._draw(kind, attributes)
        elif kind not in _SILENT and kind != "g":
            self._find(
                Fault.UNKNOWN_ENTITY,
                f"<{kind}>, where only paths and circles in groups may stand",
                attributes,
            )
        for each in _FORBIDDEN:
            if each in attributes:
                self._find(
                    Fault.UNKNOWN_ENTITY,
                    f"<{kind}> has the attribute {each}, which can change what is cut",
                    attributes,
                )

    def _end(self, _name: str) -> None:
        self.open.pop()

    def _characters(self, text: str) -> None:
        if any(kind == "metadata" for kind, _ in self.open):
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

    def _draw(self, kind: str, attributes: Mapping[str, str]) -> None:
        part, feature, own_id = (attributes.get(key) for key in ("data-part", "data-feature", "id"))
        where = self._where()
        if own_id is None or own_id in self.ids:
            self._find(Fault.WRONG_ID, f"id {quoted(own_id or '')} is missing or stands twice", attributes)
        elif part is not None and feature is not None and own_id != f"{part}.{feature}":
            self._find(Fault.WRONG_ID, f"id {quoted(own_id)} is not part and feature", attributes)
        self.ids.add(own_id or "")
        operation = next((each for name, each in reversed(self.open) if name == "g" and each), "")
        for stroke in self._strokes(kind, attributes):
            if stroke.is_plausible():
                self.traced.append(
                    Traced(
                        operation=operation,
                        part=part,
                        feature=feature,
                        stroke=self._placed(stroke),
                        where=where,
                    )
                )
            else:
                self._find(
                    Fault.NOT_FINITE,
                    f"a coordinate of <{kind}> is no number, or none that a sheet could have",
                    attributes,
                )

    def _strokes(self, kind: str, attributes: Mapping[str, str]) -> tuple[Stroke, ...]:
        if kind == "path":
            data = attributes.get("d", "")
            if _NOT_FINITE.search(data):
                self._find(
                    Fault.NOT_FINITE,
                    "a coordinate of <path> is no number, or none that a sheet could have",
                    attributes,
                )
                return ()
            try:
                return strokes(data)
            except InputError as error:
                self._find(Fault.UNKNOWN_ENTITY, str(error), attributes)
                return ()
        numbers = [_finite(attributes.get(key, "0")) for key in ("cx", "cy", "r")]
        x, y, radius = (math.nan if each is None else each for each in numbers)
        return (circle(x, y, radius),)

    def _placed(self, stroke: Stroke) -> Stroke:
        """Returns the stroke on the sheet: in mm, and y up, so that left and right turns change places."""
        scale, (left, top) = self.scale, self.origin
        height = self.size[1] if self.size else 0.0
        return Stroke(
            tuple(((x - left) * scale, height - (y - top) * scale) for x, y in stroke.points),
            tuple(-bulge for bulge in stroke.bulges),
            closed=stroke.closed,
        )


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
