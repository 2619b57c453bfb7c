"""The sample that README shows is what the code makes today, byte for byte but for the pictures."""

import io
import os
from pathlib import Path

import pytest
from PIL import Image, ImageChops

from jiggen import job, prepare, reckon

TOP = Path(__file__).parents[2]
SAMPLE = TOP / "out" / "wren"
#: Largest file that is kept in the history, bytes.
LARGEST = 400_000
RENEW = "rm -r out/wren; python -m jiggen make profiles/instruments/wren.toml"
STALE = f"not what the code makes today; look at what changed, then renew it: {RENEW}"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    if not (SAMPLE / "manifest.json").is_file():
        message = f"there is no sample: {RENEW}"
        if os.environ.get("JIGGEN_ALL_JUDGES") == "1":
            pytest.fail(message)
        pytest.skip(message)
    design = reckon.load(TOP / "profiles" / "instruments" / "wren.toml")
    folder = tmp_path_factory.mktemp("out")
    made = job.make(design, prepare.Order(), folder)
    return {name: (folder / "wren" / name).read_bytes() for name in made.files}


def test_the_same_files_are_there(made: dict[str, bytes]) -> None:
    assert {path.name for path in SAMPLE.iterdir()} == set(made), STALE


def test_texts_are_the_same_bytes(made: dict[str, bytes]) -> None:
    for name, data in made.items():
        if not name.endswith((".png", ".json")):  # the manifest holds checksums of pictures
            assert (SAMPLE / name).read_bytes() == data, f"{name} is {STALE}"


def test_pictures_show_the_same(made: dict[str, bytes]) -> None:
    """Another build of the library that draws them may round an edge differently, but no more."""
    for name, data in made.items():
        if name.endswith(".png"):
            kept, drawn = (Image.open(each).convert("RGB") for each in (SAMPLE / name, io.BytesIO(data)))
            assert kept.size == drawn.size, f"{name} is {STALE}"
            changed = ImageChops.difference(kept, drawn).convert("L").point(lambda value: 255 * (value > 64))
            assert changed.histogram()[255] <= kept.width * kept.height // 5000, f"{name} is {STALE}"


def test_none_is_too_large_to_keep(made: dict[str, bytes]) -> None:
    assert {name: len(data) for name, data in made.items() if len(data) > LARGEST} == {}
