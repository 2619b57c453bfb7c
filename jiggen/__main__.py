"""Lets `python -m jiggen` do what `jiggen` does."""

from jiggen.cli.app import main

main()
