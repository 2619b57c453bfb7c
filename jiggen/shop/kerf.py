"""Kerf: the full width of a cut, by material, machine and setting, and where that figure comes from. Millimetres."""

from dataclasses import dataclass

from jiggen.design.making import TrueFace
from jiggen.design.model import Given


@dataclass(frozen=True, slots=True, kw_only=True)
class Kerf:
    """The full width of a cut through the sheet.

    A beam's cut is often wider where it enters: the face that is up when cut, which carries the marks.

    Attributes:
        marked: Width on the face that is up when cut.
        plain: Width on the other face.
        machine: Name of the machine profile that it holds for; empty: any laser, for want of a better figure.
        setting: The power and speed that it holds for, in words; empty: not said.
    """

    marked: Given[float]
    plain: Given[float]
    machine: str = ""
    setting: str = ""

    def at(self, face: TrueFace) -> float:
        """Returns the width on a face, in mm."""
        match face:
            case TrueFace.MARKED:
                return self.marked.value
            case TrueFace.PLAIN:
                return self.plain.value
            case TrueFace.MIDDLE:
                return (self.marked.value + self.plain.value) / 2.0

    @property
    def source(self) -> str:
        """Where the figure comes from, with the setting it holds for."""
        return f"{self.marked.source}, {self.setting}" if self.setting else self.marked.source

    @property
    def tapers(self) -> bool:
        """Whether the two faces differ."""
        return self.marked.value != self.plain.value


def even(width: Given[float], *, machine: str = "", setting: str = "") -> Kerf:
    """Returns the kerf of a cut with upright walls."""
    return Kerf(marked=width, plain=width, machine=machine, setting=setting)
