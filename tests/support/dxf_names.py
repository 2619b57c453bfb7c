"""Whose each entity of a written DXF is, as a stranger reads it with ezdxf from the extended data alone."""

from collections.abc import Iterable, Iterator
from typing import TypeVar

from ezdxf.entities.dxfentity import DXFEntity

_Entity = TypeVar("_Entity", bound=DXFEntity)


def named(entities: Iterable[_Entity]) -> Iterator[tuple[str, _Entity]]:
    """Yields each entity behind the name that it carries, or that one before it says is its own too.

    The whole number in a name's extended data, where there is one, is how many entities it stands for.
    """
    name, left = "", 0
    for entity in entities:
        if entity.has_xdata("JIGGEN"):
            tags = entity.get_xdata("JIGGEN")
            name = tags[0].value
            left = next((tag.value for tag in tags if tag.code == 1071), 1)
        yield (name if left > 0 else ""), entity
        left -= 1
