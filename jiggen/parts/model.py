"""Parts and their features: meaning travels with geometry."""

import re
from dataclasses import dataclass, replace
from enum import StrEnum

from jiggen.geometry.box import Box
from jiggen.geometry.path import Line, Path
from jiggen.geometry.point import Point


class Role(StrEnum):
    """What a feature is to the person who cuts it; the value is the word used in manifests and profiles."""

    EDGE = "edge"  #: the part's outside contour, cut through
    OPENING = "opening"  #: a hole, window, slot or notch, cut through
    LINE = "line"  #: a shallow line to lay out from
    LETTERING = "lettering"  #: engraved text
    NOTE = "note"  #: drawing only, never sent to the machine


#: What a feature stands for on the instrument: a line (a fret, an edge), a point (a hole's centre), or nothing.
Datum = Line | Point | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """A piece of a part that can be found again in a file and measured.

    Attributes:
        id: Never changes between builds: `fret.7`, `string.3.nut`, `outline`, `pin.2`. Unique in its part.
        role: What it is to the cutter.
        paths: Finished size, part coordinates. Closed for `edge` and `opening`, save for a notch, whose open
            path runs along the outside contour from mouth to mouth.
        datum: The place on the instrument that it stands for, part coordinates.
        text: The words, for lettering.
        width_mm: The clear width, for what something must fit into: slot, notch or hole.
        cut_in: For a notch, the id of the `edge` feature whose contour holds it; it is not cut on its own.
        takes_square: Whether a square-edged thing must go into an opening right to its corners, so that the shop
            relieves them.
        letter_mm: For lettering, the height of its capitals.
        led: Whether a router may be led along an edge or opening, so that the pattern for it is moved by the guide's
            offset; all else of a pattern stays as it is.
    """

    id: str
    role: Role
    paths: tuple[Path, ...]
    datum: Datum = None
    text: str = ""
    width_mm: float | None = None
    cut_in: str | None = None
    takes_square: bool = False
    letter_mm: float | None = None
    led: bool = False

    def __post_init__(self) -> None:
        if not self.paths:
            raise ValueError(f"feature {self.id} has no geometry")
        must_close = self.role is Role.EDGE or (self.role is Role.OPENING and self.cut_in is None)
        if must_close and not all(path.closed for path in self.paths):
            raise ValueError(f"feature {self.id} is cut through, so its contour must close")
        if self.cut_in is not None and self.role is not Role.OPENING:
            raise ValueError(f"feature {self.id}: only an opening can lie in an edge")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Where two pieces of a part meet, part coordinates.

    Attributes:
        mark: The letter beside it on both pieces: `A`.
        line: Along which their faces touch.
        depth_mm: How far the keys of one piece reach into the other.
        clearance_mm: Round a key, between its flanks or head and its pocket.
    """

    mark: str
    line: Line
    depth_mm: float
    clearance_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What a part is a piece of, where it was too large to be made in one.

    Attributes:
        whole: The part that all pieces make together, with all of its features, in the same coordinates.
        number: Counts from 1, along the part.
        count: How many pieces there are.
        seams: Between this piece and the one before it, and the one after it: as many as there are.
    """

    whole: "Part"
    number: int
    count: int
    seams: tuple[Seam, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing that gets made.

    Attributes:
        name: Short and fixed, as typed after `--only`: `plan-template`; of a set of gauges, with what tells one from
            another: `radius-gauge-12in`. Unique among the parts of a run.
        title: What is lettered on it: `Plan template`.
        features: At finished size; ids are unique; exactly one has the role `edge`.
        tag_box: Where the shop letters the tag, part coordinates, free of everything else.
        lies_on_work: Whether its lines are to be read against the work beneath it.
        piece: What it is a piece of; None: a part in one.
    """

    name: str
    title: str
    features: tuple[Feature, ...]
    tag_box: Box
    lies_on_work: bool = False
    piece: Piece | None = None

    def __post_init__(self) -> None:
        ids = [feature.id for feature in self.features]
        twice = sorted({each for each in ids if ids.count(each) > 1})
        if twice:
            raise ValueError(f"part {self.name} has features of the same id: {', '.join(twice)}")
        if sum(feature.role is Role.EDGE for feature in self.features) != 1:
            raise ValueError(f"part {self.name} needs exactly one outside edge")

    def renamed(self, name: str) -> "Part":
        """Returns the part under another name, that of the whole changed in step."""
        if self.piece is None:
            return replace(self, name=name)
        whole = replace(self.piece.whole, name=name.removesuffix(piece_suffix(self.piece)))
        return replace(self, name=name, piece=replace(self.piece, whole=whole))

    @property
    def is_led(self) -> bool:
        """Whether a router may be led along any of it."""
        return any(feature.led for feature in self.features)

    @property
    def outline(self) -> Path:
        """The outside contour at finished size."""
        return next(feature.paths[0] for feature in self.features if feature.role is Role.EDGE)


def piece_suffix(piece: Piece) -> str:
    """Returns what the name of a piece has beyond that of the whole: `-1-of-2`."""
    return f"-{piece.number}-of-{piece.count}"


def name_of_whole(name: str) -> str:
    """Returns the name of the whole for that of a piece, and any other name as it is."""
    return re.sub(r"-\d+-of-\d+$", "", name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What a part must know of the place where it is made and used.

    Attributes:
        smallest_lettering_mm: Least legible height of capitals on the machine.
        thickness_mm: Of the sheet, for parts that are stacked.
    """

    smallest_lettering_mm: float
    thickness_mm: float
