"""What holds for every shop aid, on every kind of neck."""

from dataclasses import replace
from functools import cache

import pytest
import shapely
from support.furnished import furnished
from support.specs import SLIM_TOOLS, neck_of, wren

from jiggen.design.fittings import LocateFrom
from jiggen.design.model import EndShape, Given, PartialFret
from jiggen.errors import LimitError
from jiggen.geometry.measure import bounds, flatten
from jiggen.layout.neck import lay_out
from jiggen.parts.catalogue import CATALOGUE
from jiggen.parts.model import Bench, Role
from jiggen.prepare import Order, fit_out_workshop, lay_on_sheets

BENCH = Bench(smallest_lettering_mm=2.5, thickness_mm=3.0)
LETTERS = (2.5, 4.0)  # mm, of a laser and of a router
NECKS = {
    "parlour guitar": wren(),
    "concert ukulele": wren(
        name="Plover", scale=375.0, nut=35.0, spread=44.0, setback=3.0, frets=15, strings=4
    ),
    "long-scale bass": wren(
        name="Dunlin", scale=863.6, nut=42.0, spread=60.0, frets=24, strings=4, overhang=6.0
    ),
    "seven strings": wren(
        name="Lapwing", scale=648.0, nut=48.0, spread=63.0, frets=24, strings=7, overhang=6.0
    ),
    "fanned bass": wren(
        name="Heron",
        scale=None,
        scale_bass=890.0,
        scale_treble=838.0,
        straight_fret=7.0,
        nut=46.0,
        spread=72.0,
        frets=24,
        strings=5,
        overhang=6.0,
    ),
    "fanned, left-handed, square at the nut": wren(
        name="Heron",
        scale=None,
        scale_bass=690.0,
        scale_treble=648.0,
        straight_fret=0.0,
        left_handed=True,
        nut=46.0,
        spread=66.0,
        frets=24,
        strings=6,
        overhang=6.0,
    ),
    "mandolin": wren(
        name="Siskin",
        scale=350.0,
        nut=29.0,
        spread=42.0,
        setback=2.5,
        frets=20,
        strings=8,
        overhang=6.0,
        courses=(2, 2, 2, 2),
        course_spacing_nut=2.2,
        course_spacing_bridge=3.0,
        tools=SLIM_TOOLS,
    ),
    "zero fret, rounded end, left-handed": wren(
        zero_fret=True, nut_behind=5.0, end=EndShape.ROUNDED, end_radius=45.0, left_handed=True
    ),
    "angled end, partial frets": wren(
        end=EndShape.ANGLED,
        end_angle=0.15,
        partial_frets=(PartialFret(fret=18, strings=(1, 2, 3)),),
        overhang=14.0,
    ),
    "fretless": wren(frets=0, overhang=420.0),
    "twelve strings": wren(
        nut=48.0, strings=12, courses=(2,) * 6, course_spacing_nut=2.2, course_spacing_bridge=3.0, spread=62.0
    ),
    "one string": wren(strings=1, nut=30.0, frets=12, overhang=8.0),
}
NECKS = {name: furnished(spec) for name, spec in NECKS.items()} | {
    "a name with accents on capitals": furnished(wren(name="Ångström Źy ÉŠ ½")),
    "slotted head": furnished(wren(), slotted=True),
    "slotted head, left-handed ukulele": furnished(
        wren(
            name="Plover",
            scale=375.0,
            nut=35.0,
            spread=44.0,
            setback=3.0,
            frets=15,
            strings=4,
            left_handed=True,
        ),
        slotted=True,
    ),
}
NECKS |= {
    f"{name}, bridge from the last slots": replace(
        NECKS[name], bridge=replace(NECKS[name].bridge, locate_from=Given(LocateFrom.LAST_SLOTS))
    )
    for name in ("concert ukulele", "fanned bass")
}
CHORDS = 0.02  # mm, by which a curve is told apart from its chords
LEAST_WEB = 1.499  # mm
CLEAR = 0.3  # mm between lettering and anything else: nearer they read as one


def build(entry, spec, letters=2.5):
    return entry.build(neck_of(spec), Bench(smallest_lettering_mm=letters, thickness_mm=3.0))


def one(name, spec):
    (part,) = build(next(entry for entry in CATALOGUE if entry.name == name), spec)
    return part


@cache
def parts_of(neck, letters=2.5):
    """All parts that one of the necks can have; where letters are large, those that have room for them."""
    spec = NECKS[neck]
    parts = []
    for entry in CATALOGUE:
        if entry.unsuited(neck_of(spec)) or entry.lacking(spec):
            continue
        try:
            parts += build(entry, spec, letters)
        except LimitError as error:
            if letters == LETTERS[0] or not error.got.startswith("no room for its words and its tag"):
                raise
    return tuple(parts)


@cache
def drawn(neck, letters=2.5):
    """Their features, each with what is drawn of it."""
    return tuple(
        (part, [(feature, strokes(feature)) for feature in part.features]) for part in parts_of(neck, letters)
    )


each_part = pytest.mark.parametrize("entry", CATALOGUE, ids=lambda entry: entry.name)
each_neck = pytest.mark.parametrize("neck", NECKS)
each_size = pytest.mark.parametrize("letters", LETTERS)


def strokes(feature):
    return shapely.MultiLineString(
        [[(point.x, point.y) for point in flatten(path, CHORDS)] for path in feature.paths]
    )


@each_neck
def test_most_parts_can_be_had(neck):
    had = {part.name for part in parts_of(neck)}
    assert len(had) >= (15 if NECKS[neck].frets.value else 12)


@each_size
@each_neck
def test_lettering_touches_nothing(neck, letters):
    too_near = set()
    for part, features in drawn(neck, letters):
        there = [(feature, lines) for feature, lines in features if feature.cut_in is None]
        tree = shapely.STRtree([lines for _, lines in there])
        for index, (feature, lines) in enumerate(there):
            if feature.role is Role.LETTERING:
                for other in tree.query(lines, predicate="dwithin", distance=CLEAR):
                    if other != index:
                        too_near.add((part.name, *sorted((feature.id, there[other][0].id))))
    assert not too_near


@each_size
@each_neck
def test_room_for_the_tag_is_free(neck, letters):
    crowding = [
        (part.name, feature.id)
        for part, features in drawn(neck, letters)
        for feature, lines in features
        if feature.role is not Role.EDGE and lines.distance(box_of(part.tag_box)) < CLEAR / 10.0
    ]
    assert not crowding


def box_of(box):
    return shapely.box(box.low.x, box.low.y, box.high.x, box.high.y)


@each_size
@each_neck
def test_everything_lies_inside_the_outline(neck, letters):
    outside = []
    for part, features in drawn(neck, letters):
        plate = shapely.Polygon([(point.x, point.y) for point in flatten(part.outline, CHORDS)]).buffer(0.011)
        shapely.prepare(plate)
        outside += [(part.name, feature.id) for feature, lines in features if not plate.covers(lines)]
        assert plate.covers(box_of(part.tag_box)), part.name
    assert not outside


@each_neck
def test_openings_leave_a_web_between_them(neck):
    thin = []
    for part, features in drawn(neck):
        cuts = [
            (feature.id, lines)
            for feature, lines in features
            if feature.role in {Role.OPENING, Role.EDGE} and feature.cut_in is None
        ]
        tree = shapely.STRtree([lines for _, lines in cuts])
        pairs = tree.query([lines for _, lines in cuts], predicate="dwithin", distance=LEAST_WEB)
        thin += [(part.name, cuts[one][0], cuts[other][0]) for one, other in pairs.T if one < other]
    assert not thin


@each_part
def test_ids_do_not_depend_on_the_sizes(entry):
    ids = {
        tuple(
            (part.name, feature.id)
            for part in build(entry, furnished(wren(scale=scale)))
            for feature in part.features
        )
        for scale in (628.0, 640.0)
    }
    assert len(ids) == 1


@each_part
def test_the_design_is_named_on_the_part(entry):
    for part in build(entry, furnished(wren())):
        assert "Wren" in " ".join(feature.text for feature in part.features)


def test_plan_template_shows_the_whole_spec():
    part = one("plan-template", wren())
    words = [feature.text for feature in part.features]
    for expected in (
        "46.00 mm",
        "39.00 mm",
        "57.00 mm",
        "3.50 mm",
        "628.00 mm",
        "64.00 mm",
        "18",
        "6",
    ):
        assert expected in words


def test_tag_of_the_plan_template_says_which_design_it_is_and_of_when():
    neck = neck_of(wren())
    made = lay_on_sheets(
        [one("plan-template", wren())], neck, fit_out_workshop(neck.spec.make, Order())
    ).sheets[0]
    tag = next(mark.feature for mark in made.marks_of_part("plan-template") if mark.feature.id == "tag")
    assert neck.id in tag.text
    assert "2026-11-25" in tag.text


def test_slot_guide_notches_stand_at_the_frets_and_fit_the_pin():
    layout = lay_out(wren())
    part = one("fret-slot-guide", wren())
    notches = {feature.id: feature for feature in part.features if feature.cut_in}
    assert list(notches) == ["nut", *(f"fret.{number}" for number in range(1, 19)), "saddle"]
    for fret in layout.frets:
        box = bounds(notches[f"fret.{fret.number}"].paths[0])
        assert box.centre.x == pytest.approx(fret.distance, abs=1e-9)
        assert box.width == pytest.approx(2.05, abs=1e-9)


def test_stop_pins_touch_the_board():
    layout = lay_out(wren())
    part = one("saw-guide", wren())
    board = shapely.Polygon([(segment.start.x, segment.start.y) for segment in layout.board])
    pins = [feature.datum for feature in part.features if feature.id.startswith("pin.")]
    assert len(pins) == 6
    for pin in pins:
        assert board.distance(shapely.Point(pin.x, pin.y)) == pytest.approx(1.5, abs=1e-9)


def test_saw_slots_run_past_the_board_on_both_sides():
    layout = lay_out(wren())
    part = one("saw-guide", wren())
    for fret in layout.frets:
        slot = next(feature for feature in part.features if feature.id == f"fret.{fret.number}")
        assert slot.width_mm == pytest.approx(0.68)
        assert bounds(slot.paths[0]).height == pytest.approx(fret.width + 10.0)
