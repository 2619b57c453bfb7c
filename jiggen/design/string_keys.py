"""The keys of a design file for strings, their set-up and the position marks, one row each."""

from jiggen.design.fitting_keys import FITTING_ROWS
from jiggen.design.given import given
from jiggen.design.instrument_keys import INSTRUMENT_ROWS
from jiggen.design.model import (
    CompensationBy,
    Family,
    SetbackTo,
    Spacing,
)
from jiggen.design.mould_keys import MOULD_ROWS
from jiggen.tables.kinds import (
    choice,
    count,
    flag,
    length,
    listing,
    number,
    words,
)
from jiggen.tables.rows import Row

_POSITIONS = given(listing(length("non-negative", example='"7.8mm"'), least=1))
_NOTE_NAME = words(longest=4, pattern=r"[A-Ga-g][#♯b♭]?(-1|[0-9])", example='"E4"')


STRING_ROWS = (
    Row(
        key="strings.count",
        field="string_count",
        kind=given(count(1, 24, example="6")),
        about="number of strings",
    ),
    Row(
        key="strings.courses",
        field="courses",
        kind=given(listing(count(1, 6, example="2"), least=1)),
        about="how many strings each course has, first course first",
        rare=True,
    ),
    Row(
        key="strings.course-spacing-at-nut",
        field="course_spacing_nut",
        kind=given(length(example='"2.2mm"')),
        about="from string to string within a course",
        rare=True,
    ),
    Row(
        key="strings.course-spacing-at-bridge",
        field="course_spacing_bridge",
        kind=given(length(example='"3mm"')),
        about="from string to string within a course",
        rare=True,
    ),
    Row(
        key="strings.spread-at-nut",
        field="spread_at_nut",
        kind=given(length("non-negative", example='"39mm"')),
        about="centre to centre of the outer strings at the nut",
        rare=True,
    ),
    Row(
        key="strings.spread-at-bridge",
        field="spread_at_bridge",
        kind=given(length("non-negative", example='"57mm"')),
        about="centre to centre of the outer strings at the saddle",
    ),
    Row(
        key="strings.setback",
        field="setback",
        kind=given(length("non-negative", example='"1/8in"')),
        about="from the edge of the board to the outer string",
    ),
    Row(
        key="strings.setback-bass",
        field="setback_bass",
        kind=given(length("non-negative", example='"3.5mm"')),
        about="setback on the bass side alone",
        rare=True,
    ),
    Row(
        key="strings.setback-treble",
        field="setback_treble",
        kind=given(length("non-negative", example='"3mm"')),
        about="setback on the treble side alone",
        rare=True,
    ),
    Row(
        key="strings.setback-to",
        field="setback_to",
        kind=given(choice(SetbackTo)),
        about='what a setback runs to: the outer string\'s "centre" or "edge"',
    ),
    Row(
        key="strings.gauges",
        field="gauges",
        kind=given(listing(length(example='".012in"'), least=1)),
        about="string diameters, first string (treble) first",
    ),
    Row(
        key="strings.spacing",
        field="spacing",
        kind=given(choice(Spacing)),
        about="equal distances from middle to middle, or equal clear gaps",
        rare=True,
    ),
    Row(
        key="strings.positions-at-nut",
        field="positions_nut",
        kind=_POSITIONS,
        about="string centres, counted from the first string",
        rare=True,
    ),
    Row(
        key="strings.positions-at-bridge",
        field="positions_bridge",
        kind=_POSITIONS,
        about="string centres, counted from the first string",
        rare=True,
    ),
    Row(
        key="strings.nut-offset",
        field="nut_offset",
        kind=given(length("any", example='"0.5mm"')),
        about="by which all strings lie nearer the treble edge at the nut",
        rare=True,
    ),
    Row(
        key="strings.left-handed",
        field="left_handed",
        kind=given(flag()),
        about="whether everything is mirrored",
        rare=True,
    ),
    Row(
        key="strings.set",
        field="string_set",
        kind=given(words(longest=60, example='"steel-acoustic-012"')),
        about="string-set profile",
        rare=True,
    ),
    Row(
        key="strings.tuning",
        field="tuning",
        kind=given(listing(_NOTE_NAME, least=1)),
        about="open notes, first string first",
        rare=True,
    ),
    Row(
        key="strings.pitch-standard",
        field="pitch_standard",
        kind=given(number(most=1000.0, example="440")),
        about="frequency of A4 in Hz",
        rare=True,
    ),
    Row(
        key="setup.compensation",
        field="setup.compensation",
        kind=given(choice(CompensationBy)),
        about="where the saddle's setbacks come from",
        rare=True,
    ),
    Row(
        key="setup.compensate-nut",
        field="setup.compensate_nut",
        kind=given(flag()),
        about="whether the nut may move too",
        rare=True,
    ),
    Row(
        key="setup.action",
        field="setup.action",
        kind=given(length(example='"2.4mm"')),
        about="first string above fret 12",
        rare=True,
    ),
    Row(
        key="setup.action-bass",
        field="setup.action_bass",
        kind=given(length(example='"2.8mm"')),
        about="last string above fret 12",
        rare=True,
    ),
    Row(
        key="setup.nut-height",
        field="setup.nut_height",
        kind=given(length("non-negative", example='"1mm"')),
        about="strings at the nut above the fret tops' plane",
        rare=True,
    ),
    Row(
        key="setup.relief",
        field="setup.relief",
        kind=given(length("non-negative", example='"0.2mm"')),
        about="how far fret 12 lies below the straight line",
        rare=True,
    ),
    Row(
        key="setup.finger-distance",
        field="setup.finger",
        kind=given(length("non-negative", example='"10mm"')),
        about="from the fret back to the finger",
        rare=True,
    ),
    Row(
        key="setup.family",
        field="setup.family",
        kind=given(choice(Family)),
        about="kind of instrument for the rule of thumb",
        rare=True,
    ),
    Row(
        key="inlays.frets",
        field="inlays.frets",
        kind=given(listing(count(1, 60, example="5"))),
        about="frets that are marked",
        rare=True,
    ),
    Row(
        key="inlays.doubled",
        field="inlays.doubled",
        kind=given(listing(count(1, 60, example="12"))),
        about="those that get two dots",
        rare=True,
    ),
    Row(
        key="inlays.diameter",
        field="inlays.diameter",
        kind=given(length(example='"6mm"')),
        about="of a dot on the face",
        rare=True,
    ),
    Row(
        key="inlays.side-diameter",
        field="inlays.side_diameter",
        kind=given(length(example='"2mm"')),
        about="of a dot on the edge",
        rare=True,
    ),
    Row(
        key="inlays.side-depth",
        field="inlays.side_depth",
        kind=given(length(example='"3mm"')),
        about="from the board's face to the middle of a dot on the edge",
        rare=True,
    ),
    *FITTING_ROWS,
    *INSTRUMENT_ROWS,
    *MOULD_ROWS,
)
