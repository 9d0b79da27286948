"""Heat: mixing, ice, how long heating and cooling take, and where water boils. Grain and water: `mash.py`.

Volumes are those at the temperature they are said with. Wort is reckoned as water: at 12 degrees Plato a
gallon of it holds about two and a half percent less heat.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log

from assistant.engine import steam, wort
from assistant.engine.errors import Impossible, NoSuch, rough, show
from assistant.engine.inputs import KINDS, NO_MASS, NO_VOLUME, ROOM, Given, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.roots import solve
from assistant.engine.units import Q, Quantity, in_manner_of, unit_of

FUSION = 333.43
"""Heat to melt a kilogram of ice at 0 degrees Celsius, in kJ; computed, source iapws."""

MELTING = Q(0, "degC")

GAS_EFFICIENCY = Q(40, "percent")
"""Share of a gas burner's heat that reaches the kettle; common practice, no source."""

TYPICAL_BURNER = Q(50000, "btu/hour")
"""A burner as sold for five gallons; common practice, no source."""

_SURE = 2 * KINDS["temperature"].absolute
"""Degrees Celsius of fall, or of distance to the surroundings, that two thermometer readings can tell."""

CHANGING = 0.1
"""Share by which a forecast is off because flame, stirring and bath do not stay as they were; common practice, no
source."""

SEA_LEVEL = Q(0, "foot")

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


def settle(heat: float, kilograms: float, others: float = 0.0) -> tuple[float, float]:
    """Temperature in Celsius and kilograms of ice left, of so much water with so much heat (kJ) in it.

    others: kJ that whatever else shares the heat takes up per degree Celsius.
    """
    if heat >= 0:
        most = max(200.0, 2 * heat / (_HEATS[1] / _DEGREES[1] * kilograms + others))
        return solve(lambda celsius: kilograms * water_heat(celsius) + others * celsius - heat, -1, most), 0.0
    return 0.0, min(kilograms, -heat / FUSION)


def mass(liters: float, celsius: float) -> float:
    """Kilograms of water in that volume at that temperature."""
    return liters * wort.water_density(celsius) / 1000


HEAT_CAPACITY = {
    "steel": 0.50, "aluminum": 0.90, "copper": 0.39, "glass": 0.84, "plastic": 1.9, "grain": 1.59,
}
"""kJ a kilogram takes up per degree Celsius: handbook values, from memory; grain is 0.38 of water."""


@dataclass(frozen=True, slots=True)
class Body:
    """What shares the heat without being water: the pot, the bucket, grain."""

    name: str
    mass: Quantity
    temperature: Quantity
    material: str
    """A key of HEAT_CAPACITY."""

    def givens(self) -> list[Given]:
        """Mass, temperature and heat capacity, let in. Raises NoSuch for another material."""
        if self.material not in HEAT_CAPACITY:
            raise NoSuch("material", self.material, HEAT_CAPACITY)
        return [
            read(f"mass of the {self.name}", self.mass, "mass"),
            read(f"temperature of the {self.name}", self.temperature, "air or pot temperature"),
            read(f"heat capacity of {self.material}", Q(HEAT_CAPACITY[self.material], ""), "heat capacity"),
        ]


def _mixture(numbers: Sequence[float], waters: int) -> tuple[float, float]:
    """Of so many waters (volume, temperature), ice (mass, temperature), then bodies (mass, temperature, capacity)."""
    water, (ice, ice_c), rest = numbers[:2 * waters], numbers[2 * waters:2 * waters + 2], numbers[2 * waters + 2:]
    masses = [mass(liters, celsius) for liters, celsius in zip(water[::2], water[1::2], strict=True)]
    heat = sum(each * water_heat(celsius) for each, celsius in zip(masses, water[1::2], strict=True))
    capacities = [each * capacity for each, capacity in zip(rest[::3], rest[2::3], strict=True)]
    heat += sum(each * celsius for each, celsius in zip(capacities, rest[1::3], strict=True))
    return settle(heat + ice * ice_heat(ice_c), sum(masses) + ice, sum(capacities))


def mix_temperature(
    hot_volume: Quantity, hot_temperature: Quantity,
    cold_volume: Quantity = NO_VOLUME, cold_temperature: Quantity = ROOM,
    ice: Quantity = NO_MASS, ice_temperature: Quantity = MELTING,
    further: Sequence[tuple[Quantity, Quantity]] = (), bodies: Sequence[Body] = (),
) -> Result:
    """The temperature of waters or worts put together, with ice if any, and of the pot and grain they are in.

    Volumes 0.01 to 2000 liter (cold: from 0), temperatures 0 to 100 degC, ice 0 to 500 kilogram at -40 to 0
    degC. further: more pairs of volume and temperature. bodies: what else shares the heat. Gives
    `temperature` in the unit of the hot one, and `ice_left` when ice went in. Raises Impossible when there is
    so much ice that all would freeze. Source iapws; heat capacities of bodies from-memory.
    """
    waters = [
        read("hot volume", hot_volume, "volume"), read("hot temperature", hot_temperature, "temperature"),
        read("cold volume", cold_volume, "volume or none"),
        read("cold temperature", cold_temperature, "temperature"),
    ]
    for volume, temperature in further:
        waters += [read("further volume", volume, "volume"), read("further temperature", temperature, "temperature")]
    inputs = [
        *waters, read("ice", ice, "mass or none"), read("ice temperature", ice_temperature, "ice temperature"),
        *(given for body in bodies for given in body.givens()),
    ]
    numbers = [given.number for given in inputs]
    liters, degrees, ice_mass = numbers[:len(waters):2], numbers[1:len(waters):2], numbers[len(waters)]
    _, left = _mixture(numbers, len(liters))
    frozen = sum(mass(*each) for each in zip(liters, degrees, strict=True)) + ice_mass
    if ice_mass and left >= frozen - 1e-9:
        raise Impossible("That mixture", "the water itself would freeze", "use less ice")
    by_volume = sum(v * t for v, t in zip(liters, degrees, strict=True)) / sum(liters)
    shown = unit_of(hot_temperature)
    notes = [f"{show(Q(left, 'kilogram').to(unit_of(ice)))} of the ice would not melt."] if left else []
    if sum(map(bool, liters)) > 1 and not ice_mass:
        notes.append(f"Averaged by volume alone it is {Q(by_volume, 'degC').to(shown).magnitude:.1f}.")
    if not bodies:
        notes.append("The pot and the bucket are not counted; say what they weigh and they are.")
    outputs = {"temperature": Output("degC", shown), "ice_left": Output("kilogram", unit_of(ice))}
    if not ice_mass:
        del outputs["ice_left"]
    return work(
        lambda *given: _mixture(given, len(liters))[:len(outputs)], inputs, outputs,
        formula="sum of mass x heat per mass is kept; melting ice takes 333.4 kJ a kilogram",
        sources=("iapws", "from-memory") if bodies else ("iapws",), notes=notes,
    )


def ice(
    volume: Quantity, temperature: Quantity, target: Quantity, ice_temperature: Quantity = MELTING,
    bodies: Sequence[Body] = (),
) -> Result:
    """How much ice cools a volume to a temperature, the ice melting in it.

    volume: 0.01 to 2000 liter. temperature, target: 0 to 100 degC. ice_temperature: -40 to 0 degC; melting
    ice when left out. bodies: what is cooled along, such as the pot. Gives `ice` in pound or kilogram. Raises Impossible when the target is the warmer.
    Source iapws.
    """
    inputs = [
        read("volume", volume), read("temperature", temperature), wanted("target", target, "temperature"),
        read("ice temperature", ice_temperature), *(given for body in bodies for given in body.givens()),
    ]
    warm, aim = inputs[1].number, inputs[2].number
    if aim >= warm:
        raise Impossible(f"Cooling to {show(target)} from {show(temperature)}", "ice only cools",
                         "name a target below the temperature")

    def needed(liters: float, warm: float, aim: float, ice_c: float, *rest: float) -> tuple[float]:
        given_up = mass(liters, warm) * (water_heat(warm) - water_heat(aim))
        given_up += sum(m * c * (t - aim) for m, t, c in zip(rest[::3], rest[1::3], rest[2::3], strict=True))
        return (given_up / (water_heat(aim) - ice_heat(ice_c)),)

    notes = ["Ice from a freezer at 0 degF takes about a tenth less."] if ice_temperature == MELTING else []
    return work(
        needed, inputs, {"ice": Output("kilogram", in_manner_of(volume, "pound", "kilogram"))},
        formula="ice = mass x heat it must give up / (333.4 kJ to melt a kilogram + heat to warm that up)",
        sources=("iapws", "from-memory") if bodies else ("iapws",), notes=notes,
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
        heat = mass(liters, cool) * (water_heat(aim) - water_heat(cool))
        return (heat / (kilowatts * percent / 100) / 60,)

    return work(
        minutes, inputs, {"duration": Output("minute")},
        formula="time = mass x heat to take up / (power x share that reaches the water)",
        sources=("iapws", "common-practice"),
        notes=[f"Counted with {show(power)}, of which {show(efficiency)} reaches the water; "
               "time one heating and say the burner's power to match."],
    )


def heat_time_measured(
    readings: Sequence[tuple[float, Quantity]], target: Quantity, since: float = 0.0,
    volume: Quantity | None = None,
) -> Result:
    """How much longer heating takes, by the heat the water took up between the readings so far.

    readings: at least two pairs of minutes since any moment, rising, and temperature (0 to 100 degC). target: 0
    to 100 degC. since: minutes gone by since the last reading. volume: what is heated, if known, for the heat
    that really arrives. Gives `duration` in minute from now. Raises Impossible when it does not warm up.
    Source iapws; that the heat arrives evenly common-practice.
    """
    moments = [float(minute) for minute, _ in readings]
    inputs = [read("temperature", degrees) for _, degrees in readings]
    inputs.append(wanted("target", target, "temperature"))
    *degrees, _ = (given.number for given in inputs)
    what = f"Telling when it reaches {show(target)}"
    _check_moments(what, moments)
    if degrees[-1] - degrees[0] < _SURE:
        raise Impossible(what, "it has hardly warmed up between the readings", "read again in a while")

    def left(*numbers: float) -> tuple[float]:
        *degrees, aim = numbers
        rate = _slope(moments, [water_heat(each) for each in degrees])
        return (max(0.0, (water_heat(aim) - water_heat(degrees[-1])) / rate - since),)

    rate = _slope(moments, [water_heat(each) for each in degrees])
    notes = ["Near the boil it slows down, for more heat is lost; a lid helps."]
    if volume is not None:
        kilowatts = mass(read("volume", volume).number, degrees[0]) * rate / 60
        arriving = Q(kilowatts, "kilowatt").to(in_manner_of(volume, "btu/hour", "kilowatt"))
        notes.append(f"{rough(arriving)} arrive in {show(volume)} of water.")
    return work(
        left, inputs, {"duration": Output("minute", relative_error=CHANGING)},
        formula="time left = heat still to take up / heat taken up a minute, fitted to the readings",
        sources=("iapws", "common-practice"), notes=notes,
    )


def chill_time(
    readings: Sequence[tuple[float, Quantity]], target: Quantity, surroundings: Quantity, since: float = 0.0
) -> Result:
    """How much longer the wort takes to cool, by Newton's law through the readings so far.

    readings: at least two pairs of minutes since any moment, rising, and temperature (0 to 100 degC). target:
    0 to 100 degC. surroundings: of the cooling water or the air, -30 to 60 degC. since: minutes gone by since
    the last reading. Gives `duration` in minute from now. Raises Impossible when it does not cool or can never get there. Source
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
        rate = -_slope(moments, [log(each - outside) for each in degrees])
        if rate <= 0:
            raise Impossible(f"Telling when it reaches {show(target)}",
                             "the readings do not fall steadily", "read again in a while")
        return (max(0.0, log((degrees[-1] - outside) / (aim - outside)) / rate - since),)

    return work(
        left, inputs, {"duration": Output("minute", relative_error=CHANGING)},
        formula="temperature - surroundings shrinks by the same share every minute, fitted to the readings",
        sources=("newton-cooling",),
        notes=["Stirring or fresh ice makes it faster; a new reading sharpens it."],
    )


def _check_moments(what: str, moments: Sequence[float]) -> None:
    if len(moments) < 2 or any(later <= earlier for earlier, later in pairwise(moments)):
        raise Impossible(what, "that takes temperatures at two moments", "read again in a while")


def _check_chill(
    moments: list[float], degrees: list[float], aim: float, outside: float, target: Quantity,
    surroundings: Quantity,
) -> None:
    what = f"Telling when it reaches {show(target)}"
    _check_moments(what, moments)
    if aim - outside < _SURE:
        raise Impossible(what, f"the surroundings are at {show(surroundings)}", "use colder water, or ice")
    if min(degrees) - outside < _SURE or degrees[0] - degrees[-1] < _SURE:
        raise Impossible(what, "it has hardly cooled between the readings", "read again in a while")


def _slope(moments: Sequence[float], heights: Sequence[float]) -> float:
    """By how much it rises a minute: the straight line of least squares."""
    middle, level = sum(moments) / len(moments), sum(heights) / len(heights)
    across = sum((minute - middle) ** 2 for minute in moments)
    pairs = zip(moments, heights, strict=True)
    return sum((minute - middle) * (height - level) for minute, height in pairs) / across


def air_pressure(meters: float) -> float:
    """Pressure in kPa of the standard atmosphere at that height; source isa-atmosphere."""
    return float(steam.ATMOSPHERE * (1 - 2.25577e-5 * meters) ** 5.25588)


def boiling_point(altitude: Quantity = SEA_LEVEL, pressure: Quantity | None = None) -> Result:
    """Where water boils at an altitude, under the day's air pressure if it is known.

    altitude: -450 to 6000 meter. pressure: 40 to 110 kilopascal as a weather report or barometer tells it,
    which is reduced to sea level; at sea level what the air truly weighs. Gives `temperature` in degF or degC
    after the manner of the altitude, or of the pressure at sea level. Raises OutOfRange. Sources
    isa-atmosphere, iapws.
    """
    inputs = [read("altitude", altitude)]
    if pressure is not None:
        inputs.append(read("air pressure", pressure, "barometer"))
    manner = in_manner_of(altitude, "degF", "degC")
    if pressure is not None and not altitude.magnitude:
        manner = "degF" if unit_of(pressure) == "inch_Hg" else "degC"

    def boils(meters: float, reported: float = steam.ATMOSPHERE) -> tuple[float]:
        return (steam.boiling_temperature(air_pressure(meters) * reported / steam.ATMOSPHERE),)

    here = Q(air_pressure(inputs[0].number) * (inputs[-1].number / steam.ATMOSPHERE if pressure is not None else 1), "kilopascal")
    notes = [f"The air weighs {rough(here)} there.", "Wort boils a fraction of a degree hotter than water."]
    if pressure is None:
        notes.append("The weather moves it half a degree Celsius; say the barometer's reading to be sure.")
    return work(
        boils, inputs, {"temperature": Output("degC", manner, error=0.0 if pressure is not None else WEATHER)},
        formula="air pressure = 101.325 kPa x (1 - 0.0000225577 x meters)^5.25588"
        + (" x reported / 101.325 kPa" if pressure is not None else "")
        + "; water boils where its vapor has that pressure",
        sources=("isa-atmosphere", "iapws"), notes=notes,
    )
