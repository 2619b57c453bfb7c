"""The library: whose profile wins, what is refused, and that the packaged ones can be read."""

import os
from pathlib import Path

import pytest

from jiggen import profiles
from jiggen.errors import InputError
from jiggen.profiles import KINDS, find, folders, names, read_text, settings_folder

TEXT = 'schema = "jiggen-material/1"\ntitle = "mine"\n'


@pytest.fixture(autouse=True)
def no_folders_of_the_user(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("JIGGEN_PROFILES", raising=False)
    for name in ("HOME", "XDG_CONFIG_HOME", "APPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "nobody"))


def put(folder: Path, kind: str, name: str, text: str = TEXT) -> Path:
    path = folder / kind / f"{name}.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def refusal(kind: str, name: str) -> str:
    with pytest.raises(InputError) as caught:
        find(kind, name)
    return str(caught.value)


def test_the_library_has_what_the_demo_needs() -> None:
    assert {"six-string-guitar", "wren"} <= set(names("instruments"))
    assert "cast-acrylic-3" in names("materials")
    assert "large-laser" in names("machines")
    found = find("instruments", "wren")
    assert (found.kind, found.name) == ("instruments", "wren")
    assert found.text == found.path.read_text(encoding="utf-8")
    assert found.tables.tables["name"] == "Wren"
    assert found.tables.file == str(found.path)


@pytest.mark.parametrize("kind", KINDS)
def test_every_profile_of_the_library_is_toml(kind: str) -> None:
    for name in names(kind):
        assert find(kind, name).tables.tables["schema"].startswith("jiggen-")


def test_a_folder_of_the_users_wins_and_the_path_says_so(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    first, second = tmp_path / "a", tmp_path / "b"
    mine = put(first, "materials", "cast-acrylic-3")
    put(second, "materials", "cast-acrylic-3", TEXT + "# second\n")
    other = put(second, "materials", "walnut-2")
    monkeypatch.setenv("JIGGEN_PROFILES", os.pathsep.join((str(first), "", str(second))))
    assert find("materials", "cast-acrylic-3").path == mine
    assert find("materials", "walnut-2").path == other
    assert {"cast-acrylic-3", "walnut-2"} <= set(names("materials"))
    assert "large-laser" in names("machines")


def test_the_settings_folder_comes_after_the_listed_ones(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(profiles.sys, "platform", "linux")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    own = put(tmp_path / "config" / "jiggen" / "profiles", "machines", "large-laser")
    assert find("machines", "large-laser").path == own
    listed = put(tmp_path / "listed", "machines", "large-laser")
    monkeypatch.setenv("JIGGEN_PROFILES", str(tmp_path / "listed"))
    assert find("machines", "large-laser").path == listed
    assert folders()[:2] == (tmp_path / "listed", tmp_path / "config" / "jiggen" / "profiles")


@pytest.mark.parametrize(
    ("platform", "environ", "expected"),
    [
        ("linux", {"XDG_CONFIG_HOME": "/x", "HOME": "/h"}, "/x/jiggen/profiles"),
        ("linux", {"HOME": "/h"}, "/h/.config/jiggen/profiles"),
        ("linux", {"XDG_CONFIG_HOME": "relative", "HOME": "/h"}, "/h/.config/jiggen/profiles"),
        ("linux", {}, None),
        ("darwin", {"XDG_CONFIG_HOME": "/x", "HOME": "/h"}, "/h/Library/Application Support/jiggen/profiles"),
        ("win32", {"APPDATA": "/u/AppData", "HOME": "/h"}, "/u/AppData/jiggen/profiles"),
        ("win32", {"HOME": "/h"}, None),
    ],
)
def test_settings_folders(platform: str, environ: dict[str, str], expected: str | None) -> None:
    assert settings_folder(platform, environ) == (Path(expected) if expected else None)


def test_a_listed_folder_must_be_there(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JIGGEN_PROFILES", "gone")
    assert refusal("materials", "walnut-2") == (
        'environment variable JIGGEN_PROFILES: got "gone", expected folders that are there.'
        " Make the folder or take it out of the list."
    )


def test_unknown_names_are_told_with_the_nearest(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    known = ", ".join(names("instruments"))
    assert refusal("instruments", "six-string-gitar") == (
        f'instruments profile: got "six-string-gitar", expected one of {known}. Did you mean six-string-guitar?'
    )
    assert (
        refusal("instruments", "Wren")
        == f'instruments profile: got "Wren", expected one of {known}. Did you mean wren?'
    )
    assert refusal("machine", "x") == (
        f'machine profile: got "machine", expected one of {", ".join(KINDS)}. Did you mean machines?'
    )
    empty = tmp_path / "library"
    empty.mkdir()
    monkeypatch.setattr(profiles, "_library", lambda _: empty)
    assert refusal("strings", "x") == (
        'strings profile: got "x", expected a profile in one of the folders, which have none'
    )


@pytest.mark.parametrize(
    "name", ["../materials/cast-acrylic-3", "..\\wren", "/etc/passwd", "wren.toml", "C:wren", "./wren"]
)
def test_a_name_is_never_a_path(name: str) -> None:
    sentence = refusal("instruments", name)
    assert sentence.endswith("Give the name alone, without folder or suffix.")


@pytest.mark.parametrize("name", ["", ".", "..", "wren\0", "\ud800", "w" * 5000])
def test_odd_names_are_refused(name: str) -> None:
    assert refusal("instruments", name).startswith("instruments profile: got ")


def test_the_place_that_asks_is_told() -> None:
    with pytest.raises(InputError) as caught:
        find("machines", "x", where="w.toml, line 9, make.machine")
    assert caught.value.where == "w.toml, line 9, make.machine"


def test_a_wrong_profile_is_told_with_its_path(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    path = put(tmp_path, "materials", "walnut-2", "title = walnut\n")
    monkeypatch.setenv("JIGGEN_PROFILES", str(tmp_path))
    assert refusal("materials", "walnut-2").startswith(f'{path}, line 1, column 9: got "title = walnut"')


def test_the_library_is_found_installed_and_in_a_checkout_only(tmp_path: Path) -> None:
    package = tmp_path / "site-packages" / "jiggen"
    beside = tmp_path / "site-packages" / "profiles"
    package.mkdir(parents=True)
    beside.mkdir()
    with pytest.raises(InputError) as caught:
        profiles._library(package)  # a stranger's folder of that name is not ours
    assert str(caught.value) == (
        f"{package}: got no library of profiles, expected the folder data/profiles. Install jiggen again."
    )
    (package.parent / "pyproject.toml").touch()
    assert profiles._library(package) == beside
    installed = package / "data" / "profiles"
    installed.mkdir(parents=True)
    assert profiles._library(package) == installed


def file_refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_text(path)
    return str(caught.value).removeprefix(f"{path}: ")


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    (tmp_path / "wren.toml").write_bytes(b"\xef\xbb\xbfname = 1\r\n")
    assert read_text(tmp_path / "wren.toml") == "name = 1\r\n"
    assert (
        file_refusal(tmp_path / "wern.toml")
        == "got no such file, expected a TOML file. Did you mean wren.toml?"
    )
    assert file_refusal(tmp_path / "no" / "x.toml") == "got no such file, expected a TOML file"
    assert file_refusal(tmp_path) == "got a folder, expected a file"
    assert file_refusal(Path(os.devnull)) == "got a device or pipe, expected a file"
    assert file_refusal(tmp_path / "wren.toml" / "x") == (
        "got a file that cannot be opened, expected a TOML file. The system says: Not a directory."
    )
    assert file_refusal(tmp_path / "a\0b") == (
        "got a file that cannot be opened, expected a TOML file. The system says: embedded null byte."
    )
    (tmp_path / "large.toml").write_bytes(b"#" * 1_000_001)
    assert file_refusal(tmp_path / "large.toml") == "got a larger file, expected at most 1000000 bytes"
    (tmp_path / "latin.toml").write_bytes(b"a = 1\nname = 'caf\xe9'\n")
    assert file_refusal(tmp_path / "latin.toml") == (
        "got the byte 0xE9 on line 2, expected a text in UTF-8. Save it again with the encoding UTF-8."
    )
    (tmp_path / "wide.toml").write_bytes("name = 1".encode("utf-16"))
    assert file_refusal(tmp_path / "wide.toml") == (
        "got a text in UTF-16, expected UTF-8. Save it again with the encoding UTF-8."
    )


def test_a_file_without_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    path = tmp_path / "wren.toml"
    path.touch()
    monkeypatch.setattr(Path, "open", refuse)
    assert file_refusal(path) == (
        "got a file that cannot be opened, expected a TOML file. The system says: Permission denied."
    )


def test_places_tell_the_file_that_counts_and_those_it_hides(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    first = put(tmp_path / "a", "materials", "cast-acrylic-3")
    second = put(tmp_path / "b", "materials", "cast-acrylic-3")
    own = put(tmp_path / "b", "materials", "ash-5")
    monkeypatch.setenv("JIGGEN_PROFILES", os.pathsep.join((str(tmp_path / "a"), str(tmp_path / "b"))))
    library = folders()[-1]
    found = {place.name: place for place in profiles.places("materials")}
    acrylic = found["cast-acrylic-3"]
    packaged = library / "materials" / "cast-acrylic-3.toml"
    assert (acrylic.path, acrylic.hidden, acrylic.packaged) == (first, (second, packaged), False)
    assert (found["ash-5"].path, found["ash-5"].hidden, found["ash-5"].packaged) == (own, (), False)
    assert tuple(found) == names("materials")
    assert all(place.packaged for place in profiles.places("strings"))
    with pytest.raises(InputError, match="Did you mean materials"):
        profiles.places("material")
