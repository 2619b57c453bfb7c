"""Where each value of a design comes from: its own file, the profile behind it, or what goes without saying."""

from dataclasses import dataclass, replace
from typing import Any

from jiggen.design.fill import fill_design
from jiggen.design.keys import ROWS, value_of
from jiggen.design.model import CHOSEN, Design, Given
from jiggen.design.read import design_of
from jiggen.design.usual import USUAL, with_usual
from jiggen.tables.document import Document
from jiggen.tables.rows import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """A value and where it comes from.

    Attributes:
        key: Its key in a design file.
        value: As a design file writes it.
        source: Its source; empty for words and names, which have none.
        note: What is said of it.
        file: The file that says it; empty for what goes without saying.
        line: The line in the file; 0 without a file.
    """

    key: str
    value: str
    source: str
    note: str
    file: str
    line: int


def origins(own: Document, profile: Document | None = None) -> tuple[Origin, ...]:
    """Returns the values of a design in the order of the keys.

    Args:
        own: The design's file.
        profile: That of the instrument profile which it names, and which fills what it leaves out.

    Raises:
        JiggenError: If anything in a file is wrong.
    """
    design = design_of(own)
    full = with_usual(fill_design(design, design_of(profile)) if profile else design)
    found = (_origin(row, full, own, profile) for row in ROWS if row.field)
    return tuple(each for each in found if each)


def _origin(row: Row, full: Design, own: Document, profile: Document | None) -> Origin | None:
    value: Any = value_of(row, full) or USUAL.get(row.field)
    if not value:
        return None
    documents = [document for document in (own, profile) if document and value_of(row, full)]
    file, line = next(
        ((document.file, entry.line) for document in documents if (entry := document.root.find(row.key))),
        ("", 0),
    )
    source, note = (value.source, value.note) if isinstance(value, Given) else ("", "")
    bare = replace(value, source=CHOSEN, note="") if isinstance(value, Given) else value
    return Origin(key=row.key, value=row.kind.write(bare, ""), source=source, note=note, file=file, line=line)
