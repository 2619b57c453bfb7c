"""Fills what a maker left out from an instrument profile, and marks it as assumed."""

from dataclasses import fields, replace
from typing import Any

from jiggen.design.model import ASSUMED, CHOSEN, Design, Given, Inlays, Make, Setup, Tools

_Group = Design | Tools | Setup | Inlays | Make


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
    strings, other_strings = (
        _value(design.string_count or _counted(design.gauges)),
        _value(defaults.string_count),
    )
    kept_out = set()
    if strings not in {None, other_strings}:
        kept_out.add("gauges")
    if _value(design.setback_to) not in {None, _value(defaults.setback_to)}:
        kept_out.add("setback")
    if design.gauges is not None:
        kept_out.add("string_count")
    if _value(design.frets) == 0 != _value(defaults.frets):
        kept_out.add("overhang")
    return replace(
        design,
        **_missing(design, defaults, profile, kept_out),
        tools=replace(design.tools, **_missing(design.tools, defaults.tools, profile, set())),
        setup=replace(design.setup, **_missing(design.setup, defaults.setup, profile, set())),
        inlays=replace(design.inlays, **_missing(design.inlays, defaults.inlays, profile, set())),
        make=replace(
            design.make,
            **_missing(design.make, defaults.make, profile, set()),
            parts=design.make.parts or defaults.make.parts,
            material=design.make.material or defaults.make.material,
            machine=design.make.machine or defaults.make.machine,
            setting=design.make.setting or defaults.make.setting,
        ),
    )


def _missing(own: _Group, other: _Group, profile: str, kept_out: set[str]) -> dict[str, Any]:
    """Returns, by field, what one lacks and the other has."""
    names = [
        each.name for each in fields(own) if each.name not in kept_out and getattr(own, each.name) is None
    ]
    return {name: _assumed(given, profile) for name in names if (given := getattr(other, name)) is not None}


def _assumed(given: Given[Any], profile: str) -> Given[Any]:
    """Returns a profile's value as an assumption."""
    reason = given.note or (given.source if given.source != CHOSEN else "")
    return replace(given, source=ASSUMED, note=f"{profile}: {reason}" if reason else profile)


def _counted(gauges: Given[tuple[float, ...]] | None) -> Given[int] | None:
    """Returns how many gauges there are."""
    return Given(len(gauges.value)) if gauges else None


def _value(given: Given[Any] | None) -> Any:
    """Returns the value, or None when it was not given."""
    return given.value if given else None
