"""The layout as tables of plain numbers, for printing and for JSON. Millimetres."""

from typing import Any

from jiggen.layout.model import Layout


def layout_tables(layout: Layout, design_id: str) -> dict[str, Any]:
    """Returns the layout as plain dictionaries and lists, ready for JSON; lengths in mm, unrounded.

    Args:
        layout: Of the neck.
        design_id: Of its spec.
    """
    spec = layout.spec
    return {
        "schema": "jiggen-layout/1",
        "unit": "mm",
        "design": {"name": spec.design.name, "id": design_id, "date": spec.design.date},
        "numbers": {
            name: {"value": given.value, "source": given.source}
            for name, given in (
                ("scale", spec.scale),
                ("nut-width", spec.nut_width),
                ("spread-at-nut", spec.spread_at_nut),
                ("spread-at-bridge", spec.spread_at_bridge),
                ("setback-bass", spec.setback_bass),
                ("setback-treble", spec.setback_treble),
                ("width-at-saddle", spec.width_at_saddle),
                ("frets", spec.frets),
                ("overhang", spec.overhang),
                ("strings", spec.string_count),
            )
        },
        "board": {
            "length": layout.board_end.start.x,
            "width-at-nut": layout.nut.start.distance(layout.nut.end),
            "width-at-end": layout.board_end.start.distance(layout.board_end.end),
        },
        "frets": [
            {
                "fret": fret.number,
                "from-nut": fret.distance,
                "from-previous": fret.from_previous,
                "to-saddle": spec.scale.value - fret.distance,
                "board-width": fret.width,
                "string-spread": fret.spread,
            }
            for fret in layout.frets
        ],
        "strings": [
            {
                "string": string.number,
                "at-nut": string.line.start.y,
                "at-saddle": string.line.end.y,
                "gauge": string.gauge,
            }
            for string in layout.strings
        ],
    }
