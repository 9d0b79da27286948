"""Numbers that cannot be, and numbers that nobody means: what is refused, and what is asked back.

Two ranges for each kind of slot. Outside the first the number is impossible in a garage brewery; outside the second
it is possible and yet more likely a slip of the tongue, the thumb or the recogniser.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

Slots = Mapping[str, object]

_TO_BASE = {
    "degF": lambda v: v,
    "degC": lambda v: v * 1.8 + 32,
    "gallon": lambda v: v,
    "liter": lambda v: v / 3.785411784,
    "milliliter": lambda v: v / 3785.411784,
    "quart": lambda v: v / 4,
    "pint": lambda v: v / 8,
    "cup": lambda v: v / 16,
    "fluid_ounce": lambda v: v / 128,
    "tablespoon": lambda v: v / 256,
    "teaspoon": lambda v: v / 768,
    "pound": lambda v: v,
    "ounce": lambda v: v / 16,
    "gram": lambda v: v / 453.59237,
    "kilogram": lambda v: v / 0.45359237,
    "milligram": lambda v: v / 453592.37,
    "minute": lambda v: v,
    "second": lambda v: v / 60,
    "hour": lambda v: v * 60,
    "day": lambda v: v * 1440,
    "week": lambda v: v * 10080,
    "month": lambda v: v * 43800,
    "year": lambda v: v * 525600,
    "foot": lambda v: v,
    "meter": lambda v: v / 0.3048,
    "inch": lambda v: v / 12,
    "gallon/hour": lambda v: v,
    "liter/hour": lambda v: v / 3.785411784,
    "quart/hour": lambda v: v / 4,
    "plato": lambda v: 1 + v / 250,
    "brix": lambda v: 1 + v / 250,
    "ebc": lambda v: v / 1.97,
}
"""Each unit in the one its limits are written in; a unit that is not named is its own."""




def in_base(quantity: Sequence[Any]) -> float:
    """A number in the unit the limits of its kind are written in, to be compared with others."""
    number, unit = quantity
    return float(_TO_BASE.get(unit, float)(number))


@dataclass(frozen=True, slots=True)
class Limits:
    """What a number of one kind may be; in the unit named, ends included."""

    lowest: float
    highest: float
    usual_lowest: float
    usual_highest: float
    unit: str
    what: str
    """The reason in words, after "because"."""


_GRAVITY = Limits(0.980, 1.200, 0.985, 1.160, "sg", "wort and beer lie between 0.980 and 1.200")
_PLATO = Limits(0.98, 1.18, 0.984, 1.148, "plato", "wort and beer lie between -5 and 45 degrees Plato")
_LIQUID = Limits(25, 215, 28, 213, "degF", "water freezes at 32 °F and boils at 212 °F")
_ROOM = Limits(-40, 215, 0, 213, "degF", "water boils at 212 °F")
_VOLUME = Limits(0, 500, 0.001, 60, "gallon", "a home batch is between a few drops and 500 gallons")
_SPOON = Limits(0, 500, 1e-5, 0.3, "gallon", "spoons measure a pinch to a quart")
_MASS = Limits(0, 1000, 1e-6, 60, "pound", "an addition weighs more than nothing and less than 1000 pounds")
_HOPS = Limits(0, 100, 1e-6, 1.01, "pound", "five gallons take ounces of hops, not pounds")
_SPAN = Limits(
    0, 525600 * 5, 1 / 60, 525600, "minute", "a time is more than nothing and less than five years"
)
_IN_BOIL = Limits(0, 1440, 0, 120, "minute", "a boil lasts an hour or two")

_BY_UNIT = {"sg": _GRAVITY, "plato": _PLATO, "brix": _PLATO}

_BY_SLOT: dict[str, Limits] = {
    **dict.fromkeys(
        ("temperature", "hot_temperature", "cold_temperature", "hydrometer_calibration"), _LIQUID
    ),
    "grain_temperature": _ROOM,
    **dict.fromkeys(("volume", "final_volume", "hot_volume", "cold_volume", "water", "trub_loss"), _VOLUME),
    **dict.fromkeys(("grain", "ice"), _MASS),
    "duration": _SPAN,
    "age": _SPAN,
    "boil_left": _IN_BOIL,
    "boil_length": _IN_BOIL,
    "alpha": Limits(0, 40, 0.5, 25, "percent", "hops hold between 1 and 25 percent alpha acid"),
    "carbonation": Limits(0, 8, 0.5, 5, "volume_co2", "beer holds between half a volume and five volumes"),
    "altitude": Limits(-1500, 30000, -1400, 16500, "foot", "nobody brews higher than 16500 feet"),
    "boil_off": Limits(0, 20, 0.05, 5, "gallon/hour", "a pot loses between a cup and a few gallons an hour"),
    "power": Limits(0, 1e6, 0, 1e6, "kilowatt", "a burner gives heat"),
}

_BY_KIND = {
    "pound": _MASS,
    "ounce": _MASS,
    "gram": _MASS,
    "kilogram": _MASS,
    "degF": _ROOM,
    "degC": _ROOM,
    "gallon": _VOLUME,
    "liter": _VOLUME,
    "quart": _VOLUME,
    "cup": _VOLUME,
    "teaspoon": _SPOON,
    "tablespoon": _SPOON,
    "fluid_ounce": _VOLUME,
    "milliliter": _VOLUME,
    "pint": _VOLUME,
}

_AIR = frozenset("room closet basement fridge garage ambient cellar cooler freezer".split())
"""Places that may be colder than water can be."""

_BY_ACT = {("log_volume", "volume"): Limits(0, 500, 0.2, 60, "gallon", "a pot or a bucket holds a quart and more")}
"""Narrower limits of a slot in one act."""

_ACTS_OF_ANY_NUMBER = frozenset({"ask_convert"})
"""Acts that may be asked about numbers outside a brewery."""


_USUAL = {
    ("ask_chill_time", "target"): (-inf, 110.0),
    ("ask_heat_time", "to"): (95.0, inf),
    ("due_start_timer", "duration"): (5.0, 180.0),
}
"""What a number of one act usually is, in the unit of its limits: nobody chills to 155 °F, lights a burner for 70, nor
asks in a word for a timer of a second."""


def is_usual(act: str, slots: Slots) -> bool:
    """Whether all numbers are what they usually are in this act; where another act explains them, that one is meant."""
    return all(
        lowest <= in_base(value) <= highest
        for (of, slot), (lowest, highest) in _USUAL.items()
        if of == act and isinstance(value := slots.get(slot), list)
    )


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a number is not simply taken."""

    slot: str
    value: float
    unit: str
    why: str
    impossible: bool


def doubts(act: str, slots: Slots, hops: bool = False) -> list[Doubt]:
    """The numbers of a command that cannot be or are hardly meant; `hops` when the ingredient is a hop."""
    if act in _ACTS_OF_ANY_NUMBER:
        return []
    found = []
    for slot, value in slots.items():
        if not (isinstance(value, list) and len(value) == 2):
            continue
        number, unit = value
        limits = _BY_ACT.get((act, slot)) or _BY_UNIT.get(unit) or _BY_SLOT.get(slot) or _BY_KIND.get(unit)
        if slot == "temperature" and slots.get("of") in _AIR:
            limits = _ROOM
        if slot == "amount" and hops and unit in _BY_KIND and _BY_KIND[unit] is _MASS:
            limits = _HOPS
        if limits is None:
            continue
        base = in_base(value)
        impossible = not limits.lowest <= base <= limits.highest or base < 0 <= limits.lowest
        if slot == "amount" and base <= 0:
            impossible = True
        if impossible or not limits.usual_lowest <= base <= limits.usual_highest:
            why = "it must be more than nothing" if base <= 0 == limits.lowest else limits.what
            found.append(Doubt(slot, number, unit, why, impossible))
    return found
