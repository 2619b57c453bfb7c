"""Says why rows are out of tolerance: one cause with a name for what would else be a hundred numbers."""

from collections.abc import Iterator, Sequence

import numpy as np

from jiggen.proof.curves import Flags, Floats
from jiggen.proof.match import SAME_PLACE_MM
from jiggen.proof.measure import Measured, departures
from jiggen.proof.nominal import Item, Nominal, Samples
from jiggen.proof.report import Fault, Finding, Row
from jiggen.proof.scoring import TOLERANCE_MM
from jiggen.units import INCH

_INCH_MM = float(INCH)
#: Factors by which units get mixed up, and how.
_MIX_UPS = (
    (_INCH_MM, "inches written as millimetres, or read so"),
    (1.0 / _INCH_MM, "millimetres written as inches, or read so"),
    (96.0 / 72.0, "points of 1/72 in taken for pixels of 1/96 in, or the other way"),
    (72.0 / 96.0, "points of 1/72 in taken for pixels of 1/96 in, or the other way"),
    (96.0 / _INCH_MM, "millimetres written as pixels of 1/96 in"),
    (_INCH_MM / 96.0, "pixels of 1/96 in written as millimetres"),
    (72.0 / _INCH_MM, "millimetres written as points of 1/72 in"),
    (_INCH_MM / 72.0, "points of 1/72 in written as millimetres"),
    (10.0, "centimetres written as millimetres"),
    (0.1, "millimetres written as centimetres"),
)
#: A cause must explain away all but this share of what is wrong.
_EXPLAINED = 0.05


def diagnose(nominal: Nominal, measured: Measured, file: str) -> Iterator[Finding]:
    """Yields a named cause for every row that is out of tolerance.

    Args:
        nominal: Of the sheet.
        measured: One of its files.
        file: Its name.
    """
    failing: dict[tuple[str, str], list[Row]] = {}
    for row in measured.rows:
        if not row.ok and row.what != "as cut":
            failing.setdefault((row.part, row.feature), []).append(row)
    numbers = {(item.part.name, item.feature.id): number for number, item in enumerate(nominal.items)}
    by_part: dict[str, list[Finding]] = {}
    for key, rows in failing.items():
        fault, message = _cause(nominal, measured, numbers[key], rows)
        by_part.setdefault(key[0], []).append(
            Finding(fault=fault, message=message, file=file, part=key[0], features=(key[1],))
        )
    for number in np.flatnonzero(measured.outside).tolist():
        item = nominal.items[number]
        message = "its lettering runs off the part"
        by_part.setdefault(item.part.name, []).append(
            Finding(
                fault=Fault.OUTSIDE_PART,
                message=message,
                file=file,
                part=item.part.name,
                features=(item.feature.id,),
            )
        )
    for part, findings in by_part.items():
        kerf = {Fault.KERF_WRONG_SIDE, Fault.KERF_NOT_APPLIED} & {finding.fault for finding in findings}
        whole = None if kerf else _cause_of_part(nominal, measured, part)
        if whole is None:
            yield from findings
        else:
            fault, message = whole
            ids = tuple(id for finding in findings for id in finding.features)
            yield Finding(fault=fault, message=message, file=file, part=part, features=ids)


def _cause(nominal: Nominal, measured: Measured, number: int, rows: Sequence[Row]) -> tuple[Fault, str]:
    item = nominal.items[number]
    whats = {row.what: row for row in rows}
    if "contour" in whats:
        kerf = _kerf(nominal, measured, number)
        if kerf:
            return kerf
    other = _stands_at(nominal, measured, number)
    if other:
        return Fault.WRONG_ID, f"lies where {other} should"
    if "contour" in whats and item.target == number and _has_flipped_arc(nominal, measured, number):
        return Fault.ARC_FLIPPED, "an arc bulges to the wrong side of its two ends"
    positions = [whats[what] for what in ("position x", "position y") if what in whats]
    sizes = [whats[what] for what in ("width", "length") if what in whats]
    words = [f"{row.what} is off by {row.difference_mm:+.3f} mm" for row in (*positions, *sizes)]
    if positions or sizes:
        fault = Fault.WRONG_SHAPE if positions and sizes else Fault.MOVED if positions else Fault.WRONG_SIZE
        return fault, " and ".join(words)
    shift = _shift(nominal, measured, number)
    if shift is not None and _explains(nominal, measured, number, shift):
        return Fault.MOVED, f"lies off by ({shift[0]:+.3f}, {shift[1]:+.3f}) mm"
    if set(whats) == {"run"}:
        row = whats["run"]
        return (
            (Fault.DOUBLED_LINE, f"runs {row.difference_mm:.2f} mm more than it has lines for")
            if row.difference_mm > 0.0
            else (Fault.WRONG_SHAPE, f"{-row.difference_mm:.2f} mm of its lines are missing")
        )
    row = max(rows, key=lambda each: abs(each.difference_mm))
    return Fault.WRONG_SHAPE, f"its {row.what} is off by {row.difference_mm:+.3f} mm"


def _samples(samples: Samples, number: int) -> Samples:
    return samples.where(samples.owner == number)


def _kerf(nominal: Nominal, measured: Measured, number: int) -> tuple[Fault, str] | None:
    """Whether the path would be right with the kerf on the other side, or left out."""
    half = float(nominal.half_beam[number])
    if half <= TOLERANCE_MM:
        return None
    for side, fault, message in (
        (0, Fault.KERF_NOT_APPLIED, f"runs on the finished contour: each wall comes out {half:.3f} mm off"),
        (
            -1,
            Fault.KERF_WRONG_SIDE,
            f"runs on the part's side of its contour: each wall comes out {2 * half:.3f} mm off",
        ),
    ):
        samples = _samples(nominal.reachable(side), number)
        if len(samples.owner) and departures(nominal, measured.nearest, samples, side).max() <= TOLERANCE_MM:
            return fault, message
    return None


def _stands_at(nominal: Nominal, measured: Measured, number: int) -> str | None:
    """Returns the name of another feature in whose place this one lies."""
    box = measured.sheet_bounds[number]
    for other, item in enumerate(nominal.items):
        wanted = item.feature.cut_bounds
        if other == number or wanted is None or item.feature.role != nominal.items[number].feature.role:
            continue
        if np.abs(box - np.array(wanted)).max() <= SAME_PLACE_MM:
            return f"{item.part.name}.{item.feature.id}"
    return None


def _has_flipped_arc(nominal: Nominal, measured: Measured, number: int) -> bool:
    """Whether some arc has its ends in place and its middle not, and would have with its bulge turned."""
    pieces = measured.curves.of(number)
    arcs = pieces.take(pieces.curved)
    if not len(arcs.bulge):
        return False
    half = nominal.half_beam[number]

    def off(places: Floats) -> Floats:
        return np.asarray(np.abs(nominal.nearest.distance(places, arcs.owner, half) - half))

    middle = np.array([0.5])
    ends_in_place = (off(arcs.start) <= TOLERANCE_MM) & (off(arcs.end) <= TOLERANCE_MM)
    turned = arcs.with_bulge(-arcs.bulge)
    flipped: Flags = (
        ends_in_place
        & (off(arcs.at(middle)[:, 0]) > TOLERANCE_MM)
        & (off(turned.at(middle)[:, 0]) <= TOLERANCE_MM)
    )
    return bool(flipped.any())


def _shift(nominal: Nominal, measured: Measured, number: int) -> Floats | None:
    """Returns by how much the middle of what is on the sheet lies off, in mm along the sheet's axes."""
    wanted = nominal.items[number].feature.cut_bounds
    box = measured.sheet_bounds[number]
    if wanted is None or np.isnan(box).any():
        return None
    low, high = box[:2] - np.array(wanted[:2]), box[2:] - np.array(wanted[2:])
    same_size = bool(np.abs(low - high).max() <= TOLERANCE_MM)
    shift: Floats = (low + high) / 2.0
    return shift if same_size and np.abs(shift).max() > TOLERANCE_MM / 2.0 else None


def _explains(nominal: Nominal, measured: Measured, number: int, shift: Floats) -> bool:
    """Whether the contour fits once it is moved back."""
    item = nominal.items[number]
    if not item.feature.finished:
        return True
    samples = _samples(nominal.reachable(), number)
    if not len(samples.owner):
        return False
    x, y = _on_part(item, shift)
    moved = Samples(samples.place + np.array([x, y]), samples.outward, samples.owner)
    return bool(departures(nominal, measured.nearest, moved).max() <= TOLERANCE_MM)


def _on_part(item: Item, shift: Floats) -> tuple[float, float]:
    """Returns a displacement on the sheet in the part's own axes."""
    place = item.part.place
    across = -1.0 if place.mirrored else 1.0
    dx, dy = float(shift[0]), float(shift[1])
    return place.cosine * dx + place.sine * dy, across * (place.cosine * dy - place.sine * dx)


def _cause_of_part(nominal: Nominal, measured: Measured, part: str) -> tuple[Fault, str] | None:
    """One map of the sheet that explains all that is wrong with a part: each axis stretched, turned round, shifted."""
    wanted, found = [], []
    for number, item in enumerate(nominal.items):
        box = item.feature.cut_bounds
        if item.part.name == part and box is not None and not np.isnan(measured.sheet_bounds[number]).any():
            wanted.append(box)
            found.append(measured.sheet_bounds[number])
    if not wanted:
        return None
    boxes, got = np.array(wanted), np.array(found)
    fits = [_fit(boxes[:, axis::2], got[:, axis::2]) for axis in (0, 1)]
    before = float(np.abs(boxes - got).max())
    left = max(fit.left for fit in fits)
    factors = [fit.factor for fit in fits]
    if (
        before <= TOLERANCE_MM
        or left > max(TOLERANCE_MM * max(map(abs, factors)), 0.0)
        or left > _EXPLAINED * before
    ):
        return None
    extent = float(max(np.ptp(boxes[:, axis::2]) for axis in (0, 1)))
    stretched = [abs(abs(factor) - 1.0) * extent > 2.0 * TOLERANCE_MM for factor in factors]
    if any(stretched):
        return Fault.WRONG_SCALE, scale_message(abs(factors[0]), abs(factors[1]))
    return None


class _Fit:
    """The straight rule that takes places wanted to places found along one axis, and what it leaves unexplained."""

    def __init__(self, wanted: Floats, found: Floats) -> None:
        middle, other = wanted.mean(), found.mean()
        spread = float(((wanted - middle) ** 2).sum())
        self.factor = float(((wanted - middle) * (found - other)).sum()) / spread if spread else 1.0
        self.shift = float(other - middle)
        self.left = float(np.abs(other + self.factor * (wanted - middle) - found).max())


def _fit(wanted: Floats, found: Floats) -> _Fit:
    """Returns the better of the rules for boxes (n, 2) that keep their sense and boxes turned round."""
    straight, turned = _Fit(wanted, found), _Fit(wanted, found[:, ::-1])
    return turned if turned.left < straight.left / 4.0 and straight.left > TOLERANCE_MM else straight


def scale_message(x: float, y: float) -> str:
    """Returns in words that something is x times as large along x, and y times along y, and how that comes about."""
    both = abs(x - y) <= 1e-3 * x
    for factor, story in _MIX_UPS:
        if both and abs(x - factor) <= 1e-3 * factor:
            return f"is {x:.4f} times as large as it should be: {story}"
    return (
        f"is {x:.5f} times as large as it should be"
        if both
        else f"is {x:.5f} times as large in x and {y:.5f} times in y as it should be"
    )
