"""One line of comma-separated values."""

import csv

from jiggen.errors import InputError, quoted


def cells_of(line: str, *, where: str, longest: int, mend: str = "") -> list[str]:
    """Returns the cells of a line, without the blanks about them.

    Args:
        line: Without its end.
        where: Its place, for errors.
        longest: The most characters that it may have.
        mend: What to do about a line that cannot be read.

    Raises:
        InputError: If it is longer, or a double quote in it is not closed.
    """
    if len(line) > longest:
        raise InputError(where=where, got=f"a line of {len(line)} characters", expected=f"at most {longest}")
    try:
        (cells,) = csv.reader([line], strict=True, skipinitialspace=True)
    except csv.Error as error:
        raise InputError(
            where=where, got=quoted(line.strip()), expected="comma-separated values", mend=mend
        ) from error
    return [cell.strip() for cell in cells]
