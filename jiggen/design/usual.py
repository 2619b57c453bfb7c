"""What goes without saying: values that hold where neither maker nor profile says otherwise."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from jiggen.design.fret_rule import EqualSteps
from jiggen.design.model import ASSUMED, EndShape, Given, Spacing

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
