"""The keys of machine profiles, one row each; the same rows read a profile and describe it."""

from jiggen.design.given import given
from jiggen.design.keys import ACCURACY_ROWS
from jiggen.parts.model import Role
from jiggen.shop.machine import LineType, Operation, Process
from jiggen.shop.price import price
from jiggen.shop.rows import ANY_LENGTH, LENGTH_OR_NONE, SENTENCE, UNITS
from jiggen.tables.kinds import choice, count, exactly, flag, length, listing, number, table, words
from jiggen.tables.rows import Row

MACHINE_SCHEMA = "jiggen-machine/1"

#: Every role that reaches the machine; notes never do.
CUT_ROLES = tuple(role for role in Role if role is not Role.NOTE)

OPERATION_ROWS = (
    Row(
        key="name",
        field="name",
        kind=words(longest=31, pattern="[a-z][a-z0-9-]*", example='"cut-edge"'),
        about="the name of its layer: small letters, digits and hyphens",
        required=True,
    ),
    Row(key="role", field="role", kind=choice(CUT_ROLES), about="which features it makes", required=True),
    Row(
        key="colour",
        field="colour",
        kind=words(pattern="#[0-9a-fA-F]{6}", example='"#8c2f39"'),
        about="its colour on screen, in SVG and in PDF",
        required=True,
    ),
    Row(
        key="colour-index",
        field="aci",
        kind=count(1, 255, example="15"),
        about="the DXF colour index nearest to it",
        required=True,
    ),
    Row(
        key="note", field="note", kind=words(longest=300), about="what the operator should set", required=True
    ),
    Row(
        key="speed",
        field="speed_mm_per_s",
        kind=number(most=10_000.0, example="12"),
        about="how fast the head moves, in mm/s, for an estimate of the time",
        rare=True,
    ),
    Row(
        key="passes",
        field="passes",
        kind=count(1, 100, example="2"),
        about="how often each path is gone over",
        rare=True,
    ),
    Row(
        key="pierce",
        field="pierce_seconds",
        kind=number(most=600.0, example="0.3"),
        about="seconds that the head stands at the start of each path until it is through",
        rare=True,
    ),
    Row(
        key="lead-in",
        field="lead_in_mm",
        kind=length(example='"2 mm"'),
        about="for cuts: length of the run from the waste into each closed contour; none when left out",
        rare=True,
    ),
    Row(
        key="filled",
        field="filled",
        kind=flag(),
        about="for lettering: true writes letters as outlines to be filled, for engraving line by line",
        rare=True,
    ),
    Row(
        key="line-type",
        field="line_type",
        kind=choice(LineType),
        about="how CAD programs show its lines in the DXF",
        rare=True,
    ),
)

MACHINE_ROWS = (
    Row(key="schema", field="", kind=exactly(MACHINE_SCHEMA), about="the format of this file", required=True),
    UNITS,
    Row(key="title", field="title", kind=words(), about="what to call it", required=True),
    Row(
        key="process",
        field="process",
        kind=choice(Process),
        about='what it does: "laser", "router" or "paper"',
        required=True,
    ),
    Row(
        key="bed-width",
        field="bed_width_mm",
        kind=ANY_LENGTH,
        about="size of the bed along x",
        required=True,
    ),
    Row(
        key="bed-height",
        field="bed_height_mm",
        kind=ANY_LENGTH,
        about="size of the bed along y",
        required=True,
    ),
    Row(
        key="margin",
        field="margin_mm",
        kind=LENGTH_OR_NONE,
        about="free border round the sheet",
        required=True,
    ),
    Row(
        key="gap",
        field="gap_mm",
        kind=LENGTH_OR_NONE,
        about="smallest distance between parts",
        required=True,
    ),
    Row(
        key="kerf",
        field="kerf",
        kind=ANY_LENGTH,
        about="a router's bit, or the kerf of a laser in materials of which none was measured on it",
        rare=True,
    ),
    Row(
        key="scale-x",
        field="scale_x",
        kind=given(number(above=0.9, most=1.1, example="1.0005")),
        about="by which x is multiplied so that it comes out right",
        rare=True,
    ),
    Row(
        key="scale-y",
        field="scale_y",
        kind=given(number(above=0.9, most=1.1, example="1.0005")),
        about="the same for y",
        rare=True,
    ),
    Row(
        key="smallest-web",
        field="smallest_web_mm",
        kind=ANY_LENGTH,
        about="least width left of the sheet between two cuts",
        required=True,
    ),
    Row(
        key="smallest-hole",
        field="smallest_hole_mm",
        kind=ANY_LENGTH,
        about="least diameter of a hole",
        required=True,
    ),
    Row(
        key="smallest-inside-radius",
        field="smallest_inside_radius_mm",
        kind=LENGTH_OR_NONE,
        about="of a corner into which the tool must get",
        rare=True,
    ),
    Row(
        key="smallest-lettering",
        field="smallest_lettering_mm",
        kind=ANY_LENGTH,
        about="least legible height of capitals",
        required=True,
    ),
    Row(
        key="smallest-line-gap",
        field="smallest_line_gap_mm",
        kind=ANY_LENGTH,
        about="least distance between lines that run side by side",
        required=True,
    ),
    Row(
        key="single-pass",
        field="single_pass_mm",
        kind=LENGTH_OR_NONE,
        about="slots wider than the kerf by less than this are cut in one pass",
        required=True,
    ),
    Row(
        key="line-width",
        field="line_width_mm",
        kind=ANY_LENGTH,
        about="width at which lines are drawn",
        required=True,
    ),
    Row(
        key="travel-speed",
        field="travel_mm_per_s",
        kind=number(most=10_000.0, example="200"),
        about="how fast the head moves without working, in mm/s",
        rare=True,
    ),
    Row(
        key="acceleration",
        field="acceleration_mm_per_s2",
        kind=number(most=1e6, example="2000"),
        about="at which the head gains and loses speed, in mm/s²",
        rare=True,
    ),
    Row(
        key="rest-distance",
        field="rest_mm",
        kind=ANY_LENGTH,
        about="how far apart cuts that follow one another are to lie, so that the sheet keeps cool",
        rare=True,
    ),
    Row(
        key="tab-width",
        field="tab_width_mm",
        kind=ANY_LENGTH,
        about="width of tabs that hold parts in the sheet; none when left out",
        rare=True,
    ),
    Row(
        key="tab-spacing",
        field="tab_spacing_mm",
        kind=ANY_LENGTH,
        about="about how far apart tabs stand along a part's edge; 150 mm when left out",
        rare=True,
    ),
    Row(
        key="price-per-hour",
        field="price_per_hour",
        kind=price(example='"30 EUR"'),
        about="what an hour of the machine costs, with whoever runs it",
        rare=True,
    ),
    *ACCURACY_ROWS,
    Row(
        key="cautions",
        field="cautions",
        kind=listing(SENTENCE),
        about="sentences for whoever runs it, a list that may be empty",
        required=True,
    ),
    Row(
        key="operation",
        field="operations",
        kind=listing(table(OPERATION_ROWS, Operation), least=len(CUT_ROLES)),
        about="a table [[operation]] for each of engraving, scoring, openings and edges",
        required=True,
        example="…",
    ),
)
