"""A long page in tiles for a small printer: windows that overlap, marks to join them by, and a map of them all.

Rows are lettered from the top, columns numbered from the left: A1, A2, B1. Tiles with nothing on them are left out,
and are on the map all the same. Millimetres.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_uppercase

from jiggen.drawing.model import Area, Ink, Inset, Item, Page, Pen, Words, width_of, words
from jiggen.drawing.paper import Paper
from jiggen.drawing.scale_check import BAR, bars
from jiggen.drawing.style import ASSUMED_RED, FINE, HEADING, INK, NAME, SMALL, SOFT, TITLE
from jiggen.geometry.box import Box
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import circle, rectangle, segment
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import Similarity, scaled
from jiggen.lettering.fit import Anchor

#: Border that printers may leave blank, and how far tiles lie over one another.
MARGIN, OVERLAP = 12.0, 10.0
_CROP = Pen(FINE, INK)
_GRID = Pen(FINE * 2.0, ASSUMED_RED)
#: Half the size of a joining cross, and the length of a crop mark.
_CROSS, _CROP_LENGTH = 3.0, 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """How a page is cut up.

    Attributes:
        width_mm: Of the paper as it lies.
        height_mm: Of the same.
        columns: Of tiles.
        rows: Of tiles.
        corner: Lower left corner of the whole grid, coordinates of the page that is cut up.
    """

    width_mm: float
    height_mm: float
    columns: int
    rows: int
    corner: Point

    @property
    def step(self) -> Point:
        """From a tile to the next one to the right and the next one up."""
        return Point(self.width_mm - 2.0 * MARGIN - OVERLAP, self.height_mm - 2.0 * MARGIN - OVERLAP)

    def window(self, column: int, row: int) -> Box:
        """Returns what a tile shows, coordinates of the page that is cut up; row 0 is at the top."""
        low = self.corner + Point(self.step.x * column, self.step.y * (self.rows - 1 - row))
        return Box(low, low + self.step + Point(OVERLAP, OVERLAP))


def cut_up(page: Page, paper: Paper) -> Grid:
    """Returns the grid with the fewest tiles, with the paper upright or across; upright if both are alike."""
    upright = _grid(page, paper.width_mm, paper.height_mm)
    across = _grid(page, paper.height_mm, paper.width_mm)
    return min(upright, across, key=lambda grid: grid.columns * grid.rows)


def _grid(page: Page, width: float, height: float) -> Grid:
    def count(size: float, room: float) -> int:
        return max(math.ceil((size - OVERLAP) / (room - OVERLAP) - 1e-9), 1)

    room = Point(width - 2.0 * MARGIN, height - 2.0 * MARGIN)
    columns, rows = count(page.width_mm, room.x), count(page.height_mm, room.y)
    covered = Point(
        columns * (room.x - OVERLAP) + OVERLAP,
        rows * (room.y - OVERLAP) + OVERLAP,
    )
    corner = Point((page.width_mm - covered.x) / 2.0, (page.height_mm - covered.y) / 2.0)
    return Grid(width_mm=width, height_mm=height, columns=columns, rows=rows, corner=corner)


def tile_name(column: int, row: int) -> str:
    """Returns the name of a tile: a letter for its row, a number for its column."""
    return f"{ascii_uppercase[row]}{column + 1}"


def tile_pages(page: Page, paper: Paper) -> list[Page]:
    """Returns an index page, then every tile that shows anything.

    Args:
        page: What is cut up.
        paper: On which it is printed.
    """
    grid = cut_up(page, paper)
    boxes = list(_boxes(page))
    shown = {
        (column, row): grid.window(column, row)
        for row in range(grid.rows)
        for column in range(grid.columns)
        if any(box.overlaps(grid.window(column, row)) for box in boxes)
    }
    tiles = [_tile(page, paper, grid, place, frozenset(shown)) for place in shown]
    return [_index(page, paper, grid, frozenset(shown)), *tiles]


def _boxes(page: Page) -> Iterator[Box]:
    """Yields boxes round everything on a page, of lines round each piece, grown so that none is without area."""
    for item in page.items:
        match item:
            case Ink():
                yield from (piece.box.grown(item.pen.width_mm) for path in item.paths for piece in path)
            case Area():
                yield from (bounds(path) for path in item.paths)
            case Words():
                yield item.box
            case Inset():
                yield item.window


def _tile(
    page: Page, paper: Paper, grid: Grid, place: tuple[int, int], shown: frozenset[tuple[int, int]]
) -> Page:
    column, row = place
    window = grid.window(column, row)
    shift = Point(MARGIN, MARGIN) - window.low
    frame = Box(window.low + shift, window.high + shift)
    name = tile_name(column, row)
    neighbours = {
        "left": (column - 1, row),
        "right": (column + 1, row),
        "up": (column, row - 1),
        "down": (column, row + 1),
    }
    joined = {side: each for side, each in neighbours.items() if each in shown}
    items: list[Item] = [
        Inset(page=page, place=Similarity(shift=shift), window=frame),
        *_crop_marks(frame),
        *_crosses(frame, joined),
        *bars(Point(frame.low.x + 12.0, MARGIN - 2.0 - BAR), "x"),
        *bars(Point(MARGIN - 2.0 - BAR, frame.low.y + 12.0), "y"),
        words(name, Point(frame.low.x + 7.0, frame.high.y + 3.0), height=TITLE, colour=INK),
        words(
            f"{page.title} · tile {name}, {grid.rows} rows of {grid.columns}, {paper.title}",
            Point(frame.low.x + 20.0, frame.high.y + 3.0),
            height=SMALL,
            colour=INK,
        ),
        words(
            "PRINT AT 100 %",
            Point(frame.high.x - 7.0, 6.0),
            height=SMALL,
            colour=INK,
            anchor=Anchor.RIGHT_BASELINE,
        ),
        *_neighbour_names(frame, joined),
    ]
    return Page(
        title=f"{page.title}, tile {name}",
        width_mm=grid.width_mm,
        height_mm=grid.height_mm,
        items=tuple(items),
        name=name,
    )


def _crop_marks(frame: Box) -> Iterator[Item]:
    """Yields marks beside the corners of the window, outside it, where the knife starts and ends."""
    low, high = frame.low, frame.high
    yield Ink(
        paths=tuple(
            segment(corner + away * 1.0, corner + away * _CROP_LENGTH)
            for corner in (low, Point(high.x, low.y), high, Point(low.x, high.y))
            for away in (
                Point(-1.0 if corner.x == low.x else 1.0, 0.0),
                Point(0.0, -1.0 if corner.y == low.y else 1.0),
            )
        ),
        pen=_CROP,
        id="crop",
    )


def _crosses(frame: Box, joined: dict[str, tuple[int, int]]) -> Iterator[Item]:
    """Yields crosses in the middle of each overlap, which come to lie on those of the neighbour."""
    half = OVERLAP / 2.0
    for side in joined:
        for share in (0.25, 0.75):
            across = frame.low.x + frame.width * share
            along = frame.low.y + frame.height * share
            at = {
                "left": Point(frame.low.x + half, along),
                "right": Point(frame.high.x - half, along),
                "down": Point(across, frame.low.y + half),
                "up": Point(across, frame.high.y - half),
            }[side]
            arms = [
                segment(at - arm * _CROSS, at + arm * _CROSS) for arm in (Point(1.0, 0.0), Point(0.0, 1.0))
            ]
            yield Ink(paths=(*arms, circle(at, _CROSS / 2.0)), pen=_GRID, id=f"join.{side}.{share}")


def _neighbour_names(frame: Box, joined: dict[str, tuple[int, int]]) -> Iterator[Item]:
    places = {
        "left": (Point(MARGIN / 2.0 + 1.0, frame.high.y - 20.0), math.pi / 2.0),
        "right": (Point(frame.high.x + MARGIN / 2.0, frame.centre.y), math.pi / 2.0),
        "down": (Point(frame.high.x - 55.0, 7.2), 0.0),
        "up": (Point(frame.high.x - 20.0, frame.high.y + 4.0), 0.0),
    }
    for side, neighbour in joined.items():
        at, angle = places[side]
        yield words(
            f"joins {tile_name(*neighbour)}",
            at,
            height=SMALL,
            colour=ASSUMED_RED,
            anchor=Anchor.CENTRE_MIDDLE,
            angle=angle,
        )


def _index(page: Page, paper: Paper, grid: Grid, shown: frozenset[tuple[int, int]]) -> Page:
    """Returns the page that says how many tiles there are, where each belongs, and how to print and join them."""
    inside = Box(Point(MARGIN, MARGIN), Point(grid.width_mm - MARGIN, grid.height_mm - MARGIN))
    head = inside.high.y - HEADING
    count = f"{len(shown)} tiles on {paper.title}, {OVERLAP:.0f} mm over one another"
    steps = (
        "1. Print every page at 100 % (actual size). Turn off “fit to page”.",
        "2. Lay a rule on both bars of each page, along and across: 100 mm and 4 in.",
        "3. Cut two sides of each tile at the crop marks. Lay crosses on crosses, and glue.",
        "4. Lay a long rule along the printed one, across all seams: small errors add up.",
        "Paper is for looking and checking. Cut from the DXF or SVG.",
    )
    items: list[Item] = [
        words(
            page.title,
            Point(inside.low.x, head),
            height=_fitting(page.title, inside.width, HEADING),
            colour=INK,
        ),
        words(count, Point(inside.low.x, head - 8.0), height=_fitting(count, inside.width, NAME), colour=INK),
        *(
            words(
                step,
                Point(inside.low.x, head - 18.0 - 5.5 * number),
                height=_fitting(step, inside.width, NAME),
                colour=INK,
            )
            for number, step in enumerate(steps)
        ),
        *bars(inside.low + Point(2.0 * BAR + 8.0, BAR + 2.0), "x"),
        *bars(inside.low + Point(BAR, 2.0 * BAR + 10.0), "y"),
    ]
    room = Box(
        inside.low + Point(2.0 * BAR + 12.0, 3.0 * BAR + 12.0),
        Point(inside.high.x, head - 18.0 - 5.5 * len(steps)),
    )
    whole = Box(grid.window(0, grid.rows - 1).low, grid.window(grid.columns - 1, 0).high)
    factor = min(room.width / whole.width, room.height / whole.height)
    to_map = scaled(factor).then(
        Similarity(shift=Point(room.low.x, room.high.y) - Point(whole.low.x, whole.high.y) * factor)
    )
    map_box = Box(to_map.point(whole.low), to_map.point(whole.high))
    items.append(Inset(page=page, place=to_map, window=map_box))
    for row in range(grid.rows):
        for column in range(grid.columns):
            window = grid.window(column, row)
            tile = Box(to_map.point(window.low), to_map.point(window.high))
            items.append(Ink(paths=(rectangle(tile.low, tile.high),), pen=_GRID))
            text = tile_name(column, row) if (column, row) in shown else f"{tile_name(column, row)} blank"
            items.append(
                words(
                    text,
                    Point(tile.low.x + 3.0, tile.high.y - 3.0),
                    height=TITLE,
                    colour=ASSUMED_RED if (column, row) in shown else SOFT,
                    anchor=Anchor.LEFT_TOP,
                )
            )
    return Page(
        title=f"{page.title} in tiles",
        width_mm=grid.width_mm,
        height_mm=grid.height_mm,
        items=tuple(items),
        name="index",
    )


def _fitting(text: str, room: float, largest: float) -> float:
    """Returns a height of letters at which a text is no wider than the room."""
    return min(largest, largest * room / width_of(text, largest))
