"""The lettering as a font inside a PDF: each character's strokes stand in the file once, and words stay words.

The font is of type 3, whose glyphs are drawn with a pen as ours are, so that print and template show the same hand.
Readers can search it, copy it and read it aloud.

Source: ISO 32000-1:2008, section 9.6.5 for the font, 9.4.3 for spacing, 9.10.3 for the map to Unicode.
"""

import math

from jiggen.drawing.model import Words
from jiggen.export.numbers import number
from jiggen.export.pdf_file import PdfFile
from jiggen.export.pdf_paths import path_operators
from jiggen.lettering.accents import glyph as glyph_of
from jiggen.lettering.glyphs import PEN, UNITS, Glyph
from jiggen.lettering.setting import GAP

#: Most glyphs in one font: a code is one byte.
_MOST = 256
#: What a stacked fraction is to readers that do not look at the words as a whole: the fraction slash.
_STACKED = "⁄"


class FontBuilder:
    """The glyphs that a file uses, in the order in which they come up."""

    def __init__(self) -> None:
        self._codes: dict[int, int] = {}  # by identity: the alphabet makes each glyph once and keeps it
        self._glyphs: list[tuple[Glyph, str]] = []

    def show(self, words: Words) -> str:
        """Returns the operators that show words; unit and colour are those of the page."""
        signs = {id(glyph_of(sign)): sign for sign in words.line.text}
        cosine, sine = number(math.cos(words.angle), 9), number(math.sin(words.angle), 9)
        minus_sine = number(-math.sin(words.angle), 9)
        x, y, size = (number(each) for each in (words.origin.x, words.origin.y, words.height_mm))
        runs: list[tuple[int, list[str]]] = []  # a font each, and what is shown in it
        at = 0
        for glyph, place in words.line.glyphs:
            font, code = divmod(self._code(glyph, signs.get(id(glyph), _STACKED)), _MOST)
            if not runs or runs[-1][0] != font:
                runs.append((font, []))
            if place != at:
                runs[-1][1].append(f"{(at - place) * 10}")  # thousandths of the size, to the left
            runs[-1][1].append(f"<{code:02X}>")
            at = place + _advance(glyph)
        shown = "\n".join(f"/T{font} {size} Tf [{''.join(run).replace('><', '')}] TJ" for font, run in runs)
        said = words.line.text.encode("utf-16-be", "surrogatepass").hex().upper()
        return (
            f"/Span <</ActualText <FEFF{said}>>> BDC\n"
            f"BT {cosine} {sine} {minus_sine} {cosine} {x} {y} Tm\n{shown} ET\nEMC"
        )

    def _code(self, glyph: Glyph, sign: str) -> int:
        if id(glyph) not in self._codes:
            self._codes[id(glyph)] = len(self._glyphs)
            self._glyphs.append((glyph, sign))
        return self._codes[id(glyph)]

    def put(self, file: PdfFile) -> str:
        """Puts the fonts into a file; returns the entry for the resources of pages that use them."""
        fonts = [self._glyphs[at : at + _MOST] for at in range(0, len(self._glyphs), _MOST)]
        named = "".join(f" /T{index} {_put_font(file, glyphs)} 0 R" for index, glyphs in enumerate(fonts))
        return f"/Font <<{named} >>" if named else ""


def _advance(glyph: Glyph) -> int:
    return glyph.width + PEN + GAP


def _put_font(file: PdfFile, glyphs: list[tuple[Glyph, str]]) -> int:
    procedures = [file.put_stream(_procedure(glyph)) for glyph, _ in glyphs]
    names = [f"/g{code}" for code in range(len(glyphs))]
    proc_entries = " ".join(f"{name} {each} 0 R" for name, each in zip(names, procedures, strict=True))
    widths = " ".join(str(_advance(glyph)) for glyph, _ in glyphs)
    unicode = file.put_stream(_to_unicode([sign for _, sign in glyphs]))
    scale = number(1.0 / UNITS)
    return file.put(
        "<< /Type /Font /Subtype /Type3 /Name /Drafting /FontBBox [0 0 0 0]"
        f" /FontMatrix [{scale} 0 0 {scale} 0 0] /CharProcs << {proc_entries} >>"
        f" /Encoding << /Type /Encoding /Differences [0 {' '.join(names)}] >>"
        f" /FirstChar 0 /LastChar {len(glyphs) - 1} /Widths [{widths}]"
        f" /Resources << >> /ToUnicode {unicode} 0 R >>"
    )


def _procedure(glyph: Glyph) -> str:
    """Returns how a glyph is drawn: a round pen, whose ink starts at the left and on the baseline."""
    box = glyph.box.grown(PEN)
    low, high = box.low, box.high
    bounds = " ".join(number(each, 1) for each in (low.x, low.y, high.x + PEN, high.y + PEN))
    half = number(PEN / 2.0)
    drawn = f"\n{PEN} w 1 J 1 j [] 0 d 1 0 0 1 {half} {half} cm\n{path_operators(glyph.strokes, 2)}\nS"
    return f"{_advance(glyph)} 0 {bounds} d1{drawn if glyph.strokes else ''}"


def _to_unicode(signs: list[str]) -> str:
    """Returns the map from codes to characters, a hundred at a time as the form wants it."""
    rows = [f"<{code:02X}> <{sign.encode('utf-16-be').hex().upper()}>" for code, sign in enumerate(signs)]
    blocks = [rows[at : at + 100] for at in range(0, len(rows), 100)]
    maps = "\n".join(f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar" for block in blocks)
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Drafting def\n/CMapType 2 def\n"
        f"1 begincodespacerange\n<00> <FF>\nendcodespacerange\n{maps}\nendcmap\n"
        "CMapName currentdict /CMap defineresource pop\nend\nend"
    )
