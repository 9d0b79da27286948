"""Knowing: words, ingredients, reasons, folklore, and the working of the last answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import knowledge
from assistant import finding, questions, wording
from assistant.acts import ACTS
from assistant.handlers import ingredients, styles
from assistant.handlers.turn import Turn, refused
from assistant.handlers.working import cite
from assistant.reply import Outcome, Working
from grammar.words import split


def find(topic: str, words: str) -> str | None:
    """The entry of a topic these words mean, or None where none or more than one may be meant."""
    entry = finding.match(words, (topic,)).entry
    return entry.id if entry else None


def _told(topic: str, entry: Any, *more: str) -> Outcome:
    sources = tuple(cite(source) for source in entry.source)
    return Outcome(wording.sentence(entry.say), more=tuple(filter(None, more)), sources=sources, entry=f"{topic}/{entry.id}")


def unknown(topic: str, words: str) -> Outcome:
    """Where two are near, the question which is meant; else the nearest there are."""
    found = finding.match(words, (topic, *finding.SLOT_OF))
    offered = (found.entry,) if found.entry else found.either
    return ask_which(offered, words) or refused(f"I have nothing on {words}.", nearest(found.nearest))


def ask_which(entries: Sequence[finding.Entry], heard: str) -> Outcome | None:
    """The question which of these is meant; None where there are none."""
    choices = tuple(entry.command(heard) for entry in entries)
    return Outcome(questions.which(choices), "ask", choices=choices) if choices else None


def nearest(entries: Sequence[finding.Entry]) -> str:
    return f"Nearest: {wording.listed([entry.id for entry in entries], 'or')}." if entries else ""


def beliefs_told(belief: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is often said of a matter and what is now known, as lines, and the sources; nothing without a belief."""
    if not belief:
        return (), ()
    entry = knowledge.beliefs()[belief]
    return (f"It is often said that {entry.believed}. {entry.say}",), tuple(cite(source) for source in entry.source)


def define(turn: Turn) -> Outcome:
    words = str(turn.slots["topic"])
    term = words if words in knowledge.terms() else find("terms", words)
    if term:
        entry = knowledge.terms()[term]
        return _told("terms", entry, entry.more, f"Say it: {entry.sound}." if entry.sound else "")
    ingredient = find("ingredients", words)
    if ingredient:
        return ingredients.told(knowledge.ingredients()[ingredient])
    style = find("styles", words)
    return styles.told(knowledge.styles()[style]) if style else unknown("terms", words)


def about(turn: Turn) -> Outcome:
    if "purpose" in turn.slots:
        return ingredients.recommended(turn.slots["kind"], turn.slots["purpose"])
    entry = knowledge.ingredients().get(str(turn.slots["ingredient"]))
    if entry is None:
        return unknown("ingredients", str(turn.slots["ingredient"]))
    return ingredients.told(entry)


def why(turn: Turn) -> Outcome:
    words = str(turn.slots.get("topic", ""))
    if not words:
        return _reasons(turn) or explain(turn)
    if words in knowledge.beliefs():
        return belief(turn)
    reason = words if words in knowledge.whys() else find("whys", words)
    if not reason:
        return unknown("whys", words)
    entry = knowledge.whys()[reason]
    held = next((belief.id for belief in knowledge.beliefs().values() if reason in belief.whys), "")
    lines, sources = beliefs_told(held)
    outcome = _told("whys", entry, entry.more, *lines)
    return replace(outcome, sources=(*outcome.sources, *sources))


def belief(turn: Turn) -> Outcome:
    words = str(turn.slots.get("topic", turn.command.heard))
    told = words if words in knowledge.beliefs() else find("beliefs", words)
    if not told:
        return ask_which(finding.heard_in(split(turn.command.heard)), words) or unknown("beliefs", words)
    entry = knowledge.beliefs()[told]
    outcome = _told("beliefs", entry, entry.more, f"What is often said: {entry.believed}.")
    working = Working(entry.say, f"what is now known, against what is often said: {entry.believed}", sources=outcome.sources)
    return replace(outcome, working=working)


def _reasons(turn: Turn) -> Outcome | None:
    """Why what was told last is to be done; None where that was no advice."""
    working = turn.last_working
    if working is None or not working.reasons:
        return None
    first, *more = working.reasons
    return Outcome(first, more=tuple(more), working=working, sources=working.sources)


def explain(turn: Turn) -> Outcome:
    if turn.last_working is None:
        return Outcome(
            "There is no answer yet to explain.", more=("Ask for a sum first: how strong is my beer.",)
        )
    first, *rest = turn.last_working.lines()
    return Outcome(first, more=tuple(rest), working=turn.last_working, sources=turn.last_working.sources)


def again(turn: Turn) -> Outcome:
    return Outcome(turn.last_reply) if turn.last_reply else Outcome("I have not said anything yet.")


def help_(turn: Turn) -> Outcome:
    lines = [
        f"{act.example}"
        for name, act in ACTS.items()
        if name
        in (
            "log_gravity",
            "log_addition",
            "plan_addition",
            "new_batch",
            "start_timer",
            "whats_next",
            "ask_mix_temperature",
            "ask_correct_reading",
            "ask_abv",
            "ask_priming",
            "ask_ready",
            "what_now",
            "troubleshoot",
            "undo",
        )
    ]
    return Outcome("Tell me what happens, or ask. For instance:", more=tuple(f"  {line}" for line in lines))
