"""Sanitizers and cleaners: how much of the bottle goes into a volume of water. The product's label
decides."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from assistant.engine.chemistry import molar_mass
from assistant.engine.errors import Impossible, NoSuch
from assistant.engine.inputs import read, wanted
from assistant.engine.result import Output, Result, work
from assistant.engine.units import Quantity, in_manner_of

LABEL = "The product's label decides over all of this."


def _iodine(percent: float) -> float:
    """Milligrams of iodine in a milliliter of iodophor of that strength; its density is near that of
    water."""
    return percent * 10


def _available_chlorine(percent: float) -> float:
    """Milligrams of chlorine a milliliter of bleach can give, by weight percent of sodium hypochlorite.

    The density, 1.08 kilograms a liter at 5.25 percent and 0.01 more for each percent, is from memory.
    """
    per_milliliter = percent * 10 * (1.08 + 0.01 * (percent - 5.25))
    return per_milliliter * molar_mass(Cl=2) / molar_mass(Na=1, O=1, Cl=1)


@dataclass(frozen=True, slots=True)
class ByStrength:
    """A concentrate dosed for so many parts per million of what works in it."""

    strength: float
    """Percent in the bottle, when its label is not at hand."""
    target: float
    """Parts per million."""
    limits: tuple[float, float]
    """Targets it makes sense at."""
    active: Callable[[float], float]
    """Milligrams of what works in a milliliter, from the percent in the bottle."""
    contact: float
    """Minutes it must stay wet."""
    rinse_from: float
    """Parts per million from which on it must be rinsed off."""
    source: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ByRatio:
    """A concentrate dosed by the bottle's own ratio."""

    milliliters_per_liter: float
    contact: float
    """Minutes it must stay wet."""
    rinse: bool
    source: str
    notes: tuple[str, ...]


OUNCE_IN_FIVE_GALLONS = 1000 / (5 * 128)
TABLESPOON_A_GALLON = 1000 / 256

KINDS: dict[str, ByStrength | ByRatio] = {
    "iodophor": ByStrength(
        1.6, 12.5, (5, 50), _iodine, 2, 25, "iodophor-practice",
        ("Keep it wet for 2 minutes, then drain; at 25 ppm or more rinse.",
         "When the color is gone, so is its strength.")),
    "bleach": ByStrength(
        5.25, 200, (20, 1000), _available_chlorine, 20, 0, "bleach-label",
        ("Keep it wet for 20 minutes, then rinse well with boiled water.",
         "Never with acid, ammonia, another sanitizer or hot water: it gives off poisonous gas.")),
    "acid anionic sanitizer": ByRatio(
        OUNCE_IN_FIVE_GALLONS, 2, False, "acid-anionic-practice",
        ("Keep it wet for 1 to 3 minutes, then drain; no rinse.",
         "Never with bleach: it gives off chlorine.")),
    "percarbonate": ByRatio(
        TABLESPOON_A_GALLON, 20, True, "common-practice",
        ("It cleans and does not sanitize: soak 20 minutes in warm water, rinse, then sanitize.",)),
}
"""Doses and times for want of a label: published where the source says so, otherwise from memory."""


def sanitizer(
    kind: str, volume: Quantity, strength: Quantity | None = None, target: Quantity | None = None
) -> Result:
    """How much of a sanitizer or cleaner goes into a volume of water.

    kind: a key of KINDS. volume: 0.01 to 2000 liter. strength: percent in the bottle, and target: ppm wanted,
    only for iodophor and bleach, which are dosed by strength. Gives `dose` in fluid_ounce or milliliter,
    `contact`, the minutes it must stay wet, and for those two the `concentration` in ppm. Raises NoSuch
    for another kind, Impossible for a target or strength that makes no sense.
    """
    if kind not in KINDS:
        raise NoSuch("sanitizer", kind, KINDS)
    rule = KINDS[kind]
    per_liter = _by_strength(kind, rule, strength, target) if isinstance(rule, ByStrength) else (
        _by_ratio(kind, rule, strength, target))
    ppm = per_liter * rule.active(_percent(rule, strength)) if isinstance(rule, ByStrength) else 0.0
    outputs = {
        "dose": Output("liter", in_manner_of(volume, "fluid_ounce", "milliliter"), relative_error=0.2),
        "contact": Output("minute"),
    }
    if isinstance(rule, ByStrength):
        outputs["concentration"] = Output("ppm")
    return work(
        lambda liters: (liters * per_liter / 1000, rule.contact, ppm)[:len(outputs)], [wanted("volume", volume)],
        outputs, formula=_formula(rule, per_liter), sources=(rule.source,), notes=(*rule.notes, LABEL),
    )


def must_be_rinsed(kind: str, concentration: Quantity | None = None) -> bool:
    """Whether it must be rinsed off again; for what is dosed by strength that hangs on the ppm."""
    rule = KINDS[kind]
    if isinstance(rule, ByRatio):
        return rule.rinse
    ppm = rule.target if concentration is None else read("concentration", concentration).number
    return ppm >= rule.rinse_from


def _percent(rule: ByStrength, strength: Quantity | None) -> float:
    """In the bottle, as said, else as usual."""
    return rule.strength if strength is None else read("strength", strength).number


def concentration(kind: str, amount: Quantity, volume: Quantity, strength: Quantity | None = None) -> Result:
    """What strength so much of a sanitizer in so much water comes to.

    kind: iodophor or bleach. amount: 0.05 to 5000 milliliter of the bottle. volume: 0.01 to 2000 liter of water.
    strength: percent in the bottle, by its label. Gives `concentration` in ppm and `contact`, minutes to stay wet.
    Raises NoSuch for another kind.
    """
    rule = KINDS.get(kind)
    if not isinstance(rule, ByStrength):
        raise NoSuch("sanitizer told in ppm", kind, [name for name, each in KINDS.items() if isinstance(each, ByStrength)])
    percent = _percent(rule, strength)
    active = rule.active(percent)
    poured, water = read("amount", amount, "spoon"), read("volume", volume)
    ppm = poured.number * active / water.number
    low, high = rule.limits
    if ppm < low:
        verdict = f"Too thin: it takes {low:g} ppm at least, {rule.target:g} is usual."
    elif ppm > high:
        verdict = f"Too strong: {high:g} ppm is the most that makes sense, {rule.target:g} is usual."
    else:
        verdict = f"Usual is {rule.target:g} ppm."
    return work(
        lambda milliliters, liters: (milliliters * active / liters, rule.contact), [poured, water],
        {"concentration": Output("ppm", relative_error=0.1), "contact": Output("minute")},
        formula=f"ppm = milliliters x {active:.1f} mg in each / liters, with {percent:g} percent in the bottle",
        sources=(rule.source,), notes=(verdict, *rule.notes, LABEL),
    )


def _by_strength(kind: str, rule: ByStrength, strength: Quantity | None, target: Quantity | None) -> float:
    percent = _percent(rule, strength)
    ppm = rule.target if target is None else read("target", target, "concentration").number
    low, high = rule.limits
    if not low <= ppm <= high:
        raise Impossible(f"{kind.capitalize()} at {ppm:g} ppm", "that either does nothing or is too strong",
                         f"name {low:g} to {high:g} ppm")
    return ppm / rule.active(percent)


def _by_ratio(kind: str, rule: ByRatio, strength: Quantity | None, target: Quantity | None) -> float:
    if strength is not None or target is not None:
        raise Impossible(f"Dosing {kind} by strength", "it goes by the ratio on its label",
                         "leave the strength out")
    return rule.milliliters_per_liter


def _formula(rule: ByStrength | ByRatio, per_liter: float) -> str:
    if isinstance(rule, ByStrength):
        return f"dose = ppm wanted x volume / what works in the bottle: {per_liter:.2f} mL a liter"
    return f"dose = volume x {per_liter:.2f} mL a liter"
