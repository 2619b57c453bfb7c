"""What a coupon's readings tell: kerf, scale of both axes, squareness, each with its standard uncertainty.

The model. A machine told to go to c goes to b c, with b near one and of its own for each axis, and its beam takes k
from what it goes round. The coupon was cut with a kerf k₀ in mind, so an edge of nominal width w was drawn w + k₀ wide
and an opening w - k₀. Then a caliper shows

    over a tongue, or the plate     b (w + k₀) - k
    inside a slot                   b (w - k₀) + k
    over n blocks from n openings   n (b (w - k₀) - k)

which is linear in b and k. Blocks tell n kerfs at once; slots and tongues of one width part k from b. The diagonals d
and e of a plate with sides p and q tell the angle between the axes: d² - e² = 4 p q sin θ, by the law of cosines.

Uncertainties are of type A: from the scatter of the readings about the model (JCGM 100:2008, 4.2 and H.3). What the
caliper itself is wrong by comes on top.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from jiggen.errors import InputError
from jiggen.layout.student import chance, coverage_factor
from jiggen.parts.coupon import BLOCKS, Gauge, Side
from jiggen.shop.coupon_readings import CouponReading, CouponReadings
from jiggen.shop.slips import LEAST_SCATTER, sound

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

#: What a kerf can be, far and wide, mm; what falls outside was typed or read wrong.
_LARGEST_KERF = 5.0
#: Kerfs told in two ways that differ by more than this, mm, cannot both be right: several times a caliper's slack.
_ONE_KERF = 0.08
_UNKNOWNS = 3  # scale of x, scale of y, kerf


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A figure with its standard uncertainty.

    Attributes:
        value: In mm, radians, or as a factor.
        uncertainty: Standard uncertainty, type A, in the same.
    """

    value: float
    uncertainty: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponSlip:
    """A reading left out.

    Attributes:
        reading: As it was given.
        expected_mm: What the model expects there.
    """

    reading: CouponReading
    expected_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponFit:
    """What a coupon told.

    Attributes:
        kerf: Full width of the cut, mm.
        stretch_x: How long a length along x came out, over what it should be.
        stretch_y: The same along y.
        squareness: By how much the angle between x and y exceeds a right angle, rad; None without both diagonals.
        kerf_difference: Kerf of cuts across x less that of cuts across y, mm; None if one of them cannot be told.
        scatter_mm: Standard deviation of the readings about the model.
        freedom: Degrees of freedom.
        count: Readings that were used.
        slips: Those that were not.
        cut_kerf_mm: The kerf that the coupon was cut with.
    """

    kerf: Estimate
    stretch_x: Estimate
    stretch_y: Estimate
    squareness: Estimate | None
    kerf_difference: Estimate | None
    scatter_mm: float
    freedom: int
    count: int
    slips: tuple[CouponSlip, ...]
    cut_kerf_mm: float

    @property
    def coverage(self) -> float:
        """By what a standard uncertainty is multiplied for 95 % (JCGM 100:2008, G.3)."""
        return coverage_factor(self.freedom)

    def stands_out(self, estimate: Estimate, expected: float) -> bool:
        """Tells whether a figure differs from what is expected by more than chance would in one case in twenty."""
        return chance((estimate.value - expected) / estimate.uncertainty, self.freedom) < 0.05


def fit_coupon(given: CouponReadings) -> CouponFit:
    """Returns what a coupon's readings tell, slips left out.

    Raises:
        InputError: If they are too few to tell scale of both axes and kerf, or tell nonsense.
    """
    import numpy as np

    sides = [each for each in given.readings if each.gauge.side is not Side.DIAGONAL]
    design, seen = _equations(sides, given.cut_kerf_mm)
    _require_enough(sides, design)
    _require_one_kerf(sides, given.cut_kerf_mm)
    groups = [(each.gauge.id, each.gauge.nominal_mm) for each in sides]
    kept = sound(groups, _kerf_by_axis(design), seen)
    _require_enough([each for each, keep in zip(sides, kept, strict=True) if keep], design[kept])
    found, covariance, scatter = _least_squares(
        [sides[i] for i in np.flatnonzero(kept)], design[kept], seen[kept]
    )
    errors = np.sqrt(np.diag(covariance))
    stretch_x, stretch_y, kerf = (
        Estimate(value=float(value), uncertainty=float(error))
        for value, error in zip(found, errors, strict=True)
    )
    if not 0.0 <= kerf.value <= _LARGEST_KERF:
        raise InputError(
            where="the readings",
            got=f"a kerf of {kerf.value:.3f} mm",
            expected=f"one from 0 to {_LARGEST_KERF:g} mm",
            mend="See that slots were read inside, tongues outside, and that the row kerf is what the coupon says.",
        )
    slips = [
        CouponSlip(reading=sides[index], expected_mm=float(design[index] @ found))
        for index in np.flatnonzero(~kept).tolist()
    ]
    squareness, diagonal_slips = _squareness(given, found, covariance, scatter)
    return CouponFit(
        kerf=kerf,
        stretch_x=stretch_x,
        stretch_y=stretch_y,
        squareness=squareness,
        kerf_difference=_kerf_difference(design, seen, kept),
        scatter_mm=scatter,
        freedom=int(kept.sum()) - _UNKNOWNS,
        count=int(kept.sum()),
        slips=(*slips, *diagonal_slips),
        cut_kerf_mm=given.cut_kerf_mm,
    )


def _row(gauge: Gauge, cut_kerf_mm: float) -> tuple[float, float]:
    """Returns by what a gauge multiplies its axis's scale and the kerf."""
    match gauge.side:
        case Side.OUTSIDE:
            return gauge.nominal_mm + cut_kerf_mm, -1.0
        case Side.INSIDE:
            return gauge.nominal_mm - cut_kerf_mm, 1.0
        case Side.BLOCKS:
            return BLOCKS * (gauge.nominal_mm - cut_kerf_mm), -float(BLOCKS)
        case Side.DIAGONAL:
            raise ValueError("a diagonal is not linear in the scales")


def _equations(readings: Sequence[CouponReading], cut_kerf_mm: float) -> "tuple[Floats, Floats]":
    """Returns the (n, 3) coefficients of scale x, scale y and kerf, and the (n,) readings."""
    import numpy as np

    design = np.zeros((len(readings), _UNKNOWNS))
    for index, reading in enumerate(readings):
        length, kerfs = _row(reading.gauge, cut_kerf_mm)
        design[index, 0 if reading.gauge.axis == "x" else 1] = length
        design[index, 2] = kerfs
    return design, np.array([reading.mm for reading in readings])


def _kerf_by_axis(design: "Floats") -> "Floats":
    """Returns the coefficients with a kerf for each axis, where readings of both tell it; else as they are.

    A machine whose kerf differs between the axes makes no slips of the readings of one of them.
    """
    import numpy as np

    of_x = design[:, 0] != 0.0
    parted = np.column_stack(
        [design[:, :2], np.where(of_x, design[:, 2], 0.0), np.where(of_x, 0.0, design[:, 2])]
    )
    return parted if int(np.linalg.matrix_rank(parted)) == parted.shape[1] else design


def _require_enough(readings: Sequence[CouponReading], design: "Floats") -> None:
    import numpy as np

    if len(readings) > _UNKNOWNS and int(np.linalg.matrix_rank(design)) == _UNKNOWNS:
        return
    gauges = {reading.gauge.id for reading in readings}
    raise InputError(
        where="the readings",
        got=f"{len(readings)} readings of {len(gauges)} gauges that agree",
        expected="more than 3, with x and y and both slots and tongues among them",
        mend="Measure more of the coupon: blocks and plate tell the most.",
    )


def _require_one_kerf(readings: Sequence[CouponReading], cut_kerf_mm: float) -> None:
    """Checks that slots and tongues tell about the same kerf as the blocks, medians against medians.

    Half the difference of a slot and a tongue of one width is k - b k₀, a block short of its width by k + b k₀: the two
    tell another kerf each if the coupon was cut with another k₀ than is said, or they were mixed up.

    Raises:
        InputError: If they do not.
    """
    by_id: defaultdict[str, list[float]] = defaultdict(list)
    for reading in readings:
        by_id[reading.gauge.id].append(reading.mm)
    middle = {id: median(read) for id, read in by_id.items()}
    halves = [
        (middle[id] - middle[twin]) / 2.0
        for id in middle
        if id.startswith("slot.") and (twin := id.replace("slot", "tongue")) in middle
    ]
    blocks = [each.gauge for each in readings if each.gauge.side is Side.BLOCKS]
    if not halves or not blocks:
        return
    by_pairs = median(halves) + cut_kerf_mm
    by_blocks = blocks[0].nominal_mm - cut_kerf_mm - middle[blocks[0].id] / BLOCKS
    if abs(by_pairs - by_blocks) > _ONE_KERF:
        raise InputError(
            where="the readings",
            got=f"a kerf of {by_pairs:.3f} mm by slots and tongues, and of {by_blocks:.3f} mm by the blocks",
            expected=f"the same within {_ONE_KERF:g} mm",
            mend="See that the row kerf is what the coupon says, that slots were read inside and tongues outside, and"
            " that all blocks were pushed together.",
        )


def _least_squares(
    readings: Sequence[CouponReading], design: "Floats", seen: "Floats"
) -> "tuple[Floats, Floats, float]":
    """Returns the fitted numbers, their covariance and the scatter.

    The scatter is the larger of that of all readings and that of the gauges' means: should the gauges differ by more
    than repeated readings do, then reading one of them again tells nothing new, and the uncertainty says so.
    """
    import numpy as np

    inverse = np.linalg.inv(design.T @ design)
    found = inverse @ (design.T @ seen)
    residuals = seen - design @ found
    freedom = len(seen) - _UNKNOWNS
    scatter = math.sqrt(float(residuals @ residuals) / freedom)
    by_gauge: defaultdict[str, list[float]] = defaultdict(list)
    for reading, residual in zip(readings, residuals.tolist(), strict=True):
        by_gauge[reading.gauge.id].append(residual)
    if len(by_gauge) > _UNKNOWNS:
        between = math.fsum(math.fsum(each) ** 2 / len(each) for each in by_gauge.values())
        scatter = max(scatter, math.sqrt(between / (len(by_gauge) - _UNKNOWNS)))
    scatter = max(scatter, LEAST_SCATTER)
    return found, np.asarray(inverse * scatter**2, dtype=np.float64), scatter


def _kerf_difference(design: "Floats", seen: "Floats", kept: "NDArray[np.bool_]") -> Estimate | None:
    """Returns the kerf across x less that across y, each axis fitted alone."""
    import numpy as np

    kerfs, squares = [], []
    for axis in (0, 1):
        mine = kept & (design[:, axis] != 0.0)
        own = design[mine][:, [axis, 2]]
        if int(mine.sum()) < 4 or int(np.linalg.matrix_rank(own)) < 2:
            return None
        inverse = np.linalg.inv(own.T @ own)
        found = inverse @ (own.T @ seen[mine])
        rest = seen[mine] - own @ found
        scatter = max(math.sqrt(float(rest @ rest) / (int(mine.sum()) - 2)), LEAST_SCATTER)
        kerfs.append(float(found[1]))
        squares.append(float(inverse[1, 1]) * scatter**2)
    return Estimate(value=kerfs[0] - kerfs[1], uncertainty=math.sqrt(math.fsum(squares)))


def _squareness(
    given: CouponReadings, found: "Floats", covariance: "Floats", scatter: float
) -> tuple[Estimate | None, tuple[CouponSlip, ...]]:
    """Returns the angle that the diagonals tell, and those of them that no plate can have."""
    import numpy as np

    diagonals = [each for each in given.readings if each.gauge.side is Side.DIAGONAL]
    if not diagonals:
        return None, ()
    side = diagonals[0].gauge.nominal_mm / math.sqrt(2.0)
    stretches, kerf = found[:2], float(found[2])
    across, up = ((stretches * (side + given.cut_kerf_mm)) - kerf).tolist()
    straight = math.hypot(across, up)
    # No machine is out of square by more than a degree or so, which moves a diagonal by a hundredth of it.
    slips = tuple(
        CouponSlip(reading=each, expected_mm=straight)
        for each in diagonals
        if abs(each.mm / straight - 1.0) > 0.01
    )
    sound = [each for each in diagonals if abs(each.mm / straight - 1.0) <= 0.01]
    rising, falling = ([each.mm for each in sound if each.gauge.axis == way] for way in ("rising", "falling"))
    if not rising or not falling:
        return None, slips
    long, other = (math.fsum(each) / len(each) for each in (rising, falling))
    sine = (long**2 - other**2) / (4.0 * across * up)
    # More along the rising diagonal is an angle under the right one.
    spread = scatter * math.sqrt(long**2 / len(rising) + other**2 / len(falling)) / (2.0 * across * up)
    from_sides = abs(sine) * math.sqrt(max(float(np.trace(covariance[:2, :2])), 0.0))
    return Estimate(value=-math.asin(sine), uncertainty=math.hypot(spread, from_sides)), slips
