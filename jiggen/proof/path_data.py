"""SVG path data to strokes: lines and circular arcs, absolute or relative, exactly as written.

Source: W3C SVG 2, chapter 9 (path data grammar) and appendix B.2 (arcs from their ends and flags).
"""

import math
import re

from jiggen.errors import InputError, quoted
from jiggen.proof.trace import Place, Stroke

_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_GAP = r"[\s,]*"
_NUMBERS = re.compile(_NUMBER, re.ASCII)
_ONLY_NUMBERS = re.compile(rf"(?:{_GAP}{_NUMBER})*{_GAP}", re.ASCII)
#: An arc's seven fields: its two flags may stand without a gap between them and the next number.
_ARC = rf"{_GAP}({_NUMBER}){_GAP}({_NUMBER}){_GAP}{_NUMBER}{_GAP}([01]){_GAP}([01]){_GAP}({_NUMBER}){_GAP}({_NUMBER})"
_ARCS = re.compile(_ARC, re.ASCII)
_ONLY_ARCS = re.compile(rf"(?:{_ARC})+{_GAP}", re.ASCII)
_COMMAND = re.compile(r"([MmLlHhVvAaZzCcSsQqTt])")
_FIELDS = {"M": 2, "L": 2, "H": 1, "V": 1, "Z": 0}


def strokes(data: str, *, half_turn_mm: float = 0.0) -> tuple[Stroke, ...]:
    """Returns the subpaths of SVG path data, in its own coordinates.

    A positive bulge turns from x towards y, as the sweep flag 1 does: to the left when y runs up.

    Args:
        data: The value of a `d` attribute.
        half_turn_mm: An arc whose chord is this near to its diameter is taken as a half turn. Rounded numbers lay
            down a half turn badly (its middle moves by √(2 · radius · rounding)), so say 0 to read what is written,
            or the rounding's size when a half turn is known to be meant.

    Raises:
        InputError: If it is not path data, or holds curves that are neither straight nor circular.
    """
    head, *rest = _COMMAND.split(data)
    if head.strip():
        raise _wrong(data, "a command such as M first")
    pen = _Pen(half_turn_mm=half_turn_mm)
    if rest and rest[0] not in "Mm":
        raise _wrong(data, "M first")
    for command, body in zip(rest[0::2], rest[1::2], strict=True):
        relative, kind = command.islower(), command.upper()
        if kind == "A":
            if not _ONLY_ARCS.fullmatch(body):
                raise _wrong(data, "an arc's seven numbers after A")
            for fields in _ARCS.findall(body):
                pen.arc(data, fields, relative=relative)
            continue
        if kind not in _FIELDS:
            raise _wrong(data, f"lines and circular arcs only, not the curve {command}")
        if not _ONLY_NUMBERS.fullmatch(body):
            raise _wrong(data, f"numbers after {command}")
        numbers = [float(each) for each in _NUMBERS.findall(body)]
        size = _FIELDS[kind]
        if (size == 0 and numbers) or (size and (not numbers or len(numbers) % size)):
            raise _wrong(data, f"{size or 'no'} numbers at a time after {command}")
        if kind == "Z":
            pen.close()
        for index in range(0, len(numbers), size or 1):
            pen.move(
                kind if index == 0 or kind != "M" else "L", numbers[index : index + size], relative=relative
            )
    pen.finish()
    return tuple(pen.done)


def arc_bulge(chord: float, radius: float, *, large: bool, half_turn: float = 0.0) -> float:
    """Returns the bulge, without sign, of the arc of a radius over a chord (mm).

    A radius too short for its chord is stretched to half of it (SVG 2, B.2.5).

    Args:
        chord: Distance between its ends.
        radius: As written.
        large: Whether it is the longer way round.
        half_turn: A chord this near to the diameter, in mm, makes a half turn.
    """
    if chord >= 2.0 * radius - half_turn:
        return 1.0
    half = math.asin(chord / (2.0 * radius)) / 2.0
    return math.tan(math.pi / 2.0 - half) if large else math.tan(half)


class _Pen:
    """Where path data has come to."""

    def __init__(self, *, half_turn_mm: float) -> None:
        self.half_turn_mm = half_turn_mm
        self.done: list[Stroke] = []
        self.points: list[Place] | None = None
        self.bulges: list[float] = []
        self.at: Place = (0.0, 0.0)

    def move(self, kind: str, numbers: list[float], *, relative: bool) -> None:
        x, y = self.at if relative else (0.0, 0.0)
        match kind:
            case "H":
                target = (x + numbers[0], self.at[1])
            case "V":
                target = (self.at[0], y + numbers[0])
            case _:
                target = (x + numbers[0], y + numbers[1])
        if kind == "M":
            self.finish()
            self.points, self.at = [target], target
        else:
            self._draw(target, 0.0)

    def arc(self, data: str, fields: tuple[str, ...], *, relative: bool) -> None:
        rx, ry, large, sweep, x, y = fields
        radius = abs(float(rx))
        if abs(abs(float(ry)) - radius) > 1e-9 * max(radius, 1.0):
            raise _wrong(data, "circular arcs only, not elliptic ones")
        base = self.at if relative else (0.0, 0.0)
        target = (base[0] + float(x), base[1] + float(y))
        chord = math.dist(self.at, target)
        if chord == 0.0:
            return  # SVG 2, 9.5.1: an arc that ends where it starts is left out
        bulge = arc_bulge(chord, radius, large=large == "1", half_turn=self.half_turn_mm) if radius else 0.0
        self._draw(target, bulge if sweep == "1" else -bulge)

    def _draw(self, target: Place, bulge: float) -> None:
        if self.points is None:  # SVG 2, 9.3.3: after a Z the next piece starts where that led
            self.points = [self.at]
        self.points.append(target)
        self.bulges.append(bulge)
        self.at = target

    def close(self) -> None:
        if self.points is None:
            return
        first = self.points[0]
        if len(self.points) > 1 and self.points[-1] == first:
            self.points.pop()
        else:
            self.bulges.append(0.0)
        self.done.append(Stroke(tuple(self.points), tuple(self.bulges), closed=True))
        self.points, self.bulges, self.at = None, [], first

    def finish(self) -> None:
        if self.points is not None and len(self.points) > 1:
            self.done.append(Stroke(tuple(self.points), tuple(self.bulges), closed=False))
        self.points, self.bulges = None, []


def _wrong(data: str, expected: str) -> InputError:
    return InputError(where="path data", got=quoted(data), expected=expected)
