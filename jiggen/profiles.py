"""The library of profiles: finds a profile, reads it and returns its tables.

A profile is a TOML file `<folder>/<kind>/<name>.toml`. The folders, first one first:

1. those that the environment variable JIGGEN_PROFILES lists, separated like those of PATH;
2. the user's own: `jiggen/profiles` in the platform's place for settings;
3. the library that comes with jiggen.

The first folder that has the name wins, so a user's profile hides a packaged one of the same name.
"""

import os
import stat
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from jiggen.errors import InputError, did_you_mean, quoted
from jiggen.tables.document import Document, parse_toml

KINDS = ("instruments", "strings", "wires", "materials", "machines")
VARIABLE = "JIGGEN_PROFILES"
LARGEST_FILE = 1_000_000  #: bytes; a design or profile has a few thousand


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """A profile as it was found.

    Attributes:
        kind: One of `KINDS`.
        name: Its file's name without the suffix.
        path: The file: tells a user's own from a packaged one.
        text: What is in it.
        tables: The same, read.
    """

    kind: str
    name: str
    path: Path
    text: str
    tables: Document


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the library has a profile.

    Attributes:
        kind: One of `KINDS`.
        name: Its file's name without the suffix.
        path: The file that counts.
        hidden: Files of the same name in later folders, which it hides.
        packaged: Whether it is the one that comes with jiggen.
    """

    kind: str
    name: str
    path: Path
    hidden: tuple[Path, ...]
    packaged: bool


def find(kind: str, name: str, *, where: str = "") -> Profile:
    """Finds and reads a profile.

    Args:
        kind: One of `KINDS`.
        name: Its name, without folder or suffix.
        where: The place that asks for it, for errors; the kind when empty.

    Raises:
        InputError: If the kind or the name is not known, or the file cannot be read.
    """
    where = where or f"{kind} profile"
    paths = _paths(kind, where)
    if name not in paths:
        expected = (
            f"one of {', '.join(sorted(paths))}"
            if paths
            else "a profile in one of the folders, which have none"
        )
        outside = any(sign in name for sign in "/\\:") or name.endswith(".toml")
        mend = (
            "Give the name alone, without folder or suffix." if outside else did_you_mean(name, sorted(paths))
        )
        raise InputError(where=where, got=quoted(name), expected=expected, mend=mend)
    text = read_text(paths[name])
    return Profile(
        kind=kind, name=name, path=paths[name], text=text, tables=parse_toml(text, file=str(paths[name]))
    )


def names(kind: str) -> tuple[str, ...]:
    """Returns the names of all profiles of a kind, sorted.

    Raises:
        InputError: If the kind is not known or a folder cannot be read.
    """
    return tuple(sorted(_paths(kind, f"{kind} profile")))


def places(kind: str) -> tuple[Place, ...]:
    """Returns where all profiles of a kind are, sorted by name.

    Raises:
        InputError: If the kind is not known or a folder cannot be read.
    """
    library = folders()[-1]
    return tuple(
        Place(kind=kind, name=name, path=path, hidden=tuple(hidden), packaged=path.is_relative_to(library))
        for name, (path, *hidden) in sorted(_files(kind, f"{kind} profile").items())
    )


def folders() -> tuple[Path, ...]:
    """Returns the folders that are searched, in that order.

    Raises:
        InputError: If JIGGEN_PROFILES names a folder that is not there, or jiggen's own library is missing.
    """
    listed = [Path(each) for each in os.environ.get(VARIABLE, "").split(os.pathsep) if each]
    for folder in listed:
        if not folder.is_dir():
            raise InputError(
                where=f"environment variable {VARIABLE}",
                got=quoted(str(folder)),
                expected="folders that are there",
                mend="Make the folder or take it out of the list.",
            )
    own = settings_folder(sys.platform, os.environ)
    return (*listed, *([own] if own and own.is_dir() else []), _library(Path(__file__).parent))


def settings_folder(platform: str, environ: Mapping[str, str]) -> Path | None:
    """Returns where a user's own profiles live, whether or not it is there; None when no home is known.

    Source: XDG Base Directory Specification (relative paths in its variables are to be ignored); on the other two
        platforms the place that they name for an application's files.
    """
    appdata, home, xdg = (environ.get(name, "") for name in ("APPDATA", "HOME", "XDG_CONFIG_HOME"))
    if platform == "win32":
        return Path(appdata, "jiggen", "profiles") if appdata else None
    if platform != "darwin" and Path(xdg).is_absolute():
        return Path(xdg, "jiggen", "profiles")
    if not home:
        return None
    inside = "Library/Application Support" if platform == "darwin" else ".config"
    return Path(home, inside, "jiggen", "profiles")


def read_text(path: Path, *, what: str = "a TOML file") -> str:
    """Reads the text of a file.

    Args:
        path: Of the file.
        what: What it should be, for errors.

    Raises:
        InputError: If it is missing, not a file, too large, not to be read, or not UTF-8.
    """

    def wrong(got: str, expected: str, mend: str = "") -> InputError:
        return InputError(where=str(path), got=got, expected=expected, mend=mend)

    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise wrong("a folder", "a file")
        if not stat.S_ISREG(mode):
            raise wrong("a device or pipe", "a file")
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise wrong("no such file", what, _nearby(path)) from error
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        raise wrong("a file that cannot be opened", what, f"The system says: {_reason(error)}.") from error
    if len(content) > LARGEST_FILE:
        raise wrong("a larger file", f"at most {LARGEST_FILE} bytes")
    if content[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        raise wrong("a text in UTF-16", "UTF-8", "Save it again with the encoding UTF-8.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        got = f"the byte 0x{content[error.start]:02X} on line {line}"
        raise wrong(got, "a text in UTF-8", "Save it again with the encoding UTF-8.") from error


def _paths(kind: str, where: str) -> dict[str, Path]:
    """Returns the file that counts of each name of a kind."""
    return {name: files[0] for name, files in _files(kind, where).items()}


def _files(kind: str, where: str) -> dict[str, list[Path]]:
    """Returns the files of each name of a kind, in the order of the folders."""
    if kind not in KINDS:
        mend = did_you_mean(kind, KINDS)
        raise InputError(where=where, got=quoted(kind), expected=f"one of {', '.join(KINDS)}", mend=mend)
    found: dict[str, list[Path]] = {}
    for folder in folders():
        try:
            files = sorted((folder / kind).glob("*.toml"))
        except OSError as error:
            raise InputError(
                where=str(folder / kind), got="a folder that cannot be read", expected="a folder of profiles"
            ) from error
        for path in files:
            found.setdefault(path.stem, []).append(path)
    return found


def _library(package: Path) -> Path:
    """Returns the library that comes with jiggen: inside the package once installed, beside it in a checkout."""
    installed = package / "data" / "profiles"
    if installed.is_dir():
        return installed
    checkout = package.parent / "profiles"
    if checkout.is_dir() and (package.parent / "pyproject.toml").is_file():
        return checkout
    raise InputError(
        where=str(package),
        got="no library of profiles",
        expected="the folder data/profiles",
        mend="Install jiggen again.",
    )


def _nearby(path: Path) -> str:
    """Returns a hint to a file of nearly the same name in the same folder."""
    suffix = path.suffix or ".toml"
    hint = did_you_mean(
        path.stem, sorted(each.stem for each in path.parent.glob("*") if each.suffix == suffix)
    )
    return hint.replace("?", f"{suffix}?")


def _reason(error: OSError | ValueError) -> str:
    """Returns why in the system's words."""
    return (error.strerror or str(error)) if isinstance(error, OSError) else str(error)
