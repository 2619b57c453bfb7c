"""What there is to say of an outline, as numbers: for people and for programs."""

from typing import Any

from jiggen.errors import LimitError
from jiggen.geometry.measure import area, length
from jiggen.geometry.path import Arc
from jiggen.outlines.halves import Bout, body_bouts
from jiggen.outlines.measure import smallest_bend
from jiggen.outlines.model import Brought


def facts_of(brought: Brought, *, file: str) -> dict[str, Any]:
    """Returns what there is to say of an outline, as JSON prints it; lengths in mm, areas in mm².

    Args:
        brought: The outline.
        file: Its name.
    """
    outline = brought.outline
    bend = smallest_bend(outline)
    try:
        halves, places, _ = body_bouts(brought, where=file)
    except LimitError as error:  # no design could take it: what can be measured all the same is told
        halves, places, without = None, (), [f"bouts and waist: {error.got}"]
    else:
        without = []
    neck_end = halves.neck_end if halves else 0.0
    arcs = sum(isinstance(piece, Arc) for piece in outline)
    return {
        "schema": "jiggen-outline/1",
        "file": file,
        "kind": brought.kind,
        "sha256": brought.sha256,
        "took": list(brought.took),
        "ignored": [*brought.ignored, *without],
        "length": brought.length_mm,
        "width": brought.width_mm,
        "centre-line-length": halves.length if halves else None,
        "bouts": [_bout(each) for each in places],
        "area": area(outline),
        "perimeter": length(outline),
        "smallest-bend": None
        if bend is None
        else {"radius": bend.radius_mm, "from-neck-end": bend.at.x - neck_end, "from-centre-line": bend.at.y},
        "asymmetry": brought.asymmetry_mm,
        "fit-error": brought.fit_error_mm,
        "scale": brought.scale,
        "arcs": arcs,
        "lines": len(outline) - arcs,
        "inner": [
            {
                "length": inner.box.width,
                "width": inner.box.height,
                "from-neck-end": inner.box.centre.x - neck_end,
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


def _bout(bout: Bout) -> dict[str, Any]:
    sides = zip(("treble", "bass"), bout.at, bout.reach, strict=True)
    return {
        "from-neck-end": bout.x,
        "width": bout.width,
        "is": "narrowest" if bout.name == "waist" else "widest",
        **{side: {"from-neck-end": at, "from-centre-line": reach} for side, at, reach in sides},
    }
