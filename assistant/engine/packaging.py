"""Packaging: the carbonation in the beer, the sugar or pressure that makes more of it, and the bottles.

A volume is a liter of carbon dioxide at 0 degrees Celsius and 101.325 kPa in a liter of beer. Some authors
use one at 20 degrees, which is 7 percent less gas.
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil, exp

from assistant.engine import chemistry, steam, wort
from assistant.engine.alcohol import BOTTLE
from assistant.engine.errors import Impossible, NoSuch
from assistant.engine.inputs import read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity, in_manner_of

GRAMS_PER_VOLUME = 1.9768
"""Grams of carbon dioxide in a liter that holds one volume; computed from the gas's equation of state,
source co2-density."""

ATMOSPHERE = 101.325


def _residual(celsius: float) -> float:
    """Volumes beer keeps under an atmosphere of carbon dioxide and its own vapor; source sander-henry."""
    kelvin = celsius + steam.ZERO_CELSIUS
    moles_per_pascal = 3.4e-4 * exp(2400 * (1 / kelvin - 1 / 298.15))
    dry = (ATMOSPHERE - steam.vapor_pressure(max(celsius, 0.0))) * 1000
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
"""Grams of carbon dioxide from a gram of it."""

_BY_SUGAR = {
    "glucose": GLUCOSE,
    "corn sugar": 2 * chemistry.CO2 / (chemistry.molar_mass(C=6, H=12, O=6) + chemistry.WATER),
    "table sugar": 4 * chemistry.CO2 / chemistry.molar_mass(C=12, H=22, O=11),
    "dry malt extract": 0.68 * GLUCOSE,
}
"""Grams of carbon dioxide from a gram. Corn sugar is glucose with its water of crystallization. For the
sugars by stoichiometry, source periodic-table; dry malt extract from memory, 0.60 to 0.75 of glucose."""

_UNSURE = {"dry malt extract": 0.1}
"""How far that may be off, as a share, where it is not stoichiometry."""


def priming(
    volume: Quantity, carbonation: Quantity, temperature: Quantity, sugar: str = "corn sugar"
) -> Result:
    """How much sugar carbonates a batch in the bottle.

    volume: of beer, 0.01 to 2000 liter. carbonation: wanted, 0.5 to 6 volume_co2. temperature: the warmest
    since fermentation ended, -2 to 40 degC. sugar: glucose, corn sugar, table sugar or dry malt extract.
    Gives `sugar` in ounce or gram. Raises Impossible when the beer holds that much already, NoSuch for
    another sugar. Sources periodic-table, sander-henry; authors part by 8 percent.
    """
    if sugar not in _BY_SUGAR:
        raise NoSuch("priming sugar", sugar, _BY_SUGAR)
    gas = _BY_SUGAR[sugar]
    inputs = [
        read("volume", volume), wanted("carbonation", carbonation),
        read("temperature", temperature, "cellar temperature"),
    ]
    _, aim, celsius = (given.number for given in inputs)
    if aim <= _residual(celsius):
        raise Impossible(f"Priming to {aim:g} volumes", f"the beer already holds {_residual(celsius):.2f}",
                         "name more volumes")
    shown = in_manner_of(volume, "ounce", "gram")
    return work(
        lambda v, c, t: (v * (c - _residual(t)) * GRAMS_PER_VOLUME / gas / 1000,), inputs,
        {"sugar": Output("kilogram", shown, relative_error=_UNSURE.get(sugar, 0.0))},
        formula=f"sugar = volume x (wanted - {_residual(celsius):.2f} volumes left) "
        f"x {GRAMS_PER_VOLUME / gas:.2f} grams a liter for each volume",
        sources=("periodic-table", "sander-henry", "co2-density"),
        notes=_priming_notes(inputs[0].number, aim, celsius),
    )


def added_volumes(sugar: Quantity, volume: Quantity) -> float:
    """Volumes of carbon dioxide that a weight of corn sugar adds to a volume of beer; source periodic-table."""
    return sugar.m_as("gram") * _BY_SUGAR["corn sugar"] / volume.m_as("liter") / GRAMS_PER_VOLUME


def _priming_notes(liters: float, aim: float, celsius: float) -> list[str]:
    rule = 4 * liters * (aim - _residual(celsius))
    notes = [f"The round rule, 4 grams of sugar a liter for each volume, gives {rule:.0f} g."]
    if aim > 3:
        notes.append("Ordinary beer bottles are for up to 3 volumes.")
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


def bottles(volume: Quantity, size: Quantity = BOTTLE) -> Result:
    """How many bottles a volume fills, the last one perhaps not full.

    volume, size: 0.01 to 2000 liter. Gives `count` in bottle, a whole number. Arithmetic.
    """
    inputs = [read("volume", volume), wanted("bottle size", size, "volume")]
    filled = work(
        lambda liters, each: (liters / each,), inputs, {"count": Output("bottle")},
        formula="bottles = volume / bottle size, rounded up", sources=("nist-hb44",),
        notes=["A few more than that stand ready in practice."],
    )
    # a volume that is a whole number of bottles must not gain one from the last binary digit
    number = ceil(filled.values["count"].magnitude - 1e-9)
    return replace(filled, values={"count": Q(number, "bottle")})


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

    def added(now: float, end: float) -> tuple[float]:
        fermented = 0.8192 * (wort.plato_of(now) - wort.plato_of(end)) / 100 * wort.mass_of(1, now) * 1000
        return (fermented * 0.9565 / 2.0665 / GRAMS_PER_VOLUME,)

    return work(
        added, inputs, {"carbonation": Output("volume_co2")},
        formula="carbon dioxide = real extract fermented x 0.9565 / 2.0665; a volume is 1.977 grams a liter",
        sources=("balling",),
        notes=["This comes on top of the priming sugar; too much of it bursts bottles."],
    )
