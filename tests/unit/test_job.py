"""Those who may help with a set are asked in time, and for what takes longest first."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from jiggen import prepare, reckon
from jiggen.design.making import Stock
from jiggen.hands import Hands
from jiggen.job import make

WREN = Path(__file__).parents[2] / "profiles" / "instruments" / "wren.toml"


class Noting(Hands):
    """Hands that note what they are given."""

    def __init__(self) -> None:
        self.taken: list[tuple[str, tuple[Any, ...]]] = []

    def take(self, task: Callable[..., Any], *given: Any, **named: Any) -> Callable[[], Any]:
        self.taken.append((task.__name__, given))
        return super().take(task, *given, **named)


def test_the_plan_is_begun_before_the_sheets_and_large_files_are_proved_first(tmp_path, monkeypatch):
    hands = Noting()
    before: list[list[str]] = []

    def draw_up(neck, order):
        before.append([name for name, _ in hands.taken])
        return prepare.draw_up(neck, order)

    monkeypatch.setattr("jiggen.job.draw_up", draw_up)
    strips = Stock(length=700.0, width=110.0, count=9)  # of which the second holds more than the first
    order = prepare.Order(stock=(strips,), formats=("dxf", "svg"))
    made = make(reckon.load(WREN), order, tmp_path, hands=hands)
    assert before == [["encode_plan"]]
    sizes = [len(given[2]) for name, given in hands.taken if name == "_prove_file"]
    assert len(sizes) == 2 * len(made.sheet_set.sheets) > 2
    assert sizes == sorted(sizes, reverse=True)
