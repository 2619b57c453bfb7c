"""The numbers measured on a layout, given back in any sufficient choice, give the same neck again."""

import itertools
import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st
from support.specs import TOOLS

from jiggen.design.model import Design, FretAt, Given, SetbackTo, WidthAt
from jiggen.design.solve import solve
from jiggen.design.spec import Spec
from jiggen.errors import ConflictError, InputError
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out

FEMTO = 1e-9  # mm: nothing but the last bits of a float
NANOMETRE = 1e-6  # mm

LENGTHS = ("scale", "nut to 12th", "nut to fret", "bridge to fret")
WIDTHS = ("nut", "spread at nut", "spread at bridge", "setback", "fret 12", "fret 5", "distance", "angle")
#: What each tells of nut width, growth to the saddle, and setbacks: x is where it is measured, as a share of the scale.
ROWS = {
    "nut": (1.0, 0.0, 0.0),
    "spread at nut": (1.0, 0.0, -1.0),
    "spread at bridge": (1.0, 1.0, -1.0),
    "setback": (0.0, 0.0, 1.0),
    "fret 12": (1.0, 0.5, 0.0),
    "fret 5": (1.0, 0.25085, 0.0),
    "distance": (1.0, 0.7, 0.0),
    "angle": (0.0, 1.0, 0.0),
}


def measured(layout: Layout) -> dict[str, dict[str, Any]]:
    """What a maker could measure on the layout, each as the design would say it; taken from its lines alone."""
    frets, strings, scale = layout.frets, layout.strings, layout.saddle.start.x
    bass, treble = layout.bass_edge, layout.treble_edge
    at = 0.7 * scale

    def width_at(x: float) -> float:
        share = x / scale
        return sum(abs(edge.start.y + (edge.end.y - edge.start.y) * share) for edge in (bass, treble))

    along = [(edge.end - edge.start).angle() for edge in (treble, bass)]
    return {
        "scale": {"scale": scale},
        "nut to 12th": {"nut_to_twelfth": frets[11].line.start.x},
        "nut to fret": {"nut_to_fret": FretAt(fret=7, distance=frets[6].line.end.x)},
        "bridge to fret": {"bridge_to_fret": FretAt(fret=9, distance=scale - frets[8].line.end.x)},
        "nut": {"nut_width": layout.nut.start.distance(layout.nut.end)},
        "spread at nut": {"spread_at_nut": strings[0].line.start.distance(strings[-1].line.start)},
        "spread at bridge": {"spread_at_bridge": strings[0].line.end.distance(strings[-1].line.end)},
        "setback": {
            "setback_bass": layout.nut.start.distance(strings[-1].line.start),
            "setback_treble": layout.nut.end.distance(strings[0].line.start),
        },
        "fret 12": {"widths": (WidthAt(fret=12, width=frets[11].line.start.distance(frets[11].line.end)),)},
        "fret 5": {"widths": (WidthAt(fret=5, width=frets[4].line.start.distance(frets[4].line.end)),)},
        "distance": {"widths": (WidthAt(distance=at, width=width_at(at)),)},
        "angle": {"taper_angle": along[0] - along[1]},
    }


def told(layout: Layout, names: tuple[str, ...]) -> Design:
    """A design that says these of the measured numbers."""
    found = measured(layout)
    said: dict[str, Any] = {}
    for name in names:
        more = dict(found[name])
        if "widths" in said and "widths" in more:
            more["widths"] = said["widths"] + more["widths"]
        said |= more
    return Design(
        name="Wren",
        frets=Given(18),
        overhang=Given(10.0),
        string_count=Given(6),
        setback_to=Given(SetbackTo.CENTRE),
        tools=TOOLS,
        **{name: Given(value) for name, value in said.items()},
    )


def is_sufficient(names: tuple[str, ...]) -> bool:
    """Independent judge: whether some three of them settle the three unknowns."""
    return any(
        abs(
            a[0] * (b[1] * c[2] - b[2] * c[1])
            - a[1] * (b[0] * c[2] - b[2] * c[0])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
        )
        > 1e-9
        for a, b, c in itertools.combinations([ROWS[name] for name in names], 3)
    )


def neck(*, scale: float = 628.0, nut: float = 46.0, spread: float = 57.0, setback: float = 3.5) -> Spec:
    return solve(
        Design(
            name="Wren",
            scale=Given(scale),
            nut_width=Given(nut),
            spread_at_bridge=Given(spread),
            setback=Given(setback),
            setback_to=Given(SetbackTo.CENTRE),
            frets=Given(18),
            overhang=Given(10.0),
            string_count=Given(6),
            tools=TOOLS,
        )
    )


def assert_same(found: Spec, expected: Spec, within: float = FEMTO) -> None:
    for name in (
        "scale",
        "nut_width",
        "spread_at_nut",
        "spread_at_bridge",
        "setback_bass",
        "setback_treble",
        "width_at_saddle",
    ):
        assert getattr(found, name).value == pytest.approx(getattr(expected, name).value, abs=within)


CHOICES = [names for count in range(3, len(WIDTHS) + 1) for names in itertools.combinations(WIDTHS, count)]


@pytest.mark.parametrize("count", range(3, len(WIDTHS) + 1))
def test_every_sufficient_choice_gives_the_neck_back_and_no_other_does(count: int) -> None:
    spec = neck()
    layout = lay_out(spec)
    for number, names in enumerate(itertools.combinations(WIDTHS, count)):
        design = told(layout, (LENGTHS[number % len(LENGTHS)], *names))
        if is_sufficient(names):
            assert_same(solve(design), spec)
        else:
            with pytest.raises(InputError, match="enough to settle the taper|got nothing"):
                solve(design)


@pytest.mark.parametrize("count", range(1, len(LENGTHS) + 1))
def test_every_choice_of_lengths_gives_the_scale_back(count: int) -> None:
    spec = neck()
    layout = lay_out(spec)
    for names in itertools.combinations(LENGTHS, count):
        assert_same(solve(told(layout, (*names, "nut", "spread at bridge", "setback"))), spec)


@settings(derandomize=True, deadline=None)
@always(
    scale=st.floats(250.0, 1100.0),
    nut=st.floats(34.0, 80.0),
    growth=st.floats(-3.0, 30.0),
    setback=st.floats(1.0, 6.0),
    names=st.sampled_from([names for names in CHOICES if is_sufficient(names)]),
    lengths=st.lists(st.sampled_from(LENGTHS), min_size=1, unique=True),
)
def test_any_neck_comes_back_from_any_sufficient_choice(
    scale: float, nut: float, growth: float, setback: float, names: tuple[str, ...], lengths: list[str]
) -> None:
    spec = neck(scale=scale, nut=nut, spread=nut - 2.0 * setback + growth, setback=setback)
    assert_same(solve(told(lay_out(spec), (*lengths, *names))), spec)


@settings(derandomize=True, deadline=None)
@always(
    names=st.sampled_from([names for names in CHOICES if len(names) > 3 and is_sufficient(names)]),
    data=st.data(),
)
def test_one_number_that_is_wrong_is_always_found_and_named(
    names: tuple[str, ...], data: st.DataObject
) -> None:
    """If the others settle the neck without it, a number out by 1 mm is refused, and it is among those named."""
    wrong = data.draw(st.sampled_from(names))
    others = tuple(name for name in names if name != wrong)
    if not is_sufficient(others):
        return
    design = told(lay_out(neck()), ("scale", *names))
    with pytest.raises(ConflictError) as caught:
        solve(spoilt(design, wrong))
    assert CALLED[wrong] in caught.value.got


CALLED = {
    "nut": "nut width",
    "spread at nut": "spread at nut",
    "spread at bridge": "spread at bridge",
    "setback": "setbacks, both sides",
    "fret 12": "width at fret 12",
    "fret 5": "width at fret 5",
    "distance": "width at 439.60 mm",
    "angle": "taper angle",
}


def spoilt(design: Design, name: str) -> Design:
    """The same design with one number out by 1 mm."""
    match name:
        case "nut":
            return replace(design, nut_width=Given(47.0))
        case "spread at nut" | "spread at bridge":
            field = name.replace(" ", "_")
            return replace(design, **{field: Given(getattr(design, field).value + 1.0)})
        case "setback":
            return replace(design, setback_bass=Given(4.5))
        case "angle":
            return replace(design, taper_angle=Given(2.0 * math.atan(19.0 / 628.0 / 2.0)))
        case _:
            changed = tuple(
                replace(each, width=each.width + 1.0)
                if CALLED[name] in {f"width at fret {each.fret}", f"width at {each.distance or 0.0:.2f} mm"}
                else each
                for each in design.widths.value
            )
            return replace(design, widths=Given(changed))
