"""What a maker can ask of the files: machines and printers differ."""

from dataclasses import dataclass

from jiggen.drawing.paper import A4, Paper
from jiggen.export.dxf_entities import DxfEntities
from jiggen.export.dxf_frame import DxfVersion


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """Choices that change how files are written, never what is cut.

    Attributes:
        dxf_version: Release of the DXF.
        dxf_entities: Entities that it uses.
        dpi: Pixels per inch of pictures; None: as many as make a handy picture.
        paper: On which the plan is printed in tiles.
        check_line: Whether the SVG has a line of 50 mm to measure, in an operation of its own.
        plan: Whether the working plan of the instrument is among the files.
    """

    dxf_version: DxfVersion = DxfVersion.R2000
    dxf_entities: DxfEntities = DxfEntities.POLYLINE
    dpi: float | None = None
    paper: Paper = A4
    check_line: bool = False
    plan: bool = True


DEFAULTS = Options()
