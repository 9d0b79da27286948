"""Packaging: the carbonation in the beer, the sugar or pressure that makes more of it, and the bottles.

A volume is a liter of carbon dioxide at 0 degrees Celsius and 101.325 kPa in a liter of beer. Some authors
use one at 20 degrees, which is 7 percent less gas.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, exp

from assistant.engine import chemistry, steam, wort
from assistant.engine.alcohol import BOTTLE
from assistant.engine.errors import Impossible, NoSuch
from assistant.engine.inputs import Given, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, in_manner_of

GRAMS_PER_VOLUME = 1.9768
"""Grams of carbon dioxide in a liter that holds one volume; computed from the gas's equation of state,
source co2-density."""

FLAT, NO_BOTTLES = Q(0, "volume_co2"), Q(0, "bottle")


def _residual(celsius: float) -> float:
    """Volumes beer keeps under an atmosphere of carbon dioxide and its own vapor; source sander-henry."""
    kelvin = celsius + steam.ZERO_CELSIUS
    moles_per_pascal = 3.4e-4 * exp(2400 * (1 / kelvin - 1 / 298.15))
    dry = (steam.ATMOSPHERE - steam.vapor_pressure(max(celsius, 0.0))) * 1000
    return moles_per_pascal * dry * chemistry.CO2 / 1000 / GRAMS_PER_VOLUME


def _quadratic(celsius: float) -> float:
    """The trade's curve for the same, in Fahrenheit; from memory."""
    f = celsius * 1.8 + 32
    return 3.0378 - 0.050062 * f + 0.00026555 * f * f


def residual_co2(temperature: Quantity) -> Result:
    """The carbonation left in beer that has fermented out without pressure.

    temperature: the warmest since fermentation ended, -2 to 40 degC. Gives `carbonation` in volume_co2.
    Raises OutOfRange. Source sander-henry; others agree to 0.05 from 10 to 30 degC, to 0.12 at 0.
    """
    inputs = [read("temperature", temperature, "cellar temperature")]
    trade = _quadratic(inputs[0].number)
    return work(
        lambda celsius: (_residual(celsius),), inputs, {"carbonation": Output("volume_co2", error=0.05)},
        formula="Henry's law: 3.4e-4 mol/(m3 Pa) at 25 C, rising in the cold by e^(2400 (1/T - 1/298.15))",
        sources=("sander-henry", "iapws"), notes=[f"The trade's own curve gives {trade:.2f} volumes."],
    )


GLUCOSE = 2 * chemistry.CO2 / chemistry.molar_mass(C=6, H=12, O=6)
"""Grams of carbon dioxide from a gram of it, or of fructose."""

SUCROSE = 4 * chemistry.CO2 / chemistry.molar_mass(C=12, H=22, O=11)


@dataclass(frozen=True, slots=True)
class _Sugar:
    gas: float
    """Grams of carbon dioxide from a gram as bought."""
    unsure: float = 0.0
    """How far that may be off, as a share, where it is not stoichiometry."""


SUGARS = {
    "corn sugar": _Sugar(2 * chemistry.CO2 / (chemistry.molar_mass(C=6, H=12, O=6) + chemistry.WATER)),
    "table sugar": _Sugar(SUCROSE),
    "glucose": _Sugar(GLUCOSE),
    "light candi sugar": _Sugar(SUCROSE),
    "invert sugar": _Sugar(0.8 * GLUCOSE, 0.05),
    "brown sugar": _Sugar(0.95 * SUCROSE, 0.03),
    "dark brown sugar": _Sugar(0.93 * SUCROSE, 0.03),
    "demerara sugar": _Sugar(0.98 * SUCROSE, 0.02),
    "muscovado sugar": _Sugar(0.92 * SUCROSE, 0.05),
    "golden syrup": _Sugar(0.78 * GLUCOSE, 0.05),
    "honey": _Sugar(0.79 * GLUCOSE, 0.05),
    "maple syrup": _Sugar(0.65 * SUCROSE, 0.05),
    "agave syrup": _Sugar(0.74 * GLUCOSE, 0.05),
    "molasses": _Sugar(0.55 * SUCROSE, 0.15),
    "dry malt extract": _Sugar(0.68 * GLUCOSE, 0.1),
    "light dry malt extract": _Sugar(0.68 * GLUCOSE, 0.1),
    "wheat dry malt extract": _Sugar(0.68 * GLUCOSE, 0.1),
    "liquid malt extract": _Sugar(0.82 * 0.68 * GLUCOSE, 0.12),
    "light liquid malt extract": _Sugar(0.82 * 0.68 * GLUCOSE, 0.12),
}
"""The sugars to prime with. Corn sugar is glucose with its water of crystallization. Pure ones by stoichiometry,
source periodic-table; the share of sugar in syrups and brown sugars and what is fermentable of dry malt extract
(0.60 to 0.75 of glucose) from memory; liquid extract has 0.82 of the solids of dry."""

ORDINARY, HEAVY = 3.0, 4.0
"""Volumes that ordinary crown bottles and heavy ones are filled to at most; source bottle-pressure, from memory."""


def _sugar(name: str) -> _Sugar:
    if name not in SUGARS:
        raise NoSuch("priming sugar", name, SUGARS)
    return SUGARS[name]


def priming(
    volume: Quantity, carbonation: Quantity, temperature: Quantity, sugar: str = "corn sugar",
    bottle: Quantity = BOTTLE,
) -> Result:
    """How much sugar carbonates a batch in the bottle.

    volume: of beer, 0.01 to 2000 liter. carbonation: wanted, 0.5 to 6 volume_co2. temperature: the warmest
    since fermentation ended, -2 to 40 degC. sugar: one of SUGARS. bottle: 0.01 to 2000 liter. Gives `sugar` in
    ounce or gram and `per_bottle` in gram. Raises Impossible when the beer holds that much already or no bottle
    bears it, NoSuch for another sugar. Sources periodic-table, sander-henry; authors part by 8 percent.
    """
    kind = _sugar(sugar)
    inputs = [
        read("volume", volume), wanted("carbonation", carbonation),
        read("temperature", temperature, "cellar temperature"), wanted("bottle", bottle, "volume"),
    ]
    _, aim, celsius, _ = (given.number for given in inputs)
    if aim <= _residual(celsius):
        raise Impossible(f"Priming to {aim:g} volumes", f"the beer already holds {_residual(celsius):.2f}",
                         "name more volumes")
    if aim > HEAVY:
        raise Impossible(f"Priming to {aim:g} volumes", f"even heavy bottles may burst above {HEAVY:g}",
                         f"stay below {ORDINARY:g} in ordinary bottles")
    grams = GRAMS_PER_VOLUME / kind.gas
    shown = in_manner_of(volume, "ounce", "gram")

    def mass(liters: float, c: float, t: float, each: float) -> tuple[float, float]:
        a_liter = (c - _residual(t)) * grams / 1000
        return liters * a_liter, each * a_liter

    return work(
        mass, inputs,
        {"sugar": Output("kilogram", shown, relative_error=kind.unsure),
         "per_bottle": Output("kilogram", "gram", relative_error=kind.unsure)},
        formula=f"sugar = volume x (wanted - {_residual(celsius):.2f} volumes left) "
        f"x {grams:.2f} grams a liter for each volume",
        sources=("periodic-table", "sander-henry", "co2-density"),
        notes=_priming_notes(inputs[0].number, aim, celsius),
    )


def carbonation_from(
    amount: Quantity, volume: Quantity, temperature: Quantity, sugar: str = "corn sugar"
) -> Result:
    """How much gas an amount of sugar makes of a batch in the bottle.

    amount: a mass, or none. volume: of beer, 0.01 to 2000 liter. temperature: the warmest since fermentation
    ended, -2 to 40 degC. sugar: one of SUGARS. Gives `carbonation` in volume_co2, and `residual`, what was there
    before. Sources periodic-table, sander-henry.
    """
    kind = _sugar(sugar)
    inputs = [
        read("amount", amount, "mass or none"), read("volume", volume),
        read("temperature", temperature, "cellar temperature"),
    ]
    kilograms, _, celsius = (given.number for given in inputs)
    if not kilograms:
        inputs[0] = Given(0.0)

    def held(mass: float, liters: float, t: float) -> tuple[float, float]:
        there = _residual(t)
        return there + mass * 1000 * kind.gas / liters / GRAMS_PER_VOLUME, there

    notes = [f"The trade's own curve for what is left gives {_quadratic(celsius):.2f} volumes."]
    total = held(*(given.number for given in inputs))[0]
    if total > ORDINARY:
        notes.append(f"Ordinary beer bottles are for up to {ORDINARY:g} volumes.")
    return work(
        held, inputs,
        {"carbonation": Output("volume_co2", error=0.05), "residual": Output("volume_co2", error=0.05)},
        formula="volumes left by Henry's law: 3.4e-4 mol/(m3 Pa) at 25 C, rising in the cold"
        + (f"; + grams of sugar x {kind.gas:.3f} / liters / {GRAMS_PER_VOLUME}" if kilograms else ""),
        sources=("sander-henry", "periodic-table", "co2-density"), notes=notes,
    )


def added_volumes(sugar: Quantity, volume: Quantity) -> float:
    """Volumes of carbon dioxide that a weight of corn sugar adds to a volume of beer; source periodic-table."""
    return sugar.m_as("gram") * SUGARS["corn sugar"].gas / volume.m_as("liter") / GRAMS_PER_VOLUME


def _priming_notes(liters: float, aim: float, celsius: float) -> list[str]:
    rule = 4 * liters * (aim - _residual(celsius))
    notes = [f"The round rule, 4 grams of sugar a liter for each volume, gives {rule:.0f} g."]
    if aim > ORDINARY:
        notes.append(f"Ordinary beer bottles are for up to {ORDINARY:g} volumes.")
    return notes


def _gauge(volumes: float, celsius: float) -> float:
    """Gauge pressure in psi at rest; source force-carbonation-table."""
    f = celsius * 1.8 + 32
    return (-16.6999 - 0.0101059 * f + 0.00116512 * f * f + 0.173354 * f * volumes + 4.24267 * volumes
            - 0.0684226 * volumes * volumes)


def _asbc_gauge(volumes: float, celsius: float) -> float:
    """The same by the fit to the ASBC tables; source delange-co2, from memory."""
    return (volumes + 0.003342) / (0.01821 + 0.090115 * exp(-celsius * 1.8 / 43.11)) - 14.695


def keg_pressure(carbonation: Quantity, temperature: Quantity) -> Result:
    """The pressure to set so that beer in a keg comes to a carbonation and stays there.

    carbonation: 0.5 to 6 volume_co2. temperature: -2 to 40 degC. Gives `pressure` in psi, or bar for degC.
    Raises Impossible when the beer holds that much without pressure. Source force-carbonation-table.
    """
    inputs = [
        wanted("carbonation", carbonation), read("temperature", temperature, "cellar temperature"),
    ]
    aim, celsius = (given.number for given in inputs)
    psi, other = _gauge(aim, celsius), _asbc_gauge(aim, celsius)
    if psi <= 0:
        raise Impossible(f"A keg pressure for {aim:g} volumes", "beer so cold holds that much without any",
                         "name more volumes")
    shown = in_manner_of(temperature, "psi", "bar")
    return work(
        lambda volumes, celsius: (_gauge(volumes, celsius),), inputs,
        {"pressure": Output("psi", shown, error=abs(psi - other))},
        formula="psi = -16.6999 - 0.0101059 F + 0.00116512 F^2 + 0.173354 F V + 4.24267 V - 0.0684226 V^2",
        sources=("force-carbonation-table", "delange-co2"),
        notes=[f"The fit to the ASBC tables gives {Q(other, 'psi').to(shown).magnitude:.3g}."],
    )


def bottles(
    volume: Quantity, size: Quantity = BOTTLE, have: Quantity = NO_BOTTLES, have_size: Quantity = BOTTLE
) -> Result:
    """How many bottles a volume fills, the last one perhaps not full, beside those of another size at hand.

    volume, size, have_size: 0.01 to 2000 liter. have: how many of have_size are there. Gives `count` in bottle, a
    whole number. Arithmetic.
    """
    inputs = [
        read("volume", volume), wanted("bottle size", size, "volume"), wanted("bottles at hand", have, "bottles"),
        wanted("bottle size", have_size, "volume"),
    ]
    filled = work(
        lambda liters, each, there, other: (max(0.0, liters - there * other) / each,), inputs,
        {"count": Output("bottle")},
        formula="bottles = volume / bottle size, rounded up" if not have.magnitude else
        "bottles = (volume - bottles at hand x their size) / bottle size, rounded up",
        sources=("nist-hb44",), notes=["A few more than that stand ready in practice."],
    )
    # a volume that is a whole number of bottles must not gain one from the last binary digit
    number = ceil(filled.values["count"].magnitude - 1e-9)
    return replace(filled, values={"count": Q(number, "bottle")})


def of_each(volume: Quantity, sizes: Sequence[Quantity]) -> Result:
    """How many bottles of each of several sizes, as many of one as of the other.

    volume, sizes: 0.01 to 2000 liter. Gives `count` in bottle, a whole number, of each size. Arithmetic.
    """
    together = [wanted("bottle size", size, "volume").number for size in sizes]
    return bottles(volume, Q(sum(together), "liter"))


def _from_gravity(now: float, end: float) -> float:
    """Volumes of gas from a fall in gravity, real extract counted; source balling."""
    fermented = 0.8192 * (wort.plato_of(now) - wort.plato_of(end)) / 100 * wort.mass_of(1, now) * 1000
    return fermented * 0.9565 / 2.0665 / GRAMS_PER_VOLUME


def extra_co2(gravity: Quantity, final: Quantity) -> Result:
    """The carbonation added when beer goes on fermenting in the bottle.

    gravity: when bottled, final: where it would end, 0.98 to 1.2 sg. Gives `carbonation` in volume_co2.
    Raises Impossible when the final gravity is the higher one. Source balling: half a volume for each
    thousandth.
    """
    inputs = [read("gravity", gravity), read("final gravity", final, "gravity")]
    now, end = (given.number for given in inputs)
    if end > now:
        raise Impossible(f"A final gravity of {end:.4f}", f"it is at {now:.4f} now", "check the readings")

    return work(
        lambda now, end: (_from_gravity(now, end),), inputs, {"carbonation": Output("volume_co2")},
        formula="carbon dioxide = real extract fermented x 0.9565 / 2.0665; a volume is 1.977 grams a liter",
        sources=("balling",),
        notes=["This comes on top of the priming sugar; too much of it bursts bottles."],
    )


def _pressure(volumes: float, celsius: float) -> float:
    """Gauge pressure in kPa over beer at rest that holds so many volumes; source sander-henry."""
    vapor = steam.vapor_pressure(max(celsius, 0.0))
    return vapor + (steam.ATMOSPHERE - vapor) * volumes / _residual(celsius) - steam.ATMOSPHERE


def _kunze(volumes: float, celsius: float) -> float:
    """The same by the breweries' exponential, in kPa; from memory."""
    solubility = exp(-10.73797 + 2617.25 / (celsius + steam.ZERO_CELSIUS))
    return volumes * GRAMS_PER_VOLUME / (10 * solubility) * 100 - steam.ATMOSPHERE


def bottle_pressure(
    gravity: Quantity, final: Quantity, temperature: Quantity, carbonation: Quantity = FLAT,
    warmest: Quantity | None = None,
) -> Result:
    """The pressure in a bottle that was filled before the beer was done.

    gravity: when bottled, final: where it would end, 0.98 to 1.2 sg. temperature: where the bottles stand.
    carbonation: what it holds and the priming sugar adds, 0 to 6 volume_co2; what beer keeps at `warmest` (else at
    the temperature) when 0. Gives `pressure` in psi or bar and `carbonation` in volume_co2, without headspace.
    Raises Impossible when the final gravity is the higher one. Sources balling, sander-henry.
    """
    inputs = [
        read("gravity", gravity), read("final gravity", final, "gravity"),
        read("temperature", temperature, "cellar temperature"), wanted("carbonation", carbonation, "volumes or none"),
        read("warmest", temperature if warmest is None else warmest, "cellar temperature"),
    ]
    now, end, celsius, primed, warm = (given.number for given in inputs)
    if end > now + 1e-9:
        raise Impossible(f"A final gravity of {end:.4f}", f"it is at {now:.4f} now", "check the readings")

    def inside(now: float, end: float, celsius: float, primed: float, warm: float) -> tuple[float, float]:
        volumes = (primed or _residual(warm)) + max(0.0, _from_gravity(now, end))
        return _pressure(volumes, celsius), volumes

    numbers = inside(now, end, celsius, primed, warm)
    other = _kunze(numbers[1], celsius)
    shown = in_manner_of(temperature, "psi", "bar")
    return work(
        inside, inputs,
        {"pressure": Output("kilopascal", shown, error=abs(numbers[0] - other)), "carbonation": Output("volume_co2")},
        formula="volumes = what is in + real extract fermented x 0.9565 / 2.0665 / 1.977; pressure = volumes / "
        "what an atmosphere holds at that temperature, by Henry's law",
        sources=("balling", "sander-henry", "bottle-pressure"),
        notes=[f"The breweries' exponential gives {Q(other, 'kilopascal').to(shown).magnitude:.3g} {shown}.",
               f"Ordinary bottles are for up to {ORDINARY:g} volumes, heavy ones for up to {HEAVY:g}; from memory."],
    )
