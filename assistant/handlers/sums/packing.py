"""The sums on packaging: priming sugar, keg pressure, bottles."""

from __future__ import annotations

from assistant.brew import Brew, Known
from assistant.engine import packaging
from assistant.engine.units import Quantity, unit_of
from assistant.handlers.sums.need import VOLUME, Need, Sum, named, of_setting, usual
from assistant.wording import quantity as show


def _both(mass: Quantity) -> str:
    """Ounces with grams, for kitchen scales show either."""
    other = mass.to("gram") if unit_of(mass) == "ounce" else mass.to("ounce")
    return f"{show(mass)} ({show(other)})"


SUMS: dict[str, Sum] = {
    "ask_priming": Sum(
        (
            VOLUME,
            Need(
                "carbonation",
                "carbonation",
                "",
                of_setting("carbonation"),
                usual(2.4, "volume_co2", "usual for an American ale"),
            ),
            Need(
                "temperature",
                "warmest since fermentation",
                "How warm has the beer been?",
                Brew.warmest_since_pitch,
            ),
            Need("ingredient", "sugar", "", None, Known("corn sugar", "default: corn sugar")),
        ),
        lambda brew, g: packaging.priming(g["volume"], g["carbonation"], g["temperature"], g["ingredient"]),
        lambda v, g: (
            f"{_both(v['sugar'])} of {named(g)} for {show(g['volume'])} at {show(g['carbonation'])}, beer at {show(g['temperature'])}."
        ),
    ),
    "ask_keg_pressure": Sum(
        (
            Need(
                "carbonation",
                "carbonation",
                "",
                of_setting("carbonation"),
                usual(2.4, "volume_co2", "usual for an American ale"),
            ),
            Need("temperature", "beer temperature", "How cold is the keg?"),
        ),
        lambda brew, g: packaging.keg_pressure(g["carbonation"], g["temperature"]),
        lambda v, g: f"{show(v['pressure'])} for {show(g['carbonation'])} at {show(g['temperature'])}.",
    ),
    "ask_bottles": Sum(
        (VOLUME, Need("bottle_size", "bottle", "", None, usual(12, "fluid_ounce", "12 ounce bottles"))),
        lambda brew, g: packaging.bottles(g["volume"], g["bottle_size"]),
        lambda v, g: (
            f"{v['count'].magnitude:.0f} bottles of {show(g['bottle_size'])} for {show(g['volume'])}; have a few spare."
        ),
    ),
}
