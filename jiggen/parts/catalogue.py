"""All shop aids by name: a new one is a module of its own and one row here."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from jiggen.design.quote import key_of, missing
from jiggen.design.spec import Spec
from jiggen.errors import InputError, JiggenError, LimitError, did_you_mean, raise_all
from jiggen.layout.worked_neck import Neck
from jiggen.parts import (
    blanks,
    board_template,
    body_half_template,
    body_marks,
    body_template,
    bridge_locator,
    cavities,
    fret_rule,
    fret_slot_guide,
    headstock,
    inlay_guides,
    mould,
    neck_gauges,
    neck_pocket,
    nut_card,
    nut_rule,
    plan_template,
    radius_gauges,
    roller_drill_guide,
    saw_guide,
    setup_card,
    sound_hole,
    string_hole_jig,
    truss_rod_guide,
    width_gauges,
)
from jiggen.parts.model import Bench, Part

#: Said in place of names: every part that the neck can have.
ALL = "all"


def _suits_all(_: Neck) -> str:
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A shop aid that can be made.

    Attributes:
        name: As typed after `--only`.
        title: For people.
        about: What it is for, in one line.
        build: From neck and bench to the finished-size parts: one, or one of each size for a set of gauges.
        unsuited: Tells why a neck cannot have one, whatever numbers are given; empty when it can.
        needs: Fields of `Spec`, dotted, that may be open in a design and that it cannot do without: `setup.action`.
        standard: Whether it is made when nobody names parts.
    """

    name: str
    title: str
    about: str
    build: Callable[[Neck, Bench], tuple[Part, ...]]
    unsuited: Callable[[Neck], str] = _suits_all
    needs: tuple[str, ...] = ()
    standard: bool = False

    @property
    def needed_keys(self) -> tuple[str, ...]:
        """The keys of a design file for what it needs."""
        return tuple(key_of(name) for name in self.needs)

    def lacking(self, spec: Spec) -> tuple[str, ...]:
        """Returns those of its needs that a spec leaves open."""
        return tuple(name for name in self.needs if _value(spec, name) is None)


def _value(spec: Spec, name: str) -> Any:
    value: Any = spec
    for step in name.split("."):
        value = getattr(value, step)
    return value


CATALOGUE = (
    Entry(
        name=plan_template.NAME,
        title=plan_template.TITLE,
        about="the whole neck and its strings on a clear plate to lay on the work, with the spec lettered",
        build=plan_template.plan_template,
        standard=True,
    ),
    Entry(
        name=fret_slot_guide.NAME,
        title=fret_slot_guide.TITLE,
        about="indexing strip for a mitre box, one notch per fret",
        build=fret_slot_guide.fret_slot_guide,
        unsuited=fret_slot_guide.unsuited,
        standard=True,
    ),
    Entry(
        name=saw_guide.NAME,
        title=saw_guide.TITLE,
        about="plate with a slot per fret for the saw to run in, straight or fanned, and pins for stops",
        build=saw_guide.saw_guide,
        unsuited=saw_guide.unsuited,
        standard=True,
    ),
    Entry(
        name=nut_rule.NAME,
        title=nut_rule.TITLE,
        about="strings at nut and saddle, centres and sides, and the slot widths, on two edges of a rule",
        build=nut_rule.nut_rule,
        standard=True,
    ),
    Entry(
        name=board_template.NAME,
        title=board_template.TITLE,
        about="the board itself to draw or rout round, fret lines scored, held by pins at two frets",
        build=board_template.board_template,
    ),
    Entry(
        name=fret_rule.NAME,
        title=fret_rule.TITLE,
        about="straight rule with every fret's line and its distance from the nut, in mm and inches",
        build=fret_rule.fret_rule,
    ),
    Entry(
        name=nut_card.NAME,
        title=nut_card.TITLE,
        about="string centres and sides at the nut for several widths of board, and the slot widths",
        build=nut_card.nut_card,
    ),
    Entry(
        name=setup_card.NAME,
        title=setup_card.TITLE,
        about="stands on frets 1 and 12 and tells whether every string is as high as it should be",
        build=setup_card.setup_card,
        unsuited=setup_card.unsuited,
        needs=("gauges", "setup.action", "setup.nut_height"),
    ),
    Entry(
        name=width_gauges.NAME,
        title=width_gauges.TITLE,
        about="notches that let the board in halfway when it is as wide as drawn, and thickness notches",
        build=width_gauges.width_gauges,
    ),
    Entry(
        name=blanks.NUT_NAME,
        title=blanks.NUT_TITLE,
        about="a window the shape of the nut to draw round, with string positions and slot depths",
        build=blanks.nut_blank,
        needs=("gauges", "setup.action", "setup.nut_height"),
    ),
    Entry(
        name=blanks.SADDLE_NAME,
        title=blanks.SADDLE_TITLE,
        about="a window the shape of the saddle to draw round, with string positions",
        build=blanks.saddle_blank,
        needs=("setup.action", "setup.nut_height", "bridge.slot_length", "bridge.saddle_height"),
    ),
    Entry(
        name=bridge_locator.NAME,
        title=bridge_locator.TITLE,
        about="sits against the nut, or in the last two slots, and shows bridge, saddle as reckoned and string holes, the bridge held by two pins",
        build=bridge_locator.bridge_locator,
        needs=("bridge.length", "bridge.width", "bridge.front"),
    ),
    Entry(
        name=string_hole_jig.NAME,
        title=string_hole_jig.TITLE,
        about="holes that lead the drill for bridge pins or strings through the body, one a string",
        build=string_hole_jig.string_hole_jig,
        unsuited=string_hole_jig.unsuited,
        needs=("bridge.length", "bridge.width", "bridge.front", "bridge.pin_distance", "bridge.pin_drill"),
    ),
    Entry(
        name=inlay_guides.FACE_NAME,
        title=inlay_guides.FACE_TITLE,
        about="plate with holes that lead the drill for the position dots on the board's face",
        build=inlay_guides.inlay_guide,
        unsuited=inlay_guides.unsuited,
        needs=("inlays.diameter",),
    ),
    Entry(
        name=inlay_guides.SIDE_NAME,
        title=inlay_guides.SIDE_TITLE,
        about="strip with holes that lead the drill for the position dots on the board's edge",
        build=inlay_guides.side_dot_guide,
        unsuited=inlay_guides.side_unsuited,
        needs=("inlays.side_diameter",),
    ),
    Entry(
        name=truss_rod_guide.NAME,
        title=truss_rod_guide.TITLE,
        about="the truss rod's slot and its anchor's place on the centre line, to rout along",
        build=truss_rod_guide.truss_rod_guide,
        unsuited=truss_rod_guide.unsuited,
        needs=("truss_rod.length", "truss_rod.width"),
    ),
    Entry(
        name=radius_gauges.NAME,
        title=radius_gauges.TITLE,
        about="hollow and round gauges for the board's radius, one a station on a compound board, and for any others",
        build=radius_gauges.radius_gauges,
        unsuited=radius_gauges.unsuited,
    ),
    Entry(
        name=radius_gauges.BLOCK_NAME,
        title=radius_gauges.BLOCK_TITLE,
        about="ends of a sanding block for each of those radii, with the abrasive sheet allowed for",
        build=radius_gauges.sanding_block_ends,
        unsuited=radius_gauges.unsuited,
    ),
    Entry(
        name=neck_gauges.NAME,
        title=neck_gauges.TITLE,
        about="half-templates of the neck's back, C, D, V or soft V, for each side where they differ",
        build=neck_gauges.neck_gauges,
        needs=("neck_back.depths",),
    ),
    Entry(
        name=headstock.NAME,
        title=headstock.TITLE,
        about="the headstock's outline, tuners' holes or slots and rollers, and each string's way from the nut",
        build=headstock.headstock_template,
        unsuited=headstock.unsuited,
        needs=headstock.NEEDS,
    ),
    Entry(
        name=roller_drill_guide.NAME,
        title=roller_drill_guide.TITLE,
        about="holes in a row to lead the drill for the rollers of a slotted headstock, from its side",
        build=roller_drill_guide.roller_drill_guide,
        unsuited=roller_drill_guide.unsuited,
        needs=roller_drill_guide.NEEDS,
    ),
    Entry(
        name=body_template.NAME,
        title=body_template.TITLE,
        about="the whole body with sound hole, cavities and neck pocket, saddle line, bouts and waist",
        build=body_template.body_template,
        needs=body_marks.NEEDS,
    ),
    Entry(
        name=body_half_template.NAME,
        title=body_half_template.TITLE,
        about="half the body, to be turned over along the centre line, or one for each side where they differ",
        build=body_half_template.body_half_template,
        needs=body_marks.NEEDS,
    ),
    Entry(
        name=mould.NAME,
        title=mould.TITLE,
        about="layers of both halves of the outside mould for the sides, bolted and dowelled, and plates across the seam",
        build=mould.mould,
        unsuited=mould.unsuited,
        needs=mould.NEEDS,
    ),
    Entry(
        name=mould.FORM_NAME,
        title=mould.FORM_TITLE,
        about="layers of the form that sides are bent over, half the body less the sides' thickness",
        build=mould.bending_form,
        unsuited=mould.unsuited,
        needs=mould.NEEDS,
    ),
    Entry(
        name=sound_hole.NAME,
        title=sound_hole.TITLE,
        about="the sound hole, round or oval, to rout along",
        build=sound_hole.sound_hole_pattern,
        needs=("sound_hole.width",),
    ),
    Entry(
        name=sound_hole.ROSETTE_NAME,
        title=sound_hole.ROSETTE_TITLE,
        about="the channels of the rosette, turned on a pin in the middle of the sound hole",
        build=sound_hole.rosette_pattern,
        needs=("sound_hole.width", "sound_hole.rings"),
    ),
    Entry(
        name=neck_pocket.NAME,
        title=neck_pocket.TITLE,
        about="the pocket for a bolted neck, tapered as the board, larger by its allowance",
        build=neck_pocket.neck_pocket_pattern,
        needs=("neck_pocket.length",),
    ),
    Entry(
        name=neck_pocket.HEEL_NAME,
        title=neck_pocket.HEEL_TITLE,
        about="the heel of a bolted neck, tapered as the board",
        build=neck_pocket.heel_pattern,
        needs=("neck_pocket.length",),
    ),
    Entry(
        name=cavities.NAME,
        title=cavities.TITLE,
        about="pick-ups and other cavities by their distance from the saddle line, on one plate",
        build=cavities.cavity_pattern,
        needs=("body.openings",),
    ),
)


def choose(names: Sequence[str], neck: Neck, *, where: str) -> tuple[Entry, ...]:
    """Returns the entries of those names, in the catalogue's order.

    With no name it is those of the standard set that suit the neck, with `all` every one that does.

    Args:
        names: As typed.
        neck: That the parts are for.
        where: The place to name in an error.

    Raises:
        InputError: If a name is not in the catalogue, or a number that a named part needs is missing.
        LimitError: If the neck cannot have a part that is named.
    """
    known = [entry.name for entry in CATALOGUE]
    errors: list[JiggenError] = [
        InputError(
            where=where,
            got=f"part {name!r}",
            expected=f"one of {', '.join((*known, ALL))}",
            mend=did_you_mean(name, (*known, ALL)),
        )
        for name in names
        if name not in known and name != ALL
    ]
    named = [entry for entry in CATALOGUE if entry.name in names]
    for entry in named:
        if reason := entry.unsuited(neck):
            errors.append(
                LimitError(
                    where=where,
                    got=f"part {entry.name}",
                    expected=f"a part that this neck can have: {reason}",
                )
            )
            continue
        for lacking in entry.lacking(neck.spec):
            error = missing(neck.spec.design, lacking)
            errors.append(error.at(f"{error.where}, for part {entry.name}"))
    raise_all(errors)
    wanted = [entry for entry in CATALOGUE if ALL in names or (entry.standard and not names)]
    return tuple(
        entry
        for entry in CATALOGUE
        if entry in named or (entry in wanted and not entry.unsuited(neck) and not entry.lacking(neck.spec))
    )


def left_out(names: Sequence[str], neck: Neck) -> Iterator[str]:
    """Yields a sentence for each part that goes with what is asked for and that a neck cannot have, or lacks numbers for.

    Args:
        names: As for `choose`.
        neck: That they are for.
    """
    for entry in CATALOGUE:
        if entry.name in names or not (ALL in names or (entry.standard and not names)):
            continue
        lacking = ", ".join(key_of(name) for name in entry.lacking(neck.spec))
        if reason := entry.unsuited(neck) or (lacking and f"it needs {lacking}"):
            yield f"without {entry.name}: {reason}"
