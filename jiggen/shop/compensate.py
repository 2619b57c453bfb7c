"""From finished size to what the beam must follow. Millimetres.

The model, exact at every step. A point p of the finished part, as it is to be in use, comes from a command to the
machine like this:

1. **Growth.** When cut, the sheet is larger than in use by G = diag(growth along, growth across), so the part must
   then be G p, about the part's own origin. Where a sheet grows alike both ways, G is one factor and arcs stay arcs.
2. **Kerf.** The beam is a disc of the kerf's diameter k in the plane of the sheet, at the moment of cutting. What it
   sweeps is gone. So its centre must run k/2 outside the contour G p of an edge and k/2 inside that of an opening:
   the offset is taken from the grown contour, not grown with it.
3. **Place.** The part lies on the sheet by a motion that keeps lengths, mirrored first when its marks go underneath.
   Parts lie as they really will: gaps and margins are true.
4. **Machine.** A machine that is told to go to c goes to M c, with M = diag(mx, my) near one. To get its beam's centre
   to a place q it must be told S q, where S = M⁻¹ = diag(scale x, scale y) is the profile's scale, about the sheet's
   origin. This comes last, after the kerf, since the axes move the beam but do not change its width: a kerf taken off
   after S would be wrong by (S - 1) k/2. Here arcs become ellipses where the axes differ, and are refitted.

Steps 1 and 2 are done here, 3 in `sheets.nest`, 4 where a sheet lays its marks out (`sheets.model`). The proof walks
back: S⁻¹, place, G⁻¹, with the half kerf measured in the plane of step 2. `tests/unit/shop/test_virtual_cut.py` runs
the machine and the beam forward with shapely and finds the finished part.

Before any of it, a part may become a router's pattern (`shop.pattern`), and openings that take a square part get their
corners relieved: the beam goes through the corner itself, on a circle a little larger than its own.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import assert_never

from jiggen.errors import JiggenError, LimitError, named, raise_all
from jiggen.geometry.inked import inked
from jiggen.geometry.offset import grow, shrink
from jiggen.geometry.path import Path
from jiggen.geometry.relief import relieved
from jiggen.geometry.stretch import stretched
from jiggen.lettering.fit import fit_text, wrap_text
from jiggen.lettering.glyphs import PEN, UNITS
from jiggen.parts.model import Feature, Part, Role
from jiggen.shop.model import CutFeature, CutPart
from jiggen.shop.pattern import as_pattern
from jiggen.shop.single_pass import centre_line, swept
from jiggen.shop.tag import Tag
from jiggen.shop.workshop import Workshop

#: Radius of a relief's circle over that of the tool: enough for the tool to run round it.
_RELIEF = 1.1
#: Widths that differ by less than this, in mm, are the same.
_SAME = 1e-6
#: How far the outline of a filled letter may lie off the true one, mm: a fifth of a fine beam's spot.
_FILL_TOLERANCE = 0.02
#: By how much larger letters are taken to be so that what is reckoned to fit them does fit.
_BEYOND_ROUNDING = 1.0 + 1e-9


def compensate(part: Part, workshop: Workshop, tag: Tag) -> CutPart:
    """Returns the part as it must be cut, and the tag lettered on.

    Args:
        part: At finished size.
        workshop: How it is made.
        tag: For this part in this workshop.

    Raises:
        LimitError: If an opening is no wider than the kerf, a pattern or relief cannot be made, or the tag does not
            fit in its box; all that is wrong, in one go.
    """
    if workshop.pattern is not None:
        part = as_pattern(part, workshop.pattern)
    lettered = (*part.features, _tag_lettering(part, tag, workshop))
    finished: list[Feature] = []
    cut: list[CutFeature] = []
    faults: list[tuple[str, LimitError]] = []
    for feature in lettered:
        try:
            made, followed = _made(feature, workshop)
        except LimitError as error:
            faults.append((feature.id, error))
            continue
        finished.append(made)
        if followed is not None:
            cut.append(followed)
    raise_all(_told_once(part, faults))
    return CutPart(
        part=replace(part, features=tuple(finished[:-1])),
        tag=tag,
        features=tuple(cut),
        may_turn=not workshop.material.has_grain,
    )


def _told_once(part: Part, faults: Sequence[tuple[str, LimitError]]) -> list[JiggenError]:
    """Returns an error for each kind of fault, which names the features that have it."""
    alike: dict[str, list[str]] = {}
    for id, error in faults:
        alike.setdefault(str(error.at("")), []).append(id)
    errors = {str(error.at("")): error for _, error in faults}
    return [
        errors[fault].at(f"part {part.name}, feature{'s' * (len(ids) > 1)} {named(ids)}")
        for fault, ids in alike.items()
    ]


def _made(feature: Feature, workshop: Workshop) -> tuple[Feature, CutFeature | None]:
    """Returns a feature as it will be, and how the beam gets there; None if it is not cut on its own.

    Raises:
        LimitError: If it cannot be made.
    """
    if feature.role is Role.NOTE:
        return feature, None
    if feature.cut_in is not None:
        _check_notch(feature, workshop)
        return feature, None
    offset = workshop.kerf_mm / 2.0
    narrowed_from: float | None = None
    match feature.role:
        case Role.EDGE:
            paths = _offset(_grown(feature, workshop), grow, offset)
        case Role.OPENING:
            _check_width(feature, workshop)
            if line := _single_pass(feature, workshop):
                narrowed_from = feature.width_mm
                feature, paths = _as_swept(feature, line, workshop), (line,)
            else:
                feature = _with_relief(feature, offset)
                paths = _offset(_grown(feature, workshop), shrink, offset)
        case Role.LINE:
            paths = _grown(feature, workshop)
        case Role.LETTERING:
            paths = _lettered(feature, workshop)
        case _:
            assert_never(feature.role)
    operation = workshop.machine.operation_for(feature.role).name
    return feature, CutFeature(
        feature=feature, operation=operation, paths=paths, narrowed_from_mm=narrowed_from
    )


def _lettered(feature: Feature, workshop: Workshop) -> tuple[Path, ...]:
    """Returns strokes for a machine that follows letters, and outlines for one that fills them."""
    strokes = _grown(feature, workshop)
    if not workshop.machine.operation_for(Role.LETTERING).filled:
        return strokes
    if feature.letter_mm is None:
        raise ValueError(f"lettering {feature.id} does not say how high it is")
    return inked(strokes, feature.letter_mm * PEN / UNITS, tolerance_mm=_FILL_TOLERANCE)


def _grown(feature: Feature, workshop: Workshop) -> tuple[Path, ...]:
    growth = workshop.growth
    offset_next = feature.role in {Role.EDGE, Role.OPENING}
    return tuple(stretched(path, growth.along, growth.across, smooth=offset_next) for path in feature.paths)


def _offset(
    paths: tuple[Path, ...], move: Callable[[Path, float], tuple[Path, ...]], by_mm: float
) -> tuple[Path, ...]:
    return tuple(moved for path in paths for moved in move(path, by_mm))


def _with_relief(feature: Feature, offset_mm: float) -> Feature:
    if not (feature.takes_square and offset_mm > 0.0):
        return feature
    return replace(feature, paths=tuple(relieved(path, _RELIEF * offset_mm) for path in feature.paths))


def _check_width(feature: Feature, workshop: Workshop) -> None:
    """Checks that the beam is no wider than the opening, when cut.

    Raises:
        LimitError: If it is.
    """
    kerf = workshop.kerf_mm
    if feature.width_mm is None or feature.width_mm * workshop.growth.along >= kerf - _SAME:
        return
    raise LimitError(
        where="",
        got=f"a clear width of {feature.width_mm:.2f} mm",
        expected=f"at least {kerf:.2f} mm, the kerf: the narrowest cut possible on {workshop.machine.name}",
        mend="Use a thicker tool, more clearance or a machine with a finer kerf",
    )


def _check_notch(feature: Feature, workshop: Workshop) -> None:
    """Checks that the beam gets into a notch, along one wall and back along the other.

    Raises:
        LimitError: If it does not, so that the edge would be cut without the notch.
    """
    least = workshop.kerf_mm + workshop.machine.single_pass_mm
    if feature.width_mm is None or not workshop.kerf_mm or feature.width_mm * workshop.growth.along >= least:
        return
    raise LimitError(
        where="",
        got=f"a notch {feature.width_mm:.2f} mm wide",
        expected=f"at least {least:.2f} mm: the kerf of {workshop.machine.name} once along each wall",
        mend="Use a thinner tool or a machine with a finer kerf",
    )


def _single_pass(feature: Feature, workshop: Workshop) -> Path | None:
    """Returns the centre line of a slot hardly wider than the beam, when cut; None for all other openings."""
    if feature.width_mm is None or workshop.kerf_mm == 0.0 or len(feature.paths) != 1:
        return None
    if feature.width_mm * workshop.growth.along - workshop.kerf_mm >= workshop.machine.single_pass_mm:
        return None
    return centre_line(_grown(feature, workshop)[0], workshop.kerf_mm)


def _as_swept(feature: Feature, line: Path, workshop: Workshop) -> Feature:
    """Returns a slot as one pass of the beam makes it."""
    growth = workshop.growth
    contour = stretched(swept(line, workshop.kerf_mm), 1.0 / growth.along, 1.0 / growth.across)
    return replace(feature, paths=(contour,), width_mm=workshop.kerf_mm / growth.along)


def _tag_lettering(part: Part, tag: Tag, workshop: Workshop) -> Feature:
    """Returns the tag, on as few lines as it takes at the smallest legible height."""
    text, smallest, where = tag.line(), workshop.machine.smallest_lettering_mm, f"part {part.name}, tag"
    fit = partial(fit_text, box=part.tag_box, largest_mm=1.2 * smallest, smallest_mm=smallest, where=where)
    try:
        lettering = fit(text)  # sooner tried than reckoned
    except LimitError:
        lettering = fit(wrap_text(text, part.tag_box.width, smallest * _BEYOND_ROUNDING, where=where))
    return Feature(
        id="tag", role=Role.LETTERING, paths=lettering.paths, text=text, letter_mm=lettering.height_mm
    )
