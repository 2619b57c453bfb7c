"""The written form of a fret rule, read and written."""

import tomllib
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.design.fret_rule import CentsSteps, DivisorSteps, EqualSteps, FretRule, RatioSteps
from jiggen.design.fret_rule_text import fret_rule_from, fret_rule_text
from jiggen.errors import InputError, JiggenError, LimitError

WHERE = "wren.toml, line 7, neck.fret-rule"
FORMS = 'a rule such as "12-equal", { equal = 19 }, { ratios = ["9/8", "3/2", "2/1"] } or { divisor = 18 }'
KEYS = "equal, cents, ratios, divisor, scl, period, keep, labels"


def read(toml: str, files: dict[str, str] | None = None) -> FretRule:
    value = tomllib.loads(f"rule = {toml}")["rule"]
    return fret_rule_from(value, where=WHERE, read_scl=files.__getitem__ if files is not None else None)


def refusal(toml: str, files: dict[str, str] | None = None) -> str:
    with pytest.raises(JiggenError) as caught:
        read(toml, files)
    return str(caught.value)


@pytest.mark.parametrize(
    ("toml", "rule"),
    [
        ('"12-equal"', EqualSteps(steps=12)),
        ("{ equal = 19 }", EqualSteps(steps=19)),
        ('{ equal = 13, period = "3/1" }', EqualSteps(steps=13, period=Fraction(3))),
        ("{ equal = 13, period = 3 }", EqualSteps(steps=13, period=Fraction(3))),
        (
            "{ equal = 12, keep = [0, 2, 4, 5, 7, 9, 11, 12] }",
            EqualSteps(steps=12, keep=(0, 2, 4, 5, 7, 9, 11, 12)),
        ),
        (
            '{ equal = 12, keep = [0, 7, 12], labels = ["fifth", "6+"] }',
            EqualSteps(steps=12, keep=(0, 7, 12), labels=("fifth", "6+")),
        ),
        ("{ cents = [200, 701.955, 1200.0] }", CentsSteps(cents=(200.0, 701.955, 1200.0))),
        (
            '{ ratios = ["16/15", " 3 / 2 ", 2] }',
            RatioSteps(ratios=(Fraction(16, 15), Fraction(3, 2), Fraction(2))),
        ),
        ("{ divisor = 18 }", DivisorSteps(divisor=18.0)),
        ("{ divisor = 17.817, labels = ['one'] }", DivisorSteps(divisor=17.817, labels=("one",))),
    ],
)
def test_each_written_form_is_read(toml, rule):
    assert read(toml) == rule


@pytest.mark.parametrize(
    ("toml", "words"),
    [
        ('"12-eqal"', f'{WHERE}: got "12-eqal", expected {FORMS}. Did you mean 12-equal?'),
        ('"equal 19"', f'{WHERE}: got "equal 19", expected {FORMS}. Did you mean 19-equal?'),
        ('"19 Equal"', f'{WHERE}: got "19 Equal", expected {FORMS}. Did you mean 19-equal?'),
        ('"meantone"', f'{WHERE}: got "meantone", expected {FORMS}'),
        ('"0-equal"', f"{WHERE}.equal: got 0, expected 1 step or more"),
        (
            "18",
            (
                f'{WHERE}: got 18, expected {FORMS}. Write "18-equal" for equal steps, '
                "or { divisor = 18 } for the rule of 18."
            ),
        ),
        (
            "17.817",
            f"{WHERE}: got 17.817, expected {FORMS}. Write {{ divisor = 17.817 }} for the rule of 17.817.",
        ),
        ("true", f"{WHERE}: got true, expected {FORMS}"),
        ("[1, 2]", f"{WHERE}: got [1, 2], expected {FORMS}"),
        ("2026-10-05", f'{WHERE}: got "2026-10-05", expected {FORMS}'),
        ("{}", f"{WHERE}: got a table without a rule, expected one of equal, cents, ratios, divisor, scl"),
        (
            "{ keep = [0, 12] }",
            f"{WHERE}: got a table without a rule, expected one of equal, cents, ratios, divisor, scl",
        ),
        (
            "{ equal = 12, divisor = 18 }",
            f"{WHERE}: got equal and divisor, expected one of equal, cents, ratios, divisor, scl",
        ),
        (
            "{ ratio = ['2/1'] }",
            f"{WHERE}.ratio: got an unknown key, expected one of {KEYS}. Did you mean ratios?",
        ),
        ("{ equal = 12, colour = 1 }", f"{WHERE}.colour: got an unknown key, expected one of {KEYS}"),
        (
            "{ divisor = 18, period = '2/1' }",
            (
                f'{WHERE}.period: got "2/1", expected a period only beside equal. '
                "Leave it out: a rule of a divisor has none, and a list ends with its own."
            ),
        ),
        ('{ equal = "12" }', f'{WHERE}.equal: got "12", expected a whole number without quotes, such as 12'),
        ("{ equal = 12.0 }", f"{WHERE}.equal: got 12.0, expected a whole number without quotes, such as 12"),
        ("{ equal = true }", f"{WHERE}.equal: got true, expected a whole number without quotes, such as 12"),
        ("{ equal = -12 }", f"{WHERE}.equal: got -12, expected a whole number without quotes, such as 12"),
        (
            "{ equal = 12, period = 2.5 }",
            f'{WHERE}.period: got 2.5, expected a ratio above 0 in quotes, such as "3/2"',
        ),
        (
            "{ cents = 100 }",
            f"{WHERE}.cents: got 100, expected a list, in square brackets, that is not empty",
        ),
        ("{ cents = [] }", f"{WHERE}.cents: got [], expected a list, in square brackets, that is not empty"),
        (
            "{ cents = [100, '3/2', true, nan, inf] }",
            (
                f'{WHERE}.cents[1]: got "3/2", expected a number without quotes, such as 701.955\n'
                f"{WHERE}.cents[2]: got true, expected a number without quotes, such as 701.955\n"
                f"{WHERE}.cents[3]: got NaN, expected a number without quotes, such as 701.955\n"
                f"{WHERE}.cents[4]: got Infinity, expected a number without quotes, such as 701.955"
            ),
        ),
        (
            f"{{ cents = [1{'0' * 400}] }}",
            f"{WHERE}.cents[0]: got 1{'0' * 39}…, expected a number without quotes, such as 701.955",
        ),
        (
            "{ cents = [300, 200, 1200] }",
            (
                f"{WHERE}.cents[1]: got 200, expected at least a cent above 300, the step before it. "
                "Put the steps in ascending order, or take an ascending choice of them with keep."
            ),
        ),
        (
            "{ ratios = ['9/8', 1.5, '2:1', '-2/1', '2/0', '', 0] }",
            "\n".join(
                f'{WHERE}.ratios[{index}]: got {got}, expected a ratio above 0 in quotes, such as "3/2"'
                for index, got in enumerate(["1.5", '"2:1"', '"-2/1"', '"2/0"', '""', "0"], start=1)
            ),
        ),
        (
            "{ divisor = '18' }",
            f'{WHERE}.divisor: got "18", expected a number without quotes, such as 701.955',
        ),
        (
            "{ equal = 12, keep = [0, 5.0], labels = [1] }",
            (
                f"{WHERE}.keep[1]: got 5.0, expected a whole number without quotes, such as 12\n"
                f"{WHERE}.labels[0]: got 1, expected a word in quotes"
            ),
        ),
        (
            "{ equal = 12, keep = [0, 5] }",
            (
                f"{WHERE}.keep[1]: got 5, expected a multiple of 12, the steps of a period. "
                "End the list with the step at which the pattern repeats."
            ),
        ),
        (
            "{ scl = 'young.scl' }",
            (
                f'{WHERE}.scl: got "young.scl", expected a rule that needs no file. '
                "Write the pitches out under cents or ratios."
            ),
        ),
        ("{ scl = ' ' }", f'{WHERE}.scl: got " ", expected the name of a scale file, such as "meantone.scl"'),
        ("{ scl = 12 }", f'{WHERE}.scl: got 12, expected the name of a scale file, such as "meantone.scl"'),
    ],
)
def test_what_cannot_be_read_is_refused_in_these_words(toml, words):
    assert refusal(toml) == words


def test_a_scale_file_of_ratios_keeps_them_exact():
    assert read("{ scl = 'a.scl' }", {"a.scl": "\n2\n3/2\n2/1\n"}) == RatioSteps(
        ratios=(Fraction(3, 2), Fraction(2))
    )


def test_a_scale_file_that_mixes_becomes_cents_with_an_exact_octave():
    rule = read("{ scl = 'a.scl', keep = [0, 2], labels = ['o'] }", {"a.scl": "\n2\n700.0\n2/1\n"})
    assert rule == CentsSteps(cents=(700.0, 1200.0), keep=(0, 2), labels=("o",))


def test_a_faulty_scale_file_is_named_with_its_line_or_pitch():
    assert refusal("{ scl = 'a.scl' }", {"a.scl": "\n2\nx\n2/1\n"}).startswith('a.scl, line 3: got "x"')
    assert refusal("{ scl = 'a.scl' }", {"a.scl": "\n2\n-5.0\n2/1\n"}) == (
        "a.scl, pitch 1: got -5, expected at least a cent above the nut. "
        "Put the steps in ascending order, or take an ascending choice of them with keep."
    )
    assert refusal("{ scl = 'a.scl' }", {"a.scl": "\n0\n"}) == (
        "a.scl: got a scale of 0 pitches, expected pitches, the last of them the period"
    )
    assert refusal("{ scl = 'a.scl', keep = [0, 3] }", {"a.scl": "\n2\n3/2\n2/1\n"}) == (
        f"{WHERE}.keep[1]: got 3, expected a multiple of 2, the steps of a period. "
        "End the list with the step at which the pattern repeats."
    )


def test_what_the_reader_of_files_raises_comes_through():
    def nothing_there(name: str) -> str:
        raise LimitError(where=name, got="x", expected="y")

    with pytest.raises(LimitError, match=r"^a\.scl: got x, expected y$"):
        fret_rule_from({"scl": "a.scl"}, where=WHERE, read_scl=nothing_there)


def test_null_is_no_rule():
    with pytest.raises(InputError, match="got null, expected a rule"):
        fret_rule_from(None, where=WHERE)


LABELS = st.lists(st.text(min_size=1).filter(str.strip), max_size=4).map(tuple)
RULES = (
    st.builds(
        EqualSteps,
        steps=st.integers(1, 100),
        period=st.fractions(min_value=2, max_value=10, max_denominator=100),
        labels=LABELS,
    )
    | st.builds(
        lambda steps, last: EqualSteps(steps=steps, keep=(0, steps * last)),
        st.integers(1, 60),
        st.integers(1, 3),
    )
    | st.builds(
        CentsSteps,
        cents=st.lists(st.integers(1, 120_000), min_size=1, unique=True).map(
            lambda each: tuple(map(float, sorted(each)))
        ),
        labels=LABELS,
    )
    | st.builds(
        RatioSteps,
        ratios=st.lists(st.integers(101, 900), min_size=1, unique=True).map(
            lambda each: tuple(Fraction(value, 100) for value in sorted(each))
        ),
    )
    | st.builds(DivisorSteps, divisor=st.floats(1.01, 1700), labels=LABELS)
)


@given(RULES)
@settings(derandomize=True)
def test_a_written_rule_is_read_back_the_same(rule):
    assert read(fret_rule_text(rule)) == rule


@pytest.mark.parametrize(
    ("rule", "toml"),
    [
        (EqualSteps(steps=12), '"12-equal"'),
        (EqualSteps(steps=12, keep=(0, 7, 12)), "{ equal = 12, keep = [0, 7, 12] }"),
        (
            EqualSteps(steps=13, period=Fraction(3), labels=("a",)),
            '{ equal = 13, period = "3/1", labels = ["a"] }',
        ),
        (CentsSteps(cents=(701.955, 1200.0)), "{ cents = [701.955, 1200.0] }"),
        (RatioSteps(ratios=(Fraction(3, 2), Fraction(2))), '{ ratios = ["3/2", "2/1"] }'),
        (DivisorSteps(divisor=17.817), "{ divisor = 17.817 }"),
    ],
)
def test_rules_are_written_like_this(rule, toml):
    assert fret_rule_text(rule) == toml
