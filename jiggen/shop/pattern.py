"""Router patterns: the part as a router must be led, with a guide bush or a bearing on the bit. Millimetres.

The guide runs along the pattern's contour and the bit cuts along the part's, so the two lie half the difference of
their diameters apart: the pattern of an edge is smaller all round, that of an opening larger.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from jiggen.design.making import Make
from jiggen.errors import InputError, JiggenError, LimitError, raise_all
from jiggen.geometry.clip import clipped
from jiggen.geometry.offset import grow, shrink
from jiggen.geometry.path import Path
from jiggen.geometry.relief import tightest_hollow
from jiggen.parts.model import Feature, Part, Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A router that is led along a pattern.

    Attributes:
        guide_mm: Outside diameter of its guide bush, or of the bearing on its bit.
        bit_mm: Diameter of its bit.
    """

    guide_mm: float
    bit_mm: float

    @property
    def offset_mm(self) -> float:
        """How far the pattern's contour lies from the part's: (guide - bit) / 2 (common practice in routing)."""
        return (self.guide_mm - self.bit_mm) / 2.0


def pattern_of(make: Make) -> Pattern | None:
    """Returns the router that a design asks patterns for, or None.

    Raises:
        InputError: If only one of the two diameters is given, or the bit is larger than its guide.
    """
    guide, bit = make.guide, make.bit
    if guide is None and bit is None:
        return None
    if guide is None or bit is None:
        there, missing = (guide, "bit") if bit is None else (bit, "guide")
        raise InputError(
            where=there.where if there is not None else "make",
            got=f"no make.{missing}",
            expected="both the guide's and the bit's diameter, for a router pattern",
            mend=f"Add {missing} = … to [make], or take the other out to get the parts themselves.",
        )
    if bit.value > guide.value:
        raise InputError(
            where=guide.where or "make.guide",
            got=f"a guide of {guide.value:g} mm for a bit of {bit.value:g} mm",
            expected="a guide at least as wide as the bit",
            mend="A bearing smaller than its bit cuts a rabbet, not the part.",
        )
    return Pattern(guide_mm=guide.value, bit_mm=bit.value)


def as_pattern(part: Part, pattern: Pattern) -> Part:
    """Returns the pattern of a part, at finished size; a part along which no router is led stays as it is.

    What the router is led along changes by the pattern's offset: edges shrink, openings grow. Notches in such an edge
    have no features of their own in a pattern, and lines end where it ends. All else stays.

    Raises:
        LimitError: If an opening is narrower than the bit, the guide cannot get somewhere, or nothing is left.
    """
    errors: list[JiggenError] = []
    features: list[Feature] = []
    led_edge = any(feature.role is Role.EDGE and feature.led for feature in part.features)
    for feature in part.features:
        try:
            features += _patterned(feature, pattern, led_edge=led_edge)
        except LimitError as error:
            errors.append(error.at(f"part {part.name}, feature {feature.id}, router pattern"))
    raise_all(errors)
    made = replace(part, features=tuple(features))
    return _with_lines_inside(made) if led_edge else made


def _with_lines_inside(part: Part) -> Part:
    """Ends the lines of a part at its outline, leaving out what lies wholly beyond."""
    features: list[Feature] = []
    for feature in part.features:
        if feature.role is Role.LINE:
            paths = tuple(piece for path in feature.paths for piece in clipped(path, part.outline))
            features += [replace(feature, paths=paths)] if paths else []
        else:
            features.append(feature)
    return replace(part, features=tuple(features))


def _patterned(feature: Feature, pattern: Pattern, *, led_edge: bool) -> Iterator[Feature]:
    offset = pattern.offset_mm
    match feature.role:
        case Role.OPENING if feature.cut_in is not None:
            if not led_edge:
                yield feature
        case Role.EDGE | Role.OPENING if not feature.led:
            yield feature
        case Role.EDGE:
            for path in feature.paths:
                _check_reach(path, pattern, inside=False)
            yield replace(feature, paths=_one_each(tuple(shrink(path, offset) for path in feature.paths)))
        case Role.OPENING:
            if feature.width_mm is not None and feature.width_mm < pattern.bit_mm:
                raise LimitError(
                    where="",
                    got=f"a clear width of {feature.width_mm:.2f} mm",
                    expected=f"at least {pattern.bit_mm:.2f} mm, the router's bit",
                    mend="Use a thinner bit, or leave this part out with --only",
                )
            for path in feature.paths:
                _check_reach(path, pattern, inside=True)
            paths = _one_each(tuple(grow(path, offset, mitre_limit=1e6) for path in feature.paths))
            width = None if feature.width_mm is None else feature.width_mm + 2.0 * offset
            yield replace(feature, paths=paths, width_mm=width)
        case Role.LINE | Role.LETTERING | Role.NOTE:
            yield feature


def _one_each(found: tuple[tuple[Path, ...], ...]) -> tuple[Path, ...]:
    if any(len(paths) != 1 for paths in found):
        raise LimitError(
            where="",
            got="a contour whose pattern falls apart or closes up",
            expected="one contour in the pattern for one in the part",
            mend="Use a guide nearer to the size of the bit",
        )
    return tuple(paths[0] for paths in found)


def _check_reach(path: Path, pattern: Pattern, *, inside: bool) -> None:
    """Checks that the bit gets everywhere on the side of a contour where it cuts.

    Raises:
        LimitError: If a corner or a hollow there is tighter than the bit.
    """
    tightest = tightest_hollow(path, inside=inside)
    if tightest is not None and tightest < pattern.bit_mm / 2.0 - 1e-6:
        guide = tightest + pattern.offset_mm
        raise LimitError(
            where="",
            got=f"an inside radius of {tightest:.2f} mm, {guide:.2f} mm in the pattern"
            if tightest
            else "a sharp inside corner",
            expected=f"at least {pattern.bit_mm / 2.0:.2f} mm, and {pattern.guide_mm / 2.0:.2f} mm in the pattern,"
            " half the bit and half the guide",
            mend="Round the corner, or use a thinner bit with a thinner guide",
        )
