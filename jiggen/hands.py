"""Who does a piece of work: this process alone, or others beside it while it goes on with its own.

What comes of the work is the same either way, to the byte; only how long it takes differs.
"""

import gc
import os
import signal
import sys
import warnings
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from functools import partial
from multiprocessing import get_context
from typing import Any, Generic, ParamSpec, TypeVar

from jiggen.garbage import collect_seldom

P = ParamSpec("P")
R = TypeVar("R")

#: On Linux a process is copied, all that it has imported with it; elsewhere that is not safe, and one begins afresh.
_CONTEXT = get_context("fork" if sys.platform == "linux" else "spawn")
#: How many processes share the work on one set unless more are asked for: it falls into few pieces.
MOST_AT_ONE = 3


class Hands:
    """One pair of hands: work is done when its result is wanted."""

    def take(self, task: Callable[P, R], *given: P.args, **named: P.kwargs) -> Callable[[], R]:
        """Takes work on.

        Args:
            task: A function of a module, which needs nothing but what it is given.
            given: What it is given.
            named: The same by name.

        Returns:
            What gives the result, once.
        """
        return partial(task, *given, **named)


#: This process alone.
ALONE = Hands()


class MoreHands(Hands):
    """Other processes help. They begin what is taken on at once; while one is at what is wanted here, this one does more.

    Args:
        processes: Which help.
        threads: One for each process that helps, each waiting for what it has handed over.
    """

    def __init__(self, processes: Executor, threads: Executor) -> None:
        self._processes, self._threads = processes, threads
        self._taken: list[_Taken[Any]] = []

    def take(self, task: Callable[P, R], *given: P.args, **named: P.kwargs) -> Callable[[], R]:
        """Takes work on; see `Hands.take`. What it is given, and its result, must be such as can be pickled."""
        here = partial(task, *given, **named)
        taken = _Taken(here, self._threads.submit(self._hand_over, here))
        self._taken.append(taken)
        return partial(self._result, taken)

    def _hand_over(self, task: Callable[[], R]) -> R:
        return self._processes.submit(task).result()

    def _result(self, wanted: "_Taken[R]") -> R:
        for each in (wanted, *self._taken):
            if wanted.future.done():
                break
            each.do_here_unless_begun()
        self._taken.remove(wanted)
        try:
            return wanted.future.result()
        except BrokenExecutor:  # somebody ended the other process: nothing of ours is lost
            return wanted.here()


class _Taken(Generic[R]):
    """Work that was taken on."""

    def __init__(self, here: Callable[[], R], future: Future[R]) -> None:
        self.here, self.future = here, future

    def do_here_unless_begun(self) -> None:
        """Does it in this process, if nobody is at it yet; its result, or what went wrong, is kept for who wants it."""
        if not self.future.cancel():
            return
        self.future = Future()
        try:
            self.future.set_result(self.here())
        except Exception as error:  # noqa: BLE001 - it is raised where the result is wanted
            self.future.set_exception(error)


@contextmanager
def processes(count: int, *, ready: Callable[[], None]) -> Iterator[Executor]:
    """Gives processes that do work; what waits is dropped on the way out.

    Args:
        count: How many, one or more.
        ready: Imports what the work takes: once here for all copies, or else once in each process.
    """
    if _CONTEXT.get_start_method() == "fork":
        ready()
    pool = ProcessPoolExecutor(max_workers=count, mp_context=_CONTEXT, initializer=_start_to_help)
    try:
        with warnings.catch_warnings():
            # Python 3.12 warns of threads, which here are numpy's and idle while the process is copied.
            warnings.simplefilter("ignore", DeprecationWarning)
            for _ in range(count):
                pool.submit(ready)
        yield pool
    finally:
        pool.shutdown(cancel_futures=True)


@contextmanager
def helped(others: int, *, ready: Callable[[], None]) -> Iterator[Hands]:
    """Gives hands, those of other processes among them.

    Args:
        others: How many; 0: none.
        ready: Imports what the work takes.
    """
    if others < 1 or not _can_share():
        yield ALONE
        return
    with processes(others, ready=ready) as pool:
        threads = ThreadPoolExecutor(max_workers=others)
        try:
            yield MoreHands(pool, threads)
        finally:
            threads.shutdown(cancel_futures=True)


def cores() -> int:
    """Returns how many processes can work at once here."""
    return len(os.sched_getaffinity(0)) if sys.platform == "linux" else os.cpu_count() or 1


def _start_to_help() -> None:
    """Lets a process finish what it is at when Ctrl-C reaches the whole group; the parent hands out no more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    collect_seldom()
    gc.freeze()


def _can_share() -> bool:
    """Whether processes can work together here: some systems have no semaphores that they could wait at."""
    try:
        import multiprocessing.synchronize  # noqa: F401 - it fails where there are none
    except ImportError:
        return False
    return True
