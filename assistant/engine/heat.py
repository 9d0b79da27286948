"""Heat: mixing, ice, strike water, how long heating and cooling take, and where water boils.

Volumes are those at the temperature they are said with. Wort is reckoned as water: at 12 degrees Plato a
gallon of it holds about two and a half percent less heat.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from math import log

from assistant.engine import steam, wort
from assistant.engine.errors import Impossible, show
from assistant.engine.inputs import KINDS, NO_MASS, NO_VOLUME, ROOM, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, in_manner_of, unit_of

FUSION = 333.43
"""Heat to melt a kilogram of ice at 0 degrees Celsius, in kJ; computed, source iapws."""

MELTING = Q(0, "degC")

_QUARTS_PER_POUND = 0.2 * 0.946352946 / 0.45359237
"""Palmer's 0.2 quarts a pound, in liters a kilogram."""

GAS_EFFICIENCY = Q(40, "percent")
"""Share of a gas burner's heat that reaches the kettle; common practice, no source."""

TYPICAL_BURNER = Q(50000, "btu/hour")
"""A burner as sold for five gallons; common practice, no source."""

_SURE = 2 * KINDS["temperature"].absolute
"""Degrees Celsius of fall, or of distance to the surroundings, that two thermometer readings can tell."""

WEATHER = 0.5
"""How far the weather moves the boiling point, in degrees Celsius; common practice, no source."""

_ENTHALPY = (
    (0.01, 0.10), (4, 16.91), (15, 63.08), (20, 84.01), (25, 104.92), (40, 167.62), (60, 251.25),
    (65, 272.18), (80, 335.06), (95, 398.10), (99.974, 419.06),
)
"""Water at 101.325 kPa: degrees Celsius and kJ/kg; computed, source iapws. Straight between: to 0.1 kJ/kg."""

_DEGREES, _HEATS = zip(*_ENTHALPY, strict=True)


def _along(position: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    """The straight line through the two neighbors in a table, carried on beyond its ends."""
    place = max(1, min(bisect_right(xs, position), len(xs) - 1))
    share = (position - xs[place - 1]) / (xs[place] - xs[place - 1])
    return ys[place - 1] + share * (ys[place] - ys[place - 1])


def water_heat(celsius: float) -> float:
    """Heat in kJ in a kilogram of water, against water at 0 degrees Celsius."""
    return _along(celsius, _DEGREES, _HEATS)


def ice_heat(celsius: float) -> float:
    """The same for ice at 0 degrees Celsius or below; heat capacity straight from -20 to 0; source iapws."""
    return -FUSION + celsius * (2.097 + 0.003695 * celsius)


def settle(heat: float, kilograms: float) -> tuple[float, float]:
    """Temperature in Celsius and kilograms of ice left, of so much water with so much heat (kJ) in it."""
    if heat >= 0:
        return _along(heat / kilograms, _HEATS, _DEGREES), 0.0
    return 0.0, min(kilograms, -heat / FUSION)


def _mass(liters: float, celsius: float) -> float:
    return liters * wort.water_density(celsius) / 1000


def _mixture(
    hot: float, hot_c: float, cold: float, cold_c: float, ice: float, ice_c: float
) -> tuple[float, float]:
    hot_mass, cold_mass = _mass(hot, hot_c), _mass(cold, cold_c)
    heat = hot_mass * water_heat(hot_c) + cold_mass * water_heat(cold_c) + ice * ice_heat(ice_c)
    return settle(heat, hot_mass + cold_mass + ice)


def mix_temperature(
    hot_volume: Quantity, hot_temperature: Quantity,
    cold_volume: Quantity = NO_VOLUME, cold_temperature: Quantity = ROOM,
    ice: Quantity = NO_MASS, ice_temperature: Quantity = MELTING,
) -> Result:
    """The temperature of hot and cold water, and ice if any, put together.

    Volumes 0.01 to 2000 liter (cold: from 0), temperatures 0 to 100 degC, ice 0 to 500 kilogram at -40 to 0
    degC. Gives `temperature` in the unit of the hot one, and `ice_left` when ice went in. Raises Impossible
    when there is so much ice that all would freeze. Source iapws.
    """
    inputs = [
        read("hot volume", hot_volume, "volume"), read("hot temperature", hot_temperature, "temperature"),
        read("cold volume", cold_volume, "volume or none"),
        read("cold temperature", cold_temperature, "temperature"),
        read("ice", ice, "mass or none"), read("ice temperature", ice_temperature, "ice temperature"),
    ]
    numbers = [given.number for given in inputs]
    hot, hot_c, cold, cold_c, ice_mass, _ = numbers
    _, left = _mixture(*numbers)
    if ice_mass and left >= _mass(hot, hot_c) + _mass(cold, cold_c) + ice_mass - 1e-9:
        raise Impossible("That mixture", "the water itself would freeze", "use less ice")
    by_volume = (hot * hot_c + cold * cold_c) / (hot + cold)
    shown = unit_of(hot_temperature)
    notes = [f"{show(Q(left, 'kilogram').to(unit_of(ice)))} of the ice would not melt."] if left else []
    if cold and not ice_mass:
        notes.append(f"Averaged by volume alone it is {Q(by_volume, 'degC').to(shown).magnitude:.1f}.")
    outputs = {"temperature": Output("degC", shown), "ice_left": Output("kilogram", unit_of(ice))}
    if not ice_mass:
        del outputs["ice_left"]
    return work(
        lambda *given: _mixture(*given)[:len(outputs)], inputs, outputs,
        formula="sum of mass x heat per mass is kept; melting ice takes 333.4 kJ a kilogram",
        sources=("iapws",), notes=notes,
    )


def ice(
    volume: Quantity, temperature: Quantity, target: Quantity, ice_temperature: Quantity = MELTING
) -> Result:
    """How much ice cools a volume to a temperature, the ice melting in it.

    volume: 0.01 to 2000 liter. temperature, target: 0 to 100 degC. ice_temperature: -40 to 0 degC; melting
    ice when left out. Gives `ice` in pound or kilogram. Raises Impossible when the target is the warmer.
    Source iapws.
    """
    inputs = [
        read("volume", volume), read("temperature", temperature), wanted("target", target, "temperature"),
        read("ice temperature", ice_temperature),
    ]
    _, warm, aim, _ = (given.number for given in inputs)
    if aim >= warm:
        raise Impossible(f"Cooling to {show(target)} from {show(temperature)}", "ice only cools",
                         "name a target below the temperature")

    def needed(liters: float, warm: float, aim: float, ice_c: float) -> tuple[float]:
        given_up = _mass(liters, warm) * (water_heat(warm) - water_heat(aim))
        return (given_up / (water_heat(aim) - ice_heat(ice_c)),)

    return work(
        needed, inputs, {"ice": Output("kilogram", in_manner_of(volume, "pound", "kilogram"))},
        formula="ice = mass x heat it must give up / (333.4 kJ to melt a kilogram + heat to warm that up)",
        sources=("iapws",), notes=["Ice from a freezer at 0 degF takes about a tenth less."],
    )


def strike(
    grain: Quantity, water: Quantity, target: Quantity, grain_temperature: Quantity = ROOM
) -> Result:
    """How hot the water must be for grain stirred in to settle at a temperature.

    grain: a mass. water: 0.01 to 2000 liter. target: 0 to 100 degC. grain_temperature: -30 to 60 degC, 68
    degF when left out. Gives `temperature` in the unit of the target. Raises Impossible when the water would
    have to boil. Source palmer; the heat-balance form from-memory.
    """
    inputs = [
        read("grain", grain, "mass"), read("water", water, "volume"),
        wanted("target", target, "temperature"),
        read("grain temperature", grain_temperature, "air temperature"),
    ]

    def hot(kilograms: float, liters: float, aim: float, grain_c: float) -> tuple[float]:
        return (aim + _QUARTS_PER_POUND * kilograms / liters * (aim - grain_c),)

    kilograms, liters, aim, grain_c = (given.number for given in inputs)
    strike_c, = hot(kilograms, liters, aim, grain_c)
    if strike_c > 100:
        raise Impossible(f"Reaching {show(target)} with that much grain",
                         "the water would have to be past boiling", "use more water")
    shown = unit_of(target)
    balance = aim + 0.38 * kilograms / _mass(liters, strike_c) * (aim - grain_c)
    return work(
        hot, inputs, {"temperature": Output("degC", shown, error=abs(strike_c - balance))},
        formula="water temperature = target + 0.2 x pounds / quarts x (target - grain temperature)",
        sources=("palmer",),
        notes=[f"With 0.38 as the grain's heat capacity it is {Q(balance, 'degC').to(shown).magnitude:.1f}; "
               "a cold pot takes more."],
    )


def heat_time(
    volume: Quantity, start: Quantity, target: Quantity, power: Quantity = TYPICAL_BURNER,
    efficiency: Quantity = GAS_EFFICIENCY,
) -> Result:
    """How long a burner takes to bring water or wort to a temperature.

    volume: 0.01 to 2000 liter. start, target: 0 to 100 degC. power: 0.1 to 500 kilowatt. efficiency: 5 to 100
    percent of it reaching the water; about 90 for an element in the kettle. Gives `duration` in minute.
    Raises Impossible when the target is the cooler. Source iapws; power and efficiency common-practice.
    """
    inputs = [
        read("volume", volume), read("start", start, "temperature"), wanted("target", target, "temperature"),
        read("power", power), read("efficiency", efficiency),
    ]
    _, cool, aim, _, _ = (given.number for given in inputs)
    if aim <= cool:
        raise Impossible(f"Heating to {show(target)} from {show(start)}", "it is there already",
                         "name a target above the start")

    def minutes(liters: float, cool: float, aim: float, kilowatts: float, percent: float) -> tuple[float]:
        heat = _mass(liters, cool) * (water_heat(aim) - water_heat(cool))
        return (heat / (kilowatts * percent / 100) / 60,)

    return work(
        minutes, inputs, {"duration": Output("minute")},
        formula="time = mass x heat to take up / (power x share that reaches the water)",
        sources=("iapws", "common-practice"),
        notes=[f"Counted with {show(power)}, of which {show(efficiency)} reaches the water; "
               "time one heating and say the burner's power to match."],
    )


def chill_time(
    readings: Sequence[tuple[float, Quantity]], target: Quantity, surroundings: Quantity
) -> Result:
    """How much longer the wort takes to cool, by Newton's law through the readings so far.

    readings: at least two pairs of minutes since any moment, rising, and temperature (0 to 100 degC). target:
    0 to 100 degC. surroundings: of the cooling water or the air, -30 to 60 degC. Gives `duration` in minute
    from the last reading. Raises Impossible when it does not cool or can never get there. Source
    newton-cooling.
    """
    moments = [float(minute) for minute, _ in readings]
    inputs = [read("temperature", degrees) for _, degrees in readings]
    inputs.append(wanted("target", target, "temperature"))
    inputs.append(read("surroundings", surroundings, "air temperature"))
    *degrees, aim, outside = (given.number for given in inputs)
    _check_chill(moments, degrees, aim, outside, target, surroundings)

    def left(*numbers: float) -> tuple[float]:
        *degrees, aim, outside = numbers
        rate = _cooling_rate(moments, [log(each - outside) for each in degrees])
        if rate <= 0:
            raise Impossible(f"Telling when it reaches {show(target)}",
                             "the readings do not fall steadily", "read again in a while")
        return (max(0.0, log((degrees[-1] - outside) / (aim - outside))) / rate,)

    return work(
        left, inputs, {"duration": Output("minute")},
        formula="temperature - surroundings shrinks by the same share every minute, fitted to the readings",
        sources=("newton-cooling",),
        notes=["Stirring or fresh ice makes it faster; a new reading sharpens it."],
    )


def _check_chill(
    moments: list[float], degrees: list[float], aim: float, outside: float, target: Quantity,
    surroundings: Quantity,
) -> None:
    what = f"Telling when it reaches {show(target)}"
    if len(moments) < 2 or any(later <= earlier for earlier, later in pairwise(moments)):
        raise Impossible(what, "that takes temperatures at two moments", "read again in a while")
    if aim - outside < _SURE:
        raise Impossible(what, f"the surroundings are at {show(surroundings)}", "use colder water, or ice")
    if min(degrees) - outside < _SURE or degrees[0] - degrees[-1] < _SURE:
        raise Impossible(what, "it has hardly cooled between the readings", "read again in a while")


def _cooling_rate(moments: list[float], gaps: list[float]) -> float:
    """Share lost a minute: the slope of the straight line of least squares through the logarithms."""
    middle, level = sum(moments) / len(moments), sum(gaps) / len(gaps)
    across = sum((minute - middle) ** 2 for minute in moments)
    return -sum((minute - middle) * (gap - level) for minute, gap in zip(moments, gaps, strict=True)) / across


def air_pressure(meters: float) -> float:
    """Pressure in kPa of the standard atmosphere at that height; source isa-atmosphere."""
    return float(101.325 * (1 - 2.25577e-5 * meters) ** 5.25588)


def boiling_point(altitude: Quantity) -> Result:
    """Where water boils at an altitude.

    altitude: -450 to 6000 meter. Gives `temperature` in degF for feet, degC for meters. Raises OutOfRange.
    Sources isa-atmosphere, iapws.
    """
    return work(
        lambda meters: (steam.boiling_temperature(air_pressure(meters)),), [read("altitude", altitude)],
        {"temperature": Output("degC", in_manner_of(altitude, "degF", "degC"), error=WEATHER)},
        formula="air pressure = 101.325 kPa x (1 - 0.0000225577 x meters)^5.25588; "
        "water boils where its vapor has that pressure",
        sources=("isa-atmosphere", "iapws"), notes=["Wort boils a fraction of a degree hotter than water."],
    )
