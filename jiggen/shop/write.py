"""Writes a material as the text of its profile. Reading the text gives the material back."""

from collections.abc import Iterator
from typing import Any

from jiggen.design.model import Given
from jiggen.shop.kerf import Kerf
from jiggen.shop.machine import Process
from jiggen.shop.material import Material
from jiggen.shop.material_rows import KERF_ROWS, MATERIAL_ROWS, MATERIAL_SCHEMA, KerfTable
from jiggen.tables.kinds import toml_string
from jiggen.tables.rows import Row

_LONGEST_LINE = 110


def material_text(material: Material, *, heading: str) -> str:
    """Returns a material as a profile.

    Args:
        material: Its name is that of the file and not written.
        heading: What the file is, one line or more, written as a comment on top.
    """
    values = _values(material)
    lines = [*(f"# {line}" for line in heading.splitlines()), "", f"schema = {toml_string(MATERIAL_SCHEMA)}"]
    table = ""
    for row in MATERIAL_ROWS:
        if not row.field or row.field == "kerfs" or (row.rare and values[row.field] in {None, ()}):
            continue
        above, _, key = row.key.rpartition(".")
        if above != table:
            lines += ["", f"[{above}]"]
            table = above
        lines += _lines(row, key, values[row.field])
    for kerf in material.kerfs:
        lines += ["", "[[kerf]]", *_kerf_lines(kerf)]
    return "\n".join(lines) + "\n"


def _values(material: Material) -> dict[str, Any]:
    """Returns what a material has for each row."""
    tolerance = material.tolerance
    reasons = {refusal.process: refusal.reason for refusal in material.refusals}
    return {
        "title": material.title,
        "thickness": Given(material.thickness_mm, material.thickness_source),
        "transparent": material.transparent,
        "gap_mm": material.gap_mm,
        "cautions": material.cautions,
        "laser_cautions": material.laser_cautions,
        "router_cautions": material.router_cautions,
        "over": tolerance.over_mm if tolerance else None,
        "under": tolerance.under_mm if tolerance else None,
        "standard": tolerance.standard if tolerance else None,
        "expansion": material.expansion,
        "moisture_along": material.moisture_along,
        "moisture_across": material.moisture_across,
        "price_per_m2": material.price_per_m2,
        "refused_laser": reasons.get(Process.LASER),
        "refused_router": reasons.get(Process.ROUTER),
    }


def _lines(row: Row, key: str, value: Any) -> Iterator[str]:
    """Yields the line of one key with its meaning behind it, or above it where there is no room."""
    line = f"{key} = {row.kind.write(value, '')}"
    if isinstance(value, tuple) and value:
        yield f"{key} = ["
        yield from (f"  {toml_string(each)}," for each in value)
        yield "]"
    elif len(line) + len(row.about) + 4 > _LONGEST_LINE:
        yield f"# {row.about}"
        yield line
    else:
        yield f"{line}  # {row.about}"


def _kerf_lines(kerf: Kerf) -> Iterator[str]:
    said = KerfTable(
        machine=kerf.machine,
        setting=kerf.setting,
        width=None if kerf.tapers else kerf.marked,
        marked=kerf.marked if kerf.tapers else None,
        plain=kerf.plain if kerf.tapers else None,
    )
    for row in KERF_ROWS:
        value = getattr(said, row.field)
        if value:
            yield from _lines(row, row.key, value)
