"""Every sum as one line of a table, a file a topic, and the one way they are done."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant import wording
from assistant.brew import Brew, Known, as_quantity
from assistant.engine.errors import EngineError
from assistant.handlers.sums import fermenting, hot, packing, recipe, strength, treating, whole
from assistant.handlers.sums.need import Need, Sum
from assistant.handlers.turn import Turn, asked, refused
from assistant.handlers.working import outcome_of
from assistant.reply import Input, Outcome

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
    sum_ = SUMS[turn.command.act]
    slot, further = sum_.where
    brew = turn.brew
    given: dict[str, Any] = {}
    inputs: list[Input] = []
    try:
        for need in sum_.needs + (further if slot in turn.slots else ()):
            known = _find(need, turn, brew, given)
            if known is not None:
                given[need.slot] = known.value
                inputs.append(Input(need.name, _shown(known.value), known.origin))
            elif need.question:
                return asked(need.slot, need.question)
        result = sum_.work(brew, given)
    except EngineError as error:
        return refused(str(error))
    return outcome_of(
        result,
        sum_.say(result.values, given),
        inputs + sum_.lines(brew, given),
        sum_.more(result.values, given) + sum_.lists(brew, result.values),
    )


def _find(need: Need, turn: Turn, brew: Brew, given: Mapping[str, Any]) -> Known | None:
    if need.slot in turn.slots:
        value = turn.slots[need.slot]
        return Known(as_quantity(value) if isinstance(value, list) else value, "said")
    if need.answered and turn.last_values:
        return Known(next(iter(turn.last_values.values())), "the last answer")
    return (need.follows and need.follows(brew, given)) or (need.batch and need.batch(brew)) or need.usual


def _shown(value: Any) -> str:
    return wording.quantity(value) if hasattr(value, "magnitude") else str(value)
