"""Caliper readings of a coupon, as a table of comma-separated values.

    gauge, reading, unit
    kerf, 0.20, mm
    tongue.x.5, 5.02, mm
    tongue.x.5, 5.03, mm
    blocks.x, 60.11, mm
    long.x, 600.31, mm, 600 mm

Each row is a gauge of the coupon, what the caliper showed, and its unit, which may also stand behind the number. The
row `kerf` is not a reading but the kerf lettered on the coupon, with which it was cut. `long.x` and `long.y` are any
outside length cut in the same sheet, with the length it should have in the fourth column: a long piece tells the scale
best. Rows come in any order and as often as they were read; the head, rows without a reading, blank lines and lines
that start with # are passed over. Decimals stand after a point.
"""

from dataclasses import dataclass

from jiggen.errors import InputError, JiggenError, did_you_mean, quoted
from jiggen.parts.coupon import GAUGES, Gauge, Side
from jiggen.tables.readings import ReadingRow, raise_faults, reading_rows
from jiggen.units import parse_length

HEAD = ("gauge", "reading", "unit", "nominal")

_BY_ID = {gauge.id: gauge for gauge in GAUGES}
_KERF, _LONG = "kerf", ("long.x", "long.y")


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponReading:
    """One reading.

    Attributes:
        gauge: What was measured.
        mm: What the caliper showed.
        where: Its place in the table, for messages.
    """

    gauge: Gauge
    mm: float
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponReadings:
    """All readings of one coupon.

    Attributes:
        cut_kerf_mm: The kerf that it was cut with.
        readings: In the order of the table.
    """

    cut_kerf_mm: float
    readings: tuple[CouponReading, ...]


def blank_readings(cut_kerf_mm: float) -> str:
    """Returns a table to fill in, with each gauge as often as it is best read.

    Args:
        cut_kerf_mm: The kerf that the coupon is cut with.
    """
    lines = [
        "# Caliper readings of the coupon. Write each in the second column; read a gauge again for a better figure.",
        "# Rows without a reading are passed over. A long piece cut in the same sheet tells the scale best:",
        "# long.x, 600.31, mm, 600 mm",
        ", ".join(HEAD[:3]),
        f"{_KERF}, {cut_kerf_mm:.3f}, mm",
    ]
    for gauge in GAUGES:
        lines.append(f"# {gauge.about}")
        lines += [f"{gauge.id}, , mm"] * gauge.readings
    return "\n".join(lines) + "\n"


def coupon_readings_from_text(text: str, *, file: str) -> CouponReadings:
    """Reads a table of readings.

    Args:
        text: As at the top of this module.
        file: What to call it in errors.

    Raises:
        JiggenError: If a row cannot be read, or the kerf or all readings are missing; all that is wrong, in one go.
    """
    readings: list[CouponReading] = []
    kerfs: list[float] = []
    faults: list[JiggenError] = []
    for row in reading_rows(text, file=file, head=HEAD, example="tongue.x.5, 5.02, mm", faults=faults):
        try:
            if row.place == _KERF:
                kerfs.append(row.length("non-negative"))
            else:
                readings.append(CouponReading(gauge=_gauge(row), mm=row.length(), where=row.where))
        except JiggenError as fault:
            faults.append(fault)
    if not faults and len(kerfs) != 1:
        faults.append(
            InputError(
                where=file,
                got=f"{len(kerfs)} rows that say the kerf",
                expected="one",
                mend="Add the kerf lettered on the coupon: kerf, 0.20, mm",
            )
        )
    if not faults and not readings:
        faults.append(InputError(where=file, got="no readings", expected="rows such as tongue.x.5, 5.02, mm"))
    raise_faults(faults, file=file)
    return CouponReadings(cut_kerf_mm=kerfs[0], readings=tuple(readings))


def _gauge(row: ReadingRow) -> Gauge:
    """Returns what a row measures."""
    name = row.place
    if name in _LONG:
        if len(row.cells) < 4:
            raise InputError(
                where=row.cell_where(4),
                got="nothing",
                expected="the length it should have",
                mend="Write it like long.x, 600.31, mm, 600 mm",
            )
        nominal = parse_length(row.cells[3], where=row.cell_where(4)).mm
        return Gauge(id=name, side=Side.OUTSIDE, axis=name[-1], nominal_mm=nominal, about="a long piece")
    if name in _BY_ID:
        return _BY_ID[name]
    known = [*_BY_ID, *_LONG, _KERF]
    raise InputError(
        where=row.cell_where(1),
        got=quoted(name),
        expected=f"a gauge of the coupon: {', '.join(known)}",
        mend=did_you_mean(name, known),
    )
