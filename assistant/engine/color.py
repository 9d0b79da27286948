"""Color: how dark the grain bill makes the beer."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.engine.errors import Impossible, NotKnown
from assistant.engine.fermentables import Fermentable, mass_of
from assistant.engine.inputs import Given, read
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Q, Quantity

GALLONS_PER_POUND = 0.45359237 / 3.785411784
"""Kilograms a liter in one pound a gallon; exact."""

MODEL_ERROR = 0.15
"""Share by which the published models part from one another for ordinary beers; computed from them."""

_OTHERS = (("Daniels", 11.0, 0.2, 8.4), ("Mosher", 7.0, 0.3, 4.7))
"""Model, malt color units above which it holds, factor, addend; coefficients from memory."""


def morey(units: float) -> float:
    """SRM from malt color units; source morey."""
    return float(1.4922 * units**0.6859)


def color(parts: Sequence[Fermentable], volume: Quantity) -> Result:
    """The color of the beer.

    parts: with masses and colors in Lovibond. volume: finished, 0.01 to 2000 liter. Gives `color` in srm.
    Raises NotKnown for a part without a color, Impossible without parts. Source morey, made for up to 50 srm.
    """
    if not parts:
        raise Impossible("The color of nothing", "no fermentable is named", "name extract or grain")
    shades = [_shade(part) for part in parts]
    inputs = [read("volume", volume), *(mass_of(part) for part in parts), *shades]
    half = len(parts)

    def units(liters: float, *rest: float) -> float:
        bill = zip(rest[:half], rest[half:], strict=True)
        return sum(mass * shade for mass, shade in bill) / (liters * GALLONS_PER_POUND)

    mcu = units(*(given.number for given in inputs))
    srm = morey(mcu)
    notes = [f"In EBC that is {Q(srm, 'srm').to('ebc').magnitude:.0f}."]
    notes += [
        f"{name} gives {factor * mcu + more:.0f} SRM." for name, low, factor, more in _OTHERS if mcu > low
    ]
    if srm > 50:
        notes.append("The model ends at 50; darker than that it only says black.")
    return work(
        lambda *numbers: (morey(units(*numbers)),), inputs,
        {"color": Output("srm", relative_error=MODEL_ERROR)},
        formula="malt color units = sum of pounds x Lovibond / gallons; SRM = 1.4922 x units^0.6859",
        sources=("morey", "daniels", "mosher"), notes=notes,
    )


def _shade(part: Fermentable) -> Given:
    if part.color is None:
        raise NotKnown("color", part.name)
    return read(f"color of {part.name}", Q(part.color, "lovibond"), "lovibond")
