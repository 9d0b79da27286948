"""The numbers of the batch that its steps and days are told with: `{grain}`, `{top_up}`, `{pitch_range}`, ...

Each is worked out with its origin, or is not known; a text is told with numbers only where all of them are.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import datetime, timedelta

import knowledge
from assistant import wording
from assistant.brew import Brew, Known
from assistant.engine import mash, packaging, volumes
from assistant.engine.errors import EngineError
from assistant.engine.units import Q, Quantity, unit_of
from assistant.handlers.fermentation import yeast_range
from assistant.handlers.log import named
from assistant.reply import Input
from assistant.session.clocks import boil_clock
from assistant.session.model import PlanLine
from assistant.way import CARBONATING, CONDITIONING, REST

STEEP, MASH = Q(155, "degF"), Q(152, "degF")
"""Where steeped grain and a mash are to settle: common practice, no source."""

MASH_THICKNESS = Q(1.5, "quart/pound")
"""Water to grain of a mash; source palmer, one and a quarter to two quarts a pound."""

KEG = Q(38, "degF")
"""A keg's fridge: common practice, no source."""

LITTLE = 0.1
"""Gallons below which no water need be added."""

_DEGREES = re.compile(r"([0-9]+)F")
_BRACES = re.compile(r"\{([^}]*)\}")


def told(plain: str, with_numbers: Iterable[str], brew: Brew) -> tuple[str, list[Input]]:
    """The first of the texts whose numbers are all known, else the plain one; and where its numbers came from."""
    for text in (*with_numbers, plain):
        numbers = {name: _number(name, brew) for name in _BRACES.findall(text)}
        known = {name: number for name, number in numbers.items() if number is not None}
        if len(known) == len(numbers):
            inputs = [
                Input(name.replace("_", " "), str(number.value), number.origin)
                for name, number in known.items()
                if name in NUMBERS
            ]
            return text.format_map({name: number.value for name, number in known.items()}), inputs
    raise ValueError(f"{plain!r} holds a number that need not be known")


def degrees(text: str, brew: Brew) -> str:
    """A text without numbers of the batch, its temperatures in the brewer's own degrees."""
    return told(text, (), brew)[0]


def _number(name: str, brew: Brew) -> Known | None:
    """A number of the batch, as text; `155F` is a temperature."""
    fixed = _DEGREES.fullmatch(name)
    if fixed:
        return Known(_whole_degrees(Q(float(fixed[1]), "degF"), brew), "common practice")
    try:
        return NUMBERS[name](brew)
    except EngineError:
        return None


def is_metric(brew: Brew) -> bool:
    units, size = brew.batch.setting("units"), brew.size()
    return units == "metric" or (units is None and size is not None and unit_of(size.value) == "liter")


def _whole_degrees(temperature: Quantity, brew: Brew) -> str:
    shown = temperature.to("degC" if is_metric(brew) else "degF")
    return wording.quantity(Q(float(round(shown.magnitude)), unit_of(shown)))


def _span(low: Quantity, high: Quantity, brew: Brew) -> str:
    return f"{_whole_degrees(low, brew).split()[0]} to {_whole_degrees(high, brew)}"


def _volume(volume: Quantity, brew: Brew) -> str:
    return wording.quantity(volume.to("liter" if is_metric(brew) else "gallon"))


def _date(moment: datetime) -> str:
    return f"{moment:%b} {moment.day}"


# --- The recipe


def lines(brew: Brew, *kinds: str) -> list[PlanLine]:
    """The lines of the recipe of these kinds, in the order planned."""
    found = ((line, knowledge.ingredients().get(line.ingredient or "")) for line in brew.batch.plan)
    return [line for line, entry in found if entry and entry.kind in kinds]


def named_line(line: PlanLine) -> str:
    return f"{wording.slot(line.amount)} {named(line.ingredient or '')}"


def _listed(chosen: Iterable[PlanLine]) -> Known | None:
    names = [named_line(line) for line in chosen]
    return Known(wording.listed(names), "recipe") if names else None


def _extract(brew: Brew) -> Known | None:
    """What is stirred in before the boil; later extract stands with the additions."""
    length = brew.boil_length().value.m_as("minute")
    left = [line for line in lines(brew, "extract") if line.made is None]
    return _listed(line for line in left if line.boil_left is None or line.boil_left >= length)


def _additions(brew: Brew) -> Known | None:
    """What goes into the boil by the clock, the earliest first, those of one minute together."""
    length = brew.boil_length().value.m_as("minute")
    due: dict[float, list[str]] = {}
    for line in brew.batch.plan:
        entry = knowledge.ingredients().get(line.ingredient or "")
        early = entry is not None and entry.kind == "extract" and (line.boil_left or 0) >= length
        if line.made is None and line.boil_left and not early:
            due.setdefault(line.boil_left, []).append(named_line(line))
    texts = [f"{wording.listed(due[left])} at {left:g} min" for left in sorted(due, reverse=True)]
    return Known(", then ".join(texts), "recipe") if texts else None


def _grain_weight(brew: Brew) -> Known | None:
    grain = brew.grain()
    return Known(grain, "recipe") if grain.magnitude else None


def _yeast(brew: Brew) -> Known | None:
    yeast = brew.yeast()
    return Known(f"the {yeast.name}", "recipe") if yeast else None


def _yeast_range(brew: Brew) -> Known:
    low, high, kind = yeast_range(brew)
    return Known(_span(low, high, brew), f"usual for {kind}; the packet decides")


# --- Water and heat


def _mash_water(brew: Brew) -> Known | None:
    poured, grain = _poured(brew), brew.grain()
    if poured or not grain.magnitude:
        return poured
    return Known((MASH_THICKNESS * grain).to("gallon"), "a quart and a half to a pound of grain; palmer")


def _poured(brew: Brew) -> Known | None:
    """The water logged in the kettle before the boil."""
    return brew.kettle_volume() if brew.batch.event("boil_start") is None else None


def _boil_volume(brew: Brew) -> Known | None:
    size = brew.size()
    if size is None:
        return None
    if brew.way().value != "all grain":
        return Known(size.value / 2, "half the batch, topped up later; common practice")
    rate, length = brew.boil_off(), brew.boil_length()
    lost = volumes.boil_off(rate.value, length.value).values["volume"]
    return Known(size.value + lost, f"batch size and what boils off; boil off {rate.origin}")


def _first_water(brew: Brew) -> Known | None:
    """What is heated first: all of it, or in a mash its share."""
    mashed = brew.use_of_grain().value == "mashed"
    return _poured(brew) or (_mash_water(brew) if mashed else _boil_volume(brew))


def _heat_for(target: Quantity, water: Callable[[Brew], Known | None]) -> Callable[[Brew], Known | None]:
    def found(brew: Brew) -> Known | None:
        amount, grain = water(brew), brew.grain()
        if amount is None or not grain.magnitude:
            return None
        strike = mash.strike(grain, amount.value, target).values["temperature"]
        origin = f"heat balance of {wording.quantity(grain)} of grain at room temperature; palmer"
        return Known(_whole_degrees(strike, brew), origin)

    return found


def _rinse_water(brew: Brew) -> Known | None:
    """What brings the wort to the boil volume, what the grain keeps counted; a mini-mash takes no more than the mash did."""
    mashed, boiled = _mash_water(brew), _boil_volume(brew)
    if mashed is None or boiled is None:
        return None
    missing = boiled.value - mashed.value + volumes.ABSORPTION * brew.grain()
    if brew.way().value != "all grain":
        missing = min(missing, mashed.value.to(missing.units))
    return Known(missing, "boil volume less the mash water, and what the grain keeps") if _enough(missing) else None


def _enough(volume: Quantity) -> bool:
    return bool(volume.m_as("gallon") > LITTLE)


def _boiling_point(brew: Brew) -> Known | None:
    known = brew.boiling_point()
    return Known(_whole_degrees(known.value, brew), "altitude set") if known else None


def _wort_temperature(brew: Brew) -> Known | None:
    warmth, flameout = brew.wort_temperature(), brew.batch.event("flameout")
    if warmth is None or flameout is None or brew.wort_temperatures()[-1].happened < flameout.happened:
        return None
    return Known(wording.quantity(warmth.value), warmth.origin)


def _top_up(brew: Brew) -> Known | None:
    size, held = brew.size(), brew.wort_there_is()
    if size is None or held is None or not _enough(size.value - held.value):
        return None
    water = volumes.top_up(held.value, size.value).values["volume"]
    return Known(water, f"batch size less {wording.quantity(held.value)} {held.origin}")


# --- The boil's clock


def _boil_left(brew: Brew) -> Known | None:
    boil = boil_clock(brew.batch, brew.now)
    if boil is None or boil.ended is not None or boil.left <= 0:
        return None
    return Known(wording.span(boil.left), "boil clock")


def _boil_length(brew: Brew) -> Known:
    length = brew.boil_length()
    return Known(wording.span(length.value.m_as("minute")), length.origin)


# --- Gravities and days


def _read_on(brew: Brew) -> Known | None:
    return Known(_date(brew.batch.gravities[-1].happened), "logged") if brew.current() else None


def _day(brew: Brew) -> Known | None:
    pitch = brew.batch.event("pitch")
    return Known(str(days_between(pitch.happened, brew.now)), "days since the pitch") if pitch else None


def days_between(start: datetime, end: datetime) -> int:
    """Calendar days, for people count those."""
    return (end.date() - start.astimezone(end.tzinfo).date()).days


def _day_after(event: str, span: timedelta) -> Callable[[Brew], Known | None]:
    def found(brew: Brew) -> Known | None:
        entry = brew.batch.event(event)
        return Known(_date(entry.happened + span), f"{span.days} days; common practice") if entry else None

    return found


# --- Packing


def _bottles(brew: Brew) -> Known | None:
    volume = brew.volume()
    if volume is None:
        return None
    return Known(packaging.bottles(volume.value).values["count"], f"12 ounce bottles for the {volume.origin}")


def _priming(brew: Brew) -> Known | None:
    volume, warmest = brew.volume(), brew.warmest_since_done()
    if volume is None or warmest is None:
        return None
    sugar = packaging.priming(volume.value, brew.carbonation().value, warmest.value).values["sugar"]
    return Known(sugar, f"{wording.quantity(brew.carbonation().value)} wanted, beer {warmest.origin}")


def _keg_pressure(brew: Brew) -> Known:
    pressure = packaging.keg_pressure(brew.carbonation().value, KEG).values["pressure"]
    return Known(pressure, f"{wording.quantity(brew.carbonation().value)} wanted")


def _shown(number: Callable[[Brew], Known | None]) -> Callable[[Brew], Known | None]:
    """The number as text, volumes in the brewer's own units."""

    def found(brew: Brew) -> Known | None:
        known = number(brew)
        if known is None or isinstance(known.value, str):
            return known
        value = known.value
        text = _volume(value, brew) if value.check("[length]**3") else wording.quantity(value)
        return Known(text, known.origin)

    return found


NUMBERS: dict[str, Callable[[Brew], Known | None]] = {
    name: _shown(number)
    for name, number in {
        "grain": lambda brew: _listed(lines(brew, "grain")),
        "grain_weight": _grain_weight,
        "extract": _extract,
        "additions": _additions,
        "flameout_additions": lambda brew: _listed(
            line for line in brew.batch.plan if line.boil_left == 0 and line.made is None
        ),
        "yeast": _yeast,
        "pitch_range": _yeast_range,
        "ferment_range": _yeast_range,
        "batch_volume": Brew.size,
        "first_water": _first_water,
        "steep_heat": _heat_for(STEEP, _first_water),
        "mash_water": _mash_water,
        "mash_heat": _heat_for(MASH, _mash_water),
        "rinse_water": _rinse_water,
        "boil_volume": _boil_volume,
        "boiling_point": _boiling_point,
        "boil_left": _boil_left,
        "boil_length": _boil_length,
        "wort_temperature": _wort_temperature,
        "top_up": _top_up,
        "expected_original": lambda brew: brew.recipe_gravity(brew.volume()),
        "expected_final": Brew.should_end,
        "last_gravity": Brew.current,
        "read_on": _read_on,
        "day": _day,
        "rested_on": _day_after("pitch", REST),
        "conditioned_on": _day_after("bottle", CONDITIONING),
        "carbonated_on": _day_after("keg", CARBONATING),
        "bottles": _bottles,
        "priming": _priming,
        "keg_pressure": _keg_pressure,
    }.items()
}
"""Every name the braces of `knowledge/steps.toml` may hold besides degrees."""
