"""Sheets: parts laid on stock, ready for any writer. Millimetres, x to the right, y up, origin lower left."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from jiggen.design.model import Spec
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Path
from jiggen.geometry.similarity import Similarity
from jiggen.parts.model import Feature
from jiggen.shop.machine import Machine
from jiggen.shop.material import Material
from jiggen.shop.model import CutPart


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """A part and the map from its own coordinates to the sheet's."""

    cut_part: CutPart
    place: Similarity


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One thing the machine does, in sheet coordinates: what writers write, in the order it is cut.

    Attributes:
        id: Unique on the sheet: `plan-template.fret.7`; a feature of several paths keeps one mark.
        part: Name of the part.
        feature: The feature it makes.
        operation: Name of the machine's operation.
        paths: Sheet coordinates.
        box: Bounds of all paths.
    """

    id: str
    part: str
    feature: Feature
    operation: str
    paths: tuple[Path, ...]
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One piece of stock and what is cut from it.

    Attributes:
        number: Counts from 1.
        width_mm: Along x.
        height_mm: Along y.
        placements: In the order of the parts.
        machine: Whose operations, colours and order apply.
    """

    number: int
    width_mm: float
    height_mm: float
    placements: tuple[Placement, ...]
    machine: Machine
    _marks: tuple[Mark, ...] = field(
        init=False, repr=False, compare=False
    )  # laid out once, read by every writer

    def __post_init__(self) -> None:
        object.__setattr__(self, "_marks", tuple(_marks_of(self.placements)))

    def marks(self, operation: str) -> Iterator[Mark]:
        """Yields what one operation does on this sheet, part by part, feature by feature."""
        return (mark for mark in self._marks if mark.operation == operation)

    def marks_of_part(self, name: str) -> Iterator[Mark]:
        """Yields what is done for one part, feature by feature."""
        return (mark for mark in self._marks if mark.part == name)


def _marks_of(placements: Iterable[Placement]) -> Iterator[Mark]:
    for placement in placements:
        part = placement.cut_part.part.name
        for cut in placement.cut_part.features:
            paths = tuple(placement.place.path(path) for path in cut.paths)
            yield Mark(
                id=f"{part}.{cut.feature.id}",
                part=part,
                feature=cut.feature,
                operation=cut.operation,
                paths=paths,
                box=around(bounds(path) for path in paths),
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSet:
    """All sheets of one design on one machine, in one material: what a job writes."""

    spec: Spec
    design_id: str
    material: Material
    machine: Machine
    sheets: tuple[Sheet, ...]
