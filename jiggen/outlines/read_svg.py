"""Reads what an SVG draws, in millimetres: units, view boxes, transforms and symbols in use are all followed.

Source: W3C SVG 2, chapters 5 (document structure), 7 (units, viewBox) and 8; CSS Values 4, 6.2 (1 in = 96 px).
"""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from jiggen.errors import InputError, JiggenError, did_you_mean, quoted
from jiggen.geometry.affine import IDENTITY, Affine
from jiggen.geometry.box import Box
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.outlines.drawn import MOST_DRAWN, MOST_PIECES, Drawing, Piece, Stroke
from jiggen.outlines.model import Wish
from jiggen.outlines.svg_shape import (
    MOST_CHARACTERS,
    SHAPES,
    View,
    draw_shape,
    read_length,
    read_transform,
)
from jiggen.outlines.svg_view import fitted, read_view_box
from jiggen.outlines.xml_tree import DEEPEST, Element, read_tree
from jiggen.units import MM_PER_INCH, parse_length

_PX = MM_PER_INCH / 96.0
_REAL = re.compile(r"(mm|cm|in|pt|pc|q)\s*$", re.IGNORECASE)
#: Elements that draw nothing of their own, and hold nothing that is drawn where it stands.
_SILENT = frozenset({
    "title", "desc", "metadata", "defs", "symbol", "clipPath", "mask", "marker", "pattern", "filter", "style", "script",
    "linearGradient", "radialGradient", "view", "cursor", "font", "color-profile",
})  # fmt: skip
_GROUPS = frozenset({"svg", "g", "a", "switch"})
#: Why what is drawn by other elements is not taken.
_WHY = {
    "text": "words are no outline; turn them into paths if they shall be",
    "image": "a picture is no outline; trace it first",
    "foreignObject": "it is not SVG",
    "animate": "what moves is no outline",
}
#: Properties that change what is seen of a shape, but not its shape.
_MASKING = ("clip-path", "mask", "filter")
_INHERITED = ("visibility", "fill", "stroke")


@dataclass(frozen=True, slots=True)
class _Here:
    """What holds where an element stands.

    Attributes:
        affine: From its user units to mm.
        view: What shares in percent are of.
        looks: Properties that it inherits.
        taken: Whether it belongs to the layer that is asked for.
        used: The ids of what is in use here.
        depth: How many elements it stands in.
    """

    affine: Affine
    view: View
    looks: Mapping[str, str]
    taken: bool
    used: tuple[str, ...] = ()
    depth: int = 0


@dataclass(slots=True)
class _Pile:
    """What is gathered on the way."""

    strokes: list[Stroke] = field(default_factory=list)
    kinds: Counter[str] = field(default_factory=Counter)
    ignored: dict[str, tuple[int, int]] = field(default_factory=dict)  #: sentence: count, first line
    layers: dict[str, None] = field(default_factory=dict)
    pieces: int = 0
    drawn: int = 0
    characters: int = 0

    def ignore(self, sentence: str, line: int) -> None:
        count, first = self.ignored.get(sentence, (0, line))
        self.ignored[sentence] = (count + 1, first)

    def sentences(self) -> tuple[str, ...]:
        return tuple(
            f"{f'{count} × ' if count > 1 else ''}{sentence.replace('@', f'line {line}', 1)}"
            for sentence, (count, line) in self.ignored.items()
        )


def read_svg(data: bytes, *, file: str, wish: Wish) -> Drawing:
    """Reads what an SVG draws.

    Args:
        data: Its bytes.
        file: What to call it in errors.
        wish: What is asked.

    Raises:
        InputError: If it is no SVG, is not to be trusted, or anything that it draws cannot be read for certain.
    """
    return _Reader(file, wish).read(read_tree(data, file=file))


class _Reader:
    def __init__(self, file: str, wish: Wish) -> None:
        self.file = file
        self.wish = wish
        self.by_id: dict[str, Element] = {}
        self.pile = _Pile()

    def read(self, root: Element) -> Drawing:
        self._index(root)
        scale, view, page, units = self._units(root)
        here = _Here(
            affine=scale,
            view=view,
            looks={},
            taken=self.wish.layer is None,
        )
        self._children(root, self._looking(root, here))
        if self.wish.layer is not None and self.wish.layer not in self.pile.layers:
            names = list(self.pile.layers)
            raise InputError(
                where=self.file,
                got=f"layer {quoted(self.wish.layer)}",
                expected=f"one of the groups or ids {', '.join(map(quoted, names[:12]))}"
                if names
                else "a file with groups that have names; this one has none",
                mend=did_you_mean(self.wish.layer, names),
            )
        kinds = ", ".join(f"{count} × {kind}" for kind, count in sorted(self.pile.kinds.items()))
        return Drawing(
            strokes=tuple(self.pile.strokes),
            took=(units, f"{kinds or 'nothing'}, {self.pile.pieces} lines and curves in all"),
            ignored=self.pile.sentences(),
            layers=tuple(self.pile.layers),
            page=page,
            y_down=True,
        )

    def _index(self, root: Element) -> None:
        waiting = [root]
        while waiting:
            element = waiting.pop()
            if name := element.attributes.get("id"):
                self.by_id.setdefault(name, element)
            waiting += reversed(element.children)

    def _where(self, element: Element) -> str:
        return f"{self.file}, line {element.line}"

    def _units(self, root: Element) -> tuple[Affine, View, Box | None, str]:
        """Returns the map from the root's user units to mm, its view, the page, and the words about units."""
        attributes = root.attributes
        given = [attributes.get(name, "").strip() for name in ("width", "height")]
        sizes = [None if not text or text.endswith("%") or text == "auto" else text for text in given]
        where = self._where(root)
        outside = [
            None if text is None else read_length(text, 0.0, where=f"{where}, {name}")
            for text, name in zip(sizes, ("width", "height"), strict=True)
        ]
        box = read_view_box(attributes, where=where)
        width, height = outside
        wide = width if width is not None else box[2] if box else 0.0
        high = height if height is not None else box[3] if box else 0.0
        if box and width is None and height is not None:
            wide = box[2] * height / box[3]
        if box and height is None and width is not None:
            high = box[3] * width / box[2]
        if (width is not None or height is not None) and not (wide > 0.0 and (high > 0.0 or height is None)):
            raise InputError(
                where=where,
                got=f"width {quoted(given[0])}, height {quoted(given[1])}",
                expected="a page with a size",
            )
        fit = fitted(box, wide, high, attributes.get("preserveAspectRatio", "")) if box else IDENTITY
        real = any(text and _REAL.search(text) for text in sizes)
        factor, words = _PX, "units: the file's own, real ones"
        if not real and self.wish.units is not None:
            factor = parse_length(f"1 {self.wish.units}", where="units").mm
            fit = IDENTITY
            words = f"units: one unit of the file is 1 {self.wish.units}, as asked"
        elif not real:
            words = "units: pixels, of which 96 make an inch"
        elif self.wish.units is not None:
            self.pile.ignore(f"units = {self.wish.units}: the file says its own", root.line)
        mirror = Affine(factor, 0.0, 0.0, -factor, 0.0, 0.0)
        view = View(box[2], box[3]) if box else View(wide, high)
        page = None
        if wide > 0.0 and high > 0.0 and factor == _PX:
            page = Box.spanning(mirror.point(Point(0.0, 0.0)), mirror.point(Point(wide, high)))
        return mirror.after(fit), view, page, words

    def _looking(self, element: Element, here: _Here) -> _Here:
        """Returns what holds inside an element, its layer and looks counted in."""
        style = _style(element)
        looks = {
            **here.looks,
            **{name: style[name] for name in _INHERITED if style.get(name, "inherit") != "inherit"},
        }
        taken = here.taken
        for name in (element.attributes.get("id"), element.attributes.get("label")):
            if name:
                if element.kind in {"g", "svg"} or name == self.wish.layer:
                    self.pile.layers.setdefault(name)
                taken = taken or name == self.wish.layer
        return replace(here, looks=looks, taken=taken, depth=here.depth + 1)

    def _children(self, element: Element, here: _Here) -> None:
        if here.depth > DEEPEST:
            raise InputError(
                where=self._where(element), got=f"elements {DEEPEST} deep", expected="groups a few deep"
            )
        for child in element.children:
            self._element(child, here)

    def _element(self, element: Element, here: _Here) -> None:
        kind, pile = element.kind, self.pile
        pile.drawn += 1
        if pile.drawn > MOST_DRAWN:
            raise InputError(
                where=self._where(element),
                got="one more element, those in use counted each time",
                expected=f"at most {MOST_DRAWN}",
                mend="Save the outline alone",
            )
        if kind in _SILENT or " " in kind:
            if kind == "style":
                pile.ignore("a style sheet (@): what it hides is taken all the same", element.line)
            return
        if _style(element).get("display", "").strip() == "none":
            pile.ignore(f"{kind} (the first on @): it is hidden", element.line)
            return
        inside = self._looking(element, here)
        if text := element.attributes.get("transform"):
            own = read_transform(text, where=self._where(element))
            inside = replace(inside, affine=inside.affine.after(own))
            if not inside.affine.is_sound():
                pile.ignore(f"{kind} (the first on @): its transform leaves nothing of it", element.line)
                return
        if kind in _GROUPS:
            self._children(element, self._nested(element, inside) if kind == "svg" else inside)
        elif kind == "use":
            self._use(element, inside)
        elif kind in SHAPES:
            self._shape(element, inside)
        elif kind in _WHY or here.taken:
            pile.ignore(f"{kind} (the first on @): {_WHY.get(kind, 'it draws no line')}", element.line)

    def _nested(self, element: Element, here: _Here, use: Element | None = None) -> _Here:
        """Returns what holds inside a nested svg or a symbol."""
        attributes = element.attributes | (
            {name: use.attributes[name] for name in ("width", "height") if name in use.attributes}
            if use
            else {}
        )
        where = self._where(element)

        def length(name: str, whole: float, default: str) -> float:
            return read_length(attributes.get(name, default), whole, where=f"{where}, {name}")

        wide, high = length("width", here.view.width, "100%"), length("height", here.view.height, "100%")
        place = (0.0, 0.0) if use else (length("x", here.view.width, "0"), length("y", here.view.height, "0"))
        affine = here.affine.after(Affine(e=place[0], f=place[1]))
        box = read_view_box(attributes, where=where)
        if box is None:
            return replace(here, affine=affine, view=View(wide, high))
        if not (wide > 0.0 and high > 0.0):
            raise InputError(
                where=where, got="a view without a size", expected="a width and a height above zero"
            )
        fit = fitted(box, wide, high, attributes.get("preserveAspectRatio", ""))
        return replace(here, affine=affine.after(fit), view=View(box[2], box[3]))

    def _use(self, element: Element, here: _Here) -> None:
        name = element.attributes.get("href", "").strip()
        target = self.by_id.get(name.removeprefix("#")) if name.startswith("#") else None
        if target is None:
            why = (
                "it is not in this file"
                if name.startswith("#") or not name
                else "nothing outside of it is read"
            )
            self.pile.ignore(f"use of {quoted(name)} (@): {why}", element.line)
            return
        if name in here.used:
            raise InputError(
                where=self._where(element),
                got=f"{quoted(name)} in use within itself",
                expected="symbols that do not hold themselves",
            )
        where = self._where(element)
        x, y = (
            read_length(element.attributes.get(key, "0"), whole, where=f"{where}, {key}")
            for key, whole in (("x", here.view.width), ("y", here.view.height))
        )
        inside = replace(here, affine=here.affine.after(Affine(e=x, f=y)), used=(*here.used, name))
        if target.kind in {"symbol", "svg"}:
            self._children(target, self._nested(target, self._looking(target, inside), element))
        else:
            self._element(target, inside)

    def _shape(self, element: Element, here: _Here) -> None:
        pile, kind = self.pile, element.kind
        if not here.taken:
            pile.ignore("shape (the first on @): it is not in the layer that was asked for", element.line)
            return
        if here.looks.get("visibility", "visible").strip() in {"hidden", "collapse"}:
            pile.ignore(f"{kind} (the first on @): it is hidden", element.line)
            return
        if all(here.looks.get(name, "").strip() == "none" for name in ("fill", "stroke")):
            pile.ignore(f"{kind} (the first on @): it is neither filled nor stroked", element.line)
            return
        style = _style(element)
        for name in _MASKING:
            if style.get(name, "none").strip() != "none":
                pile.ignore(f"{name} (the first on @): shapes are taken whole", element.line)
        pile.characters += sum(len(element.attributes.get(name, "")) for name in ("d", "points"))
        if pile.characters > MOST_CHARACTERS:
            raise self._too_much(element, f"more than {MOST_CHARACTERS} characters of path data")
        before = pile.pieces
        for sub in draw_shape(kind, element.attributes, here.view, where=self._where(element)):
            pieces = self._placed(sub.pieces, here.affine, element)
            pile.pieces += len(pieces)
            if pile.pieces > MOST_PIECES:
                raise self._too_much(element, f"more than {MOST_PIECES} lines and curves")
            pieces = [piece for piece in pieces if not isinstance(piece, Line) or piece.start != piece.end]
            if pieces:
                where = f"{kind} on line {element.line}"
                pile.strokes.append(Stroke(pieces=tuple(pieces), closed=sub.closed, where=where))
        if pile.pieces == before:
            pile.ignore(f"{kind} (the first on @): it has no length", element.line)
        else:
            pile.kinds[kind] += 1

    def _placed(self, pieces: Sequence[Piece], affine: Affine, element: Element) -> list[Piece]:
        try:
            return [moved for piece in pieces for moved in affine.curve(piece)]
        except (ValueError, ArithmeticError):  # too large or too small to be told apart
            raise InputError(
                where=self._where(element),
                got=f"a {element.kind} that its transforms make too large or too small",
                expected="one of the size of a drawing",
            ) from None

    def _too_much(self, element: Element, got: str) -> JiggenError:
        return InputError(
            where=self._where(element),
            got=got,
            expected="an outline, which takes some hundred",
            mend="Save the outline alone, or simplify it in the drawing",
        )


def _style(element: Element) -> dict[str, str]:
    """Returns the properties of an element, those in `style` before those in attributes of their own."""
    attributes = element.attributes
    own = {
        name.strip().lower(): value.replace("!important", "").strip()
        for name, _, value in (each.partition(":") for each in attributes.get("style", "").split(";"))
        if name.strip()
    }
    return {**attributes, **own}
