"""The DXF reader of the proof against ezdxf, a general DXF library that writes and reads."""

import io
import random

import pytest
import shapely
from ezdxf.document import Drawing
from ezdxf.entities import Arc, Circle, DXFGraphic, Line, LWPolyline, Polyline
from ezdxf.filemanagement import new

from jiggen.proof.curves import CHORD_ERROR_MM, geometry
from jiggen.proof.read_dxf import read_dxf

SAGITTA = 0.0005  # mm, of ezdxf's own chords


def drawing(version: str) -> Drawing:
    """Fifteen entities of each kind at seeded places, each with its number for a name."""
    document = new(version, units=4)
    document.appids.add("JIGGEN")
    model = document.modelspace()
    rng = random.Random(20260301)  # noqa: S311 - places to draw at, no secret

    def place() -> tuple[float, float]:
        return rng.uniform(-300.0, 300.0), rng.uniform(-300.0, 300.0)

    for number in range(15):
        bulged = [(*place(), rng.choice([0.0, rng.uniform(-1.5, 1.5)])) for _ in range(rng.randint(2, 6))]
        closed = rng.random() < 0.5
        drawn = [
            model.add_line(place(), place()),
            model.add_circle(place(), rng.uniform(0.1, 90.0)),
            model.add_arc(place(), rng.uniform(0.1, 90.0), rng.uniform(0, 360), rng.uniform(0, 360)),
            model.add_polyline2d(bulged, format="xyb", close=closed),
        ]
        if version != "R12":
            drawn.append(model.add_lwpolyline(bulged, format="xyb", close=closed))
        for index, entity in enumerate(drawn):
            entity.dxf.layer = "score"
            entity.set_xdata("JIGGEN", [(1000, "part=plate"), (1000, f"feature=thing.{number}.{index}")])
    return document


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_what_ezdxf_writes_is_read_as_ezdxf_itself_sees_it(version: str) -> None:
    document = drawing(version)
    text = io.StringIO()
    document.write(text)
    reading = read_dxf(text.getvalue().encode(document.output_encoding))
    assert {finding.fault for finding in reading.findings} <= ({"no-units"} if version == "R12" else set())
    entities = list(document.modelspace())
    assert len(reading.traced) == len(entities)
    for traced, entity in zip(reading.traced, entities, strict=True):
        names = dict(value.split("=", 1) for code, value in entity.get_xdata("JIGGEN") if code == 1000)
        assert (traced.part, traced.feature, traced.operation) == (names["part"], names["feature"], "score")
        theirs = shapely.MultiLineString([chords(piece) for piece in pieces(entity)])
        ours = geometry(traced.stroke)
        assert shapely.hausdorff_distance(ours, theirs) <= SAGITTA + CHORD_ERROR_MM
        assert ours.length == pytest.approx(theirs.length, rel=1e-3)


def pieces(entity: DXFGraphic) -> list[DXFGraphic]:
    """What ezdxf itself takes a polyline apart into; the entity itself when it is none."""
    return list(entity.virtual_entities()) if isinstance(entity, (LWPolyline, Polyline)) else [entity]


def chords(entity: DXFGraphic) -> list[tuple[float, float]]:
    match entity:
        case Arc() | Circle():
            return [(place.x, place.y) for place in entity.flattening(SAGITTA)]
        case Line():
            return [(place.x, place.y) for place in (entity.dxf.start, entity.dxf.end)]
        case _:
            raise TypeError(entity)
