"""The numbers of a body as rows for people: on the terminal, the plan and the ticket."""

from collections.abc import Iterator
from dataclasses import dataclass

from jiggen.design.given import known
from jiggen.layout.body_numbers import BodyNumbers, body_numbers
from jiggen.layout.model import Layout
from jiggen.units import format_inch, format_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyRow:
    """One number.

    Attributes:
        name: What it is.
        value: With its unit: mm, cm² or litres.
        inches: A length's value in inches; empty for areas and volumes.
    """

    name: str
    value: str
    inches: str = ""


def body_rows(layout: Layout) -> tuple[BodyRow, ...]:
    """Returns what follows from the body's outline; nothing where the maker says nothing of his body.

    Args:
        layout: Of the instrument.

    Raises:
        JiggenError: If the maker's numbers make no body.
    """
    found = body_numbers(layout)
    if found is None:
        return ()
    lengths = (
        BodyRow(name=name, value=format_mm(length), inches=format_inch(length))
        for name, length in _lengths(layout, found)
        if length is not None
    )
    return (*lengths, *_sizes(found))


def _lengths(layout: Layout, found: BodyNumbers) -> Iterator[tuple[str, float | None]]:
    yield from _read_off(layout)
    joint = known(layout.spec.body.joint_fret)
    yield f"body's neck end, at fret {joint}, from nut", found.neck_end
    yield "saddle line from the neck end", found.saddle_from_neck_end
    yield "sound hole's middle from the neck end", found.sound_hole_from_neck_end
    yield "all round the body", found.perimeter
    sides = ("bass", "treble") if layout.spec.left_handed.value else ("treble", "bass")
    for side, wood in sorted(zip(sides, found.side_wood, strict=True)):
        yield f"side wood, {side}, with bending allowance", wood
    yield "waist, tightest radius", found.waist.radius if found.waist else None
    bend = found.smallest_bend
    yield "smallest bend, radius", bend.radius if bend else None
    yield "instrument over all", found.overall


def _read_off(layout: Layout) -> Iterator[tuple[str, float | None]]:
    """What an outline that was brought along is measured by; of one made from numbers the maker knows it."""
    body = layout.spec.body
    if body.outline is None:
        return
    for name, given in (
        ("length of the body", body.length),
        ("upper bout", body.upper_bout),
        ("waist", body.waist),
        ("lower bout", body.lower_bout),
    ):
        yield f"{name}, measured", given.value if given else None


def _sizes(found: BodyNumbers) -> Iterator[BodyRow]:
    yield BodyRow(name="area of the body", value=f"{found.area / 100.0:.1f} cm²")
    if found.air is not None:
        yield BodyRow(name="air within the sides", value=f"{found.air / 1e6:.2f} l")
