"""The sums on the recipe as a whole: bitter against sweet, within a style or not, another size, enzyme enough."""

from __future__ import annotations

from collections.abc import Iterator

import knowledge
from assistant import wording
from assistant.brew import Brew, Known, fermentable, is_grain
from assistant.engine import alcohol, color, recipe
from assistant.engine.errors import EngineError, Impossible
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity, unit_of
from assistant.handlers.log import described, recipe_text, scaled
from assistant.handlers.sums.need import VOLUME, Need, Offer, Sum, Values
from assistant.handlers.sums.recipe import HOT, bitterness_of, grain_bill, hop_lines
from assistant.reply import Input
from assistant.wording import quantity as show


def _bitterness(brew: Brew, given: Values) -> Known | None:
    """What the recipe should give, where its hops and its volume are known."""
    if "volume" not in given or not brew.hops():
        return None
    return Known(bitterness_of(brew, given).values["bitterness"], f"recipe, by {given['method'].title()}")


def _taste(balance: float) -> str:
    low, high = recipe.BALANCED
    return "malty" if balance < low else "bitter" if balance > high else "balanced"


def _enzymes(brew: Brew, given: Values) -> Result:
    """Of the grains that were said with their weights, else of the recipe's."""
    known = knowledge.ingredients()
    told = [
        fermentable(entry, part["amount"])
        for part in given["parts"]
        if len(part) == 2 and isinstance(entry := known.get(part["ingredient"]), knowledge.Fermentable)
    ]
    if not told and not brew.grains():
        raise Impossible("A mash of no grain", "the recipe has none yet", "say: the recipe has 2 lb of pale malt")
    return recipe.enzymes(told or brew.grains())


def _powers(brew: Brew, given: Values) -> list[Input]:
    """The power of each grain of the recipe, where that is what the sum rests on."""
    return [] if given["parts"] else [
        Input(
            part.name,
            f"{show(part.amount)}, {'unknown' if part.diastatic is None else show(Q(part.diastatic, 'lintner'))}",
            f"{line.origin}; power from the knowledge base",
        )
        for part, line in brew.grain_bill()
        if is_grain(part) and part.amount
    ]


def _converts(power: float) -> str:
    if power >= recipe.COMFORTABLE:
        return "enzyme enough for a mash"
    if power >= recipe.CONVERTS:
        return "just enough enzyme, so mash 90 minutes"
    return "too little enzyme, so add pale malt"


def _scaled(brew: Brew, factor: float) -> Iterator[str]:
    """The recipe, each amount times that."""
    for line in brew.lines():
        if isinstance(line.amount, list):
            slots = {**line.slots, "ingredient": line.name, "amount": scaled(line.amount, factor)}
            if line.boil_left is not None:
                slots["boil_left"] = [line.boil_left, "minute"]
            yield described("plan_addition", slots)


def _offered(brew: Brew, values: Values, given: Values) -> Offer | None:
    """To write it down, as long as nothing of the recipe has gone in."""
    plan = brew.batch.plan
    if not plan or brew.batch.additions:
        return None
    size, factor = given["final_volume"], values["factor"]
    slots = {
        "factor": [float(factor.magnitude), unit_of(factor)],
        "final_volume": [float(size.magnitude), unit_of(size)],
        "recipe": recipe_text(brew.batch),
    }
    return Offer("Shall I put that in the recipe?", "write_scaled", slots)


_TIMES = {"half": 0.5, "double": 2.0, "triple": 3.0}


def _times(brew: Brew, given: Values) -> Known | None:
    """Half the batch, or several of it."""
    return Known(given["volume"] * _TIMES[given["times"]], f"said: {given['times']}") if "times" in given else None


def _scale(brew: Brew, given: Values) -> Result:
    if not any(isinstance(line.amount, list) for line in brew.lines()):
        raise Impossible("Another size of no recipe", "it holds nothing yet",
                         "say: the recipe has 6 lb of amber liquid malt extract")
    return recipe.scale(given["volume"], given["final_volume"])


# --- Style


def _style(brew: Brew) -> Known | None:
    """The style that was set, as far as it is one that is known."""
    name = str(brew.batch.style or "")
    return Known(name, "batch") if name in knowledge.styles() else None


_NAMES = {
    "original": "original gravity", "final": "final gravity", "bitterness": "bitterness", "color": "color",
    "abv": "alcohol",
}


def _ranges(style: knowledge.Style) -> dict[str, tuple[Quantity, Quantity]]:
    ranges = {
        "original": (style.og, "sg"), "final": (style.fg, "sg"), "bitterness": (style.ibu, "ibu"),
        "color": (style.srm, "srm"), "abv": (style.abv, "percent"),
    }
    return {name: (Q(each.low, unit), Q(each.high, unit)) for name, (each, unit) in ranges.items()}


def _numbers(brew: Brew, given: Values) -> dict[str, tuple[Known, Quantity | None]]:
    """What is known of the beer, measured before reckoned, and how far that may be off."""
    found: dict[str, tuple[Known, Quantity | None]] = {}
    original, final = brew.likely_original(), brew.current() if _is_done(brew) else brew.should_end()
    if original and final:
        strength = alcohol.abv(original.value, final.value)
        found |= {"original": (original, Q(0.001, "sg")), "final": (final, Q(0.003, "sg"))}
        found["abv"] = (Known(strength.values["abv"], f"of {original.origin} and {final.origin}"), strength.spread["abv"])
    if brew.hops():
        bitter = bitterness_of(brew, given)
        found["bitterness"] = (Known(bitter.values["bitterness"], "recipe"), bitter.spread["bitterness"])
    try:
        dark = color.color(grain_bill(brew), given["volume"])
        found["color"] = (Known(dark.values["color"], "recipe"), dark.spread["color"])
    except EngineError:
        pass
    return found


def _is_done(brew: Brew) -> bool:
    still = brew.still()
    return still is not None and still.long_enough


def _judged(brew: Brew, given: Values) -> Result:
    style = knowledge.styles()[given["style"]]
    numbers = _numbers(brew, given)
    if not numbers:
        raise Impossible(f"A judgement as {style.name}", "neither recipe nor readings are known",
                         "say what is in the recipe, or log a gravity")
    ranges = _ranges(style)
    fits = [name for name, (known, _) in numbers.items() if ranges[name][0] <= known.value <= ranges[name][1]]
    return Result(
        values={"fits": Q(len(fits), "count"), **{name: known.value for name, (known, _) in numbers.items()}},
        formula=f"each number against the range of {style.name}",
        sources=style.source,
        spread={name: width for name, (_, width) in numbers.items() if width is not None},
        notes=tuple(
            f"{_NAMES[name].capitalize()} of the style: {show(low)} to {show(high)}." for name, (low, high) in ranges.items()
        ),
    )


def _verdict(values: Values, given: Values) -> str:
    style = knowledge.styles()[given["style"]]
    ranges = _ranges(style)
    odd = []
    for name, (low, high) in ranges.items():
        if name in values and not low <= values[name] <= high:
            way, limit = ("under", low) if values[name] < low else ("over", high)
            odd.append(f"{_NAMES[name]} {show(values[name])} is {way} {show(limit)}")
    known = sum(name in values for name in ranges)
    told = f"{values['fits'].magnitude:.0f} of {known} numbers fit {style.name}"
    return f"{told}; {wording.listed(odd[:2])}." if odd else f"{told}."


def _style_lines(brew: Brew, given: Values) -> list[Input]:
    return [Input(_NAMES[name], show(known.value), known.origin) for name, (known, _) in _numbers(brew, given).items()]


SUMS: dict[str, Sum] = {
    "ask_balance": Sum(
        (
            Need("volume", "volume", "", Brew.volume),
            *HOT,
            Need("bitterness", "bitterness", "How bitter, in IBU?", follows=_bitterness),
            Need("gravity", "original gravity", "What is the original gravity?", Brew.likely_original),
        ),
        lambda brew, g: recipe.balance(g["bitterness"], g["gravity"]),
        lambda v, g: (
            f"{v['balance'].magnitude:.2f} IBU a point, {_taste(v['balance'].magnitude)}: "
            f"{show(g['bitterness'])} against {show(g['gravity'])}."
        ),
        lines=lambda brew, g: hop_lines(brew, g) if "volume" in g else [],
    ),
    "ask_style": Sum(
        (Need("style", "style", "Which style?", _style), VOLUME, *HOT),
        _judged,
        _verdict,
        lines=_style_lines,
    ),
    "ask_scale": Sum(
        (
            Need("times", "asked for"),
            Need("volume", "volume", "For what volume is it now?", lambda brew: brew.size() or brew.volume()),
            Need("final_volume", "new volume", "To what volume?", follows=_times),
        ),
        _scale,
        lambda v, g: f"{v['factor'].magnitude:.3g} times everything, from {show(g['volume'])} to {show(g['final_volume'])}.",
        lists=lambda brew, v, g: tuple(_scaled(brew, v["factor"].magnitude)),
        offers=_offered,
    ),
    "ask_enzymes": Sum(
        (),
        _enzymes,
        lambda v, g: f"{show(v['diastatic_power'])} on average: {_converts(v['diastatic_power'].magnitude)}.",
        lambda v, g: ("Mash in an hour at 150 °F, with a quart and a quarter of water a pound.",)
        if v["diastatic_power"].magnitude >= recipe.CONVERTS
        else (),
        lines=_powers,
        parts=("amount", "ingredient"),
    ),
}
