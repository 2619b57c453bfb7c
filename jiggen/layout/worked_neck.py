"""A design worked out: all that follows from the numbers before anyone thinks of material or machine."""

from dataclasses import dataclass

from jiggen.design.spec import Spec
from jiggen.layout.doubt import Doubt
from jiggen.layout.model import Layout
from jiggen.layout.setup import StringSetup


@dataclass(frozen=True, slots=True, kw_only=True)
class Neck:
    """A design worked out.

    Attributes:
        spec: Every number, given, solved or assumed.
        layout: The geometry.
        setup: Pull of the strings and place of the saddle.
        id: Of the spec.
        doubts: What a tradesman would ask about first.
    """

    spec: Spec
    layout: Layout
    setup: StringSetup
    id: str
    doubts: tuple[Doubt, ...] = ()

    def telling_frets(self) -> tuple[tuple[int, float], ...]:
        """Returns numbers and distances from the nut of the frets that tell of an error in scale: 12th and last."""
        frets = [fret for fret in self.layout.frets if fret.number > 0]
        telling = [fret for fret in frets if fret.number == 12 or fret is frets[-1]]
        return tuple((fret.number, fret.distance) for fret in telling)
