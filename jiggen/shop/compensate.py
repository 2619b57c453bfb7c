"""From finished size to what the machine must follow. Millimetres."""

from collections.abc import Callable
from typing import assert_never

from jiggen.errors import LimitError, raise_all
from jiggen.geometry.offset import grow, shrink
from jiggen.geometry.path import Path
from jiggen.lettering.fit import fit_paragraph
from jiggen.parts.model import Feature, Part, Role
from jiggen.shop.machine import Machine
from jiggen.shop.model import CutFeature, CutPart
from jiggen.shop.tag import Tag


def compensate(part: Part, tag: Tag, machine: Machine) -> CutPart:
    """Returns the part as it must be cut: edges out and openings in by half a kerf, and the tag lettered on.

    The beam takes half its kerf from each side of the path, so the path of an edge runs half a kerf outside the
    finished part and that of an opening half a kerf inside the finished hole. Lines and lettering stay.

    Args:
        part: At finished size.
        tag: For this part; its offset is the one applied.
        machine: Names the operations and the smallest legible lettering.

    Raises:
        LimitError: If an opening is no wider than the kerf, or the tag does not fit in its box.
    """
    errors: list[LimitError] = []
    cut: list[CutFeature] = []
    for feature in (*part.features, _tag_lettering(part, tag, machine)):
        if feature.role is Role.NOTE or feature.cut_in is not None:
            continue
        error = _too_narrow(part, feature, tag)
        if error:
            errors.append(error)
            continue
        cut.append(
            CutFeature(
                feature=feature,
                operation=machine.operation_for(feature.role).name,
                paths=_followed(feature, tag.offset_mm),
            )
        )
    raise_all(errors)
    return CutPart(part=part, tag=tag, features=tuple(cut))


def _followed(feature: Feature, offset_mm: float) -> tuple[Path, ...]:
    match feature.role:
        case Role.EDGE:
            return _offset(feature.paths, grow, offset_mm)
        case Role.OPENING:
            return _offset(feature.paths, shrink, offset_mm)
        case Role.LINE | Role.LETTERING | Role.NOTE:
            return feature.paths
        case _:
            assert_never(feature.role)


def _offset(
    paths: tuple[Path, ...], move: Callable[[Path, float], tuple[Path, ...]], by_mm: float
) -> tuple[Path, ...]:
    return tuple(moved for path in paths for moved in move(path, by_mm))


def _too_narrow(part: Part, feature: Feature, tag: Tag) -> LimitError | None:
    if feature.role is not Role.OPENING or feature.width_mm is None or feature.width_mm > tag.kerf_mm:
        return None
    return LimitError(
        where=f"part {part.name}, feature {feature.id}",
        got=f"a clear width of {feature.width_mm:.2f} mm",
        expected=f"more than the kerf of {tag.kerf_mm:.2f} mm, the narrowest this machine can cut",
        mend="Use a thicker tool, more clearance or a machine with a finer kerf",
    )


def _tag_lettering(part: Part, tag: Tag, machine: Machine) -> Feature:
    text = tag.line()
    lettering = fit_paragraph(
        text,
        box=part.tag_box,
        largest_mm=machine.smallest_lettering_mm * 1.2,
        smallest_mm=machine.smallest_lettering_mm,
        where=f"part {part.name}, tag",
    )
    return Feature(id="tag", role=Role.LETTERING, paths=lettering.paths, text=text)
