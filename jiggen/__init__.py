"""A few numbers in; right-sized, labelled, laser-ready templates and jigs for fretted instruments out."""

__version__ = "0.1.0"
