"""A small job drawn and written by hand: no writer, no kernel, no layout of the house.

Three plates of Wren (628 mm scale): a saw guide with slots, holes, score lines and lettering, lying straight; an
index strip with square, V and round notches and a round-ended slot, lying on its side; and a slanting plate with a
hollow side, turned by 17 degrees and mirrored. Paths are lists of (x, y, bulge), part coordinates, y up.
"""

import hashlib
import json
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

Vertex = tuple[float, float, float]
KERF = 0.2
H = KERF / 2.0
SCALE = 628.0
SHEET = (700.0, 480.0)
OPERATIONS = {"edge": "cut-edge", "opening": "cut-opening", "line": "score", "lettering": "engrave"}


def fret(number: int) -> float:
    """Twelve equal steps to the octave."""
    return SCALE * (1.0 - 2.0 ** (-number / 12.0))


@dataclass(frozen=True)
class Run:
    """One path."""

    vertices: tuple[Vertex, ...]
    closed: bool

    def mapped(self, place: "Place") -> "Run":
        sign = -1.0 if place.mirrored else 1.0
        return Run(tuple((*place.point(x, y), sign * b) for x, y, b in self.vertices), self.closed)

    def pieces(self) -> list[tuple[Vertex, Vertex]]:
        ends = [*self.vertices[1:], self.vertices[0]] if self.closed else list(self.vertices[1:])
        return list(zip(self.vertices, ends, strict=False))


@dataclass(frozen=True)
class Place:
    cosine: float = 1.0
    sine: float = 0.0
    x: float = 0.0
    y: float = 0.0
    mirrored: bool = False

    def point(self, x: float, y: float) -> tuple[float, float]:
        y = -y if self.mirrored else y
        return self.cosine * x - self.sine * y + self.x, self.sine * x + self.cosine * y + self.y


@dataclass(frozen=True)
class Thing:
    """One entity of a file, in sheet coordinates."""

    operation: str
    part: str | None
    feature: str | None
    run: Run


@dataclass
class Feature:
    id: str
    role: str
    finished: list[Run]
    cut: list[Run] = field(default_factory=list)
    datum: Any = None
    width: float | None = None
    cut_in: str | None = None
    text: str = ""
    operation: str = ""  #: where it is not the one of its role

    def cut_on(self) -> str:
        return self.operation or OPERATIONS[self.role]


@dataclass
class Part:
    name: str
    place: Place
    features: list[Feature]


def line(*points: tuple[float, float]) -> Run:
    return Run(tuple((x, y, 0.0) for x, y in points), closed=False)


def polygon(points: Iterable[tuple[float, float]]) -> Run:
    return Run(tuple((x, y, 0.0) for x, y in points), closed=True)


def circle(x: float, y: float, radius: float) -> Run:
    return Run(((x + radius, y, 1.0), (x - radius, y, 1.0)), closed=True)


def shifted_polygon(points: Sequence[tuple[float, float]], by: float) -> list[tuple[float, float]]:
    """Corners of a counter-clockwise polygon with each side moved outwards and met by its neighbours again."""
    result = []
    count = len(points)
    for index in range(count):
        (x0, y0), (x1, y1), (x2, y2) = points[index - 1], points[index], points[(index + 1) % count]
        first, second = math.atan2(y1 - y0, x1 - x0), math.atan2(y2 - y1, x2 - x1)
        middle = (first + second) / 2.0 if abs(first - second) < math.pi else (first + second) / 2.0 + math.pi
        reach = by / math.cos((second - first) / 2.0)
        if abs(first - second) > math.pi:
            reach = by / math.cos((second - first) / 2.0 + math.pi)
        result.append((x1 + reach * math.sin(middle), y1 - reach * math.cos(middle)))
    return result


def rounded(points: Sequence[tuple[float, float]], radius: float, corners: Iterable[int]) -> Run:
    """A polygon with some right-angled corners (turning left) rounded."""
    vertices: list[Vertex] = []
    count = len(points)
    for index, (x, y) in enumerate(points):
        if index not in set(corners):
            vertices.append((x, y, 0.0))
            continue
        for other, bulge in (
            (points[index - 1], math.tan(math.pi / 8.0)),
            (points[(index + 1) % count], 0.0),
        ):
            size = math.dist((x, y), other)
            vertices.append((x + (other[0] - x) / size * radius, y + (other[1] - y) / size * radius, bulge))
    return Run(tuple(vertices), closed=True)


def obround(x0: float, x1: float, y: float, radius: float) -> Run:
    """A slot along x with round ends, each of two quarter turns."""
    quarter = math.tan(math.pi / 8.0)
    return Run(
        (
            (x0, y - radius, 0.0),
            (x1, y - radius, quarter),
            (x1 + radius, y, quarter),
            (x1, y + radius, 0.0),
            (x0, y + radius, quarter),
            (x0 - radius, y, quarter),
        ),
        closed=True,
    )


def slot(id: str, x: float, half_length: float, width: float, lean: float = 0.0) -> Feature:
    """A slot across, its centre line through (x, 0) leaning by an angle."""

    def box(half: float, half_width: float) -> Run:
        ux, uy = -math.sin(lean), math.cos(lean)
        corners = [(-half, half_width), (-half, -half_width), (half, -half_width), (half, half_width)]
        return polygon((x + along * ux - across * uy, along * uy + across * ux) for along, across in corners)

    end = (x - (half_length - 5.0) * math.sin(lean), (half_length - 5.0) * math.cos(lean))
    start = (2.0 * x - end[0], -end[1])
    return Feature(
        id,
        "opening",
        [box(half_length, width / 2.0)],
        [box(half_length - H, width / 2.0 - H)],
        {"line": [start, end]},
        width,
    )


def hole(id: str, x: float, y: float, diameter: float) -> Feature:
    return Feature(
        id,
        "opening",
        [circle(x, y, diameter / 2.0)],
        [circle(x, y, diameter / 2.0 - H)],
        {"point": (x, y)},
        diameter,
    )


def score(id: str, *runs: Run, datum: Any = None) -> Feature:
    if datum is None:
        datum = {"line": [runs[0].vertices[0][:2], runs[-1].vertices[-1][:2]]}
    return Feature(id, "line", list(runs), list(runs), datum)


def lettering(id: str, x: float, y: float, count: int = 3) -> Feature:
    runs: list[Run] = []
    for index in range(count):
        left = x + 2.5 * index
        runs.append(line((left, y), (left + 1.0, y + 2.5), (left + 2.0, y)))
        runs.append(Run(((left + 0.4, y + 1.0, 0.6), (left + 1.6, y + 1.0, 0.0)), closed=False))
    return Feature(id, "lettering", runs, runs, None, text="A" * count)


def saw_guide(slots: int = 12) -> Part:
    def outline(by: float) -> Run:
        low, high = (-22.0 - by, -45.0 - by), (400.0 + by, 55.0 + by)
        return rounded([low, (high[0], low[1]), high, (low[0], high[1])], 4.0 + by, range(4))

    return Part(
        "saw-guide",
        Place(x=40.0, y=60.0),
        [
            Feature("outline", "edge", [outline(0.0)], [outline(H)]),
            *(slot(f"fret.{number}", fret(number), 28.0, 0.62) for number in range(1, slots + 1)),
            hole("pin.1", -3.0, -14.0, 6.1),
            hole("pin.2", -3.0, 14.0, 6.1),
            score("nut", line((0.0, -23.0), (0.0, 23.0))),
            score("centre", *(line((at, 0.0), (at + 6.0, 0.0)) for at in (330.0, 339.0, 348.0))),
            score(
                "target",
                line((360.0, 20.0), (370.0, 20.0)),
                line((365.0, 15.0), (365.0, 25.0)),
                datum={"point": (365.0, 20.0)},
            ),
            *(lettering(f"number.{number}", fret(number), 36.0, 1) for number in range(1, slots + 1)),
            lettering("tag", 10.0, 45.0, 20),
            Feature("reminder", "note", [line((0.0, 50.0), (20.0, 50.0))], text="not cut"),
        ],
    )


def index_strip() -> Part:
    stops = [fret(number) for number in range(1, 6)]
    width, depth = 3.2, 6.0
    top = 30.0

    def outline(by: float) -> Run:
        points: list[tuple[float, float]] = [(-10.0, 0.0)]
        for x in stops:
            points += [
                (x - width / 2, 0.0),
                (x - width / 2, depth),
                (x + width / 2, depth),
                (x + width / 2, 0.0),
            ]
        points += [(250.0, 0.0), (250.0, top)]
        points += [(102.0, top), (100.0, top - 2.0), (98.0, top), (-10.0, top)]
        points = shifted_polygon(points, by)
        corners = (0, 4 * len(stops) + 1, 4 * len(stops) + 2, len(points) - 1)
        run = rounded(points, 3.0 + by, corners)
        # a round notch of radius 4 in the far end, its path drawn as two quarter turns to the right
        radius, x, y = 4.0 - by, 250.0, 15.0
        bite = math.sqrt(radius**2 - by**2)  # the side itself has moved out by as much
        middle = (x - radius, y)
        half = -math.tan((math.pi - math.atan2(bite, by)) / 4.0)
        notch = [(x + by, y - bite, half), (*middle, half), (x + by, y + bite, 0.0)]
        at = next(i for i, each in enumerate(run.vertices) if abs(each[0] - x - by) < 1e-9 and each[1] > 0.0)
        return Run((*run.vertices[: at + 1], *notch, *run.vertices[at + 1 :]), closed=True)

    quarter = -math.tan(math.pi / 8.0)
    notches = [
        Feature(
            f"fret.{number}",
            "opening",
            [
                line(
                    (x - width / 2, 0.0), (x - width / 2, depth), (x + width / 2, depth), (x + width / 2, 0.0)
                )
            ],
            datum={"line": [(x, 0.0), (x, depth)]},
            width=width,
            cut_in="outline",
        )
        for number, x in enumerate(stops, start=1)
    ]
    return Part(
        "index-strip",
        Place(cosine=0.0, sine=1.0, x=550.0, y=30.0),
        [
            Feature("outline", "edge", [outline(0.0)], [outline(H)]),
            *notches,
            Feature(
                "mark",
                "opening",
                [line((102.0, top), (100.0, top - 2.0), (98.0, top))],
                datum={"line": [(100.0, top), (100.0, top - 2.0)]},
                width=4.0,
                cut_in="outline",
            ),
            Feature(
                "rest",
                "opening",
                [Run(((250.0, 11.0, quarter), (246.0, 15.0, quarter), (250.0, 19.0, 0.0)), closed=False)],
                datum={"line": [(250.0, 15.0), (246.0, 15.0)]},
                width=8.0,
                cut_in="outline",
            ),
            Feature(
                "hanger",
                "opening",
                [obround(200.0, 212.0, 18.0, 2.5)],
                [obround(200.0, 212.0, 18.0, 2.5 - H)],
                {"line": [(200.0, 18.0), (212.0, 18.0)]},
                5.0,
            ),
            lettering("tag", 20.0, 15.0, 12),
        ],
    )


def fan_plate() -> Part:
    """Sides slant, the far side is hollow with radius 90; slots lean as on a fanned board."""
    corners = [(0.0, -22.0), (150.0, -30.0), (150.0, 30.0), (0.0, 22.0)]

    def outline(by: float) -> Run:
        points = shifted_polygon(corners, by)
        # the side at x = 150 is an arc about (x, 0), hollow: it starts and ends on the slanting sides
        radius = 90.0 - by
        centre = 150.0 + math.sqrt(90.0**2 - 30.0**2)
        start, end = points[0], points[1]
        # meet the slanting side (through start, end) with the circle about (centre, 0)
        dx, dy = end[0] - start[0], end[1] - start[1]
        fx, fy = start[0] - centre, start[1]
        a, b, c = dx * dx + dy * dy, 2 * (fx * dx + fy * dy), fx * fx + fy * fy - radius * radius
        t = (-b - math.sqrt(b * b - 4 * a * c)) / (2 * a)
        x, y = start[0] + t * dx, start[1] + t * dy
        half_sweep = math.asin(-y / radius)
        return Run(
            ((*points[0], 0.0), (x, y, -math.tan(half_sweep / 2.0)), (x, -y, 0.0), (*points[3], 0.0)),
            closed=True,
        )

    angle = math.radians(17.0)
    return Part(
        "fan-plate",
        Place(cosine=math.cos(angle), sine=math.sin(angle), x=60.0, y=300.0, mirrored=True),
        [
            Feature("outline", "edge", [outline(0.0)], [outline(H)]),
            *(
                slot(f"fret.{number}", fret(number), 15.0, 0.7, lean=0.03 * (number - 2))
                for number in (1, 2, 3)
            ),
            score("stringline", line((5.0, -10.0), (110.0, -14.0))),
            lettering("tag", 10.0, 14.0, 4),
        ],
    )


def sheet_things(parts: Iterable[Part]) -> list[Thing]:
    return [
        Thing(feature.cut_on(), part.name, feature.id, run.mapped(part.place))
        for part in parts
        for feature in part.features
        for run in feature.cut
    ]


def run_bounds(runs: Iterable[Run]) -> list[float]:
    """Least x and y, greatest x and y: of the ends, and of an arc's four outermost places where it passes them."""
    places: list[tuple[float, float]] = []
    for run in runs:
        for (x0, y0, bulge), (x1, y1, _) in run.pieces():
            places += [(x0, y0), (x1, y1)]
            if bulge == 0.0:
                continue
            cx, cy = centre(x0, y0, x1, y1, bulge)
            radius, sweep = math.dist((x0, y0), (cx, cy)), 4.0 * math.atan(bulge)
            for dx, dy in ((1, 0), (0, 1), (-1, 0), (0, -1)):
                way = math.copysign(1.0, sweep) * (math.atan2(dy, dx) - math.atan2(y0 - cy, x0 - cx))
                if way % math.tau < abs(sweep):
                    places.append((cx + radius * dx, cy + radius * dy))
    xs, ys = zip(*places, strict=True)
    return [min(xs), min(ys), max(xs), max(ys)]


def centre(x0: float, y0: float, x1: float, y1: float, bulge: float) -> tuple[float, float]:
    k = (1.0 - bulge * bulge) / (4.0 * bulge)
    return (x0 + x1) / 2.0 - k * (y1 - y0), (y0 + y1) / 2.0 + k * (x1 - x0)


def run_length(run: Run) -> float:
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in run.pieces():
        chord = math.dist((x0, y0), (x1, y1))
        sweep = 4.0 * math.atan(abs(bulge))
        total += chord if bulge == 0.0 else chord / (2.0 * math.sin(sweep / 2.0)) * sweep
    return total


def path_data(runs: Iterable[Run], places: int, *, flip: float | None = None) -> str:
    """SVG path data; with `flip` the height of a sheet whose y runs down."""

    def number(value: float) -> str:
        return (
            f"{value:.{places}f}".rstrip("0")
            .rstrip(".")
            .replace("-0", "0" if abs(value) < 0.5 * 10**-places else "-0")
        )

    words: list[str] = []
    for run in runs:

        def at(vertex: Vertex) -> str:
            return f"{number(vertex[0])} {number(vertex[1] if flip is None else flip - vertex[1])}"

        words.append(f"M {at(run.vertices[0])}")
        for before, after in run.pieces():
            bulge = before[2]
            if bulge == 0.0:
                words.append(f"L {at(after)}")
                continue
            chord = math.dist(before[:2], after[:2])
            radius = number(chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge)))
            large = int(abs(bulge) > 1.0)
            words.append(f"A {radius} {radius} 0 {large} {int((bulge > 0.0) == (flip is None))} {at(after)}")
        if run.closed:
            words.append("Z")
    return " ".join(words)


def tag(part: str) -> dict[str, Any]:
    return {
        "design_name": "Wren",
        "design_id": "3f9c2a",
        "part_name": part,
        "material": "3 mm cast acrylic",
        "thickness_mm": 3.0,
        "kerf_mm": KERF,
        "kerf_source": "coupon of Kestrel Yard",
        "offset_mm": H,
        "growth_scale": 1.0,
        "growth_scale_across": 1.0,
        "machine_scale_x": 1.0,
        "machine_scale_y": 1.0,
        "cut_degc": 20.0,
        "use_degc": 20.0,
        "revision_date": "2026-03-01",
        "version": "0.1.0",
    }


@dataclass
class HandJob:
    """The job, to be spoilt at will before it is written."""

    parts: list[Part]
    things: list[Thing]
    manifest: dict[str, Any]
    insunits: str | None = "4"
    svg_size: tuple[str, str] = (f"{SHEET[0]:g}mm", f"{SHEET[1]:g}mm")
    places: int = 4
    tags: dict[str, dict[str, Any]] = field(default_factory=dict)

    def change(self, part: str, feature: str, run: Any) -> None:
        """Replaces the paths of one feature by what `run` makes of each."""
        self.things = [
            replace(each, run=run(each.run)) if (each.part, each.feature) == (part, feature) else each
            for each in self.things
        ]

    def change_all(self, run: Any, part: str | None = None) -> None:
        self.things = [
            replace(each, run=run(each.run)) if part in {None, each.part} else each for each in self.things
        ]

    def of(self, part: str, feature: str | None = None) -> list[Thing]:
        return [each for each in self.things if each.part == part and feature in {None, each.feature}]

    def written(self) -> dict[str, bytes]:
        return {"sheet-1.dxf": self.dxf().encode("cp1252"), "sheet-1.svg": self.svg().encode("utf-8")}

    def manifest_bytes(self, files: dict[str, bytes]) -> bytes:
        self.manifest["files"] = {
            name: {"sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)}
            for name, data in files.items()
        }
        return (json.dumps(self.manifest, indent=2) + "\n").encode("utf-8")

    def dxf(self) -> str:
        head = ["0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1015"]
        if self.insunits is not None:
            head += ["9", "$INSUNITS", "70", self.insunits]
        words = [*head, "0", "ENDSEC", "0", "SECTION", "2", "ENTITIES"]
        tagged: set[str] = set()
        for each in self.things:
            words += self._entity(each, tagged)
        words += ["0", "ENDSEC", "0", "EOF"]
        return "\n".join(words) + "\n"

    def _entity(self, each: Thing, tagged: set[str]) -> list[str]:
        vertices, closed = each.run.vertices, each.run.closed
        x, y = vertices[0][:2]
        if closed and len(vertices) == 2 and vertices[0][2] == vertices[1][2] == 1.0:
            centre = ((x + vertices[1][0]) / 2.0, (y + vertices[1][1]) / 2.0)
            words = ["0", "CIRCLE", "8", each.operation, "10", f"{centre[0]:.6f}", "20", f"{centre[1]:.6f}"]
            words += ["40", f"{math.dist(vertices[0][:2], centre):.6f}"]
        elif not closed and len(vertices) == 2 and vertices[0][2] == 0.0:
            words = ["0", "LINE", "8", each.operation, "10", f"{x:.6f}", "20", f"{y:.6f}"]
            words += ["11", f"{vertices[1][0]:.6f}", "21", f"{vertices[1][1]:.6f}"]
        else:
            words = ["0", "LWPOLYLINE", "8", each.operation, "90", str(len(vertices)), "70", str(int(closed))]
            for vx, vy, bulge in vertices:
                words += ["10", f"{vx:.6f}", "20", f"{vy:.6f}"]
                words += ["42", f"{bulge:.9f}"] if bulge else []
        if each.part is not None or each.feature is not None:
            words += ["1001", "JIGGEN"]
            words += ["1000", f"part={each.part}"] if each.part is not None else []
            words += ["1000", f"feature={each.feature}"] if each.feature is not None else []
        if each.operation == "cut-edge" and each.part in self.tags and each.part not in tagged:
            tagged.add(each.part)
            words += [
                w for key, value in self.tags[each.part].items() for w in ("1000", f"tag.{key}={value}")
            ]
        return words

    def svg(self) -> str:
        width, height = self.svg_size
        groups: dict[str, dict[tuple[str | None, str | None], list[Run]]] = {}
        for each in self.things:
            groups.setdefault(each.operation, {}).setdefault((each.part, each.feature), []).append(each.run)
        size = f'width="{width}" height="{height}" viewBox="0 0 {SHEET[0]:g} {SHEET[1]:g}"'
        lines = [
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
            f"<metadata>{json.dumps(self.tags)}</metadata>",
        ]
        for operation, features in groups.items():
            lines.append(f'<g id="{operation}" fill="none" stroke="#ff0000">')
            for (part, feature), runs in features.items():
                names = f'id="{part}.{feature}"'
                names += f' data-part="{part}"' if part is not None else ""
                names += f' data-feature="{feature}"' if feature is not None else ""
                lines.append(f"<{self._drawn(runs)} {names}/>")
            lines.append("</g>")
        return "\n".join([*lines, "</svg>"]) + "\n"

    def _drawn(self, runs: list[Run]) -> str:
        first = runs[0]
        if len(runs) == 1 and first.closed and [v[2] for v in first.vertices] == [1.0, 1.0]:
            (x0, y0, _), (x1, y1, _) = first.vertices
            x, y, radius = (x0 + x1) / 2.0, SHEET[1] - (y0 + y1) / 2.0, math.dist((x0, y0), (x1, y1)) / 2.0
            return f'circle cx="{x:.{self.places}f}" cy="{y:.{self.places}f}" r="{radius:.{self.places}f}"'
        return f'path d="{path_data(runs, self.places, flip=SHEET[1])}"'


def hand_job(parts: list[Part] | None = None) -> HandJob:
    """The clean job."""
    parts = [saw_guide(), index_strip(), fan_plate()] if parts is None else parts
    tags = {part.name: tag(part.name) for part in parts}
    manifest = {
        "schema": "jiggen-manifest/1",
        "version": "0.1.0",
        "design": {
            "name": "Wren",
            "id": "3f9c2a",
            "numbers": {"scale": {"value": SCALE, "unit": "mm", "source": "chosen", "text": "628mm"}},
        },
        "machine": {
            "operations": [{"name": name} for name in ("engrave", "score", "cut-opening", "cut-edge")]
        },
        "sheets": [
            {
                "number": 1,
                "width_mm": SHEET[0],
                "height_mm": SHEET[1],
                "files": ["sheet-1.dxf", "sheet-1.svg"],
                "parts": [_manifest_part(part, tags[part.name]) for part in parts],
            }
        ],
    }
    return HandJob(parts, sheet_things(parts), manifest, tags=tags)


def _manifest_part(part: Part, part_tag: dict[str, Any]) -> dict[str, Any]:
    place = part.place
    return {
        "name": part.name,
        "title": part.name,
        "place": {
            "cosine": round(place.cosine, 6),
            "sine": round(place.sine, 6),
            "x_mm": place.x,
            "y_mm": place.y,
            "mirrored": place.mirrored,
        },
        "tag": part_tag,
        "features": [_manifest_feature(each, place) for each in part.features],
    }


def _manifest_feature(each: Feature, place: Place) -> dict[str, Any]:
    cut = [run.mapped(place) for run in each.cut]
    return {
        "id": each.id,
        "role": each.role,
        "operation": each.cut_on() if each.cut else None,
        "cut_in": each.cut_in,
        "text": each.text,
        "width_mm": each.width,
        "single_pass": False,
        "datum": each.datum,
        "finished": None if each.role == "lettering" else path_data(each.finished, 6),
        "finished_bounds": [round(each, 6) for each in run_bounds(each.finished)],
        "cut_bounds": [round(each, 6) for each in run_bounds(cut)] if cut else None,
        "cut_length_mm": round(sum(map(run_length, cut)), 6) if cut else None,
    }
