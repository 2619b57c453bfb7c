import pytest

from jiggen.design.model import Family
from jiggen.layout.rule_of_thumb import rule_of_thumb


@pytest.mark.parametrize("family", Family)
def test_every_family_has_one_that_says_what_it_is(family):
    rule = rule_of_thumb(family)
    assert rule.family is family
    assert rule.bass_mm >= rule.treble_mm > 0.0 >= rule.nut_mm
    assert rule.caution.startswith(
        f"A rule of thumb ({rule.source}), give or take {rule.give_or_take_mm:g} mm"
    )


def test_nylon_says_where_it_was_published():
    assert "Anderson & Beausoleil" in rule_of_thumb(Family.NYLON_GUITAR).source
    assert rule_of_thumb(Family.STEEL_GUITAR).source == "common practice"
