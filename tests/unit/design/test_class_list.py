"""A class list: rows that change a design, with the place of every mistake."""

import tomllib
from pathlib import Path

import pytest

from jiggen.design.class_list import read_class_list
from jiggen.design.model import Design
from jiggen.errors import JiggenError
from jiggen.reckon import work_out
from jiggen.tables.emit import toml_of

BASE = tomllib.loads(
    'name = "Wren"\nunits = "in"\nprofile = "steel-string-12-fret"\n[neck]\nscale = "628mm"\nfrets = 18\n'
)
DEMO = Path(__file__).parents[2] / "support" / "evening-class.csv"


def designs(text: str) -> list[Design]:
    found = [each.design for each in read_class_list(text, file="c.csv", tables=BASE)]
    assert all(isinstance(each, Design) for each in found), found
    return [each for each in found if isinstance(each, Design)]


def test_a_row_says_what_differs_and_the_base_the_rest() -> None:
    ada, bo = designs("owner, nut, scale, frets, left-handed\nAda, 45mm,,19,true\nBo, 1.75, 640mm\n")
    assert (ada.name, ada.owner, bo.name) == ("Wren · Ada", "Ada", "Wren · Bo")
    assert [work_out(each).spec.nut_width.value for each in (ada, bo)] == [45.0, 44.45]
    assert [work_out(each).spec.scale.value for each in (ada, bo)] == [628.0, 640.0]
    assert [work_out(each).spec.frets.value for each in (ada, bo)] == [19, 18]
    assert work_out(ada).spec.left_handed.value


def test_the_demo_class_is_twenty_instruments_that_can_be_built() -> None:
    listed = list(read_class_list(DEMO.read_text(encoding="utf-8"), file="demo", tables={}))
    necks = [work_out(each.design) for each in listed if isinstance(each.design, Design)]
    assert len(necks) == len({neck.spec.design.owner for neck in necks}) == 20


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("owner, nutt\nAda, 45mm\n", 'c.csv, line 1, column 2: got "nutt"'),
        ("owner, nut, nut-width\nAda, 45mm, 46mm\n", "each key once; column 2 has it"),
        ("nut\n45mm\n", "a column name or owner"),
        ("owner\n", "a row for each design"),
        (
            "owner;nut\nAda;45mm\n",
            'c.csv, line 1: got "owner;nut", expected the keys of a design file, one a column. Put',
        ),
        ("owner\tnut\nAda\t45mm\n", "Put commas between the columns"),
        ("", "c.csv"),
    ],
)
def test_a_head_that_cannot_be_read_is_refused(text: str, complaint: str) -> None:
    with pytest.raises(JiggenError) as caught:
        list(read_class_list(text, file="c.csv", tables=BASE))
    assert complaint in str(caught.value)


@pytest.mark.parametrize(
    ("row", "complaint"),
    [
        ("Ada, 45quux", "c.csv, line 2, column 2 (nut)"),
        ("Ada, 45mm, 1", "c.csv, line 2: got 3 columns"),
        (", 45mm", "neither name nor owner"),
    ],
)
def test_a_bad_row_is_told_by_its_place_and_leaves_the_others(row: str, complaint: str) -> None:
    bad, good = read_class_list(f"owner, nut\n{row}\nBo, 46mm\n", file="c.csv", tables=BASE)
    assert isinstance(bad.design, JiggenError)
    assert complaint in str(bad.design)
    assert isinstance(good.design, Design)


@pytest.mark.parametrize(
    "path", sorted((Path(__file__).parents[3] / "profiles").rglob("*.toml")), ids=lambda path: path.stem
)
def test_what_is_written_as_toml_says_the_same(path: Path) -> None:
    tables = tomllib.loads(path.read_text(encoding="utf-8"))
    assert tomllib.loads(toml_of(tables)) == tables
