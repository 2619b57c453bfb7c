"""A lane: one process that answers questions one after the other, the newest of each page, each within its time."""

import asyncio
import json
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jiggen.page.worker import ANSWER, QUESTION

#: Largest answer that is believed; a whole set is a hundredth of it.
_LARGEST = 256_000_000


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a question.

    Attributes:
        head: JSON.
        body: Files, one after the other.
    """

    head: bytes
    body: bytes = b""


def _fault(text: str, **more: Any) -> Answer:
    return Answer(json.dumps({"ok": False, "faults": [{"keys": [], "text": text}], **more}).encode())


#: To a question that a newer one of the same page overtook.
OVERTAKEN = Answer(json.dumps({"ok": False, "overtaken": True, "faults": []}).encode())
_DIED = _fault(
    "This is a mistake in jiggen, not yours: it could not answer. What you typed is safe; change it back."
)


class Lane:
    """A process and the queue before it.

    Args:
        opened: What the page was started with, the first thing a new process is told.
        limit_s: Seconds that an answer may take before the process is ended and a new one started.
    """

    def __init__(self, opened: Mapping[str, str], limit_s: float) -> None:
        self._opened = json.dumps(dict(opened)).encode()
        self._limit_s = limit_s
        self._lock = asyncio.Lock()
        self._newest: dict[str, int] = {}
        self._count = 0
        self._process: asyncio.subprocess.Process | None = None

    async def ask(self, page: str, question: bytes) -> Answer:
        """Returns the answer, or that a newer question overtook this one while it waited.

        Args:
            page: Which page asks.
            question: JSON.
        """
        self._count += 1
        mine = self._newest[page] = self._count
        async with self._lock:
            if self._newest.get(page) != mine:
                return OVERTAKEN
            try:
                return await asyncio.wait_for(self._asked(question), self._limit_s)
            except TimeoutError:
                await self.close()
                return _fault(
                    f"This took longer than {self._limit_s:g} s and was stopped. Ask for less: fewer parts, or simpler numbers."
                )
            except (asyncio.IncompleteReadError, ConnectionError):
                await self.close()
                return _DIED
            except BaseException:
                await self.close()  # whoever asks next must not get the answer to this
                raise
            finally:
                if self._newest.get(page) == mine:
                    del self._newest[page]

    async def warm(self) -> None:
        """Starts the process before anyone asks."""
        async with self._lock:
            await self._started()

    async def close(self) -> None:
        """Ends the process, whatever it does."""
        process, self._process = self._process, None
        if process is not None and process.returncode is None:
            process.kill()
            await process.wait()

    async def _started(self) -> asyncio.subprocess.Process:
        if self._process is None or self._process.returncode is not None:
            self._process = await asyncio.create_subprocess_exec(
                sys.executable,
                "-m",
                "jiggen.page.worker",
                stdin=asyncio.subprocess.PIPE,
                stdout=asyncio.subprocess.PIPE,
            )
            await self._send(self._process, self._opened)
        return self._process

    async def _asked(self, question: bytes) -> Answer:
        process = await self._started()
        await self._send(process, question)
        reader = process.stdout
        if reader is None:
            raise RuntimeError("a process without an output")
        head, body = ANSWER.unpack(await reader.readexactly(ANSWER.size))
        if head + body > _LARGEST:
            raise ConnectionError("an answer of impossible size")
        return Answer(await reader.readexactly(head), await reader.readexactly(body))

    @staticmethod
    async def _send(process: asyncio.subprocess.Process, data: bytes) -> None:
        if process.stdin is None:
            raise RuntimeError("a process without an input")
        process.stdin.write(QUESTION.pack(len(data)) + data)
        await process.stdin.drain()
