"""Answers to what the page asks: questions and answers are plain tables, ready for JSON."""

import io
import re
import shlex
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from jiggen import job, prepare, reckon
from jiggen.design.model import Design
from jiggen.design.read import design_of, read_defaults
from jiggen.design.write import design_text
from jiggen.drawing.paper import PAPERS
from jiggen.errors import ConflictError, InputError, JiggenError, SeveralErrors, quoted
from jiggen.export.options import read_options
from jiggen.export.slug import slug
from jiggen.layout.explain import derivation
from jiggen.layout.tables import layout_tables
from jiggen.page.edit import changed
from jiggen.page.fields import FIELDS, FIRST
from jiggen.page.reads import named_in, refuse_files
from jiggen.page.standing import standing, typed_in
from jiggen.page.views import NECK, parts_to_see, view_of
from jiggen.profiles import find, places
from jiggen.sheets.estimate import share_used, total_seconds, work_of
from jiggen.shop.limits import told
from jiggen.tables.document import Document, parse_toml

#: A table ready for JSON.
Told = dict[str, Any]

#: The instrument that a page without a design starts from: one that has all numbers.
FIRST_PROFILE = "steel-string-14-fret"
#: Words for numbers in errors that are about several of them.
_CALLED: Mapping[str, str] = MappingProxyType(
    {
        "nut width": "neck.nut-width",
        "spread at nut": "strings.spread-at-nut",
        "spread at bridge": "strings.spread-at-bridge",
        "scale": "neck.scale",
        "nut to fret": "neck.nut-to-fret",
        "bridge to fret": "neck.bridge-to-fret",
        "setback": "strings.setback",
        "width at": "neck.widths",
        "taper": "neck.taper-angle",
    }
)
#: The field that a doubt is about.
_DOUBTED: Mapping[str, str] = MappingProxyType(
    {
        "narrow-nut": "neck.nut-width",
        "wide-nut": "neck.nut-width",
        "narrowing-board": "strings.spread-at-bridge",
        "short-scale": "neck.scale",
        "long-scale": "neck.scale",
        "string-near-edge": "strings.setback",
        "string-over-edge": "strings.setback",
        "string-off-board": "strings.setback",
        "close-strings": "strings.spread-at-nut",
        "close-course": "strings.course-spacing-at-nut",
        "action": "setup.action",
        "relief": "setup.relief",
        "nut-height": "setup.nut-height",
        "last-fret": "neck.frets",
        "past-sound-hole": "neck.frets",
        "steep-fan": "neck.straight-fret",
        "tight-radius": "neck.radius",
        "compound-radius": "neck.radius-at-end",
        "close-slots": "neck.frets",
        "close-frets": "neck.frets",
        "tight-bend": "body.side-thickness",
        "head-beside-nut": "head.outline",
    }
)
_KEYS = [field.row.key for field in FIELDS]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What the page was started with.

    Attributes:
        text: Of the design file; empty without one.
        file: Its name as it was given; empty without one.
        today: Date of a new design, ISO 8601.
    """

    text: str = ""
    file: str = ""
    today: str = ""


class Answerer:
    """Answers questions about designs; keeps nothing from one to the next.

    Args:
        opened: What the page was started with.
    """

    def __init__(self, opened: Opened) -> None:
        self._opened = opened
        self._may_read = frozenset(named_in(opened.text, opened.file))
        self._answers: Mapping[str, Callable[[Mapping[str, Any]], Told]] = {
            "start": self._start,
            "new": self._new,
            "design": self._design,
            "view": self._view,
            "derivation": self._derivation,
            "sheets": self._sheets,
        }

    def answer(self, question: Mapping[str, Any]) -> Told:
        """Returns the answer: `ok`, and what was asked for; or `faults`, one for each thing to mend.

        Args:
            question: `ask` says what; `text` is that of the design file.
        """
        try:
            asked = question.get("ask")
            if not isinstance(asked, str) or asked not in self._answers:
                raise InputError(
                    where="ask", got=quoted(str(asked)), expected=f"one of {', '.join(self._answers)}"
                )
            return {"ok": True, **self._answers[asked](question)}
        except (JiggenError, job.UnprovenError) as error:
            return {"ok": False, "faults": faults_of(error)}

    def files(self, question: Mapping[str, Any]) -> tuple[Told, dict[str, bytes]]:
        """Returns the files that `jiggen make` would save for a design, the zip of them all first.

        Args:
            question: `text`, and the order.
        """
        try:
            document = self._document(question)
            written = job.write_up(design_of(document), _order(question))
        except (JiggenError, job.UnprovenError) as error:
            return {"ok": False, "faults": faults_of(error)}, {}
        folder = slug(written.neck.spec.design.name)
        files = {f"{folder}.zip": _zipped(folder, written.files), **written.files}
        verdict = written.report.verdict() if written.report else job.NOT_PROVED
        listed = [{"name": name, "bytes": len(data)} for name, data in files.items()]
        return {"ok": True, "files": listed, "verdict": verdict}, files

    def _document(self, question: Mapping[str, Any]) -> Document:
        text = _words(question, "text")
        document = parse_toml(text, file=self._opened.file or "design.toml")
        refuse_files(document, self._may_read)
        return document

    def _start(self, _: Mapping[str, Any]) -> Told:
        text = self._opened.text or _new_text(FIRST_PROFILE, "My instrument", self._opened.today)
        return {
            "text": text,
            "file": self._opened.file,
            "fields": [field.told() for field in FIELDS],
            "first": list(FIRST),
            "papers": list(PAPERS),
            **{
                kind: [{"name": place.name, "title": _title_of(kind, place.name)} for place in places(kind)]
                for kind in ("instruments", "materials", "machines", "strings")
            },
        }

    def _new(self, question: Mapping[str, Any]) -> Told:
        name = _words(question, "name") or "My instrument"
        return {"text": _new_text(_words(question, "profile"), name, self._opened.today)}

    def _design(self, question: Mapping[str, Any]) -> Told:
        key = _words(question, "key")
        text = _words(question, "text")
        if key:
            text = changed(text, key, _words(question, "typed"), _words(question, "source"))
        head: Told = {"text": text}
        own: Told = {}
        try:
            document = self._document({"text": text})
            own = typed_in(document)
            design = design_of(document)
            defaults = read_defaults(design)
            neck = reckon.work_out(design)
        except JiggenError as error:
            return head | {"faults": faults_of(error), "own": own}
        tables = layout_tables(neck.layout, neck.setup, neck.id)
        name = _words(question, "view") or NECK
        shown: Told = {}
        faults: list[Told] = []
        if name == NECK or name.startswith("part:"):
            try:
                shown = view_of(neck, name, _order(question)).told() | {"view": name}
            except JiggenError as error:
                faults = faults_of(error)
        return head | {
            "faults": faults,
            "numbers": standing(document, design, defaults, tables["numbers"]),
            "tables": tables,
            "doubts": [
                {"name": each.name, "text": each.text, "key": _DOUBTED.get(each.name, "")}
                for each in neck.doubts
            ],
            "parts": parts_to_see(neck),
            "shown": shown,
            "command": _command(design, question, self._opened.file),
            "file": self._opened.file or f"{slug(design.name)}.toml",
        }

    def _view(self, question: Mapping[str, Any]) -> Told:
        neck = reckon.work_out(design_of(self._document(question)))
        name = _words(question, "view")
        return {"shown": view_of(neck, name, _order(question)).told() | {"view": name}}

    def _derivation(self, question: Mapping[str, Any]) -> Told:
        neck = reckon.work_out(design_of(self._document(question)))
        return {
            "sections": [
                {
                    "title": section.title,
                    "steps": [
                        {
                            "name": step.name,
                            "line": " = ".join(
                                each for each in (step.formula, step.figures, step.result) if each
                            ),
                            "source": step.source,
                        }
                        for step in section.steps
                    ],
                }
                for section in derivation(neck.layout, neck.setup)
            ]
        }

    def _sheets(self, question: Mapping[str, Any]) -> Told:
        design = design_of(self._document(question))
        order = _order(question)
        sheet_set = prepare.draw_up(reckon.work_out(design), order)
        return {
            "sheets": [
                {
                    "number": sheet.number,
                    "width": sheet.width_mm,
                    "height": sheet.height_mm,
                    "parts": [each.cut_part.part.title for each in sheet.placements],
                    "used": share_used(sheet),
                    "seconds": total_seconds(work_of(sheet)),
                    "work": [
                        {
                            "name": work.operation.name,
                            "colour": work.operation.colour,
                            "length": work.length_mm,
                            "seconds": work.seconds,
                        }
                        for work in work_of(sheet)
                        if work.marks
                    ],
                }
                for sheet in sheet_set.sheets
            ],
            "warnings": list(told([each for each in sheet_set.findings if not each.allowed])),
            "cautions": list(sheet_set.workshop.cautions),
        }


def faults_of(error: Exception) -> list[Told]:
    """Returns what is wrong, each with the keys of the fields it belongs to, where they are known."""
    errors = error.errors if isinstance(error, SeveralErrors) else (error,)
    return [{"keys": _keys_in(each), "text": str(each)} for each in errors]


def _keys_in(error: Exception) -> list[str]:
    if not isinstance(error, JiggenError):
        return []
    found = [key for key in _KEYS if re.search(rf"(?:^|[\s,]){re.escape(key)}(?:$|[\s,:])", error.where)]
    if found:
        return [max(found, key=len)]
    return [key for word, key in _CALLED.items() if isinstance(error, ConflictError) and word in error.got]


def _words(question: Mapping[str, Any], key: str) -> str:
    value = question.get(key, "")
    if not isinstance(value, str):
        raise InputError(where=key, got="something else", expected="words")
    return value


def _listed(question: Mapping[str, Any], key: str) -> tuple[str, ...]:
    value = question.get(key, [])
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise InputError(where=key, got="something else", expected="a list of words")
    return tuple(value)


def _order(question: Mapping[str, Any]) -> prepare.Order:
    """Returns what is asked beyond the design: as `jiggen make` would be asked by `_command`."""
    return prepare.Order(
        parts=_listed(question, "parts"),
        material=_words(question, "material"),
        machine=_words(question, "machine"),
        allow=_listed(question, "allow"),
        options=read_options(
            dxf_version="r2000",
            dxf_entities="polyline",
            dpi=None,
            paper=_words(question, "paper") or "a4",
        ),
    )


def _command(design: Design, question: Mapping[str, Any], file: str) -> str:
    """Returns the command that gives the same files."""
    order, paper = _order(question), _words(question, "paper")
    words = ["jiggen", "make", file or f"{slug(design.name)}.toml"]
    for option, value in (
        ("--only", ",".join(order.parts)),
        ("--material", order.material),
        ("--machine", order.machine),
        ("--allow", ",".join(order.allow)),
        ("--paper", paper if paper != "a4" else ""),
    ):
        if value:
            words += [option, value]
    return shlex.join(words)


def _new_text(profile: str, name: str, today: str) -> str:
    design = Design(name=name, date=today, profile=profile)
    return design_text(design, read_defaults(design))


def _title_of(kind: str, name: str) -> str:
    try:
        tables = find(kind, name).tables.tables
    except JiggenError:
        return f"{name} (cannot be read)"
    return str(tables.get("title", tables.get("name", name)))


def _zipped(folder: str, files: Mapping[str, bytes]) -> bytes:
    """Returns a zip of a folder: the same files give the same bytes."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        for name, content in files.items():
            entry = zipfile.ZipInfo(f"{folder}/{name}")  # its date stays at the first that a zip knows
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, content)
    return data.getvalue()
