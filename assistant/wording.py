"""How numbers, moments and lists are put for people: short, rounded to what a brewer can use, fit to be read aloud."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from math import floor, log10

from assistant.engine.units import Quantity, unit_of

_SIGNS = {
    "sg": ("", 3),
    "plato": (" °P", 1),
    "brix": (" °Bx", 1),
    "degF": (" °F", 0),
    "degC": (" °C", 1),
    "gallon": (" gal", 2),
    "liter": (" L", 1),
    "milliliter": (" mL", 0),
    "quart": (" qt", 2),
    "pint": (" pt", 2),
    "fluid_ounce": (" fl oz", 2),
    "cup": (" cup", 2),
    "tablespoon": (" tbsp", 2),
    "teaspoon": (" tsp", 2),
    "pound": (" lb", 2),
    "ounce": (" oz", 2),
    "gram": (" g", 0),
    "kilogram": (" kg", 2),
    "milligram": (" mg", 0),
    "second": (" s", 0),
    "minute": (" min", 0),
    "hour": (" h", 1),
    "day": (" days", 1),
    "week": (" weeks", 0),
    "month": (" months", 1),
    "year": (" years", 1),
    "ibu": (" IBU", 0),
    "srm": (" SRM", 0),
    "ebc": (" EBC", 0),
    "lovibond": (" °L", 0),
    "lintner": (" °Lintner", 0),
    "percent": (" %", 1),
    "volume_co2": (" volumes", 1),
    "psi": (" psi", 1),
    "bar": (" bar", 2),
    "kilopascal": (" kPa", 1),
    "hectopascal": (" hPa", 0),
    "millibar": (" mbar", 0),
    "inch_Hg": (" inHg", 2),
    "foot": (" ft", 0),
    "meter": (" m", 0),
    "inch": (" in", 1),
    "gallon/hour": (" gal/h", 2),
    "liter/hour": (" L/h", 1),
    "quart/hour": (" qt/h", 1),
    "kilowatt": (" kW", 1),
    "watt": (" W", 0),
    "btu/hour": (" BTU/h", 0),
    "kilocalorie": (" kcal", 0),
    "ppm": (" ppm", 0),
    "delta_degF": (" °F", 1),
    "delta_degC": (" °C", 1),
    "cells": (" billion cells", 0),
    "count": ("", 0),
    "bottle": (" bottles", 0),
    "pack": (" packs", 1),
    "tablet": (" tablets", 2),
    "": ("", 2),
}
"""The sign of each unit on the screen and the decimals worth showing."""

_FINER = {"gram": (10.0, 1), "ppm": (20.0, 1), "percent": (2.0, 2)}
"""Small numbers of these want more decimals: salts are weighed to a tenth of a gram."""

_SHOWN_IN = {"cells": 1e9}
"""Units too small for people are counted in heaps."""

_COUNTED = frozenset("day week month year volume_co2 bottle pack tablet".split())
"""Units whose sign is a word in the plural: of one it loses its s."""

_SPOKEN = {
    "°F": "degrees Fahrenheit",
    "°C": "degrees Celsius",
    "°P": "degrees Plato",
    "°Bx": "degrees Brix",
    "°L": "Lovibond",
    "gal": "gallons",
    "gal/h": "gallons an hour",
    "L": "liters",
    "L/h": "liters an hour",
    "mL": "milliliters",
    "fl oz": "fluid ounces",
    "oz": "ounces",
    "lb": "pounds",
    "tsp": "teaspoons",
    "tbsp": "tablespoons",
    "qt": "quarts",
    "min": "minutes",
    "h": "hours",
    "ft": "feet",
    "m": "meters",
    "kg": "kilograms",
    "g": "grams",
    "mg": "milligrams",
    "%": "percent",
    "ABV": "alcohol by volume",
    "kcal": "kilocalories",
    "ppm": "parts per million",
    "±": "plus or minus",
    "=": "equals",
    "kW": "kilowatts",
    "W": "watts",
    "inHg": "inches of mercury",
    "hPa": "hectopascals",
    "mbar": "millibars",
    "kPa": "kilopascals",
    "OG": "original gravity",
    "FG": "final gravity",
}
_DIGITS = "oh one two three four five six seven eight nine".split()


def number(value: float, decimals: int) -> str:
    """Rounded, without idle noughts: 5, 5.25, 0.75."""
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def measure(value: float, unit: str) -> str:
    """A number and its unit: `1.052`, `68 °F`, `0.75 oz`."""
    sign, decimals = _SIGNS.get(unit, (f" {unit}", 2))
    value /= _SHOWN_IN.get(unit, 1.0)
    if unit == "sg":
        return f"{value:.3f}"
    below, finer = _FINER.get(unit, (0.0, decimals))
    if abs(value) < below:
        decimals = finer
    if abs(value) >= 10 and decimals > 1:
        decimals = 1
    if 0 < abs(value) < 10**-decimals:
        decimals = min(4, 1 - floor(log10(abs(value))))
    told = number(value, decimals)
    return told + (sign.removesuffix("s") if told == "1" and unit in _COUNTED else sign)


def slot(value: object) -> str:
    """A slot as the contract has it, in words."""
    if isinstance(value, list | tuple) and len(value) == 2:
        return measure(float(value[0]), str(value[1]))
    return str(value)


def quantity(value: Quantity) -> str:
    return measure(float(value.magnitude), unit_of(value))


def span(minutes: float) -> str:
    """A stretch of time: `23 minutes`, `1 hour 5 minutes`, `3 days`."""
    whole = max(0, round(minutes))
    if whole == 0 and minutes > 0.05:
        return f"{round(minutes * 60)} seconds"
    if whole >= 2 * 1440:
        return _count(round(whole / 1440), "day")
    hours, rest = divmod(whole, 60)
    parts = [_count(hours, "hour")] if hours else []
    if rest or not hours:
        parts.append(_count(rest, "minute"))
    return " ".join(parts)


def _count(many: int, what: str) -> str:
    return f"{many} {what}" if many == 1 else f"{many} {what}s"


def clock(moment: datetime, now: datetime) -> str:
    """`10:47`, with the day where it is another one."""
    moment = moment.astimezone(now.tzinfo)
    days = (moment.date() - now.date()) / timedelta(days=1)
    day = {0: "", -1: "yesterday ", 1: "tomorrow "}.get(int(days))
    return f"{moment:%b} {moment.day} {moment:%H:%M}" if day is None else f"{day}{moment:%H:%M}"


def listed(items: Sequence[str], last: str = "and") -> str:
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?", "!")) else ".") if text else ""


def spoken(text: str) -> str:
    """The same line to be read aloud: no signs, gravities digit by digit."""
    text = re.sub(r"\b([01])\.(\d{3})\b", lambda m: _gravity_aloud(m[1], m[2]), text)
    text = re.sub(r"(\d)\.(\d+)", lambda m: f"{m[1]} point {' '.join(_DIGITS[int(d)] for d in m[2])}", text)
    for sign, words in sorted(_SPOKEN.items(), key=lambda item: -len(item[0])):
        text = re.sub(rf"(?<![\w°]){re.escape(sign)}(?![\w°/])", words, text)
    return text


def _gravity_aloud(whole: str, digits: str) -> str:
    return " ".join([{"0": "zero", "1": "one"}[whole], "point", *(_DIGITS[int(digit)] for digit in digits)])
