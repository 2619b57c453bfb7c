"""Stroke lettering of our own, drawn as lines and arcs: no font to be missing."""
