"""Saving: whole or not at all, and hands off what is the maker's own."""

import hashlib
import json
import os
import signal
import stat
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from jiggen.errors import InputError
from jiggen.export.lock import locked
from jiggen.export.save import save_job, write_file

PROJECT = str(Path(__file__).parents[3])


def job(**contents: str) -> dict[str, bytes]:
    """A set of files with a true manifest; `sheet_1` stands for `sheet-1.svg`."""
    files = {f"{name.replace('_', '-')}.svg": text.encode() for name, text in contents.items()}
    listed = {
        name: {"sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)} for name, data in files.items()
    }
    manifest = {"schema": "jiggen-manifest/1", "files": listed}
    return {**files, "manifest.json": json.dumps(manifest).encode()}


OLD, NEW = job(sheet_1="old one", sheet_2="old two"), job(sheet_1="new one", sheet_3="new three")


def held(folder: Path) -> dict[str, bytes]:
    return {str(each.relative_to(folder)): each.read_bytes() for each in folder.rglob("*") if each.is_file()}


def beside(folder: Path) -> list[str]:
    """What lies beside the folder and should not."""
    return sorted(each.name for each in folder.parent.iterdir() if each != folder)


def refusal(folder: Path, files: Mapping[str, bytes] = NEW, *, replace_edited: bool = False) -> str:
    """The sentence with which a save is refused; nothing may have moved."""
    before = held(folder) if folder.is_dir() else None
    with pytest.raises(InputError) as caught:
        save_job(folder, files, replace_edited=replace_edited)
    assert (held(folder) if folder.is_dir() else None) == before
    assert all(not name.endswith(("new", "old", "lock")) for name in beside(folder))
    return str(caught.value).replace(str(folder), "FOLDER")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "out" / "wren"


def test_a_new_folder_is_made_with_those_above_it(folder: Path) -> None:
    saved = save_job(folder, OLD)
    assert held(folder) == OLD
    assert beside(folder) == []
    assert (saved.folder, saved.written, saved.kept, saved.removed) == (folder, tuple(OLD), (), ())


def test_an_empty_folder_is_filled(folder: Path) -> None:
    folder.mkdir(parents=True)
    save_job(folder, OLD)
    assert held(folder) == OLD


def test_the_new_set_replaces_the_old_one_whole(folder: Path) -> None:
    save_job(folder, OLD)
    saved = save_job(folder, NEW)
    assert held(folder) == NEW
    assert beside(folder) == []
    assert saved.removed == ("sheet-2.svg",)


def test_bits_are_the_usual_ones(folder: Path) -> None:
    before = os.umask(0o027)
    try:
        save_job(folder, OLD)
    finally:
        os.umask(before)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o750
    assert stat.S_IMODE((folder / "sheet-1.svg").stat().st_mode) == 0o640


def test_the_folders_own_bits_stay(folder: Path) -> None:
    save_job(folder, OLD)
    folder.chmod(0o700)
    save_job(folder, NEW)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_the_makers_own_files_stay(folder: Path) -> None:
    save_job(folder, OLD)
    (folder / "notes.txt").write_text("walnut next time")
    (folder / "photos" / "june").mkdir(parents=True)
    (folder / "photos" / "june" / "nut.jpg").write_bytes(b"jpg")
    (folder / "shelf").symlink_to("/nowhere/in/particular")
    (folder / "notes.txt").chmod(0o600)
    inode = (folder / "notes.txt").stat().st_ino
    saved = save_job(folder, NEW)
    assert saved.kept == ("notes.txt", "photos", "shelf")
    assert held(folder) == {**NEW, "notes.txt": b"walnut next time", "photos/june/nut.jpg": b"jpg"}
    assert (folder / "shelf").readlink() == Path("/nowhere/in/particular")
    assert stat.S_IMODE((folder / "notes.txt").stat().st_mode) == 0o600
    assert (folder / "notes.txt").stat().st_ino == inode
    assert (folder / "notes.txt").stat().st_nlink == 1


def test_the_makers_own_files_are_copied_where_links_are_not_known(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_link(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    save_job(folder, OLD)
    (folder / "notes.txt").write_text("walnut next time")
    (folder / "shelf").symlink_to("notes.txt")
    monkeypatch.setattr(os, "link", no_link)
    save_job(folder, NEW)
    assert (folder / "notes.txt").read_text() == "walnut next time"
    assert (folder / "shelf").readlink() == Path("notes.txt")


def test_a_folder_of_something_else_is_refused(folder: Path) -> None:
    folder.mkdir(parents=True)
    (folder / "thesis.odt").write_text("forty pages")
    assert refusal(folder) == (
        "FOLDER: got a folder without a manifest.json, expected a new or empty folder, or one that jiggen made."
        " Choose another output folder, or move what is there"
    )


@pytest.mark.parametrize(
    "manifest",
    [
        "{",
        "[]",
        "7",
        "{}",
        '{"schema": 3, "files": {}}',
        '{"schema": "other/1", "files": {}}',
        '{"schema": "jiggen-manifest/1", "files": []}',
        '{"schema": "jiggen-manifest/1", "files": {"a": "b"}}',
        "\udcff",
    ],
)
def test_a_manifest_of_something_else_is_refused(folder: Path, manifest: str) -> None:
    folder.mkdir(parents=True)
    (folder / "manifest.json").write_bytes(manifest.encode("utf-8", "surrogateescape"))
    assert refusal(folder).startswith("FOLDER: got a folder with a manifest.json of something else, expected")


def test_a_file_in_the_way_is_refused(folder: Path) -> None:
    folder.parent.mkdir()
    folder.write_text("a file")
    assert refusal(folder).startswith("FOLDER: got a file, expected a new or empty folder")
    assert folder.read_text() == "a file"


def test_files_changed_by_hand_are_not_lost(folder: Path) -> None:
    save_job(folder, OLD)
    (folder / "sheet-1.svg").write_text("old one, mended by hand")
    (folder / "sheet-2.svg").write_text("this too, though it would only vanish")
    assert refusal(folder) == (
        "FOLDER: got files that were changed since jiggen wrote them: sheet-1.svg, sheet-2.svg, expected files as"
        " they were written, which may be replaced. Move or rename the changed files, or ask for them to be replaced: --replace-edited"
    )
    save_job(folder, NEW, replace_edited=True)
    assert held(folder) == NEW


def test_files_removed_by_hand_are_no_hindrance(folder: Path) -> None:
    save_job(folder, OLD)
    (folder / "sheet-1.svg").unlink()
    save_job(folder, NEW)
    assert held(folder) == NEW


@pytest.mark.parametrize("name", ["sheet-1.svg", "manifest.json"])
def test_a_link_in_place_of_a_file_counts_as_changed(folder: Path, tmp_path: Path, name: str) -> None:
    save_job(folder, OLD)
    elsewhere = tmp_path / "elsewhere"
    (folder / name).rename(elsewhere)
    (folder / name).symlink_to(elsewhere)
    assert f"changed since jiggen wrote them: {name}, expected" in refusal(folder)


def test_a_folder_in_place_of_a_file_counts_as_changed(folder: Path) -> None:
    save_job(folder, OLD)
    (folder / "sheet-1.svg").unlink()
    (folder / "sheet-1.svg").mkdir()
    assert "changed since jiggen wrote them: sheet-1.svg" in refusal(folder)


def test_the_makers_own_file_of_a_new_name_is_not_lost(folder: Path) -> None:
    save_job(folder, OLD)
    (folder / "Sheet-3.svg").write_text("drawn by hand")  # on some disks the same name as ours
    expected = (
        "FOLDER: got files of your own with the names of new ones: Sheet-3.svg, expected these names to be free."
        " Move or rename your files"
    )
    assert refusal(folder) == expected
    assert refusal(folder, replace_edited=True) == expected


def test_a_manifest_cannot_reach_outside(folder: Path) -> None:
    outside = folder.parent / "precious.txt"
    save_job(folder, OLD)
    outside.write_text("precious")
    manifest = json.loads((folder / "manifest.json").read_text())
    manifest["files"] |= {"../precious.txt": {"sha256": hashlib.sha256(b"precious").hexdigest()}}
    (folder / "manifest.json").write_text(json.dumps(manifest))
    saved = save_job(folder, NEW)
    assert saved.removed == ("sheet-2.svg",)
    assert outside.read_text() == "precious"


@pytest.mark.parametrize("name", ["", ".", "..", "../x.svg", "a/b.svg", "a\\b.svg", "C:x.svg", "nul\0.svg"])
def test_names_that_lead_elsewhere_are_our_own_mistake(folder: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a plain file name"):
        save_job(folder, {**NEW, name: b""})
    assert not folder.parent.exists()


def test_a_job_without_a_manifest_is_our_own_mistake(folder: Path) -> None:
    with pytest.raises(ValueError, match=r"a job needs its manifest\.json"):
        save_job(folder, {"sheet-1.svg": b""})


def test_a_link_to_a_folder_is_followed_and_stays(folder: Path, tmp_path: Path) -> None:
    real = tmp_path / "disk" / "guitars"
    real.mkdir(parents=True)
    folder.parent.mkdir()
    folder.symlink_to(real)
    save_job(folder, OLD)
    save_job(folder, NEW)
    assert folder.is_symlink()
    assert held(real) == NEW
    assert beside(real) == []
    assert beside(folder) == []


def test_a_link_to_a_folder_of_something_else_is_refused(folder: Path, tmp_path: Path) -> None:
    real = tmp_path / "thesis"
    real.mkdir()
    (real / "thesis.odt").write_text("forty pages")
    folder.parent.mkdir()
    folder.symlink_to(real)
    assert "got a folder without a manifest.json" in refusal(folder)


@pytest.mark.parametrize("target", ["/nowhere/at/all", "wren"])
def test_a_link_that_leads_nowhere_is_refused(folder: Path, target: str) -> None:
    folder.parent.mkdir()
    folder.symlink_to(target)
    assert refusal(folder) == (
        f"FOLDER: got a link to {target}, which is not there, expected a link to something that exists."
        " Remove the link, or connect what it leads to"
    )


class Failing:
    """A stand-in for a function that fails at its n-th call and works at all others."""

    def __init__(self, real: Callable[..., object], at: int, error: BaseException) -> None:
        self.real, self.at, self.error, self.calls = real, at, error, 0

    def __call__(self, *arguments: object, **options: object) -> object:
        self.calls += 1
        if self.calls == self.at:
            raise self.error
        return self.real(*arguments, **options)


#: Renaming the old set away and the new one in; each file, the new folder and the one above brought to the disk.
STEPS = [("replace", 1), ("replace", 2), *(("fsync", n) for n in range(1, 6)), ("mkdir", 2)]


@pytest.mark.parametrize(
    "error", [OSError(28, "No space left on device"), KeyboardInterrupt()], ids=["full", "Ctrl-C"]
)
@pytest.mark.parametrize(("step", "at"), STEPS)
def test_whatever_fails_leaves_one_set_whole(
    folder: Path, monkeypatch: pytest.MonkeyPatch, step: str, at: int, error: BaseException
) -> None:
    own = {"notes.txt": b"walnut next time"}
    save_job(folder, OLD)
    (folder / "notes.txt").write_bytes(own["notes.txt"])
    failing = Failing(getattr(os, step), at, error)
    with monkeypatch.context() as patch:
        patch.setattr(os, step, failing)
        with pytest.raises(type(error)):
            save_job(folder, NEW)
    assert failing.calls >= at
    landed = (step, at) == ("fsync", 5)  # the last step of all, when both sets have changed places
    assert held(folder) == ({**NEW, **own} if landed else {**OLD, **own})
    assert beside(folder) == []
    save_job(folder, NEW)
    assert held(folder) == {**NEW, **own}


def test_when_even_putting_back_fails_the_next_run_does_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, calls = os.replace, 0

    def only_once(source: Path, target: Path) -> None:
        nonlocal calls
        calls += 1
        if calls > 1:
            raise OSError(5, "Input/output error")
        real(source, target)

    save_job(folder, OLD)
    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", only_once)
        with pytest.raises(OSError, match="Input/output error"):
            save_job(folder, NEW)
    assert held(folder.parent / ".wren.jiggen-old") == OLD  # whole, though not in its place
    (folder.parent / ".wren.jiggen-old" / "sheet-1.svg").write_text("changed")
    with pytest.raises(InputError, match=r"changed since jiggen wrote them: sheet-1\.svg"):
        save_job(folder, NEW)
    assert held(folder) == {**OLD, "sheet-1.svg": b"changed"}  # it is back, and looked after


@pytest.mark.parametrize("landed", [False, True])
def test_a_power_cut_is_mended_by_the_next_run(folder: Path, landed: bool) -> None:  # noqa: FBT001
    """Between the two renames, or after the second, before the old set was cleared away."""
    own = {"notes.txt": b"walnut next time"}
    _written(folder.parent / ".wren.jiggen-old", {**OLD, **own})
    _written(folder if landed else folder.parent / ".wren.jiggen-new", {**NEW, **own})
    third = job(sheet_9="third")
    saved = save_job(folder, third)
    assert saved.removed == (("sheet-1.svg", "sheet-3.svg") if landed else ("sheet-1.svg", "sheet-2.svg"))
    assert held(folder) == {**third, **own}
    assert beside(folder) == []


def test_a_folder_made_while_the_old_one_waits_is_not_mixed_up(folder: Path) -> None:
    former, staging = folder.parent / ".wren.jiggen-old", folder.parent / ".wren.jiggen-new"
    for each, files in ((former, OLD), (staging, NEW), (folder, OLD)):
        _written(each, files)
    with pytest.raises(InputError) as caught:
        save_job(folder, NEW)
    assert str(caught.value) == (
        f"{former}: got the last good files, and a new folder where they should go back to, expected no wren, or"
        " the good files in it. Keep one of the two and remove the other"
    )
    assert held(former) == held(folder) == OLD


def _written(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir(parents=True)
    for name, data in files.items():
        (folder / name).write_bytes(data)


def test_a_second_run_at_the_same_time_is_refused(folder: Path) -> None:
    save_job(folder, OLD)
    with locked(folder.parent / ".wren.jiggen-lock"), pytest.raises(InputError) as caught:
        save_job(folder, NEW)
    assert str(caught.value) == (
        f"{folder}: got another run of jiggen writing there, expected one at a time. Wait for it to end, then try again"
    )
    assert held(folder) == OLD
    save_job(folder, NEW)
    assert beside(folder) == []


def test_many_runs_at_once_never_mix(folder: Path) -> None:
    sets = [job(**{f"sheet_{n}": f"of {n}", f"other_{n}": f"of {n} too"}) for n in range(6)]
    refused: list[str] = []

    def run(files: Mapping[str, bytes]) -> None:
        for _ in range(5):
            try:
                save_job(folder, files)
            except InputError as error:
                refused.append(str(error))

    threads = [threading.Thread(target=run, args=(files,)) for files in sets]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert held(folder) in sets
    assert beside(folder) == []
    assert all("another run of jiggen" in each for each in refused)


def test_a_killed_run_leaves_no_lock_that_holds(folder: Path) -> None:
    save_job(folder, OLD)
    lock = folder.parent / ".wren.jiggen-lock"
    program = (
        "import sys, time; from pathlib import Path; from jiggen.export.lock import locked\n"
        "with locked(Path(sys.argv[1])):\n    print('held', flush=True); time.sleep(60)"
    )
    with subprocess.Popen(
        [sys.executable, "-c", program, str(lock)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": PROJECT},
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        with pytest.raises(BlockingIOError), locked(lock):
            pass
        other.send_signal(signal.SIGKILL)
    assert lock.exists()
    save_job(folder, NEW)
    assert held(folder) == NEW
    assert beside(folder) == []


def test_one_file_is_written_new(tmp_path: Path) -> None:
    write_file(tmp_path / "wren.toml", b"name")
    assert held(tmp_path) == {"wren.toml": b"name"}
    assert stat.S_IMODE((tmp_path / "wren.toml").stat().st_mode) == 0o666 & ~_umask()


def _umask() -> int:
    now = os.umask(0)
    os.umask(now)
    return now


def test_one_file_is_not_overwritten_unasked(tmp_path: Path) -> None:
    path = tmp_path / "wren.toml"
    path.write_text("mine")
    with pytest.raises(InputError) as caught:
        write_file(path, b"new")
    assert str(caught.value) == (
        f"{path}: got a file that exists, expected a new name. Choose another name, or ask for it to be replaced: --replace"
    )
    assert held(tmp_path) == {"wren.toml": b"mine"}
    path.chmod(0o600)
    write_file(path, b"new", overwrite=True)
    assert held(tmp_path) == {"wren.toml": b"new"}
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_link_is_not_written_through_unasked_and_stays_when_asked(tmp_path: Path) -> None:
    real, link, dangling = tmp_path / "real.toml", tmp_path / "link.toml", tmp_path / "dangling.toml"
    real.write_text("mine")
    link.symlink_to(real)
    dangling.symlink_to(tmp_path / "not-there.toml")
    for each in (link, dangling):
        with pytest.raises(InputError, match="got a file that exists"):
            write_file(each, b"new")
    assert not (tmp_path / "not-there.toml").exists()
    write_file(link, b"new", overwrite=True)
    assert link.is_symlink()
    assert real.read_text() == "new"
    with pytest.raises(InputError, match="which is not there"):
        write_file(dangling, b"new", overwrite=True)


@pytest.mark.parametrize("overwrite", [False, True])
@pytest.mark.parametrize("step", ["replace", "fsync"])
def test_a_failing_disk_leaves_one_file_as_it_was(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    step: str,
    overwrite: bool,  # noqa: FBT001
) -> None:
    if overwrite:
        (tmp_path / "wren.toml").write_text("mine")
    before = held(tmp_path)
    monkeypatch.setattr(os, step, Failing(getattr(os, step), 1, OSError(28, "No space left on device")))
    with pytest.raises(OSError, match="No space left"):
        write_file(tmp_path / "wren.toml", b"new", overwrite=overwrite)
    assert held(tmp_path) == before
