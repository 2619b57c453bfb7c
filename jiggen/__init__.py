"""A few numbers in; right-sized, labelled, laser-ready templates and jigs for fretted instruments out.

from pathlib import Path
import jiggen

design = jiggen.load("wren.toml")
neck = jiggen.work_out(design)                       # numbers, layout, tension, saddle
made = jiggen.make(design, jiggen.Order(), Path("out"))
report = jiggen.prove(made.folder)
"""

import importlib
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from jiggen.errors import ConflictError, InputError, JiggenError, LimitError
    from jiggen.job import Made, make
    from jiggen.layout.worked_neck import Neck
    from jiggen.prepare import Order
    from jiggen.proof.prove import prove
    from jiggen.reckon import load, work_out

__all__ = [
    "ConflictError",
    "InputError",
    "JiggenError",
    "LimitError",
    "Made",
    "Neck",
    "Order",
    "__version__",
    "load",
    "make",
    "prove",
    "work_out",
]

#: Where the public names live; they are imported when first asked for, so that `jiggen --help` stays quick.
_HOMES = {
    "ConflictError": "jiggen.errors",
    "InputError": "jiggen.errors",
    "JiggenError": "jiggen.errors",
    "LimitError": "jiggen.errors",
    "Made": "jiggen.job",
    "Neck": "jiggen.layout.worked_neck",
    "Order": "jiggen.prepare",
    "load": "jiggen.reckon",
    "make": "jiggen.job",
    "prove": "jiggen.proof.prove",
    "work_out": "jiggen.reckon",
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'jiggen' has no attribute {name!r}")
    return getattr(importlib.import_module(_HOMES[name]), name)
