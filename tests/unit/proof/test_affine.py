"""Transforms of SVG: what is read, what is refused, and that arcs bend the right way under them."""

import math

import pytest

from jiggen.errors import InputError
from jiggen.proof.affine import IDENTITY, Affine, read_transform
from jiggen.proof.trace import Stroke


def test_functions_follow_one_another_from_the_right() -> None:
    """SVG 2, 8.5: `translate(a) scale(b)` scales first."""
    assert read_transform("translate(10 0) scale(2)", where="x").place((1.0, 1.0)) == (12.0, 2.0)
    assert read_transform("scale(2),translate(10,0)", where="x").place((1.0, 1.0)) == (22.0, 2.0)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "spin(3)",
        "translate()",
        "translate(1 2 3)",
        "matrix(1 2 3)",
        "scale(0)",
        "scale(2) x",
        "rotate(nan)",
        "scale(1;2)",
    ],
)
def test_what_is_no_map_is_refused(text: str) -> None:
    if text == "":
        assert read_transform(text, where="x") == IDENTITY
        return
    with pytest.raises(InputError, match="expected a map that can be undone"):
        read_transform(text, where="x")


@pytest.mark.parametrize(
    ("text", "keeps"),
    [
        ("rotate(30)", True),
        ("scale(2)", True),
        ("scale(-1 1)", True),
        ("matrix(0 1 1 0 0 0)", True),
        ("scale(2 1)", False),
        ("skewX(5)", False),
    ],
)
def test_circles_stay_round_under_some(text: str, keeps: bool) -> None:  # noqa: FBT001 - a parameter
    assert read_transform(text, where="x").keeps_circles() is keeps


def test_a_mirror_turns_arcs_round() -> None:
    arc = Stroke(((0.0, 0.0), (2.0, 0.0)), (1.0,), closed=False)
    assert Affine(d=-1.0).stroke(arc).bulges == (-1.0,)
    turned = read_transform("rotate(90)", where="x").stroke(arc)
    assert turned.bulges == (1.0,)
    assert turned.points[1] == pytest.approx((0.0, 2.0))


def test_the_largest_growth_is_told() -> None:
    assert Affine(a=2.0, d=3.0).factor == 3.0
    assert math.isclose(read_transform("rotate(33) scale(1.5)", where="x").factor, 1.5)
