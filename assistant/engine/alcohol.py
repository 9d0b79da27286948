"""What fermentation made of the extract: alcohol, attenuation and the energy in a glass."""

from __future__ import annotations

from assistant.engine import wort
from assistant.engine.errors import Impossible
from assistant.engine.inputs import Given, read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity

ETHANOL = 0.78942 / 0.99821
"""Density of ethanol over that of water, both at 20 degrees Celsius; computed, source iapws."""

BOTTLE = Q(12, "fluid_ounce")

DIVISOR_ERROR = 0.004
"""Share by which the densities of ethanol in print part, 0.791 and 0.794 against 0.7906 here; computed."""


def real_extract(original: float, apparent: float) -> float:
    """Extract truly left, all in plato, from the original and the one the hydrometer shows; source
    balling."""
    return 0.1808 * original + 0.8192 * apparent


def by_weight(original: float, final: float) -> float:
    """Grams of alcohol in 100 grams of beer from two gravities in sg; source balling."""
    start = wort.plato_of(original)
    left = real_extract(start, wort.plato_of(final))
    return (start - left) / (2.0665 - 0.010665 * start)


def by_volume(original: float, final: float) -> float:
    """Percent of alcohol by volume at 20 degrees Celsius from two gravities in sg."""
    return by_weight(original, final) * final / ETHANOL


def _one_line(original: float, final: float) -> float:
    """Percent by volume by Hall's one-line form, which runs high in strong beer; source hall."""
    return 76.08 * (original - final) / (1.775 - original) * final / 0.794


def fermented_share(original: float, final: float) -> float:
    """Percent of the extract fermented by mass, what became yeast and gas counted; sources balling."""
    gone = 2.0665 * by_weight(original, final)
    return 100 * gone / (gone + real_extract(wort.plato_of(original), wort.plato_of(final)))


def _gravities(original: Quantity, final: Quantity) -> list[Given]:
    """Both let in. Raises Impossible when it would have gained extract."""
    inputs = [read("original gravity", original, "wort"), read("final gravity", final, "gravity")]
    start, end = (given.number for given in inputs)
    if end > start:
        raise Impossible(f"A final gravity of {end:.4f}", f"it began at {start:.4f}",
                         "check which reading came first")
    return inputs


def abv(original: Quantity, final: Quantity) -> Result:
    """Alcohol by volume and by weight.

    original: 1.002 to 1.2 sg; final: 0.98 sg to the original. Gives `abv` and `abw` in percent. Raises Impossible when
    the final gravity is the higher one. Source balling.
    """
    inputs = _gravities(original, final)
    start, end = (given.number for given in inputs)
    return work(
        lambda o, f: (by_volume(o, f), by_weight(o, f)), inputs,
        {"abv": Output("percent", relative_error=DIVISOR_ERROR), "abw": Output("percent")},
        formula="by weight = (OE - RE) / (2.0665 - 0.010665 OE), RE = 0.1808 OE + 0.8192 AE, in Plato; "
        f"by volume = by weight x final gravity / {ETHANOL:.4f}",
        sources=("balling", "asbc-table", "hall"),
        notes=[f"The short rule, 131.25 x (OG - FG), gives {131.25 * (start - end):.2f} percent, Hall's one line "
               f"{_one_line(start, end):.2f}; the stronger the beer the more they part."],
    )


def attenuation(original: Quantity, final: Quantity) -> Result:
    """How much of the extract is gone.

    original: 1.002 to 1.2 sg; final: 0.98 sg to the original. Gives `attenuation` (apparent) and
    `real_attenuation` in percent. Raises Impossible when the final gravity is the higher one. Source balling.
    """
    inputs = _gravities(original, final)
    start_sg, end_sg = (given.number for given in inputs)

    def shares(o: float, f: float) -> tuple[float, float]:
        start = wort.plato_of(o)
        return 100 * (o - f) / (o - 1), 100 * (1 - real_extract(start, wort.plato_of(f)) / start)

    return work(
        shares, inputs,
        {"attenuation": Output("percent"), "real_attenuation": Output("percent")},
        formula="apparent = (OG - FG) / (OG - 1); real = (OE - RE) / OE, RE = 0.1808 OE + 0.8192 AE",
        sources=("balling", "asbc-table"),
        notes=["Apparent is what the hydrometer shows, fooled by alcohol, which is lighter than water.",
               f"Counted by mass, {fermented_share(start_sg, end_sg):.1f} percent of the extract is fermented."],
    )


def calories(original: Quantity, final: Quantity, volume: Quantity = BOTTLE) -> Result:
    """The food energy in a volume of beer.

    original: 1.002 to 1.2 sg; final: 0.98 sg to the original; volume: 12 fluid ounces when left out. Gives
    `energy` in kilocalorie. Raises Impossible when the final gravity is the higher one. Source fix-ebc.
    """
    def energy(o: float, f: float, liters: float) -> tuple[float]:
        left = real_extract(wort.plato_of(o), wort.plato_of(f))
        return ((6.9 * by_weight(o, f) + 4.0 * (left - 0.1)) * f * 10 * liters,)

    inputs = [*_gravities(original, final), wanted("volume", volume)]
    return work(
        energy, inputs, {"energy": Output("kilocalorie", relative_error=0.03)},
        formula="kcal per 100 mL = (6.9 x alcohol by weight + 4.0 x (real extract - 0.1)) x final gravity",
        sources=("fix-ebc", "balling"),
    )
