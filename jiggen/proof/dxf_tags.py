"""A DXF file as it is built: lines by twos, a group code and its value.

Source: the published DXF reference, group codes and code pages.
"""

import re
from collections.abc import Iterator

from jiggen.errors import InputError, quoted

_VERSION = re.compile(rb"\$ACADVER\s+1\s+AC(\d{4})")
_UTF8_SINCE = 1021  # AC1021 is R2007: the first that is UTF-8 and not in a code page


class Tags:
    """The pairs of group code and value.

    Args:
        data: Of the file.
        name: Of it, for messages.

    Attributes:
        codes: Of all pairs, in the file's order.
        values: The same, as they stand in the file.

    Raises:
        InputError: If it ends early or is no DXF in text form.
    """

    def __init__(self, data: bytes, name: str) -> None:
        lines = _text(data, name).replace("\r\n", "\n").rstrip().split("\n")
        try:
            self.codes = [int(line) for line in lines[0::2]]
        except ValueError:
            index = next(i for i, line in enumerate(lines[0::2]) if not re.fullmatch(r"\s*-?\d+\s*", line))
            raise InputError(
                where=f"{name} line {2 * index + 1}",
                got=quoted(lines[2 * index].strip()),
                expected="a group code, as each odd line of a DXF file is",
            ) from None
        self.values = lines[1::2]
        if len(lines) % 2 or (self.codes[-1], self.values[-1].strip()) != (0, "EOF"):
            raise InputError(
                where=f"{name} line {len(lines)}",
                got="the end of the file",
                expected="EOF before it: the file is cut short",
                mend="Make it again",
            )

    def entries(self) -> Iterator[tuple[str, int, int]]:
        """Yields what each group code 0 opens: its word, and the range of the pairs that follow."""
        starts = [index for index, code in enumerate(self.codes) if code == 0]
        for start, end in zip(starts, [*starts[1:], len(self.codes)], strict=True):
            yield self.values[start].strip(), start + 1, end


def _text(data: bytes, name: str) -> str:
    version = _VERSION.search(data)
    encoding = "utf-8" if version and int(version[1]) >= _UTF8_SINCE else "cp1252"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        raise InputError(
            where=f"{name} byte {error.start}",
            got=f"{data[error.start]:#04x}",
            expected=f"text of a DXF in {encoding}",
        ) from None
    if "\0" in text or not text.strip():
        raise InputError(
            where=name, got="no text" if text.strip() else "nothing", expected="a DXF in text form"
        )
    return text
