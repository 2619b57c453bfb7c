"""Breaking a text into lines."""

import re
from collections.abc import Callable, Iterator

from jiggen.lettering.fractions import tie_fractions

#: What stands between the items of a tag; a line break takes its place.
SEPARATOR = " · "


def wrap(text: str, fits: Callable[[str], bool]) -> tuple[str, ...]:
    """Returns the text in lines, each as full as it can be.

    Breaks come at spaces, and at ` · `, whose dot then goes. An item between two such dots stays whole if it
    fits on a line. A whole number stays with its fraction. Line breaks in the text stay; runs of spaces count
    as one.

    Args:
        text: Of one or more lines.
        fits: Tells whether a line is short enough.

    Returns:
        The lines. One with a single word in it may still be too long: a word is never broken.
    """
    return tuple(
        line for paragraph in text.split("\n") for line in _wrap_paragraph(tie_fractions(paragraph), fits)
    )


def _wrap_paragraph(text: str, fits: Callable[[str], bool]) -> Iterator[str]:
    line = ""
    for item in text.split(SEPARATOR):
        longer = f"{line}{SEPARATOR}{item}" if line else item
        if fits(longer):
            line = longer
            continue
        if line:
            yield line
        *full, line = _fill(item, fits)
        yield from full
    yield line


def _fill(item: str, fits: Callable[[str], bool]) -> Iterator[str]:
    line, *words = re.split(" +", item.strip(" "))
    for word in words:
        longer = f"{line} {word}"
        if fits(longer):
            line = longer
        else:
            yield line
            line = word
    yield line
