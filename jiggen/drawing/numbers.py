"""The numbers of a design as tables for the plan: the spec with its sources, frets, strings."""

from jiggen.design.model import ASSUMED, Given
from jiggen.drawing.table import Table
from jiggen.layout.model import Layout
from jiggen.units import format_inch, format_mm

#: Characters of a note that fit beside mark and date.
_LONGEST_NOTE = 60


def _mm(value: float) -> str:
    return format_mm(value).removesuffix(" mm")


def _inch(value: float) -> str:
    return format_inch(value).removesuffix(" in")


def spec_table(layout: Layout) -> Table:
    """Returns the build spec: every number in both units, with where it comes from."""
    spec = layout.spec
    lengths: list[tuple[str, Given[float]]] = [
        ("Scale length", spec.scale),
        ("Nut width", spec.nut_width),
        ("String spread at nut", spec.spread_at_nut),
        ("String spread at bridge", spec.spread_at_bridge),
        ("Setback, bass, to string centre", spec.setback_bass),
        ("Setback, treble, to string centre", spec.setback_treble),
        ("Projected width at saddle", spec.width_at_saddle),
        ("Overhang past last fret", spec.overhang),
    ]
    end = layout.board_end
    lengths += [
        ("Board width at its end", Given(end.start.distance(end.end), "solved")),
        ("Nut to board end, centre", Given((end.start.x + end.end.x) / 2.0, "solved")),
    ]
    rows = [(name, _mm(given.value), _inch(given.value), given.source) for name, given in lengths]
    rows += [
        (name, str(given.value), "", given.source)
        for name, given in (("Strings", spec.string_count), ("Frets", spec.frets))
    ]
    return Table(
        title="Build spec",
        head=("", "mm", "in", "source"),
        rows=tuple(rows),
        left=1,
        marked=frozenset(n for n, row in enumerate(rows, start=1) if row[-1].startswith(ASSUMED)),
    )


def fret_table(layout: Layout) -> Table:
    """Returns the places of the frets and the widths there."""
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


def string_table(layout: Layout) -> Table:
    """Returns the strings' places from the centre line."""
    return Table(
        title="Strings",
        head=("", "gauge\nmm", "\nin", "at nut\nmm", "at saddle\nmm"),
        rows=tuple(
            (
                str(string.number),
                f"{string.gauge:.3f}" if string.gauge else "–",
                _inch(string.gauge) if string.gauge else "–",
                f"{string.line.start.y:+.2f}".replace("-", "−"),
                f"{string.line.end.y:+.2f}".replace("-", "−"),
            )
            for string in layout.strings
        ),
    )


def revision_table(layout: Layout) -> Table:
    """Returns the state of the design: mark and date of its revision, and the maker's note."""
    design = layout.spec.design
    note = design.note.split("\n")[0]
    return Table(
        title="Revision",
        head=("rev.", "date", "note"),
        rows=(
            (
                design.revision or "–",
                design.date or "–",
                note if len(note) <= _LONGEST_NOTE else f"{note[:_LONGEST_NOTE]}…",
            ),
        ),
        left=3,
    )
