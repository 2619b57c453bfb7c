"""DXF: R2000, millimetres, one layer per operation, nothing but LINE, ARC, CIRCLE and LWPOLYLINE."""

import io
import math
import struct
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from jiggen.errors import LimitError
from jiggen.export.tags import tag_fields
from jiggen.export.writer import is_written_straight, number, snapped
from jiggen.geometry.measure import to_bulges
from jiggen.geometry.path import Arc, Line, Path, as_circle
from jiggen.geometry.point import Point
from jiggen.parts.model import Role
from jiggen.sheets.model import Mark, Sheet

if TYPE_CHECKING:  # the library takes a third of a second to import, so it is only for those who write DXF
    from ezdxf.document import Drawing
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.entities.xdata import XData
    from ezdxf.layouts.layout import Modelspace

VERSION = "R2000"
APPLICATION = "JIGGEN"
#: Header codes (DXF reference, HEADER section): millimetres, metric.
INSUNITS_MM, MEASUREMENT_METRIC = 4, 1
#: Longest string in XDATA, bytes (DXF reference, extended data); the library's own metadata takes one fewer.
LONGEST_STRING = 255
#: Decimals of what is no coordinate, so that an arc across a sheet still ends within the last one written.
FINE_DECIMALS = 10


@dataclass(frozen=True, slots=True)
class DxfWriter:
    """Writes a sheet as DXF R2000: model space, sheet coordinates, y up."""

    @property
    def suffix(self) -> str:
        """The word for the format."""
        return "dxf"

    def encode(self, sheet: Sheet) -> bytes:
        r"""Returns the file: ANSI code page 1252 with `\U+xxxx` for what lies beyond, line feeds.

        The library's switch for fixed dates and identifiers is on meanwhile and put back, so one process should
        not write two DXF files at the same moment.

        Raises:
            LimitError: If a tag holds more than the format can.
        """
        from ezdxf.filemanagement import new

        with _fixed_dates_and_identifiers():
            doc = new(VERSION)
            _set_up(doc, sheet)
            space = doc.modelspace()
            for operation in sheet.machine.operations:
                looks = {"layer": operation.name}  # and no colour, which means the layer's
                for mark in sheet.marks(operation.name):
                    meaning = _meaning(doc, sheet, mark)
                    for path in mark.paths:
                        _add(space, path, looks).xdata = meaning
            stream = io.StringIO()
            doc.write(stream)
            return doc.encode(stream.getvalue())


@contextmanager
def _fixed_dates_and_identifiers() -> Iterator[None]:
    from ezdxf import options  # type: ignore[attr-defined] # its documented place, though not re-exported

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _set_up(doc: "Drawing", sheet: Sheet) -> None:
    width, height = snapped(sheet.width_mm), snapped(sheet.height_mm)
    doc.header["$INSUNITS"] = INSUNITS_MM
    doc.header["$MEASUREMENT"] = MEASUREMENT_METRIC
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (0.0, 0.0, 0.0), (width, height, 0.0)
    space = doc.modelspace()
    space.reset_extents(
        (0.0, 0.0, 0.0), (width, height, 0.0)
    )  # alone it is lost: the library skips an origin
    space.reset_limits((0.0, 0.0), (width, height))
    aspect = width / height
    doc.set_modelspace_vport(height * 1.05, (width / 2.0, height / 2.0), dxfattribs={"aspect_ratio": aspect})
    doc.appids.add(APPLICATION)
    for operation in sheet.machine.operations:
        doc.layers.add(operation.name, color=operation.aci, linetype="CONTINUOUS")
    metadata = doc.ezdxf_metadata()
    metadata["JIGGEN.sheet"] = str(sheet.number)
    for placement in sheet.placements:
        name = placement.cut_part.part.name
        where = f"sheet {sheet.number}, part {name}, tag"
        line = _checked(doc, placement.cut_part.tag.line(), LONGEST_STRING - 1, where)
        metadata[f"JIGGEN.tag.{name}"] = line


def _meaning(doc: "Drawing", sheet: Sheet, mark: Mark) -> "XData":
    """Returns the extended data of all entities of one mark, which may share it."""
    from ezdxf.entities.xdata import XData

    words = [f"part={mark.part}", f"feature={mark.feature.id}"]
    if mark.feature.role is Role.EDGE:
        tag = next(each.cut_part.tag for each in sheet.placements if each.cut_part.part.name == mark.part)
        for name, value in tag_fields(tag).items():
            word = f"tag.{name}={value if isinstance(value, str) else number(value, FINE_DECIMALS)}"
            where = f"sheet {sheet.number}, part {mark.part}, tag, {name}"
            words.append(_checked(doc, word, LONGEST_STRING, where))
    meaning = XData()
    meaning.add(APPLICATION, [(1000, word) for word in words])
    return meaning


def _checked(doc: "Drawing", text: str, longest: int, where: str) -> str:
    """Returns a text ready for the file.

    The library spells out what the code page lacks, but with eight digits where the format has four: characters
    beyond the first 65536 go as the two halves by which UTF-16 knows them.
    """
    spelt = "".join(each if ord(each) <= 0xFFFF else _halves(each) for each in text)
    size = len(doc.encode(spelt))
    if size > longest:
        raise LimitError(
            where=where,
            got=f"{size} bytes",
            expected=f"at most {longest}, the longest text that DXF can carry",
            mend="Shorten the name",
        )
    return spelt


def _halves(character: str) -> str:
    first, second = struct.unpack(">HH", character.encode("utf-16-be"))
    return f"\\U+{first:04x}\\U+{second:04x}"


def _add(space: "Modelspace", path: Path, looks: Mapping[str, str]) -> "DXFGraphic":
    circle = as_circle(path)
    if circle:
        centre, radius = circle
        return space.add_circle(_snapped(centre), snapped(radius), dxfattribs=looks)
    match path.segments:
        case (Line() as line,):
            return space.add_line(_snapped(line.start), _snapped(line.end), dxfattribs=looks)
        case (Arc() as arc,) if is_written_straight(arc):
            return space.add_line(_snapped(arc.start), _snapped(arc.end), dxfattribs=looks)
        case (Arc() as arc,):
            return _add_arc(space, arc, looks)
        case _:
            return _add_polyline(space, path, looks)


def _add_arc(space: "Modelspace", arc: Arc, looks: Mapping[str, str]) -> "DXFGraphic":
    """Adds an arc, which in DXF always turns counter-clockwise."""
    centre = arc.centre
    first, last = (arc.start, arc.end) if arc.bulge > 0.0 else (arc.end, arc.start)
    return space.add_arc(
        (snapped(centre.x, FINE_DECIMALS), snapped(centre.y, FINE_DECIMALS)),
        snapped(arc.radius, FINE_DECIMALS),
        _degrees(first - centre),
        _degrees(last - centre),
        dxfattribs=looks,
    )


def _degrees(direction: Point) -> float:
    return snapped(math.degrees(direction.angle()) % 360.0, FINE_DECIMALS) % 360.0


def _add_polyline(space: "Modelspace", path: Path, looks: Mapping[str, str]) -> "DXFGraphic":
    """Adds vertices of x, y, start width, end width and bulge; the closing vertex is left to the closed flag."""
    vertices = [
        (snapped(x), snapped(y), 0.0, 0.0, snapped(bulge, FINE_DECIMALS)) for x, y, bulge in to_bulges(path)
    ]
    polyline = space.add_lwpolyline((), close=path.closed, dxfattribs=looks)
    polyline.lwpoints.set(vertices)  # all at once: a fifth of the time of one by one
    return polyline


def _snapped(point: Point) -> tuple[float, float]:
    return snapped(point.x), snapped(point.y)
