"""What several readers want to know of a sheet is found out once, and kept with it."""

from collections.abc import Callable
from functools import wraps
from typing import TypeVar, cast

from jiggen.sheets.model import Sheet

T = TypeVar("T")


def once(find: Callable[[Sheet], T]) -> Callable[[Sheet], T]:
    """Lets a function of a sheet answer from what it found when it was first asked about it.

    Args:
        find: What comes of it depends on the sheet alone, and nobody changes it.
    """
    name = f"{find.__module__}.{find.__qualname__}"

    @wraps(find)
    def found(sheet: Sheet) -> T:
        if name not in sheet.known:
            sheet.known[name] = find(sheet)
        return cast("T", sheet.known[name])

    return found
