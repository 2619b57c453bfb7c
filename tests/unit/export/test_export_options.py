"""Options: words from a command line, all that is wrong with them at once."""

import math

import pytest

from jiggen.errors import InputError, SeveralErrors
from jiggen.export.dxf_entities import DxfEntities
from jiggen.export.dxf_frame import DxfVersion
from jiggen.export.options import DEFAULTS, Options, read_options

PLAIN = {"dxf_version": "r2000", "dxf_entities": "polyline", "dpi": None, "paper": "a4"}


def read(**changes: object) -> Options:
    return read_options(**{**PLAIN, **changes})  # type: ignore[arg-type]


def test_plain_words_are_the_defaults() -> None:
    assert read() == DEFAULTS


def test_words_become_choices() -> None:
    options = read(dxf_version="r12", dxf_entities="segments", dpi=150.0, paper="tabloid")
    assert options.dxf_version is DxfVersion.R12
    assert options.dxf_entities is DxfEntities.SEGMENTS
    assert options.dpi == 150.0
    assert options.paper.title == "Tabloid"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"dxf_version": "r13"}, '--dxf-version: got "r13", expected one of r2000, r12. Did you mean r12?'),
        (
            {"dxf_entities": "polylines"},
            (
                '--dxf-entities: got "polylines", expected one of polyline, primitives, segments.'
                " Did you mean polyline?"
            ),
        ),
        (
            {"paper": "leter"},
            '--paper: got "leter", expected one of a4, a3, letter, tabloid. Did you mean letter?',
        ),
        ({"dpi": 3.0}, "--dpi: got 3, expected at least 10 pixels per inch"),
        ({"dpi": math.nan}, "--dpi: got nan, expected at least 10 pixels per inch"),
    ],
)
def test_what_is_not_known_is_refused(change: dict[str, object], sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        read(**change)
    assert str(caught.value) == sentence


def test_all_of_it_is_told_at_once() -> None:
    with pytest.raises(SeveralErrors) as caught:
        read(paper="papyrus", dpi=-1.0, dxf_version="dwg")
    assert [error.where for error in caught.value.errors] == ["--dxf-version", "--paper", "--dpi"]


def test_only_r12_asks_for_caution() -> None:
    assert read().cautions == ()
    assert read(dxf_version="r12").cautions == (
        "DXF R12 cannot store its unit: tell the machine's software that one unit is one millimetre.",
    )
