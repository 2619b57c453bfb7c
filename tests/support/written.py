"""Aids as they stand in a written DXF, read by ezdxf: what a stranger would find of each feature."""

from io import StringIO

from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.filemanagement import read
from support.dxf_names import named
from support.specs import neck_of

from jiggen.design.spec import Spec
from jiggen.export.formats import encode_job
from jiggen.export.writer import Job
from jiggen.prepare import Order, draw_up


def written(spec: Spec, aid: str, *, machine: str = "paper") -> dict[str, list[DXFGraphic]]:
    """The entities of each feature of an aid, by part and feature (`nut-rule.outline`), in sheet coordinates.

    Args:
        spec: Of the design.
        aid: Its name.
        machine: The paper machine has no kerf, so that edges stand where they will be.
    """
    neck = neck_of(spec)
    sheet_set = draw_up(neck, Order(parts=(aid,), machine=machine))
    files = encode_job(Job(sheet_set=sheet_set, layout=neck.layout, setup=neck.setup), ("dxf",))
    found: dict[str, list[DXFGraphic]] = {}
    for name, data in files.items():
        if name.endswith(".dxf"):
            for feature, entity in named(read(StringIO(data.decode("cp1252"))).modelspace()):
                found.setdefault(feature, []).append(entity)
    return found
