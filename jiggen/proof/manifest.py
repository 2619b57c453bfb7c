"""The manifest, as a stranger reads it: what each file is to hold. Millimetres; parts in their own coordinates."""

import json
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from jiggen.design.accuracy import DEFAULT_LIMITS, OWN_KINDS, Limits
from jiggen.design.making import Grade
from jiggen.errors import InputError, quoted
from jiggen.proof.path_data import strokes
from jiggen.proof.pieces import Bounds, WantedPiece, WantedSeam, WantedWhole
from jiggen.proof.trace import FARTHEST_MM, Place, Stroke, length
from jiggen.proof.wanted import Manifest, Placing, Wanted, WantedPart, WantedSheet
from jiggen.units import parse_length

T = TypeVar("T")

SCHEMA = "jiggen-manifest/1"
NAME = "manifest.json"
_ROLES = ("edge", "opening", "line", "lettering", "note")
#: The manifest rounds to a nanometre: ends to half of one each way, radius doubled. Nearer than this is a half turn.
_HALF_TURN_MM = 4e-6
#: A turn's cosine and sine are rounded as well; a map this near to keeping lengths is meant to keep them.
_LENGTH_KEPT = 4e-6
_PLAIN_NAME = re.compile(r"[^/\\\x00-\x1f:]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Instrument:
    """What the parts of one design are judged by."""

    scale_mm: float | None
    limits: Limits


def read_manifest(data: bytes) -> Manifest:
    """Reads a manifest.

    Args:
        data: The bytes of `manifest.json`.

    Raises:
        InputError: If it is not one, with the key at fault.
    """
    top = _document(data)
    of_all = _instrument(top.table("design"), top)
    members = (
        {each.text("id"): _instrument(each, each) for each in top.tables("designs")}
        if "designs" in top.value
        else {}
    )
    operations = tuple(each.text("name") for each in top.table("machine").tables("operations"))
    return Manifest(
        sheets=tuple(_sheet(each, of_all, members, operations) for each in top.tables("sheets")),
        hashes=_hashes(top),
        wholes=tuple(map(_whole, top.tables("wholes"))) if "wholes" in top.value else (),
    )


def read_hashes(data: bytes) -> dict[str, str]:
    """Returns what a manifest says of the files alone: SHA-256 by name.

    Args:
        data: The bytes of `manifest.json`.

    Raises:
        InputError: If it is not one, with the key at fault.
    """
    return _hashes(_document(data))


def _document(data: bytes) -> "_Table":
    try:
        document = json.loads(data.decode("utf-8"), parse_constant=_refuse_constant)
    except (ValueError, RecursionError) as error:
        reason = error.got if isinstance(error, _ConstantError) else str(error)
        raise InputError(
            where=NAME, got=reason, expected="JSON text in UTF-8", mend="Make the job again"
        ) from None
    top = _Table(document, NAME)
    if top.text("schema") != SCHEMA:
        raise InputError(where=f"{NAME} schema", got=quoted(top.text("schema")), expected=f'"{SCHEMA}"')
    return top


def _hashes(top: "_Table") -> dict[str, str]:
    return {_plain_name(name, NAME): file.text("sha256") for name, file in top.table("files").named_tables()}


class _ConstantError(ValueError):
    def __init__(self, constant: str) -> None:
        self.got = f"the number {constant}"
        super().__init__(constant)


def _refuse_constant(constant: str) -> float:
    raise _ConstantError(constant)


class _Table:
    """A JSON object that knows where it stands, so that a wrong value can be pointed at."""

    def __init__(self, value: Any, where: str) -> None:
        if not isinstance(value, dict):
            raise _wrong(where, value, "an object")
        self.value: dict[str, Any] = value
        self.where = where

    def _get(self, key: str, expected: str, check: Callable[[Any], bool]) -> Any:
        value = self.value.get(key)
        if not check(value):
            raise _wrong(f"{self.where} {key}", value, expected)
        return value

    def text(self, key: str) -> str:
        return str(self._get(key, "text", lambda value: isinstance(value, str)))

    def text_or_none(self, key: str) -> str | None:
        value = self._get(key, "text or null", lambda value: value is None or isinstance(value, str))
        return None if value is None else str(value)

    def number(self, key: str) -> float:
        return float(self._get(key, "a number", _is_number))

    def number_or_none(self, key: str) -> float | None:
        value = self._get(key, "a number or null", lambda value: value is None or _is_number(value))
        return None if value is None else float(value)

    def factor(self, key: str) -> float:
        return float(self._get(key, "a number above 0", lambda value: _is_number(value) and value > 0.0))

    def flag(self, key: str) -> bool:
        return bool(self._get(key, "true or false", lambda value: isinstance(value, bool)))

    def items(self, key: str) -> list[Any]:
        return list(self._get(key, "a list", lambda value: isinstance(value, list)))

    def table(self, key: str) -> "_Table":
        return _Table(self.value.get(key), f"{self.where} {key}")

    def tables(self, key: str) -> "list[_Table]":
        return [_Table(each, f"{self.where} {key}[{index}]") for index, each in enumerate(self.items(key))]

    def named_tables(self) -> "list[tuple[str, _Table]]":
        return [(name, _Table(each, f"{self.where} {name}")) for name, each in self.value.items()]

    def bounds_or_none(self, key: str) -> Bounds | None:
        value = self.value.get(key)
        if value is None:
            return None
        if not (isinstance(value, list) and len(value) == 4 and all(map(_is_number, value))):
            raise _wrong(f"{self.where} {key}", value, "four numbers or null")
        return float(value[0]), float(value[1]), float(value[2]), float(value[3])


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) <= FARTHEST_MM**2


def _wrong(where: str, value: Any, expected: str) -> InputError:
    got = "nothing" if value is None else quoted(json.dumps(value, ensure_ascii=False))
    return InputError(where=where, got=got, expected=expected, mend="Make the job again")


def _limits(table: _Table) -> Limits:
    own = table.table("own_mm")
    grade = table.text("general")
    if grade not in set(Grade):
        raise _wrong(f"{table.where} general", grade, f"one of {', '.join(Grade)}")
    return Limits(
        fret_cents=table.factor("fret_cents"),
        grade=Grade(grade),
        own_mm={kind: own.factor(kind) for kind in OWN_KINDS if own.value.get(kind) is not None},
    )


def _instrument(design: _Table, holder: _Table) -> _Instrument:
    """Returns what a design's parts are judged by; its limits stand in the holder."""
    limits = _limits(holder.table("accuracy")) if "accuracy" in holder.value else DEFAULT_LIMITS
    return _Instrument(scale_mm=_scale(design), limits=limits)


def _scale(design: _Table) -> float | None:
    numbers = design.table("numbers")
    if "scale" not in numbers.value:
        return None
    scale = numbers.table("scale")
    length = parse_length(f"{scale.number('value')}{scale.text('unit')}", where=scale.where)
    return float(length.mm)


def _sheet(
    table: _Table, of_all: _Instrument, members: Mapping[str, _Instrument], operations: tuple[str, ...]
) -> WantedSheet:
    return WantedSheet(
        number=int(table.number("number")),
        size_mm=(table.factor("width_mm"), table.factor("height_mm")),
        files=tuple(_plain_name(name, f"{table.where} files") for name in table.items("files")),
        parts=tuple(_part(each, of_all, members) for each in table.tables("parts")),
        operations=operations,
    )


def _plain_name(name: Any, where: str) -> str:
    if not (isinstance(name, str) and _PLAIN_NAME.fullmatch(name)) or name in {".", ".."}:
        raise _wrong(where, name, "the plain name of a file beside the manifest")
    return name


def _part(table: _Table, of_all: _Instrument, members: Mapping[str, _Instrument]) -> WantedPart:
    tag = table.table("tag")
    instrument = members.get(str(tag.value.get("design_id")), of_all)
    features = tuple(_feature(each) for each in table.tables("features"))
    ids = [feature.id for feature in features]
    if len(set(ids)) < len(ids):
        raise _wrong(f"{table.where} features", max(ids, key=ids.count), "each id once")
    return WantedPart(
        name=table.text("name"),
        place=_placing(table.table("place")),
        tag=tag.value,
        kerf_mm=abs(tag.number("kerf_mm")),
        growth=tag.factor("growth_scale"),
        growth_across=tag.factor("growth_scale_across"),
        machine_x=tag.factor("machine_scale_x"),
        machine_y=tag.factor("machine_scale_y"),
        features=features,
        scale_mm=instrument.scale_mm,
        limits=instrument.limits,
        piece=_piece(table.table("piece")) if "piece" in table.value else None,
    )


def _whole(table: _Table) -> WantedWhole:
    bounds = table.bounds_or_none("bounds")
    if bounds is None:
        raise _wrong(f"{table.where} bounds", None, "four numbers")
    datums = table.table("datums")
    return WantedWhole(
        name=table.text("name"),
        bounds=bounds,
        datums={id: _datum_of(value, f"{datums.where} {id}") for id, value in datums.value.items()},
    )


def _piece(table: _Table) -> WantedPiece:
    return WantedPiece(
        of=table.text("of"),
        number=int(table.number("number")),
        count=int(table.number("count")),
        seams=tuple(map(_seam, table.tables("seams"))),
    )


def _seam(table: _Table) -> WantedSeam:
    line = _datum_of({"line": table.value.get("line")}, f"{table.where} line")
    return WantedSeam(
        mark=table.text("mark"),
        line=(line[0], line[1]),
        depth_mm=table.factor("depth_mm"),
        clearance_mm=abs(table.number("clearance_mm")),
    )


def _placing(table: _Table) -> Placing:
    cosine, sine = table.number("cosine"), table.number("sine")
    factor = math.hypot(cosine, sine)
    if factor == 0.0:
        raise _wrong(table.where, table.value, "a turn, whose cosine and sine are not both 0")
    if abs(factor - 1.0) > _LENGTH_KEPT:
        factor = 1.0  # then the map does stretch, and is taken as it stands
    return Placing(
        cosine=cosine / factor,
        sine=sine / factor,
        x_mm=table.number("x_mm"),
        y_mm=table.number("y_mm"),
        mirrored=table.flag("mirrored"),
    )


def _feature(table: _Table) -> Wanted:
    role = table.text("role")
    if role not in _ROLES:
        raise _wrong(f"{table.where} role", role, f"one of {', '.join(_ROLES)}")
    data = table.text_or_none("finished")
    try:
        finished = strokes(data, half_turn_mm=_HALF_TURN_MM) if data is not None else ()
    except InputError as error:
        raise error.at(f"{table.where} finished") from None
    if not all(stroke.is_plausible() for stroke in finished):
        raise _wrong(f"{table.where} finished", data, "numbers that a part could have")
    tabs, leads = _stretches(table, "tabs"), _stretches(table, "leads")
    cut_length = table.number_or_none("cut_length_mm")
    return Wanted(
        id=table.text("id"),
        role=role,
        operation=table.text_or_none("operation"),
        cut_in=table.text_or_none("cut_in"),
        width_mm=table.number_or_none("width_mm"),
        single_pass=table.flag("single_pass"),
        datum=_datum(table),
        finished=finished,
        finished_bounds=table.bounds_or_none("finished_bounds"),
        cut_bounds=table.bounds_or_none("cut_bounds"),
        cut_length_mm=None
        if cut_length is None
        else cut_length + sum(map(length, tabs)) - sum(map(length, leads)),
        tabs=tabs,
        leads=leads,
    )


def _stretches(table: _Table, key: str) -> tuple[Stroke, ...]:
    """Returns open stretches on the sheet, none for most features."""
    if key not in table.value:
        return ()
    data = table.text(key)
    try:
        found = strokes(data, half_turn_mm=_HALF_TURN_MM)
    except InputError as error:
        raise error.at(f"{table.where} {key}") from None
    if not all(stroke.is_plausible() and not stroke.closed for stroke in found):
        raise _wrong(f"{table.where} {key}", data, "open stretches that a sheet could have")
    return found


def _datum(table: _Table) -> tuple[Place, ...]:
    """Returns the datum's point, its line's two ends, or nothing."""
    return _datum_of(table.value.get("datum"), f"{table.where} datum")


def _datum_of(value: Any, where: str) -> tuple[Place, ...]:
    match value:
        case None:
            return ()
        case {"point": [x, y]} if _is_number(x) and _is_number(y):
            return ((float(x), float(y)),)
        case {"line": [[x0, y0], [x1, y1]]} if all(map(_is_number, (x0, y0, x1, y1))) and (x0, y0) != (
            x1,
            y1,
        ):
            return ((float(x0), float(y0)), (float(x1), float(y1)))
        case other:
            raise _wrong(where, other, '{"point": [x, y]}, {"line": [[x, y], [x, y]]} or null')
