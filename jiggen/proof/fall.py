"""What would fall out of one sheet if its file were cut: the virtual cut alone, for pictures of it."""

from jiggen.errors import InputError
from jiggen.proof.burn import Fallen, burn
from jiggen.proof.curves import gather
from jiggen.proof.manifest import read_manifest
from jiggen.proof.match import match
from jiggen.proof.nominal import Nominal
from jiggen.proof.read_svg import read_svg


def fallen_of(manifest: bytes, number: int, svg: bytes) -> tuple[Fallen, ...]:
    """Returns what falls out of a sheet, part by part.

    Args:
        manifest: Of the job.
        number: Of the sheet.
        svg: The sheet's file.

    Raises:
        InputError: If a file cannot be read, or the job has no such sheet.
    """
    sheets = {sheet.number: sheet for sheet in read_manifest(manifest).sheets}
    if number not in sheets:
        raise InputError(
            where="sheet", got=str(number), expected=f"one of {', '.join(map(str, sorted(sheets)))}"
        )
    nominal, name = Nominal(sheets[number]), f"sheet-{number}.svg"
    reading = read_svg(svg, name=name)
    matched = match(nominal, reading, gather([[each.stroke] for each in reading.traced]), name)
    return burn(sheets[number], nominal.items, matched.through)
