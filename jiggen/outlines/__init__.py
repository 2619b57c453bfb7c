"""Outlines that the maker brings along: drawings and tables of stations become one clean contour on its centre line."""
