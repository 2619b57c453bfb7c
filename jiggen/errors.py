"""The tree of errors: where it went wrong, what was given, what was expected, how to mend it.

    JiggenError
    ├── InputError      a file or a command says something that cannot be read or is not known
    ├── ConflictError   two numbers that cannot both be true
    ├── LimitError      clear enough, but geometry, material or machine cannot make it
    └── SeveralErrors   more than one of the above, found in one go

All of these are the maker's to mend, so the command line ends with exit code 2 on any of them.
Anything else that is raised is our own mistake (exit code 1).
"""

from collections.abc import Iterable, Sequence
from functools import partial
from typing import Any


class JiggenError(Exception):
    """Something the maker can mend.

    Args:
        where: The place, as near as known: a file with line and key, an option, a part and feature.
        got: The value as it was given, quoted in the maker's own words.
        expected: What would have been right.
        mend: What to do about it, as an instruction. Empty when `expected` already says it.
    """

    def __init__(self, *, where: str, got: str, expected: str, mend: str = "") -> None:
        self.where = where
        self.got = got
        self.expected = expected
        self.mend = mend
        super().__init__(str(self))

    def __str__(self) -> str:
        sentence = f"{self.where}: got {self.got}, expected {self.expected}"
        return f"{sentence}. {self.mend}" if self.mend else sentence

    def __reduce__(self) -> tuple[Any, ...]:
        """Lets an error pass from one process to another."""
        words = {"where": self.where, "got": self.got, "expected": self.expected, "mend": self.mend}
        return partial(type(self), **words), ()

    def at(self, where: str) -> "JiggenError":
        """Returns the same error with the place set, for a caller that knows it better."""
        return type(self)(where=where, got=self.got, expected=self.expected, mend=self.mend)


class InputError(JiggenError):
    """A file or a command says something that cannot be read or is not known."""


class ConflictError(JiggenError):
    """Two or more numbers that cannot all be true."""


class LimitError(JiggenError):
    """The wish is clear, but geometry, material or machine cannot make it."""


class SeveralErrors(JiggenError):  # noqa: N818 - it is errors, in the plural
    """All that is wrong with one input, reported together.

    Args:
        errors: One or more errors, in the order in which they were found.
    """

    def __init__(self, errors: Sequence[JiggenError]) -> None:
        self.errors = tuple(errors)
        first = self.errors[0]
        super().__init__(where=first.where, got=first.got, expected=first.expected, mend=first.mend)

    def __str__(self) -> str:
        return "\n".join(str(error) for error in self.errors)

    def __reduce__(self) -> tuple[Any, ...]:
        return SeveralErrors, (self.errors,)

    def at(self, where: str) -> "SeveralErrors":
        """Returns the same errors with the place set in each."""
        return SeveralErrors([error.at(where) for error in self.errors])


def raise_all(errors: Sequence[JiggenError]) -> None:
    """Raises what was collected: nothing for none, the error itself for one, all of them for more.

    Raises:
        JiggenError: If `errors` is not empty.
    """
    if len(errors) == 1:
        raise errors[0]
    if errors:
        raise SeveralErrors(errors)


def quoted(text: str) -> str:
    """Returns the maker's words in quotes, for `got`: on one line, odd characters spelt out, at most 40 of them."""
    most = 40
    shown = "".join(
        each if each.isprintable() else each.encode("unicode_escape").decode("ascii") for each in text[:most]
    )
    mark = "'" if '"' in shown and "'" not in shown else '"'
    rest = f"…{mark} ({len(text)} characters)" if len(text) > most else mark
    return f"{mark}{shown}{rest}"


def named(names: Sequence[str]) -> str:
    """Returns names in a row: the first six, and how many more there are."""
    most = 6
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Returns `Did you mean …?` with the nearest of the known words, for `mend`; empty when none is near."""
    import difflib

    near = difflib.get_close_matches(word[:40], list(known), n=1)
    return f"Did you mean {near[0]}?" if near else ""
