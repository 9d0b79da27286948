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


def color(parts: Sequence[Fermentable], volume: Quantity, unit: str = "srm") -> Result:
    """The color of the beer.

    parts: with masses and colors in Lovibond. volume: finished, 0.01 to 2000 liter. unit: srm or ebc.
    Gives `color`, its spread reaching to the other two models where they hold. Raises NotKnown for a part
    without a color, Impossible without parts. Sources morey, made for up to 50 srm, daniels, mosher.
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
    others = {name: factor * mcu + more for name, low, factor, more in _OTHERS if mcu > low}
    notes = [f"In EBC that is {_ebc(srm):.0f}."]
    notes += [f"{name} gives {other:.0f} SRM, {_ebc(other):.0f} EBC." for name, other in others.items()]
    apart = max((abs(srm - other) for other in others.values()), default=0.0)
    if srm > 50:
        notes.append("The model ends at 50; darker than that it only says black.")
    return work(
        lambda *numbers: (morey(units(*numbers)),), inputs,
        {"color": Output("srm", unit, error=max(apart, MODEL_ERROR * srm))},
        formula="malt color units = sum of pounds x Lovibond / gallons; SRM = 1.4922 x units^0.6859",
        sources=("morey", "daniels", "mosher"), notes=notes,
    )


def _ebc(srm: float) -> float:
    return float(Q(srm, "srm").m_as("ebc"))


def _shade(part: Fermentable) -> Given:
    if part.color is None:
        raise NotKnown("color", part.name)
    return read(f"color of {part.name}", Q(part.color, "lovibond"), "lovibond")
