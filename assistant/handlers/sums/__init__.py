"""Every sum as one line of a table, a file a topic, and the one way they are done."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import count
from typing import Any

import knowledge
from assistant import wording
from assistant.brew import Brew, Known, as_quantity
from assistant.engine.errors import EngineError
from assistant.engine.result import Result
from assistant.engine.units import parse_unit
from assistant.handlers.sums import fermenting, hot, packing, recipe, strength, treating, whole
from assistant.handlers.sums.need import Need, Sum
from assistant.handlers.turn import Turn, asked, refused
from assistant.handlers.working import outcome_of
from assistant.reply import Input, Outcome
from grammar.command import Command, numbered

SUMS: dict[str, Sum] = {
    **strength.SUMS,
    **hot.SUMS,
    **recipe.SUMS,
    **whole.SUMS,
    **fermenting.SUMS,
    **packing.SUMS,
    **treating.SUMS,
}


def answer(turn: Turn) -> Outcome:
    """Do the sum of this act, or ask for the first input that nothing gives."""
    brew = turn.brew
    sum_ = SUMS[turn.command.act]
    sum_ = sum_.instead(brew, turn.slots) or sum_
    slot, further = sum_.where
    given: dict[str, Any] = {}
    inputs: list[Input] = []
    try:
        given["parts"] = _parts(sum_, turn)
        inputs += _part_lines(given["parts"])
        for need in sum_.needs + (further if slot in turn.slots else ()):
            known = _find(need, turn, brew, given)
            if known is not None:
                given[need.slot] = known.value
                inputs.append(Input(need.name, _shown(known.value), known.origin))
            elif need.question and need.asked_if(given):
                return asked(need.slot, need.question)
        result = sum_.work(brew, given)
    except EngineError as error:
        return refused(str(error))
    outcome = outcome_of(
        result,
        sum_.say(result.values, given),
        inputs + sum_.lines(brew, given),
        (*sum_.more(result.values, given), *sum_.lists(brew, result.values, given), *_between(result, sum_.ranged)),
    )
    offer = sum_.offers(brew, result.values, given)
    if offer is None:
        return outcome
    command = Command(offer.act, offer.slots, 1.0, turn.command.heard)
    return replace(outcome, more=(*outcome.more, offer.question), offer=command)


def _between(result: Result, name: str) -> tuple[str, ...]:
    """The range of a forecast time in words."""
    if name not in result.spread:
        return ()
    middle, width = (each[name].m_as("minute") for each in (result.values, result.spread))
    least, most = wording.span(max(0.0, middle - width)), wording.span(middle + width)
    return (f"Between {least} and {most}.",) if least != most else ()


def _parts(sum_: Sum, turn: Turn) -> list[dict[str, Any]]:
    """What the sentence tells of each of several things, by the slots' plain names."""
    found = []
    for part in count(1):
        told = {
            name: as_quantity(value) if isinstance(value, list) else value
            for name in sum_.parts
            if (value := turn.slots.get(numbered(name, part))) is not None
        }
        if not told:
            break
        found.append(told)
    return found


def _part_lines(parts: list[dict[str, Any]]) -> list[Input]:
    return [
        Input(f"part {place}", (" of " if "ingredient" in part else " at ").join(map(_shown, part.values())), "said")
        for place, part in enumerate(parts, 1)
    ]


def _find(need: Need, turn: Turn, brew: Brew, given: Mapping[str, Any]) -> Known | None:
    if need.slot in turn.slots:
        value = turn.slots[need.slot]
        return Known(as_quantity(value) if isinstance(value, list) else value, "said")
    told = _answered(need, turn) if need.answered and need.asked_if(given) else None
    if told is not None:
        return Known(told, "the last answer")
    return (need.follows and need.follows(brew, given)) or (need.batch and need.batch(brew)) or need.usual


def _answered(need: Need, turn: Turn) -> Any:
    """What the last answer gives for it: a name among its inputs, or of its numbers the first that suits the unit asked for."""
    if need.slot in _NAMES:
        told = turn.last_working.inputs if turn.last_working else ()
        return next((line.value.lower() for line in told if line.value.lower() in knowledge.ingredients()), None)
    values = list(turn.last_values.values())
    to = turn.slots.get("to")
    suits = [value for value in values if isinstance(to, str) and value.is_compatible_with(parse_unit(to))]
    return next(iter(suits or values), None)


_NAMES = frozenset({"ingredient"})


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return value.replace("_", " ")
    return wording.quantity(value) if hasattr(value, "magnitude") else str(value)
