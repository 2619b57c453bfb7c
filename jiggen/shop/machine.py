"""Machines: bed, kerf, limits and operations, from a profile."""

from dataclasses import dataclass

from jiggen.parts.model import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One way in which the machine works the sheet.

    Attributes:
        name: Used for DXF layers and SVG groups: `cut-edge`.
        role: Which features it makes.
        colour: `#rrggbb`, for screens, SVG and PDF.
        aci: AutoCAD-style colour index (1 to 255) for DXF layers, the nearest to `colour`.
        note: What the operator should set, in words.
    """

    name: str
    role: Role
    colour: str
    aci: int
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A machine as its profile describes it.

    Attributes:
        name: Profile name.
        title: For people.
        bed_width_mm: Along x.
        bed_height_mm: Along y.
        margin_mm: Free border round the sheet.
        gap_mm: Smallest distance between two parts.
        kerf_mm: Full width of the cut.
        kerf_source: Where that figure comes from.
        smallest_feature_mm: Least width of a web, slot or hole.
        smallest_lettering_mm: Least legible height of capitals.
        line_width_mm: Width at which lines are drawn in SVG and PDF.
        operations: In the order in which they are run.
    """

    name: str
    title: str
    bed_width_mm: float
    bed_height_mm: float
    margin_mm: float
    gap_mm: float
    kerf_mm: float
    kerf_source: str
    smallest_feature_mm: float
    smallest_lettering_mm: float
    line_width_mm: float
    operations: tuple[Operation, ...]

    def operation_for(self, role: Role) -> Operation:
        """Returns the operation that makes features of a role.

        Raises:
            KeyError: If the profile has none, which reading a profile rules out for cut roles.
        """
        for operation in self.operations:
            if operation.role is role:
                return operation
        raise KeyError(role)
