"""Grain and water: how hot the water must be, where it settles, and what boiling water raises it by.

Grain is counted as so much water as the trade does, 0.2 quarts for each pound.
"""

from __future__ import annotations

from assistant.engine.errors import Impossible, show
from assistant.engine.heat import mass, water_heat
from assistant.engine.inputs import BOILING, NO_MASS, ROOM, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, unit_of

QUARTS_PER_POUND = 0.2 * 0.946352946 / 0.45359237
"""Palmer's 0.2 quarts a pound, in liters a kilogram."""

MALT = 0.38
"""Heat capacity of dry malt against water, at the low end of what is printed; from memory."""

COOLEST = Q(150, "degF")
"""Below this a steep draws slowly: common practice, no source."""

HOTTEST = Q(170, "degF")
"""Grain steeped above this gives harsh tannin: common practice, no source."""


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
        return (aim + QUARTS_PER_POUND * kilograms / liters * (aim - grain_c),)

    kilograms, liters, aim, grain_c = (given.number for given in inputs)
    strike_c, = hot(kilograms, liters, aim, grain_c)
    if strike_c > 100:
        raise Impossible(f"Reaching {show(target)} with that much grain",
                         "the water would have to be past boiling", "use more water")
    shown = unit_of(target)
    balance = aim + MALT * kilograms / mass(liters, strike_c) * (aim - grain_c)
    return work(
        hot, inputs, {"temperature": Output("degC", shown, error=abs(strike_c - balance))},
        formula="water temperature = target + 0.2 x pounds / quarts x (target - grain temperature)",
        sources=("palmer",),
        notes=[f"With 0.38 as the grain's heat capacity it is {Q(balance, 'degC').to(shown).magnitude:.1f}; "
               "a cold pot takes more."],
    )


def steep(
    grain: Quantity, water: Quantity, temperature: Quantity, grain_temperature: Quantity = ROOM
) -> Result:
    """Where it settles when grain is stirred into water: `strike` the other way round.

    grain: a mass. water: 0.01 to 2000 liter. temperature: of the water, 0 to 100 degC. grain_temperature: -30 to
    60 degC, 68 degF when left out. Gives `temperature` in the unit of the water's. Source palmer; the
    heat-balance form from-memory.
    """
    inputs = [
        read("grain", grain, "mass"), read("water", water, "volume"), read("temperature", temperature),
        read("grain temperature", grain_temperature, "air temperature"),
    ]

    def settles(kilograms: float, liters: float, hot: float, grain_c: float) -> tuple[float]:
        counted = QUARTS_PER_POUND * kilograms
        return ((liters * hot + counted * grain_c) / (liters + counted),)

    kilograms, liters, hot, grain_c = (given.number for given in inputs)
    settled, = settles(kilograms, liters, hot, grain_c)
    water_mass, grain_mass = mass(liters, hot), MALT * kilograms
    balance = (water_mass * hot + grain_mass * grain_c) / (water_mass + grain_mass)
    shown = unit_of(temperature)
    notes = [f"With 0.38 as the grain's heat capacity it is {Q(balance, 'degC').to(shown).magnitude:.1f}; "
             "a cold pot takes more."]
    if settled > HOTTEST.m_as("degC"):
        notes.append(f"Above {show(HOTTEST.to(shown))} grain gives harsh tannin; let it cool first.")
    return work(
        settles, inputs, {"temperature": Output("degC", shown, error=abs(settled - balance))},
        formula="settles at = (quarts x water temperature + 0.2 x pounds x grain temperature) / "
        "(quarts + 0.2 x pounds)",
        sources=("palmer",), notes=notes,
    )


def infusion(
    water: Quantity, temperature: Quantity, target: Quantity, grain: Quantity = NO_MASS,
    infusion_temperature: Quantity = BOILING,
) -> Result:
    """How much hot water raises a mash or a steep to a temperature.

    water: 0.01 to 2000 liter in it already. temperature: of it, target: 0 to 100 degC. grain: the mass in it, 0 to
    500 kilogram. infusion_temperature: of what is poured in, boiling when left out. Gives `water` to add and
    `final_volume`, both in the unit of the water. Raises Impossible when the target is the cooler or what is
    poured in is no hotter. Sources iapws, palmer.
    """
    inputs = [
        read("water", water, "volume"), read("temperature", temperature),
        wanted("target", target, "temperature"), read("grain", grain, "mass or none"),
        read("infusion temperature", infusion_temperature, "temperature"),
    ]
    liters, now, aim, kilograms, hot = (given.number for given in inputs)
    if aim <= now:
        raise Impossible(f"Raising {show(temperature)} to {show(target)}", "it is there already",
                         "name a target above it")
    if hot <= aim + 0.5:
        raise Impossible(f"Raising it to {show(target)} with water of {show(infusion_temperature)}",
                         "that is no hotter", "pour in boiling water or heat the pot")

    def needed(liters: float, now: float, aim: float, kilograms: float, hot: float) -> tuple[float, float]:
        counted = mass(QUARTS_PER_POUND * kilograms, now)
        heat = (mass(liters, now) + counted) * (water_heat(aim) - water_heat(now))
        added = heat / (water_heat(hot) - water_heat(aim)) / (mass(1, hot))
        return added, liters + added

    by_rule = (aim - now) * (QUARTS_PER_POUND * kilograms + liters) / (hot - aim)
    shown = unit_of(water)
    return work(
        needed, inputs, {"water": Output("liter", shown), "final_volume": Output("liter", shown)},
        formula="heat the water and the grain take up = heat the added water gives; grain counts as 0.2 quarts a "
        "pound",
        sources=("iapws", "palmer"),
        notes=[f"Palmer's rule, (target - now) x (0.2 x pounds + quarts) / (hot - target), gives "
               f"{Q(by_rule, 'liter').to(shown).magnitude:.3f}.", "Stir it in a little at a time and measure."],
    )
