"""Affine maps of strokes: what `transform` does to a drawing. Arcs stay arcs under maps that keep circles round."""

import math
import re
from dataclasses import dataclass

from jiggen.errors import InputError, quoted
from jiggen.proof.trace import Place, Stroke

_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_ONE = re.compile(rf"\s*(\w+)\s*\(\s*({_NUMBER}(?:[\s,]+{_NUMBER})*)\s*\)\s*,?", re.ASCII)
#: A map whose two directions differ by less than this share keeps circles round.
_ROUND = 1e-9


@dataclass(frozen=True, slots=True)
class Affine:
    """x goes to a x + c y + e, y goes to b x + d y + f.

    Source: W3C SVG 2, chapter 8.5: the order of `matrix(a b c d e f)`.
    """

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def place(self, place: Place) -> Place:
        """Returns where a place goes."""
        x, y = place
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def after(self, inner: "Affine") -> "Affine":
        """Returns the map that does `inner` first and this one second."""
        e, f = self.place((inner.e, inner.f))
        return Affine(
            self.a * inner.a + self.c * inner.b,
            self.b * inner.a + self.d * inner.b,
            self.a * inner.c + self.c * inner.d,
            self.b * inner.c + self.d * inner.d,
            e,
            f,
        )

    @property
    def factor(self) -> float:
        """By how much lengths grow at most."""
        return max(math.hypot(self.a, self.b), math.hypot(self.c, self.d))

    def keeps_circles(self) -> bool:
        """Tells whether circles stay round."""
        along, across = math.hypot(self.a, self.b), math.hypot(self.c, self.d)
        leaning = abs(self.a * self.c + self.b * self.d)
        return abs(along - across) <= _ROUND * along and leaning <= _ROUND * along * across

    def stroke(self, stroke: Stroke) -> Stroke:
        """Returns where a stroke goes; one with arcs only under a map that keeps circles."""
        sign = 1.0 if self.a * self.d - self.b * self.c > 0.0 else -1.0
        return Stroke(
            tuple(map(self.place, stroke.points)),
            tuple(sign * bulge for bulge in stroke.bulges),
            closed=stroke.closed,
        )


IDENTITY = Affine()


def read_transform(text: str, *, where: str) -> Affine:
    """Returns the map that a `transform` attribute stands for.

    Raises:
        InputError: If it is none.

    Source: W3C SVG 2, chapter 8.5, and CSS Transforms 1: the functions matrix, translate, scale, rotate, skewX, skewY.
    """
    result, end = IDENTITY, 0
    for found in _ONE.finditer(text):
        one = _function(found[1], [float(each) for each in re.split(r"[\s,]+", found[2])])
        if one is None or text[end : found.start()].strip():
            break
        result, end = result.after(one), found.end()
    if text[end:].strip() or result.a * result.d == result.b * result.c:
        raise InputError(where=where, got=f"transform {quoted(text)}", expected="a map that can be undone")
    return result


def _function(name: str, numbers: list[float]) -> Affine | None:
    match name, numbers:
        case "matrix", [a, b, c, d, e, f]:
            return Affine(a, b, c, d, e, f)
        case "translate", [x]:
            return Affine(e=x)
        case "translate", [x, y]:
            return Affine(e=x, f=y)
        case "scale", [factor]:
            return Affine(a=factor, d=factor)
        case "scale", [x, y]:
            return Affine(a=x, d=y)
        case "rotate", [degrees]:
            cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
            return Affine(cosine, sine, -sine, cosine)
        case "rotate", [degrees, x, y]:
            turn = _function("rotate", [degrees])
            return Affine(e=x, f=y).after(turn).after(Affine(e=-x, f=-y)) if turn else None
        case "skewX", [degrees]:
            return Affine(c=math.tan(math.radians(degrees)))
        case "skewY", [degrees]:
            return Affine(b=math.tan(math.radians(degrees)))
        case _:
            return None
