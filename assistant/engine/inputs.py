"""What may go into a sum: the unit it is reckoned in, how far it may range, how finely it can be read.

`KINDS` is the one table of it. Outside is a quantity; inside, after `read`, a plain number and its
half-width.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import pint

from assistant.engine import steam, wort
from assistant.engine.errors import OutOfRange, WrongKind
from assistant.engine.units import Q, Quantity, difference_unit, parse_unit, unit_of


@dataclass(frozen=True, slots=True)
class Kind:
    """A sort of input. The half-width of a reading is the larger of `absolute` and `relative` times the
    reading."""

    unit: str
    low: float
    high: float
    absolute: float = 0.0
    relative: float = 0.0
    why: str = ""


@dataclass(frozen=True, slots=True)
class Given:
    """An input, read: a plain number in its kind's unit, true within the half-width on either side."""

    number: float
    half_width: float = 0.0
    name: str = ""
    """What the brewer calls it."""
    unit: str = ""
    """Its kind's unit."""
    said: str = ""
    """The unit the brewer gave it in."""

    @property
    def width(self) -> Quantity:
        """The half-width in the brewer's own unit, or in the kind's where a curve lies between the two."""
        width = Q(self.half_width, difference_unit(self.unit))
        own = parse_unit(difference_unit(self.said or self.unit))
        return width.to(own) if width.is_compatible_with(own) else width


DEGREE_F = 5 / 9
"""One degree Fahrenheit in Celsius: what a kitchen thermometer can be trusted to."""

# Resolutions: hydrometer and thermometer as marked on the usual instruments; the others are common practice,
# no source. Ranges: where the formulas hold, and beyond which a number is surely a slip of the tongue.
KINDS: dict[str, Kind] = {
    "gravity": Kind("sg", 0.98, 1.2, absolute=0.001, why="no wort or beer is like that"),
    "wort": Kind("sg", 1.002, 1.2, absolute=0.001, why="that is not the gravity of wort"),
    "brix": Kind("brix", 0, 40, absolute=0.2, why="a brewer's refractometer ends at 40"),
    "temperature": Kind("degC", 0, 100, absolute=DEGREE_F, why="water would be ice or steam"),
    "calibration": Kind("degC", 0, 40, why="hydrometers are marked for room temperature"),
    "cellar temperature": Kind("degC", -2, 40, absolute=DEGREE_F, why="beer is not kept like that"),
    "air temperature": Kind("degC", -30, 60, absolute=DEGREE_F),
    "air or pot temperature": Kind("degC", -30, 100, absolute=DEGREE_F),
    "ice temperature": Kind("degC", -40, 0, absolute=DEGREE_F, why="that is no ice"),
    "volume": Kind("liter", 0.01, 2000, relative=0.02),
    "volume or none": Kind("liter", 0, 2000, relative=0.02),
    "mass": Kind("kilogram", 1e-5, 500, absolute=0.001, relative=0.01),
    "mass or none": Kind("kilogram", 0, 500, absolute=0.001, relative=0.01),
    "salt": Kind("gram", 0.01, 5000, absolute=0.1, relative=0.01),
    "spoon": Kind("milliliter", 0.05, 5000, relative=0.2),
    "cup": Kind("gram", 20, 500, relative=0.15, why="nothing in a brewery weighs that by the cup"),
    "duration": Kind("minute", 0, 60 * 24 * 7, absolute=1),
    "boil_left": Kind("minute", 0, 300, absolute=1, why="no boil is that long"),
    "boil time": Kind("minute", 1, 300, absolute=0.5, why="without boiling hops give next to none"),
    "age": Kind("day", 0, 730, absolute=1),
    "cells": Kind("cells", 0, 1e14),
    "rate": Kind("liter/hour", 0, 500, relative=0.1),
    "absorption": Kind("liter/kilogram", 0, 3, relative=0.3),
    "hop absorption": Kind("liter/kilogram", 0, 20, relative=0.5),
    "altitude": Kind("meter", -450, 6000, absolute=30, why="nobody brews there"),
    "barometer": Kind("kilopascal", 40, 110, absolute=0.1, why="the air on Earth does not weigh that"),
    "power": Kind("kilowatt", 0.1, 500, relative=0.1),
    "efficiency": Kind("percent", 5, 100, relative=0.25),
    "attenuation": Kind("percent", 0, 120, absolute=3),
    "alpha": Kind("percent", 0.5, 30, relative=0.05, why="no hop is like that"),
    "boiling": Kind("degC", 70, 102, absolute=0.3, why="no kettle boils there"),
    "stand": Kind("minute", 0, 180, absolute=1, why="nobody leaves it hot that long"),
    "stand temperature": Kind("degC", 40, 102, absolute=2, why="below that hops turn no more"),
    "bitterness": Kind("ibu", 0.1, 500),
    "points": Kind("", 1, 60, relative=0.05, why="pure sugar yields 46"),
    "diastatic power": Kind("lintner", 0, 300, relative=0.15, why="no malt is like that"),
    "lovibond": Kind("lovibond", 0.5, 700, relative=0.1),
    "heat capacity": Kind("", 0.1, 5, relative=0.1),
    "wort correction": Kind("", 0.9, 1.2, why="refractometers lie between 1.00 and 1.06"),
    "carbonation": Kind("volume_co2", 0.5, 6, why="beer holds one half to six"),
    "volumes or none": Kind("volume_co2", 0, 6, why="beer holds one half to six"),
    "bottles": Kind("bottle", 0, 5000, why="that is no whole number of bottles anybody has"),
    "concentration": Kind("ppm", 0, 5000, relative=0.1),
    "strength": Kind("percent", 0.1, 100, relative=0.1),
}

NO_VOLUME, NO_MASS = Q(0, "liter"), Q(0, "kilogram")

BOILING = Q(steam.boiling_temperature(steam.ATMOSPHERE), "degC")
"""Where water boils under one atmosphere."""

ROOM = Q(68, "degF")
"""Room temperature, for want of a thermometer's word."""

_CURVES: dict[tuple[str, str], Callable[[float], float]] = {
    ("plato", "sg"): wort.sg_of,
    ("sg", "plato"): wort.plato_of,
    ("lovibond", "srm"): lambda lovibond: 1.3546 * lovibond - 0.76,
    ("srm", "lovibond"): lambda srm: (srm + 0.76) / 1.3546,
}
"""Scales that are related by a curve; sources asbc-table, and from-memory for malt color."""


def plain(name: str, quantity: Quantity, unit: str) -> float:
    """The number of that quantity in the unit named, along a curve where no factor leads there.

    Raises WrongKind when the quantity measures something else.
    """
    try:
        return float(quantity.m_as(parse_unit(unit)))
    except pint.DimensionalityError:
        for (start, end), curve in _CURVES.items():
            if quantity.is_compatible_with(start) and parse_unit(unit).is_compatible_with(parse_unit(end)):
                return float(Q(curve(quantity.m_as(start)), end).m_as(parse_unit(unit)))
        raise WrongKind(name, quantity, unit) from None


def read(name: str, quantity: Quantity, kind: str = "") -> Given:
    """Let a quantity in. `name` is what the brewer calls it; the kind goes by the same name unless given.

    Raises WrongKind, or OutOfRange when it lies beyond the kind's limits or is no number at all.
    """
    rule = KINDS[kind or name]
    number = plain(name, quantity, rule.unit)
    slack = 1e-9 * max(1.0, abs(rule.high))
    if not rule.low - slack <= number <= rule.high + slack:
        raise out_of_range(name, quantity, rule.unit, rule.low, rule.high, rule.why)
    width = max(rule.absolute, rule.relative * abs(number))
    return Given(number, width, name, rule.unit, unit_of(quantity))


def wanted(name: str, quantity: Quantity, kind: str = "") -> Given:
    """Let in a quantity that is wanted or agreed rather than measured: as `read`, but exact."""
    return replace(read(name, quantity, kind), half_width=0.0)


def out_of_range(name: str, quantity: Quantity, unit: str, low: float, high: float, why: str) -> OutOfRange:
    """The error for a quantity beyond limits in that unit, which it tells in the brewer's own unit."""
    said = unit_of(quantity)
    least, most = (Q(plain(name, Q(limit, unit), said), said) for limit in (low, high))
    return OutOfRange(name, quantity, least, most, why)
