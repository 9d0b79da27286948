"""Looking back: whether and when something was done, and what a reading was, by the log of the batch."""

from __future__ import annotations

from collections.abc import Iterable

import knowledge
from assistant import wording
from assistant.brew import as_quantity
from assistant.engine.units import Q, Quantity
from assistant.handlers.log import EVENT_WORDS, described, named
from assistant.handlers.turn import Turn, refused
from assistant.reply import Outcome
from assistant.session.entry import Entry
from assistant.session.model import same_name

SHOWN = 5
"""Entries told at most; the log shows the rest."""


def logged(turn: Turn) -> Outcome:
    asked_for, found = _matching(turn)
    if not found:
        return Outcome(f"No: the log of this batch holds no {asked_for}.", more=_planned(turn))
    last = found[-1]
    ago = (turn.said - last.happened).total_seconds() / 60
    say = f"{wording.sentence(described(last.act, last.slots)).rstrip('.')}, {_when(last, turn)}"
    values: dict[str, Quantity] = {"elapsed": Q(ago, "minute")}
    values |= {name: as_quantity(value) for name, value in last.slots.items() if isinstance(value, list)}
    earlier = [
        f"Before: {described(each.act, each.slots)}, {_when(each, turn)}." for each in found[-SHOWN:-1][::-1]
    ]
    return Outcome(f"{say}.", values=values, more=tuple(earlier))


def nothing_to_vary(turn: Turn) -> Outcome:
    """What changes in the last sum was put into it before; here it did not fit, or there was none."""
    return refused("I cannot tell what to work out again; ask the whole question.")


def _when(entry: Entry, turn: Turn) -> str:
    ago = (turn.said - entry.happened).total_seconds() / 60
    return f"{wording.clock(entry.happened, turn.said)}" + (
        f", {wording.span(ago)} ago" if ago >= 1 else ", just now"
    )


def _matching(turn: Turn) -> tuple[str, list[Entry]]:
    """What was asked for in words, and the entries that tell of it in the order they happened."""
    batch, slots = turn.session.bench, turn.slots
    if "kind" in slots:
        return str(slots["kind"]), batch.of(f"log_{slots['kind']}")
    if "event" in slots:
        name = str(slots["event"])
        return f'"{EVENT_WORDS[name]}"', [entry for entry in batch.events if entry.slots["event"] == name]
    wanted = str(slots["ingredient"])
    return named(wanted), [entry for entry in _went_in(turn) if _is(wanted, entry)]


def _went_in(turn: Turn) -> Iterable[Entry]:
    """Additions, and the events that are one: yeast goes in by pitching, grain by the steep."""
    return sorted([*turn.session.bench.additions, *turn.session.bench.events], key=lambda entry: entry.order)


_GOES_IN_BY = {"pitch": "yeast", "steep_start": "grain"}


def _is(wanted: str, entry: Entry) -> bool:
    known = knowledge.ingredients().get(wanted)
    if entry.act == "log_event":
        return known is not None and known.generic and known.kind == _GOES_IN_BY.get(entry.slots["event"])
    added = str(entry.slots["ingredient"])
    other = knowledge.ingredients().get(added)
    alike = known is not None and known.generic and other is not None and known.kind == other.kind
    return alike or same_name(wanted, added)


def _planned(turn: Turn) -> tuple[str, ...]:
    wanted = turn.slots.get("ingredient")
    lines = turn.session.bench.open_lines(str(wanted)) if wanted else []
    return tuple(f"The recipe has it, not reported yet: {described('plan_addition', line.slots)}." for line in lines)
