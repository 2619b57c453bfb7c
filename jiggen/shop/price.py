"""Prices, as a profile gives them: an amount and a currency in the maker's own words."""

import re
from dataclasses import dataclass

from jiggen.tables.document import Entry
from jiggen.tables.kinds import toml_string
from jiggen.tables.rows import Kind

_PRICE = r"(\d{1,7}(?:\.\d{1,4})?)\s*([^\s\d.,;+-]{1,8})"


@dataclass(frozen=True, slots=True)
class Price:
    """What something costs.

    Attributes:
        amount: Per whatever the key says.
        currency: `EUR`, `€`: not interpreted, but the same everywhere in a workshop.
    """

    amount: float
    currency: str

    def __str__(self) -> str:
        return f"{self.amount:.2f} {self.currency}"

    def times(self, quantity: float) -> "Price":
        """Returns the price of so many."""
        return Price(self.amount * quantity, self.currency)

    def plus(self, other: "Price") -> "Price":
        """Returns the sum of two prices.

        Raises:
            ValueError: If they are in two currencies.
        """
        if self.currency != other.currency:
            raise ValueError(f"no sum of {self} and {other}")
        return Price(self.amount + other.amount, self.currency)


def price(*, example: str) -> Kind:
    """An amount and its currency, in words: `"42.50 EUR"`."""

    def read(entry: Entry) -> tuple[Price, str]:
        match = re.fullmatch(_PRICE, entry.value.strip()) if isinstance(entry.value, str) else None
        if match is None:
            raise entry.wrong("an amount and its currency, in quotes", f"Write it like {example}")
        return Price(float(match[1]), match[2]), entry.value

    return Kind(
        read=read,
        write=lambda value, text: toml_string(text or str(value)),
        example=example,
        schema={"type": "string", "pattern": rf"^\s*{_PRICE}\s*$"},
    )
