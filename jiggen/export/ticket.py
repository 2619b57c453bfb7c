"""The job ticket: one page for whoever stands at the machine, to read on a screen or to print and write on."""

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from jiggen import __version__
from jiggen.design.model import ASSUMED
from jiggen.drawing.numbers import body_table, spec_table
from jiggen.export.numbers import number
from jiggen.export.sheet_picture import sheet_picture
from jiggen.export.svg import NAMESPACE
from jiggen.export.ticket_style import STYLE
from jiggen.export.writer import Job
from jiggen.geometry.box import around
from jiggen.geometry.measure import bounds
from jiggen.layout.warnings import layout_warnings
from jiggen.sheets.cost import cost_of_part, cost_of_sheet
from jiggen.sheets.estimate import Work, seconds_of_part, total_seconds, work_of
from jiggen.sheets.leftover import usage_line
from jiggen.sheets.model import Placement, Sheet
from jiggen.sheets.readings import Reading, readings_of
from jiggen.sheets.story import cutting_lines, nested_lines
from jiggen.shop.limits import told
from jiggen.shop.material import Material
from jiggen.units import format_inch, format_mm

#: Blank boxes beside each thing to measure.
_BOXES = 3
#: Thinnest line of a picture, as a share of the sheet's width: about a pixel on a screen.
_THINNEST = 1.0 / 1600.0

_Cells = Sequence[str]


def ticket_as_html(job: Job) -> Iterator[tuple[str, bytes]]:
    """Yields the ticket, one file that needs no other: UTF-8, line feeds."""
    yield "ticket.html", "\n".join(_lines(job)).encode()


def _lines(job: Job) -> Iterator[str]:
    design = job.sheet_set.spec.design
    title = f"{design.name}, job ticket"
    yield "<!doctype html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{escape(title)}</title>"
    yield f"<style>\n{STYLE}</style></head><body>"
    yield f"<header><h1>{escape(title)}</h1>"
    yield from _facts(job)
    yield "</header><main>"
    for heading, section in (
        ("Before you start", _before(job)),
        ("Sheets", _sheets(job)),
        ("Order of operations", _operations(job)),
        ("Parts", _parts(job)),
        ("Proof of the files", _proof(job)),
        ("Numbers and where they come from", _numbers(job)),
        ("After cutting: measure", _readings(job)),
    ):
        lines = list(section)
        if lines:
            yield f"<section><h2>{heading}</h2>"
            yield from lines
            yield "</section>"
    yield '<div class="hand"><div>cut by</div><div>date</div><div>power, speed, passes</div></div>'
    yield "</main></body></html>"
    yield ""


def _facts(job: Job) -> Iterator[str]:
    sheets, design = job.sheet_set, job.sheet_set.spec.design
    shop = sheets.workshop
    facts = (
        ("design id", sheets.design_id),
        ("revision", design.revision),
        ("date", design.date),
        ("owner", design.owner),
        ("material", shop.material.title),
        ("machine", shop.machine.title),
        ("kerf", f"{format_mm(shop.kerf_mm)}, {shop.kerf.source}"),
        ("made with", f"jiggen {__version__}"),
    )
    yield '<dl class="facts">'
    yield from (f"<div><dt>{name}</dt><dd>{escape(text)}</dd></div>" for name, text in facts if text)
    yield "</dl>"


def _before(job: Job) -> Iterator[str]:
    """Cautions first, then whatever a run would say on screen."""
    yield from _list(job.sheet_set.workshop.cautions, kind="cautions")
    yield from _list(_warnings(job))


def _warnings(job: Job) -> Iterator[str]:
    shop = job.sheet_set.workshop
    yield from told(job.sheet_set.findings)
    yield from (doubt.text for doubt in layout_warnings(job.layout))
    if shop.kerf.source.startswith(ASSUMED):
        yield f"The kerf of {format_mm(shop.kerf_mm)} is {shop.kerf.source}. Cut a test piece before you trust a fit."
    if job.options.plan:
        assumed = [row[0] for row in spec_table(job.layout).rows if row[-1].startswith(ASSUMED)]
        if assumed:
            yield f"Assumed, since nobody decided: {', '.join(each.lower() for each in assumed)}."
        yield from job.setup.remarks
    yield from job.options.cautions


def _sheets(job: Job) -> Iterator[str]:
    for sheet in job.sheet_set.sheets:
        names = ", ".join(placement.cut_part.part.title for placement in sheet.placements)
        width, height = number(sheet.width_mm), number(sheet.height_mm)
        label = f"Sheet {sheet.number}: {names}"
        yield f'<figure><svg xmlns="{NAMESPACE}" viewBox="0 0 {width} {height}" role="img" aria-label="{escape(label)}">'
        yield from sheet_picture(sheet, thinnest_mm=sheet.width_mm * _THINNEST)
        yield "</svg>"
        used = f"{width} × {height} mm, {usage_line(sheet)}"
        said = [label, used, _time(total_seconds(work_of(sheet))), *_cost(sheet, job.sheet_set.material)]
        yield f"<figcaption>{escape('; '.join(said), quote=False)}.</figcaption></figure>"


def _cost(sheet: Sheet, material: Material) -> Iterator[str]:
    """Yields what a sheet costs, as far as there are prices."""
    cost = cost_of_sheet(sheet, material)
    if cost.material and cost.unused:
        yield f"the sheet costs {cost.material}, {cost.unused} of it for what no part takes"
    if cost.machine:
        yield f"the machine's time {cost.machine}"


def _time(seconds: float | None) -> str:
    if seconds is None:
        return "no time is estimated, since the machine's profile lacks a speed"
    minutes, rest = divmod(round(seconds), 60)
    return f"about {minutes} min {rest:02d} s by the machine's profile, and more for what that leaves out"


def _operations(job: Job) -> Iterator[str]:
    yield from _list(nested_lines(job.sheet_set.sheets))
    for sheet in job.sheet_set.sheets:
        rows = [_operation(step, work) for step, work in enumerate(work_of(sheet), start=1)]
        caption = f"Sheet {sheet.number}, in this order; names are those of layers and groups in the files."
        head = ("", "operation", "settings", "features", "length", "time")
        yield from _table(head, rows, caption=caption, right=(3, 4, 5))


def _operation(step: int, work: Work) -> _Cells:
    operation = work.operation
    swatch = f'<span class="swatch" style="background:{operation.colour}"></span>'
    return (
        str(step),
        f'{swatch}<span class="id">{escape(operation.name)}</span>',
        escape(operation.note),
        str(work.marks),
        f"{work.length_mm / 1000.0:.2f} m",
        _short_time(work.seconds),
    )


def _short_time(seconds: float | None) -> str:
    return "–" if seconds is None else f"{seconds:.0f} s"


def _parts(job: Job) -> Iterator[str]:
    rows = [
        _part(sheet, placement, job.sheet_set.material)
        for sheet in job.sheet_set.sheets
        for placement in sheet.placements
    ]
    head = ("part", "sheet", "finished size", "time", "cost", "tag")
    shown = [index for index in range(len(head)) if head[index] != "cost" or any(row[index] for row in rows)]
    yield from _list(cutting_lines(job.sheet_set.sheets))
    yield from _table(
        [head[index] for index in shown],
        [[row[index] for index in shown] for row in rows],
        right=range(1, len(shown) - 1),
    )


def _part(sheet: Sheet, placement: Placement, material: Material) -> _Cells:
    cut = placement.cut_part
    box = around(bounds(path) for path in (cut.part.outline,))
    seconds, cost = seconds_of_part(sheet, cut.part.name), cost_of_part(sheet, placement, material).total
    return (
        f'{escape(cut.part.title)}<br><span class="id">{escape(cut.part.name)}</span>',
        str(sheet.number),
        f"{box.width:.2f} × {box.height:.2f} mm",
        _short_time(seconds),
        escape(str(cost)) if cost else "",
        f'<span class="tag">{escape(cut.tag.line())}</span>',
    )


def _proof(job: Job) -> Iterator[str]:
    if job.proof is None:
        return
    yield f"<p>{escape(job.proof.verdict)}.</p>"
    if job.proof.rows:
        rows = [[escape(cell) for cell in row] for row in job.proof.rows]
        yield from _table(job.proof.head, rows, right=(2, 3))


def _numbers(job: Job) -> Iterator[str]:
    if not job.options.plan:  # a coupon is of no instrument
        return
    table = spec_table(job.layout)
    rows = [
        [
            escape(cell) if index else f"<span{_assumed(row)}>{escape(cell)}</span>"
            for index, cell in enumerate(row)
        ]
        for row in table.rows
    ]
    yield from _table(("number", "mm", "in", "source"), rows, right=(1, 2))
    if body := body_table(job.layout):
        cells = [[escape(cell) for cell in row] for row in body.rows]
        yield from _table(
            ("body", "mm", "in"), cells, right=(1, 2), caption="What follows from the body's outline."
        )


def _assumed(row: Sequence[str]) -> str:
    return ' class="assumed"' if row[-1].startswith(ASSUMED) else ""


def _readings(job: Job) -> Iterator[str]:
    parts = [placement.cut_part.part for sheet in job.sheet_set.sheets for placement in sheet.placements]
    rows = [_reading(reading) for reading in readings_of(parts)]
    yield "<p>Let the parts cool, then measure each more than once. A reading that is off tells of kerf, scale or a slip.</p>"
    head = ("part", "features", "what", "mm", "in", *(f"reading {each + 1}" for each in range(_BOXES)))
    yield from _table(head, rows, right=(3, 4), boxes=True)


def _reading(reading: Reading) -> _Cells:
    return (
        escape(reading.part),
        f'<span class="id">{escape(" – ".join(reading.features))}</span>',
        reading.what,
        format_mm(reading.expected_mm).removesuffix(" mm"),
        format_inch(reading.expected_mm).removesuffix(" in"),
    )


def _list(items: Iterable[str], *, kind: str = "") -> Iterator[str]:
    lines = [f"<li>{escape(item)}</li>" for item in items]
    if lines:
        yield f'<ul class="{kind}">' if kind else "<ul>"
        yield from lines
        yield "</ul>"


def _table(
    head: Sequence[str],
    rows: Iterable[_Cells],
    *,
    right: Sequence[int] = (),
    caption: str = "",
    boxes: bool = False,
) -> Iterator[str]:
    """Yields a table of cells that are HTML already; `right` tells which columns hold figures."""

    def cell(tag: str, index: int, text: str) -> str:
        return f'<{tag} class="n">{text}</{tag}>' if index in right else f"<{tag}>{text}</{tag}>"

    yield '<table class="boxes">' if boxes else "<table>"
    if caption:
        yield f"<caption>{escape(caption)}</caption>"
    yield f"<thead><tr>{''.join(cell('th', index, name) for index, name in enumerate(head))}</tr></thead><tbody>"
    blank = '<td class="box"></td>' * _BOXES if boxes else ""
    for row in rows:
        yield f"<tr>{''.join(cell('td', index, text) for index, text in enumerate(row))}{blank}</tr>"
    yield "</tbody></table>"
