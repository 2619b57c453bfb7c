"""Figures, all in a field of one width so that columns line up; see glyphs.py for the grid."""

from collections.abc import Mapping

from jiggen.lettering.pen import Drawing

#: Width of every figure's field, in font units between centre lines.
FIELD = 45

FIGURES: Mapping[str, Drawing] = {
    "0": (FIELD, "44,21.5 44,68.5 ~1,68.5 1,21.5 ~44,21.5"),
    "1": (FIELD, "8,67 31,90 31,0"),
    "2": (FIELD, "0.9,73.8 40.5,54~ 0,0 45,0"),
    "3": (FIELD, "4.1,81.8 20.5,49~ 13,49", "20.5,49 0.9,9.8>233.13"),
    "4": (FIELD, "33,0 33,90 0,26 45,26"),
    "5": (FIELD, "41,90 6,90 3,52.25 0.2,5.6>246.87"),
    "6": (FIELD, "36,90 0,31.5~ 0,22.5 ~45,22.5 45,31.5 ~0,31.5"),
    "7": (FIELD, "0,90 45,90 15,0"),
    "8": (FIELD, "22.5,49 22.5,90<180 22.5,49<180 ~45,26.5 45,22.5 ~0,22.5 0,26.5 ~22.5,49"),
    "9": (FIELD, "9,0 45,58.5~ 45,67.5 ~0,67.5 0,58.5 ~45,58.5"),
}
