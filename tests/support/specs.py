"""Specs to lay out in tests: the Wren, and changes to it."""

from dataclasses import replace
from typing import Any

from jiggen.design.identity import design_id
from jiggen.design.making import Make
from jiggen.design.model import Design, Given, Inlays, SetbackTo, Setup, Tools
from jiggen.design.solve import solve
from jiggen.design.spec import Spec
from jiggen.layout.neck import lay_out
from jiggen.layout.setup import set_up
from jiggen.layout.worked_neck import Neck

TOOLS = Tools(
    saw_plate=Given(0.6),
    saw_clearance=Given(0.08),
    index_pin=Given(2.0),
    pin_clearance=Given(0.05),
    stop_pin=Given(3.0),
)


SLIM_TOOLS = replace(TOOLS, index_pin=Given(1.5), stop_pin=Given(2.0))


def wren(
    *,
    name: str = "Wren",
    scale: float | None = 628.0,
    nut: float = 46.0,
    spread: float = 57.0,
    setback: float | None = 3.5,
    frets: int = 18,
    strings: int = 6,
    overhang: float = 10.0,
    tools: Tools = TOOLS,
    **more: Any,
) -> Spec:
    """The spec of a design given by a few numbers; `more` are fields of `Design`, as plain values or `Given`."""
    fields: dict[str, Any] = {"setback_to": SetbackTo.CENTRE, **more}
    design = Design(
        name=name,
        date="2026-11-25",
        revision="A",
        owner="Kestrel Yard",
        scale=None if scale is None else Given(scale),
        nut_width=Given(nut),
        frets=Given(frets),
        overhang=Given(overhang),
        string_count=Given(strings),
        spread_at_bridge=Given(spread) if strings > 1 else None,
        setback=Given(setback) if strings > 1 and setback is not None else None,
        tools=tools,
        make=Make(),
        **{
            key: value if isinstance(value, Given | Setup | Inlays) else Given(value)
            for key, value in fields.items()
        },
    )
    return solve(design)


def neck_of(spec: Spec) -> Neck:
    """The worked-out neck of a spec, with no string set."""
    layout = lay_out(spec)
    return Neck(spec=spec, layout=layout, setup=set_up(layout, None), id=design_id(spec))
