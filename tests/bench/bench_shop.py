"""How quick the shop is, and how near a coupon's readings come to the kerf.

Run it by hand: python tests/bench/bench_shop.py
"""

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))  # for the simulated coupon in tests/support

from support.shop import cut_coupon

import jiggen
from jiggen.design.making import Make
from jiggen.design.model import Given
from jiggen.parts.catalogue import choose
from jiggen.parts.model import Bench, Part
from jiggen.prepare import fit_out_workshop
from jiggen.sheets.nest import nest
from jiggen.shop.check import check_part
from jiggen.shop.compensate import compensate
from jiggen.shop.coupon_fit import fit_coupon
from jiggen.shop.tag import tag_of
from jiggen.shop.workshop import Workshop, fit_out

ROUNDS = 40
MOST_MS = 30.0  # compensating the full Wren set, warm
NEAR_MM, NEAR_OF_100 = 0.005, 95  # kerf, of 100 coupons with 0.02 mm of noise and 24 readings
WREN = Path(__file__).parents[2] / "profiles" / "instruments" / "wren.toml"
STANDARD = ("plan-template", "fret-slot-guide", "saw-guide", "nut-rule")


def warm_ms(work: Callable[[], object]) -> tuple[float, float]:
    """The median and the least of many rounds, in ms."""
    work()
    times = []
    for _ in range(ROUNDS):
        begin = time.perf_counter()
        work()
        times.append((time.perf_counter() - begin) * 1000.0)
    return statistics.median(times), min(times)


def parts_of_the_wren() -> tuple[jiggen.Neck, list[Part]]:
    neck = jiggen.work_out(jiggen.load(WREN))
    bench = Bench(smallest_lettering_mm=2.5, thickness_mm=3.0)
    return neck, [
        part for entry in choose(STANDARD, neck, where="bench") for part in entry.build(neck, bench)
    ]


def main() -> int:
    neck, parts = parts_of_the_wren()
    plain = fit_out_workshop(neck.spec.make, jiggen.Order())
    warm = fit_out(plain.material, plain.machine, Make(cut_degc=Given(30.0)))
    uneven = replace(plain.machine, scale_x=Given(1.0013), scale_y=Given(0.9991))
    worst = fit_out(plain.material, uneven, Make(cut_degc=Given(30.0)))

    def compensated(workshop: Workshop) -> list[object]:
        return [
            compensate(part, workshop, tag_of(part, workshop, spec=neck.spec, identity=neck.id, version="0"))
            for part in parts
        ]

    median, least = warm_ms(lambda: compensated(plain))
    ok = least <= MOST_MS
    print(
        f"compensate the Wren as designed       median {median:6.1f} ms, least {least:6.1f} (at most {MOST_MS:g})"
    )
    median, least = warm_ms(lambda: compensated(warm))
    print(f"the same, cut 10 °C too warm          median {median:6.1f} ms, least {least:6.1f}")
    cut = compensated(worst)
    median, least = warm_ms(lambda: nest(cut, worst.machine))
    print(f"nest, arcs refitted for uneven axes   median {median:6.1f} ms, least {least:6.1f}")
    cut = compensated(plain)
    median, least = warm_ms(lambda: [check_part(part, plain) for part in cut])
    print(f"check it against every limit          median {median:6.1f} ms, least {least:6.1f}")
    errors = [abs(fit_coupon(cut_coupon(seed)).kerf.value - 0.183) for seed in range(100)]
    near = sum(error <= NEAR_MM for error in errors)
    ok = ok and near >= NEAR_OF_100
    print(
        f"kerf of 100 coupons, 24 readings, 0.02 mm of noise: {near} within {NEAR_MM} mm (at least {NEAR_OF_100}),"
        f" rms {statistics.fmean(each**2 for each in errors) ** 0.5:.4f}, worst {max(errors):.4f}"
    )
    readings = cut_coupon(1)
    median, least = warm_ms(lambda: fit_coupon(readings))
    print(f"fit one coupon                        median {median:6.1f} ms, least {least:6.1f}")
    return 0 if ok else 1


if __name__ == "__main__":
    sys.exit(main())
