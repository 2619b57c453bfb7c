"""Faults seeded into written files: the text of a DXF or SVG is changed the way bad software or a slip would.

Shares nothing with our writers and readers: a DXF is a list of group codes here, an SVG a list of lines.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from random import Random

from jiggen.proof.report import Fault

KERF = 0.2  # mm, that the sets spoilt here are cut with
RESOLUTION = 0.005  # mm, that the proof states
Point = tuple[float, float]
Move = Callable[[float, float], Point]


class Thing:
    """One entity or element: its name, its layer or group, and its numbers."""

    name: str
    layer: str

    def map(self, move: Move, *, factor: float = 1.0, mirror: bool = False) -> None:
        """Moves all its places, y up; lengths grow by the factor, turns change under a mirror."""
        raise NotImplementedError

    def points(self) -> list[Point]:
        """Its places, y up."""
        raise NotImplementedError

    def copy(self) -> "Thing":
        """The same again."""
        raise NotImplementedError

    def flip_arc(self, which: int) -> bool:
        """Turns the bulge of one of its arcs; tells whether it has that many."""
        raise NotImplementedError

    def widen(self, by: float) -> None:
        """Moves all its walls out."""
        xs, ys = zip(*self.points(), strict=True)
        x, y = (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0
        self.map(lambda px, py: (px + (by if px > x else -by), py + (by if py > y else -by)))


class DxfThing(Thing):
    def __init__(self, pairs: list[list[str]]) -> None:
        self.pairs = pairs
        named = [index for index, pair in enumerate(pairs) if pair == ["1001", "JIGGEN"]]
        self.name = pairs[named[0] + 1][1] if named else ""
        self.speaks_for = next((int(value) for code, value in pairs if code == "1071"), 1)

    @property
    def layer(self) -> str:  # type: ignore[override]
        return next(value for code, value in self.pairs if code == "8")

    @layer.setter
    def layer(self, name: str) -> None:
        for pair in self.pairs:
            if pair[0] == "8":
                pair[1] = name

    def _places(self) -> Iterator[tuple[list[str], list[str]]]:
        for code in ("10", "11"):
            xs = [pair for pair in self.pairs if pair[0] == code]
            ys = [pair for pair in self.pairs if pair[0] == f"2{code[1]}"]
            yield from zip(xs, ys, strict=True)

    def points(self) -> list[Point]:
        radius = self.radius() if self.pairs[0][1] == "CIRCLE" else 0.0
        found = [(float(x[1]), float(y[1])) for x, y in self._places()]
        return [(x + dx, y + dy) for x, y in found for dx, dy in ((-radius, -radius), (radius, radius))]

    def radius(self) -> float:
        return float(next(value for code, value in self.pairs if code == "40"))

    def map(self, move: Move, *, factor: float = 1.0, mirror: bool = False) -> None:
        for x, y in self._places():
            x[1], y[1] = (f"{value:.6f}" for value in move(float(x[1]), float(y[1])))
        angles = [pair for pair in self.pairs if pair[0] in {"50", "51"}]
        if mirror and angles:
            first, last = (float(pair[1]) for pair in angles)
            angles[0][1], angles[1][1] = f"{-last:.6f}", f"{-first:.6f}"
        for pair in self.pairs:
            if pair[0] == "40":
                pair[1] = f"{float(pair[1]) * factor:.6f}"
            elif pair[0] == "42" and mirror:
                pair[1] = f"{-float(pair[1]):.6f}"

    def widen(self, by: float) -> None:
        if self.pairs[0][1] == "CIRCLE":
            self.map(lambda x, y: (x, y), factor=(self.radius() + by) / self.radius())
        else:
            super().widen(by)

    def copy(self) -> "DxfThing":
        return DxfThing([list(pair) for pair in self.pairs])

    def flip_arc(self, which: int) -> bool:
        bulges = [pair for pair in self.pairs if pair[0] == "42" and float(pair[1])]
        if which >= len(bulges):
            return False
        bulges[which][1] = f"{-float(bulges[which][1]):.6f}"
        return True


class SvgThing(Thing):
    _ATTRIBUTE = re.compile(r'(\bd|cx|cy|\br)="([^"]*)"')

    def __init__(self, line: str, layer: str, height: float) -> None:
        self.line, self.layer, self.height = line, layer, height
        found = re.search(r'\bid="([^"]*)"', line)
        self.name = found[1] if found else ""

    def _attributes(self) -> dict[str, str]:
        return dict(self._ATTRIBUTE.findall(self.line))

    def _set(self, name: str, value: str) -> None:
        self.line = re.sub(rf'(\b{name})="[^"]*"', lambda found: f'{found[1]}="{value}"', self.line, count=1)

    def points(self) -> list[Point]:
        found: list[Point] = []
        self._walk(lambda x, y: found.append((x, y)) or (x, y))  # type: ignore[func-returns-value]
        attributes = self._attributes()
        if "r" in attributes:
            (x, y), radius = found[0], float(attributes["r"])
            return [(x - radius, y - radius), (x + radius, y + radius)]
        return found

    def map(self, move: Move, *, factor: float = 1.0, mirror: bool = False) -> None:
        self._walk(move, factor=factor, mirror=mirror, write=True)

    def _walk(self, move: Move, *, factor: float = 1.0, mirror: bool = False, write: bool = False) -> None:
        attributes, height = self._attributes(), self.height

        def moved(x: str, y: str) -> str:
            px, py = move(float(x), height - float(y))
            return f"{px:.6f} {height - py:.6f}"

        if "r" in attributes:
            x, y = moved(attributes["cx"], attributes["cy"]).split()
            new = {"cx": x, "cy": y, "r": f"{float(attributes['r']) * factor:.6f}"}
        else:
            words = attributes["d"].split()
            done: list[str] = []
            index = 0
            while index < len(words):
                word = words[index]
                done.append(word)
                if word == "A":
                    radius = f"{float(words[index + 1]) * factor:.6f}"
                    sweep = words[index + 5] if not mirror else str(1 - int(words[index + 5]))
                    done += [radius, radius, "0", words[index + 4], sweep]
                    done.append(moved(words[index + 6], words[index + 7]))
                    index += 8
                elif word in {"M", "L"}:
                    done.append(moved(words[index + 1], words[index + 2]))
                    index += 3
                else:
                    index += 1
            new = {"d": " ".join(done)}
        if write:
            for name, value in new.items():
                self._set(name, value)

    def widen(self, by: float) -> None:
        attributes = self._attributes()
        if "r" in attributes:
            self._set("r", f"{float(attributes['r']) + by:.6f}")
        else:
            super().widen(by)

    def copy(self) -> "SvgThing":
        return SvgThing(self.line, self.layer, self.height)

    def flip_arc(self, which: int) -> bool:
        found = list(re.finditer(r"(A \S+ \S+ 0 [01] )([01])", self.line))
        if which >= len(found):
            return False
        start, sweep = found[which].start(2), found[which][2]
        self.line = f"{self.line[:start]}{1 - int(sweep)}{self.line[start + 1 :]}"
        return True


@dataclass
class Written:
    """A file taken apart: things, and what stands before and after them."""

    suffix: str
    head: str
    things: list[Thing]
    foot: str

    def of(self, part: str) -> list[Thing]:
        return [thing for thing in self.things if thing.name.startswith(f"{part}.")]

    def named(self, name: str) -> list[Thing]:
        return [thing for thing in self.things if thing.name == name]

    def data(self) -> bytes:
        if self.suffix == ".dxf":
            pairs = [pair for thing in self.things if isinstance(thing, DxfThing) for pair in thing.pairs]
            body = "".join(f"{code}\n{value}\n" for code, value in pairs)
            return (self.head + body + self.foot).encode("cp1252")
        groups: dict[str, list[str]] = {}
        for thing in self.things:
            if isinstance(thing, SvgThing):
                groups.setdefault(thing.layer, []).append(thing.line)
        body = "".join(f'<g id="{name}">\n' + "\n".join(lines) + "\n</g>\n" for name, lines in groups.items())
        return (self.head + body + self.foot).encode()


def take_apart(name: str, data: bytes) -> Written:
    """Takes a file apart."""
    if name.endswith(".dxf"):
        text = data.decode("cp1252")
        start = text.index("2\nENTITIES\n") + len("2\nENTITIES\n")
        end = text.index("0\nENDSEC\n", start)
        lines = text[start:end].split("\n")[:-1]
        pairs = [[code.strip(), value] for code, value in zip(lines[0::2], lines[1::2], strict=True)]
        starts = [index for index, (code, _) in enumerate(pairs) if code == "0"]
        things: list[Thing] = []
        named, left = "", 0
        for first, last in zip(starts, [*starts[1:], len(pairs)], strict=True):
            thing = DxfThing(pairs[first:last])
            if thing.name:
                named, left = thing.name, thing.speaks_for
            elif left:
                thing.name = named
            left -= 1
            things.append(thing)
        return Written(".dxf", text[:start], things, text[end:])
    text = data.decode()
    height = float(re.search(r'viewBox="0 0 \S+ (\S+)"', text)[1])  # type: ignore[index]
    start = text.index("<g ")
    things, layer = [], ""
    for line in text[start:].split("\n"):
        if found := re.match(r'<g id="([^"]*)"', line):
            layer = found[1]
        elif line.startswith(("<path", "<circle")):
            things.append(SvgThing(line, layer, height))
    return Written(".svg", text[:start], things, "</svg>\n")


@dataclass(frozen=True)
class Seeded:
    """What was done to a file, and how it must be called."""

    kind: str
    fault: Fault
    part: str
    feature: str = ""
    beside: frozenset[Fault] = frozenset()  #: other names that truly apply as well


def shift(dx: float, dy: float) -> Move:
    return lambda x, y: (x + dx, y + dy)


def _far_enough(chance: Random) -> float:
    """Above the resolution, mostly little, now and then much."""
    return chance.choice((-1.0, 1.0)) * chance.choice(
        (0.05, chance.uniform(1.2 * RESOLUTION, 0.05), chance.uniform(0.05, 0.8))
    )


def _slots(file: Written, part: str) -> list[str]:
    return sorted({t.name for t in file.of(part) if re.fullmatch(rf"{part}\.fret\.\d+", t.name)})


def _holes(file: Written, part: str) -> list[str]:
    return sorted({thing.name for thing in file.of(part) if thing.name.startswith(f"{part}.pin.")})


def fret_moved(file: Written, part: str, chance: Random) -> Seeded:
    name, by = chance.choice(_slots(file, part)), _far_enough(chance)
    for thing in file.named(name):
        thing.map(shift(by, 0.0))
    return Seeded("fret moved", Fault.MOVED, part, name.removeprefix(f"{part}."))


def hole_shifted(file: Written, part: str, chance: Random) -> Seeded:
    name, by = chance.choice(_holes(file, part)), _far_enough(chance)
    for thing in file.named(name):
        thing.map(chance.choice((shift(by, 0.0), shift(0.0, by), shift(by, by))))
    return Seeded("hole shifted", Fault.MOVED, part, name.removeprefix(f"{part}."))


def kerf_on_the_wrong_side(file: Written, part: str, chance: Random) -> Seeded:
    name = chance.choice([*_slots(file, part), *_holes(file, part)])
    for thing in file.named(name):
        thing.widen(KERF)
    return Seeded("kerf on the wrong side", Fault.KERF_WRONG_SIDE, part, name.removeprefix(f"{part}."))


def kerf_left_out(file: Written, part: str, chance: Random) -> Seeded:
    name = chance.choice([*_slots(file, part), *_holes(file, part)])
    for thing in file.named(name):
        thing.widen(KERF / 2.0)
    return Seeded("kerf left out", Fault.KERF_NOT_APPLIED, part, name.removeprefix(f"{part}."))


def mirrored_part(file: Written, part: str, chance: Random) -> Seeded:
    points = [point for thing in file.of(part) for point in thing.points()]
    ys = [y for _, y in points]
    both = min(ys) + max(ys)
    for thing in file.of(part):
        thing.map(lambda x, y: (x, both - y), mirror=True)
    return Seeded("mirrored part", Fault.MIRRORED, part)


def wrong_scale(factors: Iterable[float], kind: str) -> Callable[[Written, str, Random], Seeded]:
    def spoil(file: Written, part: str, chance: Random) -> Seeded:
        factor = chance.choice(tuple(factors))
        for thing in file.things:
            thing.map(lambda x, y: (factor * x, factor * y), factor=factor)
        return Seeded(kind, Fault.WRONG_SCALE, part)

    return spoil


def missing_slot(file: Written, part: str, chance: Random) -> Seeded:
    name = chance.choice(_slots(file, part))
    file.things = [thing for thing in file.things if thing.name != name]
    return Seeded("missing slot", Fault.MISSING_FEATURE, part, name.removeprefix(f"{part}."))


def doubled_line(file: Written, part: str, chance: Random) -> Seeded:
    thing = chance.choice([each for each in file.of(part) if not each.name.endswith((".tag", ".outline"))])
    file.things.insert(chance.randrange(len(file.things)), thing.copy())
    # an SVG element twice has its id twice as well
    beside = frozenset({Fault.WRONG_ID}) if file.suffix == ".svg" else frozenset()
    return Seeded("doubled line", Fault.DOUBLED_LINE, part, thing.name.removeprefix(f"{part}."), beside)


def layer_swapped(file: Written, part: str, chance: Random) -> Seeded:
    name = chance.choice([*_slots(file, part), *_holes(file, part)])
    layer = chance.choice(("score", "engrave", "cut-edge"))
    for thing in file.named(name):
        thing.layer = layer
    return Seeded("layer swapped", Fault.WRONG_OPERATION, part, name.removeprefix(f"{part}."))


def part_cut_twice(file: Written, part: str, chance: Random) -> Seeded:
    by = -chance.uniform(130.0, 300.0)
    copies = [thing.copy() for thing in file.of(part)]
    for thing in copies:
        thing.map(shift(0.0, by))
    file.things += copies
    beside = frozenset({Fault.WRONG_ID}) if file.suffix == ".svg" else frozenset()
    return Seeded("part cut twice", Fault.PART_CUT_TWICE, part, beside=beside)


def stale_id(file: Written, part: str, chance: Random) -> Seeded:
    stale = f"{chance.randrange(16**4):04X}-{chance.randrange(16**4):04X}"
    old, new = re.compile(r"(design_id\W+)[0-9A-F]{4}-[0-9A-F]{4}"), rf"\g<1>{stale}"
    file.head = old.sub(new, file.head)
    for thing in file.things:
        if isinstance(thing, DxfThing):
            thing.pairs = [[code, old.sub(new, value)] for code, value in thing.pairs]
    return Seeded("stale id", Fault.WRONG_TAG, part)


def arc_flipped(file: Written, part: str, chance: Random) -> Seeded:
    (outline,) = file.named(f"{part}.outline")
    assert outline.flip_arc(chance.randrange(4))
    return Seeded("arc flipped", Fault.ARC_FLIPPED, part, "outline")


def text_outside(file: Written, part: str, chance: Random) -> Seeded:
    by = -chance.uniform(120.0, 140.0)
    name = chance.choice(("title", "tag"))
    for thing in file.named(f"{part}.{name}"):
        thing.map(shift(0.0, by))
    return Seeded("text outside the part", Fault.OUTSIDE_PART, part, name, frozenset({Fault.MOVED}))


FAULTS: tuple[Callable[[Written, str, Random], Seeded], ...] = (
    fret_moved,
    kerf_on_the_wrong_side,
    kerf_left_out,
    mirrored_part,
    wrong_scale((25.4, 1.0 / 25.4), "25.4 scale"),
    wrong_scale((96.0 / 72.0, 72.0 / 96.0), "96/72 scale"),
    missing_slot,
    doubled_line,
    layer_swapped,
    part_cut_twice,
    stale_id,
    hole_shifted,
    arc_flipped,
    text_outside,
)


def spoil(number: int, name: str, data: bytes, part: str) -> tuple[bytes, Seeded]:
    """Returns a file with one fault, and what it is. The same number makes the same fault.

    Args:
        number: Seed, and which kind of fault.
        name: Of the file.
        data: Its bytes.
        part: A saw guide on it.
    """
    chance = Random(number)  # noqa: S311 - chance for tests, not for secrets
    file = take_apart(name, data)
    seeded = FAULTS[number % len(FAULTS)](file, part, chance)
    spoilt = file.data()
    assert spoilt != data
    return spoilt, replace(seeded)
