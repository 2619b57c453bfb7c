"""The process that answers: questions come in, answers go out, and it can be ended at any time.

A question is four bytes of length and JSON. An answer is eight bytes, the lengths of a table in JSON and of what
follows it: the files of a set, one after the other as the table lists them.
"""

import json
import os
import signal
import struct
import sys
from pathlib import Path
from types import TracebackType
from typing import Any, BinaryIO

from jiggen.garbage import collect_seldom
from jiggen.page.answers import Answerer, Opened
from jiggen.page.reads import named_in, only_read
from jiggen.profiles import folders

QUESTION, ANSWER = struct.Struct(">I"), struct.Struct(">II")
#: What the page asks when it wants files.
FILES = "files"


def serve(questions: BinaryIO, answers: BinaryIO) -> None:
    """Answers until nobody asks any more. The first question is what the page was started with.

    Args:
        questions: To read from.
        answers: To write to.
    """
    first = _next(questions)
    if first is None:
        return
    opened = Opened(**first)
    answerer = Answerer(opened)
    only_read(*_readable(opened))
    while (question := _next(questions)) is not None:
        if question.get("ask") == FILES:
            told, files = answerer.files(question)
        else:
            told, files = answerer.answer(question), {}
        head, body = json.dumps(told, allow_nan=False).encode(), b"".join(files.values())
        answers.write(ANSWER.pack(len(head), len(body)) + head + body)
        answers.flush()


def _next(questions: BinaryIO) -> dict[str, Any] | None:
    size = questions.read(QUESTION.size)
    if len(size) < QUESTION.size:
        return None
    question: dict[str, Any] = json.loads(questions.read(*QUESTION.unpack(size)))
    return question


def _readable(opened: Opened) -> tuple[list[Path], list[Path]]:
    """Returns the folders and files that answering may open: python, libraries, profiles, and what the start names."""
    import jiggen

    roots = [Path(sys.prefix), Path(sys.base_prefix), Path(jiggen.__file__).parent, *folders()]
    roots += [Path(each) for each in sys.path if each and Path(each).is_dir() and Path(each) != Path.cwd()]
    beside = Path(opened.file).parent
    return roots, [beside / name for name in named_in(opened.text, opened.file)]


def _complain(kind: type[BaseException], error: BaseException, _: TracebackType | None) -> None:
    """Says on the terminal what ended the process, in one line; the page says so too."""
    sys.stderr.write(f"jiggen page: this is a mistake in jiggen, not yours: {kind.__name__}: {error}\n")


def main() -> None:
    """Runs the process. Ctrl-C is for the server alone, which then closes our input."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    sys.excepthook = _complain
    collect_seldom()
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever prints by mistake does not come between answers
    serve(sys.stdin.buffer, answers)


if __name__ == "__main__":
    main()
