"""Basic shapes of SVG as path data.

Source: W3C SVG 2, chapter 10: each shape's equivalent path.
"""

import re
from collections.abc import Mapping

_NUMBER = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*", re.ASCII)


def shape_data(kind: str, attributes: Mapping[str, str]) -> str:
    """Returns the path data of a `line`, `polyline`, `polygon`, `rect` or `ellipse`; `nan` in it for what is no number.

    Args:
        kind: The element's name.
        attributes: Its attributes.
    """

    def number(key: str, default: str = "0") -> float:
        found = _NUMBER.fullmatch(attributes.get(key, default))
        return float(found[1]) if found else float("nan")

    match kind:
        case "line":
            return f"M {number('x1')} {number('y1')} L {number('x2')} {number('y2')}"
        case "polyline" | "polygon":
            points = attributes.get("points", "").strip()
            return f"M {points}{' Z' if kind == 'polygon' else ''}" if points else ""
        case "rect":
            corner_x = number("rx", attributes.get("ry", "0"))
            corner_y = number("ry", attributes.get("rx", "0"))
            size = (number("width"), number("height"))
            return _rectangle((number("x"), number("y")), size, corner_x, corner_y)
        case "ellipse":
            x, y, along, across = number("cx"), number("cy"), number("rx"), number("ry")
            half = f"A {along} {across} 0 0 1"
            return f"M {x + along} {y} {half} {x - along} {y} {half} {x + along} {y} Z"
        case _:
            raise ValueError(f"no shape: {kind}")


def _rectangle(place: tuple[float, float], size: tuple[float, float], rx: float, ry: float) -> str:
    (x, y), (width, height) = place, size
    if rx == 0.0 or ry == 0.0:
        return f"M {x} {y} H {x + width} V {y + height} H {x} Z"
    rx, ry = min(rx, width / 2.0), min(ry, height / 2.0)
    corner = f"A {rx} {ry} 0 0 1"
    return (
        f"M {x + rx} {y} H {x + width - rx} {corner} {x + width} {y + ry} V {y + height - ry}"
        f" {corner} {x + width - rx} {y + height} H {x + rx} {corner} {x} {y + height - ry}"
        f" V {y + ry} {corner} {x + rx} {y} Z"
    )
