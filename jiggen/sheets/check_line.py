"""A line of 50 mm in the free border of a sheet, in an operation of its own, to see at a glance whether a size is right."""

from jiggen.geometry.path import Path, segment
from jiggen.geometry.point import Point
from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet
from jiggen.shop.machine import Operation

LENGTH = 50.0  # mm
#: Its own operation, so that the machine's software can leave it out; grey, like what is only for the eye.
CHECK = Operation(
    name="check",
    role=Role.NOTE,
    colour="#7d7d7d",
    aci=8,
    note="50 mm, to measure. Leave it out, or run it on scrap.",
)
#: What it is called in files.
CHECK_ID = "check.50-mm"


def check_line(sheet: Sheet) -> Path:
    """Returns the line, sheet coordinates: along the lower edge, in the border that parts keep clear of."""
    margin = sheet.machine.margin_mm
    start = Point(margin, margin / 2.0)
    return segment(start, start + Point(LENGTH, 0.0))
