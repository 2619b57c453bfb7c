"""The numbers of a design as tables for the plan: the spec with its sources, frets, strings, and how it was worked out."""

from collections.abc import Iterator

from jiggen.design.fret_rule import EqualSteps, rule_words
from jiggen.design.model import ASSUMED, SOLVED, Given
from jiggen.drawing.table import Table
from jiggen.layout.body_rows import body_rows
from jiggen.layout.model import FretLine, Layout
from jiggen.layout.setup import StringSetup
from jiggen.units import format_inch, format_mm

#: Characters that fit in one cell of words.
_LONGEST_WORDS = 60

_Row = tuple[str, str, str, str]


def _mm(value: float) -> str:
    return format_mm(value).removesuffix(" mm")


def _inch(value: float) -> str:
    return format_inch(value).removesuffix(" in")


def _shortened(text: str) -> str:
    return text if len(text) <= _LONGEST_WORDS else f"{text[: _LONGEST_WORDS - 1]}…"


def spec_table(layout: Layout) -> Table:
    """Returns the build spec: every number in both units, with where it comes from."""
    rows = (*_lengths(layout), *_counts(layout))
    return Table(
        title="Build spec",
        head=("", "mm", "in", "source"),
        rows=rows,
        left=1,
        marked=frozenset(n for n, row in enumerate(rows, start=1) if row[-1].startswith(ASSUMED)),
    )


def _lengths(layout: Layout) -> Iterator[_Row]:
    spec, setup = layout.spec, layout.spec.setup
    end, radius = layout.board_end, layout.radius
    told: tuple[tuple[str, Given[float] | None], ...] = (
        ("Scale length", spec.scale),
        ("Scale, bass string", spec.scale_bass if spec.fanned else None),
        ("Scale, treble string", spec.scale_treble if spec.fanned else None),
        ("Nut width", spec.nut_width),
        ("String spread at nut", spec.spread_at_nut),
        ("String spread at bridge", spec.spread_at_bridge),
        ("Setback, bass, to string centre", spec.setback_bass),
        ("Setback, treble, to string centre", spec.setback_treble),
        ("Projected width at saddle", spec.width_at_saddle),
        ("Overhang past last fret", spec.overhang),
        ("Board width at its end", Given(end.start.distance(end.end), SOLVED)),
        ("Nut behind the zero fret", spec.nut_behind if spec.zero_fret.value else None),
        ("Face radius", spec.radius),
        ("Face radius at the end", spec.radius_at_end if radius else None),
        ("Fret tang", spec.tang_depth),
        ("Action at fret 12, treble", setup.action),
        ("Action at fret 12, bass", setup.action_bass),
        ("String height at nut", setup.nut_height),
        ("Relief", setup.relief),
    )
    for name, given in told:
        if given is not None:
            yield name, _mm(given.value), _inch(given.value), given.source


def _counts(layout: Layout) -> Iterator[_Row]:
    spec = layout.spec
    yield "Strings", str(spec.string_count.value), "", spec.string_count.source
    yield "Frets", str(spec.frets.value), "", spec.frets.source
    if spec.fret_rule.value != EqualSteps(steps=12):
        yield f"Fret rule: {rule_words(spec.fret_rule.value)}", "", "", spec.fret_rule.source
    if spec.fanned:
        yield "Fret that runs square", f"{spec.straight_fret.value:g}", "", spec.straight_fret.source
    if spec.string_set is not None:
        yield f"String set: {_shortened(spec.string_set.value)}", "", "", spec.string_set.source


def fret_table(layout: Layout) -> Table:
    """Returns the places of the frets and the widths there; where they fan out, also along the outer strings."""
    if layout.spec.fanned:
        head = ("", "from nut\ncentre mm", "bass\nstring mm", "treble\nstring mm", "width\nmm", "strings\nmm")
        return Table(title="Frets", head=head, rows=tuple(_fanned_row(layout, fret) for fret in layout.frets))
    return Table(
        title="Frets",
        head=("", "from nut\nmm", "\nin", "from last\nmm", "to saddle\nmm", "width\nmm", "strings\nmm"),
        rows=tuple(
            (
                fret.label,
                f"{fret.distance:.3f}",
                _inch(fret.distance),
                f"{fret.from_previous:.3f}",
                f"{layout.spec.scale.value - fret.distance:.3f}",
                _mm(fret.width),
                _mm(fret.spread),
            )
            for fret in layout.frets
        ),
    )


def _fanned_row(layout: Layout, fret: FretLine) -> tuple[str, ...]:
    outer = (layout.strings[-1], fret.crossings[-1]), (layout.strings[0], fret.crossings[0])
    along = (f"{string.line.start.distance(at):.3f}" if at else "–" for string, at in outer)
    return (fret.label, f"{fret.distance:.3f}", *along, _mm(fret.width), _mm(fret.spread))


def string_table(layout: Layout, setup: StringSetup) -> Table:
    """Returns the strings: gauge, pitch and pull where they are known, places from the centre line, reckoned setback."""
    columns: list[tuple[str, list[str]]] = [("", [str(each.number) for each in layout.strings])]
    if any(string.gauge for string in layout.strings):
        gauges = [string.gauge for string in layout.strings]
        columns.append(("gauge\nmm", [f"{each:.3f}" if each else "–" for each in gauges]))
        columns.append(("\nin", [_inch(each) if each else "–" for each in gauges]))
    if setup.pulls:
        columns.append(("pitch", [each.pitch.name for each in setup.pulls]))
        columns.append(("pull\nN", [f"{each.tension_n:.0f}" for each in setup.pulls]))
    places = (
        ("at nut\nmm", [each.line.start.y for each in layout.strings]),
        ("at saddle\nmm", [each.line.end.y for each in layout.strings]),
    )
    columns += [(name, [f"{y:+.2f}".replace("-", "−") for y in ys]) for name, ys in places]
    if setup.saddle and setup.saddle.compensations:
        setbacks = [each.setbacks.saddle_mm for each in setup.saddle.compensations]
        columns.append(("setback\nreckoned", [f"{each:.1f}" for each in setbacks]))
    return Table(
        title="Strings",
        head=tuple(name for name, _ in columns),
        rows=tuple(zip(*(column for _, column in columns), strict=True)),
    )


def body_table(layout: Layout) -> Table | None:
    """Returns what follows from the body's outline; None where the maker says nothing of his body.

    Raises:
        JiggenError: If the maker's numbers make no body.
    """
    rows = tuple(
        (_capital(row.name), row.value.removesuffix(" mm"), row.inches.removesuffix(" in"))
        for row in body_rows(layout)
    )
    return Table(title="Body", head=("", "mm", "in"), rows=rows, left=1) if rows else None


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]


def working_table(layout: Layout) -> Table | None:
    """Returns how the solved numbers came about; None when there are none."""
    rows = tuple(
        (step.name, step.figures, step.result)
        for step in layout.spec.steps
        if step.source == SOLVED and step.figures
    )
    return Table(title="Worked out", head=("", "", ""), rows=rows, left=2) if rows else None


def revision_table(layout: Layout) -> Table:
    """Returns the state of the design: mark and date of its revision, and the first line of the maker's note."""
    design = layout.spec.design
    note = _shortened(design.note.split("\n")[0])
    return Table(
        title="Revision",
        head=("rev.", "date", "note"),
        rows=((design.revision or "–", design.date or "–", note),),
        left=3,
    )
