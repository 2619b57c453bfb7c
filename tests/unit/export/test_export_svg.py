"""SVG: the form that drivers and people rely on, read with the standard library's parser."""

import json
import re
import xml.etree.ElementTree as ET

import pytest
from support.sheets import sheet_set

from jiggen.export.svg import encode_svg
from jiggen.export.tags import tag_fields

NS = "{http://www.w3.org/2000/svg}"
SHEETS = sheet_set().sheets


def text_of(index: int = 0, design_name: str = "Wren") -> str:
    return encode_svg(sheet_set(design_name=design_name).sheets[index]).decode("utf-8")


def root_of(index: int = 0, design_name: str = "Wren") -> ET.Element:
    return ET.fromstring(text_of(index, design_name))  # noqa: S314 - our own file


def test_one_user_unit_is_one_millimetre() -> None:
    root = root_of()
    assert root.attrib == {"version": "1.1", "width": "600mm", "height": "300mm", "viewBox": "0 0 600 300"}


def test_one_group_per_operation_in_the_order_of_the_machine() -> None:
    for index in (0, 1):
        groups = root_of(index).findall(f"{NS}g")
        assert [group.get("id") for group in groups] == ["engrave", "score", "cut-opening", "cut-edge"]
        assert [group.get("stroke") for group in groups] == ["#1f5fa8", "#2e8b57", "#c2500e", "#d3204a"]
        assert {group.get("stroke-width") for group in groups} == {"0.1"}
        assert {group.get("fill") for group in groups} == {"none"}


@pytest.mark.parametrize("index", [0, 1])
def test_one_element_per_mark_with_its_names(index: int) -> None:
    sheet = SHEETS[index]
    for group in root_of(index).findall(f"{NS}g"):
        marks = list(sheet.marks(group.attrib["id"]))
        found = [(each.get("id"), each.get("data-part"), each.get("data-feature")) for each in group]
        assert found == [(mark.id, mark.part, mark.feature.id) for mark in marks]


def test_ids_are_unique() -> None:
    ids = [element.get("id") for element in root_of().iter() if element.get("id")]
    assert len(ids) == len(set(ids))


def test_nothing_but_groups_paths_and_circles_and_no_tricks() -> None:
    root = root_of()
    assert {element.tag for element in root.iter()} == {
        f"{NS}{name}" for name in ("svg", "title", "desc", "metadata", "g", "path", "circle")
    }
    assert not any(
        name in element.attrib for element in root.iter() for name in ("transform", "style", "class")
    )


def test_circles_are_circles() -> None:
    circles = root_of(1).findall(f".//{NS}circle")
    assert [(each.get("cx"), each.get("cy"), each.get("r")) for each in circles] == [
        ("100", "180", "9.9"),
        ("100", "180", "60.1"),
    ]


def test_numbers_have_four_decimals_at_most_and_no_ornaments() -> None:
    body = text_of()[text_of().index("<g ") :]
    numbers = re.findall(r'(?<=[ "])-?[\d.]+(?:e-?\d+)?(?=[ "])', body)
    assert len(numbers) > 200
    assert all(re.fullmatch(r"-?(0|[1-9]\d*)(\.\d{0,3}[1-9])?", each) and each != "-0" for each in numbers)


def test_lines_end_in_a_line_feed_alone() -> None:
    text = text_of()
    assert "\r" not in text
    assert text.endswith("</svg>\n")
    assert not text.endswith("\n\n")


def test_the_title_names_design_and_sheet() -> None:
    assert root_of(1).findtext(f"{NS}title") == "Wren, sheet 2"
    assert (root_of().findtext(f"{NS}desc") or "").splitlines()[0] == (
        "600 × 300 mm. One user unit is 1 mm: cut it at 100 %, do not fit it to the page."
    )


@pytest.mark.parametrize("name", ["Wren", "<Wren> & \"Heron\" 'x' ]]>", "Zaunkönig ミ ½"])
def test_the_tags_are_json_whatever_the_design_is_called(name: str) -> None:
    tags = json.loads(root_of(0, name).findtext(f"{NS}metadata") or "")
    placements = sheet_set(design_name=name).sheets[0].placements
    assert tags == {each.cut_part.part.name: tag_fields(each.cut_part.tag) for each in placements}
    assert tags["comb"]["design_name"] == name
