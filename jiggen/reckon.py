"""From a design file to a neck worked out: numbers, layout, strings, and what is unusual. No material, no machine.

Apart from `job.py`, so that printing a layout need not import all that cutting takes.
"""

from dataclasses import replace
from pathlib import Path

from jiggen.design.fill import fill_design
from jiggen.design.identity import design_id
from jiggen.design.model import CompensationBy, Design, Given
from jiggen.design.read import read_defaults, read_design, read_string_set
from jiggen.design.solve import solve
from jiggen.design.string_set import StringSet
from jiggen.layout.neck import lay_out
from jiggen.layout.setup import set_up
from jiggen.layout.warnings import layout_warnings
from jiggen.layout.worked_neck import Neck

#: The instrument profile of a design that is started without one.
DEFAULT_PROFILE = "six-string-guitar"


def load(path: Path | str) -> Design:
    """Reads a design file.

    Raises:
        InputError: If it cannot be read or holds something that is not known.
    """
    return read_design(path)


def work_out(design: Design, *, by_rule_of_thumb: bool = False) -> Neck:
    """Returns the neck that follows from a design: numbers solved, or assumed from the profile, and laid out.

    Args:
        design: What the maker said.
        by_rule_of_thumb: Whether the saddle is to be placed by a rule of thumb, whatever the design says.

    Raises:
        JiggenError: If numbers are missing, disagree, or make no instrument.
    """
    if by_rule_of_thumb:
        by = Given(CompensationBy.RULE_OF_THUMB, where="--rule-of-thumb")
        design = replace(design, setup=replace(design.setup, compensation=by))
    defaults = read_defaults(design)
    filled = fill_design(design, defaults) if defaults else design
    string_set = read_string_set(filled)
    if string_set and design.gauges is None and _as_many(filled, string_set):
        design = replace(design, gauges=string_set.gauges)
    spec = solve(design, defaults)
    layout = lay_out(spec)
    return Neck(
        spec=spec,
        layout=layout,
        setup=set_up(layout, string_set),
        id=design_id(spec),
        doubts=layout_warnings(layout),
    )


def _as_many(design: Design, string_set: StringSet) -> bool:
    return design.string_count is None or design.string_count.value == len(string_set.strings)
