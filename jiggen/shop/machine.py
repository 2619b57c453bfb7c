"""Machines: bed, scale, limits and operations, from a profile."""

from dataclasses import dataclass
from enum import StrEnum

from jiggen.design.making import Accuracy
from jiggen.design.model import ASSUMED, Given
from jiggen.parts.model import Role
from jiggen.shop.kerf import Kerf
from jiggen.shop.price import Price


class Process(StrEnum):
    """What a machine does to the sheet."""

    LASER = "laser"  #: burns a kerf whose width depends on the material
    ROUTER = "router"  #: mills a kerf as wide as its bit
    PAPER = "paper"  #: prints, to check a design before any sheet is cut


class LineType(StrEnum):
    """How CAD programs show lines; the machine follows them whole all the same."""

    CONTINUOUS = "continuous"
    DASHED = "dashed"
    CHAIN = "chain"  #: long dash, gap, dot, gap


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One way in which the machine works the sheet.

    Attributes:
        name: Used for DXF layers and SVG groups: `cut-edge`.
        role: Which features it makes.
        colour: `#rrggbb`, for screens, SVG and PDF.
        aci: AutoCAD-style colour index (1 to 255) for DXF layers, the nearest to `colour`.
        note: What the operator should set, in words.
        speed_mm_per_s: How fast the head moves, for an estimate of the time; None when nobody said.
        passes: How often each path is gone over.
        pierce_seconds: That the beam or bit stands at the start of each path, on every pass, until it is through.
        lead_in_mm: How long a lead-in it starts closed cuts with, from the waste; None: none.
        filled: Whether letters are outlines to be filled line by line, instead of strokes to be followed.
        line_type: How CAD programs show the lines of its DXF layer.
    """

    name: str
    role: Role
    colour: str
    aci: int
    note: str
    speed_mm_per_s: float | None = None
    passes: int = 1
    pierce_seconds: float = 0.0
    lead_in_mm: float | None = None
    filled: bool = False
    line_type: LineType = LineType.CONTINUOUS


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A machine as its profile describes it.

    Attributes:
        name: Profile name.
        title: For people.
        process: What it does.
        bed_width_mm: Along x.
        bed_height_mm: Along y.
        margin_mm: Free border round the sheet.
        gap_mm: Smallest distance between two parts.
        kerf: A router's bit, or a kerf of this machine for materials that have none measured on it; None for none.
        scale_x: By which x is multiplied so that it comes out right: 1.001 for a machine that cuts 1 m to 999 mm.
        scale_y: The same for y.
        smallest_web_mm: Least width that may be left of the sheet between two cuts.
        smallest_hole_mm: Least diameter of a hole.
        smallest_inside_radius_mm: Of a corner into which the tool must get; 0 where half the kerf is all there is to it.
        smallest_lettering_mm: Least legible height of capitals.
        smallest_line_gap_mm: Least distance between lines that run side by side.
        single_pass_mm: A slot that is wider than the kerf by less than this is cut in one pass on its centre line.
        line_width_mm: Width at which lines are drawn in SVG and PDF.
        operations: In the order in which they are run.
        travel_mm_per_s: How fast the head moves without working; None when nobody said.
        acceleration_mm_per_s2: At which the head gains and loses speed; None when nobody said.
        rest_mm: How far apart cuts that follow one another are to lie, so that the sheet keeps cool; None: anywhere.
        tab_width_mm: Of what is left uncut of a part's edge here and there, so that it stays in the sheet; None: nothing.
        tab_spacing_mm: About how far apart such tabs stand.
        price_per_hour: Of running it; None when nobody said.
        accuracy: How far parts made on it may be off, as far as the profile says.
        cautions: Sentences for whoever runs it.
    """

    name: str
    title: str
    process: Process = Process.LASER
    bed_width_mm: float
    bed_height_mm: float
    margin_mm: float
    gap_mm: float
    kerf: Kerf | None = None
    scale_x: Given[float] = Given(1.0, ASSUMED)  # noqa: RUF009 - frozen
    scale_y: Given[float] = Given(1.0, ASSUMED)  # noqa: RUF009 - frozen
    smallest_web_mm: float
    smallest_hole_mm: float
    smallest_inside_radius_mm: float = 0.0
    smallest_lettering_mm: float
    smallest_line_gap_mm: float
    single_pass_mm: float
    line_width_mm: float
    operations: tuple[Operation, ...]
    travel_mm_per_s: float | None = None
    acceleration_mm_per_s2: float | None = None
    rest_mm: float | None = None
    tab_width_mm: float | None = None
    tab_spacing_mm: float = 150.0
    price_per_hour: Price | None = None
    accuracy: Accuracy = Accuracy()  # noqa: RUF009 - frozen
    cautions: tuple[str, ...] = ()

    def operation_for(self, role: Role) -> Operation:
        """Returns the operation that makes features of a role.

        Raises:
            KeyError: If the profile has none, which reading a profile rules out for cut roles.
        """
        for operation in self.operations:
            if operation.role is role:
                return operation
        raise KeyError(role)
