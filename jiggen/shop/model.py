"""What leaves the shop: parts as they must be cut."""

from dataclasses import dataclass

from jiggen.geometry.path import Path
from jiggen.parts.model import Feature, Part
from jiggen.shop.tag import Tag


@dataclass(frozen=True, slots=True, kw_only=True)
class CutFeature:
    """One feature as the machine must follow it.

    Attributes:
        feature: What it came from, at finished size.
        operation: Name of the machine's operation: `cut-edge`, `cut-opening`, `score`, `engrave`.
        paths: What the machine follows, part coordinates, kerf and all applied.
    """

    feature: Feature
    operation: str
    paths: tuple[Path, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPart:
    """One part as it must be cut.

    Attributes:
        part: What it came from, at finished size.
        tag: Everything that was done to it, engraved on it and written into each file.
        features: In the order of the part's features, the tag's lettering last; notches and notes, which are
            not cut on their own, are left out.
    """

    part: Part
    tag: Tag
    features: tuple[CutFeature, ...]
