"""Option types: a length is understood before a command sees it."""

import click

from jiggen.units import Length, parse_length


class LengthType(click.ParamType[Length]):
    """A length with its unit, as typed on the command line; becomes `units.Length`."""

    name = "length"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Length:
        """Returns the length.

        Raises:
            InputError: If it cannot be read as a length above zero.
        """
        if isinstance(value, Length):
            return value
        return parse_length(str(value), where=param.opts[-1] if param else "length")


LENGTH = LengthType()
