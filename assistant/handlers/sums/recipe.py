"""The sums on the recipe: what it gives in gravity, bitterness and color, and how much of a thing it takes."""

from __future__ import annotations

import knowledge
from assistant.brew import Brew, Known, fermentable
from assistant.engine import bitterness, color, fermentables, gravity
from assistant.engine.bitterness import HopAddition
from assistant.engine.errors import Impossible
from assistant.engine.result import Result
from assistant.engine.units import Quantity
from assistant.handlers.sums.need import AMOUNT, INGREDIENT, VOLUME, Need, Sum, Values, named, usual
from assistant.handlers.sums.strength import TARGET_GRAVITY
from assistant.reply import Input
from assistant.wording import quantity as show


def _part(name: str, amount: Quantity | None = None) -> fermentables.Fermentable:
    entry = knowledge.ingredients().get(name)
    if not isinstance(entry, knowledge.Fermentable):
        raise Impossible(
            f"Gravity from {name}",
            "it is no extract, sugar or grain that I know",
            "name one, like dry malt extract",
        )
    return fermentable(entry, amount)


def _bitterness(brew: Brew, given: Values) -> Result:
    """The bitterness of what was said, or of the recipe where nothing was."""
    if "amount" in given:
        hop = HopAddition(
            given.get("ingredient", "the hops"),
            given["amount"],
            given["alpha"],
            given["boil_left"],
            given["gravity"],
            "pellet",
        )
        return bitterness.bitterness([hop], given["volume"])
    additions = brew.hop_additions()
    if not additions:
        raise Impossible(
            "The bitterness of no hops", "the recipe has none yet", "say: add 1 oz Magnum at 60 minutes"
        )
    return bitterness.bitterness(additions, given["volume"])


def _hop_alpha(brew: Brew, given: Values) -> Known | None:
    hop = knowledge.ingredients().get(given.get("ingredient", ""))
    return brew.alpha(hop, {}) if isinstance(hop, knowledge.Hop) else None


def _recipe(brew: Brew) -> list[fermentables.Fermentable]:
    parts = [part for part, _ in brew.fermentables()]
    if not parts:
        raise Impossible(
            "A sum on the recipe",
            "it has no extract, sugar or grain yet",
            "say: the recipe has 6 lb of amber liquid malt extract",
        )
    return parts


_SHADES = (
    (3, "pale straw"),
    (6, "gold"),
    (9, "deep gold"),
    (14, "amber"),
    (18, "copper"),
    (25, "brown"),
    (35, "dark brown"),
)


def _shade(srm: float) -> str:
    return next((shade for limit, shade in _SHADES if srm <= limit), "black")


_SINGLE_HOP = (
    Need("alpha", "alpha acids", "What alpha acid, in percent?", follows=_hop_alpha),
    Need("boil_left", "boil", "Boiled for how long?"),
    Need("gravity", "gravity of the boil", "", Brew.likely_original, usual(1.050, "sg", "usual wort")),
)
"""What the bitterness of one addition needs besides what the recipe's does."""


def _hop_lines(brew: Brew, given: Values) -> list[Input]:
    """The hops of the recipe, where the sum is on those."""
    if "amount" in given:
        return []
    hops = [(*hop, brew.kettle_gravity(hop[-1])) for hop in brew.hops()]
    return [
        Input(
            name,
            f"{show(amount)} at {left:g} min, alpha {show(alpha.value)}, wort {show(kettle.value)}",
            f"recipe; alpha {alpha.origin}; {kettle.origin}",
        )
        for name, amount, alpha, left, kettle in hops
    ]


def _fermentable_lines(brew: Brew, given: Values) -> list[Input]:
    return [
        Input(part.name, f"{show(part.amount)}, {part.use}" if part.amount else part.use, "recipe")
        for part, _ in brew.fermentables()
    ]


SUMS: dict[str, Sum] = {
    "ask_gravity_from": Sum(
        (AMOUNT, INGREDIENT, VOLUME),
        lambda brew, g: fermentables.gravity_from([_part(g["ingredient"], g["amount"])], g["volume"]),
        lambda v, g: f"{show(v['gravity'])} from {show(g['amount'])} of {named(g)} in {show(g['volume'])}.",
    ),
    "ask_extract_for": Sum(
        (TARGET_GRAVITY, VOLUME, Need("ingredient", "extract", "With which extract?")),
        lambda brew, g: fermentables.extract_for(g["target"], g["volume"], _part(g["ingredient"])),
        lambda v, g: f"{show(v['amount'])} of {named(g)} for {show(g['volume'])} at {show(g['target'])}.",
    ),
    "ask_bitterness": Sum(
        (Need("amount", "hops"), Need("ingredient", "hop"), VOLUME),
        _bitterness,
        lambda v, g: f"About {show(v['bitterness'])} in {show(g['volume'])}.",
        where=("amount", _SINGLE_HOP),
        lines=_hop_lines,
    ),
    "ask_hops_for": Sum(
        (
            Need("target", "bitterness", "How bitter?"),
            Need("alpha", "alpha acids", "What alpha acid, in percent?"),
            Need("boil_left", "boil", "Boiled for how long?", None, usual(60, "minute", "a full hour")),
            VOLUME,
            Need("gravity", "gravity", "", Brew.likely_original, usual(1.050, "sg", "usual wort")),
        ),
        lambda brew, g: bitterness.hops_for(
            g["target"], g["alpha"], g["boil_left"], g["volume"], g["gravity"], "pellet"
        ),
        lambda v, g: (
            f"{show(v['amount'])} of {show(g['alpha'])} hops at {show(g['boil_left'])} for {show(g['target'])} in {show(g['volume'])}."
        ),
    ),
    "ask_color": Sum(
        (VOLUME,),
        lambda brew, g: color.color(_recipe(brew), g["volume"]),
        lambda v, g: f"About {show(v['color'])}, {_shade(v['color'].m_as('srm'))}.",
        lines=_fermentable_lines,
    ),
    "ask_original_gravity": Sum(
        (VOLUME, Need("measured", "measured", batch=Brew.original)),
        lambda brew, g: fermentables.original_gravity(_recipe(brew), g["volume"]),
        lambda v, g: f"{show(v['gravity'])} original gravity by the recipe, in {show(g['volume'])}.",
        lambda v, g: (f"Measured: {show(g['measured'])}.",) if "measured" in g else (),
        lines=_fermentable_lines,
    ),
    "ask_final_gravity": Sum(
        (
            Need("original", "original gravity", "What is the original gravity?", Brew.likely_original),
            Need("attenuation", "attenuation", "", Brew.attenuation),
        ),
        lambda brew, g: gravity.final_gravity(g["original"], g["attenuation"]),
        lambda v, g: f"About {show(v['gravity'])} final gravity, from {show(g['original'])}.",
    ),
}
