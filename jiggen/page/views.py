"""What the page can show of a design: neck, working plan, each part, each sheet, and what a beam would cut out."""

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from typing import Any

from jiggen.drawing.model import Page, moved
from jiggen.drawing.neck_view import neck_view
from jiggen.drawing.plan import draw_plan
from jiggen.errors import InputError, quoted
from jiggen.export.numbers import number
from jiggen.export.page_svg import encode_page
from jiggen.export.path_data import path_data
from jiggen.export.svg import NAMESPACE, encode_svg
from jiggen.geometry.box import around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import as_circle
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import shifted
from jiggen.layout.worked_neck import Neck
from jiggen.parts.catalogue import CATALOGUE
from jiggen.parts.model import Feature, Part, Role
from jiggen.prepare import Order, draw_parts, draw_up, fit_out_workshop

#: Left free round a picture.
_BORDER = 4.0
#: From one part to the next below it.
_BETWEEN = 12.0
#: Words for views; the last three are followed by a colon and a name or number.
NECK, PLAN, PART, SHEET, CUT = "neck", "plan", "part", "sheet", "cut"


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A picture.

    Attributes:
        svg: One user unit is a millimetre, y down.
        title: What it shows.
        origin: Where the middle of the nut's front lies in it, mm; None where that has no meaning.
    """

    svg: str
    title: str
    origin: tuple[float, float] | None = None

    def told(self) -> dict[str, Any]:
        """Returns it for the page."""
        return {"svg": self.svg, "title": self.title, "origin": self.origin}


def view_of(neck: Neck, name: str, order: Order) -> View:
    """Returns a view.

    Args:
        neck: Worked out.
        name: `neck`, `plan`, `part:NAME`, `sheet:N` or `cut:N`.
        order: Material, machine and parts.

    Raises:
        JiggenError: If there is no such view, or what it shows cannot be made.
    """
    kind, _, which = name.partition(":")
    match kind:
        case "neck":
            return _neck(neck)
        case "plan":
            page = draw_plan(neck.layout, neck.setup, design_id=neck.id)
            return View(svg=_text(encode_page(page, subject=page.title)), title=page.title)
        case "part":
            return _part(neck, which, order)
        case "sheet" | "cut":
            return _sheet(neck, which, order, cut=kind == CUT)
        case _:
            raise InputError(where="view", got=quoted(name), expected="neck, plan, part:…, sheet:… or cut:…")


def _text(svg: bytes) -> str:
    """Returns an SVG without the line that says it is XML, which is for files."""
    return svg.decode().split("?>\n", 1)[-1]


def _neck(neck: Neck) -> View:
    drawn = neck_view(neck.layout, neck.setup)
    room = drawn.room.grown(_BORDER)
    title = f"{neck.spec.design.name}, the neck from above"
    page = Page(
        title=title, width_mm=room.width, height_mm=room.height, items=tuple(moved(drawn.items, -room.low))
    )
    return View(
        svg=_text(encode_page(page, subject=title)),
        title=title,
        origin=(-room.low.x, room.height + room.low.y),
    )


def parts_to_see(neck: Neck) -> list[dict[str, str]]:
    """Returns the parts of the catalogue: name, title, what they are for, and why the neck cannot have one."""
    told = []
    for entry in CATALOGUE:
        unsuited = entry.unsuited(neck)
        lacking = (
            [] if unsuited else [key for key in entry.needed_keys if key] if entry.lacking(neck.spec) else []
        )
        told.append(
            {
                "name": entry.name,
                "title": entry.title,
                "about": entry.about,
                "standard": "yes" if entry.standard else "",
                "not": unsuited or (f"needs {', '.join(lacking)}" if lacking else ""),
            }
        )
    return told


def _part(neck: Neck, name: str, order: Order) -> View:
    workshop = fit_out_workshop(neck.spec.make, order)
    parts = draw_parts(neck, Order(parts=(name,)), workshop)
    return View(svg=_pictured(parts), title=f"{parts[0].title}, finished size")


#: How each role is drawn: paint, from the back to the front.
_PAINT = {
    Role.EDGE: 'fill="#e8eef0" stroke="#1d2b33" stroke-width="0.35"',
    Role.OPENING: 'fill="#ffffff" stroke="#0b5c7a" stroke-width="0.25"',
    Role.LINE: 'fill="none" stroke="#8a3b12" stroke-width="0.2"',
    Role.LETTERING: 'fill="none" stroke="#1d2b33" stroke-width="0.25" stroke-linecap="round"',
    Role.NOTE: 'fill="none" stroke="#6b7280" stroke-width="0.15"',
}


def _pictured(parts: list[Part]) -> str:
    boxes = [around(bounds(path) for feature in part.features for path in feature.paths) for part in parts]
    width = max(box.width for box in boxes) + 2.0 * _BORDER
    height = sum(box.height for box in boxes) + _BETWEEN * (len(boxes) - 1) + 2.0 * _BORDER
    lines, top = [_root(width, height)], height - _BORDER
    for part, box in zip(parts, boxes, strict=True):
        shift = Point(_BORDER - box.low.x, top - box.high.y)
        for role, paint in _PAINT.items():
            lines.append(f"<g {paint}>")
            lines += [
                _element(part, feature, shift, height) for feature in part.features if feature.role is role
            ]
            lines.append("</g>")
        top -= box.height + _BETWEEN
    return "\n".join([*lines, "</svg>"])


def _root(width: float, height: float) -> str:
    size = f'width="{number(width)}mm" height="{number(height)}mm" viewBox="0 0 {number(width)} {number(height)}"'
    return f'<svg xmlns="{NAMESPACE}" version="1.1" {size}>'


def _element(part: Part, feature: Feature, shift: Point, height: float) -> str:
    names = f'id="{escape(part.name)}.{escape(feature.id)}" data-feature="{escape(feature.id)}"'
    circle = as_circle(feature.paths[0]) if len(feature.paths) == 1 else None
    if circle:
        centre, radius = circle[0] + shift, circle[1]
        return (
            f'<circle {names} cx="{number(centre.x)}" cy="{number(height - centre.y)}" r="{number(radius)}"/>'
        )
    return (
        f'<path {names} d="{path_data(map(shifted(shift.x, shift.y).path, feature.paths), flip_at=height)}"/>'
    )


def _sheet(neck: Neck, which: str, order: Order, *, cut: bool) -> View:
    sheet_set = draw_up(neck, order)
    sheet = next((each for each in sheet_set.sheets if str(each.number) == which), None)
    if sheet is None:
        raise InputError(
            where="view",
            got=f"sheet {quoted(which)}",
            expected=f"a sheet from 1 to {len(sheet_set.sheets)}",
        )
    if not cut:
        return View(
            svg=_text(encode_svg(sheet)), title=f"Sheet {sheet.number} as it is written for the machine"
        )
    from jiggen.export.manifest import encode_manifest
    from jiggen.proof.fall import fallen_of

    manifest = encode_manifest(sheet_set, {})
    fallen = fallen_of(manifest, sheet.number, encode_svg(sheet))
    return View(
        svg="\n".join(_plates(fallen)), title=f"What falls out of sheet {sheet.number}, cut virtually"
    )


def _plates(fallen: Any) -> Iterator[str]:
    boxes = [(part, plate.bounds) for part in fallen for plate in part.plates]
    width = max((box[2] - box[0] for _, box in boxes), default=1.0) + 2.0 * _BORDER
    height = sum(box[3] - box[1] + _BETWEEN for _, box in boxes) + 2.0 * _BORDER
    yield _root(width, height)
    yield '<g fill="#e8eef0" stroke="#1d2b33" stroke-width="0.2" fill-rule="evenodd">'
    top = _BORDER
    for part in fallen:
        for index, plate in enumerate(part.plates):
            left, low, _, high = plate.bounds
            data = " ".join(
                "M "
                + " L ".join(f"{number(x - left + _BORDER)} {number(high - y + top)}" for x, y in ring[:-1])
                + " Z"
                for ring in (plate.exterior.coords, *(hole.coords for hole in plate.interiors))
            )
            yield f'<path id="{escape(part.part)}.{index + 1}" data-feature="{escape(part.part)}" d="{data}"/>'
            top += high - low + _BETWEEN
    yield "</g>"
    yield "</svg>"
