"""Lets `python -m jiggen` do what `jiggen` does."""

from jiggen.cli.app import main

if __name__ == "__main__":  # not where a process that helps imports it
    main()
