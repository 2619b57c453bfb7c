"""Names of folders from names of designs."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.export.slug import slug


@pytest.mark.parametrize(
    ("name", "folder"),
    [
        ("Wren", "wren"),
        ("Wren, 12-fret parlour", "wren-12-fret-parlour"),
        ("  Kestrel   Yard / Heron  ", "kestrel-yard-heron"),
        ("Zaunkönig", "zaunkonig"),
        ("Große Rohrdommel", "grosse-rohrdommel"),
        ("Gærdesmutte", "gaerdesmutte"),
        ("Strzyżyk ½ łamany", "strzyzyk-1-2-lamany"),
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\Wren", "c-wren"),
        ("con", "con-design"),
        ("COM¹", "com1-design"),
        ("nul.txt", "nul-txt"),
        ("Wren #2", "wren-2"),
    ],
)
def test_names(name: str, folder: str) -> None:
    assert slug(name) == folder


@pytest.mark.parametrize("name", ["", ".", "..", "///", "ミソサザイ", "🐦"])
def test_a_name_without_plain_letters_gets_a_folder_of_its_own(name: str) -> None:
    assert re.fullmatch(r"design-[0-9a-f]{8}", slug(name))


def test_names_that_lose_letters_do_not_meet() -> None:
    names = ["Wren", "Wren ミ", "Wren ソ", "ミ", "ソ", "w" * 70, "w" * 71]
    assert len({slug(name) for name in names}) == len(names)


def test_two_spellings_of_one_name_meet() -> None:
    assert slug("Zaunko\u0308nig") == slug("Zaunk\u00f6nig")
    assert slug("ガラ") == slug("カ\u3099ラ")  # composed and decomposed


@given(st.text(max_size=100))
def test_every_name_gives_a_safe_folder(name: str) -> None:
    folder = slug(name)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", folder)
    assert len(folder) <= 60
    assert not re.fullmatch(r"con|prn|aux|nul|com\d|lpt\d", folder)
