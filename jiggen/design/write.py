"""Writes a design as a commented file, ready to edit."""

from dataclasses import replace

from jiggen.design.keys import ROWS, SCHEMA, value_of
from jiggen.design.model import CHOSEN, Design, Given
from jiggen.tables.kinds import toml_string
from jiggen.tables.rows import Row

_HEAD = """\
# A jiggen design. Lengths carry their unit: "628mm", "25.5in", '25 1/2"', "1-11/16in".
# A line that starts with # is not read. To set a number that is only assumed, take its # away and change the value.
# A number may say where it comes from: { value = "46mm", source = "measured" }.
"""

_COMMENT_COLUMN = 36


def design_text(design: Design, defaults: Design | None = None) -> str:
    """Returns a design as the text of a design file.

    What the maker said is written as it was typed. What was left out stands in its place as a commented-out line,
    with the value that is assumed or, where none is, an example. Reading the text gives the design back.

    Args:
        design: The design.
        defaults: The instrument profile that fills what is left out.
    """
    lines = [_HEAD, f"schema = {toml_string(SCHEMA)}"]
    table = ""
    for row in ROWS:
        if not row.field or (row.rare and not value_of(row, design)):
            continue
        above, _, key = row.key.rpartition(".")
        if above != table:
            lines += ["", f"[{above}]"]
            table = above
        lines.append(_line(row, key, design, defaults))
    return "\n".join(lines) + "\n"


def _line(row: Row, key: str, design: Design, defaults: Design | None) -> str:
    """Returns the line of one key."""
    if own := value_of(row, design):
        return _commented(f"{key} = {row.kind.write(own, '')}", row.about)
    of_numbers = "." in row.key  # a profile's own name and date say nothing about the maker's design
    other = value_of(row, defaults) if defaults and of_numbers else None
    if not other:
        return _commented(f"# {key} = {row.example or row.kind.example}", f"{row.about}, for example")
    if isinstance(other, Given):
        other = replace(other, source=CHOSEN, note="")
    return _commented(f"# {key} = {row.kind.write(other, '')}", f"{row.about}; assumed")


def _commented(line: str, comment: str) -> str:
    """Returns a line with a comment after it."""
    return f"{line:{_COMMENT_COLUMN}}  # {comment}"
