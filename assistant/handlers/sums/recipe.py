"""The sums on the recipe: what it gives in gravity, bitterness and color, and how much of a thing it takes."""

from __future__ import annotations

from dataclasses import replace

import knowledge
from assistant import making
from assistant.brew import Brew, Known, fermentable, is_grain
from assistant.engine import bitterness, color, fermentables, gravity
from assistant.engine.bitterness import HopAddition
from assistant.engine.errors import Impossible
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity
from assistant.handlers.sums.need import AMOUNT, INGREDIENT, VOLUME, Need, Sum, Values, named, usual
from assistant.handlers.sums.strength import TARGET_GRAVITY
from assistant.reply import Input
from assistant.wording import quantity as show


def _part(given: Values, amount: Quantity | None = None) -> fermentables.Fermentable:
    """What was named, as the engine takes it."""
    name = given["ingredient"]
    entry = knowledge.ingredients().get(name)
    if not isinstance(entry, knowledge.Fermentable | knowledge.Fruit):
        raise Impossible(
            f"Gravity from {name}",
            "it is no extract, sugar, grain or fruit that I know",
            "name one, like dry malt extract",
        )
    return _used(fermentable(entry, amount), given)


def _used(part: fermentables.Fermentable, given: Values) -> fermentables.Fermentable:
    """Grain as it is used, steeped or mashed."""
    return replace(part, use=given["use"]) if "use" in given and is_grain(part) else part


def _use_of_grain(brew: Brew, given: Values) -> Known | None:
    """Steeped or mashed: as the batch's grain is, or as the grain that was named wants it; none where there is no grain."""
    if "ingredient" not in given:
        return brew.use_of_grain() if brew.grains() else None
    entry = knowledge.ingredients().get(given["ingredient"])
    if not isinstance(entry, knowledge.Fermentable) or entry.kind != "grain":
        return None
    way, reason = making.way_of(brew.batch, [(entry, None)])
    return Known(making.use_of_grain(way), reason)


_OTHERWISE = {"steeped": ("mashed", "this is a mini-mash"), "mashed": ("steeped", "this is an extract batch")}
"""For a use of grain the other one, and the sentence that makes it that."""


def _grain_counted(brew: Brew, values: Values, given: Values) -> tuple[str, ...]:
    """How the recipe's grain was taken to be used, where it was not said, and what it would give used otherwise."""
    known = _use_of_grain(brew, given)
    if known is None or known.value != given["use"]:
        return ()
    other, sentence = _OTHERWISE[known.value]
    then = _original_gravity(brew, {**given, "use": other}).values["gravity"]
    return (
        f"Grain counted as {known.value}: {known.origin}.",
        f'If it is {other}, {show(then)}; say "{sentence}".',
    )


def _original_gravity(brew: Brew, given: Values) -> Result:
    return fermentables.original_gravity([_used(part, given) for part in grain_bill(brew)], given["volume"])


def hop_additions(brew: Brew, given: Values) -> list[HopAddition]:
    """The hops of the recipe as the engine takes them, boiled and left to stand as the batch or the sentence has it."""
    return [
        HopAddition(
            hop.name,
            hop.amount,
            hop.alpha.value,
            Q(hop.boil_left, "minute"),
            _kettle(brew, hop.boil_left, given).value,
            "pellet",
            **_heat(given),
        )
        for hop in brew.hops()
    ]


def _kettle(brew: Brew, minutes: float, given: Values) -> Known:
    return brew.kettle_gravity(
        minutes, Known(given["boil_volume"], "said") if "boil_volume" in given else None
    )


def _heat(given: Values) -> dict[str, Quantity]:
    return {name: given[name] for name in ("boils_at", "stand", "stand_temperature") if name in given}


def bitterness_of(brew: Brew, given: Values) -> Result:
    """The bitterness of what was said, or of the recipe where nothing was."""
    if "amount" in given:
        hop = HopAddition(
            given.get("ingredient", "the hops"),
            given["amount"],
            given["alpha"],
            given["boil_left"],
            given["gravity"],
            "pellet",
            **_heat(given),
        )
        return bitterness.bitterness([hop], given["volume"], given["method"])
    additions = hop_additions(brew, given)
    if not additions:
        raise Impossible(
            "The bitterness of no hops", "the recipe has none yet", "say: add 1 oz Magnum at 60 minutes"
        )
    return bitterness.bitterness(additions, given["volume"], given["method"])


def _hop_alpha(brew: Brew, given: Values) -> Known | None:
    hop = knowledge.ingredients().get(given.get("ingredient", ""))
    return brew.alpha(hop, {}) if isinstance(hop, knowledge.Hop) else None


def grain_bill(brew: Brew) -> list[fermentables.Fermentable]:
    """Extract, sugar, grain and fruit of the recipe. Raises Impossible where there is none."""
    parts = [part for part, _ in brew.fermentables()]
    if not parts:
        raise Impossible(
            "A sum on the recipe",
            "it has no extract, sugar or grain yet",
            "say: the recipe has 6 lb of amber liquid malt extract",
        )
    return parts


def _as_used(given: Values) -> str:
    return f", {given['use']}," if "use" in given else ""


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


def _boil_time(brew: Brew, given: Values) -> Known | None:
    """Hops for a stand do not boil."""
    return Known(Q(0, "minute"), "said: a stand") if "stand" in given else None


def _single_gravity(brew: Brew, given: Values) -> Known | None:
    """What boils in the kettle by the recipe, while one addition is in."""
    return _kettle(brew, given["boil_left"].m_as("minute"), given) if brew.fermentables() else None


def _stand_temperature(brew: Brew, given: Values) -> Known | None:
    if "stand" not in given:
        return None
    return brew.stand_temperature() or Known(
        bitterness.HOT_STAND, "default: a covered pot off the flame; common practice, no source"
    )


_GRAVITY = Need("gravity", "gravity of the boil", "", None, usual(1.050, "sg", "usual wort"), _single_gravity)

_SINGLE_HOP = (
    Need("alpha", "alpha acids", "What alpha acid, in percent?", follows=_hop_alpha),
    Need("boil_left", "boil", "Boiled for how long?", follows=_boil_time),
    _GRAVITY,
)
"""What the bitterness of one addition needs besides what the recipe's does."""

BOILS_AT = Need("boils_at", "boils at", batch=Brew.boiling_point)

HOT = (
    Need("method", "rule", "", None, Known("tinseth", "default: the usual one")),
    Need("boil_volume", "boiled"),
    BOILS_AT,
    Need("stand", "hop stand", batch=Brew.stand),
    Need("stand_temperature", "stand temperature", follows=_stand_temperature),
)
"""How the hops are boiled and what is left hot, and by which rule that is reckoned."""

USE = Need("use", "grain is", follows=_use_of_grain)


def hop_lines(brew: Brew, given: Values) -> list[Input]:
    """The hops of the recipe, where the sum is on those."""
    if "amount" in given:
        return []
    found = []
    for hop in brew.hops():
        kettle = _kettle(brew, hop.boil_left, given)
        told = f"{show(hop.amount)} at {hop.boil_left:.0f} min, alpha {show(hop.alpha.value)}, wort {show(kettle.value)}"
        found.append(Input(hop.name, told, f"{hop.origin}; alpha {hop.alpha.origin}; {kettle.origin}"))
    return found


def fermentable_lines(brew: Brew, given: Values) -> list[Input]:
    """The grain bill, each line with how it is used."""
    found = []
    for part, line in brew.grain_bill():
        used = _used(part, given)
        found.append(Input(part.name, f"{show(part.amount)}, {used.use}" if part.amount else used.use, line.origin))
    return found


SUMS: dict[str, Sum] = {
    "ask_gravity_from": Sum(
        (AMOUNT, INGREDIENT, VOLUME, USE),
        lambda brew, g: fermentables.gravity_from([_part(g, g["amount"])], g["volume"]),
        lambda v, g: f"{show(v['gravity'])} from {show(g['amount'])} of {named(g)}{_as_used(g)} in {show(g['volume'])}.",
    ),
    "ask_extract_for": Sum(
        (TARGET_GRAVITY, VOLUME, Need("ingredient", "extract", "With which extract?"), USE),
        lambda brew, g: fermentables.extract_for(g["target"], g["volume"], _part(g)),
        lambda v, g: f"{show(v['amount'])} of {named(g)}{_as_used(g)} for {show(g['volume'])} at {show(g['target'])}.",
    ),
    "ask_bitterness": Sum(
        (Need("amount", "hops"), Need("ingredient", "hop"), VOLUME, *HOT),
        bitterness_of,
        lambda v, g: (
            f"About {show(v['bitterness'])} in {show(g['volume'])}"
            + (f" by {g['method'].title()}." if g["method"] != "tinseth" else ".")
        ),
        where=("amount", _SINGLE_HOP),
        lines=hop_lines,
    ),
    "ask_hops_for": Sum(
        (
            Need("target", "bitterness", "How bitter?"),
            Need("ingredient", "hop"),
            Need("alpha", "alpha acids", "What alpha acid, in percent?", follows=_hop_alpha),
            Need("boil_left", "boil", "Boiled for how long?", None, usual(60, "minute", "a full hour")),
            VOLUME,
            _GRAVITY,
            BOILS_AT,
        ),
        lambda brew, g: bitterness.hops_for(
            g["target"], g["alpha"], g["boil_left"], g["volume"], g["gravity"], "pellet",
            g.get("boils_at", bitterness.SEA_LEVEL),
        ),
        lambda v, g: (
            f"{show(v['amount'])} of {show(g['alpha'])} {named(g) if 'ingredient' in g else 'hops'}"
            f" at {show(g['boil_left'])} for {show(g['target'])} in {show(g['volume'])}."
        ),
    ),
    "ask_color": Sum(
        (VOLUME, Need("unit", "unit", "", None, Known("srm", "default: the American scale"))),
        lambda brew, g: color.color(grain_bill(brew), g["volume"], g["unit"]),
        lambda v, g: f"About {show(v['color'])}, {_shade(v['color'].m_as('srm'))}.",
        lines=fermentable_lines,
    ),
    "ask_original_gravity": Sum(
        (VOLUME, USE, Need("measured", "measured", batch=Brew.original)),
        _original_gravity,
        lambda v, g: f"{show(v['gravity'])} original gravity by the recipe in {show(g['volume'])}.",
        lambda v, g: (f"Measured: {show(g['measured'])}.",) if "measured" in g else (),
        lists=_grain_counted,
        lines=fermentable_lines,
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
