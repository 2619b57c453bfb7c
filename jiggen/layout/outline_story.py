"""What was read from outlines that were brought along, told in tables for JSON and in sentences. Millimetres."""

from collections.abc import Iterator
from typing import Any

from jiggen.design.by_outline import outlines_of
from jiggen.design.outline import Outline
from jiggen.design.spec import Spec
from jiggen.units import format_mm


def outline_tables(spec: Spec) -> list[dict[str, Any]]:
    """Returns what was read from each outline, ready for JSON; nothing where none was brought along."""
    return [_table(key, outline) for key, outline in outlines_of(spec)]


def took_lines(spec: Spec) -> Iterator[str]:
    """Yields what was taken from the files with outlines, and how well it is kept to."""
    for _, outline in outlines_of(spec):
        found = outline.brought
        yield (
            f"{outline.name}: {format_mm(found.length_mm)} long, {format_mm(found.width_mm)} wide,"
            f" its sides differ by {format_mm(found.asymmetry_mm)} at most;"
            f" arcs within {found.fit_error_mm:.4f} mm of what is drawn"
        )
        yield from (f"{outline.name}: {each}" for each in found.took)


def ignored_lines(spec: Spec) -> Iterator[str]:
    """Yields what was left out of the files with outlines, and why."""
    for key, outline in outlines_of(spec):
        yield from (f"{outline.name}: {each}" for each in _ignored(key, outline))


def _ignored(key: str, outline: Outline) -> tuple[str, ...]:
    inner, said = outline.brought.inner, outline.brought.ignored
    if not inner or outline.inner:
        return said
    within = f"{len(inner)} contour{'s' if len(inner) > 1 else ''} within it not cut"
    if key == "body.outline":
        within += "; inner = true makes openings of the whole body template of them"
    return (*said, within)


def _table(key: str, outline: Outline) -> dict[str, Any]:
    found = outline.brought
    return {
        "key": key,
        "file": outline.name,
        "kind": found.kind,
        "sha256": found.sha256,
        "length": found.length_mm,
        "width": found.width_mm,
        "asymmetry": found.asymmetry_mm,
        "fit-error": found.fit_error_mm,
        "scale": found.scale,
        "stations": [
            {
                "x": each.x_mm,
                "half-width": each.half_width_mm,
                "side": each.side,
                "residual": each.residual_mm,
            }
            for each in found.stations
        ],
        "took": list(found.took),
        "ignored": list(_ignored(key, outline)),
    }
