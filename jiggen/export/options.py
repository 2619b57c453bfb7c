"""What a maker can ask of the files: machines and printers differ."""

import math
from dataclasses import dataclass

from jiggen.drawing.paper import A4, PAPERS, Paper
from jiggen.errors import InputError, JiggenError, did_you_mean, quoted, raise_all
from jiggen.export.dxf_entities import DxfEntities
from jiggen.export.dxf_frame import DxfVersion

#: Fewest pixels per inch at which anything can be read.
LEAST_DPI = 10.0
#: Said before an R12 is written, since the file itself cannot.
R12_CAUTION = "DXF R12 cannot store its unit: tell the machine's software that one unit is one millimetre."


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """Choices that change how files are written, never what is cut.

    Attributes:
        dxf_version: Release of the DXF.
        dxf_entities: Entities that it uses.
        dpi: Pixels per inch of pictures; None: as many as make a handy picture.
        paper: On which the plan is printed in tiles.
        check_line: Whether DXF and SVG have a line of 50 mm to measure, in an operation of its own.
        plan: Whether the working plan of the instrument is among the files.
    """

    dxf_version: DxfVersion = DxfVersion.R2000
    dxf_entities: DxfEntities = DxfEntities.POLYLINE
    dpi: float | None = None
    paper: Paper = A4
    check_line: bool = False
    plan: bool = True

    @property
    def cautions(self) -> tuple[str, ...]:
        """What has to be known of the files that they cannot say themselves."""
        return (R12_CAUTION,) if self.dxf_version is DxfVersion.R12 else ()


DEFAULTS = Options()


def read_options(
    *, dxf_version: str, dxf_entities: str, dpi: float | None, paper: str, check_line: bool = False
) -> Options:
    """Returns the options that words on a command line ask for.

    Args:
        dxf_version: `r2000` or `r12`.
        dxf_entities: `polyline`, `primitives` or `segments`.
        dpi: Pixels per inch, or None.
        paper: `a4`, `a3`, `letter` or `tabloid`.
        check_line: Whether there is to be one.

    Raises:
        JiggenError: If any of them is not known; all that are, in one go.
    """
    errors: list[JiggenError] = []
    for option, word, known in (
        ("--dxf-version", dxf_version, [each.value for each in DxfVersion]),
        ("--dxf-entities", dxf_entities, [each.value for each in DxfEntities]),
        ("--paper", paper, list(PAPERS)),
    ):
        if word not in known:
            expected = f"one of {', '.join(known)}"
            errors.append(
                InputError(where=option, got=quoted(word), expected=expected, mend=did_you_mean(word, known))
            )
    if dpi is not None and not (math.isfinite(dpi) and dpi >= LEAST_DPI):
        errors.append(
            InputError(where="--dpi", got=f"{dpi:g}", expected=f"at least {LEAST_DPI:g} pixels per inch")
        )
    raise_all(errors)
    return Options(
        dxf_version=DxfVersion(dxf_version),
        dxf_entities=DxfEntities(dxf_entities),
        dpi=dpi,
        paper=PAPERS[paper],
        check_line=check_line,
    )
