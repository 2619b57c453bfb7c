"""What the rows of material and machine profiles share."""

from jiggen.design.given import given
from jiggen.tables.kinds import length, unit_name, words
from jiggen.tables.rows import Row

ANY_LENGTH = given(length())
LENGTH_OR_NONE = given(length("non-negative"))
SENTENCE = words(longest=300)
UNITS = Row(key="units", field="", kind=unit_name(), about="the unit of lengths written as bare numbers")
