"""`jiggen profiles` says which file counts, and what it says."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from jiggen.cli.app import app
from jiggen.design.read import design_from_text
from jiggen.profiles import KINDS, find, names


@pytest.fixture(autouse=True)
def own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A folder of the user's own."""
    folder = tmp_path / "own"
    (folder / "instruments").mkdir(parents=True)
    monkeypatch.setenv("JIGGEN_PROFILES", str(folder))
    for name in ("HOME", "XDG_CONFIG_HOME", "APPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "nobody"))
    return folder


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, ["profiles", *arguments], prog_name="jiggen")


def put(own: Path, name: str, text: str) -> Path:
    path = own / "instruments" / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_all_profiles_are_listed_with_what_they_are():
    listed = json.loads(run("--json").stdout)
    assert listed["schema"] == "jiggen-profiles/1"
    assert [(row["kind"], row["name"]) for row in listed["profiles"]] == [
        (kind, name) for kind in KINDS for name in names(kind)
    ]
    for row in listed["profiles"]:
        assert row["title"]
        assert row["file"] == str(find(row["kind"], row["name"]).path)
        assert row["packaged"]
        assert row["hides"] == []
        assert row["name"] in run(row["kind"]).stdout
    lines = run().stdout.splitlines()
    assert len(lines) == len(listed["profiles"]) + 2  # a head, and where the library is


def test_a_profile_of_ones_own_hides_the_librarys(own: Path):
    library = find("instruments", "mandolin").path
    text = library.read_text(encoding="utf-8").replace('"Siskin"', '"My Siskin"')
    mine = put(own, "mandolin", text)
    row = next(row for row in json.loads(run("--json").stdout)["profiles"] if row["name"] == "mandolin")
    assert (row["title"], row["file"], row["packaged"], row["hides"]) == (
        "My Siskin",
        str(mine),
        False,
        [str(library)],
    )
    assert f"{mine}; hides {library}" in run().stdout
    shown = run("instruments", "mandolin")
    assert shown.stdout == text  # so that it can be saved to a file
    assert shown.stderr == f"from {mine}\nhides {library}\n"
    assert json.loads(run("instruments", "mandolin", "--json").stdout)["text"] == text


def test_a_profile_that_cannot_be_read_is_listed_and_complained_of(own: Path):
    put(own, "aviary", 'name = "Aviary\n')
    result = run("instruments")
    assert result.exit_code == 2
    assert "aviary  cannot be read" in result.stdout
    assert "Siskin" in result.stdout
    assert "aviary.toml, line 1" in result.stderr
    result = run("--json")
    assert result.exit_code == 2
    assert len(json.loads(result.stdout)["profiles"]) > 20


def test_values_of_an_instrument_tell_source_file_and_line():
    path = find("instruments", "ukulele-concert").path
    shown = json.loads(run("instruments", "ukulele-concert", "--values", "--json").stdout)
    values = {value["key"]: value for value in shown["values"]}
    lines = path.read_text(encoding="utf-8").splitlines()
    for key, value in values.items():
        if value["file"]:
            assert value["file"] == str(path)
            assert lines[value["line"] - 1].startswith(f"{key.rpartition('.')[2]} = ")
        else:
            assert (value["source"], value["line"]) == ("assumed", 0)
    assert values["neck.scale"]["value"] == '"375 mm"'
    assert values["neck.scale"]["source"] == "chosen"
    assert values["neck.nut-width"]["source"] == "common practice"
    assert values["strings.pitch-standard"]["note"] == "ISO 16"
    assert "neck.radius" not in values  # a flat board
    printed = run("instruments", "ukulele-concert", "--values").stdout
    assert f"{path}, line {values['neck.scale']['line']}\n" in printed
    assert "goes without saying" in printed


def test_values_of_a_design_come_from_its_file_or_the_profile_behind(tmp_path: Path):
    path = tmp_path / "plover.toml"
    path.write_text(
        'schema = "jiggen-design/1"\nname = "Plover"\nprofile = "ukulele-concert"\n'
        '[neck]\nscale = { value = "380mm", source = "measured", note = "steel rule" }\n'
        "[strings]\ncount = 5\n",
        encoding="utf-8",
    )
    shown = json.loads(run("--design", str(path), "--json").stdout)
    values = {value["key"]: value for value in shown["values"]}
    behind = find("instruments", "ukulele-concert")
    assert values["neck.scale"] == {
        "key": "neck.scale",
        "value": '"380mm"',
        "source": "measured",
        "note": "steel rule",
        "file": str(path),
        "line": 5,
    }
    nut = values["neck.nut-width"]
    assert (nut["file"], nut["source"], nut["note"]) == (
        str(behind.path),
        "assumed",
        "ukulele-concert: common practice",
    )
    assert nut["value"] == f'"{design_from_text(behind.text, file="").nut_width.text}"'
    assert "strings.gauges" not in values  # those are for four strings
    assert values["name"]["file"] == str(path)
    assert values["make.material"]["file"] == str(behind.path)
