"""View boxes of SVG: read, and fitted into the room that they are shown in.

Source: W3C SVG 2, chapter 8.
"""

import re
from collections.abc import Mapping

from jiggen.errors import InputError, quoted
from jiggen.geometry.affine import Affine

#: Its left and upper side, width and height, in user units.
ViewBox = tuple[float, float, float, float]


def read_view_box(attributes: Mapping[str, str], *, where: str) -> ViewBox | None:
    """Returns the view box of an element; None for one without.

    Args:
        attributes: Of the element.
        where: Its place, for messages.

    Raises:
        InputError: If it is none.
    """
    text = attributes.get("viewBox")
    if text is None:
        return None
    parts = re.split(r"[\s,]+", text.strip())[:5]
    try:
        left, top, width, height = (float(each) for each in parts)
    except ValueError:
        left = top = width = height = 0.0
    if not (0.0 < width < 1e9 and 0.0 < height < 1e9 and abs(left) < 1e9 and abs(top) < 1e9):
        raise InputError(
            where=where, got=f"viewBox {quoted(text)}", expected="four numbers, the last two above zero"
        )
    return left, top, width, height


def fitted(box: ViewBox, width: float, height: float, ratio: str) -> Affine:
    """Returns the map from a view box into a room of a size.

    Args:
        box: The view box.
        width: Of the room.
        height: Of it.
        ratio: The attribute `preserveAspectRatio`, or nothing.

    Source: W3C SVG 2, 8.2 and 8.6: `xMidYMid meet` unless something else is said.
    """
    left, top, wide, high = box
    words = ratio.replace("defer", "").split()
    align = words[0] if words else "xMidYMid"
    across, down = width / wide, height / high
    if align == "none":
        return Affine(across, 0.0, 0.0, down, -left * across, -top * down)
    scale = max(across, down) if "slice" in words else min(across, down)
    shares = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    x = shares.get(align[1:4], 0.5) * (width - wide * scale)
    y = shares.get(align[5:8], 0.5) * (height - high * scale)
    return Affine(scale, 0.0, 0.0, scale, x - left * scale, y - top * scale)
