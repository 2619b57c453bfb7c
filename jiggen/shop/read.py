"""Reads machines and materials from their profiles."""

from jiggen.design.keys import given
from jiggen.errors import ConflictError, JiggenError, raise_all
from jiggen.parts.model import Role
from jiggen.profiles import Profile
from jiggen.shop.machine import Machine, Operation
from jiggen.shop.material import Material
from jiggen.tables.document import Entry
from jiggen.tables.kinds import choice, count, exactly, flag, length, listing, table, unit_name, words
from jiggen.tables.rows import Row, read_rows

#: Every role that reaches the machine; notes never do.
CUT_ROLES = tuple(role for role in Role if role is not Role.NOTE)

_ANY_LENGTH = given(length())
_LENGTH_OR_NONE = given(length("non-negative"))
_UNITS = Row(key="units", field="", kind=unit_name(), about="the unit of lengths written as bare numbers")

MATERIAL_ROWS = (
    Row(
        key="schema",
        field="",
        kind=exactly("jiggen-material/1"),
        about="the format of this file",
        required=True,
    ),
    _UNITS,
    Row(
        key="title",
        field="title",
        kind=words(example='"3 mm cast acrylic"'),
        about="what to call it, with its thickness",
        required=True,
    ),
    Row(
        key="thickness",
        field="thickness_mm",
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
        key="cautions",
        field="cautions",
        kind=listing(words(longest=300)),
        about="sentences for whoever cuts it, a list that may be empty",
        required=True,
    ),
)

OPERATION_ROWS = (
    Row(
        key="name",
        field="name",
        kind=words(longest=31, pattern="[a-z][a-z0-9-]*", example='"cut-edge"'),
        about="the name of its layer: small letters, digits and hyphens",
        required=True,
    ),
    Row(key="role", field="role", kind=choice(CUT_ROLES), about="which features it makes", required=True),
    Row(
        key="colour",
        field="colour",
        kind=words(pattern="#[0-9a-fA-F]{6}", example='"#8c2f39"'),
        about="its colour on screen, in SVG and in PDF",
        required=True,
    ),
    Row(
        key="colour-index",
        field="aci",
        kind=count(1, 255, example="15"),
        about="the DXF colour index nearest to it",
        required=True,
    ),
    Row(
        key="note", field="note", kind=words(longest=300), about="what the operator should set", required=True
    ),
)

MACHINE_ROWS = (
    Row(
        key="schema",
        field="",
        kind=exactly("jiggen-machine/1"),
        about="the format of this file",
        required=True,
    ),
    _UNITS,
    Row(key="title", field="title", kind=words(), about="what to call it", required=True),
    Row(
        key="bed-width",
        field="bed_width_mm",
        kind=_ANY_LENGTH,
        about="size of the bed along x",
        required=True,
    ),
    Row(
        key="bed-height",
        field="bed_height_mm",
        kind=_ANY_LENGTH,
        about="size of the bed along y",
        required=True,
    ),
    Row(
        key="margin",
        field="margin_mm",
        kind=_LENGTH_OR_NONE,
        about="free border round the sheet",
        required=True,
    ),
    Row(
        key="gap",
        field="gap_mm",
        kind=_LENGTH_OR_NONE,
        about="smallest distance between parts",
        required=True,
    ),
    Row(key="kerf", field="kerf", kind=_LENGTH_OR_NONE, about="full width of the cut", required=True),
    Row(
        key="smallest-feature",
        field="smallest_feature_mm",
        kind=_ANY_LENGTH,
        about="least width of a web, slot or hole",
        required=True,
    ),
    Row(
        key="smallest-lettering",
        field="smallest_lettering_mm",
        kind=_ANY_LENGTH,
        about="least legible height of capitals",
        required=True,
    ),
    Row(
        key="line-width",
        field="line_width_mm",
        kind=_ANY_LENGTH,
        about="width at which lines are drawn",
        required=True,
    ),
    Row(
        key="operation",
        field="operations",
        kind=listing(table(OPERATION_ROWS, Operation), least=len(CUT_ROLES)),
        about="a table [[operation]] for each of engraving, scoring, openings and edges",
        required=True,
        example="…",
    ),
)


def material_from_profile(profile: Profile) -> Material:
    """Returns the material that a profile describes.

    Raises:
        JiggenError: If anything in the profile is wrong; all that is, in one go.
    """
    values = read_rows(profile.tables.root, MATERIAL_ROWS)
    values["thickness_mm"] = values["thickness_mm"].value
    return Material(name=profile.name, **values)


def machine_from_profile(profile: Profile) -> Machine:
    """Returns the machine that a profile describes.

    Raises:
        JiggenError: If anything in the profile is wrong; all that is, in one go.
    """
    root = profile.tables.root
    values = read_rows(root, MACHINE_ROWS)
    kerf = values.pop("kerf")
    lengths = {name: given.value for name, given in values.items() if name.endswith("_mm")}
    machine = Machine(name=profile.name, kerf_mm=kerf.value, kerf_source=kerf.source, **{**values, **lengths})
    raise_all([*_wrong_sizes(machine, root), *_wrong_operations(machine, root)])
    return machine


def _wrong_sizes(machine: Machine, root: Entry) -> list[JiggenError]:
    """Returns an error for each size that cannot be beside another."""
    found: list[JiggenError] = []
    margin, gap = root.find("margin"), root.find("gap")
    if margin and 2 * machine.margin_mm >= min(machine.bed_width_mm, machine.bed_height_mm):
        found.append(margin.wrong("less than half the bed's width and height"))
    if gap and machine.gap_mm < machine.kerf_mm:
        found.append(
            gap.wrong(f"at least the kerf of {machine.kerf_mm} mm", "Cuts would run into one another.")
        )
    return found


def _wrong_operations(machine: Machine, root: Entry) -> list[JiggenError]:
    """Returns an error for each thing that is wrong between operations."""
    operations = machine.operations
    where = entry.where if (entry := root.find("operation")) else root.where
    found: list[JiggenError] = []
    for role in CUT_ROLES:
        names = [each.name for each in operations if each.role is role]
        if len(names) != 1:
            got = f"{len(names)} operations for the role {role}" + (f": {', '.join(names)}" if names else "")
            found.append(ConflictError(where=where, got=got, expected="one operation for each role"))
    for what, values in (
        ("name", [each.name for each in operations]),
        ("colour-index", [str(each.aci) for each in operations]),
    ):
        found += [
            ConflictError(
                where=where, got=f"the {what} {value} twice", expected=f"a {what} of its own for each"
            )
            for value in sorted({each for each in values if values.count(each) > 1})
        ]
    if operations[-1].role is not Role.EDGE:
        found.append(
            ConflictError(
                where=where,
                got=f"{operations[-1].name} as the last operation",
                expected="the role edge last",
                mend="A part whose edge is cut may drop or shift, so all else must be done by then.",
            )
        )
    return found
