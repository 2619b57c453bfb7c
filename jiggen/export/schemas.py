"""The forms of our files as JSON Schema: made from the rows by which they are read, so that the two cannot differ.

The rows of designs and profiles are imported late: nobody needs them who only writes a job.
"""

import json
from pathlib import Path
from typing import Any

from jiggen.errors import InputError, did_you_mean, quoted

#: The form of the manifest, which others rely on, so that it is written by hand and shipped.
MANIFEST_SCHEMA = Path(__file__).with_name("manifest-1.schema.json")
#: Kinds of files that have a schema.
KINDS = ("design", "material", "machine", "manifest")


def schema_of(kind: str) -> dict[str, Any]:
    """Returns the schema of a kind of file.

    Args:
        kind: One of `KINDS`.

    Raises:
        InputError: If it is none of them.
    """
    from jiggen.design.keys import ROWS, SCHEMA
    from jiggen.shop.machine_rows import MACHINE_ROWS
    from jiggen.shop.material_rows import MATERIAL_ROWS
    from jiggen.tables.schema import file_schema

    match kind:
        case "design":
            return file_schema(ROWS, name=SCHEMA, title="jiggen design file")
        case "material":
            return file_schema(MATERIAL_ROWS, name="jiggen-material/1", title="jiggen material profile")
        case "machine":
            return file_schema(MACHINE_ROWS, name="jiggen-machine/1", title="jiggen machine profile")
        case "manifest":
            shipped: dict[str, Any] = json.loads(MANIFEST_SCHEMA.read_bytes())
            return shipped
        case _:
            raise InputError(
                where="schema",
                got=quoted(kind),
                expected=f"one of {', '.join(KINDS)}",
                mend=did_you_mean(kind, KINDS),
            )
