"""One answer at a time, the newest question of each page, and no answer outlives its time."""

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest
from support.served import WREN

from jiggen.page.lane import OVERTAKEN, Lane

TEXT = WREN.read_text(encoding="utf-8")
OPENED = {"text": TEXT, "file": "wren.toml", "today": "2026-11-25"}
QUESTION = json.dumps({"ask": "design", "text": TEXT}).encode()


@asynccontextmanager
async def lane(limit_s: float) -> AsyncIterator[Lane]:
    one = Lane(OPENED, limit_s)
    try:
        yield one
    finally:
        await one.close()


def test_the_newest_question_of_each_page_is_answered() -> None:
    async def run() -> list[bool]:
        async with lane(60.0) as one:
            asked = await asyncio.gather(*(one.ask(page, QUESTION) for page in ("a", "a", "a", "b", "a")))
            return [answer is OVERTAKEN for answer in asked]

    # the first is under way when the others come; of these the newest of page a and that of page b are answered
    assert asyncio.run(run()) == [False, True, True, False, False]


def test_an_answer_that_takes_too_long_is_stopped_and_the_next_is_given() -> None:
    async def run() -> tuple[bytes, bytes, bool]:
        async with lane(0.01) as one:
            stopped = await one.ask("a", QUESTION)
            ended = one._process is None
            one._limit_s = 60.0
            return stopped.head, (await one.ask("a", QUESTION)).head, ended

    stopped, answered, ended = asyncio.run(run())
    assert "This took longer than 0.01 s and was stopped" in json.loads(stopped)["faults"][0]["text"]
    assert ended
    assert json.loads(answered)["ok"]


def test_a_process_that_dies_is_replaced(capfd: pytest.CaptureFixture[str]) -> None:
    async def run() -> tuple[bytes, bytes]:
        async with lane(60.0) as one:
            await one.ask("a", QUESTION)
            broken = await one.ask("a", b"[]")  # a mistake of ours: the process ends on it
            return broken.head, (await one.ask("a", QUESTION)).head

    broken, answered = asyncio.run(run())
    assert "This is a mistake in jiggen, not yours" in json.loads(broken)["faults"][0]["text"]
    assert json.loads(answered)["ok"]
    (complaint,) = capfd.readouterr().err.splitlines()
    assert complaint.startswith("jiggen page: this is a mistake in jiggen, not yours: AttributeError")
