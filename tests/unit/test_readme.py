"""README tells the truth where it can be held to it."""

import re
from pathlib import Path

from jiggen.cli.app import COMMANDS
from jiggen.design.keys import ROWS
from jiggen.design.read import design_from_text
from jiggen.parts.catalogue import CATALOGUE

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def test_every_key_of_a_design_file_is_listed_in_order():
    listed = re.findall(r"^\| `([a-z0-9.-]+)` \| .* \| `", README, flags=re.MULTILINE)
    assert listed == [row.key for row in ROWS]


def test_every_part_and_every_command_is_told_of():
    for entry in CATALOGUE:
        assert f"`{entry.name}`" in README
    for command in COMMANDS:
        assert f"jiggen {command}" in README


def test_pictures_and_pages_that_it_links_to_are_there():
    root = Path(__file__).parents[2]
    links = re.findall(r"\]\((?!#|https?:)([^)]+)\)", README)
    assert [link for link in links if not (root / link).exists()] == []


def test_every_part_has_a_small_picture_in_the_gallery():
    for entry in CATALOGUE:
        picture = Path(__file__).parents[2] / "out" / "gallery" / f"{entry.name}.png"
        assert f"](out/gallery/{entry.name}.png)" in README
        assert picture.stat().st_size < 60_000


def test_every_design_it_shows_can_be_read():
    shown = re.findall(r"```toml\n(.*?)```", README, flags=re.DOTALL)
    assert len(shown) >= 3
    beside = Path(__file__).parents[1] / "support" / "outlines"  # where the files are that they name
    for text in shown:
        head = "" if "schema =" in text else 'schema = "jiggen-design/1"\nname = "Wren"\n'
        design_from_text(head + text, file=str(beside / "README.md"))
