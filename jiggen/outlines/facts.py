"""What there is to say of an outline, as numbers: for people and for programs."""

from typing import Any

from jiggen.geometry.measure import area, length
from jiggen.geometry.path import Arc
from jiggen.outlines.measure import smallest_bend, waists
from jiggen.outlines.model import Brought


def facts_of(brought: Brought, *, file: str) -> dict[str, Any]:
    """Returns what there is to say of an outline, as JSON prints it; lengths in mm, areas in mm².

    Args:
        brought: The outline.
        file: Its name.
    """
    outline = brought.outline
    bend = smallest_bend(outline)
    arcs = sum(isinstance(piece, Arc) for piece in outline)
    return {
        "schema": "jiggen-outline/1",
        "file": file,
        "kind": brought.kind,
        "sha256": brought.sha256,
        "took": list(brought.took),
        "ignored": list(brought.ignored),
        "length": brought.length_mm,
        "width": brought.width_mm,
        "bouts": [
            {"from-neck-end": each.x_mm, "width": each.width_mm, "is": each.kind} for each in waists(outline)
        ],
        "area": area(outline),
        "perimeter": length(outline),
        "smallest-bend": None
        if bend is None
        else {"radius": bend.radius_mm, "from-neck-end": bend.at.x, "from-centre-line": bend.at.y},
        "asymmetry": brought.asymmetry_mm,
        "fit-error": brought.fit_error_mm,
        "scale": brought.scale,
        "arcs": arcs,
        "lines": len(outline) - arcs,
        "inner": [
            {
                "length": inner.box.width,
                "width": inner.box.height,
                "from-neck-end": inner.box.centre.x,
                "from-centre-line": inner.box.centre.y,
                "area": area(inner),
            }
            for inner in brought.inner
        ],
        "stations": [
            {
                "from-neck-end": each.x_mm,
                "side": each.side,
                "half-width": each.half_width_mm,
                "residual": each.residual_mm,
            }
            for each in brought.stations
        ],
    }
