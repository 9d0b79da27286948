"""Judgements that rest on the log: cool enough to pitch, ready to bottle, one ingredient for another."""

from __future__ import annotations

from dataclasses import replace

import knowledge
from assistant import wording
from assistant.brew import Brew, Known, as_quantity, fermentable
from assistant.engine import bitterness, fermentables, yeast
from assistant.engine.errors import EngineError
from assistant.engine.fermentation import ABOVE_EXPECTED, ALIKE, DAYS_STILL, Standstill
from assistant.engine.units import Q, Quantity
from assistant.handlers import clock, sums
from assistant.handlers.log import named
from assistant.handlers.turn import Turn, asked, refused
from assistant.handlers.working import cite, outcome_of
from assistant.reply import DONE, Input, Outcome, Working

ALE_RANGE = (Q(60, "degF"), Q(72, "degF"))
"""Pitching range of ale yeast: common practice, no source; the pack decides."""


def yeast_range(brew: Brew) -> tuple[Quantity, Quantity, str]:
    """Lowest and highest temperature of the recipe's yeast, else of ale yeast, and whose they are."""
    strain = brew.yeast()
    if strain and strain.temperature:
        return Q(strain.temperature.low, "degF"), Q(strain.temperature.high, "degF"), strain.name
    return *ALE_RANGE, "ale yeast"


def pitch_temperature(turn: Turn) -> Outcome:
    brew = turn.brew
    low, high, kind = yeast_range(brew)
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
    if brew.batch.event("pitch") is None and clock.is_running(turn):
        return clock.time_left(turn)  # `is it nearly done` while it boils
    verdict, reason, inputs = readiness(brew)
    say = f"{verdict} {reason}"
    more = _forecast(turn) if verdict == "No, not yet." else ()
    working = Working(
        say,
        f"two readings at least {DAYS_STILL:.0f} days apart that agree to {ALIKE}, near the expected final gravity",
        tuple(inputs),
        (cite("common-practice"),),
    )
    return Outcome(say, more=more, working=working, sources=working.sources)


def readiness(brew: Brew) -> tuple[str, str, list[Input]]:
    """The verdict, the reason for it, and what it rests on."""
    later, still, end = brew.since_pitch(), brew.still(), brew.should_end()
    inputs = [
        Input(
            f"reading {moment:%b} {moment.day}",
            f"{reading.gravity.magnitude:.4f}",
            "logged, corrected for temperature where one was said",
        )
        for moment, reading in later[-4:]
    ]
    if still is None or len(later) < 2:
        have = f"I have {len(later)} reading{'' if len(later) == 1 else 's'} since the yeast went in"
        return "Not yet known.", f"{have}; take two, {DAYS_STILL:.0f} days apart, that agree.", inputs
    inputs.append(Input("stands still", str(still), "logged"))
    expected = end.value.m_as("sg") if end else None
    if end is not None and expected is not None:
        off = f"{abs(still.gravity - expected):.3f} {'above' if still.gravity > expected else 'below'}"
        inputs.append(Input("expected final gravity", f"about {expected:.3f}, it is {off}", end.origin))
    if not still.long_enough:
        return "No, not yet.", _moving(still, later[-2][1].gravity.m_as("sg")), inputs
    if expected is not None and still.gravity > expected + ABOVE_EXPECTED:
        return (
            "Not yet.",
            (
                f"{still.gravity:.3f} stands still but should end near {expected:.3f}; it may be stuck. "
                "Warm it a little and rouse it before you bottle."
            ),
            inputs,
        )
    return (
        "Yes.",
        f"{still.gravity:.3f} has stood still for {still.days:.0f} days"
        + (f", near the {expected:.3f} expected." if expected is not None else "."),
        inputs,
    )


def _moving(still: Standstill, before: float) -> str:
    if still.readings > 1:
        return (
            f"{still.gravity:.3f} has stood for {wording.span(still.days * 1440)}; it must for {DAYS_STILL:.0f} days. "
            "Bottling now could burst bottles."
        )
    return (
        f"{before:.3f} then {still.gravity:.3f}: it must read the same for {DAYS_STILL:.0f} days. "
        "Bottling now could burst bottles."
    )


def _forecast(turn: Turn) -> tuple[str, ...]:
    """When it will be done, as far as the readings tell."""
    told = sums.answer(replace(turn, command=replace(turn.command, act="ask_done_when", slots={})))
    return (f"Forecast: {told.say}",) if told.status == DONE else ()


def substitute(turn: Turn) -> Outcome:
    source = turn.slots.get("from")
    if not isinstance(source, str):
        return asked("from", "Instead of what?")
    entry = knowledge.ingredients().get(source)
    if isinstance(entry, knowledge.Hop):
        return _other_hop(turn, entry)
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


def _other_hop(turn: Turn, hop: knowledge.Hop) -> Outcome:
    """So much of another hop as gives the same bitterness; its kin where none was named."""
    kin = [other for name in hop.kin if isinstance(other := knowledge.ingredients().get(name), knowledge.Hop)]
    meant = knowledge.ingredients().get(str(turn.slots.get("to", "")))
    if meant is not None and not isinstance(meant, knowledge.Hop):
        return refused(f"{meant.name} is no hop; nothing else gives that bitterness.")
    other = meant or next((each for each in kin if each.alpha), None)
    alphas = (_alpha(turn.brew, hop), _alpha(turn.brew, other) if other else None)
    if other is None or alphas[0] is None or alphas[1] is None:
        named_kin = wording.listed([each.name for each in kin], "or")
        return Outcome(
            f"{named_kin} can stand in for {hop.name}; match the alpha acids."
            if kin
            else f"I know no near kin of {hop.name}."
        )
    amount = _amount(turn, hop)
    result = bitterness.swap_hops(amount.value, alphas[0].value, alphas[1].value)
    say = f"{wording.quantity(result.values['amount'])} of {other.name} for {wording.quantity(amount.value)} of {hop.name}."
    inputs = [
        Input("amount", wording.quantity(amount.value), amount.origin),
        Input(f"alpha of {hop.name}", wording.quantity(alphas[0].value), alphas[0].origin),
        Input(f"alpha of {other.name}", wording.quantity(alphas[1].value), alphas[1].origin),
    ]
    return outcome_of(result, say, inputs, _character(hop, other, kin))


def _alpha(brew: Brew, hop: knowledge.Hop) -> Known | None:
    """The alpha acids of a hop: of the recipe's own where they were said, else the usual ones."""
    said = next((line.slots for line in brew.lines() if line.name == hop.id and "alpha" in line.slots), {})
    return brew.alpha(hop, said)


def _amount(turn: Turn, hop: knowledge.Hop) -> Known:
    if "amount" in turn.slots:
        return Known(as_quantity(turn.slots["amount"]), "said")
    masses = [line.mass for line in turn.brew.lines() if line.name == hop.id and line.mass is not None]
    return Known(masses[0], "recipe") if masses else Known(Q(1, "ounce"), "default: an ounce")


def _character(hop: knowledge.Hop, other: knowledge.Hop, kin: list[knowledge.Hop]) -> tuple[str, ...]:
    """How near the two are to each other, and what else would do."""
    near = other in kin or hop.id in other.kin
    rest = wording.listed([each.name for each in kin if each is not other], "or")
    return (
        f"{other.name}: {other.say}" if near else f"{other.name} is no near kin of {hop.name}: {other.say}",
        *((f"Also like {hop.name}: {rest}.",) if rest else ()),
    )
