"""Specs to lay out in tests: the Wren, and changes to it."""

from jiggen.design.model import CHOSEN, SOLVED, Design, Given, Make, Spec, ToolSpec

WREN_TOOLS = ToolSpec(
    saw_plate=Given(0.6), saw_clearance=Given(0.08), index_pin=Given(2.0), pin_clearance=Given(0.05), stop_pin=Given(3.0)
)


def wren(
    *,
    name: str = "Wren",
    scale: float = 628.0,
    nut: float = 46.0,
    spread: float = 57.0,
    setback: float = 3.5,
    frets: int = 18,
    strings: int = 6,
    overhang: float = 10.0,
    tools: ToolSpec = WREN_TOOLS,
) -> Spec:
    """A spec with a symmetric straight taper from a few numbers, as the solver would give it."""
    return Spec(
        design=Design(name=name, date="2026-11-25", revision="A", owner="Kestrel Yard"),
        scale=Given(scale, CHOSEN),
        nut_width=Given(nut, CHOSEN),
        frets=Given(frets, CHOSEN),
        overhang=Given(overhang, CHOSEN),
        string_count=Given(strings, CHOSEN),
        spread_at_bridge=Given(spread, CHOSEN),
        spread_at_nut=Given(nut - 2.0 * setback, SOLVED),
        setback_bass=Given(setback, CHOSEN),
        setback_treble=Given(setback, CHOSEN),
        width_at_saddle=Given(spread + 2.0 * setback, SOLVED),
        gauges=None,
        tools=tools,
        make=Make(),
    )
