"""The DXF colour index of each operation against the palette that ezdxf carries.

Source: the 255 colours of the colour index as published with the DXF reference, taken from ezdxf.colors (MIT).
"""

import pytest
from ezdxf.colors import aci2rgb

from jiggen.profiles import find, names
from jiggen.shop.machine import Operation
from jiggen.shop.read import machine_from_profile

OPERATIONS = [
    operation
    for name in names("machines")
    for operation in machine_from_profile(find("machines", name)).operations
]


def distance(operation: Operation, index: int) -> int:
    wanted = bytes.fromhex(operation.colour.removeprefix("#"))
    return sum((a - b) ** 2 for a, b in zip(wanted, aci2rgb(index), strict=True))


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_no_other_index_is_nearer(operation: Operation) -> None:
    nearest = min(range(1, 256), key=lambda index: distance(operation, index))
    assert distance(operation, operation.aci) == distance(operation, nearest)
