"""The sums on packaging: priming sugar, what gas is in, what a bottle bears, keg pressure, bottles."""

from __future__ import annotations

from dataclasses import replace

from assistant.brew import Brew, Known
from assistant.engine import gravity, packaging
from assistant.engine.inputs import NO_MASS
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity, unit_of
from assistant.handlers.sums.need import VOLUME, Need, Sum, Values, named, of_setting, usual
from assistant.wording import quantity as show

LITER = Q(1, "liter")
"""What is left in the beer does not depend on how much beer it is."""


def _both(mass: Quantity) -> str:
    """Ounces with grams, for kitchen scales show either."""
    other = mass.to("gram") if unit_of(mass) == "ounce" else mass.to("ounce")
    return f"{show(mass)} ({show(other)})"


CARBONATION = Need("carbonation", "carbonation", batch=Brew.carbonation)
WARMEST = Need(
    "temperature", "warmest since fermentation", "How warm has the beer been?", Brew.warmest_since_done
)
SUGAR = Need("ingredient", "sugar", "", None, Known("corn sugar", "default: corn sugar"))
BOTTLE = Need("bottle_size", "bottle", "", of_setting("bottle_size"), usual(12, "fluid_ounce", "12 ounce bottles"))


def _primed(values: Values, given: Values) -> str:
    told = f"{_both(values['sugar'])} of {named(given)} for {show(given['volume'])}"
    if "per" in given:
        told = f"{values['per_bottle'].magnitude:.1f} g of {named(given)} in each {show(given['bottle_size'])} bottle"
    return f"{told} at {show(given['carbonation'])}, beer at {show(given['temperature'])}."


def _primed_more(values: Values, given: Values) -> tuple[str, ...]:
    each = f"That is {values['per_bottle'].magnitude:.1f} g in each {show(given['bottle_size'])} bottle."
    whole = f"That is {_both(values['sugar'])} for {show(given['volume'])}."
    strong = given["carbonation"].m_as("volume_co2") > packaging.ORDINARY
    return (whole if "per" in given else each, *(("Only in bottles made for it.",) if strong else ()))


def _gas(brew: Brew, given: Values) -> Result:
    return packaging.carbonation_from(
        given.get("amount", NO_MASS), given.get("volume", LITER), given["temperature"], given.get("ingredient", "corn sugar")
    )


def _gas_told(values: Values, given: Values) -> str:
    if "amount" not in given:
        return f"{values['residual'].magnitude:.2f} volumes are left in beer that was at {show(given['temperature'])}."
    return (
        f"{values['carbonation'].magnitude:.2f} volumes from {show(given['amount'])} of {named(given)} in "
        f"{show(given['volume'])}, beer at {show(given['temperature'])}."
    )


def _from_sugar(brew: Brew, given: Values) -> Known | None:
    """What the sugar that was said makes of it."""
    volume = given.get("volume") or (known.value if (known := brew.volume()) else None)
    if "amount" not in given or volume is None:
        return None
    sugar = {"ingredient": "corn sugar", **given}
    warmest = brew.warmest_since_done()
    warm = warmest.value if warmest else given["temperature"]
    gas = packaging.carbonation_from(given["amount"], volume, warm, sugar["ingredient"])
    told = f"said: {show(given['amount'])} of {named(sugar)} in {show(volume)}, beer that was at {show(warm)}"
    return Known(gas.values["carbonation"], told)


def _pressed(values: Values, given: Values) -> str:
    volumes = values["carbonation"].m_as("volume_co2")
    held = f"{show(values['pressure'])} in the bottle at {show(given['temperature'])}, {volumes:.1f} volumes"
    if volumes > packaging.HEAVY:
        return f"{held}: it may burst. Do not bottle."
    if volumes > packaging.ORDINARY:
        return f"{held}: too much for ordinary bottles. Do not bottle in them."
    return f"{held}: an ordinary bottle bears that."


def _bottled(values: Values, given: Values) -> str:
    beside = f", beside {show(given['have'])} of {show(given['have_size'])}" if "have" in given else ""
    if "other_size" in given:
        return (
            f"{values['count'].magnitude:.0f} bottles each of {show(given['bottle_size'])} and "
            f"{show(given['other_size'])} for {show(given['volume'])}; have a few spare."
        )
    return (
        f"{values['count'].magnitude:.0f} bottles of {show(given['bottle_size'])} for {show(given['volume'])}{beside}; "
        "have a few spare."
    )


def _bottles(brew: Brew, given: Values) -> Result:
    if "other_size" in given:
        return packaging.of_each(given["volume"], [given["bottle_size"], given["other_size"]])
    have = {name: given[name] for name in ("have", "have_size") if name in given}
    return packaging.bottles(given["volume"], given["bottle_size"], **have)


SUMS: dict[str, Sum] = {
    "ask_priming": Sum(
        (VOLUME, CARBONATION, WARMEST, SUGAR, BOTTLE, Need("per", "asked for each")),
        lambda brew, g: packaging.priming(
            g["volume"], g["carbonation"], g["temperature"], g["ingredient"], g["bottle_size"]
        ),
        _primed,
        _primed_more,
    ),
    "ask_carbonation": Sum(
        (WARMEST, Need("amount", "amount of sugar")),
        _gas,
        _gas_told,
        where=("amount", (SUGAR, VOLUME)),
    ),
    "ask_bottle_pressure": Sum(
        (
            Need("gravity", "gravity when bottled", "What is the gravity now?", Brew.current),
            Need("final", "expected final gravity", "Where should it end?", Brew.should_end),
            Need("temperature", "bottles stand at", "", None, usual(70, "degF", "a warm room")),
            Need("ingredient", "sugar"),
            Need("amount", "amount of sugar"),
            Need("volume", "volume"),
            replace(CARBONATION, name="primed to", follows=_from_sugar),
        ),
        lambda brew, g: packaging.bottle_pressure(
            gravity.to_sg(g["gravity"]), min(gravity.to_sg(g["final"]), gravity.to_sg(g["gravity"])), g["temperature"], g["carbonation"]
        ),
        _pressed,
        lambda v, g: (
            (f"It would ferment on from {show(g['gravity'])} to {show(g['final'])} in the bottle.",)
            if g["gravity"].m_as("sg") > g["final"].m_as("sg") + 0.001
            else ()
        ),
    ),
    "ask_keg_pressure": Sum(
        (
            CARBONATION,
            Need("temperature", "beer temperature", "How cold is the keg?"),
        ),
        lambda brew, g: packaging.keg_pressure(g["carbonation"], g["temperature"]),
        lambda v, g: f"{show(v['pressure'])} for {show(g['carbonation'])} at {show(g['temperature'])}.",
    ),
    "ask_bottles": Sum(
        (
            VOLUME,
            BOTTLE,
            Need("other_size", "and as many of"),
            Need("have", "bottles at hand"),
        ),
        _bottles,
        _bottled,
        where=("have", (Need("have_size", "of", "Of what size?"),)),
    ),
}
