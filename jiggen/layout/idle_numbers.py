"""The doubt about numbers that a design says and that nothing uses."""

from collections.abc import Iterator

from jiggen.design.model import EndShape, Spacing
from jiggen.design.quote import is_own, key_of
from jiggen.layout.doubt import Doubt
from jiggen.layout.model import Layout


def idle_numbers(layout: Layout) -> Doubt | None:
    """Returns the doubt, or None when every number of the maker's has a part in the neck."""
    design = layout.spec.design
    keys = [key_of(name) for name in _idle(layout) if is_own(getattr(design, name))]
    if not keys:
        return None
    return Doubt(
        name="idle-numbers",
        reason="What is said has no part in this neck, as if something else had been left out",
        number=", ".join(keys),
        usual="to say only what counts",
    )


def _idle(layout: Layout) -> Iterator[str]:
    """The fields of `Design` that have no part in such a neck."""
    spec = layout.spec
    if not spec.fanned:
        yield "straight_fret"
    if not spec.zero_fret.value:
        yield "nut_behind"
    if spec.end.value is not EndShape.ANGLED:
        yield "end_angle"
    if spec.end.value is not EndShape.ROUNDED:
        yield "end_radius"
    for spacing, positions in (
        ("course_spacing_nut", spec.positions_nut),
        ("course_spacing_bridge", spec.positions_bridge),
    ):
        if positions or max(spec.courses.value) == 1:
            yield spacing
    if spec.spacing.value is Spacing.GAPS and spec.positions_nut and spec.positions_bridge:
        yield "spacing"
