"""The frame of a PDF file: numbered objects, the table of where they lie, and the trailer.

Written by ourselves and without compression: compressed bytes depend on the library that compressed them, and the
files are to be the same on every machine. Lettering is a font, so they stay small all the same.

Source: ISO 32000-1:2008, section 7.5 for the file, 7.9.2 for text strings.
"""

import hashlib
from collections.abc import Iterable


class PdfFile:
    """Objects on their way into a file."""

    def __init__(self) -> None:
        self._bodies: list[bytes] = []

    def reserve(self) -> int:
        """Returns the number of an object whose body is put later."""
        self._bodies.append(b"")
        return len(self._bodies)

    def put(self, body: str, number: int | None = None) -> int:
        """Adds an object, or the body of a reserved one; returns its number."""
        return self._put(body.encode("ascii"), number)

    def put_stream(self, content: str, entries: str = "", number: int | None = None) -> int:
        """Adds a stream of ASCII operators; `entries` go into its dictionary. Returns its number."""
        data = content.encode("ascii")
        head = f"<< /Length {len(data)}{entries and ' ' + entries} >>\nstream\n"
        return self._put(head.encode("ascii") + data + b"\nendstream", number)

    def _put(self, body: bytes, number: int | None) -> int:
        number = number or self.reserve()
        self._bodies[number - 1] = body
        return number

    def encode(self, *, root: int, info: int) -> bytes:
        """Returns the file.

        Args:
            root: Number of the catalogue.
            info: Number of the information dictionary.
        """
        parts = [b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"]
        at, places = len(parts[0]), []
        for number, body in enumerate(self._bodies, start=1):
            part = f"{number} 0 obj\n".encode("ascii") + body + b"\nendobj\n"
            places.append(at)
            at += len(part)
            parts.append(part)
        mark = hashlib.sha256(b"".join(parts)).hexdigest()[:32]
        table = "".join(f"{place:010d} 00000 n \n" for place in places)
        size = len(places) + 1
        parts.append(
            f"xref\n0 {size}\n0000000000 65535 f \n{table}trailer\n"
            f"<< /Size {size} /Root {root} 0 R /Info {info} 0 R /ID [<{mark}> <{mark}>] >>\n"
            f"startxref\n{at}\n%%EOF\n".encode("ascii")
        )
        return b"".join(parts)


def text_string(text: str) -> str:
    """Returns a text as PDF keeps it outside of pages: UTF-16 in hexadecimal."""
    return f"<FEFF{text.encode('utf-16-be', 'surrogatepass').hex().upper()}>"


def references(numbers: Iterable[int]) -> str:
    """Returns a list of references to objects."""
    return f"[{' '.join(f'{number} 0 R' for number in numbers)}]"


def information(*, title: str, subject: str, author: str, version: str, date: str) -> str:
    """Returns the information dictionary; the date, ISO 8601, is left out when empty."""
    when = f" /CreationDate (D:{date.replace('-', '')}000000Z)" if date else ""
    made = text_string(f"jiggen {version}")
    words = {"Title": title, "Subject": subject, "Author": author}
    said = "".join(f" /{key} {text_string(text)}" for key, text in words.items() if text)
    return f"<<{said} /Creator {made} /Producer {made}{when} >>"
