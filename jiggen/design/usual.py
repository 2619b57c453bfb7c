"""What goes without saying: values that hold where neither maker nor profile says otherwise."""

from collections.abc import Mapping
from dataclasses import fields, replace
from types import MappingProxyType
from typing import Any

from jiggen.design.fret_rule import EqualSteps
from jiggen.design.instrument import BackShape, CutawaySide, HeadForm, Smoothness
from jiggen.design.model import ASSUMED, Design, EndShape, Given, Spacing

#: By field of `Spec`.
USUAL: Mapping[str, Given[Any]] = MappingProxyType(
    {
        name: Given(value, ASSUMED, note=reason)
        for name, value, reason in (
            ("straight_fret", 0.0, "the nut is square"),
            ("fret_rule", EqualSteps(steps=12), "12 equal steps to the octave"),
            ("zero_fret", False, "the nut stops the strings"),
            ("nut_behind", 4.0, "common practice"),
            ("end", EndShape.STRAIGHT, "common practice"),
            ("end_angle", 0.0, "square"),
            ("wire_overhang", 3.0, "common practice"),
            ("course_spacing_nut", 0.0, "single strings"),
            ("course_spacing_bridge", 0.0, "single strings"),
            ("spacing", Spacing.CENTRES, "common practice"),
            ("nut_offset", 0.0, "strings lie by their setbacks"),
            ("left_handed", False, "right-handed"),
            ("pitch_standard", 440.0, "ISO 16"),
        )
    }
)

#: By group and field of `Spec`: holds where a design says anything of that group, or always, see `_ALWAYS`.
USUAL_IN_GROUPS: Mapping[str, Given[Any]] = MappingProxyType(
    {
        name: Given(value, ASSUMED, note=reason)
        for name, value, reason in (
            ("tools.locating_pin", 1.5, "common practice: fret wire hides the hole"),
            ("inlays.side_depth", 3.0, "common practice: halfway down a board of 6 mm"),
            ("nut.seat", 6.0, "common practice: the thickness of a board"),
            ("nut.fret_height", 1.1, "common practice: medium wire"),
            ("nut.slot_clearance", 0.05, "common practice: two thousandths of an inch"),
            ("bridge.slot_width", 3.2, "common practice: 1/8 inch"),
            ("bridge.pin_drill", 5.0, "common practice: reamed to fit"),
            ("truss_rod.from_nut", 0.0, "adjusted at the other end"),
            ("neck_back.shape", BackShape.C, "common practice"),
            ("neck_back.board", 6.0, "common practice"),
            ("neck_back.ridge", 0.0, "both sides alike"),
            ("head.form", HeadForm.SOLID, "tuners stand on its face"),
            ("head.roller_depth", 10.0, "common practice: half of a head of 20 mm"),
            ("head.shoulder", 20.0, "common practice"),
            ("head.post", 6.0, "common practice"),
            ("head.straight_pull", False, "strings bend at the nut"),
            ("head.nut_thickness", 5.0, "common practice"),
            ("body.smooth", Smoothness.TANGENT, "few arcs"),
            ("body.cutaway_side", CutawaySide.TREBLE, "common practice"),
            ("body.horn_radius", 14.0, "common practice"),
            ("body.side_thickness", 2.0, "common practice"),
            ("body.side_allowance", 50.0, "common practice"),
            ("mould.wall", 60.0, "common practice"),
            ("mould.clearance", 0.0, "the sides fill the mould"),
            ("mould.bolt", 8.0, "common practice"),
            ("mould.bolt_clearance", 1.0, "ISO 273, medium fit, from memory: dowels line the layers up"),
            ("mould.bolt_spacing", 150.0, "common practice"),
            ("mould.dowel", 8.0, "common practice"),
            ("mould.web", 10.0, "more than the bolt is thick"),
            ("neck_pocket.allowance", 0.1, "common practice"),
            ("neck_pocket.radius", 8.0, "common practice"),
        )
    }
)


#: Groups that every instrument has, whether a design says anything of them or not.
_ALWAYS = frozenset({"tools", "nut"})


def with_usual(design: Design) -> Design:
    """Returns a design whose groups of numbers are completed by what is usual, where anything is said in one at all."""
    names = dict.fromkeys(name.partition(".")[0] for name in USUAL_IN_GROUPS)
    return replace(design, **{name: _completed(name, getattr(design, name)) for name in names})


def _completed(name: str, group: Any) -> Any:
    said = {each.name: getattr(group, each.name) for each in fields(group)}
    if name not in _ALWAYS and not any(said.values()):
        return group
    usual = {each: USUAL_IN_GROUPS.get(f"{name}.{each}") for each, given in said.items() if given is None}
    return replace(group, **usual)
