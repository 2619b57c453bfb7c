"""The order of a file's cuts: what drops or shifts with the waste, or with its part, must be cut before.

Machines run one operation after the other, in the order in which the manifest names them, each in the order of the file.
"""

from collections.abc import Iterator, Sequence

from jiggen.proof.curves import Ints
from jiggen.proof.nominal import CUT_THROUGH, STRAY, Item, Nominal
from jiggen.proof.placing import Nested
from jiggen.proof.report import Fault, Finding
from jiggen.proof.trace import Traced

#: When something is done: the place of its operation, and its own place in the file.
_Turn = tuple[int, int]


def out_of_order(
    nominal: Nominal, traced: Sequence[Traced], made: Ints, nested: Sequence[Nested], file: str
) -> Iterator[Finding]:
    """Yields what is cut too late: an opening after the edge round it, a part after the opening that it lies in.

    What lies on another layer than the manifest says is left alone here, since that is a fault by itself.

    Args:
        nominal: Of the sheet.
        traced: What the file holds.
        made: (n,) numbers of the items that these make, or `STRAY`.
        nested: Parts that lie in openings of others.
        file: Its name.
    """
    inner = {each.part for each in nested}
    asked = [
        item.feature.role in CUT_THROUGH or item.part.name in inner for item in nominal.items
    ]  # not the many strokes of lettering that nothing depends on
    turns = _turns(nominal, traced, made, asked)
    parts: dict[str, dict[int, Item]] = {part.name: {} for part in nominal.sheet.parts}
    for number in turns:
        item = nominal.items[number]
        parts[item.part.name][number] = item

    def found(message: str, late: Sequence[Item]) -> Finding:
        ids = tuple(item.feature.id for item in late)
        return Finding(
            fault=Fault.WRONG_ORDER, message=message, file=file, part=late[0].part.name, features=ids
        )

    for mine in parts.values():
        free = min(
            (turns[number][0] for number, item in mine.items() if item.feature.role == "edge"), default=None
        )
        late = [
            item
            for number, item in mine.items()
            if free is not None and item.feature.role == "opening" and turns[number][1] > free
        ]
        if late:
            yield found("is cut after the edge, when the part has come loose", late)
    for each in nested:
        opening = [number for number, item in parts[each.host].items() if item.feature.id == each.opening]
        late = [
            item
            for number, item in parts[each.part].items()
            if opening and turns[number][1] > turns[opening[0]][0]
        ]
        if late:
            yield found(
                f"is cut after the opening {each.opening} of {each.host}, with whose waste it drops", late
            )


def _turns(
    nominal: Nominal, traced: Sequence[Traced], made: Ints, asked: Sequence[bool]
) -> dict[int, tuple[_Turn, _Turn]]:
    """Returns when the first and the last piece of each item is done that is asked for."""
    items = nominal.items
    place = {name: number for number, name in enumerate(nominal.sheet.operations)}
    turns: dict[int, list[_Turn]] = {}
    for each, number in zip(traced, made.tolist(), strict=True):
        if number == STRAY or not asked[number]:
            continue
        if each.operation == items[number].feature.operation and each.operation in place:
            turns.setdefault(number, []).extend((place[each.operation], turn) for turn in each.turns)
    return {number: (min(mine), max(mine)) for number, mine in turns.items() if mine}
