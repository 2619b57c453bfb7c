"""Papers and pages by the standards that print shops know."""

import pytest

from jiggen.drawing.paper import A3, A4, LETTER, PAPERS, TABLOID
from jiggen.units import MM_PER_INCH


def test_a_sizes_are_halves_of_a0() -> None:
    """ISO 216: A0 is 841 mm × 1189 mm; each next size is the one before it halved, whole millimetres, rounded down."""
    width, height = 841, 1189
    sizes = {}
    for number in range(5):
        sizes[f"a{number}"] = (width, height)
        width, height = height // 2, width
    assert sizes["a4"] == (210, 297)
    assert (A3.width_mm, A3.height_mm) == sizes["a3"]
    assert (A4.width_mm, A4.height_mm) == sizes["a4"]


def test_a_sizes_keep_their_shape() -> None:
    """ISO 216: the sides are as 1 to √2; ± 1.5 mm up to 150 mm, ± 2 mm up to 600 mm."""
    for paper in (A3, A4):
        assert paper.height_mm == pytest.approx(paper.width_mm * 2.0**0.5, abs=1.0)


def test_american_sizes_are_whole_fractions_of_an_inch() -> None:
    """ANSI/ASME Y14.1: A is 8.5 in × 11 in, B is 11 in × 17 in."""
    assert (LETTER.width_mm / MM_PER_INCH, LETTER.height_mm / MM_PER_INCH) == pytest.approx((8.5, 11.0))
    assert (TABLOID.width_mm / MM_PER_INCH, TABLOID.height_mm / MM_PER_INCH) == pytest.approx((11.0, 17.0))
    assert (LETTER.width_mm, LETTER.height_mm) == pytest.approx((215.9, 279.4))


def test_every_paper_is_upright_and_listed_by_its_name() -> None:
    for name, paper in PAPERS.items():
        assert paper.name == name
        assert paper.width_mm < paper.height_mm
