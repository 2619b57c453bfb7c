"""Warnings that a tradesman would give: what can be made, but is not usual."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from jiggen.errors import InputError, did_you_mean, quoted
from jiggen.layout import fret_doubts, string_doubts
from jiggen.layout.body_numbers import tight_bend
from jiggen.layout.brought_head import head_beside_nut
from jiggen.layout.doubt import Doubt
from jiggen.layout.idle_numbers import idle_numbers
from jiggen.layout.model import Layout

#: Every doubt by the name that silences it. A new one is a row here.
DOUBTS: Mapping[str, Callable[[Layout], Doubt | None]] = MappingProxyType(
    {
        "string-off-board": string_doubts.off_board,
        "string-over-edge": string_doubts.over_edge,
        "string-near-edge": string_doubts.near_edge,
        "close-strings": string_doubts.close_strings,
        "close-course": string_doubts.close_course,
        "narrow-nut": string_doubts.narrow_nut,
        "wide-nut": string_doubts.wide_nut,
        "narrowing-board": string_doubts.narrowing_board,
        "short-scale": string_doubts.short_scale,
        "long-scale": string_doubts.long_scale,
        "action": string_doubts.action,
        "relief": string_doubts.relief,
        "nut-height": string_doubts.nut_height,
        "last-fret": fret_doubts.last_fret,
        "past-sound-hole": fret_doubts.past_hole,
        "bent-frets": fret_doubts.bent_frets,
        "steep-fan": fret_doubts.steep_fan,
        "close-slots": fret_doubts.close_slots,
        "close-frets": fret_doubts.close_frets,
        "tight-radius": fret_doubts.tight_radius,
        "compound-radius": fret_doubts.compound_radius,
        "tight-bend": tight_bend,
        "head-beside-nut": head_beside_nut,
        "idle-numbers": idle_numbers,
    }
)


def layout_warnings(layout: Layout) -> tuple[Doubt, ...]:
    """Returns what is doubtful of a neck and not silenced by its design, in the order of `DOUBTS`.

    Args:
        layout: Of the neck.

    Raises:
        InputError: If the design silences a name that is none, or a note of the tuning cannot be read.
    """
    design = layout.spec.design
    for number, name in enumerate(design.silenced, start=1):
        if name not in DOUBTS:
            raise InputError(
                where=f'design "{design.name}", silence, item {number}',
                got=quoted(name),
                expected=f"one of {', '.join(DOUBTS)}",
                mend=did_you_mean(name, DOUBTS),
            )
    found = (doubt(layout) for name, doubt in DOUBTS.items() if name not in design.silenced)
    return tuple(doubt for doubt in found if doubt is not None)
