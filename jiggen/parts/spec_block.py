"""The whole build spec as a lettered block: what a maker needs to know of the design without a second sheet."""

from collections.abc import Sequence

from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout
from jiggen.lettering.fit import Anchor, fit_text, text_width
from jiggen.parts.marks import label
from jiggen.parts.model import Bench, Feature, Role
from jiggen.units import format_inch, format_mm

_ROW = 1.6  # row pitch in heights of capitals: ISO 3098 asks for 1.5 without accents
_COLUMN_GAP = 2.0  # in heights of capitals


def spec_rows(layout: Layout) -> tuple[tuple[str, str, str], ...]:
    """Returns the spec as rows of name, value in mm, value in inches (or a plain value and nothing)."""
    spec = layout.spec

    def both(name: str, mm: float) -> tuple[str, str, str]:
        return name, format_mm(mm), format_inch(mm)

    end_width = layout.board_end.start.distance(layout.board_end.end)
    if spec.setback_bass.value == spec.setback_treble.value:
        setbacks = [both("Setback to string centre", spec.setback_bass.value)]
    else:
        setbacks = [
            both("Setback, bass, to centre", spec.setback_bass.value),
            both("Setback, treble, to centre", spec.setback_treble.value),
        ]
    return (
        both("Scale length", spec.scale.value),
        both("Nut width", spec.nut_width.value),
        both("Spread at nut", spec.spread_at_nut.value),
        both("Spread at bridge", spec.spread_at_bridge.value),
        *setbacks,
        both("Projected width at saddle", spec.width_at_saddle.value),
        both("Board end width", end_width),
        both("Nut to board end", layout.board_end.start.x),
        ("Frets", str(spec.frets.value), ""),
        ("Strings", str(spec.string_count.value), ""),
    )


def identity_rows(layout: Layout, bench: Bench) -> tuple[tuple[str, str, str], ...]:
    """Returns who and when: design id, date, revision and owner, as far as the design says."""
    design = layout.spec.design
    rows = [("Design id", bench.design_id), ("Date", design.date), ("Revision", design.revision)]
    return tuple((name, value, "") for name, value in (*rows, ("Owner", design.owner)) if value)


def spec_block(layout: Layout, bench: Bench, *, title: str, boxes: tuple[Box, Box]) -> tuple[Feature, ...]:
    """Returns the design's name and the spec's rows as lettering in two boxes, read from the first to the second.

    Args:
        layout: Of the neck.
        bench: Sets the lettering's height.
        title: Of the part.
        boxes: Room for the lettering; the heading goes to the top of the first.

    Raises:
        LimitError: If the rows do not fit at the smallest legible height.
    """
    height = bench.smallest_lettering_mm
    first, second = boxes
    heading = fit_text(
        f"{layout.spec.design.name} · {title}",
        box=Box(Point(first.low.x, first.high.y - 2.4 * height), first.high),
        largest_mm=2.0 * height,
        smallest_mm=height,
        where="lettering of the heading",
    )
    features = [
        Feature(
            id="title",
            role=Role.LETTERING,
            paths=heading.paths,
            text=f"{layout.spec.design.name} · {title}",
        )
    ]
    under_heading = Box(first.low, Point(first.high.x, first.high.y - 3.2 * height))
    rows = (*spec_rows(layout), *identity_rows(layout, bench))
    cells: list[Box] = []
    for size in (1.4 * height, 1.2 * height, height):
        cells = [*_cells(under_heading, rows, size), *_cells(second, rows, size)]
        if len(cells) >= len(rows):
            break
    else:
        raise LimitError(
            where="lettering of the spec",
            got=f"{len(rows)} rows",
            expected=f"at most {len(cells)}, as many as fit at {height:.1f} mm",
            mend="Choose a machine that can letter smaller",
        )
    for number, (row, cell) in enumerate(zip(rows, cells, strict=False), start=1):
        features.extend(_row(f"spec.{number}", row, cell))
    return tuple(features)


def _cells(box: Box, rows: Sequence[tuple[str, str, str]], height: float) -> list[Box]:
    """The cells of as many columns as fit in a box, column by column, each wide enough for every row."""
    names, values, inches = (max(text_width(row[column], height) for row in rows) for column in range(3))
    width = names + values + inches + 2.0 * _COLUMN_GAP * height
    columns = int((box.width + _COLUMN_GAP * 2.0 * height) / (width + _COLUMN_GAP * 2.0 * height))
    lines = int((box.height - height) / (_ROW * height) + 1e-9) + 1
    pitch = width + _COLUMN_GAP * 2.0 * height
    cells: list[Box] = []
    for column in range(columns):
        for line in range(lines):
            top = box.high.y - line * _ROW * height
            left = box.low.x + column * pitch
            cells.append(Box(Point(left, top - height), Point(left + width, top)))
    return cells


def _row(id: str, row: tuple[str, str, str], cell: Box) -> list[Feature]:
    (name, value, inches), height, baseline, right = row, cell.height, cell.low.y, cell.high.x
    inch_room = text_width("00.000 in", height) + _COLUMN_GAP * height
    places = (
        (id, name, cell.low.x, Anchor.LEFT_BASELINE),
        (f"{id}.value", value, right - inch_room, Anchor.RIGHT_BASELINE),
        (f"{id}.inch", inches, right, Anchor.RIGHT_BASELINE),
    )
    return [
        label(name_of, text, Point(x, baseline), height=height, anchor=anchor)
        for name_of, text, x, anchor in places
        if text
    ]
