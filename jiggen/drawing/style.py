"""Pens, letters and distances of the plan: one hand throughout. Millimetres."""

from jiggen.drawing.model import Pen

#: Ink, second ink for what stands back, a colour for strings, and one for what still wants a decision.
INK, SOFT, STRING_BLUE, ASSUMED_RED, PAPER_WHITE = "#17232b", "#64727a", "#3d7291", "#a8431f", "#ffffff"

#: Widths of lines step by the square root of two; wide to narrow is at least two to one (ISO 128-2, from memory).
WIDE, MEDIUM, NARROW, FINE = 0.5, 0.35, 0.18, 0.13
OUTLINE = Pen(WIDE, INK)
FRET = Pen(MEDIUM, INK)
THIN = Pen(NARROW, INK)
RULE = Pen(FINE, SOFT)
STRING = Pen(NARROW, STRING_BLUE)

#: Nominal heights of lettering (ISO 3098): field names, dimensions and tables, names of things, titles.
TINY, SMALL, NAME, TITLE, HEADING = 1.8, 2.5, 3.5, 5.0, 7.0
