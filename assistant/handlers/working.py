"""A result of the engine as an answer that can explain itself."""

from __future__ import annotations

from collections.abc import Iterable

import knowledge
from assistant import wording
from assistant.engine.result import Result
from assistant.reply import Input, Outcome, Working


def outcome_of(result: Result, say: str, inputs: list[Input], more: tuple[str, ...] = ()) -> Outcome:
    """A result as an answer, its working with it."""
    citations = tuple(cite(source) for source in result.sources)
    spread = wording.listed(
        [f"{name.replace('_', ' ')} ± {wording.quantity(width)}" for name, width in result.spread.items()]
    ) + _doubted(result)
    working = Working(say, result.formula.rstrip("."), tuple(inputs), citations, spread, result.notes)
    return Outcome(say, values=dict(result.values), more=more, working=working, sources=citations)


NAMED = 4
"""Inputs at most that are named as what makes an answer unsure."""


def _doubted(result: Result) -> str:
    """What makes it unsure, the most first: inputs with their resolution, and the formula itself."""
    told = [
        f"{doubt.name or 'the formula itself'} ± {wording.quantity(doubt.width)}"
        for doubt in result.doubts[:NAMED]
    ]
    return f"; from {wording.listed(told)}" if told else ""


def after_sum(
    number: Outcome | None, answer: str, formula: str, inputs: Iterable[Input], sources: tuple[str, ...]
) -> Working:
    """The working of an answer that a sum may go before: what that rests on comes first."""
    done = number.working if number else None
    before = done.inputs if done else ()
    return Working(
        answer, formula, (*before, *inputs), sources, done.spread if done else "", done.notes if done else ()
    )


def cited(sources: Iterable[str]) -> tuple[str, ...]:
    """Sources as they are shown, each once."""
    return tuple(dict.fromkeys(cite(source) for source in sources))


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
    named = ", ".join(filter(None, (entry.author, entry.title, entry.year)))
    mark = marks.get(entry.mark, "")
    return named if mark.strip(" ()") == named.lower() else named + mark
