"""The sums on gravity and strength: readings corrected and converted, alcohol, dilution."""

from __future__ import annotations

import knowledge
from assistant.brew import Brew, Known
from assistant.engine import alcohol, convert, gravity, water
from assistant.engine.errors import Impossible
from assistant.engine.result import Result
from assistant.engine.units import Q
from assistant.handlers.sums.need import KETTLE, Need, Sum, Values, named, usual
from assistant.reply import Input
from assistant.wording import quantity as show
from knowledge.entries import Fermentable

OG = Need("original", "original gravity", "What was the original gravity?", Brew.likely_original)
FG = Need(
    "final", "gravity now", "What is the gravity now?", lambda brew: brew.current() or brew.expected_final()
)
TARGET_GRAVITY = Need("target", "target", "What gravity do you want?")



def _reading_before(brew: Brew, given: Values) -> Known | None:
    """Before fermentation: what the hydrometer said then, or this very reading where no yeast is in yet."""
    original = brew.original()
    if "final" not in given or original:
        return original
    unfermented = brew.batch.id and brew.batch.event("pitch") is None
    return Known(given["final"], "said; no yeast is in yet") if unfermented else None


def _own(brew: Brew) -> tuple[Known, Known] | None:
    """Volume and gravity of the batch in hand."""
    volume, reading = brew.volume(), brew.current() or brew.original()
    return (volume, reading) if volume and reading else None


def _blend(brew: Brew, given: Values) -> Result:
    """Of the worts said; where it is only one, with the batch in hand."""
    parts = [(part["volume"], part["gravity"]) for part in given["parts"]]
    own = _own(brew) if len(parts) == 1 else None
    if own:
        parts.insert(0, (own[0].value, own[1].value))
    return gravity.blend(parts)


def _own_wort(brew: Brew, given: Values) -> list[Input]:
    own = _own(brew) if len(given["parts"]) == 1 else None
    if own is None:
        return []
    volume, reading = own
    return [
        Input("this batch", f"{show(volume.value)} at {show(reading.value)}", f"{volume.origin}; {reading.origin}")
    ]


def _by_bulk(given: Values) -> bool:
    """Whether a mass is to be told as a volume or the other way, for which one must know of what."""
    if "from" not in given or "to" not in given:
        return False
    kinds = [next((kind for kind in ("gram", "liter") if each.is_compatible_with(kind)), "")
             for each in (given["from"], Q(1, given["to"]))]
    return sorted(kinds) == ["gram", "liter"]


def _converted(brew: Brew, given: Values) -> Result:
    if not _by_bulk(given):
        return convert.convert(given["from"], given["to"])
    entry = knowledge.ingredients().get(given["ingredient"])
    grams = entry.cup_grams if isinstance(entry, Fermentable) else None
    if grams is None and given["ingredient"] in water.SALTS:
        grams = water.SALTS[given["ingredient"]].teaspoon * TEASPOONS
    if grams is None:
        either = isinstance(entry, Fermentable) and entry.form == "either"
        why = "dry and liquid weigh differently" if either else "what a cup of it weighs is not known here"
        raise Impossible(f"{named(given)} by the cup", why, "say dry or liquid" if either else "weigh it")
    return convert.by_bulk(given["from"], given["to"], Q(grams, "gram"))


TEASPOONS = 48
"""In a cup."""

SUMS: dict[str, Sum] = {
    "ask_correct_reading": Sum(
        (
            Need("gravity", "reading", "What does the hydrometer read?"),
            Need("temperature", "sample temperature", "How warm is the sample?"),
            Need("calibration", "hydrometer marked for", "", Brew.calibration),
        ),
        lambda brew, g: gravity.correct_reading(
            gravity.to_sg(g["gravity"]), g["temperature"], g["calibration"]
        ),
        lambda v, g: (
            f"{show(v['gravity'])} corrected: read {show(g['gravity'])} at {show(g['temperature'])}."
        ),
    ),
    "ask_convert": Sum(
        (
            Need("from", "from", "Convert what?", answered=True),
            Need("to", "to", "To what unit?"),
            Need("ingredient", "ingredient", "Of what?", answered=True, asked_if=_by_bulk),
        ),
        _converted,
        lambda v, g: (
            f"{show(v['result'])} is about {show(g['from'])} of {named(g)}."
            if _by_bulk(g)
            else f"{show(v['result'])} is {show(g['from'])}."
        ),
    ),
    "ask_abv": Sum(
        (OG, FG, Need("by", "asked by")),
        lambda brew, g: alcohol.abv(g["original"], g["final"]),
        lambda v, g: (
            f"{show(v['abw' if 'by' in g else 'abv'])} alcohol by {g.get('by', 'volume')},"
            f" from {show(g['original'])} to {show(g['final'])}."
        ),
    ),
    "ask_attenuation": Sum(
        (OG, FG),
        lambda brew, g: alcohol.attenuation(g["original"], g["final"]),
        lambda v, g: (
            f"{show(v['attenuation'])} apparent attenuation, {show(v['real_attenuation'])} real,"
            f" from {show(g['original'])} to {show(g['final'])}."
        ),
    ),
    "ask_blend": Sum(
        (),
        _blend,
        lambda v, g: f"{show(v['gravity'])} in {show(v['volume'])} when they are put together.",
        lines=_own_wort,
        parts=("volume", "gravity"),
    ),
    "ask_calories": Sum(
        (OG, FG, Need("volume", "serving", "", None, usual(12, "fluid_ounce", "a 12 ounce bottle"))),
        lambda brew, g: alcohol.calories(g["original"], g["final"], g["volume"]),
        lambda v, g: (
            f"{show(v['energy'])} in {show(g['volume'])}, from {show(g['original'])} to {show(g['final'])}."
        ),
    ),
    "ask_refractometer": Sum(
        (
            Need("final", "reading now"),
            Need(
                "original",
                "reading before fermentation",
                "What did it read before fermentation?",
                follows=_reading_before,
            ),
            Need("correction", "wort correction", "", Brew.refractometer_correction),
        ),
        lambda brew, g: gravity.refractometer(
            g["original"], None if g["original"] is g.get("final") else g.get("final"), g["correction"].magnitude
        ),
        lambda v, g: (
            f"{show(v['gravity'])} gravity, refractometer from {show(g['original'])}"
            + (f" to {show(g['final'])}." if g.get("final", g["original"]) is not g["original"] else ".")
        ),
    ),
    "ask_dilution": Sum(
        (
            KETTLE,
            Need("gravity", "gravity", "What is its gravity?", lambda b: b.current() or b.original()),
            TARGET_GRAVITY,
        ),
        lambda brew, g: gravity.dilution(g["volume"], g["gravity"], g["target"]),
        lambda v, g: (
            f"{show(v['water'])} of water takes {show(g['volume'])} from {show(g['gravity'])} to {show(g['target'])};"
            f" {show(v['final_volume'])} in all."
        ),
    ),
    "ask_topup_gravity": Sum(
        (
            KETTLE,
            Need("gravity", "gravity", "What is its gravity?", lambda b: b.current() or b.original()),
            Need("final_volume", "topped up to", "Topped up to what volume?", lambda b: b.volume()),
        ),
        lambda brew, g: gravity.topup_gravity(g["volume"], g["gravity"], g["final_volume"]),
        lambda v, g: (
            f"{show(v['gravity'])} when {show(g['volume'])} of {show(g['gravity'])} is topped up to {show(g['final_volume'])}."
        ),
    ),
}
