"""Colours by the contrast that the Web Content Accessibility Guidelines ask for.

Source: WCAG 2.2: relative luminance and contrast ratio as defined there; 1.4.3 asks 4.5:1 for text, 1.4.11 asks 3:1
for graphics.
"""

import re
from itertools import product

import pytest

from jiggen.drawing.style import ASSUMED_RED, INK, PAPER_WHITE, SOFT, STRING_BLUE
from jiggen.export.ticket_style import STYLE
from jiggen.profiles import find, names
from jiggen.sheets.check_line import CHECK
from jiggen.shop.read import machine_from_profile

TEXT, GRAPHICS = 4.5, 3.0
#: A light viewer, and a dark one as dark as they commonly are.
VIEWERS = ("#ffffff", "#1e1e1e")
OPERATIONS = [
    (name, operation.name, operation.colour)
    for name in names("machines")
    for operation in machine_from_profile(find("machines", name)).operations
]


def luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255.0 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_black_on_white_is_the_most_there_is() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)  # as the guidelines say
    assert contrast("#777777", "#777777") == 1.0


@pytest.mark.parametrize(("machine", "operation", "colour"), OPERATIONS)
@pytest.mark.parametrize("viewer", VIEWERS)
def test_lines_of_a_sheet_show_in_light_and_dark_viewers(
    machine: str, operation: str, colour: str, viewer: str
) -> None:
    assert contrast(colour, viewer) >= GRAPHICS


def test_the_check_line_shows_in_both_too() -> None:
    assert all(contrast(CHECK.colour, viewer) >= GRAPHICS for viewer in VIEWERS)


@pytest.mark.parametrize("colour", [INK, SOFT, STRING_BLUE, ASSUMED_RED])
def test_words_of_the_plan_can_be_read_on_its_paper(colour: str) -> None:
    assert contrast(colour, PAPER_WHITE) >= TEXT


def test_words_of_the_ticket_can_be_read_by_day_and_by_night() -> None:
    sets = [
        dict(re.findall(r"--(\w+): (#[0-9a-f]{3,6})", rule)) for rule in re.findall(r":root \{[^}]*\}", STYLE)
    ]
    assert len(sets) == 2
    for colours, word in product(sets, ("ink", "soft", "mark")):
        full = {
            name: "#" + "".join(c * 2 for c in code[1:]) if len(code) == 4 else code
            for name, code in colours.items()
        }
        assert contrast(full[word], full["paper"]) >= TEXT, word
