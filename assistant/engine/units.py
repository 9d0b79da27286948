"""The one unit registry of the program, and the only door by which numbers get a unit.

The registry is loaded from `units.txt`, which holds the trade's own units and nothing else.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

import pint

from assistant.engine.errors import UnknownUnit

if TYPE_CHECKING:
    Quantity: TypeAlias = pint.Quantity[float]
else:
    Quantity = pint.Quantity

DEFINITIONS = Path(__file__).with_name("units.txt")

registry: pint.UnitRegistry[float] = pint.UnitRegistry(str(DEFINITIONS), cache_folder=None)

US_UNITS = frozenset({
    "gallon", "quart", "pint", "cup", "fluid_ounce", "tablespoon", "teaspoon", "ounce", "pound", "degF",
    "psi", "foot", "inch",
})
"""Units that tell that the speaker measures in United States customary units."""


_NAME = re.compile(r"(?:[a-zA-Z]\w*(?: ?/ ?[a-zA-Z]\w*)?)?")
"""A unit, or one per another; the empty name is that of a bare number."""


@cache
def parse_unit(name: str) -> pint.Unit:
    """The unit of that name, such as `degF` or `gallon/hour`.

    Raises UnknownUnit when the registry does not hold it.
    """
    if not _NAME.fullmatch(name):
        raise UnknownUnit(name)
    try:
        return registry.parse_units(name)
    except pint.UndefinedUnitError as problem:
        raise UnknownUnit(name) from problem


def Q(number: float, unit: str) -> Quantity:
    """A quantity, said the short way: `Q(5, "gallon")`."""
    return registry.Quantity(float(number), parse_unit(unit))


def difference_unit(unit: str) -> str:
    """The unit in which differences on that scale are given: `delta_degF` for `degF`."""
    return f"delta_{unit}" if unit in ("degF", "degC") else unit


def unit_of(quantity: Quantity) -> str:
    """The name of a quantity's unit as `Q` takes it and programs are shown it: `gallon/hour`."""
    name = str(quantity.units)
    return "" if name == "dimensionless" else name.replace(" ", "")


def in_manner_of(quantity: Quantity, us: str, metric: str) -> str:
    """The unit for an answer to somebody who gave that quantity: one of the two named."""
    return us if US_UNITS.intersection(unit_of(quantity).split("/")) else metric
