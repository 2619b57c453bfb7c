"""Fills what a maker left out from an instrument profile, and marks it as assumed."""

from dataclasses import fields, is_dataclass, replace
from typing import Any

from jiggen.design.by_outline import not_of_profile
from jiggen.design.model import ASSUMED, CHOSEN, Design, Given


def fill_design(design: Design, defaults: Design) -> Design:
    """Returns a design with the numbers it lacks taken from an instrument profile.

    What is taken gets the source `assumed` and a note that names the profile. Not taken is what would no longer
    mean the same: gauges for another number of strings, a setback to another place, the overhang of a fretted
    board for a fretless one.

    Args:
        design: What the maker wrote.
        defaults: The profile, itself a design.
    """
    profile = design.profile or defaults.name
    kept_out = set()
    counted = _counted(design)
    if counted is not None and counted != _counted(defaults):
        kept_out |= {
            *_PER_STRING,
            "string_set",
            "courses",
            "course_spacing_nut",
            "course_spacing_bridge",
            "tuners",
        }
    if design.string_count is None and counted is not None:
        kept_out.add("string_count")
    if any(getattr(design, name) for name in ("scale", "nut_to_twelfth", "nut_to_fret", "bridge_to_fret")):
        kept_out |= {"scale_bass", "scale_treble", "straight_fret"}
    if _value(design.setback_to) not in {None, _value(defaults.setback_to)}:
        kept_out |= {"setback", "setback_bass", "setback_treble"}
    if _value(design.frets) == 0 != _value(defaults.frets):
        kept_out.add("overhang")
    groups = {each.name: getattr(design, each.name) for each in fields(design) if each.name != "make"}
    groups = {
        name: group for name, group in groups.items() if is_dataclass(group) and not isinstance(group, Given)
    }
    return replace(
        design,
        **_missing(design, defaults, profile, kept_out),
        **{
            name: _filled(own, getattr(defaults, name), profile, kept_out | not_of_profile(name, own))
            for name, own in groups.items()
        },
        make=replace(
            _filled(design.make, defaults.make, profile, kept_out),
            parts=design.make.parts or defaults.make.parts,
            material=design.make.material or defaults.make.material,
            machine=design.make.machine or defaults.make.machine,
            setting=design.make.setting or defaults.make.setting,
        ),
    )


def _filled(own: Any, other: Any, profile: str, kept_out: set[str]) -> Any:
    """Returns a group of numbers with those it lacks taken from a profile's."""
    return replace(own, **_missing(own, other, profile, kept_out))


def _missing(own: Any, other: Any, profile: str, kept_out: set[str]) -> dict[str, Any]:
    """Returns, by field, what one lacks and the other has."""
    names = [
        each.name for each in fields(own) if each.name not in kept_out and getattr(own, each.name) is None
    ]
    return {name: _assumed(given, profile) for name in names if (given := getattr(other, name)) is not None}


def _assumed(given: Given[Any], profile: str) -> Given[Any]:
    """Returns a profile's value as an assumption."""
    reason = given.note or (given.source if given.source != CHOSEN else "")
    return replace(given, source=ASSUMED, note=f"{profile}: {reason}" if reason else profile)


#: What is said string by string.
_PER_STRING = ("gauges", "tuning", "positions_nut", "positions_bridge")


def _counted(design: Design) -> int | None:
    """Returns how many strings a design speaks of, or None when it speaks of none."""
    if design.string_count:
        return design.string_count.value
    if design.courses:
        return sum(design.courses.value)
    listed = (getattr(design, name) for name in _PER_STRING)
    return next((len(given.value) for given in listed if given), None)


def _value(given: Given[Any] | None) -> Any:
    """Returns the value, or None when it was not given."""
    return given.value if given else None
