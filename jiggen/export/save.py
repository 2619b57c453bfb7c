"""The only module that writes. A set of files lands whole or not at all; what is the maker's own is left alone."""

import hashlib
import json
import os
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

from jiggen.errors import InputError
from jiggen.export.lock import locked
from jiggen.export.manifest import FILE_NAME, SCHEMA_FAMILY


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """What was done.

    Attributes:
        folder: Where the files are now.
        written: Names of the files of this job.
        replaced: Those of them that were there before.
        kept: Names of the maker's own files and folders that stayed.
        removed: Names of files of the job before that this one has no more.
    """

    folder: Path
    written: tuple[str, ...]
    replaced: tuple[str, ...]
    kept: tuple[str, ...]
    removed: tuple[str, ...]


def save_job(folder: Path, files: Mapping[str, bytes], *, replace_edited: bool = False) -> Saved:
    """Writes all files of a job into its folder, in place of the job that was there.

    The new set is written beside the folder and takes its place by renaming, so that whatever fails or
    interrupts it, one whole set is there; after a power cut between the two renames the next call puts the old
    set back first. A second run at the same time is refused. A link to a folder is followed, never replaced.

    Args:
        folder: Made when it is missing, together with those above it.
        files: By name, `manifest.json` among them.
        replace_edited: Whether files of the last job that were changed since may be lost.

    Raises:
        InputError: If the folder holds something else than a job of ours, if files in it were changed by hand,
            if a file of the maker's own has the name of a new one, or if another run is writing there.
        OSError: If the disk is full, or may not be written; the old set is whole then too.
    """
    _check_names(files)
    target = _behind_link(folder)
    target.parent.mkdir(parents=True, exist_ok=True)
    staging, former = (target.with_name(f".{target.name}.jiggen-{each}") for each in ("new", "old"))
    with _alone(target.with_name(f".{target.name}.jiggen-lock"), folder):
        _tidy(target, staging, former)
        saved = _foreseen(target, folder, files, replace_edited=replace_edited)
        try:
            _fill(staging, files, target, saved.kept)
            if target.exists():
                target.replace(former)
            staging.replace(target)
            _sync_folder(target.parent)
        finally:
            _tidy(target, staging, former)
    return saved


def foresee_job(folder: Path, files: Mapping[str, bytes], *, replace_edited: bool = False) -> Saved:
    """Returns what `save_job` would do, and does nothing. Arguments and errors are those of `save_job`."""
    _check_names(files)
    return _foreseen(_behind_link(folder), folder, files, replace_edited=replace_edited)


def _check_names(files: Mapping[str, bytes]) -> None:
    for name in files:
        if not _is_plain(name):
            raise ValueError(f"not a plain file name: {name!r}")
    if FILE_NAME not in files:
        raise ValueError(f"a job needs its {FILE_NAME}")


def _foreseen(target: Path, folder: Path, files: Mapping[str, bytes], *, replace_edited: bool) -> Saved:
    """Returns what saving will do to the folder that is there, once nothing speaks against it."""
    listed = _files_of_last_job(target, folder)
    kept = tuple(sorted(each.name for each in _inside(target) if each.name not in listed))
    if not replace_edited:
        _refuse_edited(target, listed, folder)
    _refuse_own(kept, files, folder)
    there = {each.name for each in _inside(target)}
    return Saved(
        folder=folder,
        written=tuple(files),
        replaced=tuple(name for name in files if name in there),
        kept=kept,
        removed=tuple(name for name in listed if name not in files and name in there),
    )


def write_file(path: Path, data: bytes, *, overwrite: bool = False) -> None:
    """Writes one file whole or not at all.

    Args:
        path: In a folder that exists. A link is followed when overwriting.
        data: What it holds afterwards.
        overwrite: Whether a file of that name may be replaced.

    Raises:
        InputError: If the file exists and may not be replaced.
        OSError: If the disk is full, or may not be written; an old file is whole then too.
    """
    target = _behind_link(path) if overwrite else path
    with tempfile.TemporaryDirectory(prefix=".jiggen-", dir=target.parent) as private:
        fresh = Path(private) / "file"
        _write(fresh, data)
        if target.exists() and overwrite:
            shutil.copymode(target, fresh)
            fresh.replace(target)
        else:
            _claim(target, path)
            try:
                fresh.replace(target)
            except BaseException:
                target.unlink()
                raise
    _sync_folder(target.parent)


def _claim(target: Path, path: Path) -> None:
    """Makes an empty file, so that nobody else can take the name."""
    try:
        target.touch(exist_ok=False)
    except FileExistsError:
        raise InputError(
            where=str(path),
            got="a file that exists",
            expected="a new name",
            mend="Choose another name, or ask for it to be replaced: --replace",
        ) from None


def _behind_link(path: Path) -> Path:
    """Returns the true place of a file or folder, so that a link stays a link.

    Raises:
        InputError: If it is a link that leads nowhere.
    """
    target = Path(os.path.realpath(path))
    if path.is_symlink() and not target.exists():
        raise InputError(
            where=str(path),
            got=f"a link to {path.readlink()}, which is not there",
            expected="a link to something that exists",
            mend="Remove the link, or connect what it leads to",
        )
    return target


def _is_plain(name: str) -> bool:
    return name not in {"", ".", ".."} and not any(each in name for each in "/\\:\0")


def _tidy(target: Path, staging: Path, former: Path) -> None:
    """Leaves one whole set at the target, whichever step was the last one taken.

    The old set is put back unless the new one has landed, which shows by the new one having left its own place.

    Raises:
        InputError: If somebody made a new folder while the old one waited to be put back.
    """
    if former.exists() and not target.exists():
        former.replace(target)
    if former.exists() and staging.exists():
        raise InputError(
            where=str(former),
            got="the last good files, and a new folder where they should go back to",
            expected=f"no {target.name}, or the good files in it",
            mend="Keep one of the two and remove the other",
        )
    if staging.exists():
        shutil.rmtree(staging)
    if former.exists():
        shutil.rmtree(
            former, ignore_errors=True
        )  # the new set stands: what is left of the old goes next time


def _inside(target: Path) -> list[Path]:
    return list(target.iterdir()) if target.exists() else []


def _files_of_last_job(target: Path, folder: Path) -> dict[str, str]:
    """Returns names and checksums of the files of the job in a folder; the manifest's own checksum is empty.

    Raises:
        InputError: If it is no folder, or has something in it and no manifest of ours.
    """
    if target.exists() and not target.is_dir():
        raise _not_ours(folder, "a file")
    if not _inside(target):
        return {}
    try:
        manifest = json.loads((target / FILE_NAME).read_bytes())
        ours = manifest["schema"].startswith(SCHEMA_FAMILY)
        listed = {name: str(entry["sha256"]) for name, entry in manifest["files"].items()}
    except (FileNotFoundError, IsADirectoryError):
        raise _not_ours(folder, f"a folder without a {FILE_NAME}") from None
    except (ValueError, KeyError, TypeError, AttributeError):
        raise _not_ours(folder, f"a folder with a {FILE_NAME} of something else") from None
    if not ours:
        raise _not_ours(folder, f"a folder with a {FILE_NAME} of something else")
    return {name: checksum for name, checksum in listed.items() if _is_plain(name)} | {FILE_NAME: ""}


def _not_ours(folder: Path, got: str) -> InputError:
    return InputError(
        where=str(folder),
        got=got,
        expected="a new or empty folder, or one that jiggen made",
        mend="Choose another output folder, or move what is there",
    )


def _refuse_edited(target: Path, listed: Mapping[str, str], folder: Path) -> None:
    edited = [name for name, checksum in listed.items() if _is_edited(target / name, checksum)]
    if edited:
        raise InputError(
            where=str(folder),
            got=f"files that were changed since jiggen wrote them: {', '.join(edited)}",
            expected="files as they were written, which may be replaced",
            mend="Move or rename the changed files, or ask for them to be replaced: --replace-edited",
        )


def _is_edited(path: Path, checksum: str) -> bool:
    if path.is_symlink():
        return True
    if not path.exists():
        return False
    return not path.is_file() or (
        checksum != "" and hashlib.sha256(path.read_bytes()).hexdigest() != checksum
    )


def _refuse_own(kept: Iterable[str], files: Mapping[str, bytes], folder: Path) -> None:
    """Refuses names that are taken by the maker's own files; on some disks capitals make no difference."""
    new = {name.casefold() for name in files}
    taken = [name for name in kept if name.casefold() in new]
    if taken:
        raise InputError(
            where=str(folder),
            got=f"files of your own with the names of new ones: {', '.join(taken)}",
            expected="these names to be free",
            mend="Move or rename your files",
        )


def _fill(staging: Path, files: Mapping[str, bytes], target: Path, kept: Iterable[str]) -> None:
    """Makes the new set beside the old one: the job's files, and the maker's own by a second name for each."""
    staging.mkdir()
    if target.exists():
        shutil.copymode(target, staging)
    for name, data in files.items():
        _write(staging / name, data)
    for name in kept:
        own = target / name
        if own.is_dir() and not own.is_symlink():
            shutil.copytree(own, staging / name, symlinks=True, copy_function=_link_or_copy)
        else:
            _link_or_copy(own, staging / name)
    _sync_folder(staging)


def _link_or_copy(source: str | Path, copy: str | Path) -> None:
    """Gives a file a second name, or copies it where the disk knows no second names; links stay links."""
    try:
        os.link(source, copy, follow_symlinks=False)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):
        shutil.copy2(source, copy, follow_symlinks=False)


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    """Brings new names in a folder to the disk; Windows does so by itself and opens no folders."""
    if sys.platform == "win32":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


@contextmanager
def _alone(lock: Path, folder: Path) -> Iterator[None]:
    """Makes sure that nobody else is writing to a folder.

    Raises:
        InputError: If another run is.
    """
    with ExitStack() as stack:
        try:
            stack.enter_context(locked(lock))
        except BlockingIOError:
            raise InputError(
                where=str(folder),
                got="another run of jiggen writing there",
                expected="one at a time",
                mend="Wait for it to end, then try again",
            ) from None
        yield
