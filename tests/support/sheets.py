"""Sheets to write in tests, made by hand: every kind of feature, parts turned and mirrored, a second sheet."""

import math
from collections.abc import Mapping, Sequence

from support.specs import wren

from jiggen.design.making import Make
from jiggen.design.model import Given
from jiggen.export.options import DEFAULTS, Options
from jiggen.export.writer import Job
from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path, arc_around, circle, polyline, rectangle, segment
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import MIRROR, QUARTER_TURN, Similarity, shifted, turned
from jiggen.layout.neck import lay_out
from jiggen.layout.setup import set_up
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.model import Placement, Sheet, SheetSet
from jiggen.shop.kerf import even
from jiggen.shop.machine import Machine, Operation
from jiggen.shop.material import Material
from jiggen.shop.model import CutFeature, CutPart
from jiggen.shop.tag import Tag
from jiggen.shop.workshop import fit_out

OFFSET = 0.1  # mm, half of the kerf below
OPERATION_OF = {
    Role.LETTERING: "engrave",
    Role.LINE: "score",
    Role.OPENING: "cut-opening",
    Role.EDGE: "cut-edge",
}

MACHINE = Machine(
    name="shed-laser",
    title="The laser in the boat shed",
    bed_width_mm=600.0,
    bed_height_mm=300.0,
    margin_mm=5.0,
    gap_mm=3.0,
    kerf=even(Given(0.2, "coupon of 2026-11-02"), machine="shed-laser"),
    smallest_web_mm=0.4,
    smallest_hole_mm=0.4,
    smallest_lettering_mm=2.5,
    smallest_line_gap_mm=0.3,
    single_pass_mm=0.05,
    line_width_mm=0.1,
    operations=(
        Operation(name="engrave", role=Role.LETTERING, colour="#1f5fa8", aci=5, note="light"),
        Operation(name="score", role=Role.LINE, colour="#2e8b57", aci=3, note="lines 0.2 mm deep"),
        Operation(name="cut-opening", role=Role.OPENING, colour="#c2500e", aci=30, note="through"),
        Operation(name="cut-edge", role=Role.EDGE, colour="#d3204a", aci=1, note="through, last"),
    ),
)
MATERIAL = Material(
    name="clear-3", title="3 mm cast acrylic", thickness_mm=3.0, transparent=True, cautions=("Ventilate.",)
)
WORKSHOP = fit_out(MATERIAL, MACHINE, Make())

#: What the sheets below hold, counted by hand: layer, kind of entity, number.
COUNTS: tuple[dict[tuple[str, str], int], ...] = (
    {
        ("engrave", "LWPOLYLINE"): 4,
        ("engrave", "LINE"): 8,
        ("engrave", "ARC"): 2,
        ("score", "LINE"): 9,
        ("score", "ARC"): 2,
        ("score", "LWPOLYLINE"): 1,
        ("cut-opening", "CIRCLE"): 4,
        ("cut-opening", "LWPOLYLINE"): 4,
        ("cut-edge", "LWPOLYLINE"): 2,
    },
    {("score", "LINE"): 2, ("cut-opening", "CIRCLE"): 1, ("cut-edge", "CIRCLE"): 1},
)


def tag_for(title: str, design_name: str = "Wren") -> Tag:
    """The tag of a part of the Wren."""
    return Tag(
        design_name=design_name,
        design_id="k3f9a2",
        part_name=title,
        material=MATERIAL.title,
        thickness_mm=MATERIAL.thickness_mm,
        kerf_mm=WORKSHOP.kerf_mm,
        kerf_source=WORKSHOP.kerf.source,
        offset_mm=OFFSET,
        growth_scale=1.000012,
        growth_scale_across=1.000012,
        revision_date="2026-11-25",
        version="0.1.0",
    )


def cut_part(part: Part, cut: Mapping[str, tuple[Path, ...]], *, design_name: str = "Wren") -> CutPart:
    """A part as the shop would hand it on: `cut` holds the paths that differ from the finished ones, by id."""
    tag = tag_for(part.title, design_name)
    lettering = Feature(
        id="tag",
        role=Role.LETTERING,
        paths=tuple(_strokes(part.tag_box.low)),
        text=tag.line(),
    )
    return CutPart(
        part=part,
        tag=tag,
        features=tuple(
            CutFeature(feature=each, operation=OPERATION_OF[each.role], paths=cut.get(each.id, each.paths))
            for each in (*part.features, lettering)
            if each.role is not Role.NOTE and each.cut_in is None
        ),
    )


def _strokes(at: Point) -> list[Path]:
    """Letters of 3 mm: `D` with a bow, `L`, `I`, an open `C` of one arc, an `X` of two lines, a `-`."""

    def point(x: float, y: float) -> Point:
        return at + Point(x, y)

    return [
        Path(
            (
                Line(point(0.0, 0.0), point(0.0, 3.0)),
                Line(point(0.0, 3.0), point(0.8, 3.0)),
                Arc(point(0.8, 3.0), point(0.8, 0.0), -1.0),
                Line(point(0.8, 0.0), point(0.0, 0.0)),
            ),
            closed=True,
        ),
        polyline([point(3.5, 3.0), point(3.5, 0.0), point(5.0, 0.0)]),
        segment(point(6.5, 0.0), point(6.5, 3.0)),
        Path((arc_around(point(9.5, 1.5), 1.5, math.radians(50.0), math.radians(260.0)),)),
        segment(point(12.0, 0.0), point(14.0, 3.0)),
        segment(point(12.0, 3.0), point(14.0, 0.0)),
        segment(point(15.5, 1.5), point(17.0, 1.5)),
    ]


def _comb_edge(out: float) -> Path:
    """A bar 220 × 60 mm, one round notch in its lower edge and one square notch in its upper, all grown by `out`."""
    low, high, bow = -out, 60.0 + out, 4.0 - out
    half = math.sqrt(bow**2 - out**2)  # where the shrunken bow meets the edge that moved out
    left, right = Point(70.0 - half, low), Point(70.0 + half, low)
    dip = Arc(left, right, -math.tan((math.pi + 2.0 * math.asin(out / bow)) / 4.0))
    corners = [
        Point(220.0 + out, low),
        Point(220.0 + out, high),
        Point(150.0 - out, high),
        Point(150.0 - out, 50.0 + out),
        Point(140.0 + out, 50.0 + out),
        Point(140.0 + out, high),
        Point(-out, high),
        Point(-out, low),
        left,
    ]
    sides = [Line(start, end) for start, end in zip([right, *corners], corners, strict=False)]
    return Path((dip, *sides), closed=True)


def comb(design_name: str = "Wren") -> CutPart:
    """A bar with notches, holes, slots, lines, an arc, a broken line and lettering."""
    notch = Path((Arc(Point(66.0, 0.0), Point(74.0, 0.0), -1.0),))
    square = polyline([Point(150.0, 60.0), Point(150.0, 50.0), Point(140.0, 50.0), Point(140.0, 60.0)])
    slots = [(30.0, 0.8), (95.0, 0.7), (118.0, 0.6)]
    holes = [(10.0, 30.0, 5.0), (210.0, 30.0, 5.0), (185.0, 30.0, 12.0)]
    features = [
        Feature(id="outline", role=Role.EDGE, paths=(_comb_edge(0.0),)),
        Feature(
            id="pin.1",
            role=Role.OPENING,
            paths=(notch,),
            datum=Point(70.0, 0.0),
            width_mm=8.0,
            cut_in="outline",
        ),
        Feature(id="rest", role=Role.OPENING, paths=(square,), width_mm=10.0, cut_in="outline"),
    ]
    cut: dict[str, tuple[Path, ...]] = {"outline": (_comb_edge(OFFSET),)}
    for number, (x, width) in enumerate(slots, start=1):
        low, high = Point(x - width / 2.0, 12.0), Point(x + width / 2.0, 48.0)
        inset = Point(OFFSET, OFFSET)
        features.append(
            Feature(
                id=f"fret.{number}",
                role=Role.OPENING,
                paths=(rectangle(low, high),),
                datum=Line(Point(x, 0.0), Point(x, 60.0)),
                width_mm=width,
            )
        )
        cut[f"fret.{number}"] = (rectangle(low + inset, high - inset),)
    for number, (x, y, diameter) in enumerate(holes, start=1):
        centre = Point(x, y)
        features.append(
            Feature(
                id=f"hole.{number}",
                role=Role.OPENING,
                paths=(circle(centre, diameter / 2.0),),
                datum=centre,
                width_mm=diameter,
            )
        )
        cut[f"hole.{number}"] = (circle(centre, diameter / 2.0 - OFFSET),)
    window = rectangle(Point(160.0, 8.0), Point(175.0, 52.0), radius=3.0)
    features.append(Feature(id="window", role=Role.OPENING, paths=(window,)))
    inside = rectangle(Point(160.1, 8.1), Point(174.9, 51.9), radius=2.9)
    cut["window"] = (inside,)
    features += [
        Feature(id="nut", role=Role.LINE, paths=(segment(Point(20.0, 5.0), Point(20.0, 55.0)),)),
        Feature(
            id="centre-line",
            role=Role.LINE,
            paths=tuple(segment(Point(x, 30.0), Point(x + 12.0, 30.0)) for x in (36.0, 52.0, 68.0, 122.0)),
            datum=Line(Point(0.0, 30.0), Point(220.0, 30.0)),
        ),
        Feature(
            id="radius",
            role=Role.LINE,
            paths=(Path((arc_around(Point(80.0, -254.0), 254.0 + 45.0, 1.62, -0.1),)),),
        ),
        Feature(
            id="wave",
            role=Role.LINE,
            paths=(
                Path(
                    (
                        Arc(Point(60.0, 18.0), Point(66.0, 18.0), 1.0),
                        Arc(Point(66.0, 18.0), Point(72.0, 18.0), -0.3),
                        Line(Point(72.0, 18.0), Point(78.0, 18.0)),
                    )
                ),
            ),
        ),
        Feature(id="hint", role=Role.NOTE, paths=(segment(Point(0.0, 70.0), Point(220.0, 70.0)),)),
    ]
    part = Part(
        name="comb",
        title="Comb",
        features=tuple(features),
        tag_box=Box(Point(40.0, 4.0), Point(60.0, 7.5)),
        lies_on_work=True,
    )
    return cut_part(part, cut, design_name=design_name)


def shoe() -> CutPart:
    """A triangular block with one round hole, a flat arc and two lines."""
    corners = [Point(0.0, 0.0), Point(90.0, 0.0), Point(0.0, 70.0)]
    hypotenuse = 1.0 + OFFSET * math.hypot(1.0 / 90.0, 1.0 / 70.0)  # x / 90 + y / 70, once it has moved out
    outer = [
        Point(-OFFSET, -OFFSET),
        Point(90.0 * (hypotenuse + OFFSET / 70.0), -OFFSET),
        Point(-OFFSET, 70.0 * (hypotenuse + OFFSET / 90.0)),
    ]
    part = Part(
        name="shoe",
        title="Mitre shoe",
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(polyline(corners, closed=True),)),
            Feature(
                id="hole.1",
                role=Role.OPENING,
                paths=(circle(Point(18.0, 18.0), 4.0),),
                datum=Point(18.0, 18.0),
            ),
            Feature(
                id="stop", role=Role.LINE, paths=(Path((Arc(Point(8.0, 34.0), Point(34.0, 34.0), 0.002),)),)
            ),
            Feature(
                id="square",
                role=Role.LINE,
                paths=(
                    segment(Point(5.0, 30.0), Point(35.0, 30.0)),
                    segment(Point(35.0, 5.0), Point(35.0, 30.0)),
                    segment(Point(35.0, 5.0), Point(40.0, 5.0)),
                    segment(Point(5.0, 30.0), Point(5.0, 40.0)),
                ),
            ),
        ),
        tag_box=Box(Point(40.0, 8.0), Point(60.0, 12.0)),
    )
    cut = {
        "outline": (polyline(outer, closed=True),),
        "hole.1": (circle(Point(18.0, 18.0), 4.0 - OFFSET),),
    }
    return cut_part(part, cut)


def disc() -> CutPart:
    """A round part with a hole in it: circles only, and no lettering of its own but the tag's left out."""
    part = Part(
        name="disc",
        title="Disc",
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(circle(Point(0.0, 0.0), 60.0),)),
            Feature(id="hole.1", role=Role.OPENING, paths=(circle(Point(0.0, 0.0), 10.0),), width_mm=20.0),
            Feature(
                id="cross",
                role=Role.LINE,
                paths=(
                    segment(Point(-40.0, 0.0), Point(-15.0, 0.0)),
                    segment(Point(15.0, 0.0), Point(40.0, 0.0)),
                ),
            ),
        ),
        tag_box=Box(Point(-20.0, 20.0), Point(20.0, 30.0)),
    )
    tagged = cut_part(
        part, {"outline": (circle(Point(0.0, 0.0), 60.1),), "hole.1": (circle(Point(0.0, 0.0), 9.9),)}
    )
    return CutPart(part=part, tag=tagged.tag, features=tagged.features[:-1])


#: The comb lies turned by 7 degrees; the shoe is mirrored and then turned a quarter.
COMB_PLACE = turned(math.radians(7.0)).then(shifted(30.0, 40.0))
SHOE_PLACE = MIRROR.then(QUARTER_TURN).then(shifted(320.0, 60.0))
DISC_PLACE = shifted(100.0, 120.0)


def sheet_of(
    placements: Sequence[tuple[CutPart, Similarity]],
    *,
    number: int = 1,
    machine: Machine = MACHINE,
) -> Sheet:
    """A sheet of the machine's bed size."""
    return Sheet(
        number=number,
        width_mm=machine.bed_width_mm,
        height_mm=machine.bed_height_mm,
        placements=tuple(Placement(cut_part=part, place=place) for part, place in placements),
        machine=machine,
    )


def sheet_set(*, design_name: str = "Wren") -> SheetSet:
    """Two sheets: comb and shoe on the first, disc on the second."""
    return SheetSet(
        spec=wren(name=design_name),
        design_id="k3f9a2",
        workshop=WORKSHOP,
        sheets=(
            sheet_of([(comb(design_name), COMB_PLACE), (shoe(), SHOE_PLACE)], number=1),
            sheet_of([(disc(), DISC_PLACE)], number=2),
        ),
    )


def job_of(sheets: SheetSet, options: Options = DEFAULTS) -> Job:
    """A job of some sheets, with the neck of the Wren for its plan."""
    layout = lay_out(sheets.spec)
    return Job(sheet_set=sheets, layout=layout, setup=set_up(layout, None), options=options)


def sheet_with(**features: Feature) -> Sheet:
    """A sheet with one plain square part of 50 mm at (20, 20) and some more features, by their ids."""
    part = Part(
        name="plate",
        title="Plate",
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(rectangle(Point(0.0, 0.0), Point(50.0, 50.0)),)),
            *features.values(),
        ),
        tag_box=Box(Point(5.0, 5.0), Point(45.0, 10.0)),
    )
    return sheet_of([(cut_part(part, {}), shifted(20.0, 20.0))])


def full_sheet_set() -> SheetSet:
    """One crowded sheet: 249 holes, an edge, and 1500 strokes of lettering of four segments each."""
    holes = [
        Feature(
            id=f"hole.{n}",
            role=Role.OPENING,
            paths=(circle(Point(10.0 + n % 83 * 6.0, 10.0 + n // 83 * 6.0), 2.0),),
        )
        for n in range(249)
    ]
    strokes = []
    for n in range(1500):
        at = Point(10.0 + n % 100 * 5.0, 40.0 + n // 100 * 6.0)
        bow = Arc(at + Point(1.0, 3.0), at + Point(1.0, 0.0), -1.0)
        up = Line(at, at + Point(0.0, 3.0))
        strokes.append(Path((up, Line(up.end, bow.start), bow, Line(bow.end, at))))
    part = Part(
        name="full",
        title="Full",
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(rectangle(Point(0.0, 0.0), Point(550.0, 200.0)),)),
            *holes,
            Feature(id="words", role=Role.LETTERING, paths=tuple(strokes), text="many"),
        ),
        tag_box=Box(Point(5.0, 190.0), Point(200.0, 195.0)),
    )
    sheet = sheet_of([(cut_part(part, {}), shifted(20.0, 20.0))])
    return SheetSet(spec=wren(), design_id="k3f9a2", workshop=WORKSHOP, sheets=(sheet,))
