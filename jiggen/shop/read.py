"""Reads machines and materials from their profiles."""

from typing import Any

from jiggen.design.making import Accuracy
from jiggen.design.model import Given
from jiggen.errors import ConflictError, JiggenError, raise_all
from jiggen.parts.model import Role
from jiggen.profiles import Profile
from jiggen.shop.kerf import Kerf, even
from jiggen.shop.machine import Machine, Process
from jiggen.shop.machine_rows import CUT_ROLES, MACHINE_ROWS
from jiggen.shop.material import Material, Refusal, Tolerance
from jiggen.shop.material_rows import MATERIAL_ROWS, KerfTable
from jiggen.tables.document import Entry
from jiggen.tables.rows import read_rows


def material_from_profile(profile: Profile) -> Material:
    """Returns the material that a profile describes.

    Raises:
        JiggenError: If anything in the profile is wrong; all that is, in one go.
    """
    root = profile.tables.root
    values = read_rows(root, MATERIAL_ROWS)
    thickness = values.pop("thickness")
    tables: tuple[KerfTable, ...] = values.pop("kerfs", ())
    entries = entry.children() if (entry := root.find("kerf")) else ()
    errors: list[JiggenError] = []
    tolerance = _tolerance(root, values, errors)
    kerfs = [
        kerf
        for each, entry in zip(tables, entries, strict=True)
        if (kerf := _kerf(each, entry, tables, errors))
    ]
    if "moisture_across" in values and "moisture_along" not in values:
        errors.append(
            _incomplete(root.find("growth"), root, "moisture-across alone", "moisture-along beside it")
        )
    raise_all(errors)
    refusals = tuple(
        Refusal(process=process, reason=values.pop(f"refused_{process}"))
        for process in (Process.LASER, Process.ROUTER)
        if f"refused_{process}" in values
    )
    return Material(
        name=profile.name,
        thickness_mm=thickness.value,
        thickness_source=thickness.source,
        tolerance=tolerance,
        kerfs=tuple(kerfs),
        refusals=refusals,
        **values,
    )


def _tolerance(root: Entry, values: dict[str, Any], errors: list[JiggenError]) -> Tolerance | None:
    """Takes the tolerance out of the values: all of it, or none."""
    over, under, standard = (values.pop(name, None) for name in ("over", "under", "standard"))
    if over is None and under is None and standard is None:
        return None
    if over is None or under is None or standard is None:
        errors.append(_incomplete(root.find("tolerance"), root, "a part of it", "over, under and standard"))
        return None
    return Tolerance(over_mm=over, under_mm=under, standard=standard)


def _kerf(
    said: KerfTable, entry: Entry, tables: tuple[KerfTable, ...], errors: list[JiggenError]
) -> Kerf | None:
    match (said.width, said.marked, said.plain):
        case (Given() as width, None, None):
            marked = plain = width
        case (None, Given() as marked, Given() as plain):
            pass
        case _:
            got = (
                ", ".join(name for name in ("width", "marked", "plain") if getattr(said, name))
                or "none of them"
            )
            errors.append(_incomplete(entry, entry, got, "either width, or marked-face and plain-face"))
            return None
    twins = [each for each in tables if (each.machine, each.setting) == (said.machine, said.setting)]
    if len(twins) > 1:
        errors.append(
            ConflictError(
                where=entry.where,
                got="another kerf for the same machine and setting",
                expected="one for each",
                mend="Name another setting, or take the older one out.",
            )
        )
        return None
    return Kerf(marked=marked, plain=plain, machine=said.machine, setting=said.setting)


def _incomplete(entry: Entry | None, root: Entry, got: str, expected: str) -> ConflictError:
    return ConflictError(where=(entry or root).where, got=got, expected=expected)


def machine_from_profile(profile: Profile) -> Machine:
    """Returns the machine that a profile describes.

    Raises:
        JiggenError: If anything in the profile is wrong; all that is, in one go.
    """
    root = profile.tables.root
    values = read_rows(root, MACHINE_ROWS)
    kerf = values.pop("kerf", None)
    names = [name for name in values if name.startswith("accuracy.")]
    accuracy = Accuracy(**{name.removeprefix("accuracy."): values.pop(name) for name in names})
    lengths = {name: given.value for name, given in values.items() if name.endswith("_mm")}
    machine = Machine(
        name=profile.name,
        kerf=even(kerf, machine=profile.name) if kerf is not None else None,
        accuracy=accuracy,
        **{**values, **lengths},
    )
    raise_all([*_wrong_sizes(machine, root), *_wrong_kerf(machine, root), *_wrong_operations(machine, root)])
    return machine


def _wrong_sizes(machine: Machine, root: Entry) -> list[JiggenError]:
    """Returns an error for each size that cannot be beside another."""
    found: list[JiggenError] = []
    margin, gap = root.find("margin"), root.find("gap")
    if margin and 2 * machine.margin_mm >= min(machine.bed_width_mm, machine.bed_height_mm):
        found.append(margin.wrong("less than half the bed's width and height"))
    if gap and machine.kerf and machine.gap_mm < machine.kerf.marked.value:
        found.append(
            gap.wrong(
                f"at least the kerf of {machine.kerf.marked.value} mm", "Cuts would run into one another."
            )
        )
    return found


def _wrong_kerf(machine: Machine, root: Entry) -> list[JiggenError]:
    """Returns an error if a router has no bit, or paper is to be cut."""
    entry = root.find("kerf")
    if machine.process is Process.PAPER and entry:
        return [entry.wrong("none, since paper is printed, not cut", "Take the line out.")]
    if machine.process is Process.ROUTER and not entry:
        return [
            ConflictError(
                where=root.where,
                got="a router without a kerf",
                expected="the diameter of its bit",
                mend='Add kerf = "3 mm"',
            )
        ]
    return []


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
    found += [
        ConflictError(
            where=where,
            got=f"{each.name} filled",
            expected=f"filled lettering only, not the role {each.role}",
        )
        for each in operations
        if each.filled and each.role is not Role.LETTERING
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
