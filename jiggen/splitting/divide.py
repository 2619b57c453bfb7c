"""Divides a part at its joints: outlines, features, marks. Millimetres; every piece keeps the whole part's coordinates.

Features keep their ids. Whatever lies on one piece goes with it; a line that crosses a joint is divided, and each piece
has its stretch under the same id.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from jiggen.geometry.clip import clipped
from jiggen.geometry.measure import flatten, length
from jiggen.geometry.path import Line, Path
from jiggen.geometry.point import Point
from jiggen.parts.marks import label
from jiggen.parts.model import Feature, Part, Role, Seam
from jiggen.splitting.joint import Joint, mark_height
from jiggen.splitting.obstacles import is_free, row_of
from jiggen.splitting.outline import divided

#: A stretch of a divided line that is shorter than this, mm, is left out: it would be a dot beside the joint.
_DOT = 0.3
_CHORDS = 0.05
#: From words to a joint with its keys and marks, mm.
_FROM_WORDS = 3.0


@dataclass(frozen=True, slots=True)
class Pieces:
    """A part, divided.

    Attributes:
        features: Of each piece, its outline first, marks last.
        homeless: Lettering that a joint goes through: rows in order, each with the piece that most of it lay on.
    """

    features: tuple[tuple[Feature, ...], ...]
    homeless: tuple[tuple[int, tuple[Feature, ...]], ...]


def divide(part: Part, joints: Sequence[Joint], *, letters_mm: float) -> Pieces:
    """Returns the pieces of a part.

    Args:
        part: The whole.
        joints: From the part's low x to its high one, with their marks.
        letters_mm: Least legible height of capitals.
    """
    outlines = _outlines(part, joints)
    homes: list[list[Feature]] = [[] for _ in outlines]
    rows: dict[str, list[Feature]] = {}
    for feature in part.features:
        if feature.role is Role.EDGE:
            for home, outline in zip(homes, outlines, strict=True):
                home.append(replace(feature, paths=(outline,)))
        elif feature.role in {Role.LINE, Role.NOTE}:
            for number, stretch in _stretches(feature, outlines, joints):
                homes[number].append(stretch)
        elif is_free(feature):
            rows.setdefault(row_of(feature.id), []).append(feature)
        else:
            homes[_place(feature, joints)[0]].append(feature)
    homeless: list[tuple[int, tuple[Feature, ...]]] = []
    for cells in rows.values():
        places = {number for cell in cells for number in _place(cell, joints)}
        if len(places) == 1 and not any(_touches(cell, joint) for cell in cells for joint in joints):
            homes[places.pop()] += cells
        else:
            homeless.append((_place(cells[0], joints)[0], tuple(cells)))
    for index, joint in enumerate(joints):
        for side, at in zip((index, index + 1), joint.mark_at, strict=True):
            mark = f"joint.{joint.mark.lower()}"
            homes[side].append(label(mark, joint.mark, joint.frame.back(at), height=mark_height(letters_mm)))
    return Pieces(tuple(map(tuple, homes)), tuple(homeless))


def _outlines(part: Part, joints: Sequence[Joint]) -> list[Path]:
    rest, found = part.outline, []
    for joint in joints:
        piece, rest = divided(rest, joint)
        found.append(piece)
    return [*found, rest]


def _place(feature: Feature, joints: Sequence[Joint]) -> list[int]:
    """Returns the pieces that a feature reaches over, from the first to the last."""
    reach = [_piece_at(place, joints) for path in feature.paths for place in flatten(path, _CHORDS)]
    return list(range(min(reach), max(reach) + 1))


def _touches(words: Feature, joint: Joint) -> bool:
    """Tells whether words come too near a joint, its keys or its marks."""
    low, high = joint.reach
    us = [joint.frame.turned(place).x for path in words.paths for place in flatten(path, _CHORDS)]
    return min(us) < high + _FROM_WORDS and max(us) > low - _FROM_WORDS


def _piece_at(place: Point, joints: Sequence[Joint]) -> int:
    return sum(joint.frame.turned(place).x > joint.u for joint in joints)


def _stretches(
    feature: Feature, outlines: Sequence[Path], joints: Sequence[Joint]
) -> Iterator[tuple[int, Feature]]:
    """Yields what of a line lies on each piece."""
    found: dict[int, list[Path]] = {}
    for path in feature.paths:
        near, number = _near(path, joints)
        if not near:
            found.setdefault(number, []).append(path)
            continue
        for index, outline in enumerate(outlines):
            runs = [run for run in clipped(path, outline) if length(run) >= _DOT]
            if runs:
                found.setdefault(index, []).extend(runs)
    for number, paths in found.items():
        whole = len(found) == 1 and len(paths) == len(feature.paths)
        datum = feature.datum if whole else _stretch_of(feature, paths)
        yield number, replace(feature, paths=tuple(paths), datum=datum)


def _near(path: Path, joints: Sequence[Joint]) -> tuple[bool, int]:
    """Tells whether a path reaches a joint or its keys, and on which piece it lies if it does not."""
    for joint in joints:
        reach = joint.depth + joint.clearance
        us = [joint.frame.turned(place).x for place in flatten(path, _CHORDS)]
        if min(us) < joint.u + reach and max(us) > joint.u - reach:
            return True, 0
    return False, _piece_at(path.start, joints)


def _stretch_of(feature: Feature, paths: Sequence[Path]) -> Line | Point | None:
    """Returns what of the line that a feature stands for lies on one piece."""
    if not isinstance(feature.datum, Line):
        return None
    start = feature.datum.start
    along = (feature.datum.end - start).unit()
    reach = [(end - start).dot(along) for path in paths for end in (path.start, path.end)]
    return Line(start + along * min(reach), start + along * max(reach))


def seams(joints: Sequence[Joint]) -> tuple[Seam, ...]:
    """Returns what is to be known of joints to put the pieces together again."""
    return tuple(
        Seam(
            mark=joint.mark,
            line=Line(*joint.ends),
            depth_mm=joint.depth,
            clearance_mm=joint.clearance,
        )
        for joint in joints
    )
