"""The recipe, the batches, the settings, and looking back."""

from __future__ import annotations

import csv
import io
import json
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

from rapidfuzz import fuzz, process

import knowledge
from assistant import wording
from assistant.brew import as_quantity
from assistant.engine import alcohol
from assistant.engine.errors import EngineError
from assistant.handlers.log import FORMS, ONCE_MORE, described, entry_line, named, recipe_text, scaled
from assistant.handlers.turn import Turn, asked, refused
from assistant.reply import ASK, REFUSED, UNCLEAR, Outcome
from assistant.session.clocks import boil_clock
from assistant.session.entry import Draft, Entry
from assistant.session.session import Session
from grammar.words import split

NEAR_NAME = 80.0
"""Of 100: how like the name of a batch a name must be spelled to be asked about."""

PLAIN = 0.9
"""From here on it is sure that a batch is meant; words that open anything at all leave it below."""

BATCH_WORDS = frozenset("batch batches brew beer".split())
"""Words with which it is sure as well."""


def addition(turn: Turn) -> Outcome:
    if "ingredient" not in turn.slots:
        return asked(
            "ingredient",
            f"{wording.slot(turn.slots['amount'])} of what?" if "amount" in turn.slots else "Add what?",
        )
    fact = knowledge.ingredients().get(turn.slots["ingredient"])
    if isinstance(fact, knowledge.Fermentable) and fact.generic and fact.kind == "extract" and not FORMS.intersection(fact.id.split()):
        return asked("ingredient", "Dry or liquid?")
    if "amount" not in turn.slots:
        return asked("amount", f"How much {named(turn.slots['ingredient'])}?")
    if _is_planned(turn) and ONCE_MORE.isdisjoint(split(turn.command.heard)):
        line = described("plan_addition", turn.slots)
        return refused(f"{line} is in the recipe already.", f'To have it twice, say "another {line}".')
    entry = turn.record()
    return Outcome(
        f"{described(entry.act, entry.slots)} is in the recipe.",
        values={"amount": as_quantity(entry.slots["amount"])},
    )


def _is_planned(turn: Turn) -> bool:
    """Whether the recipe has the very same line, not yet made: it is told over more often than wanted twice."""
    told = {name: value for name, value in turn.slots.items() if name != "when"}
    return any(line.slots == told for line in turn.session.bench.plan if line.made is None)


def remove(turn: Turn) -> Outcome:
    name = turn.slots["ingredient"]
    lines = turn.session.bench.open_lines(name)
    if not lines:
        held = wording.listed(
            [named(line.ingredient or "") for line in turn.session.bench.plan if line.made is None]
        )
        return refused(
            f"{named(name)} is not in the recipe.", f"It has {held}." if held else "It is empty so far."
        )
    times = {line.boil_left for line in lines}
    if len(times) > 1 and "boil_left" not in turn.slots:
        when = wording.listed(
            [
                described("plan_addition", {"boil_left": [left or 0, "minute"]}).strip()
                for left in sorted(times, key=lambda t: t or 0)
            ],
            "or",
        )
        return asked("boil_left", f"Which {named(name)}: {when}?")
    turn.record()
    return Outcome(f"{named(name)} is out of the recipe.")


def write_scaled(turn: Turn) -> Outcome:
    """Put the recipe in its new size in the log, all or nothing: each line in the place of the old one, then the size."""
    batch, factor, size = turn.session.bench, turn.slots["factor"][0], turn.slots["final_volume"]
    if recipe_text(batch) != turn.slots["recipe"] or batch.additions:
        return refused("The recipe is no longer the one that was scaled.", "Ask for the new size again.")

    def draft(act: str, slots: dict[str, Any], refers: int | None = None) -> Draft:
        return Draft(act=act, slots=slots, heard=turn.command.heard, happened=turn.said, said=turn.said, refers=refers)

    lines = [
        draft("plan_addition", {**line.slots, "amount": scaled(line.amount, factor)}, line.id)
        for line in batch.plan
    ]
    turn.session.record_many([*lines, draft("set", {"volume": size})])
    return Outcome(
        f"{len(lines)} line{'' if len(lines) == 1 else 's'} and the batch size are scaled to {wording.slot(size)}.",
        more=("Undo takes all of it back.",),
    )


def new_batch(turn: Turn) -> Outcome:
    """Begin one; a batch in hand that was only planned is meant by who begins to brew without naming another."""
    batch, name = turn.session.bench, turn.slots.get("name")
    same = name is not None and str(batch.name).casefold() == str(name).casefold()
    planned = batch.stage == "planning" and bool(batch.plan)
    if planned and (same or not {"name", "style", "volume"}.intersection(turn.slots)) and ONCE_MORE.isdisjoint(split(turn.command.heard)):
        called = str(batch.name).title() if batch.name else "the recipe in hand"
        return refused(f"You are at {called}, and go on with it.", "To begin one beside it, say its name: new batch called Winter Porter.")
    entry = turn.record()
    name = str(entry.slots.get("name", "")).title() or "without a name"
    size = f", {wording.slot(entry.slots['volume'])}" if "volume" in entry.slots else ""
    return Outcome(f"New batch {name}{size}.", more=() if size else ("Say its size: five gallons.",))


def use_batch(turn: Turn) -> Outcome:
    batch = turn.session.find_batch(str(turn.slots["name"]))
    if batch is None:
        return no_such_batch(turn)
    turn.record({"name": batch.name or ""} if batch.name else {}, batch=batch.id)
    return Outcome(f"Now at {str(batch.name or 'the batch without a name').title()}, {batch.stage}.")


def no_such_batch(turn: Turn) -> Outcome:
    """The answer where no batch has the name that was said: the nearest of those there are, else all of them.

    What opens a batch (`use`, `open`, `go to`) may mean anything else, so without such a batch it is no more than unclear.
    """
    near = near_batches(turn.session, str(turn.slots["name"]))
    if near:
        choices = tuple(replace(turn.command, slots={**turn.slots, "name": name}, sure=1.0) for name in near)
        return Outcome(f"Do you mean {wording.listed([name.title() for name in near], 'or')}?", ASK, choices=choices)
    plain = turn.command.act != "use_batch" or turn.command.sure >= PLAIN or BATCH_WORDS.intersection(split(turn.command.heard))
    names = wording.listed([str(each.name).title() for each in turn.session.journal.batches if each.name])
    return Outcome(
        f"There is no batch called {str(turn.slots['name']).removeprefix('the ')}.",
        REFUSED if plain else UNCLEAR,
        more=(f"There is {names}." if names else "There are none yet.",),
    )


def near_batches(session: Session, name: str) -> list[str]:
    """Names of batches that are spelled nearly like this, the nearest first."""
    names = {str(batch.name).casefold() for batch in session.journal.batches if batch.name}
    return [found for found, *_ in process.extract(name.casefold(), sorted(names), scorer=fuzz.ratio, score_cutoff=NEAR_NAME)]


def list_batches(turn: Turn) -> Outcome:
    batches = turn.session.journal.batches
    if not batches:
        return Outcome("No batches yet.", more=("Say: new batch called Harvest Amber, 5 gallons.",))
    lines = tuple(
        f"{str(batch.name or 'without a name').title()}: {batch.stage}"
        + (f", {wording.slot(batch.volume)}" if batch.volume else "")
        for batch in batches
    )
    return Outcome(f"{len(batches)} batch{'es' if len(batches) > 1 else ''}.", more=lines)


def set_(turn: Turn) -> Outcome:
    entry = turn.record()
    return Outcome(
        f"{wording.sentence(described('set', entry.slots)).rstrip('.')}, set.",
        values={name: as_quantity(value) for name, value in entry.slots.items() if isinstance(value, list)},
    )


def show_log(turn: Turn) -> Outcome:
    entries = turn.session.bench.entries
    if not entries:
        return Outcome("The log is empty.")
    return Outcome(f"{len(entries)} entries.", more=tuple(entry_line(entry, turn) for entry in entries))


def summary(turn: Turn) -> Outcome:
    batch, brew = turn.session.bench, turn.brew
    name = str(batch.name or "This batch").title()
    size = f", {wording.slot(batch.volume)}" if batch.volume else ""
    more = []
    if batch.plan:
        more.append(f"Recipe: {recipe_text(batch)}.")
    original, current = brew.original(), brew.current()
    values: dict[str, Any] = {}
    if original:
        values["original"] = original.value
        more.append(f"Original gravity {wording.quantity(original.value)}.")
    if original and current:
        values["gravity"] = current.value
        try:
            values["abv"] = alcohol.abv(original.value, current.value).values["abv"]
            more.append(f"Now {wording.quantity(current.value)}, {wording.quantity(values['abv'])} alcohol.")
        except EngineError:
            more.append(f"Now {wording.quantity(current.value)}.")
    warmth = brew.temperature()
    if warmth:
        more.append(f"Last temperature {wording.quantity(warmth.value)}, {warmth.origin}.")
    boil = boil_clock(batch, turn.said)
    if boil and boil.ended is None:
        more.append(f"Boil: {wording.span(boil.left)} left{', paused' if boil.paused else ''}.")
    if batch.events:
        last = batch.events[-1]
        ago = (turn.said - last.happened).total_seconds() / 60
        more.append(f"Last step: {described('log_event', last.slots)}, {wording.span(ago)} ago.")
    return Outcome(f"{name}{size}: {batch.stage}.", values=values, more=tuple(more))


def export(turn: Turn) -> Outcome:
    """Write the batch to a file in the working folder of the log, never over another one."""
    writers = {"json": _as_json, "csv": _as_csv, "text": _as_text}
    form = str(turn.slots.get("format", "csv"))
    batch = turn.session.bench
    stem = (
        "".join(c if c.isalnum() else "-" for c in str(batch.name or "batch").lower()).strip("-") or "batch"
    )
    folder = Path(turn.session.log.path).parent
    text = writers[form](batch.entries, turn)
    for number in range(1, 1000):
        path = folder / f"{stem}{'' if number == 1 else f'-{number}'}.{'txt' if form == 'text' else form}"
        try:
            with open(path, "x", encoding="utf-8", newline="") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            return Outcome(f"{len(batch.entries)} entries written to {path.name}.", more=(str(path),))
        except FileExistsError:
            continue
        except OSError as error:
            return refused(f"The file could not be written: {error.strerror}.", "The log itself is safe.")
    return refused("There are a thousand exports of that name already.", "Move some away.")


def _row(entry: Entry) -> dict[str, Any]:
    return {
        "happened": entry.happened.isoformat(),
        "said": entry.said.isoformat(),
        "act": entry.act,
        "slots": entry.slots,
        "heard": entry.heard,
    }


def _as_json(entries: list[Entry], turn: Turn) -> str:
    return json.dumps([_row(entry) for entry in entries], ensure_ascii=False, indent=2) + "\n"


def _as_csv(entries: list[Entry], turn: Turn) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, ["happened", "said", "act", "slots", "heard"], lineterminator="\n")
    writer.writeheader()
    writer.writerows(
        {**_row(entry), "slots": json.dumps(entry.slots, ensure_ascii=False)} for entry in entries
    )
    return out.getvalue()


def _as_text(entries: list[Entry], turn: Turn) -> str:
    return "".join(f"{entry_line(entry, turn)}\n" for entry in entries)
