"""What other software makes of an SVG, read by us and by a general SVG library.

Source: svgelements, https://pypi.org/project/svgelements: shapes, transforms, curves, arcs; W3C SVG 2.
"""

import io
import math

import numpy as np
import pytest
import shapely
from support.necks import seeded
from svgelements import SVG, Shape
from svgelements import Path as OtherPath

from jiggen.proof.curves import geometry
from jiggen.proof.read_svg import read_svg
from jiggen.proof.report import Fault

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">'
MICRON = 0.001  # mm

SHAPES = [
    '<line x1="10" y1="10" x2="60" y2="40" {0}/>',
    '<polyline points="10,10 40,15 60,40" {0}/>',
    '<polygon points="10 10 40 15 60 40" {0}/>',
    '<rect x="10" y="20" width="50" height="30" {0}/>',
    '<rect x="10" y="20" width="50" height="30" rx="5" {0}/>',
    '<rect x="10" y="20" width="50" height="30" rx="5" ry="8" {0}/>',
    '<ellipse cx="60" cy="50" rx="30" ry="12" {0}/>',
    '<circle cx="60" cy="50" r="12" {0}/>',
    '<path d="M 10 10 C 20 40 40 -10 60 30 S 90 40 100 20" {0}/>',
    '<path d="m10 10c10 30 30-20 50 20s30 10 40-10z" {0}/>',
    '<path d="M 10 10 Q 30 60 60 10 T 110 20 L 90 60 Z" {0}/>',
    '<path d="M 20 50 A 30 12 25 0 1 80 55 A 30 12 25 1 0 20 50" {0}/>',
    '<path d="M 20 50 a 3 1 0 0 1 60 5 l 10 10" {0}/>',
    '<path d="M 20 50 A 30 30 0 1 1 70 60 L 30 80" {0}/>',
]
TRANSFORMS = [
    "",
    'transform="translate(5 -7)"',
    'transform="translate(5)"',
    'transform="scale(0.5)"',
    'transform="scale(0.5, 0.8)"',
    'transform="rotate(30)"',
    'transform="rotate(30, 50, 40)"',
    'transform="skewX(10)"',
    'transform="skewY(-12)"',
    'transform="matrix(0.8 0.1 -0.2 0.9 4 5)"',
    'transform="matrix(1,0,0,-1,0,100)"',
    'transform="translate(4,3) rotate(12) scale(0.9)"',
]


def ours(text: str) -> shapely.Geometry:
    reading = read_svg(text.encode())
    assert {finding.fault for finding in reading.findings} <= {Fault.UNUSUAL, Fault.WRONG_ID}
    return shapely.union_all([geometry(each.stroke) for each in reading.traced])


def theirs(text: str) -> np.ndarray:
    """Places along what the other library makes of it, y up; its pixel is told to be a millimetre.

    It transforms the places, not the pieces: it gets skewed arcs wrong itself.
    """
    places: list[np.ndarray] = []
    at = np.linspace(0.0, 1.0, 400)
    parsed = SVG.parse(io.StringIO(text.replace('width="200mm" height="100mm" ', "")), reify=False)
    for element in parsed.elements():
        if isinstance(element, Shape):
            matrix = element.transform
            path = OtherPath(element.segments(transformed=False))
            for piece in path:
                if type(piece).__name__ != "Move":
                    moved = [matrix.point_in_matrix_space(point) for point in map(piece.point, at)]
                    places.append(np.array([[point.x, point.y] for point in moved]))
    found = np.concatenate(places)
    return np.column_stack([found[:, 0], 100.0 - found[:, 1]])


@pytest.mark.parametrize("transform", TRANSFORMS, ids=lambda text: text or "none")
@pytest.mark.parametrize("shape", SHAPES, ids=lambda text: text.split(" {")[0][:40])
def test_shapes_and_transforms_come_out_alike(shape: str, transform: str) -> None:
    text = f"{HEAD}<g>{shape.format(transform)}</g></svg>"
    mine = ours(text)
    places = theirs(text)
    far = shapely.distance(mine, shapely.points(places)).max()
    assert far <= MICRON, f"{far} mm off"
    other = shapely.MultiPoint(places)
    corners = shapely.points(shapely.get_coordinates(mine))
    nearest = shapely.STRtree(shapely.get_parts(other)).query_nearest(corners, return_distance=True)[1]
    assert nearest.max() <= 0.7, "some of it is not theirs"  # they are places apart


@pytest.mark.parametrize("seed", range(10))
def test_transforms_of_groups_within_groups_follow_one_another(seed: int) -> None:
    chance = seeded(seed)
    groups = [chance.choice(TRANSFORMS[1:]) for _ in range(3)]
    opened = "".join(f"<g {each}>" for each in groups)
    text = f"{HEAD}{opened}{SHAPES[seed % len(SHAPES)].format('')}{'</g>' * 3}</svg>"
    far = shapely.distance(ours(text), shapely.points(theirs(text))).max()
    assert far <= MICRON


def test_pixels_are_brought_to_millimetres_within_groups_too() -> None:
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="96px" height="96px" viewBox="0 0 96 96">'
        '<g transform="scale(2)"><path id="a" d="M 0 0 L 24 0"/></g></svg>'
    )
    (traced,) = read_svg(text.encode()).traced
    # CSS: 96 px to the inch
    assert math.dist(*traced.stroke.points) == pytest.approx(48.0 * 25.4 / 96.0, abs=1e-9)
