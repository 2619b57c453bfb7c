"""A part that is larger than the bed, or that shall be divided, as pieces that join on the bench. Millimetres.

It is done at finished size, before the shop makes up for kerf and growth: so every piece gets what a part gets, its own
tag among it, and the clearance of a joint comes out as it is drawn. All pieces keep the coordinates of the whole.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from jiggen.design.model import Given
from jiggen.design.spec import Spec
from jiggen.errors import InputError, LimitError, did_you_mean, named
from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.parts.model import Feature, Part, Piece, Role, piece_suffix
from jiggen.shop.workshop import Workshop
from jiggen.splitting.divide import divide, seams
from jiggen.splitting.frame import Frame
from jiggen.splitting.joint import Joint
from jiggen.splitting.obstacles import gaps, merged
from jiggen.splitting.search import Fits, Means, Search, best_joints, could_fit, marked
from jiggen.splitting.words import Words, needed_width, taken_along, text_of

#: Between a key and its pocket, mm. Source: common practice, a slip fit of sheet cut by laser: it goes together by hand
#: and does not rattle.
CLEARANCE_MM = 0.05
#: From the ends of a piece to its tag, mm.
_FROM_EDGE = 2.0
#: Left free behind a tag, in heights of its letters, so that nothing seems to go on from it.
_AFTER_TAG = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What the maker said of dividing parts.

    Attributes:
        never: Whether a part that is too large is an error instead.
        at: Where to divide, each with the name of the part and the x of the joint in mm.
    """

    never: bool = False
    at: tuple[tuple[str, float], ...] = ()

    def places(self, part: str) -> tuple[float, ...]:
        """Returns where a part shall be divided, in order; none: that is left open."""
        return tuple(sorted({x for name, x in self.at if name == part}))


#: Nothing is divided.
IN_ONE = Wish(never=True)


def means_of(workshop: Workshop, clearance: Given[float] | None) -> Means:
    """Returns what joints are made with in a workshop.

    Args:
        workshop: How parts are made.
        clearance: Between a key and its pocket, if the maker said.
    """
    machine = workshop.machine
    thickness = 0.0 if workshop.is_paper else workshop.material.thickness_mm
    return Means(
        web_mm=max(2.0, machine.smallest_web_mm, thickness / 2.0),
        tool_radius_mm=machine.smallest_inside_radius_mm,
        letters_mm=machine.smallest_lettering_mm,
        clearance_mm=CLEARANCE_MM if clearance is None else clearance.value,
    )


def split(
    part: Part, spec: Spec, workshop: Workshop, wish: Wish, *, tag: str, fits: Fits
) -> tuple[Part, ...]:
    """Returns the pieces of a part, from its low x to its high one.

    Args:
        part: At finished size.
        spec: Of the design.
        workshop: How it is made.
        wish: Where to divide it; if that is left open, where it is best.
        tag: The text of its tag, which every piece carries.
        fits: Whether something of a width and a height, at finished size, finds room on the bed.

    Raises:
        LimitError: If there is no place for a joint, or no room for the words that a piece needs.
    """
    if workshop.pattern is not None and part.is_led:
        raise LimitError(
            where=f"part {part.name}",
            got="a router pattern larger than the bed",
            expected="one that is made in one piece, since a guide must run past no joint",
            mend="Choose a larger machine with --machine, or make the part itself, without guide and bit",
        )
    means = means_of(workshop, spec.make.joint_clearance)
    places = wish.places(part.name)
    joints = _joints_at(part, places, means) if places else best_joints(part, means, fits)
    if joints is None:
        raise _no_place(part, means, fits)
    joints = marked(joints)
    return _Lettering(part, joints, spec.design.name, tag, means).pieces()


def _joints_at(part: Part, places: Sequence[float], means: Means) -> tuple[Joint, ...]:
    """Returns upright joints at places that the maker chose.

    Raises:
        LimitError: If there can be none at one of them.
    """
    found: list[Joint] = []
    kept, free = (Search(part, Frame(), means, moves_words=moves) for moves in (False, True))
    for x in places:
        joint = kept.joint(x) or free.joint(x)
        if joint is None:
            near = [each.at for each in free.joints()]
            nearest = min(near, key=lambda at: (abs(at - x), at), default=None)
            raise LimitError(
                where=f"--split-at {part.name}",
                got=f"{x:g} mm, {_in_the_way(free, x)}",
                expected="a place clear of slots, holes, lettering and lines, with room for a key and its mark",
                mend="There is none on this part: leave it in one"
                if nearest is None
                else f"The nearest is {nearest:g} mm",
            )
        found.append(joint)
    return tuple(found)


def _in_the_way(search: Search, u: float) -> str:
    there = dict.fromkeys(each.feature for each in search.obstacles.at(u))
    if there:
        return f"where {named(list(there))} {'is' if len(there) == 1 else 'are'} in the way"
    low, high = search.outline.box.low.x, search.outline.box.high.x
    if not low < u < high:
        return f"where there is no part: it goes from {low:.1f} to {high:.1f} mm"
    return "where there is no room for a key and its mark"


def _no_place(part: Part, means: Means, fits: Fits) -> LimitError:
    search = Search(part, Frame(), means, moves_words=True)
    box = search.outline.box
    if could_fit(search.outline, fits):
        steps = range(round(box.low.x) + 1, round(box.high.x))
        ways = Counter(each.feature for u in steps for each in search.obstacles.at(float(u)))
        what = named([id for id, _ in sorted(ways.items(), key=lambda way: (-way[1], way[0]))])
        got = (
            f"no place to divide it: in the way are {what}"
            if what
            else "no place to divide it: it is too narrow"
        )
    else:
        got = "a part too wide for the bed, which a joint across it does not mend"
    return LimitError(
        where=f"part {part.name}",
        got=f"{box.width:.1f} × {box.height:.1f} mm, larger than the bed, and {got}",
        expected="pieces that fit, divided clear of slots, holes, lettering and lines",
        mend="Choose a larger machine with --machine or make fewer parts with --only",
    )


class _Lettering:
    """Names the pieces of a part, and letters them.

    Args:
        part: The whole.
        joints: With their marks.
        design: Its name.
        tag: Its text.
        means: What joints are made with.
    """

    def __init__(self, part: Part, joints: Sequence[Joint], design: str, tag: str, means: Means) -> None:
        self.part, self.joints, self.design, self.tag = part, joints, design, tag
        self.letters_mm = means.letters_mm
        self.divided = divide(part, joints, letters_mm=means.letters_mm)
        self.count = len(joints) + 1

    def pieces(self) -> tuple[Part, ...]:
        """Returns the pieces.

        Raises:
            LimitError: If one has no room for its tag or its name, or none for words that a joint goes through.
        """
        bare = [self._bare(index) for index in range(self.count)]
        words = [self._words(index, part) for index, part in enumerate(bare)]
        found: list[list[Feature]] = []
        for index, (part, room) in enumerate(zip(bare, words, strict=True)):
            short = f"{'half' if self.count == 2 else 'piece'} {index + 1} of {self.count}"
            named = room.lettered("piece", f"{self.design} · {part.title}", short)
            if not named:
                raise room.no_room(short)
            found.append([*part.features, *named])
        for home, cells in self.divided.homeless:
            text = text_of(cells)
            for index in sorted(range(self.count), key=lambda index: abs(index - home)):
                lettered = words[index].lettered(cells[0].id, text)
                found[index] += lettered
                if lettered:
                    break
            else:
                raise words[home].no_room(repr(text))
        return tuple(
            replace(part, features=tuple(features), tag_box=room.tag_box())
            for part, features, room in zip(bare, found, words, strict=True)
        )

    def _bare(self, index: int) -> Part:
        all_seams = seams(self.joints)
        piece = Piece(
            whole=self.part,
            number=index + 1,
            count=self.count,
            seams=all_seams[max(index - 1, 0) : index + 1],
        )
        word = "half" if self.count == 2 else "piece"
        return replace(
            self.part,
            name=f"{self.part.name}{piece_suffix(piece)}",
            title=f"{self.part.title}, {word} {index + 1} of {self.count}",
            features=self.divided.features[index],
            piece=piece,
        )

    def _words(self, index: int, part: Part) -> Words:
        return Words(self.tag, part.name, part.features, self._tag_room(index), letters_mm=self.letters_mm)

    def _tag_room(self, index: int) -> Box | None:
        """Returns room for a piece's tag in the row of the whole's, no wider than it needs; None if there is too little."""
        box, features = self.part.tag_box, self.divided.features[index]
        outline = next(feature.paths[0] for feature in features if feature.role is Role.EDGE).box
        taken = merged(list(taken_along(features, box.low.y, box.high.y, self.letters_mm)))
        free = gaps((outline.low.x + _FROM_EDGE, outline.high.x - _FROM_EDGE), taken)
        for low, high in sorted(free, key=lambda each: (each[0] - each[1], each[0])):
            width = needed_width(self.tag, high - low, box.height, self.letters_mm)
            if width is not None:
                wide = min(width + _AFTER_TAG * self.letters_mm, high - low)
                return Box(Point(low, box.low.y), Point(low + wide, box.high.y))
        return None


def check_names(wish: Wish, names: Sequence[str]) -> None:
    """Checks that every part that the maker wants divided is made.

    Raises:
        InputError: If one is not.
    """
    for name, _ in wish.at:
        if name not in names:
            raise InputError(
                where="--split-at",
                got=f"part {name!r}",
                expected=f"one of the parts that are made: {', '.join(names)}",
                mend=did_you_mean(name, names),
            )
