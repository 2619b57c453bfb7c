"""manifest.json: what a stranger needs to find every feature in the files and to check it."""

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from types import MappingProxyType
from typing import Any

from jiggen import __version__
from jiggen.design.accuracy import OWN_KINDS, Limits, limits_of
from jiggen.design.fret_rule import CentsSteps, DivisorSteps, EqualSteps, RatioSteps
from jiggen.design.fret_rule_text import fret_rule_text
from jiggen.design.model import Given, PartialFret
from jiggen.design.outline import Outline
from jiggen.design.spec import Spec, groups_of
from jiggen.export.json_text import JSON_DECIMALS, Json, json_text
from jiggen.export.path_data import path_data
from jiggen.export.tags import tag_fields
from jiggen.export.writer import sheet_file_name
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.parts.model import Datum, Feature, Part, Role
from jiggen.sheets.estimate import lengths_by_mark, share_used
from jiggen.sheets.leftover import leftover
from jiggen.sheets.model import Mark, Placement, Sheet, SheetSet
from jiggen.shop.climate import Climate
from jiggen.shop.limits import Finding

FILE_NAME = "manifest.json"
#: The form, told by `manifest-1.schema.json` beside this module; a new number when readers must change.
SCHEMA_FAMILY = "jiggen-manifest/"
SCHEMA = f"{SCHEMA_FAMILY}1"


def encode_manifest(sheet_set: SheetSet, files: Mapping[str, bytes]) -> bytes:
    """Returns the manifest of a job.

    Args:
        sheet_set: What was made.
        files: Every other file of the job by name, in the order in which they are to be listed.

    Returns:
        JSON after `manifest-1.schema.json`: UTF-8, two-space indent, line feeds, lengths in mm.
    """
    return with_files(describe(sheet_set, files), files)


def with_files(described: str, files: Mapping[str, bytes]) -> bytes:
    """Returns the manifest of which everything but the list of files is described already; see `encode_manifest`."""
    listed: dict[str, Json] = {
        name: {"sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)} for name, data in files.items()
    }
    open_end = described.removesuffix("\n}")
    return f'{open_end},\n  "files": {json_text(listed, indent=2)}\n}}\n'.encode()


def describe(sheet_set: SheetSet, names: Iterable[str]) -> str:
    """Returns all of a manifest but its list of files, as text to which `with_files` adds that.

    Args:
        sheet_set: What was made.
        names: Of the files, those of the sheets among them.
    """
    spec = sheet_set.spec
    manifest: dict[str, Json] = {
        "schema": SCHEMA,
        "version": __version__,
        "design": _design(spec, sheet_set.design_id, {} if sheet_set.members else design_numbers(spec)),
        **_designs(sheet_set),
        "material": {
            "name": sheet_set.material.name,
            "title": sheet_set.material.title,
            "thickness_mm": float(sheet_set.material.thickness_mm),
        },
        "machine": {
            "name": sheet_set.machine.name,
            "title": sheet_set.machine.title,
            "operations": [
                {"name": each.name, "role": each.role.value, "colour": each.colour}
                for each in sheet_set.machine.operations
            ],
        },
        "climate": dict(_climate(sheet_set.workshop.climate)),
        "accuracy": _accuracy(limits_of(spec.design.accuracy, sheet_set.machine.accuracy)),
        "findings": [_finding(each) for each in sheet_set.findings],
        **_wholes(sheet_set),
        "sheets": [_sheet(sheet, names) for sheet in sheet_set.sheets],
    }
    return json_text(manifest)


def _design(spec: Spec, id: str, numbers: dict[str, Json]) -> dict[str, Json]:
    return {
        "name": spec.design.name,
        "id": id,
        "owner": spec.design.owner,
        "date": spec.design.date,
        "revision": spec.design.revision,
        "numbers": numbers,
    }


def _designs(sheet_set: SheetSet) -> dict[str, Json]:
    """Returns the designs of a class, whose parts name theirs by its id."""
    if not sheet_set.members:
        return {}
    machine = sheet_set.machine.accuracy
    return {
        "designs": [
            _design(each.spec, each.design_id, design_numbers(each.spec))
            | {"accuracy": _accuracy(limits_of(each.spec.design.accuracy, machine))}
            for each in sheet_set.members
        ]
    }


#: Units of numbers that are not lengths in mm.
_UNITS: Mapping[str, str | None] = MappingProxyType(
    {"pitch_standard": "Hz", "end_angle": "rad", "straight_fret": "fret"}
)


#: Groups whose numbers have names that no other has; the numbers of all others are told by the group's name.
_PLAIN_GROUPS = frozenset({"tools", "setup"})


def design_numbers(spec: Spec) -> dict[str, Json]:
    """Returns every number of the spec with its unit and source, as it stands in a manifest."""
    numbers = dict(_numbers(spec))
    for name, group in groups_of(spec):
        numbers |= _numbers(group, "" if name in _PLAIN_GROUPS else f"{name}_")
    return numbers


def _numbers(spec: Any, start: str = "") -> Iterator[tuple[str, Json]]:
    """Yields every number of a spec or of one of its groups under the name of its field."""
    for field in fields(spec):
        said = getattr(spec, field.name)
        if isinstance(said, Given):
            yield f"{start}{field.name}", _number(said, unit=_UNITS.get(field.name, "mm"))


def _number(given: Given[Any], *, unit: str | None) -> Json:
    value = _plain(given.value)
    measured = isinstance(value, float) or (
        isinstance(value, list) and any(isinstance(each, float) for each in value)
    )
    # the folder of a file is the maker's own business
    text = given.value.name if isinstance(given.value, Outline) else given.text
    return {"value": value, "unit": unit if measured else None, "source": given.source, "text": text}


def _plain(value: Any) -> Json:
    """Returns a value of the spec as JSON has it."""
    match value:
        case bool() | int() | float():
            return value
        case tuple():
            return [_plain(each) for each in value]
        case PartialFret():
            return [value.fret, *value.strings]
        case EqualSteps() | CentsSteps() | RatioSteps() | DivisorSteps():
            return fret_rule_text(value)
        case Outline():
            return f"{value.name}, SHA-256 {value.brought.sha256}"
        case _ if is_dataclass(value):
            return {each.name: _plain(getattr(value, each.name)) for each in fields(value)}
        case None:
            return None
        case _:
            return str(value)


def _climate(climate: Climate) -> Iterator[tuple[str, Json]]:
    """Yields what air the parts are cut and used in, and who said so."""
    for name, unit, given in (
        ("cut_temperature", "°C", climate.cut_degc),
        ("use_temperature", "°C", climate.use_degc),
        ("cut_humidity", "%", climate.cut_humidity),
        ("use_humidity", "%", climate.use_humidity),
    ):
        yield name, {"value": float(given.value), "unit": unit, "source": given.source, "text": given.text}


def _accuracy(limits: Limits) -> Json:
    """Returns how far parts may be off."""
    return {
        "fret_cents": limits.fret_cents,
        "general": limits.grade.value,
        "own_mm": {kind.value: limits.own_mm.get(kind) for kind in OWN_KINDS},
    }


def _finding(finding: Finding) -> Json:
    return {
        "name": finding.name,
        "severity": finding.severity.value,
        "part": finding.part,
        "feature": finding.feature,
        "other": finding.other,
        "measured_mm": finding.measured_mm,
        "limit_mm": finding.limit_mm,
        "at": [finding.at.x, finding.at.y],
        "about": finding.limit.about,
        "mend": finding.limit.mend,
        "allowed": finding.allowed,
    }


def _sheet(sheet: Sheet, names: Iterable[str]) -> Json:
    stem = sheet_file_name(sheet.number, "")
    left = leftover(sheet)
    return {
        "number": sheet.number,
        "width_mm": float(sheet.width_mm),
        "height_mm": float(sheet.height_mm),
        "used": share_used(sheet),
        "leftover": _box(left) if left else None,
        "files": [name for name in names if name.startswith(stem)],
        "parts": [_part(placement, sheet) for placement in sheet.placements],
    }


def _wholes(sheet_set: SheetSet) -> dict[str, Json]:
    """Returns the parts that are made in pieces, as they are when they are put together."""
    parts = (placement.cut_part.part for sheet in sheet_set.sheets for placement in sheet.placements)
    wholes = {part.piece.whole.name: part.piece.whole for part in parts if part.piece is not None}
    if not wholes:
        return {}
    return {
        "wholes": [
            {
                "name": whole.name,
                "title": whole.title,
                "bounds": _box(bounds(whole.outline)),
                "datums": {each.id: _datum(each.datum) for each in whole.features if each.datum is not None},
            }
            for whole in wholes.values()
        ]
    }


def _within(placement: Placement) -> dict[str, Json]:
    """Returns the opening that a part lies in, nothing for a part in none."""
    within = placement.within
    return {"within": {"part": within.part, "feature": within.feature}} if within is not None else {}


def _piece(part: Part) -> dict[str, Json]:
    """Returns what a part is a piece of, nothing for a part in one."""
    piece = part.piece
    if piece is None:
        return {}
    seams: list[Json] = [
        {
            "mark": seam.mark,
            "line": [[seam.line.start.x, seam.line.start.y], [seam.line.end.x, seam.line.end.y]],
            "depth_mm": seam.depth_mm,
            "clearance_mm": seam.clearance_mm,
        }
        for seam in piece.seams
    ]
    return {"piece": {"of": piece.whole.name, "number": piece.number, "count": piece.count, "seams": seams}}


def _part(placement: Placement, sheet: Sheet) -> Json:
    part, place, shift = placement.cut_part.part, placement.place, placement.written_shift
    marks = {mark.feature.id: mark for mark in sheet.marks_of_part(part.name)}
    features = {feature.id: feature for feature in part.features}
    features |= {
        mark.feature.id: mark.feature for mark in marks.values()
    }  # the tag's lettering is the shop's
    return {
        "name": part.name,
        "title": part.title,
        "place": {
            "cosine": place.cosine,
            "sine": place.sine,
            "x_mm": shift.x,
            "y_mm": shift.y,
            "mirrored": place.mirrored,
        },
        **_within(placement),
        "tag": tag_fields(placement.cut_part.tag),
        **_piece(part),
        "features": [_feature(each, marks.get(each.id), sheet) for each in features.values()],
    }


def _feature(feature: Feature, mark: Mark | None, sheet: Sheet) -> Json:
    lettering = feature.role is Role.LETTERING
    return {
        "id": feature.id,
        "role": feature.role.value,
        "operation": mark.operation if mark else None,
        "cut_in": feature.cut_in,
        "text": feature.text,
        "width_mm": feature.width_mm,
        "single_pass": mark is not None and mark.single_pass,
        "datum": _datum(feature.datum),
        "finished": None if lettering else path_data(feature.paths, decimals=JSON_DECIMALS),
        "finished_bounds": _box(around(bounds(path) for path in feature.paths)),
        "cut_bounds": _box(mark.box) if mark else None,
        "cut_length_mm": lengths_by_mark(sheet)[mark.id] if mark else None,
        **({"tabs": path_data(mark.tabs, decimals=JSON_DECIMALS)} if mark and mark.tabs else {}),
        **({"leads": path_data(mark.leads, decimals=JSON_DECIMALS)} if mark and mark.leads else {}),
    }


def _datum(datum: Datum) -> Json:
    match datum:
        case None:
            return None
        case Point():
            return {"point": [datum.x, datum.y]}
        case Line():
            return {"line": [[datum.start.x, datum.start.y], [datum.end.x, datum.end.y]]}


def _box(box: Box) -> Json:
    return [box.low.x, box.low.y, box.high.x, box.high.y]
