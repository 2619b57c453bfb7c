"""What to do about what readings tell: in words for the bench, each with the numbers that it rests on."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from jiggen.proof.caliper import Group, Judgement, Measured, SaddleAdvice, Subject, Verdict
from jiggen.proof.causes import Estimate


class Do(StrEnum):
    """What to do; the value is the word used in reports and JSON."""

    LEAVE = "leave it"
    MOVE_SADDLE = "move the saddle"
    MOVE_NUT = "move the nut"
    SET_KERF = "set the kerf"
    SET_SCALE = "set the scale"
    PLANE = "plane the edges"
    LOOK = "look at one"
    READ_AGAIN = "read again"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Something that many readings have in common, or one has not.

    Attributes:
        name: `uniform scale`, `constant offset`, `taper`, `width`, `odd` or `none`.
        about: The neck, the board, or a part.
        sentence: What it is, with its numbers.
    """

    name: str
    about: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One thing to do.

    Attributes:
        do: What.
        about: The neck, the board, or a part.
        sentence: How, with its numbers.
    """

    do: Do
    about: str
    sentence: str


def patterns(judgement: Judgement) -> Iterator[Pattern]:
    """Yields what the readings of each group have in common, and what does not follow the others."""
    for group in judgement.groups:
        if group.subject is Subject.STRINGS:
            continue
        about = group.part or group.subject.value
        found = list(_causes(group, about))
        if found:
            yield from found
        elif group.causes.freedom > 0:
            sentence = f"no pattern: {group.causes.scatter:.3f} mm of scatter, no more than chance"
            yield Pattern(name="none", about=about, sentence=sentence)
        else:
            yield Pattern(name="none", about=about, sentence="too few readings to tell a pattern")
        for each in group.odd:
            off = each.off_mm - each.explained_mm
            sentence = (
                f"{_name(each)} does not follow the others: {off:+.3f} mm from where they would have it"
            )
            yield Pattern(name="odd", about=about, sentence=sentence)


def _causes(group: Group, about: str) -> Iterator[Pattern]:
    scale, offset = group.causes.scale, group.causes.offset
    match group.subject:
        case Subject.BOARD:
            if scale is not None:
                yield Pattern(name="taper", about=about, sentence=_taper(group, scale))
            if offset is not None and scale is None:
                words = f"{_both(offset)} too {'wide' if offset.value > 0.0 else 'narrow'} all along"
                yield Pattern(name="width", about=about, sentence=words)
        case _:
            if scale is not None:
                yield Pattern(name="uniform scale", about=about, sentence=_scale(group, scale))
            if offset is not None:
                yield Pattern(name="constant offset", about=about, sentence=_offset(group, offset))


def _scale(group: Group, scale: Estimate) -> str:
    longest = max(abs(each.gauge.nominal_mm) for each in group.measured)
    return (
        f"everything is {abs(scale.value):.3%} too {'long' if scale.value > 0.0 else 'short'} "
        f"(± {scale.expanded:.3%}), {scale.value * longest:+.2f} mm over {longest:.0f} mm: "
        "a machine's scale, or cut and used at different warmth"
    )


def _offset(group: Group, offset: Estimate) -> str:
    if group.subject is Subject.NECK:
        where = "nearer the saddle" if offset.value > 0.0 else "nearer the nut"
        return (
            f"all frets stand {abs(offset.value):.3f} mm (± {offset.expanded:.3f}) {where} than they should: "
            "the front of the nut is off by as much, or the rule's zero was"
        )
    wide = offset.value > 0.0
    return (
        f"openings came out {abs(offset.value):.3f} mm (± {offset.expanded:.3f}) too {'wide' if wide else 'narrow'}, "
        f"and outsides as much too {'small' if wide else 'large'}: the kerf is another"
    )


def _taper(group: Group, scale: Estimate) -> str:
    ends = [each for each in group.measured if each.gauge.at_mm is not None]
    near, far = min(ends, key=_along), max(ends, key=_along)
    first, last = (group.causes.explained(_along(each), 1.0) for each in (near, far))
    return (
        f"the taper is another: {first:+.3f} mm at {_name(near)} and {last:+.3f} mm at {_name(far)}, "
        f"{scale.value * 100.0:+.4f} mm (± {scale.expanded * 100.0:.4f}) for each 100 mm"
    )


def _along(each: Measured) -> float:
    return each.gauge.at_mm if each.gauge.at_mm is not None else 0.0


def _both(estimate: Estimate) -> str:
    return f"{abs(estimate.value):.3f} mm (± {estimate.expanded:.3f})"


def _name(each: Measured) -> str:
    return each.gauge.name.removeprefix(f"{each.gauge.part}/")


def advice(judgement: Judgement) -> Iterator[Advice]:
    """Yields what to do, the most telling first."""
    if judgement.saddle is not None:
        yield from _of_saddle(judgement, judgement.saddle)
    for group in judgement.groups:
        match group.subject:
            case Subject.PART:
                yield from _of_part(judgement, group)
            case Subject.BOARD:
                yield from _of_board(group)
            case Subject.NECK | Subject.STRINGS:
                pass
    for group in judgement.groups:
        about = group.part or group.subject.value
        for each in group.odd:
            if each.verdict is Verdict.OK:
                continue
            yield Advice(do=Do.LOOK, about=about, sentence=_look(each))
        unsure = [_name(each) for each in group.measured if each.verdict is Verdict.UNSURE and not each.odd]
        if unsure:
            lie = "lies so near its limit" if len(unsure) == 1 else "lie so near their limits"
            sentence = f"{_some(unsure)} {lie} that the readings do not tell"
            yield Advice(do=Do.READ_AGAIN, about=about, sentence=sentence)


def _of_saddle(judgement: Judgement, saddle: SaddleAdvice) -> Iterator[Advice]:
    limit = judgement.fret_cents_limit
    odd = {each.gauge.fret for each in judgement.measured if each.odd}
    say = [index for index, fret in enumerate(saddle.frets) if fret not in odd] or [*range(len(saddle.frets))]
    before = max(abs(saddle.shift.before_cents[index]) for index in say)
    after = max(abs(saddle.shift.after_cents[index]) for index in say)
    if before <= limit:
        sentence = (
            f"no fret that follows the others is off by more than {before:.2f} cents, of {limit:g} allowed"
        )
        yield Advice(do=Do.LEAVE, about="neck", sentence=sentence)
        return
    where = "away from the nut" if saddle.move_mm > 0.0 else "toward the nut"
    place = "from where it stands" if saddle.measured else "from where the design has it"
    sentence = (
        f"by {abs(saddle.move_mm):.2f} mm {where}, {place}, to {saddle.shift.at_mm:.2f} mm from the nut, each string's "
        f"compensation on top; then no fret is off by more than {after:.2f} cents, where it was {before:.2f}"
    )
    yield Advice(do=Do.MOVE_SADDLE, about="neck", sentence=sentence)
    neck = next(group for group in judgement.groups if group.subject is Subject.NECK)
    offset = neck.causes.offset
    if offset is not None and after > limit:
        side = "toward the saddle" if offset.value > 0.0 else "away from it"
        sentence = f"or the nut instead: its front by {abs(offset.value):.2f} mm {side}, and the frets are right for it"
        yield Advice(do=Do.MOVE_NUT, about="neck", sentence=sentence)


def _of_part(judgement: Judgement, group: Group) -> Iterator[Advice]:
    bad = [each for each in group.measured if each.verdict is Verdict.OUT and not each.odd]
    offset, scale = group.causes.offset, group.causes.scale
    again = "then cut it again" if bad else "for the next one; this one still serves"
    if offset is not None:
        kerf = judgement.kerfs_mm.get(group.part)
        new = (
            f"{kerf + offset.value:.3f} mm (± {offset.expanded:.3f}) in place of {kerf:.3f} mm"
            if kerf
            else (f"{offset.value:+.3f} mm on what was reckoned with")
        )
        yield Advice(
            do=Do.SET_KERF, about=group.part, sentence=f"to {new} in the material's profile, {again}"
        )
    if scale is not None:
        factor = 1.0 / (1.0 + scale.value)
        sentence = (
            f"times {factor:.5f} (± {scale.expanded:.5f}) along this direction in the machine's profile, or say at "
            f"which warmth it is cut and used, {again}"
        )
        yield Advice(do=Do.SET_SCALE, about=group.part, sentence=sentence)
    if offset is None and scale is None and not bad and group.causes.freedom > 0:
        yield Advice(do=Do.LEAVE, about=group.part, sentence="nothing that follows the others is out")


def _of_board(group: Group) -> Iterator[Advice]:
    wide = [each for each in group.measured if each.verdict is Verdict.OUT and each.off_mm > 0.0]
    narrow = [each for each in group.measured if each.verdict is Verdict.OUT and each.off_mm < 0.0]
    if wide:
        told = ", ".join(f"{each.off_mm:.2f} mm at {_name(each)}" for each in wide)
        yield Advice(do=Do.PLANE, about="board", sentence=f"take off {told}, half of it on each side")
    if narrow:
        told = ", ".join(f"{-each.off_mm:.2f} mm at {_name(each)}" for each in narrow)
        sentence = f"it is too narrow by {told}: bind its edges, or lay the strings out for it as it is"
        yield Advice(do=Do.LEAVE, about="board", sentence=sentence)
    if not wide and not narrow and group.causes.freedom > 0:
        yield Advice(do=Do.LEAVE, about="board", sentence="no width is out")


def _look(each: Measured) -> str:
    off = f"{each.off_mm:+.3f} mm"
    cents = f", {each.cents:+.1f} cents" if each.cents is not None else ""
    again = "read it again; if it stands, " if each.count == 1 else ""
    mend = "fill the slot and saw it anew" if each.gauge.fret is not None else "that one was made wrong"
    return f"{_name(each)} is off by {off}{cents} on its own: {again}{mend}"


def _some(names: list[str]) -> str:
    most = 6
    return ", ".join(names[:most]) + (f" and {len(names) - most} more" if len(names) > most else "")
