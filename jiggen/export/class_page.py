"""The summary of a run over many designs: one page that needs no other file, to read on a screen or to print."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from urllib.parse import quote

from jiggen import __version__
from jiggen.export.ticket_style import STYLE


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassRow:
    """One design.

    Attributes:
        name: Of the design, or where it was read when it has none.
        owner: Whose it is.
        id: Of the design.
        folder: Of its own set, beside the page; empty when there is none.
        material: Title of the material.
        sheets: Folder and numbers of the sheets that it shares with others.
        state: What became of it, in a word.
        remarks: What to know of it, in sentences.
        fault: What is wrong with it, in sentences; empty when it was made.
    """

    name: str
    owner: str
    id: str
    folder: str
    material: str
    sheets: str
    state: str
    remarks: tuple[str, ...]
    fault: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One sheet that several designs share.

    Attributes:
        folder: Of the set that it belongs to, beside the page.
        number: In that set.
        material: Title of the material.
        size: In words.
        used: Share of its area that parts take up.
        left: The largest rectangle left, in words.
        seconds: That it takes to cut; None when a speed is not known.
        parts: Name of the design and title of the part, for each part on it.
    """

    folder: str
    number: int
    material: str
    size: str
    used: float
    left: str
    seconds: float | None
    parts: tuple[tuple[str, str], ...]


def class_page(
    name: str,
    *,
    rows: Sequence[ClassRow],
    sheets: Sequence[SheetRow],
    faults: Sequence[str] = (),
    verdicts: Sequence[str] = (),
    told: Sequence[str] = (),
    cautions: Sequence[str] = (),
    notes: Sequence[str] = (),
) -> bytes:
    """Returns the page: HTML in UTF-8, line feeds.

    Args:
        name: Of the class.
        rows: In the order of the run.
        sheets: That several designs share.
        faults: What is wrong with sets that several designs share.
        verdicts: Of the proof of such sets.
        told: What whoever cuts them must know.
        cautions: Of materials and machines.
        notes: What else to know before anything is cut.
    """
    lines = _lines(
        name, rows, sheets, faults=faults, verdicts=verdicts, told=told, cautions=cautions, notes=notes
    )
    return "\n".join(lines).encode()


def _lines(
    name: str,
    rows: Sequence[ClassRow],
    sheets: Sequence[SheetRow],
    *,
    faults: Sequence[str],
    verdicts: Sequence[str],
    told: Sequence[str],
    cautions: Sequence[str],
    notes: Sequence[str],
) -> Iterator[str]:
    failed = [row for row in rows if row.fault]
    yield "<!doctype html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f'<meta name="generator" content="jiggen {__version__}">'
    yield f"<title>{escape(name)}, summary</title>"
    yield f"<style>\n{STYLE}.wide {{ overflow-x: auto; }}\n.fault {{ white-space: pre-line; }}\n</style></head><body>"
    yield f"<header><h1>{escape(name)}</h1>"
    yield '<dl class="facts">'
    for word, text in (
        ("designs", str(len(rows))),
        ("ready", str(len(rows) - len(failed))),
        ("to mend", str(len(failed))),
        ("shared sheets", str(len(sheets))),
        ("made with", f"jiggen {__version__}"),
    ):
        yield f"<div><dt>{word}</dt><dd>{escape(text)}</dd></div>"
    yield "</dl></header><main>"
    if cautions or notes:
        yield "<section><h2>Before you start</h2>"
        yield from _list(cautions, kind="cautions")
        yield from _list(notes)
        yield "</section>"
    if failed or faults:
        yield "<section><h2>To mend</h2><ul>"
        for row in failed:
            who = escape(" · ".join(filter(None, (row.name, row.owner))))
            yield f'<li class="fault"><strong>{who}</strong>\n{escape(row.fault)}</li>'
        yield from (f'<li class="fault">{escape(fault)}</li>' for fault in faults)
        yield "</ul></section>"
    yield "<section><h2>Designs</h2>"
    yield from _table(
        ("design", "owner", "id", "material", "shared sheets", "state"),
        [
            (
                _link(row.folder, row.name),
                escape(row.owner),
                f'<span class="id">{escape(row.id)}</span>',
                escape(row.material),
                escape(row.sheets),
                escape("to mend" if row.fault else row.state),
            )
            for row in rows
        ],
    )
    yield "</section>"
    if sheets:
        yield "<section><h2>Shared sheets</h2>"
        yield from _table(
            ("sheet", "material", "size", "used", "left", "time", "parts"),
            [
                (
                    _link(sheet.folder, f"{sheet.folder} {sheet.number}"),
                    escape(sheet.material),
                    escape(sheet.size),
                    f"{sheet.used:.0%}",
                    escape(sheet.left),
                    _time(sheet.seconds),
                    escape(", ".join(_parts(sheet.parts))),
                )
                for sheet in sheets
            ],
        )
        if told:
            yield from _list(told)
        yield from (f"<p>{escape(each)}</p>" for each in verdicts)
        yield "</section>"
    remarks = [row for row in rows if row.remarks]
    if remarks:
        yield "<section><h2>To know</h2>"
        for row in remarks:
            yield f"<h3>{escape(row.name)}</h3>"
            yield from _list(row.remarks)
        yield "</section>"
    yield "</main></body></html>"
    yield ""


def _parts(parts: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Yields each design on a sheet, with its parts."""
    for design in dict.fromkeys(design for design, _ in parts):
        titles = ", ".join(title for mine, title in parts if mine == design)
        yield f"{design} ({titles})"


def _link(folder: str, text: str) -> str:
    return f'<a href="{quote(folder)}/">{escape(text)}</a>' if folder else escape(text)


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    cells = "".join(f'<th scope="col">{word}</th>' for word in head)
    yield f'<div class="wide" tabindex="0"><table><thead><tr>{cells}</tr></thead><tbody>'
    yield from (f"<tr>{''.join(f'<td>{cell}</td>' for cell in row)}</tr>" for row in rows)
    yield "</tbody></table></div>"


def _list(lines: Sequence[str], *, kind: str = "") -> Iterator[str]:
    yield f'<ul class="{kind}">' if kind else "<ul>"
    yield from (f"<li>{escape(line)}</li>" for line in lines)
    yield "</ul>"


def _time(seconds: float | None) -> str:
    if seconds is None:
        return "not known"
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest:02d} s"
