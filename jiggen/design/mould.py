"""Numbers of the mould that an instrument's sides are bent into, and of the form that they are bent over."""

from dataclasses import dataclass

from jiggen.design.given import Given


@dataclass(frozen=True, slots=True, kw_only=True)
class Mould:
    """The outside mould and the inside form, stacks of layers. TOML table `[mould]`. Lengths in mm.

    Attributes:
        depth: `depth`, of the stack; None: as deep as the sides are where they are least deep.
        layers: `layers`, how many; the rest of the depth is left to spacers between them; None: as many as fill it.
        wall: `wall`, how wide the outside mould is, from the sides outward.
        clearance: `clearance`, by which the outside mould is larger than the body all round.
        inset: `inset`, by which the inside form is smaller than the body all round; None: the thickness of the sides.
        bolt: `bolt`, diameter of the bolts through all layers.
        bolt_clearance: `bolt-clearance`, added to it for their holes.
        bolt_spacing: `bolt-spacing`, from bolt to bolt at most, along the wall.
        dowel: `dowel`, diameter of the dowels that line the layers up; their holes get the pins' clearance.
        web: `web`, left between a hole and an edge or another hole, at least.
    """

    depth: Given[float] | None = None
    layers: Given[int] | None = None
    wall: Given[float] | None = None
    clearance: Given[float] | None = None
    inset: Given[float] | None = None
    bolt: Given[float] | None = None
    bolt_clearance: Given[float] | None = None
    bolt_spacing: Given[float] | None = None
    dowel: Given[float] | None = None
    web: Given[float] | None = None
