"""What went wrong and what is dangerous: the likely cause in this batch, a sum where a number helps, and the caution asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

import knowledge
from assistant import finding, wording
from assistant.brew import Known, fermentable
from assistant.engine import fermentables, gravity, packaging
from assistant.engine.errors import EngineError
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity, unit_of
from assistant.handlers import fermentation, sums
from assistant.handlers.know import ask_which, beliefs_told, find, nearest
from assistant.handlers.turn import Turn, refused
from assistant.handlers.working import after_sum, cite, cited, outcome_of
from assistant.reply import DONE, Input, Outcome, Working
from assistant.standing import Said, Standing, first_that_holds
from grammar.command import Command
from grammar.quantities import read_quantities
from grammar.words import split

GRAVEST = 6
"""Rules told to whoever asks for safety at large."""

BEFORE_FLAMEOUT = ("planning", "steeping", "heating", "boiling")
"""Stages in which wort can still be boiled down."""

_SHOW = wording.quantity

# --- Sums that a trouble may call


def _sum(result: Result, say: str, *inputs: tuple[str, Known]) -> Outcome:
    return outcome_of(result, say, [Input(name, _SHOW(known.value), known.origin) for name, known in inputs])


def _left_to_ferment(standing: Standing, turn: Turn) -> Outcome | None:
    now, first = standing.gravity(), standing.brew.likely_original()
    if now is None or first is None:
        return None
    share = standing.brew.attenuation()
    result = gravity.final_gravity(first.value, share.value)
    sg = gravity.to_sg(now.value)
    left = (sg.magnitude - result.values["gravity"].magnitude) * 1000
    end = _SHOW(result.values["gravity"])
    say = f"{left:.0f} points left: {_SHOW(sg)} now, about {end} expected." if left >= 1 else f"{_SHOW(sg)} is at its end, about {end}."
    return _sum(result, say, ("gravity now", now), ("original gravity", first), ("attenuation", share))


def _gravity_after_topping_up(standing: Standing, turn: Turn) -> Outcome | None:
    brew = standing.brew
    before, strong = brew.kettle_volume(), brew.original()
    after = standing.told("volume") or brew.volume()
    if before is None or strong is None or after is None or before.value >= after.value:
        return None
    result = gravity.topup_gravity(before.value, strong.value, after.value)
    say = f"{_SHOW(result.values['gravity'])} now, {_SHOW(before.value)} of {_SHOW(strong.value)} topped up to {_SHOW(after.value)}."
    return _sum(result, say, ("before", before), ("its gravity", strong), ("topped up to", after))


def _extract_to_add(standing: Standing, turn: Turn) -> Outcome | None:
    entry = knowledge.ingredients()["light dry malt extract"]
    assert isinstance(entry, knowledge.Fermentable)
    now = standing.told("gravity") or standing.brew.original()
    aim, volume = standing.brew.aim(), standing.brew.volume()
    if now is None or aim is None or volume is None or now.value >= aim.value:
        return None
    extract = fermentable(entry, None)
    result = fermentables.extract_for(aim.value, volume.value, extract, gravity.to_sg(now.value))
    say = f"{_SHOW(result.values['amount'])} of light dry malt extract takes {_SHOW(volume.value)} from {_SHOW(now.value)} to {_SHOW(aim.value)}."
    return _sum(result, say, ("gravity", now), ("wanted", aim), ("volume", volume))


def _water_to_add(standing: Standing, turn: Turn) -> Outcome | None:
    now = standing.told("gravity") or standing.brew.original()
    aim, volume = standing.brew.aim(), standing.brew.volume()
    if now is None or aim is None or volume is None or now.value <= aim.value:
        return None
    result = gravity.dilution(volume.value, gravity.to_sg(now.value), aim.value)
    say = f"{_SHOW(result.values['water'])} of water takes {_SHOW(volume.value)} from {_SHOW(now.value)} to {_SHOW(aim.value)}."
    return _sum(result, say, ("gravity", now), ("wanted", aim), ("volume", volume))


def _boil_it_down(standing: Standing, turn: Turn) -> Outcome | None:
    size, have = standing.brew.size(), standing.told("volume") or standing.brew.kettle_volume()
    if have is None or size is None or have.value <= size.value or standing.stage not in BEFORE_FLAMEOUT:
        return None
    rate = standing.brew.boil_off()
    over = have.value.to("gallon") - size.value.to("gallon")
    minutes = (over / rate.value).to("minute")
    say = f"{wording.span(minutes.magnitude)} of boiling takes off the {_SHOW(over)} too much."
    inputs = (
        Input("volume", _SHOW(have.value), have.origin),
        Input("wanted", _SHOW(size.value), size.origin),
        Input("boil off", _SHOW(rate.value), rate.origin),
    )
    working = Working(say, "time = volume too much / boil off", inputs, (cite("common-practice"),))
    return Outcome(say, values={"duration": minutes}, working=working, sources=working.sources)


def _heat_on_the_yeast(standing: Standing, turn: Turn) -> Outcome | None:
    known = standing.temperature()
    if known is None:
        return None
    slots = {"temperature": [float(known.value.magnitude), unit_of(known.value)]}
    return fermentation.pitch_temperature(_asking(turn, "ask_pitch_temperature", slots))


def _gas_from_the_sugar(standing: Standing, turn: Turn) -> Outcome | None:
    sugar, volume = standing.said.amount, standing.brew.volume()
    warm = standing.brew.warmest_since_done()
    if sugar is None or volume is None or warm is None:
        return None
    left = packaging.residual_co2(warm.value)
    gas = packaging.added_volumes(sugar, volume.value) + left.values["carbonation"].magnitude
    say = f"{gas:.1f} volumes of gas from {_SHOW(sugar)} of corn sugar; ordinary bottles are for about 3."
    inputs = (
        Input("sugar", _SHOW(sugar), "said; reckoned as corn sugar"),
        Input("volume", _SHOW(volume.value), volume.origin),
        Input("warmest since it was done", _SHOW(warm.value), warm.origin),
    )
    sources = tuple(cite(source) for source in (*left.sources, "periodic-table", "bottle-pressure"))
    working = Working(say, "volumes = left in the beer at its warmest + gas from the sugar / volume", inputs, sources)
    return Outcome(say, values={"carbonation": Q(gas, "volume_co2")}, working=working, sources=sources)


def _gas_still_to_come(standing: Standing, turn: Turn) -> Outcome | None:
    now, end = standing.gravity(), standing.brew.should_end()
    if now is None or end is None or gravity.to_sg(now.value) <= end.value:
        return None
    result = packaging.extra_co2(gravity.to_sg(now.value), end.value)
    say = f"{_SHOW(result.values['carbonation'])} more gas if {_SHOW(now.value)} ferments on to about {_SHOW(end.value)}."
    return _sum(result, say, ("gravity now", now), ("expected final gravity", end))


def _asking(turn: Turn, act: str, slots: Mapping[str, Any]) -> Turn:
    return replace(turn, command=Command(act, dict(slots), 1.0, turn.command.heard))


def _by_act(act: str, **from_sentence: str) -> Callable[[Standing, Turn], Outcome | None]:
    """A sum there is already, with what the sentence says of it in the slots named."""

    def call(standing: Standing, turn: Turn) -> Outcome | None:
        told = {slot: getattr(standing.said, name) for slot, name in from_sentence.items()}
        slots = {slot: [float(value.magnitude), unit_of(value)] for slot, value in told.items() if value is not None}
        outcome = sums.answer(_asking(turn, act, slots))
        return outcome if outcome.status == DONE else None

    return call


SUMS: dict[str, Callable[[Standing, Turn], Outcome | None]] = {
    "left to ferment": _left_to_ferment,
    "gravity after topping up": _gravity_after_topping_up,
    "gravity by the recipe": _by_act("ask_original_gravity", volume="volume"),
    "extract to add": _extract_to_add,
    "water to add": _water_to_add,
    "boil it down": _boil_it_down,
    "heat on the yeast": _heat_on_the_yeast,
    "sugar for the bottles": _by_act("ask_priming", temperature="temperature"),
    "gas from the sugar": _gas_from_the_sugar,
    "gas still to come": _gas_still_to_come,
    "bitterness": _by_act("ask_bitterness"),
    "age of the yeast": _by_act("ask_viability", age="duration"),
    "time to boil": _by_act("ask_heat_time", volume="volume"),
    "time to chill": _by_act("ask_chill_time"),
    "ice to chill": _by_act("ask_ice", temperature="temperature", volume="volume"),
}
"""One line for each of `knowledge.entries.TROUBLE_SUMS`."""


def number_for(sums: Sequence[str], standing: Standing, turn: Turn) -> Outcome | None:
    """The first of these sums that this batch has the numbers for."""
    for name in sums:
        try:
            outcome = SUMS[name](standing, turn)
        except EngineError:
            continue
        if outcome:
            return outcome
    return None


# --- Troubles

_SAID_AS = {"GRAVITY": "gravity", "TEMPERATURE": "temperature", "VOLUME": "volume", "MASS": "amount", "DURATION": "duration"}
"""Which number of the sentence tells what of the batch."""

_DEGREES = {"degrees": "degF"}


def said_in(words: Sequence[str]) -> Said:
    """The first number of each kind in the sentence."""
    told: dict[str, Quantity] = {}
    for reading in sorted(read_quantities(words), key=lambda reading: (reading.cost, reading.start)):
        name = _SAID_AS.get(reading.kind)
        if name and name not in told and isinstance(reading.value, tuple):
            number, unit = reading.value
            told[name] = Q(float(number), _DEGREES.get(unit, str(unit)))
    return Said(**told)


def troubleshoot(turn: Turn) -> Outcome:
    """What it likely is in this batch, and what to do; the sum first where a number helps."""
    heard = turn.command.heard
    words = str(turn.slots.get("symptom") or _stuck_at(turn) or heard)
    trouble = words if words in knowledge.troubles() else find("troubles", words)
    if not trouble and "gravity" in turn.slots:
        trouble = "stuck fermentation"
    if not trouble:
        clued = () if "symptom" in turn.slots else tuple(finding.heard_in(split(heard)))
        found = finding.match(words, finding.SLOT_OF)
        offered = (found.entry,) if found.entry else found.either
        return ask_which(clued or offered, heard) or refused(f"I have nothing on {words}.", nearest(found.nearest))
    return _told(knowledge.troubles()[trouble], Standing(turn.brew, said_in(split(heard))), turn)


def _stuck_at(turn: Turn) -> str:
    return f"stuck at {wording.slot(turn.slots['gravity'])}" if "gravity" in turn.slots else ""


def _told(entry: knowledge.Trouble, standing: Standing, turn: Turn) -> Outcome:
    number = number_for(entry.sums, standing, turn)
    holding = first_that_holds(entry.given, standing)
    row, shown = holding if holding else (None, [])
    say = wording.sentence((row.say if row else "") or entry.say)
    causes = [row.cause, *(cause for cause in entry.likely if cause != row.cause)] if row else list(entry.likely)
    belief, more_sources = beliefs_told(entry.belief)
    evidence = wording.listed([f"{given.name} {given.value}" for given in shown])
    lines = (
        f"In this batch: {evidence}." if evidence else "",
        f"Do: {entry.do}",
        f"Check: {entry.check}",
        f"Likely: {'; '.join(causes)}",
        f"Fine when: {entry.fine_when}",
        f"Throw it away: {entry.discard}",
        *belief,
    )
    answer = f"{number.say} {say}" if number else say
    sources = dict.fromkeys((
        *(number.sources if number else ()), *(cite(source) for source in entry.source), *more_sources
    ))
    working = _working(answer, entry, causes[0] if row else "", shown, number, tuple(sources))
    return Outcome(
        answer, values=number.values if number else {}, more=tuple(filter(None, lines)), working=working,
        sources=tuple(sources), entry=f"troubles/{entry.id}",
    )


def _working(
    answer: str, entry: knowledge.Trouble, first: str, shown: list[Input], number: Outcome | None, sources: tuple[str, ...]
) -> Working:
    """What put one cause first, after the working of the sum."""
    reason = f"{first!r} comes first, for this batch shows it" if first else f"what mostly stands behind {entry.id}"
    done = number.working if number else None
    return after_sum(number, answer, f"{done.formula}; {reason}" if done else reason, shown, sources)


# --- Cautions


def safety(turn: Turn) -> Outcome:
    """The rule that was asked for, or the gravest ones; what the sentence itself calls for the conversation adds."""
    words = str(turn.slots.get("topic", ""))
    found = words if words in knowledge.cautions() else find("cautions", words) if words else None
    if found:
        rule = knowledge.cautions()[found]
        return Outcome(
            wording.sentence(rule.say), more=(rule.if_happened,), sources=cited(rule.source), entry=f"cautions/{found}"
        )
    if words:
        near = finding.match(words, ("cautions",))
        advice = "Read the label, follow local codes, and ask a licensed professional when in doubt."
        return ask_which(near.either, turn.command.heard) or refused(
            f"I have no rule on {words}.", nearest(near.nearest), advice
        )
    rules = [rule for rule in knowledge.cautions().values() if rule.grave == "danger" and not rule.hurt]
    shown = rules[:GRAVEST]
    return Outcome(
        "Hot wort, gas, pressure and chemicals are what hurts.",
        more=tuple(rule.say for rule in shown),
        sources=cited(source for rule in shown for source in rule.source),
    )
