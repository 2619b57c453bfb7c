"""Work that other processes share comes to the same as work done alone. Files tell a test what another process is at."""

import os
import time
from pathlib import Path

import pytest

from jiggen.errors import InputError, LimitError, SeveralErrors
from jiggen.hands import ALONE, helped

PARENT = os.getpid()


def ready() -> None:
    """Nothing needs to be imported here."""


def wait_for(path: Path) -> None:
    for _ in range(3000):
        if path.exists():
            return
        time.sleep(0.01)
    raise AssertionError(f"{path} did not come")


def square(number: int, *, plus: int = 0) -> int:
    return number * number + plus


def tell(begun: Path) -> int:
    begun.touch()
    return os.getpid()


def tell_and_wait(begun: Path, until: Path) -> int:
    begun.touch()
    wait_for(until)
    return os.getpid()


def tell_and_refuse(begun: Path) -> None:
    begun.touch()
    raise SeveralErrors(
        [
            InputError(where="nut", got="1", expected="2", mend="Say 2"),
            LimitError(where="nut", got="3", expected="4"),
        ]
    )


def tell_and_die(begun: Path) -> int:
    begun.touch()
    if os.getpid() != PARENT:
        os._exit(3)
    return 7


def test_alone_work_is_done_when_it_is_wanted():
    calls = []
    result = ALONE.take(calls.append, "done")
    assert not calls
    result()
    assert calls == ["done"]


@pytest.mark.parametrize("others", [0, 1, 2])
def test_results_are_the_same_whoever_works(others):
    with helped(others, ready=ready) as hands:
        results = [hands.take(square, number, plus=1) for number in range(20)]
        assert [result() for result in results] == [number * number + 1 for number in range(20)]


def test_others_begin_before_the_result_is_wanted(tmp_path):
    with helped(1, ready=ready) as hands:
        result = hands.take(tell, tmp_path / "begun")
        wait_for(tmp_path / "begun")
        assert result() != PARENT


def test_what_nobody_has_begun_is_done_here(tmp_path):
    with helped(1, ready=ready) as hands:
        busy = hands.take(tell_and_wait, tmp_path / "begun", tmp_path / "go on")
        wait_for(tmp_path / "begun")
        assert [hands.take(tell, tmp_path / "here")() for _ in range(3)] == [PARENT] * 3
        (tmp_path / "go on").touch()
        assert busy() != PARENT


@pytest.mark.parametrize(("task", "fails"), [(tell, False), (tell_and_refuse, True)])
def test_while_others_are_at_what_is_wanted_more_is_done_here(tmp_path, task, fails):
    """The wanted task ends only when a later one has been done, which the one other process cannot be at."""
    with helped(1, ready=ready) as hands:
        wanted = hands.take(tell_and_wait, tmp_path / "begun", tmp_path / "later")
        wait_for(tmp_path / "begun")
        later = hands.take(task, tmp_path / "later")
        assert wanted() != PARENT
        if fails:
            with pytest.raises(SeveralErrors):
                later()
        else:
            assert later() == PARENT


def test_an_error_of_the_makers_comes_through_whole(tmp_path):
    with helped(1, ready=ready) as hands:
        result = hands.take(tell_and_refuse, tmp_path / "begun")
        wait_for(tmp_path / "begun")
        with pytest.raises(SeveralErrors) as caught:
            result()
    first, second = caught.value.errors
    assert type(first) is InputError
    assert str(first) == "nut: got 1, expected 2. Say 2"
    assert type(second) is LimitError


def test_work_of_a_process_that_was_ended_is_done_here(tmp_path):
    with helped(1, ready=ready) as hands:
        result = hands.take(tell_and_die, tmp_path / "begun")
        wait_for(tmp_path / "begun")
        assert result() == 7
        assert hands.take(tell_and_die, tmp_path / "begun")() == 7
