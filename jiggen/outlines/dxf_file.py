"""Opens a DXF, once it is clear that it is whole and not too much: text or binary, by ezdxf."""

import io
import re
import struct
from typing import TYPE_CHECKING, NamedTuple

from jiggen.errors import InputError

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

#: Groups, those that start something, and bytes of a binary file.
MOST_GROUPS, MOST_STARTS, MOST_BINARY = 250_000, 25_000, 1_000_000
_BINARY = b"AutoCAD Binary DXF"
_UNITS = re.compile(r"\n[ \t]*\$INSUNITS[ \t]*\n[ \t]*70[ \t]*\n[ \t]*(-?\d{1,9})[ \t]*\n")
_BINARY_UNITS = re.compile(rb"\$INSUNITS\0(?:\x46\x00|\x46)(..)", re.DOTALL)
#: What ezdxf may raise on a file that is none, besides its own errors.
_BROKEN = (
    ValueError,
    TypeError,
    LookupError,
    AttributeError,
    ArithmeticError,
    AssertionError,
    EOFError,
    RecursionError,
    struct.error,
)


class Opened(NamedTuple):
    """A DXF in memory.

    Attributes:
        document: As ezdxf has it.
        units: What $INSUNITS says; 0 where it says nothing. ezdxf itself would say metres then.
        is_binary: Whether it was a binary one.
    """

    document: "Document"
    units: int
    is_binary: bool


def open_dxf(data: bytes, *, file: str) -> Opened:
    """Opens a DXF.

    Args:
        data: Its bytes.
        file: What to call it in errors.

    Raises:
        InputError: If the file is broken, cut short or too much.
    """
    # Late, since it takes longer to import than any layout to print.
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    is_binary = data.startswith(_BINARY)
    text = "" if is_binary else _text(data)
    _check_whole(data if is_binary else text[-200:].encode("utf-8", "replace"), file)
    if is_binary:
        found = _BINARY_UNITS.search(data)
        units = struct.unpack("<h", found[1])[0] if found else 0
        if len(data) > MOST_BINARY:
            raise _too_much(f"a binary DXF of {len(data)} bytes", f"at most {MOST_BINARY}", file)
    else:
        stated = _UNITS.search(text)
        units = int(stated[1]) if stated else 0
        _check_amount(text, file)
    try:
        if is_binary:
            from ezdxf.document import Drawing as Document
            from ezdxf.lldxf.tagger import binary_tags_loader

            return Opened(Document.load(binary_tags_loader(data)), units, is_binary=True)
        return Opened(read(io.StringIO(text)), units, is_binary=False)
    except (DXFError, *_BROKEN) as error:
        raise InputError(
            where=file,
            got=f"a broken DXF ({type(error).__name__}: {str(error)[:120]})",
            expected="one that is whole",
            mend="Save it again",
        ) from None


def _text(data: bytes) -> str:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")  # names of layers may read oddly, numbers do not
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _check_amount(text: str, file: str) -> None:
    count = text.count("\n") // 2
    if count > MOST_GROUPS:
        raise _too_much(f"{count} groups", f"at most {MOST_GROUPS}", file)
    starts = sum(code.strip() == "0" for code in text.split("\n")[::2])
    if starts > MOST_STARTS:
        raise _too_much(f"{starts} entities and other things", f"at most {MOST_STARTS}", file)


def _check_whole(end: bytes, file: str) -> None:
    if b"EOF" not in end[-200:]:
        raise InputError(
            where=file, got="no EOF at its end", expected="a whole DXF", mend="It is cut short: save it again"
        )


def _too_much(got: str, expected: str, file: str) -> InputError:
    return InputError(where=file, got=got, expected=expected, mend="Save the outline alone")
