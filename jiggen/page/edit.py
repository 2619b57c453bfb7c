"""Changes one value in the text of a design file, and leaves all else as it was: order, blanks and comments."""

import datetime as dt
import re
from typing import Any

from jiggen.errors import InputError, quoted
from jiggen.page.fields import FIELDS, Field, Sort

_FIELDS = {field.row.key: field for field in FIELDS}
_DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"


def changed(text: str, key: str, typed: str, source: str = "") -> str:
    """Returns the text with a value as it was typed, be it right or wrong: whoever reads the text tells.

    Args:
        text: Valid TOML.
        key: Of a design file.
        typed: As typed into the field; empty takes the key out.
        source: Where the value comes from; empty: nothing is said of it.

    Raises:
        InputError: If there is no such key, or the text cannot be changed there.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    field = _FIELDS.get(key)
    if field is None:
        raise InputError(where="key", got=quoted(key), expected="a key of a design file")
    try:
        document = tomlkit.parse(text)
        *folders, name = key.split(".")
        table: Any = document
        for folder in folders:
            if folder not in table:
                if not typed.strip():
                    return text
                table[folder] = tomlkit.table()
            table = table[folder]
        if not typed.strip():
            if name in table:
                del table[name]
        else:
            value = _value(field, typed.strip())
            if source.strip():
                inline = tomlkit.inline_table()
                inline.update({"value": value, "source": source.strip()})
                value = inline
            table[name] = value
        return tomlkit.dumps(document)
    except (TOMLKitError, TypeError, AttributeError) as error:
        raise InputError(
            where=key,
            got="a file in which this key cannot be set",
            expected="the usual form of a design file",
            mend=f"Change it in the text of the file: {error}",
        ) from error


def _value(field: Field, typed: str) -> Any:
    """Returns what is typed as TOML has it: by its sort where that can be read, as words otherwise."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    match field.sort:
        case Sort.LENGTH | Sort.CHOICE:
            return _words(typed)
        case Sort.WORDS:
            return dt.date.fromisoformat(typed) if _is_day(typed) else _words(typed)
        case Sort.LIST if not typed.startswith("["):
            return _listed(typed)
        case _:
            try:
                return tomlkit.value(typed)
            except (TOMLKitError, ValueError):
                return _words(typed)


def _is_day(typed: str) -> bool:
    try:
        return bool(re.fullmatch(_DAY, typed)) and dt.date.fromisoformat(typed) is not None
    except ValueError:
        return False


def _listed(typed: str) -> Any:
    """Returns a list from what stands between commas: numbers as they are, all else as words."""
    import tomlkit

    items = [each.strip() for each in typed.split(",") if each.strip()]
    plain = [int(each) if re.fullmatch(r"[-+]?[0-9]{1,9}", each) else each.strip("\"'") for each in items]
    array = tomlkit.array()
    for each in plain:
        array.append(each if isinstance(each, int) else _words(each))
    return array


def _words(text: str) -> Any:
    """Returns words as TOML, in single quotes where that spares an inch mark its backslash."""
    import tomlkit

    return tomlkit.string(text, literal='"' in text and "'" not in text and text.isprintable())
