"""Reads what a DXF draws, in millimetres: blocks in use are followed, other things are named.

Source: AutoCAD DXF reference, header variable $INSUNITS and section ENTITIES.
"""

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from jiggen.errors import InputError, did_you_mean, quoted
from jiggen.geometry.affine import Affine
from jiggen.outlines.drawn import MOST_DRAWN, MOST_PIECES, Drawing, Piece, Stroke
from jiggen.outlines.dxf_entity import CURVES, Drawn, NotFlatError, draw_entity, insert_map
from jiggen.outlines.dxf_file import Opened, open_dxf
from jiggen.outlines.model import Wish
from jiggen.units import MM_PER_INCH, parse_length

DEEPEST = 50  #: blocks within one another
#: Millimetres in one unit, by $INSUNITS, and what it is called.
_UNITS = {
    1: (MM_PER_INCH, "inches"),
    2: (12.0 * MM_PER_INCH, "feet"),
    4: (1.0, "millimetres"),
    5: (10.0, "centimetres"),
    6: (1000.0, "metres"),
    9: (MM_PER_INCH / 1000.0, "thousandths of an inch"),
    13: (0.001, "micrometres"),
    14: (100.0, "decimetres"),
}
_WHY = {
    "TEXT": "words are no outline",
    "MTEXT": "words are no outline",
    "ATTDEF": "words are no outline",
    "HATCH": "a filling is no outline; keep its boundary as lines",
    "DIMENSION": "a dimension is no outline",
    "LEADER": "a dimension is no outline",
    "IMAGE": "a picture is no outline; trace it first",
    "POINT": "a point has no length",
}
#: What numbers raise that make no curve.
_NO_NUMBERS = (ValueError, TypeError, LookupError, ArithmeticError, AttributeError)
#: Coordinates farther out than this, in mm, are none of a drawing.
_FARTHEST_MM = 1e9


@dataclass(frozen=True, slots=True)
class _Here:
    """What holds where an entity stands: the map to mm, the layer of the insert, the blocks that are open."""

    affine: Affine
    layer: str | None = None
    blocks: tuple[str, ...] = ()


def read_dxf(data: bytes, *, file: str, wish: Wish) -> Drawing:
    """Reads what the model space of a DXF draws.

    Args:
        data: Its bytes.
        file: What to call it in errors.
        wish: What is asked.

    Raises:
        InputError: If it cannot be opened, does not say its units, or anything in it cannot be read for certain.
    """
    return _Reader(open_dxf(data, file=file), file, wish).read()


class _Reader:
    def __init__(self, opened: Opened, file: str, wish: Wish) -> None:
        self.opened = opened
        self.document = opened.document
        self.file = file
        self.wish = wish
        self.strokes: list[Stroke] = []
        self.kinds: Counter[str] = Counter()
        self.ignored: Counter[str] = Counter()
        self.layers: dict[str, None] = {}
        self.pieces = 0
        self.drawn = 0

    def read(self) -> Drawing:
        factor, units = self._units()
        self._entities(self.document.modelspace(), _Here(Affine(factor, 0.0, 0.0, factor, 0.0, 0.0)))
        for layout in self.document.layouts:
            if layout.name != "Model" and len(layout):
                self.ignored[
                    f"what stands in paper space {quoted(layout.name)}: the model space is read"
                ] += 1
        wanted = self.wish.layer
        if wanted is not None and wanted not in self.layers:
            names = list(self.layers)
            raise InputError(
                where=self.file,
                got=f"layer {quoted(wanted)}",
                expected=f"one of {', '.join(map(quoted, names[:12]))}" if names else "a file with layers",
                mend=did_you_mean(wanted, names),
            )
        kinds = ", ".join(f"{count} × {kind}" for kind, count in sorted(self.kinds.items()))
        form = "binary DXF" if self.opened.is_binary else "DXF"
        return Drawing(
            strokes=tuple(self.strokes),
            took=(f"{units} ({form})", f"{kinds or 'nothing'}, {self.pieces} lines and curves in all"),
            ignored=tuple(
                f"{f'{count} × ' if count > 1 else ''}{sentence}" for sentence, count in self.ignored.items()
            ),
            layers=tuple(self.layers),
        )

    def _units(self) -> tuple[float, str]:
        """Returns millimetres in one unit, and the words about it."""
        units, asked = self.opened.units, self.wish.units
        if units in _UNITS:
            factor, name = _UNITS[units]
            if asked is not None:
                self.ignored[f"units = {asked}: the file says its own, {name}"] += 1
            return factor, f"units: {name}, as the file says"
        if asked is not None:
            return parse_length(f"1 {asked}", where="units").mm, f"units: {asked}, as asked"
        raise InputError(
            where=self.file,
            got="this file does not say its units" if units == 0 else f"$INSUNITS {units}",
            expected="millimetres, inches or another unit",
            mend='Add units = "mm", --units mm on the command line, or whatever it was drawn in',
        )

    def _entities(self, entities: Iterable[Any], here: _Here) -> None:
        for entity in entities:
            self._entity(entity, here)

    def _entity(self, entity: Any, here: _Here) -> None:
        self._count()
        kind = entity.dxftype()
        if kind != "INSERT" and kind not in CURVES:
            self.ignored[f"{kind[:40]}: {_WHY.get(kind, 'it is no line and no curve')}"] += 1
            return
        layer = str(entity.dxf.get("layer", "0"))
        if layer == "0" and here.layer is not None:
            layer = here.layer
        if kind == "INSERT":
            self._insert(entity, here, layer)
            return
        self.layers.setdefault(layer)
        if self.wish.layer not in {None, layer}:
            self.ignored[f"entities on layer {quoted(layer)}: it was not asked for"] += 1
            return
        if entity.dxf.get("invisible", 0) or self._is_off(layer):
            self.ignored[f"{kind} on layer {quoted(layer)}: it is not shown"] += 1
            return
        drawn = self._draw(entity, kind, layer)
        if drawn is None:
            return
        self.pieces += len(drawn.pieces)
        if self.pieces > MOST_PIECES:
            raise self._too_much(f"more than {MOST_PIECES} lines and curves")
        pieces = self._placed(drawn, here.affine, kind, layer)
        if pieces:
            self.kinds[kind] += 1
            where = f"{kind} on layer {quoted(layer)}"
            self.strokes.append(Stroke(pieces=pieces, closed=drawn.closed, where=where))
        else:
            self.ignored[f"{kind} on layer {quoted(layer)}: it has no length"] += 1

    def _draw(self, entity: Any, kind: str, layer: str) -> Drawn | None:
        try:
            return draw_entity(entity)
        except NotFlatError:
            self.ignored[f"{kind} on layer {quoted(layer)}: it does not lie in the plane"] += 1
            return None
        except _NO_NUMBERS as error:
            raise self._no_such(f"{kind} on layer {quoted(layer)}", error) from None

    def _no_such(self, what: str, error: Exception) -> InputError:
        return InputError(
            where=f"{self.file}, {what}",
            got=f"numbers that make none ({str(error)[:120]})",
            expected="finite ones that do",
            mend="Draw it anew, or take another layer",
        )

    def _placed(self, drawn: Drawn, affine: Affine, kind: str, layer: str) -> tuple[Piece, ...]:
        try:
            pieces = [moved for piece in drawn.pieces for moved in affine.curve(piece)]
        except (ValueError, ArithmeticError) as error:  # too large or too small to be told apart
            raise self._no_such(f"{kind} on layer {quoted(layer)}", error) from None
        for piece in pieces:
            for place in (piece.start, piece.end):
                if not (abs(place.x) <= _FARTHEST_MM and abs(place.y) <= _FARTHEST_MM):
                    raise InputError(
                        where=f"{self.file}, {kind} on layer {quoted(layer)}",
                        got=f"the place ({place.x:g}, {place.y:g}) mm",
                        expected="numbers that a drawing could have",
                    )
        return tuple(pieces)

    def _insert(self, insert: Any, here: _Here, layer: str) -> None:
        name = str(insert.dxf.name)
        if name in here.blocks:
            raise InputError(
                where=f"{self.file}, block {quoted(name)}",
                got="an INSERT of itself",
                expected="blocks that do not hold themselves",
            )
        block = self.document.blocks.get(name)
        if block is None:
            self.ignored[f"INSERT of {quoted(name)}: there is no such block in the file"] += 1
            return
        if len(here.blocks) >= DEEPEST:
            raise InputError(
                where=f"{self.file}, block {quoted(name)}",
                got=f"blocks {DEEPEST} deep",
                expected="blocks a few deep",
            )
        if self._is_off(layer):
            self.ignored[f"INSERT on layer {quoted(layer)}: it is not shown"] += 1
            return
        try:
            cells = self._cells(insert, name)
            first = insert_map(insert)
        except NotFlatError:
            self.ignored[f"INSERT of {quoted(name)}: it does not lie in the plane"] += 1
            return
        except _NO_NUMBERS as error:
            raise self._no_such(f"INSERT of {quoted(name)}", error) from None
        if not here.affine.after(first).is_sound():
            self.ignored[f"INSERT of {quoted(name)}: its scale leaves nothing of it"] += 1
            return
        for x, y in cells:
            self._count()
            self.kinds["INSERT"] += 1
            affine = here.affine.after(Affine(e=x, f=y)).after(first)
            self._entities(block, _Here(affine, layer, (*here.blocks, name)))

    def _cells(self, insert: Any, name: str) -> list[tuple[float, float]]:
        """Returns by how much each copy of a block is moved, in the units of what it is inserted in."""
        dxf = insert.dxf
        rows, columns = max(int(dxf.get("row_count", 1)), 1), max(int(dxf.get("column_count", 1)), 1)
        if rows * columns > MOST_DRAWN:
            raise self._too_much(f"an INSERT of {rows} × {columns} blocks {quoted(name)}")
        along, across = float(dxf.get("column_spacing", 0.0)), float(dxf.get("row_spacing", 0.0))
        turn = math.radians(float(dxf.get("rotation", 0.0)))
        facing = 1.0 if insert.ocs().uz.z > 0.0 else -1.0
        places = {
            (column * along, row * across): None for row in range(rows) for column in range(columns)
        }  # where there is no distance, copies lie on one another, and one is enough
        return [
            (
                facing * (x * math.cos(turn) - y * math.sin(turn)),
                x * math.sin(turn) + y * math.cos(turn),
            )
            for x, y in places
        ]

    def _count(self) -> None:
        self.drawn += 1
        if self.drawn > MOST_DRAWN:
            raise self._too_much(f"more than {MOST_DRAWN} entities, those in blocks counted each time")

    def _is_off(self, layer: str) -> bool:
        if layer not in self.document.layers:
            return False
        found = self.document.layers.get(layer)
        return bool(found.is_off() or found.is_frozen())

    def _too_much(self, got: str) -> InputError:
        return InputError(
            where=self.file,
            got=got,
            expected="an outline, which takes some hundred",
            mend="Save the outline alone, or take one layer",
        )
