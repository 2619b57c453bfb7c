"""The only place that asks what day it is."""

import datetime as dt
import os

from jiggen.errors import InputError


def today() -> str:
    """Returns the date, ISO 8601; that of SOURCE_DATE_EPOCH where it is set, for files that come out the same.

    Raises:
        InputError: If SOURCE_DATE_EPOCH is no whole number of seconds.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if not epoch:
        return dt.date.today().isoformat()  # noqa: DTZ011, TID251 - a maker's date is that of the bench's wall
    try:
        return dt.datetime.fromtimestamp(int(epoch), dt.UTC).date().isoformat()
    except (ValueError, OverflowError, OSError):
        raise InputError(
            where="environment variable SOURCE_DATE_EPOCH",
            got=f"{epoch[:40]!r}",
            expected="a whole number of seconds since 1970-01-01 UTC",
            mend="Unset it to use today's date",
        ) from None
