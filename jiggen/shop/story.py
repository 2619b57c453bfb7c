"""What the shop did, and what it is good for, in words for whoever stands at the machine."""

from collections.abc import Iterator, Sequence

from jiggen.shop.climate import cents_of_scaling
from jiggen.shop.model import CutPart
from jiggen.shop.workshop import Workshop


def growth_lines(workshop: Workshop, scale_mm: float, frets: Sequence[tuple[int, float]]) -> Iterator[str]:
    """Yields what growth was allowed for, and what leaving it out would cost; nothing where there is none.

    An error in scale that the saddle shares costs no pitch, since the frets keep their shares of the string. It does
    where the saddle is placed by another measure, and that differs from fret to fret.

    Args:
        workshop: What the parts are made with.
        scale_mm: Scale length.
        frets: Numbers of the frets to tell of, and their distances from the nut in mm.
    """
    growth, climate = workshop.growth, workshop.climate
    if growth.along == 1.0:
        return
    changes = [
        f"cut at {cut.value:g} {unit}, used at {use.value:g} {unit}"
        for cut, use, unit in (
            (climate.cut_degc, climate.use_degc, "°C"),
            (climate.cut_humidity, climate.use_humidity, "% RH"),
        )
        if cut.value != use.value
    ]
    off = (1.0 / growth.along - 1.0) * scale_mm
    yield (
        f"growth: {'; '.join(changes)}, so all is cut {growth.along:.5f} times as large:"
        f" {abs(off):.2f} mm over the scale of {scale_mm:g} mm"
    )
    cents = ", ".join(
        f"fret {number} {_pitch(cents_of_scaling(1.0 / growth.along, distance / scale_mm))}"
        for number, distance in frets
    )
    if cents:
        yield (
            f"  left out, it would cost {cents} where the saddle is placed by another measure,"
            " and nothing where this part places it too"
        )


def _pitch(cents: float) -> str:
    return f"{abs(cents):.1f} cents {'sharp' if cents > 0.0 else 'flat'}"


def mirrored_line(cut_parts: Sequence[CutPart]) -> Iterator[str]:
    """Yields which parts are cut mirrored, and how they are then used."""
    names = [each.part.name for each in cut_parts if each.tag.mirrored]
    if names:
        yield f"marks under: {', '.join(names)}; cut mirrored, turned over for use and read through the sheet"
