"""Short answers to what is asked in the middle of a step, with the numbers of the batch."""

from __future__ import annotations

import knowledge
from assistant import wording
from assistant.handlers.troubles import number_for
from assistant.handlers.turn import Turn
from assistant.handlers.working import cite
from assistant.numbers_here import degrees, told
from assistant.reply import Outcome, Working
from assistant.standing import Said, Standing


def answer(entry: knowledge.Answer, turn: Turn) -> Outcome:
    """The answer, after the sum where one helps and this batch has its numbers."""
    say, inputs = told(entry.say, entry.here, turn.brew)
    number = number_for(entry.sums, Standing(turn.brew, Said()), turn)
    sources = tuple(dict.fromkeys((*(number.sources if number else ()), *(cite(source) for source in entry.source))))
    sum_ = number.working if number else None
    if number:
        say = f"{number.say} {say}" if entry.here or not entry.sums else number.say
    working = Working(
        say,
        sum_.formula if sum_ else f"what is known of {entry.id}",
        (*(sum_.inputs if sum_ else ()), *inputs),
        sources,
        sum_.spread if sum_ else "",
        sum_.notes if sum_ else (),
    )
    more = (wording.sentence(degrees(entry.more, turn.brew)),) if entry.more else ()
    return Outcome(
        wording.sentence(say), values=number.values if number else {}, more=more, working=working, sources=sources,
        entry=f"answers/{entry.id}",
    )
