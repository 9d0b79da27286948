"""Judgements that rest on the log: cool enough to pitch, ready to bottle, one ingredient for another."""

from __future__ import annotations

import knowledge
from assistant import wording
from assistant.brew import ALIKE_READINGS, Brew, as_quantity, fermentable
from assistant.engine import fermentables, gravity, yeast
from assistant.engine.errors import EngineError
from assistant.engine.units import Q, Quantity
from assistant.handlers.log import named
from assistant.handlers.turn import Turn, asked, refused
from assistant.handlers.working import cite, outcome_of
from assistant.reply import Input, Outcome, Working

ALE_RANGE = (Q(60, "degF"), Q(72, "degF"))
"""Pitching range of ale yeast: common practice, no source; the pack decides."""

DAYS_APART = 2
"""Two equal readings this many days apart mean that the gravity stands still: common practice, no source."""

ABOVE_EXPECTED = 0.006
"""A gravity that stands still this far above where it should end is stuck rather than done."""


def pitch_temperature(turn: Turn) -> Outcome:
    brew = turn.brew
    strain = brew.yeast()
    low, high = ALE_RANGE
    kind = "ale yeast"
    if strain and strain.temperature:
        low, high, kind = Q(strain.temperature.low, "degF"), Q(strain.temperature.high, "degF"), strain.name
    result = yeast.pitch_temperature(low, high)
    limits = f"{wording.number(low.magnitude, 0)} to {wording.quantity(high)}"
    said = turn.slots.get("temperature")
    known = as_quantity(said) if isinstance(said, list) else None
    origin = "said"
    if known is None:
        logged = brew.wort_temperature()
        known, origin = (logged.value, logged.origin) if logged else (None, "")
    inputs = (
        Input(f"range of {kind}", limits, "the knowledge base; the pack decides"),
        *([Input("wort", wording.quantity(known), origin)] if known is not None else []),
    )
    if known is None:
        say = f"{limits} for {kind}; I know no wort temperature yet."
    else:
        pitched = brew.batch.event("pitch") is not None
        say = f"{_verdict(known, low, high, pitched)} {wording.quantity(known)} now, {'ferment' if pitched else 'pitch'} at {limits}."
    working = Working(
        say,
        "the wort's temperature against the yeast's own range",
        inputs,
        tuple(cite(source) for source in result.sources),
    )
    return Outcome(say, values=dict(result.values), working=working, sources=working.sources)


def _verdict(now: Quantity, low: Quantity, high: Quantity, pitched: bool) -> str:
    above, below = now.m_as("degF") - high.m_as("degF"), low.m_as("degF") - now.m_as("degF")
    if above > 0:
        return f"{above:.0f} °F too warm." if pitched else f"Not yet, {above:.0f} °F too hot."
    if below > 0:
        return f"Too cold by {below:.0f} °F; it may {'stall' if pitched else 'start late'}."
    return "In range." if pitched else "Yes, cool enough."


def ready(turn: Turn) -> Outcome:
    """Whether the gravity stands still where it should; bottling before means bursting bottles."""
    brew = turn.brew
    verdict, reason, inputs = readiness(brew)
    say = f"{verdict} {reason}"
    working = Working(
        say,
        f"two readings at least {DAYS_APART} days apart that agree to {ALIKE_READINGS}, near the expected final gravity",
        tuple(inputs),
        (cite("common-practice"),),
    )
    return Outcome(say, working=working, sources=working.sources)


def readiness(brew: Brew) -> tuple[str, str, list[Input]]:
    original = brew.original()
    first = original.value if original else None
    later = [(moment, value) for moment, value, entry in brew.readings() if first is None or value < first]
    inputs = [
        Input(
            f"reading {moment:%b} {moment.day}",
            f"{value.magnitude:.4f}",
            "logged, corrected for temperature where one was said",
        )
        for moment, value in later[-4:]
    ]
    if len(later) < 2:
        have = f"I have {len(later)} reading{'' if len(later) == 1 else 's'} since the yeast went in"
        return "Not yet known.", f"{have}; take two, {DAYS_APART} days apart, that agree.", inputs
    last_moment, last = later[-1]
    same = [moment for moment, value in later if abs(value.magnitude - last.magnitude) < ALIKE_READINGS]
    steady = (last_moment - min(same)).total_seconds() / 86400
    expected = None
    if first is not None:
        expected = gravity.final_gravity(first, brew.attenuation().value).values["gravity"].magnitude
        inputs.append(Input("expected final gravity", f"about {expected:.3f}", brew.attenuation().origin))
    if steady < DAYS_APART - 0.25:
        before = later[-2][1]
        return (
            "No, not yet.",
            (
                f"{before.magnitude:.3f} then {last.magnitude:.3f}: it must read the same for "
                f"{DAYS_APART} days. Bottling now could burst bottles."
            ),
            inputs,
        )
    if expected is not None and last.magnitude > expected + ABOVE_EXPECTED:
        return (
            "Not yet.",
            (
                f"{last.magnitude:.3f} stands still but should end near {expected:.3f}; it may be stuck. "
                "Warm it a little and rouse it before you bottle."
            ),
            inputs,
        )
    return (
        "Yes.",
        f"{last.magnitude:.3f} has stood still for {steady:.0f} days"
        + (f", near the {expected:.3f} expected." if expected is not None else "."),
        inputs,
    )


def substitute(turn: Turn) -> Outcome:
    source = turn.slots.get("from")
    if not isinstance(source, str):
        return asked("from", "Instead of what?")
    entry = knowledge.ingredients().get(source)
    if isinstance(entry, knowledge.Hop):
        kin = wording.listed([named(name) for name in entry.kin], "or")
        return Outcome(
            f"{kin} can stand in for {entry.name}; match the alpha acids."
            if kin
            else f"I know no near kin of {entry.name}."
        )
    if not isinstance(entry, knowledge.Fermentable):
        return refused(
            f"I have no numbers to swap {named(source)} by weight.",
            "I can swap extracts, sugars and grains, and name kin of hops.",
        )
    target_name = turn.slots.get("to") or (
        "liquid malt extract" if entry.form == "dry" else "dry malt extract"
    )
    target = knowledge.ingredients().get(str(target_name))
    if not isinstance(target, knowledge.Fermentable):
        return refused(f"I have no numbers for {target_name}.")
    amount = as_quantity(turn.slots["amount"]) if "amount" in turn.slots else Q(1, "pound")
    try:
        result = fermentables.substitute(amount, fermentable(entry, None), fermentable(target, None))
    except EngineError as error:
        return refused(str(error))
    say = f"{wording.quantity(result.values['amount'])} of {target.name} for {wording.quantity(amount)} of {entry.name}."
    inputs = [
        Input("amount", wording.quantity(amount), "said" if "amount" in turn.slots else "default: a pound"),
        *(
            Input(
                f"yield of {each.name}",
                f"{each.yield_points:g} points per pound per gallon",
                "the knowledge base",
            )
            for each in (entry, target)
            if each.yield_points
        ),
    ]
    return outcome_of(result, say, inputs)
