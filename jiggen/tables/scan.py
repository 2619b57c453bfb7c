"""Finds where each key of a TOML text has its value, which the reader of the standard library does not tell.

The scan is right for valid TOML. On anything else it stops early, and the reader that follows says what is wrong.
Source: TOML 1.0.0.
"""

import re
from contextlib import suppress

from jiggen.errors import InputError

#: The way to a value: keys, and numbers counted from 0 inside arrays.
Steps = tuple[str | int, ...]

DEEPEST = 8  #: our files need three; far deeper ones make a TOML reader crawl or fall over
LONGEST_SCALAR = 100  #: characters of a bare number or date

_BLANK = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\n]|#[^\n]*)*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SCALAR = re.compile(r"[^,\]}#\n]+")
_QUOTED = re.compile(
    r'"""(?:[^"\\]++|\\.|"(?!""))*+"""(?:"{0,2})'
    r"|'''(?:[^']++|'(?!''))*+'''(?:'{0,2})"
    r'|"(?:[^"\\\n]++|\\.)*+"'
    r"|'[^'\n]*+'",
    re.DOTALL,
)


class Scan:
    """The places of all values in one text.

    Attributes:
        spans: From the steps to a value to where it starts and ends in the text, both counted from 0. A table
            that has a header line spans its header.
        doubles: Where keys start that had been given a value before.
    """

    def __init__(self, text: str, *, file: str) -> None:
        """Scans a text whose lines end in a line feed alone.

        Raises:
            InputError: If something nests deeper than `DEEPEST`, or a number is absurdly long.
        """
        self.spans: dict[Steps, tuple[int, int]] = {}
        self.doubles: list[int] = []
        self._text = text
        self._file = file
        self._at = 0
        self._counts: dict[Steps, int] = {}
        with suppress(_NotTomlError):  # the reader that comes next finds the same fault and words it
            self._document()

    def _document(self) -> None:
        """Scans headers and `key = value` lines until the end."""
        header: Steps = ()
        while self._skip(_GAP) < len(self._text):
            start = self._at
            if self._text.startswith("[[", start):
                self._at += 2
                header = self._next_of_array(self._key())
                self._take("]]")
            elif self._text.startswith("[", start):
                self._at += 1
                header = self._inside_arrays(self._key())
                self._take("]")
            else:
                self._pair(header)
                continue
            self.spans[header] = (start, self._at)

    def _pair(self, table: Steps) -> None:
        """Scans `key = value` of a table."""
        start = self._at
        steps = table + self._key()
        self._take("=")
        self._skip(_BLANK)
        if steps in self.spans:
            self.doubles.append(start)
        for length in range(len(table) + 1, len(steps)):  # the tables that a dotted key makes on its way
            self.spans.setdefault(steps[:length], (start, self._at))
        self._value(steps)

    def _value(self, steps: Steps) -> None:
        """Scans a value of any kind."""
        start = self._at
        self._check_depth(len(steps))
        sign = self._text[start : start + 1]
        if sign == "[":
            self._at += 1
            count = 0
            while self._after_gap() != "]":
                self._value((*steps, count))
                count += 1
                if self._after_gap() == ",":
                    self._at += 1
                elif self._after_gap() != "]":
                    raise _NotTomlError
            self._at += 1
        elif sign == "{":
            self._at += 1
            while self._after_gap() != "}":
                self._pair(steps)
                if self._after_gap() == ",":
                    self._at += 1
                elif self._after_gap() != "}":
                    raise _NotTomlError
            self._at += 1
        elif sign in {'"', "'"}:
            self._match(_QUOTED)
        else:
            self._at = start + len(self._match(_SCALAR).rstrip())
            if self._at - start > LONGEST_SCALAR:
                got, expected = f"a value of {self._at - start} characters", f"at most {LONGEST_SCALAR}"
                raise self._refusal(got, expected, "Put quotes round words.")
        self.spans[steps] = (start, self._at)

    def _key(self) -> tuple[str, ...]:
        """Scans a key, dotted or not, and the blanks about it."""
        parts: list[str] = []
        while True:
            self._skip(_BLANK)
            if self._text[self._at : self._at + 1] in {'"', "'"}:
                parts.append(_unquoted(self._match(_QUOTED)))
            else:
                parts.append(self._match(_BARE))
            self._check_depth(len(parts))
            self._skip(_BLANK)
            if not self._text.startswith(".", self._at):
                return tuple(parts)
            self._at += 1

    def _inside_arrays(self, key: tuple[str, ...]) -> Steps:
        """Returns the steps to a table: where an array of tables lies on its way, its latest one."""
        steps: Steps = ()
        for part in key:
            steps = (*steps, part)
            if steps in self._counts:
                steps = (*steps, self._counts[steps] - 1)
        return steps

    def _next_of_array(self, key: tuple[str, ...]) -> Steps:
        """Returns the steps to the next table of an array of tables."""
        array: Steps = (*self._inside_arrays(key[:-1]), key[-1])
        self._counts[array] = self._counts.get(array, 0) + 1
        return (*array, self._counts[array] - 1)

    def _skip(self, pattern: re.Pattern[str]) -> int:
        """Passes what matches, which may be nothing, and returns the place reached."""
        if match := pattern.match(self._text, self._at):
            self._at = match.end()
        return self._at

    def _after_gap(self) -> str:
        """Passes blanks, line ends and comments and returns the next sign, empty at the end."""
        self._skip(_GAP)
        return self._text[self._at : self._at + 1]

    def _match(self, pattern: re.Pattern[str]) -> str:
        """Passes and returns what must match here."""
        match = pattern.match(self._text, self._at)
        if match is None:
            raise _NotTomlError
        self._at = match.end()
        return match[0]

    def _take(self, sign: str) -> None:
        """Passes a sign that must stand here."""
        if not self._text.startswith(sign, self._at):
            raise _NotTomlError
        self._at += len(sign)

    def _check_depth(self, depth: int) -> None:
        """Refuses what nests too deep."""
        if depth > DEEPEST:
            raise self._refusal("keys or arrays inside one another", f"at most {DEEPEST} levels")

    def _refusal(self, got: str, expected: str, mend: str = "") -> InputError:
        """Returns the error for something no file of ours needs."""
        line = self._text.count("\n", 0, self._at) + 1
        return InputError(where=f"{self._file}, line {line}", got=got, expected=expected, mend=mend)


class _NotTomlError(Exception):
    """The text is not TOML here."""


def _unquoted(key: str) -> str:
    """Returns a quoted key as its reader would."""
    if key[0] == "'" or "\\" not in key:
        return key[1:-1]
    import tomllib  # late, like all that takes milliseconds to import

    try:
        value = tomllib.loads(f"key = {key}")["key"]
    except tomllib.TOMLDecodeError as error:
        raise _NotTomlError from error
    return str(value)
