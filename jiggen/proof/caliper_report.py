"""What readings tell, as lines of text, as plain dictionaries for JSON, and as a page that needs no other file."""

from collections.abc import Iterator, Sequence
from html import escape
from typing import Any

from jiggen.proof.caliper import Group, Judgement, Measured
from jiggen.proof.caliper_advice import advice, patterns
from jiggen.proof.causes import Estimate

_HEAD = ("feature", "readings", "should be", "is", "off", "±", "cents", "allowed", "")


def judgement_rows(judgement: Judgement) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Returns head and rows of the table of all that was measured, lengths in mm."""
    return _HEAD, tuple(_row(each) for each in judgement.measured)


def _row(each: Measured) -> tuple[str, ...]:
    return (
        each.gauge.name,
        str(each.count),
        f"{each.gauge.nominal_mm:.3f}",
        f"{each.mean_mm:.3f}",
        f"{each.off_mm:+.3f}",
        f"{each.expanded_mm:.3f}",
        "" if each.cents is None else f"{each.cents:+.2f}",
        f"± {each.gauge.limit_mm:.2f}",
        each.verdict + (", odd" if each.odd else ""),
    )


def saddle_rows(judgement: Judgement) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Returns head and rows of the table of frets with the saddle as it is and at its best place; none without frets."""
    head = ("fret", "cents now", "cents left")
    saddle = judgement.saddle
    if saddle is None:
        return head, ()
    cents = zip(saddle.frets, saddle.shift.before_cents, saddle.shift.after_cents, strict=True)
    return head, tuple((str(fret), f"{before:+.2f}", f"{after:+.2f}") for fret, before, after in cents)


def judgement_lines(judgement: Judgement) -> Iterator[str]:
    """Yields slips, patterns and advice, a sentence each."""
    for slip in judgement.slips:
        yield (
            f"slip, left out: {slip.reading.where}: {slip.reading.gauge.name} {slip.reading.mm:.3f} mm, "
            f"where its other readings say {slip.others_mm:.3f} mm"
        )
    for pattern in patterns(judgement):
        yield f"{pattern.about}: {pattern.sentence}"
    for each in advice(judgement):
        yield f"{each.do}, {each.about}: {each.sentence}"


def judgement_dict(judgement: Judgement) -> dict[str, Any]:
    """Returns all that readings tell as plain dictionaries and lists; lengths in mm, to a nanometre."""
    saddle = judgement.saddle
    return {
        "schema": "jiggen-caliper/1",
        "ok": judgement.ok,
        "groups": [_group_dict(group) for group in judgement.groups],
        "slips": [
            {
                "where": slip.reading.where,
                "feature": slip.reading.gauge.name,
                "reading_mm": round(slip.reading.mm, 6),
                "others_mm": round(slip.others_mm, 6),
            }
            for slip in judgement.slips
        ],
        "patterns": [
            {"name": each.name, "about": each.about, "sentence": each.sentence}
            for each in patterns(judgement)
        ],
        "saddle": None
        if saddle is None
        else {
            "from_mm": round(saddle.from_mm, 6),
            "measured": saddle.measured,
            "best_mm": round(saddle.shift.at_mm, 6),
            "move_mm": round(saddle.move_mm, 6),
            "frets": [
                {"fret": fret, "cents_now": round(before, 4), "cents_left": round(after, 4)}
                for fret, before, after in zip(
                    saddle.frets, saddle.shift.before_cents, saddle.shift.after_cents, strict=True
                )
            ],
        },
        "advice": [
            {"do": str(each.do), "about": each.about, "sentence": each.sentence} for each in advice(judgement)
        ],
    }


def _group_dict(group: Group) -> dict[str, Any]:
    return {
        "subject": str(group.subject),
        "part": group.part,
        "scatter_mm": round(group.causes.scatter, 6),
        "freedom": group.causes.freedom,
        "scale": _estimate_dict(group.causes.scale),
        "offset_mm": _estimate_dict(group.causes.offset),
        "measured": [
            {
                "feature": each.gauge.name,
                "readings": each.count,
                "nominal_mm": round(each.gauge.nominal_mm, 6),
                "measured_mm": round(each.mean_mm, 6),
                "difference_mm": round(each.off_mm, 6),
                "expanded_mm": round(each.expanded_mm, 6),
                "limit_mm": round(each.gauge.limit_mm, 6),
                "cents": None if each.cents is None else round(each.cents, 4),
                "odd": each.odd,
                "verdict": str(each.verdict),
            }
            for each in group.measured
        ],
    }


def _estimate_dict(estimate: Estimate | None) -> dict[str, float] | None:
    if estimate is None:
        return None
    return {
        "value": round(estimate.value, 9),
        "uncertainty": round(estimate.uncertainty, 9),
        "expanded": round(estimate.expanded, 9),
    }


_STYLE = """\
:root { color-scheme: light dark; --ink: #17232b; --soft: #56646c; --line: #c9d1d5; --paper: #fff; --mark: #9a3a1b; }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #e6edf0; --soft: #a3b1b8; --line: #3d4a51; --paper: #141b1f; --mark: #f0916d; }
}
body { margin: 0 auto; padding: 2rem 1.2rem 4rem; max-width: 58rem; color: var(--ink); background: var(--paper);
  font: 15px/1.45 system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; }
h1 { margin: 0 0 .3rem; font-size: 1.8rem; font-weight: 600; }
h2 { margin: 2rem 0 .5rem; padding-bottom: .2rem; border-bottom: 1px solid var(--line); font-size: 1.1rem; font-weight: 600; }
p, li { margin: .3rem 0; } ul { padding-left: 1.2rem; } .soft { color: var(--soft); }
b { font-weight: 600; } .out { color: var(--mark); }
figure { margin: 1rem 0; break-inside: avoid; } figure svg { display: block; width: 100%; height: auto; background: #fff; }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
th { font-size: .82rem; font-weight: 600; color: var(--soft); }
th, td { padding: .2rem .9rem .2rem 0; text-align: right; border-bottom: 1px solid var(--line); }
th:first-child, td:first-child { text-align: left; } thead { display: table-header-group; } tr { break-inside: avoid; }
@page { margin: 14mm 13mm; }
@media print { body { padding: 0; max-width: none; font-size: 9.5pt; } h2 { break-after: avoid; } }
"""
_HOW = (
    "Intervals (±) hold the true value with a probability of 95 %: from repeated readings, or the scatter about the "
    "pattern, and the caliper's step, by JCGM 100:2008. A thing is ok or OUT only where that interval leaves no doubt "
    "(ISO 14253-1). Frets are allowed what can hardly be heard; other things what the design, the machine's profile or "
    "ISO 2768-1 allows."
)


def judgement_page(judgement: Judgement, *, title: str, facts: Sequence[str], picture: str) -> bytes:
    """Returns the report as a page that needs no other file: HTML in UTF-8.

    Args:
        judgement: What the readings tell.
        title: Of the page.
        facts: Lines below it: design, id, file of the readings.
        picture: An `svg` element.
    """
    return "\n".join(_page(judgement, title, facts, picture)).encode()


def _page(judgement: Judgement, title: str, facts: Sequence[str], picture: str) -> Iterator[str]:
    yield "<!doctype html>"
    yield '<html lang="en"><head><meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{escape(title)}</title>"
    yield f"<style>\n{_STYLE}</style></head><body>"
    yield f"<header><h1>{escape(title)}</h1>"
    yield f'<p class="soft">{escape("; ".join(facts))}</p></header><main>'
    yield "<section><h2>What to do</h2><ul>"
    for each in advice(judgement):
        yield f"<li><b>{escape(each.do)}</b>, {escape(each.about)}: {escape(each.sentence)}</li>"
    yield "</ul></section>"
    yield "<section><h2>What the readings have in common</h2><ul>"
    for pattern in patterns(judgement):
        yield f"<li>{escape(pattern.about)}: {escape(pattern.sentence)}</li>"
    for slip in judgement.slips:
        told = f"left out: {slip.reading.gauge.name} {slip.reading.mm:.3f} mm, {slip.reading.where}"
        yield f"<li>{escape(told)}</li>"
    yield "</ul></section>"
    yield f"<figure>{picture}</figure>"
    yield "<section><h2>Readings, mm</h2>"
    yield from _table(*judgement_rows(judgement))
    yield f'<p class="soft">{escape(_HOW)}</p></section>'
    if judgement.saddle is not None and judgement.saddle.frets:
        shown = f"Frets with the saddle at {judgement.saddle.shift.at_mm:.2f} mm"
        yield f"<section><h2>{escape(shown)}</h2>"
        yield from _table(*saddle_rows(judgement))
        yield "</section>"
    yield "</main></body></html>"
    yield ""


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    yield f"<table><thead><tr>{''.join(f'<th>{escape(cell)}</th>' for cell in head)}</tr></thead><tbody>"
    for row in rows:
        mark = ' class="out"' if row[-1].startswith("OUT") else ""
        yield f"<tr{mark}>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>"
    yield "</tbody></table>"
