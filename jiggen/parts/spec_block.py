"""The whole build spec as a lettered block: what a maker needs to know of the design without a second sheet."""

from collections.abc import Sequence

from jiggen.design.spec import Spec
from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, fit_text, text_width
from jiggen.parts.marks import label
from jiggen.parts.model import Bench, Feature, Role
from jiggen.units import format_inch, format_mm

ROW_PITCH = 1.6  # row pitch in heights of capitals: ISO 3098 asks for 1.5 without accents
_SAME = 0.005  # mm, what is lettered as one
_COLUMN_GAP = 2.0  # in heights of capitals


def scale_words(spec: Spec) -> str:
    """Returns the scale as it is lettered in a heading: `628.00 mm scale`, `838.00–890.00 mm scale`."""
    scales = sorted({spec.scale_treble.value, spec.scale_bass.value})
    return "–".join(f"{scale:.2f}" for scale in scales) + " mm scale"


def spec_rows(layout: Layout) -> tuple[tuple[str, str, str], ...]:
    """Returns the spec as rows of name, value in mm, value in inches (or a plain value and nothing)."""
    spec = layout.spec

    def both(name: str, mm: float) -> tuple[str, str, str]:
        return name, format_mm(mm), format_inch(mm)

    if spec.fanned:
        scales = [
            both("Scale, bass", spec.scale_bass.value),
            both("Scale, treble", spec.scale_treble.value),
            ("Straight fret", f"{spec.straight_fret.value:g}", ""),
        ]
    else:
        scales = [both("Scale length", spec.scale.value)]
    if abs(spec.setback_bass.value - spec.setback_treble.value) < _SAME:
        setbacks = [both("Setback to string centre", spec.setback_bass.value)]
    else:
        setbacks = [
            both("Setback, bass, to centre", spec.setback_bass.value),
            both("Setback, treble, to centre", spec.setback_treble.value),
        ]
    strings = str(spec.string_count.value)
    if max(spec.courses.value) > 1:
        strings += f" in {len(spec.courses.value)} courses"
    return (
        *scales,
        both("Nut width", spec.nut_width.value),
        both("Spread at nut", spec.spread_at_nut.value),
        both("Spread at bridge", spec.spread_at_bridge.value),
        *setbacks,
        both("Projected width at saddle", spec.width_at_saddle.value),
        both("Board end width", layout.board_end.start.distance(layout.board_end.end)),
        both("Nut to board end", x_at(layout.board_end, 0.0)),
        ("Frets", str(spec.frets.value), ""),
        ("Strings", strings, ""),
    )


def identity_rows(neck: Neck) -> tuple[tuple[str, str, str], ...]:
    """Returns whose it is and which revision, as far as the design says; id and date stand in the part's tag."""
    design = neck.spec.design
    rows = (("Revision", design.revision), ("Owner", design.owner))
    return tuple((name, value, "") for name, value in rows if value)


def spec_block(neck: Neck, bench: Bench, *, title: str, boxes: tuple[Box, Box]) -> tuple[Feature, ...]:
    """Returns the design's name and the spec's rows as lettering in two boxes, read from the first to the second.

    Args:
        neck: That the part is for.
        bench: Sets the lettering's height.
        title: Of the part.
        boxes: Room for the lettering; the heading goes to the top of the first.

    Raises:
        LimitError: If the rows do not fit at the smallest legible height.
    """
    height = bench.smallest_lettering_mm
    first = boxes[0]
    heading = fit_text(
        f"{neck.spec.design.name} · {title}",
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
            text=f"{neck.spec.design.name} · {title}",
            letter_mm=heading.height_mm,
        )
    ]
    rows = (*spec_rows(neck.layout), *identity_rows(neck))
    for size in (1.4 * height, 1.2 * height, height):
        cells = _all_cells(boxes, rows, size, height)
        if len(cells) >= len(rows):
            for number, (row, cell) in enumerate(zip(rows, cells, strict=False), start=1):
                features.extend(_row(f"spec.{number}", row, cell))
            return tuple(features)
    raise LimitError(
        where="lettering of the spec",
        got=f"room for fewer than {len(rows)} rows at {height:.1f} mm",
        expected=f"{len(rows)} rows",
        mend="Choose a machine that can letter smaller",
    )


def has_room(neck: Neck, bench: Bench, boxes: tuple[Box, Box]) -> bool:
    """Tells whether the block fits in two boxes at the smallest legible height."""
    rows = (*spec_rows(neck.layout), *identity_rows(neck))
    height = bench.smallest_lettering_mm
    return len(_all_cells(boxes, rows, height, height)) >= len(rows)


def _all_cells(
    boxes: tuple[Box, Box], rows: Sequence[tuple[str, str, str]], size: float, smallest: float
) -> list[Box]:
    """The cells of both boxes, the first one's below the heading."""
    first, second = boxes
    under_heading = Box(first.low, Point(first.high.x, max(first.low.y, first.high.y - 3.2 * smallest)))
    return [*_cells(under_heading, rows, size), *_cells(second, rows, size)]


def _cells(box: Box, rows: Sequence[tuple[str, str, str]], height: float) -> list[Box]:
    """The cells of as many columns as fit in a box, column by column, each wide enough for every row."""
    names, values, inches = (max(text_width(row[column], height) for row in rows) for column in range(3))
    width = names + values + inches + 2.0 * _COLUMN_GAP * height
    columns = int((box.width + _COLUMN_GAP * 2.0 * height) / (width + _COLUMN_GAP * 2.0 * height))
    lines = int((box.height - height) / (ROW_PITCH * height) + 1e-9) + 1
    pitch = width + _COLUMN_GAP * 2.0 * height
    cells: list[Box] = []
    for column in range(columns):
        for line in range(lines):
            top = box.high.y - line * ROW_PITCH * height
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
