"""Random clean sets of every kind pass: the benchmark tries five hundred, here is a handful."""

import pytest
from support.random_sets import random_set

from jiggen.proof.prove import prove_files


@pytest.mark.parametrize("seed", range(12))
def test_a_clean_set_has_no_fault(seed: int) -> None:
    made = random_set(seed)
    if made is None:
        return  # a design that nobody could make
    report = prove_files(*made)
    assert report.ok, report.text()
    assert [finding.fault for finding in report.findings if not finding.is_warning] == []


def test_many_random_designs_can_be_made() -> None:
    assert sum(random_set(seed) is not None for seed in range(12)) >= 5
