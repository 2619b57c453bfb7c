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
        paths: What the beam's centre follows, part coordinates, growth and kerf applied.
        narrowed_from_mm: For a slot that one pass on its centre line must do for, so that its path is open and it
            comes out as wide as the beam: the width that was asked for. None for all else.
    """

    feature: Feature
    operation: str
    paths: tuple[Path, ...]
    narrowed_from_mm: float | None = None

    @property
    def single_pass(self) -> bool:
        """Whether it is a slot cut in one pass."""
        return self.narrowed_from_mm is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPart:
    """One part as it must be cut.

    Attributes:
        part: What it will be, at finished size: corners relieved, or the pattern of it, if that was asked for.
        tag: Everything that was done to it, engraved on it and written into each file.
        features: In the order of the part's features, the tag's lettering last; notches and notes, which are
            not cut on their own, are left out.
        may_turn: Whether it may be turned on the sheet, which a grain forbids.
    """

    part: Part
    tag: Tag
    features: tuple[CutFeature, ...]
    may_turn: bool = True
