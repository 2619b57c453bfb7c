"""A fret rule as a design file writes it."""

import json
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from fractions import Fraction
from typing import Any, assert_never

from jiggen.design.fret_rule import (
    CentsSteps,
    DivisorSteps,
    EqualSteps,
    FretRule,
    RatioSteps,
    ratio_cents,
    ratio_words,
)
from jiggen.design.scl import MOST_DIGITS, parse_scl
from jiggen.errors import InputError, JiggenError, SeveralErrors, did_you_mean, quoted, raise_all
from jiggen.tables.kinds import toml_string

_FORMS = 'a rule such as "12-equal", { equal = 19 }, { ratios = ["9/8", "3/2", "2/1"] } or { divisor = 18 }'
_EQUAL_WORD = re.compile(r"([0-9]{1,6})-equal")
_RATIO = re.compile(rf"[ ]*([0-9]{{1,{MOST_DIGITS}}})[ ]*(?:/[ ]*([0-9]{{1,{MOST_DIGITS}}})[ ]*)?")
_RATIO_FORM = 'a ratio above 0 in quotes, such as "3/2"'
_LIST_PLACE = re.compile(r"(?:cents|ratios)(?:\[([0-9]+)\])?")


def fret_rule_from(value: object, *, where: str, read_scl: Callable[[str], str] | None = None) -> FretRule:
    """Returns the fret rule that a value of a design file stands for.

    Args:
        value: As TOML gives it: the word `"12-equal"`, or a table with one of the keys equal, cents, ratios, divisor
            and scl, and with keep and labels if wanted; beside equal also a period other than "2/1".
        where: The place of the value, for messages.
        read_scl: Returns the text of a scale file by its name as written. None: files cannot be read here.

    Raises:
        JiggenError: If the value cannot be read as a rule, all its faults together; or as `read_scl` does.
    """
    mend = ""
    match value:
        case dict():
            return _rule_from_table(value, where=where, read_scl=read_scl)
        case str() if found := _EQUAL_WORD.fullmatch(value):
            with _inside(where):
                return EqualSteps(steps=int(found[1]))
        case str() if number := re.search(r"[0-9]{1,6}", value):
            mend = did_you_mean(value.lower(), [f"{number[0]}-equal"])
        case bool():
            pass
        case int():
            mend = (
                f'Write "{value}-equal" for equal steps, or {{ divisor = {value} }} for the rule of {value}.'
            )
        case float():
            mend = f"Write {{ divisor = {value} }} for the rule of {value}."
        case _:
            pass
    raise InputError(where=where, got=_shown(value), expected=_FORMS, mend=mend)


def fret_rule_text(rule: FretRule) -> str:
    """Returns a rule as TOML that `fret_rule_from` reads back to the same rule."""
    match rule:
        case EqualSteps():
            items = [f"equal = {rule.steps}"]
            if rule.period != 2:
                items.append(f'period = "{ratio_words(rule.period)}"')
            elif not rule.keep and not rule.labels:
                return f'"{rule.steps}-equal"'
        case CentsSteps():
            items = [f"cents = [{', '.join(map(repr, rule.cents))}]"]
        case RatioSteps():
            items = [f"ratios = [{', '.join(toml_string(ratio_words(ratio)) for ratio in rule.ratios)}]"]
        case DivisorSteps():
            items = [f"divisor = {rule.divisor!r}"]
        case _:
            assert_never(rule)
    if rule.keep:
        items.append(f"keep = [{', '.join(map(str, rule.keep))}]")
    if rule.labels:
        items.append(f"labels = [{', '.join(map(toml_string, rule.labels))}]")
    return f"{{ {', '.join(items)} }}"


def _rule_from_table(
    table: Mapping[str, object], *, where: str, read_scl: Callable[[str], str] | None
) -> FretRule:
    _check_keys(table, where=where)
    said: dict[str, Any] = {}
    faults: list[JiggenError] = []
    for key, value in table.items():
        try:
            said[key] = _READERS[key](value, f"{where}.{key}")
        except JiggenError as fault:
            faults += fault.errors if isinstance(fault, SeveralErrors) else [fault]
    raise_all(faults)
    choice: dict[str, Any] = {key: said[key] for key in ("keep", "labels") if key in said}
    if "scl" in said:
        return _rule_from_scl(said["scl"], choice, where=where, read_scl=read_scl)
    with _inside(where):
        if "equal" in said:
            return EqualSteps(steps=said["equal"], period=said.get("period", Fraction(2)), **choice)
        if "cents" in said:
            return CentsSteps(cents=said["cents"], **choice)
        if "ratios" in said:
            return RatioSteps(ratios=said["ratios"], **choice)
        return DivisorSteps(divisor=said["divisor"], **choice)


def _check_keys(table: Mapping[str, object], *, where: str) -> None:
    raise_all(
        [
            InputError(
                where=f"{where}.{key}",
                got="an unknown key",
                expected=f"one of {', '.join(_READERS)}",
                mend=did_you_mean(key, _READERS),
            )
            for key in table
            if key not in _READERS
        ]
    )
    kinds = [key for key in table if key not in {"period", "keep", "labels"}]
    if len(kinds) != 1:
        raise InputError(
            where=where,
            got=" and ".join(kinds) or "a table without a rule",
            expected="one of equal, cents, ratios, divisor, scl",
        )
    if "period" in table and kinds != ["equal"]:
        mend = "Leave it out: a rule of a divisor has none, and a list ends with its own."
        raise InputError(
            where=f"{where}.period",
            got=_shown(table["period"]),
            expected="a period only beside equal",
            mend=mend,
        )


def _rule_from_scl(
    name: str, choice: dict[str, Any], *, where: str, read_scl: Callable[[str], str] | None
) -> FretRule:
    if read_scl is None:
        mend = "Write the pitches out under cents or ratios."
        raise InputError(
            where=f"{where}.scl", got=quoted(name), expected="a rule that needs no file", mend=mend
        )
    pitches = parse_scl(read_scl(name), where=name).pitches
    if not pitches:
        raise InputError(
            where=name, got="a scale of 0 pitches", expected="pitches, the last of them the period"
        )
    ratios = tuple(pitch for pitch in pitches if isinstance(pitch, Fraction))

    def place(fault_where: str) -> str:
        found = _LIST_PLACE.fullmatch(fault_where)
        return f"{name}, pitch {int(found[1]) + 1}" if found and found[1] else f"{where}.{fault_where}"

    with _placed(place):
        if len(ratios) == len(pitches):
            return RatioSteps(ratios=ratios, **choice)
        cents = (ratio_cents(pitch) if isinstance(pitch, Fraction) else pitch for pitch in pitches)
        return CentsSteps(cents=tuple(cents), **choice)


def _whole_number(value: object, where: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < 10**9:
        raise InputError(where=where, got=_shown(value), expected="a whole number without quotes, such as 12")
    return value


def _number(value: object, where: str) -> float:
    # Compared before it is converted: TOML gives whole numbers of any size.
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= 1e9:
        raise InputError(where=where, got=_shown(value), expected="a number without quotes, such as 701.955")
    return float(value)


def _ratio(value: object, where: str) -> Fraction:
    text = value if isinstance(value, str) else ""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) < 10**MOST_DIGITS:
        text = str(value)
    found = _RATIO.fullmatch(text)
    if found is None or int(found[1]) == 0 or int(found[2] or 1) == 0:
        raise InputError(where=where, got=_shown(value), expected=_RATIO_FORM)
    return Fraction(int(found[1]), int(found[2] or 1))


def _words(value: object, where: str) -> str:
    if not isinstance(value, str):
        raise InputError(where=where, got=_shown(value), expected="a word in quotes")
    return value


def _file_name(value: object, where: str) -> str:
    if not isinstance(value, str) or not value.strip():
        raise InputError(
            where=where, got=_shown(value), expected='the name of a scale file, such as "meantone.scl"'
        )
    return value


def _list_of(read: Callable[[object, str], Any]) -> Callable[[object, str], tuple[Any, ...]]:
    def read_all(value: object, where: str) -> tuple[Any, ...]:
        if not isinstance(value, list) or not value:
            raise InputError(
                where=where, got=_shown(value), expected="a list, in square brackets, that is not empty"
            )
        values: list[Any] = []
        faults: list[JiggenError] = []
        for index, each in enumerate(value):
            try:
                values.append(read(each, f"{where}[{index}]"))
            except InputError as fault:
                faults.append(fault)
        raise_all(faults)
        return tuple(values)

    return read_all


_READERS: Mapping[str, Callable[[object, str], Any]] = {
    "equal": _whole_number,
    "cents": _list_of(_number),
    "ratios": _list_of(_ratio),
    "divisor": _number,
    "scl": _file_name,
    "period": _ratio,
    "keep": _list_of(_whole_number),
    "labels": _list_of(_words),
}


@contextmanager
def _placed(place: Callable[[str], str]) -> Iterator[None]:
    """Gives each error that is raised inside its place in the file."""
    try:
        yield
    except JiggenError as fault:
        faults = fault.errors if isinstance(fault, SeveralErrors) else (fault,)
        raise_all([each.at(place(each.where)) for each in faults])


def _inside(where: str) -> Any:
    return _placed(lambda key: f"{where}.{key}")


def _shown(value: object) -> str:
    """Returns a value in the words of TOML, for `got`."""
    if isinstance(value, str):
        return quoted(value)
    text = json.dumps(value, default=str, ensure_ascii=False)
    return text if len(text) <= 40 else f"{text[:40]}…"
