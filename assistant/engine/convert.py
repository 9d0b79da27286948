"""Converts a quantity from one unit to another, along a curve where no factor leads there, and by bulk weight."""

from __future__ import annotations

from assistant.engine.errors import WrongKind
from assistant.engine.inputs import plain, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, parse_unit, unit_of

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


def by_bulk(source: Quantity, to: str, cup: Quantity) -> Result:
    """A mass as a volume or a volume as a mass, of something that weighs so much by the cup.

    source: a mass up to 500 kilogram or a volume up to 2000 liter. to: a unit of the other. cup: grams in a level cup,
    20 to 500, true within 15 percent. Gives `result`. Raises WrongKind when source or unit is neither. Source
    from-memory.
    """
    weighs = read("weight of a cup", cup, "cup")
    if source.is_compatible_with("kilogram"):
        amount, unit = wanted("amount", source, "mass"), "cup"
        formula = "cups = grams / grams in a cup"
    else:
        amount, unit = wanted("amount", source, "volume or none"), "gram"
        formula = "grams = cups x grams in a cup"
    if not parse_unit(to).is_compatible_with(parse_unit(unit)):
        raise WrongKind("amount", source, to)
    liters = plain("cup", Q(1, "cup"), "liter")

    def bulk(amount: float, grams: float) -> tuple[float, ...]:
        return (1000 * amount / grams if unit == "cup" else amount / liters * grams,)

    return work(
        bulk, [amount, weighs], {"result": Output(unit, to)},
        formula=formula, sources=("from-memory",),
        notes=("A cup weighs more or less by how it is packed; a scale is better.",),
    )
