"""Every sum as one line of a table: what it needs, where that comes from when it was not said, and how it is put.

A `Need` is looked for in the sentence, then in the batch, then among the usual values; what none gives is asked for.
The same list feeds the working, so an answer can always say what it rests on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import knowledge
from assistant import wording
from assistant.brew import Brew, Known, as_quantity, fermentable
from assistant.engine import (
    alcohol,
    bitterness,
    cleaning,
    color,
    convert,
    fermentables,
    gravity,
    heat,
    packaging,
    volumes,
    water,
    yeast,
)
from assistant.engine.bitterness import HopAddition
from assistant.engine.errors import EngineError, Impossible
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity, unit_of
from assistant.handlers.turn import Turn, asked, refused
from assistant.reply import Input, Outcome, Working

Values = Mapping[str, Any]
"""The inputs of a sum by slot: quantities and names; a missing optional one is absent."""


@dataclass(frozen=True)
class Need:
    """One input of a sum."""

    slot: str
    name: str
    """What the brewer calls it."""
    question: str = ""
    """Asked when nothing gives it; an input without a question is optional."""
    batch: Callable[[Brew], Known | None] | None = None
    usual: Known | None = None


@dataclass(frozen=True)
class Sum:
    """One act's sum."""

    needs: tuple[Need, ...]
    work: Callable[[Brew, Values], Result]
    say: Callable[[Values, Values], str]
    """The answer from the result's values and the inputs; number first."""
    more: Callable[[Values, Values], tuple[str, ...]] = field(default=lambda values, given: ())


def usual(number: float, unit: str, why: str) -> Known:
    return Known(Q(number, unit), f"default: {why}")


def of_setting(name: str) -> Callable[[Brew], Known | None]:
    return lambda brew: brew.setting(name)


_SHOW = wording.quantity


def _named(values: Values) -> str:
    entry = knowledge.ingredients().get(values["ingredient"])
    return entry.name if entry else str(values["ingredient"])


def _part(name: str, amount: Quantity | None = None) -> fermentables.Fermentable:
    entry = knowledge.ingredients().get(name)
    if not isinstance(entry, knowledge.Fermentable):
        raise Impossible(
            f"Gravity from {name}",
            "it is no extract, sugar or grain that I know",
            "name one, like dry malt extract",
        )
    return fermentable(entry, amount)


def _topped_bitterness(brew: Brew, given: Values) -> Result:
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


def _water_needed(brew: Brew, given: Values) -> Result:
    parts = [part for part, _ in brew.fermentables()]
    return volumes.water_needed(
        given["volume"],
        given["boil_length"],
        given["boil_off"],
        given["trub_loss"],
        brew.grain(),
        parts=parts,
    )


def attenuation(brew: Brew) -> Known:
    kind = brew.yeast()
    if kind and kind.attenuation:
        return Known(
            Q((kind.attenuation.low + kind.attenuation.high) / 2, "percent"),
            f"middle of what {kind.name} does",
        )
    return usual(75, "percent", "ale yeast ferments 70 to 80 % of the gravity; common practice, no source")


def _recipe_gravity(brew: Brew) -> Known | None:
    measured = brew.original()
    if measured:
        return measured
    volume = brew.volume()
    parts = [part for part, _ in brew.fermentables()]
    if not (volume and parts):
        return None
    return Known(
        fermentables.original_gravity(parts, volume.value).values["gravity"], "what the recipe should give"
    )


def _expected_final(brew: Brew) -> Known | None:
    original = _recipe_gravity(brew)
    if original is None or brew.batch.event("pitch") is not None:
        return None
    return Known(
        gravity.final_gravity(original.value, attenuation(brew).value).values["gravity"], "expected, not read"
    )


def _heat_target(brew: Brew) -> Known:
    altitude = brew.setting("altitude")
    height = altitude.value if altitude else Q(0, "foot")
    return Known(
        heat.boiling_point(height).values["temperature"], "boiling" if altitude else "boiling, at sea level"
    )


def _chill(brew: Brew, given: Values) -> Result:
    start = brew.batch.event("chill_start") or brew.batch.event("flameout")
    pitch = brew.batch.event("pitch")
    readings = [
        entry
        for entry in brew.wort_temperatures()
        if start and entry.happened >= start.happened and (pitch is None or entry.happened < pitch.happened)
    ]
    if len(readings) < 2:
        raise Impossible(
            "A forecast of the chill",
            "it takes two temperatures logged since the flame went out",
            "say the wort's temperature now, and again in a few minutes",
        )
    first = readings[0].happened
    points = [
        ((entry.happened - first).total_seconds() / 60, as_quantity(entry.slots["temperature"]))
        for entry in readings
    ]
    return heat.chill_time(points, given["target"], given["surroundings"])


_VOLUME = Need("volume", "volume", "What volume?", Brew.volume)
_KETTLE = Need("volume", "volume", "What volume?", lambda brew: brew.kettle_volume() or brew.volume())
_OG = Need(
    "original", "original gravity", "What was the original gravity?", lambda brew: _recipe_gravity(brew)
)
_FG = Need(
    "final", "gravity now", "What is the gravity now?", lambda brew: brew.current() or _expected_final(brew)
)
_ALTITUDE = Need("altitude", "altitude", "At what altitude?", of_setting("altitude"))
_INGREDIENT = Need("ingredient", "ingredient", "Of what?")
_AMOUNT = Need("amount", "amount", "How much of it?")
_TARGET_GRAVITY = Need("target", "target", "What gravity do you want?")


def _need(
    slot: str,
    name: str,
    question: str,
    batch: Callable[[Brew], Known | None] | None = None,
    default: Known | None = None,
) -> Need:
    return Need(slot, name, question, batch, default)


SUMS: dict[str, Sum] = {
    "ask_correct_reading": Sum(
        (
            _need("gravity", "reading", "What does the hydrometer read?"),
            _need("temperature", "sample temperature", "How warm is the sample?"),
            _need("calibration", "hydrometer marked for", "", Brew.calibration),
        ),
        lambda brew, g: gravity.correct_reading(
            gravity.to_sg(g["gravity"]), g["temperature"], g["calibration"]
        ),
        lambda v, g: (
            f"{_SHOW(v['gravity'])} corrected: read {_SHOW(g['gravity'])} at {_SHOW(g['temperature'])}."
        ),
    ),
    "ask_convert": Sum(
        (_need("from", "from", "Convert what?"), _need("to", "to", "To what unit?")),
        lambda brew, g: convert.convert(g["from"], g["to"]),
        lambda v, g: f"{_SHOW(v['result'])} is {_SHOW(g['from'])}.",
    ),
    "ask_abv": Sum(
        (_OG, _FG),
        lambda brew, g: alcohol.abv(g["original"], g["final"]),
        lambda v, g: (
            f"{_SHOW(v['abv'])} alcohol by volume, from {_SHOW(g['original'])} to {_SHOW(g['final'])}."
        ),
    ),
    "ask_calories": Sum(
        (_OG, _FG, _need("volume", "serving", "", None, usual(12, "fluid_ounce", "a 12 ounce bottle"))),
        lambda brew, g: alcohol.calories(g["original"], g["final"], g["volume"]),
        lambda v, g: (
            f"{_SHOW(v['energy'])} in {_SHOW(g['volume'])}, from {_SHOW(g['original'])} to {_SHOW(g['final'])}."
        ),
    ),
    "ask_refractometer": Sum(
        (
            _need("original", "reading before fermentation", "What did it read before fermentation?"),
            Need("final", "reading now"),
        ),
        lambda brew, g: gravity.refractometer(g["original"], g.get("final")),
        lambda v, g: (
            f"{_SHOW(v['gravity'])} gravity, refractometer from {_SHOW(g['original'])}"
            + (f" to {_SHOW(g['final'])}." if "final" in g else ".")
        ),
    ),
    "ask_dilution": Sum(
        (
            _KETTLE,
            _need("gravity", "gravity", "What is its gravity?", lambda b: b.current() or b.original()),
            _TARGET_GRAVITY,
        ),
        lambda brew, g: gravity.dilution(g["volume"], g["gravity"], g["target"]),
        lambda v, g: (
            f"{_SHOW(v['water'])} of water takes {_SHOW(g['volume'])} from {_SHOW(g['gravity'])} to {_SHOW(g['target'])};"
            f" {_SHOW(v['final_volume'])} in all."
        ),
    ),
    "ask_topup_gravity": Sum(
        (
            _KETTLE,
            _need("gravity", "gravity", "What is its gravity?", lambda b: b.current() or b.original()),
            _need("final_volume", "topped up to", "Topped up to what volume?", lambda b: b.volume()),
        ),
        lambda brew, g: gravity.topup_gravity(g["volume"], g["gravity"], g["final_volume"]),
        lambda v, g: (
            f"{_SHOW(v['gravity'])} when {_SHOW(g['volume'])} of {_SHOW(g['gravity'])} is topped up to {_SHOW(g['final_volume'])}."
        ),
    ),
    "ask_gravity_from": Sum(
        (_AMOUNT, _INGREDIENT, _VOLUME),
        lambda brew, g: fermentables.gravity_from([_part(g["ingredient"], g["amount"])], g["volume"]),
        lambda v, g: (
            f"{_SHOW(v['gravity'])} from {_SHOW(g['amount'])} of {_named(g)} in {_SHOW(g['volume'])}."
        ),
    ),
    "ask_extract_for": Sum(
        (_TARGET_GRAVITY, _VOLUME, _need("ingredient", "extract", "With which extract?")),
        lambda brew, g: fermentables.extract_for(g["target"], g["volume"], _part(g["ingredient"])),
        lambda v, g: f"{_SHOW(v['amount'])} of {_named(g)} for {_SHOW(g['volume'])} at {_SHOW(g['target'])}.",
    ),
    "ask_mix_temperature": Sum(
        (
            _need("hot_volume", "hot volume", "How much is in the pot?", Brew.kettle_volume),
            _need("hot_temperature", "hot temperature", "How hot is it?", Brew.wort_temperature),
            _need("cold_volume", "cold volume", "How much cold water?"),
            _need("cold_temperature", "cold temperature", "How cold is that water?"),
            Need("ice", "ice"),
        ),
        lambda brew, g: heat.mix_temperature(
            g["hot_volume"],
            g["hot_temperature"],
            g["cold_volume"],
            g["cold_temperature"],
            **({"ice": g["ice"]} if "ice" in g else {}),
        ),
        lambda v, g: (
            f"{_SHOW(v['temperature'])}: {_SHOW(g['hot_volume'])} at {_SHOW(g['hot_temperature'])} with "
            f"{_SHOW(g['cold_volume'])} at {_SHOW(g['cold_temperature'])}."
        ),
    ),
    "ask_ice": Sum(
        (
            _KETTLE,
            _need("temperature", "temperature", "How hot is it now?", Brew.wort_temperature),
            _need("target", "target", "", None, usual(68, "degF", "a usual ale pitching temperature")),
        ),
        lambda brew, g: heat.ice(g["volume"], g["temperature"], g["target"]),
        lambda v, g: (
            f"{_SHOW(v['ice'])} of ice, melted in, takes {_SHOW(g['volume'])} from {_SHOW(g['temperature'])} to {_SHOW(g['target'])}."
        ),
    ),
    "ask_strike": Sum(
        (
            _need(
                "grain",
                "grain",
                "How much grain?",
                lambda b: Known(b.grain(), "recipe") if b.grain().m_as("pound") else None,
            ),
            _need("water", "water", "In how much water?", Brew.kettle_volume),
            _need("target", "target", "What temperature do you want it to settle at?"),
            _need("grain_temperature", "grain temperature", "", None, usual(68, "degF", "room temperature")),
        ),
        lambda brew, g: heat.strike(g["grain"], g["water"], g["target"], g["grain_temperature"]),
        lambda v, g: (
            f"{_SHOW(v['temperature'])} strike water: {_SHOW(g['grain'])} of grain in {_SHOW(g['water'])} settles at {_SHOW(g['target'])}."
        ),
    ),
    "ask_heat_time": Sum(
        (
            _KETTLE,
            _need("from", "from", "From what temperature?", Brew.temperature),
            _need("to", "to", "To what temperature?", _heat_target),
            _need(
                "power",
                "burner",
                "",
                of_setting("power"),
                usual(50000, "btu/hour", "a usual gas burner; say yours if you know it"),
            ),
        ),
        lambda brew, g: heat.heat_time(g["volume"], g["from"], g["to"], g["power"]),
        lambda v, g: (
            f"About {wording.span(v['duration'].m_as('minute'))} to heat {_SHOW(g['volume'])} from {_SHOW(g['from'])} to {_SHOW(g['to'])}."
        ),
    ),
    "ask_chill_time": Sum(
        (
            _need("target", "target", "", None, usual(68, "degF", "a usual ale pitching temperature")),
            _need("surroundings", "cooling water", "", None, usual(50, "degF", "a cold water bath")),
        ),
        _chill,
        lambda v, g: (
            f"About {wording.span(v['duration'].m_as('minute'))} more to {_SHOW(g['target'])}."
            if v["duration"].magnitude
            else f"It is at {_SHOW(g['target'])} or below already."
        ),
    ),
    "ask_boiling_point": Sum(
        (_ALTITUDE,),
        lambda brew, g: heat.boiling_point(g["altitude"]),
        lambda v, g: f"{_SHOW(v['temperature'])} is where water boils at {_SHOW(g['altitude'])}.",
    ),
    "ask_boil_off": Sum(
        (_need("rate", "boil off", "", Brew.boil_off), _need("duration", "boil", "", Brew.boil_length)),
        lambda brew, g: volumes.boil_off(g["rate"], g["duration"]),
        lambda v, g: f"{_SHOW(v['volume'])} boils off in {wording.span(g['duration'].m_as('minute'))}.",
    ),
    "ask_water_needed": Sum(
        (
            _VOLUME,
            _need("boil_length", "boil", "", Brew.boil_length),
            _need("boil_off", "boil off", "", Brew.boil_off),
            _need(
                "trub_loss",
                "left in the kettle",
                "",
                of_setting("trub_loss"),
                usual(0, "gallon", "nothing set"),
            ),
        ),
        _water_needed,
        lambda v, g: (
            f"{_SHOW(v['volume'])} of water to start with, for {_SHOW(g['volume'])} in the fermenter with all of it boiled."
        ),
        lambda v, g: ("If your pot is smaller, boil what fits and top up with cold water in the fermenter.",),
    ),
    "ask_bitterness": Sum(
        (Need("amount", "hops"), Need("ingredient", "hop"), _VOLUME),
        _topped_bitterness,
        lambda v, g: f"About {_SHOW(v['bitterness'])} in {_SHOW(g['volume'])}.",
    ),
    "ask_hops_for": Sum(
        (
            _need("target", "bitterness", "How bitter?"),
            _need("alpha", "alpha acids", "What alpha acid, in percent?"),
            _need("boil_left", "boil", "Boiled for how long?", None, usual(60, "minute", "a full hour")),
            _VOLUME,
            _need("gravity", "gravity", "", _recipe_gravity, usual(1.050, "sg", "usual wort")),
        ),
        lambda brew, g: bitterness.hops_for(
            g["target"], g["alpha"], g["boil_left"], g["volume"], g["gravity"], "pellet"
        ),
        lambda v, g: (
            f"{_SHOW(v['amount'])} of {_SHOW(g['alpha'])} hops at {_SHOW(g['boil_left'])} for {_SHOW(g['target'])} in {_SHOW(g['volume'])}."
        ),
    ),
    "ask_color": Sum(
        (_VOLUME,),
        lambda brew, g: color.color(_recipe(brew), g["volume"]),
        lambda v, g: f"About {_SHOW(v['color'])}, {_shade(v['color'].m_as('srm'))}.",
    ),
    "ask_original_gravity": Sum(
        (_VOLUME, Need("measured", "measured", batch=Brew.original)),
        lambda brew, g: fermentables.original_gravity(_recipe(brew), g["volume"]),
        lambda v, g: f"{_SHOW(v['gravity'])} original gravity by the recipe, in {_SHOW(g['volume'])}.",
        lambda v, g: (f"Measured: {_SHOW(g['measured'])}.",) if "measured" in g else (),
    ),
    "ask_final_gravity": Sum(
        (
            _need("original", "original gravity", "What is the original gravity?", _recipe_gravity),
            _need("attenuation", "attenuation", "", attenuation),
        ),
        lambda brew, g: gravity.final_gravity(g["original"], g["attenuation"]),
        lambda v, g: f"About {_SHOW(v['gravity'])} final gravity, from {_SHOW(g['original'])}.",
    ),
    "ask_pitch_rate": Sum(
        (_VOLUME, _need("gravity", "gravity", "Of what gravity?", _recipe_gravity)),
        lambda brew, g: yeast.pitch_rate(g["volume"], gravity.to_sg(g["gravity"])),
        lambda v, g: f"{_SHOW(v['cells'])} for {_SHOW(g['volume'])} of {_SHOW(g['gravity'])} ale wort.",
    ),
    "ask_viability": Sum(
        (_need("age", "age", "How old is it?"),),
        lambda brew, g: yeast.viability(g["age"]),
        lambda v, g: (
            f"About {v['viability'].magnitude:.0f} percent of it is alive after {_SHOW(g['age'])}; "
            + ("pitch it." if v["viability"].magnitude > 70 else "make a starter or pitch a second pack.")
        ),
    ),
    "ask_starter": Sum(
        (
            _need("volume", "starter", "How big a starter?"),
            _need("gravity", "gravity", "", None, usual(1.037, "sg", "a usual starter")),
        ),
        lambda brew, g: yeast.starter(g["volume"], gravity.to_sg(g["gravity"])),
        lambda v, g: (
            f"{_SHOW(v['extract'])} of dry malt extract for a {_SHOW(g['volume'])} starter of {_SHOW(g['gravity'])}."
        ),
    ),
    "ask_priming": Sum(
        (
            _VOLUME,
            _need(
                "carbonation",
                "carbonation",
                "",
                of_setting("carbonation"),
                usual(2.4, "volume_co2", "usual for an American ale"),
            ),
            _need(
                "temperature",
                "warmest since fermentation",
                "How warm has the beer been?",
                Brew.warmest_since_pitch,
            ),
            _need("ingredient", "sugar", "", None, Known("corn sugar", "default: corn sugar")),
        ),
        lambda brew, g: packaging.priming(g["volume"], g["carbonation"], g["temperature"], g["ingredient"]),
        lambda v, g: (
            f"{_both(v['sugar'])} of {_named(g)} for {_SHOW(g['volume'])} at {_SHOW(g['carbonation'])}, beer at {_SHOW(g['temperature'])}."
        ),
    ),
    "ask_keg_pressure": Sum(
        (
            _need(
                "carbonation",
                "carbonation",
                "",
                of_setting("carbonation"),
                usual(2.4, "volume_co2", "usual for an American ale"),
            ),
            _need("temperature", "beer temperature", "How cold is the keg?"),
        ),
        lambda brew, g: packaging.keg_pressure(g["carbonation"], g["temperature"]),
        lambda v, g: f"{_SHOW(v['pressure'])} for {_SHOW(g['carbonation'])} at {_SHOW(g['temperature'])}.",
    ),
    "ask_bottles": Sum(
        (_VOLUME, _need("bottle_size", "bottle", "", None, usual(12, "fluid_ounce", "12 ounce bottles"))),
        lambda brew, g: packaging.bottles(g["volume"], g["bottle_size"]),
        lambda v, g: (
            f"{v['count'].magnitude:.0f} bottles of {_SHOW(g['bottle_size'])} for {_SHOW(g['volume'])}; have a few spare."
        ),
    ),
    "ask_sanitizer": Sum(
        (_need("ingredient", "sanitizer", "Which sanitizer?"), _need("volume", "water", "How much water?")),
        lambda brew, g: cleaning.sanitizer(g["ingredient"], g["volume"]),
        lambda v, g: f"{_spoons(v['dose'])} of {_named(g)} in {_SHOW(g['volume'])}; the label decides.",
    ),
    "ask_chlorine": Sum(
        (_need("volume", "water", "How much water?", Brew.volume),),
        lambda brew, g: water.chlorine(g["volume"]),
        lambda v, g: (
            f"{_SHOW(v['dose'])} of potassium metabisulfite for {_SHOW(g['volume'])}, at 3 ppm chlorine."
        ),
    ),
    "ask_mineral": Sum(
        (_need("ingredient", "salt", "Which salt?"), _AMOUNT, _VOLUME),
        lambda brew, g: water.mineral(g["ingredient"], g["amount"], g["volume"]),
        lambda v, g: (
            f"{wording.listed([f'{_SHOW(value)} {ion}' for ion, value in v.items()])} from {_SHOW(g['amount'])} of {_named(g)} in {_SHOW(g['volume'])}."
        ),
    ),
}

_SINGLE_HOP = (
    _need("alpha", "alpha acids", "What alpha acid, in percent?"),
    _need("boil_left", "boil", "Boiled for how long?"),
    _need("gravity", "gravity of the boil", "", _recipe_gravity, usual(1.050, "sg", "usual wort")),
)
"""What the bitterness of one addition needs besides what the recipe's does."""

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


def _both(mass: Quantity) -> str:
    """Ounces with grams, for kitchen scales show either."""
    other = mass.to("gram") if unit_of(mass) == "ounce" else mass.to("ounce")
    return f"{_SHOW(mass)} ({_SHOW(other)})"


def _spoons(dose: Quantity) -> str:
    """A small volume as one measures it."""
    return (
        f"{_SHOW(dose)} ({_SHOW(dose.to('milliliter'))})" if unit_of(dose) == "fluid_ounce" else _SHOW(dose)
    )


def answer(turn: Turn) -> Outcome:
    """Do the sum of this act, or ask for the first input that nothing gives."""
    act = turn.command.act
    needs = SUMS[act].needs
    if act == "ask_bitterness" and "amount" in turn.slots:
        needs += _SINGLE_HOP
    brew = turn.brew
    given: dict[str, Any] = {}
    inputs: list[Input] = []
    slots = dict(turn.slots)
    if act == "ask_convert" and "from" not in slots and turn.last_values:
        value = next(iter(turn.last_values.values()))
        slots["from"] = [float(value.magnitude), unit_of(value)]
    try:
        for need in needs:
            known = _find(need, slots, brew, given)
            if known is None:
                if need.question:
                    return asked(need.slot, need.question)
                continue
            given[need.slot] = known.value
            inputs.append(Input(need.name, _shown(known.value), known.origin))
        result = SUMS[act].work(brew, given)
    except EngineError as error:
        return refused(str(error))
    if act in ("ask_bitterness", "ask_color", "ask_original_gravity") and "amount" not in given:
        inputs += _recipe_inputs(act, brew)
    return outcome_of(
        result, SUMS[act].say(result.values, given), inputs, SUMS[act].more(result.values, given)
    )


def _find(need: Need, slots: Mapping[str, Any], brew: Brew, given: Values) -> Known | None:
    if need.slot in slots:
        value = slots[need.slot]
        return Known(as_quantity(value) if isinstance(value, list) else value, "said")
    if need.slot == "alpha":
        found = _hop_alpha(brew, given)
        if found:
            return found
    return (need.batch(brew) if need.batch else None) or need.usual


def _shown(value: Any) -> str:
    return str(value) if isinstance(value, str) else wording.quantity(value)


def _recipe_inputs(act: str, brew: Brew) -> list[Input]:
    """The lines of the recipe a sum rests on."""
    if act == "ask_bitterness":
        hops = [(*hop, brew.kettle_gravity(hop[-1])) for hop in brew.hops()]
        return [
            Input(
                name,
                f"{_SHOW(amount)} at {left:g} min, alpha {_SHOW(alpha.value)}, wort {_SHOW(kettle.value)}",
                f"recipe; alpha {alpha.origin}; {kettle.origin}",
            )
            for name, amount, alpha, left, kettle in hops
        ]
    return [
        Input(part.name, f"{_SHOW(part.amount)}, {part.use}" if part.amount else part.use, "recipe")
        for part, _ in brew.fermentables()
    ]


def outcome_of(result: Result, say: str, inputs: list[Input], more: tuple[str, ...] = ()) -> Outcome:
    """A result as an answer, its working with it."""
    citations = tuple(cite(source) for source in result.sources)
    spread = wording.listed(
        [f"{name.replace('_', ' ')} ± {wording.quantity(width)}" for name, width in result.spread.items()]
    )
    working = Working(say, result.formula.rstrip("."), tuple(inputs), citations, spread, result.notes)
    return Outcome(say, values=dict(result.values), more=more, working=working, sources=citations)


def cite(source: str) -> str:
    """A source as it is shown: author, title, year, and how it stands."""
    entry = knowledge.sources().get(source)
    if entry is None:
        return source
    marks = {
        "memory": " (from memory)",
        "practice": " (common practice, no source)",
        "computed": " (computed)",
    }
    return ", ".join(filter(None, (entry.author, entry.title, entry.year))) + marks.get(entry.mark, "")
