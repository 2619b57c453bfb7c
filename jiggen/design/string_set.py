"""String sets: what each string is made of and tuned to, read from the tables of profiles.

A set is the profile `strings/NAME.toml`; the wires that it names are profiles `wires/NAME.toml`.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from jiggen.design.given import given
from jiggen.design.model import CHOSEN, Given
from jiggen.errors import ConflictError, InputError, JiggenError, SeveralErrors, raise_all
from jiggen.profiles import Profile
from jiggen.tables.kinds import count, exactly, length, listing, number, table, unit_name, words
from jiggen.tables.rows import Kind, Row, read_rows

#: A letter, at most one sharp or flat, and an octave from -1 to 9: all that a pitch can be.
PITCH_PATTERN = r"[A-Ga-g][#♯b♭]?(-1|[0-9])"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """Tensile strength of a wire; thin drawn wire has more of it than thick.

    Attributes:
        at_1_mm_mpa: Of wire 1 mm thick, MPa.
        exponent: How it falls as the diameter grows; 0 when it does not.
        source: Where both come from.
    """

    at_1_mm_mpa: float
    exponent: float
    source: str

    def at_diameter(self, diameter_mm: float) -> float:
        """Returns the strength of wire of a diameter, MPa. Source: S = A / d^m, the usual fit for spring wire."""
        return self.at_1_mm_mpa / math.pow(diameter_mm, self.exponent)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """What a string or a part of it is drawn from.

    Attributes:
        name: Profile name.
        title: For people.
        density_kg_m3: Mass by volume, `density-kg-m3`.
        modulus_gpa: Young's modulus, `modulus-gpa`; None for wires that only wrap.
        strength: `strength = { mpa-at-1mm, exponent, source }`; None when there is no figure to trust.
    """

    name: str
    title: str
    density_kg_m3: Given[float]
    modulus_gpa: Given[float] | None = None
    strength: Strength | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetString:
    """One string of a set. TOML table `[[string]]`.

    Attributes:
        number: 1 is the treble-most.
        course: `course`, counted from the treble; each string is its own course in a set that names none.
        pitch: `pitch`, the note it is meant for, such as `F#3`.
        diameter_mm: `diameter`, over all.
        wire: `wire`, of the plain string or of the core.
        wrap: `wrap`, wound about the core; None for a plain string.
        core_diameter_mm: `core`, of a wound string; None when it is plain or its core is not known.
        unit_mass_kg_m: `unit-mass-kg-m`; None when it is to follow from diameters and densities.
        response: `response`, R = dln(frequency)/dln(length) as measured; None when it was not.
    """

    number: int
    course: int
    pitch: Given[str]
    diameter_mm: Given[float]
    wire: Wire
    wrap: Wire | None
    core_diameter_mm: Given[float] | None
    unit_mass_kg_m: Given[float] | None
    response: Given[float] | None

    @property
    def load_diameter_mm(self) -> float | None:
        """Diameter of the wire that carries the tension; None for a wound string whose core is not known."""
        if self.wrap is None:
            return self.diameter_mm.value
        return self.core_diameter_mm.value if self.core_diameter_mm else None


@dataclass(frozen=True, slots=True, kw_only=True)
class StringSet:
    """A set of strings.

    Attributes:
        name: Profile name.
        title: For people.
        note: What the set is good for and how sure its numbers are; may be empty.
        scale_mm: `scale`, the speaking length the set is meant for.
        strings: First string (treble) first.
    """

    name: str
    title: str
    note: str
    scale_mm: Given[float]
    strings: tuple[SetString, ...]

    @property
    def gauges(self) -> Given[tuple[float, ...]]:
        """The strings' diameters, mm."""
        return Given(
            tuple(string.diameter_mm.value for string in self.strings),
            f"string set {self.name}",
            where=self.name,
        )


def _row(key: str, kind: Kind, about: str, field: str = "", *, required: bool = False) -> Row:
    return Row(key=key, field=field or key, kind=kind, about=about, required=required)


def _schema(name: str) -> Row:
    return Row(key="schema", field="", kind=exactly(name), about="the format of this file", required=True)


_SOURCE = words(longest=300, example='"common practice"')
_NAME = given(words(pattern="[a-z0-9]+(-[a-z0-9]+)*", example='"steel"'))
_TITLE = _row("title", words(), "what to call it", required=True)

_INLINE = 'Write { value = …, source = "common practice" }, or whatever is true.'

#: Numbers of a string whose source may be named for all strings at once, under [sources].
_SOURCED = ("pitch", "diameter", "core", "unit-mass", "response")

STRENGTH_ROWS = (
    _row("mpa-at-1mm", number(example="2211"), "strength at 1 mm, in MPa", "at_1_mm_mpa", required=True),
    _row(
        "exponent",
        number(example="0.145", above=-1.0, most=1.0),
        "how it falls as the diameter grows",
        required=True,
    ),
    _row("source", _SOURCE, "where both come from", required=True),
)

WIRE_ROWS = (
    _schema("jiggen-wire/1"),
    _TITLE,
    _row("density-kg-m3", given(number(example="7850")), "density in kg/m³", "density_kg_m3", required=True),
    _row("modulus-gpa", given(number(example="203.4")), "Young's modulus in GPa", "modulus_gpa"),
    _row("strength", table(STRENGTH_ROWS, Strength), "tensile strength"),
)

STRING_ROWS = (
    _row(
        "pitch",
        given(words(pattern=PITCH_PATTERN, example='"F#3"')),
        "the note it is meant for",
        required=True,
    ),
    _row("diameter", given(length(example='".012in"')), "its diameter", required=True),
    _row("wire", _NAME, "wire profile of the plain string or the core", required=True),
    _row("wrap", _NAME, "wire profile of what is wound about the core"),
    _row("core", given(length(example='".018in"')), "diameter of the core"),
    _row("unit-mass-kg-m", given(number(example="0.000374")), "unit mass in kg/m", "unit-mass"),
    _row("response", given(number(example="25")), "dln(frequency)/dln(length) as measured"),
    _row("course", given(count(1, 60, example="1")), "its course, counted from the treble"),
)

SET_ROWS = (
    _schema("jiggen-strings/1"),
    Row(key="units", field="", kind=unit_name(), about="the unit of lengths written as bare numbers"),
    _TITLE,
    _row("note", words(longest=1000, lines=True), "free words"),
    _row("scale", given(length(example='"650mm"')), "the speaking length it is meant for", required=True),
    *(_row(f"sources.{key}", _SOURCE, f"where each {key} comes from") for key in _SOURCED),
    _row("string", listing(table(STRING_ROWS, dict), least=1), "its strings, treble first", required=True),
)


#: Returns the wire of a name. The second text is the place that asks for it, for errors.
WireFinder = Callable[[str, str], Wire]


def wire_of(profile: Profile) -> Wire:
    """Returns the wire that a profile describes.

    Raises:
        JiggenError: If anything in the profile is wrong; all that is, in one go.
    """
    values = read_rows(profile.tables.root, WIRE_ROWS)
    numbers = [each for each in values.values() if isinstance(each, Given)]
    raise_all([_unsourced(each, _INLINE) for each in numbers if each.source == CHOSEN])
    return Wire(name=profile.name, **values)


def string_set_of(profile: Profile, wire: WireFinder) -> StringSet:
    """Returns the string set that a profile describes.

    Args:
        profile: Of a set.
        wire: Returns the wire of a name; raises InputError at the place that names it when there is none.

    Raises:
        JiggenError: If a value is wrong or missing or says nowhere where it comes from, a key or a wire is not known,
            courses are out of turn, a core is not thinner than its string, or what is said of a string is too little
            to find its mass and its stretch from; all that is wrong, in one go.
    """
    values = read_rows(profile.tables.root, SET_ROWS)
    sources = {key: values[f"sources.{key}"] for key in _SOURCED if f"sources.{key}" in values}
    scale = values["scale"]
    found: list[JiggenError] = [_unsourced(scale, _INLINE)] if scale.source == CHOSEN else []
    strings: list[SetString] = []
    for place, row in enumerate(values["string"], start=1):
        try:
            strings.append(_string(place, row, wire, sources))
        except SeveralErrors as several:
            found += several.errors
        except JiggenError as error:
            found.append(error)
    raise_all(found or _wrong_courses(strings, values["string"]))
    return StringSet(
        name=profile.name,
        title=values["title"],
        note=values.get("note", ""),
        scale_mm=scale,
        strings=tuple(strings),
    )


def _string(number: int, row: dict[str, Any], wire: WireFinder, sources: dict[str, str]) -> SetString:
    """Returns one string and refuses it when it leaves mass or stretch open."""
    numbers = {key: _sourced(key, row[key], sources) for key in _SOURCED if key in row}
    wires = {key: wire(row[key].value, row[key].where) for key in ("wire", "wrap") if key in row}
    string = SetString(
        number=number,
        course=row["course"].value if "course" in row else number,
        pitch=numbers["pitch"],
        diameter_mm=numbers["diameter"],
        wire=wires["wire"],
        wrap=wires.get("wrap"),
        core_diameter_mm=numbers.get("core"),
        unit_mass_kg_m=numbers.get("unit-mass"),
        response=numbers.get("response"),
    )
    raise_all(_wrong_make(string))
    return string


def _sourced(key: str, number: Given[Any], sources: dict[str, str]) -> Given[Any]:
    """Returns a number with its own source, or else with the one the set names for all its like.

    Raises:
        InputError: If neither says where it comes from.
    """
    if number.source != CHOSEN:
        return number
    if key not in sources:
        raise _unsourced(number, f'Add {key} = "common practice" under [sources], or whatever is true.')
    return replace(number, source=sources[key])


def _unsourced(number: Given[Any], mend: str) -> InputError:
    """Returns the error for a number of which nobody says where it comes from."""
    return InputError(
        where=number.where, got=f"{number.text} without a source", expected="where it comes from", mend=mend
    )


def _wrong_make(string: SetString) -> list[JiggenError]:
    """Returns what does not fit together in one string, or is too little."""
    found: list[JiggenError] = []
    core, diameter = string.core_diameter_mm, string.diameter_mm

    def wrong(got: str, expected: str, mend: str) -> None:
        found.append(InputError(where=diameter.where, got=got, expected=expected, mend=mend))

    if core and core.value >= diameter.value:
        found.append(
            ConflictError(
                where=core.where,
                got=f"core {core.text} in diameter {diameter.text}",
                expected="a core thinner than the string",
                mend="Correct one of them.",
            )
        )
    if core and string.wrap is None:
        wrong("a core without a wrap", "both, for a wound string", 'Add wrap = "…" or take core out.')
    if string.wrap and core is None and string.unit_mass_kg_m is None:
        wrong(
            "a wound string without core and unit mass",
            "one of them, for its mass",
            'Add core = "…" or unit-mass-kg-m = ….',
        )
    if string.response is None and string.load_diameter_mm is None:
        wrong(
            "a wound string without core and response",
            "one of them, for its stretch",
            'Add core = "…" or response = ….',
        )
    if string.response is None and string.wire.modulus_gpa is None:
        wrong(
            f"the wire {string.wire.name}, which has no modulus",
            "one that has, for its stretch",
            "Name another wire, or add response = ….",
        )
    return found


def _wrong_courses(strings: Sequence[SetString], rows: Sequence[dict[str, Any]]) -> list[JiggenError]:
    """Returns an error for each course out of turn: they count up from 1, string by string."""
    found: list[JiggenError] = []
    last = 0
    for string, row in zip(strings, rows, strict=True):
        named = "course" in row
        if named != ("course" in rows[0]) or string.course not in {max(last, 1), last + 1}:
            found.append(
                InputError(
                    where=row["course"].where if named else string.pitch.where,
                    got=f"course {string.course}" if named else "no course",
                    expected=f"course {last} or {last + 1}" if last else "course 1",
                    mend="Courses count up from the treble; name that of every string, or of none.",
                )
            )
        last = string.course
    return found
