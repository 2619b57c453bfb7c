"""The keys of the table in `mould.py`, one row each."""

from jiggen.design.given import given
from jiggen.tables.kinds import count, length
from jiggen.tables.rows import Kind, Row


def _row(name: str, kind: Kind, about: str) -> Row:
    """A key that few designs need, its field named after it."""
    return Row(
        key=f"mould.{name}", field=f"mould.{name.replace('-', '_')}", kind=given(kind), about=about, rare=True
    )


MOULD_ROWS = (
    _row(
        "depth",
        length(example='"90mm"'),
        "of the stack; where the sides are least deep when left out",
    ),
    _row(
        "layers",
        count(1, 60, example="3"),
        "how many layers, with spacers between; as many as fill the depth when left out",
    ),
    _row("wall", length(example='"60mm"'), "how wide the outside mould is, from the sides outward"),
    _row(
        "clearance",
        length("non-negative", example='"0.5mm"'),
        "by which the outside mould is larger than the body all round",
    ),
    _row(
        "inset",
        length("non-negative", example='"2mm"'),
        "by which the inside form is smaller than the body all round; the sides' thickness when left out",
    ),
    _row("bolt", length(example='"8mm"'), "diameter of the bolts through all layers"),
    _row("bolt-clearance", length("non-negative", example='"1mm"'), "added to it for their holes"),
    _row("bolt-spacing", length(example='"150mm"'), "from bolt to bolt at most, along the wall"),
    _row("dowel", length(example='"8mm"'), "diameter of the dowels that line the layers up"),
    _row("web", length(example='"10mm"'), "between a hole and an edge or another hole, at least"),
)
