"""Short answers to what is asked in the middle of a step, with the numbers of the batch."""

from __future__ import annotations

import knowledge
from assistant import wording
from assistant.handlers.troubles import number_for
from assistant.handlers.turn import Turn
from assistant.handlers.working import after_sum, cite
from assistant.numbers_here import degrees, told
from assistant.reply import Outcome
from assistant.standing import Said, Standing


def answer(entry: knowledge.Answer, turn: Turn) -> Outcome:
    """The answer, after the sum where one helps and this batch has its numbers."""
    say, inputs = told(entry.say, entry.here, turn.brew)
    number = number_for(entry.sums, Standing(turn.brew, Said()), turn)
    sources = tuple(dict.fromkeys((*(number.sources if number else ()), *(cite(source) for source in entry.source))))
    if number:
        say = f"{number.say} {say}" if entry.here or not entry.sums else number.say
    done = number.working if number else None
    working = after_sum(number, say, done.formula if done else f"what is known of {entry.id}", inputs, sources)
    more = (wording.sentence(degrees(entry.more, turn.brew)),) if entry.more else ()
    return Outcome(
        wording.sentence(say), values=number.values if number else {}, more=more, working=working, sources=sources,
        entry=f"answers/{entry.id}",
    )
