"""The keys of material profiles, one row each; the same rows read a profile and write one."""

from dataclasses import dataclass

from jiggen.design.given import given
from jiggen.design.model import Given
from jiggen.shop.price import price
from jiggen.shop.rows import ANY_LENGTH, SENTENCE, UNITS
from jiggen.tables.kinds import exactly, flag, length, listing, number, table, words
from jiggen.tables.rows import Row

MATERIAL_SCHEMA = "jiggen-material/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class KerfTable:
    """A table [[kerf]] as it stands in a material's profile: either the width, or that on each face."""

    machine: str = ""
    setting: str = ""
    width: Given[float] | None = None
    marked: Given[float] | None = None
    plain: Given[float] | None = None


KERF_ROWS = (
    Row(
        key="machine",
        field="machine",
        kind=words(example='"large-laser"'),
        about="the machine profile that it was measured on; any laser when left out",
    ),
    Row(
        key="setting",
        field="setting",
        kind=words(example='"60 % power, 12 mm/s"'),
        about="power and speed, in words",
    ),
    Row(key="width", field="width", kind=ANY_LENGTH, about="full width of the cut"),
    Row(
        key="marked-face",
        field="marked",
        kind=ANY_LENGTH,
        about="its width on the face that is up when cut, where the two differ",
    ),
    Row(key="plain-face", field="plain", kind=ANY_LENGTH, about="its width on the other face"),
)

MATERIAL_ROWS = (
    Row(
        key="schema", field="", kind=exactly(MATERIAL_SCHEMA), about="the format of this file", required=True
    ),
    UNITS,
    Row(
        key="title",
        field="title",
        kind=words(example='"3 mm cast acrylic"'),
        about="what to call it, with its thickness",
        required=True,
    ),
    Row(
        key="thickness",
        field="thickness",
        kind=given(length(example='"3 mm"')),
        about="thickness of the sheet",
        required=True,
    ),
    Row(
        key="transparent",
        field="transparent",
        kind=flag(),
        about="whether work can be seen through it",
        required=True,
    ),
    Row(
        key="price-per-m2",
        field="price_per_m2",
        kind=price(example='"42.50 EUR"'),
        about="what a square metre of the sheet costs",
        rare=True,
    ),
    Row(
        key="gap",
        field="gap_mm",
        kind=length(example='"6 mm"'),
        about="smallest distance between two parts, where the sheet wants more than the machine",
        rare=True,
    ),
    Row(
        key="cautions",
        field="cautions",
        kind=listing(SENTENCE),
        about="sentences for whoever works it, a list that may be empty",
        required=True,
    ),
    Row(
        key="laser-cautions",
        field="laser_cautions",
        kind=listing(SENTENCE),
        about="the same for a laser",
        rare=True,
    ),
    Row(
        key="router-cautions",
        field="router_cautions",
        kind=listing(SENTENCE),
        about="the same for a router",
        rare=True,
    ),
    Row(
        key="tolerance.over",
        field="over",
        kind=length("non-negative", example='"0.7 mm"'),
        about="by how much the sheet may be thicker",
        rare=True,
    ),
    Row(
        key="tolerance.under",
        field="under",
        kind=length("non-negative", example='"0.7 mm"'),
        about="by how much it may be thinner",
        rare=True,
    ),
    Row(
        key="tolerance.standard",
        field="standard",
        kind=words(example='"ISO 7823-1"'),
        about="the standard that says so",
        rare=True,
    ),
    Row(
        key="growth.expansion",
        field="expansion",
        kind=given(number(most=1e-3, example="70e-6")),
        about="growth per °C, as a share of the length",
        rare=True,
    ),
    Row(
        key="growth.moisture-along",
        field="moisture_along",
        kind=given(number(most=1e-2, example="20e-6")),
        about="growth per per cent of relative humidity, along the grain where there is one",
        rare=True,
    ),
    Row(
        key="growth.moisture-across",
        field="moisture_across",
        kind=given(number(most=1e-2, example="20e-6")),
        about="the same across the grain; left out where there is none",
        rare=True,
    ),
    Row(
        key="refused.laser",
        field="refused_laser",
        kind=SENTENCE,
        about="why it must not go on a laser",
        rare=True,
    ),
    Row(
        key="refused.router",
        field="refused_router",
        kind=SENTENCE,
        about="why it must not go on a router",
        rare=True,
    ),
    Row(
        key="kerf",
        field="kerfs",
        kind=listing(table(KERF_ROWS, KerfTable), least=1),
        about="tables [[kerf]]: how wide a cut is",
        rare=True,
    ),
)
