"""Knowing: words, ingredients, reasons, troubles, safety, and the working of the last answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rapidfuzz import fuzz, process

import knowledge
from assistant import wording
from assistant.acts import ACTS
from assistant.handlers import ingredients, styles
from assistant.handlers.turn import Turn, refused
from assistant.handlers.working import cite
from assistant.reply import Outcome

GRAVEST = 6
"""Rules told to whoever asks for safety at large."""

SURE_MATCH = 88.0
"""Of 100: below this a phrase is not taken for an entry. A wrong match is worse than a question."""


def find(topic: str, words: str) -> str | None:
    """The entry of a topic these words mean, or None."""
    phrases: Mapping[str, str] = knowledge.phrases(topic)
    if words in phrases:
        return phrases[words]
    hit = process.extractOne(words, list(phrases), scorer=fuzz.token_sort_ratio, score_cutoff=SURE_MATCH)
    return phrases[hit[0]] if hit else None


def _near(topic: str, words: str) -> str:
    hits = process.extract(
        words, list(knowledge.phrases(topic)), scorer=fuzz.WRatio, limit=3, score_cutoff=60
    )
    return wording.listed([hit[0] for hit in hits], "or")


def _told(entry: Any, *more: str) -> Outcome:
    sources = tuple(cite(source) for source in entry.source)
    return Outcome(wording.sentence(entry.say), more=tuple(filter(None, more)), sources=sources)


def unknown(topic: str, words: str) -> Outcome:
    near = _near(topic, words)
    return refused(f"I have nothing on {words}.", *((f"Perhaps {near}?",) if near else ()))


def define(turn: Turn) -> Outcome:
    words = str(turn.slots["topic"])
    term = words if words in knowledge.terms() else find("terms", words)
    if term:
        entry = knowledge.terms()[term]
        return _told(entry, entry.more, f"Say it: {entry.sound}." if entry.sound else "")
    ingredient = find("ingredients", words)
    if ingredient:
        return ingredients.told(knowledge.ingredients()[ingredient])
    style = find("styles", words)
    return styles.told(knowledge.styles()[style]) if style else unknown("terms", words)


def about(turn: Turn) -> Outcome:
    entry = knowledge.ingredients().get(str(turn.slots["ingredient"]))
    if entry is None:
        return unknown("ingredients", str(turn.slots["ingredient"]))
    return ingredients.told(entry)


def why(turn: Turn) -> Outcome:
    words = str(turn.slots.get("topic", ""))
    if not words:
        return _reasons(turn) or explain(turn)
    reason = words if words in knowledge.whys() else find("whys", words)
    if not reason:
        return unknown("whys", words)
    entry = knowledge.whys()[reason]
    return _told(entry, entry.more)


def _reasons(turn: Turn) -> Outcome | None:
    """Why what was told last is to be done; None where that was no advice."""
    working = turn.last_working
    if working is None or not working.reasons:
        return None
    first, *more = working.reasons
    return Outcome(first, more=tuple(more), working=working, sources=working.sources)


def troubleshoot(turn: Turn) -> Outcome:
    words = str(
        turn.slots.get("symptom")
        or (
            f"stuck at {wording.slot(turn.slots['gravity'])}"
            if "gravity" in turn.slots
            else turn.command.heard
        )
    )
    trouble = words if words in knowledge.troubles() else find("troubles", words)
    if not trouble and "gravity" in turn.slots:
        trouble = find("troubles", "stuck fermentation")
    if not trouble:
        return unknown("troubles", words)
    entry = knowledge.troubles()[trouble]
    return _told(
        entry,
        f"Do: {entry.do}",
        f"Check: {entry.check}",
        f"Likely: {'; '.join(entry.likely)}",
        f"Fine when: {entry.fine_when}",
        f"Throw it away: {entry.discard}",
    )


def safety(turn: Turn) -> Outcome:
    """The rule that was asked for, or the gravest ones; what the sentence itself calls for the conversation adds."""
    words = str(turn.slots.get("topic", ""))
    found = words if words in knowledge.cautions() else find("cautions", words) if words else None
    if found:
        rule = knowledge.cautions()[found]
        return Outcome(wording.sentence(rule.say), more=(rule.if_happened,), sources=_cited([rule]))
    if words:
        advice = "Read the label, follow local codes, and ask a licensed professional when in doubt."
        return refused(f"I have no rule on {words}.", advice)
    rules = [rule for rule in knowledge.cautions().values() if rule.grave == "danger" and not rule.hurt]
    shown = rules[:GRAVEST]
    return Outcome(
        "Hot wort, gas, pressure and chemicals are what hurts.",
        more=tuple(rule.say for rule in shown),
        sources=_cited(shown),
    )


def _cited(rules: Sequence[knowledge.Caution]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(cite(source) for rule in rules for source in rule.source))


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
