"""The sums on water and cleaning: sanitizer, chlorine, salts."""

from __future__ import annotations

from assistant.brew import Brew
from assistant.engine import cleaning, water
from assistant.engine.units import Quantity, unit_of
from assistant.handlers.sums.need import AMOUNT, VOLUME, Need, Sum, named
from assistant.wording import listed
from assistant.wording import quantity as show


def _spoons(dose: Quantity) -> str:
    """A small volume as one measures it."""
    return f"{show(dose)} ({show(dose.to('milliliter'))})" if unit_of(dose) == "fluid_ounce" else show(dose)


SUMS: dict[str, Sum] = {
    "ask_sanitizer": Sum(
        (Need("ingredient", "sanitizer", "Which sanitizer?"), Need("volume", "water", "How much water?")),
        lambda brew, g: cleaning.sanitizer(g["ingredient"], g["volume"]),
        lambda v, g: f"{_spoons(v['dose'])} of {named(g)} in {show(g['volume'])}; the label decides.",
    ),
    "ask_chlorine": Sum(
        (Need("volume", "water", "How much water?", Brew.volume),),
        lambda brew, g: water.chlorine(g["volume"]),
        lambda v, g: (
            f"{show(v['dose'])} of potassium metabisulfite for {show(g['volume'])}, at 3 ppm chlorine."
        ),
    ),
    "ask_mineral": Sum(
        (Need("ingredient", "salt", "Which salt?"), AMOUNT, VOLUME),
        lambda brew, g: water.mineral(g["ingredient"], g["amount"], g["volume"]),
        lambda v, g: (
            f"{listed([f'{show(value)} {ion}' for ion, value in v.items()])} from {show(g['amount'])} of {named(g)} in {show(g['volume'])}."
        ),
    ),
}
