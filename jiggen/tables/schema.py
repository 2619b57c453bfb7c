"""JSON Schema from tables of keys, so that editors complete keys and check them, and the two can never differ.

A schema says less than reading does: it does not know that two numbers disagree, or that a length is in no unit.

Source: JSON Schema, draft 2020-12.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from jiggen.tables.rows import Row

DRAFT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]


def rows_schema(rows: Sequence[Row]) -> Schema:
    """Returns the schema of a table with these keys, of which dotted ones make tables within it."""
    root = _table()
    for row in rows:
        *folders, key = row.key.split(".")
        here = root
        for folder in folders:
            here = here["properties"].setdefault(folder, _table())
        here["properties"][key] = {"description": row.about, **row.kind.schema}
        if row.required:
            here.setdefault("required", []).append(key)
    return root


def file_schema(rows: Sequence[Row], *, name: str, title: str) -> Schema:
    """Returns the schema of a file format.

    Args:
        rows: Its keys.
        name: As its files name it: `jiggen-design/1`.
        title: For people.
    """
    urn = f"urn:{name.replace('/', ':').replace('jiggen-', 'jiggen:')}"
    return {"$schema": DRAFT, "$id": urn, "title": title, **rows_schema(rows)}


def _table() -> Schema:
    return {"type": "object", "additionalProperties": False, "properties": {}}


def given_schema(of: Mapping[str, Any]) -> Schema:
    """Returns the schema of a value that may say where it comes from, given that of the value itself."""
    words = {"type": "string", "minLength": 1}
    return {
        "anyOf": [
            dict(of),
            {
                "type": "object",
                "additionalProperties": False,
                "required": ["value"],
                "properties": {
                    "value": dict(of),
                    "source": {
                        "description": "measured, catalogue, chosen, assumed, or in your own words",
                        **words,
                    },
                    "note": {"description": "free words on it", **words},
                },
            },
        ]
    }
