"""Which of many readings are slips: a start that they cannot pull, then what chance cannot explain is left out."""

import math
from collections import defaultdict
from collections.abc import Hashable, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from jiggen.errors import InputError
from jiggen.layout.student import coverage_factor

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

#: The scatter is never taken as less than this, mm: resolution 0.01 mm of a caliper over √12 (JCGM 100, F.2.2.1).
LEAST_SCATTER = 0.01 / math.sqrt(12.0)
#: A reading is a slip if chance would put one so far off in less than this share of all coupons.
_CHANCE_OF_A_SLIP = 0.05
#: Makes the median of absolute deviations a standard deviation, for normal scatter.
_NORMAL_MAD = 1.4826
#: How far a factor may lie from one, far and wide; what falls outside was typed or read wrong.
_LARGEST_STRETCH = 0.02
_MOST_ROUNDS = 20
#: Models from which a robust start is looked for, and how often each is fitted anew.
_MOST_STARTS, _STEPS = 30, 3


def sound(groups: Sequence[Hashable], design: "Floats", seen: "Floats") -> "NDArray[np.bool_]":
    """Tells which readings follow one model; the others are slips.

    From a start that slips cannot pull, readings further off than chance allows, the model's own uncertainty
    included, are left out and the rest is fitted by least squares, until nothing changes.

    Args:
        groups: For each reading, what it is a reading of; those of one group have the same row in `design`.
        design: (n, p) coefficients; the first two unknowns are factors near one.
        seen: (n,) readings, mm.

    Raises:
        InputError: If no model whose factors are near one goes with any readings.

    Source: Student's t, the chance shared out over all readings (Bonferroni).
    """
    import numpy as np

    unknowns = design.shape[1]
    found = _start(groups, design, seen)
    off = np.abs(seen - design @ found)
    scatter = max(_NORMAL_MAD * (1.0 + 5.0 / (len(seen) - unknowns)) * float(np.median(off)), LEAST_SCATTER)
    kept = off <= 3.0 * scatter
    history: list[bytes] = []
    while kept.tobytes() not in history and len(history) < _MOST_ROUNDS:
        history.append(kept.tobytes())
        freedom = int(kept.sum()) - unknowns
        if freedom < 1 or int(np.linalg.matrix_rank(design[kept])) < unknowns:
            break
        inverse = np.linalg.inv(design[kept].T @ design[kept])
        off = np.abs(seen - design @ (inverse @ (design[kept].T @ seen[kept])))
        scatter = max(
            math.sqrt(float(off[kept] @ off[kept]) / freedom),
            _NORMAL_MAD * float(np.median(off)),  # which leaving out the worst does not shrink
            LEAST_SCATTER,
        )
        leverage = np.einsum("ij,jk,ik->i", design, inverse, design)
        share = np.where(kept, np.maximum(1.0 - leverage, 0.05), 1.0 + leverage)
        cut = coverage_factor(freedom, 1.0 - _CHANCE_OF_A_SLIP / len(seen))
        kept = off <= cut * scatter * np.sqrt(share)
    return np.asarray(kept)


def _start(groups: Sequence[Hashable], design: "Floats", seen: "Floats") -> "Floats":
    """Returns a model that slips cannot pull: that of least trimmed squares, a quarter of the readings left aside.

    All models through as few gauges as can tell one are tried; those with the least median of absolute residuals are
    fitted to the three quarters of the readings nearest to them, again and again, and the best of these is taken.

    Source: P. J. Rousseeuw and K. Van Driessen, Computing LTS regression for large data sets, Data Mining and Knowledge
        Discovery 12, 29 (2006): concentration steps (from memory).
    """
    import numpy as np

    members: defaultdict[Hashable, list[int]] = defaultdict(list)
    for index, group in enumerate(groups):
        members[group].append(index)
    rows = np.array([design[indices[0]] for indices in members.values()])
    middles = np.array([float(np.median(seen[indices])) for indices in members.values()])
    few = np.array(list(combinations(range(len(rows)), design.shape[1]))).reshape(-1, design.shape[1])
    few = few[np.abs(np.linalg.det(rows[few])) > 1e-6]
    tried = np.linalg.solve(rows[few], middles[few][:, :, None])[:, :, 0]
    tried = tried[np.abs(tried[:, :2] - 1.0).max(axis=1) <= _LARGEST_STRETCH]
    if not len(tried):
        raise InputError(
            where="the readings",
            got="lengths that no machine could have cut",
            expected=f"what is within {100.0 * _LARGEST_STRETCH:g} % of the coupon",
            mend="See that each reading stands beside its own gauge, and in its own unit.",
        )
    off = np.median(np.abs(seen - tried @ design.T), axis=1)
    near = max(len(seen) - len(seen) // 4, design.shape[1] + 1)
    best, least = tried[int(np.argmin(off))], math.inf
    for model in tried[np.argsort(off, kind="stable")[:_MOST_STARTS]]:
        for _ in range(_STEPS):
            nearest = np.argsort(np.abs(seen - design @ model), kind="stable")[:near]
            model, *_ = np.linalg.lstsq(design[nearest], seen[nearest], rcond=None)  # noqa: PLW2901 - goes on from there
        squares = np.sort((seen - design @ model) ** 2)[:near]
        if float(squares.sum()) < least:
            best, least = model, float(squares.sum())
    return np.asarray(best)
