"""SVG path data to strokes: lines and circular arcs, absolute or relative, exactly as written.

Source: W3C SVG 2, chapter 9 (path data grammar) and appendix B.2 (arcs from their ends and flags).
"""

import math
import re

from jiggen.errors import InputError, quoted
from jiggen.proof.chords import bezier, elliptic_arc
from jiggen.proof.trace import Place, Stroke

_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_GAP = r"[\s,]*"
_NUMBERS = re.compile(_NUMBER, re.ASCII)
_ONLY_NUMBERS = re.compile(rf"(?:{_GAP}{_NUMBER})*{_GAP}", re.ASCII)
#: An arc's seven fields: its two flags may stand without a gap between them and the next number.
_ARC = rf"{_GAP}({_NUMBER}){_GAP}({_NUMBER}){_GAP}({_NUMBER}){_GAP}([01]){_GAP}([01]){_GAP}({_NUMBER}){_GAP}({_NUMBER})"
_ARCS = re.compile(_ARC, re.ASCII)
_ONLY_ARCS = re.compile(rf"(?:{_ARC})+{_GAP}", re.ASCII)
_COMMAND = re.compile(r"([MmLlHhVvAaZzCcSsQqTt])")
_FIELDS = {"M": 2, "L": 2, "H": 1, "V": 1, "A": 7, "C": 6, "S": 4, "Q": 4, "T": 2}
_CURVES = frozenset("CSQT")


def strokes(data: str, *, half_turn_mm: float = 0.0, chord_error: float | None = None) -> tuple[Stroke, ...]:
    """Returns the subpaths of SVG path data, in its own coordinates.

    A positive bulge turns from x towards y, as the sweep flag 1 does: to the left when y runs up.

    Args:
        data: The value of a `d` attribute.
        half_turn_mm: An arc whose chord is this near to its diameter is taken as a half turn. Rounded numbers lay
            down a half turn badly (its middle moves by √(2 · radius · rounding)), so say 0 to read what is written,
            or the rounding's size when a half turn is known to be meant.
        chord_error: How far chords may lie off curves that are neither straight nor circular, in the data's unit;
            None refuses such curves.

    Raises:
        InputError: If it is not path data, or holds such curves.
    """
    head, *rest = _COMMAND.split(data)
    if head.strip() or (rest and rest[0] not in "Mm"):
        raise _wrong(data, "the command M first")
    pen = _Pen(data, half_turn_mm, chord_error)
    for command, body in zip(rest[0::2], rest[1::2], strict=True):
        kind = command.upper()
        if kind == "Z":
            if body.strip():
                raise _wrong(data, f"no numbers after {command}")
            pen.close()
            continue
        size = _FIELDS[kind]
        if kind in _CURVES and chord_error is None:
            raise _wrong(data, f"lines and circular arcs only, not the curve {command}")
        numbers = _numbers(body, kind)
        if not numbers or len(numbers) % size:
            raise _wrong(data, f"{size} numbers at a time after {command}")
        if command == "L":
            pen.straight(numbers)
        elif command == "A" and size == len(numbers):
            pen.turn(numbers)
        else:
            for index in range(0, len(numbers), size):
                pen.follow(
                    kind if index == 0 or kind != "M" else "L", numbers[index : index + size], kind != command
                )
    pen.finish()
    return tuple(pen.done)


def _numbers(body: str, kind: str) -> list[float]:
    """Returns the numbers after a command, none if there is anything else; they may stand without gaps between."""
    words = body.replace(",", " ").split()
    flags_parted = kind != "A" or {*words[3::7], *words[4::7]} <= {"0", "1"}
    if flags_parted and "_" not in body:  # which Python would let pass
        try:
            return [*map(float, words)]
        except ValueError:
            pass  # then they stand close together, or are no numbers
    if kind == "A":
        fields = _ARCS.findall(body) if _ONLY_ARCS.fullmatch(body) else []
        return [float(each) for arc in fields for each in arc]
    return [float(each) for each in _NUMBERS.findall(body)] if _ONLY_NUMBERS.fullmatch(body) else []


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

    def __init__(self, data: str, half_turn_mm: float, chord_error: float | None) -> None:
        self.data = data
        self.half_turn_mm = half_turn_mm
        self.chord_error = chord_error
        self.handle: tuple[str, Place] = ("", (0.0, 0.0))  # the last curve's kind, and where it came from
        self.done: list[Stroke] = []
        self.points: list[Place] = []
        self.bulges: list[float] = []
        self.at: Place = (0.0, 0.0)

    def straight(self, numbers: list[float]) -> None:
        """Follows lines to places, as most of path data does."""
        if not self.points:
            self.points = [self.at]  # SVG 2, 9.3.3: after a Z the next piece starts where that led
        self.points += zip(numbers[0::2], numbers[1::2], strict=True)
        self.bulges += [0.0] * (len(numbers) // 2)
        self.at = self.points[-1]
        self.handle = ("", self.at)

    def turn(self, numbers: list[float]) -> None:
        """Follows an arc, its end absolute, as lettering mostly does."""
        target = (numbers[5], numbers[6])
        if target == self.at:
            return  # SVG 2, 9.5.1: an arc that ends where it starts is left out
        if self.chord_error is not None and not _is_circular(numbers):
            self._run(elliptic_arc(self.at, numbers, self.chord_error))
        else:
            self._add(target, self._bulge(numbers, target))
        self.at = target
        self.handle = ("", target)

    def follow(self, kind: str, numbers: list[float], relative: bool) -> None:  # noqa: FBT001 - called in a loop
        base_x, base_y = self.at if relative else (0.0, 0.0)
        match kind:
            case "H":
                target = (base_x + numbers[0], self.at[1])
            case "V":
                target = (self.at[0], base_y + numbers[0])
            case _:
                target = (base_x + numbers[-2], base_y + numbers[-1])
        if kind == "M":
            self.finish()
            self.points = [target]
        elif kind in _CURVES:
            controls = [(base_x + x, base_y + y) for x, y in zip(numbers[0::2], numbers[1::2], strict=True)]
            self._curve(kind, controls)
        elif kind == "A":
            self.turn([*numbers[:5], *target])
        else:
            self._add(target, 0.0)
        self.at = target
        if kind not in _CURVES:
            self.handle = ("", target)

    def _add(self, target: Place, bulge: float) -> None:
        if not self.points:
            self.points = [self.at]  # SVG 2, 9.3.3: after a Z the next piece starts where that led
        self.points.append(target)
        self.bulges.append(bulge)

    def _run(self, places: list[Place]) -> None:
        for place in places:
            self._add(place, 0.0)

    def _curve(self, kind: str, controls: list[Place]) -> None:
        if kind in {"S", "T"}:  # SVG 2, 9.3.6 and 9.3.7: goes on as the curve before it came in
            before, handle = self.handle
            smooth = before == ("C" if kind == "S" else "Q")
            x, y = self.at
            controls.insert(0, (2.0 * x - handle[0], 2.0 * y - handle[1]) if smooth else self.at)
        if self.chord_error is not None:
            self._run(bezier([self.at, *controls], self.chord_error))
        self.handle = ("C" if len(controls) == 3 else "Q", controls[-2])

    def _bulge(self, numbers: list[float], target: Place) -> float:
        radius = abs(numbers[0])
        if not _is_circular(numbers):
            raise _wrong(self.data, "circular arcs only, not elliptic ones")
        if 0.0 in {radius, numbers[1]}:
            return 0.0
        chord = math.dist(self.at, target)
        bulge = arc_bulge(chord, radius, large=numbers[3] == 1.0, half_turn=self.half_turn_mm)
        return bulge if numbers[4] == 1.0 else -bulge

    def close(self) -> None:
        if not self.points:
            return
        first = self.points[0]
        if len(self.points) > 1 and self.points[-1] == first:
            self.points.pop()
        else:
            self.bulges.append(0.0)
        self.done.append(Stroke(tuple(self.points), tuple(self.bulges), closed=True))
        self.points, self.bulges, self.at = [], [], first

    def finish(self) -> None:
        if len(self.points) > 1:
            self.done.append(Stroke(tuple(self.points), tuple(self.bulges), closed=False))
        self.points, self.bulges = [], []


def _is_circular(arc: list[float]) -> bool:
    radius, other = abs(arc[0]), abs(arc[1])
    return abs(other - radius) <= 1e-9 * max(radius, 1.0) or 0.0 in {radius, other}


def _wrong(data: str, expected: str) -> InputError:
    return InputError(where="path data", got=quoted(data), expected=expected)
