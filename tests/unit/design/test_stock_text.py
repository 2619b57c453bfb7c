"""Sheets at hand, as the command line takes them."""

import pytest

from jiggen.design.making import Stock
from jiggen.design.stock_text import read_stock
from jiggen.errors import InputError, SeveralErrors


@pytest.mark.parametrize(
    ("text", "sheets"),
    [
        ("", ()),
        ("420x260mm", (Stock(length=420.0, width=260.0),)),
        ("420 mm × 26 cm*2", (Stock(length=420.0, width=260.0, count=2),)),
        (
            "600x300 mm * 12, 20in x 10 1/2in",
            (Stock(length=600.0, width=300.0, count=12), Stock(length=508.0, width=266.7)),
        ),
        ("20 x 10 1/2 in", (Stock(length=508.0, width=266.7),)),
    ],
)
def test_sizes_are_read(text, sheets):
    assert read_stock(text, where="--stock") == sheets


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "420mm",
            (
                '--stock: got "420mm", expected length x width, and * how many if there are more than one.'
                " Write it like 420x260mm, 600x300mm*2"
            ),
        ),
        ("420x260mm*0", '--stock: got "420x260mm*0", expected 1 to 999 sheets of a size'),
        ("420x260mm*1000", '--stock: got "420x260mm*1000", expected 1 to 999 sheets of a size'),
    ],
)
def test_what_is_no_size_is_told(text, message):
    with pytest.raises(InputError) as caught:
        read_stock(text, where="--stock")
    assert str(caught.value) == message


def test_a_bare_number_is_refused():
    with pytest.raises(InputError, match="--stock: got"):
        read_stock("420x260", where="--stock")


def test_all_that_is_wrong_is_told_at_once():
    with pytest.raises(SeveralErrors):
        read_stock("420mm, 420x260mm*0", where="--stock")
