"""Converts a quantity from one unit to another, along a curve where no factor leads there."""

from __future__ import annotations

from assistant.engine.inputs import plain, read
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity, unit_of

_WAYS = {
    frozenset({"sg", "plato"}): (
        "extract = 135.997 G^3 - 630.272 G^2 + 1111.14 G - 616.868", ("asbc-table",)),
    frozenset({"srm", "lovibond"}): ("SRM = 1.3546 Lovibond - 0.76", ("from-memory",)),
    frozenset({"srm", "ebc"}): ("EBC = 25 / 12.7 SRM", ("from-memory",)),
}
"""Working and sources for pairs that are not a matter of definition."""


def convert(source: Quantity, to: str) -> Result:
    """The same quantity in the unit named.

    Between sg, plato and brix (0.98 to 1.2 sg) and between srm and lovibond it follows the published curve,
    elsewhere the factor. Gives `result`. Raises UnknownUnit, WrongKind when the two do not measure the same
    thing, OutOfRange for a gravity off the curve. Sources asbc-table, nist-hb44.
    """
    number = plain("amount", source, to)
    pair = frozenset({unit_of(source).replace("brix", "plato"), to.replace("brix", "plato")})
    if "plato" in pair:
        read("gravity", source)
    formula, sources = _WAYS.get(pair, (f"{unit_of(source)} to {to} by definition", ("nist-hb44",)))
    return Result({"result": Q(number, to)}, formula, sources)
