"""Reads XML from anywhere into a plain tree, and refuses what could swell, hide or reach out before it can.

Nothing is looked up elsewhere. A document type that declares anything, and with it every entity, is refused.
"""

from dataclasses import dataclass, field
from xml.parsers import expat

from jiggen.errors import InputError, quoted

DEEPEST = 100  #: elements within one another
MOST_ELEMENTS = 50_000
_SVG = "http://www.w3.org/2000/svg "


@dataclass(slots=True)
class Element:
    """One element.

    Attributes:
        kind: Its name in SVG; other vocabularies keep their own in front, and no name in SVG has a blank in it.
        attributes: Without their vocabularies, but where two would be one.
        line: In the file.
        children: In order.
    """

    kind: str
    attributes: dict[str, str]
    line: int
    children: list["Element"] = field(default_factory=list)


def read_tree(data: bytes, *, file: str) -> Element:
    """Reads an SVG file as a tree.

    Args:
        data: Its bytes.
        file: What to call it in errors.

    Raises:
        InputError: If it is no well-formed SVG, declares entities, or is too deep or too long.
    """
    return _Reader(file).read(data)


class _Reader:
    def __init__(self, file: str) -> None:
        self.file = file
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.StartDoctypeDeclHandler = self._check_doctype
        self.root: Element | None = None
        self.open: list[Element] = []
        self.count = 0

    def read(self, data: bytes) -> Element:
        try:
            self.parser.Parse(data, True)  # noqa: FBT003 - expat's own form
        except expat.ExpatError as error:
            raise InputError(
                where=f"{self.file}, line {error.lineno}",
                got=expat.ErrorString(error.code) or "broken XML",
                expected="well-formed XML to its end",
                mend="The file may be cut short: save it again",
            ) from None
        except (LookupError, ValueError) as error:  # an encoding that Python does not have
            raise InputError(
                where=self.file, got=str(error)[:100], expected="UTF-8", mend="Save it again"
            ) from None
        if self.root is None:
            raise InputError(where=self.file, got="no element", expected="an SVG file")
        return self.root

    def _where(self) -> str:
        return f"{self.file}, line {self.parser.CurrentLineNumber}"

    def _check_doctype(self, _name: str, _system: str | None, _public: str | None, declares: int) -> None:
        if declares:
            raise InputError(
                where=self._where(),
                got="a document type that declares something",
                expected="none: what it declares could hide or swell anything",
                mend="Save it as plain SVG",
            )

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self.count += 1
        if self.count > MOST_ELEMENTS:
            raise InputError(
                where=self._where(),
                got="one more element",
                expected=f"at most {MOST_ELEMENTS}",
                mend="Save the outline alone",
            )
        if len(self.open) >= DEEPEST:
            raise InputError(
                where=self._where(), got=f"elements {DEEPEST} deep", expected="groups a few deep"
            )
        kind = name.removeprefix(_SVG)
        if self.root is None and kind != "svg":
            raise InputError(where=self._where(), got=f"a file of {quoted(name)}", expected="an SVG file")
        plain = {key.rpartition(" ")[2]: value for key, value in attributes.items() if " " in key}
        plain |= {key: value for key, value in attributes.items() if " " not in key}
        element = Element(kind, plain, self.parser.CurrentLineNumber)
        if self.open:
            self.open[-1].children.append(element)
        else:
            self.root = element
        self.open.append(element)

    def _end(self, _name: str) -> None:
        self.open.pop()
