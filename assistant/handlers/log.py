"""What happened: put it in the log, say what was put there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil
from typing import Any

import knowledge
from assistant import wording
from assistant.brew import as_quantity
from assistant.engine import gravity as gravities
from assistant.engine.errors import EngineError
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity
from assistant.handlers.turn import Turn, asked, refused
from assistant.handlers.working import outcome_of
from assistant.reply import Input, Outcome
from assistant.session.clocks import BoilClock, boil_clock
from assistant.session.entry import Entry
from assistant.session.model import Batch, PlanLine, same_name
from assistant.session.stages import ANYWHERE
from grammar.words import split

EVENT_WORDS = {
    "burner_lit": "burner lit",
    "steep_start": "grain in, steep begun",
    "steep_end": "grain out, steep over",
    "boil_start": "boil on",
    "flameout": "flame out",
    "chill_start": "chilling begun",
    "aerate": "wort aerated",
    "pitch": "yeast pitched",
    "seal": "fermenter closed",
    "airlock_active": "airlock bubbling",
    "transfer": "racked",
    "bottle": "bottled",
    "keg": "kegged",
}


def gravity(turn: Turn) -> Outcome:
    entry = turn.record()
    say = f"{described(entry.act, entry.slots)} logged."
    reading = as_quantity(entry.slots["gravity"])
    if reading.units == Q(1, "brix").units:
        return _by_refractometer(turn, entry, say)
    if "temperature" not in entry.slots:
        first = sum("temperature" not in each.slots for each in turn.session.bench.gravities) == 1
        return Outcome(
            say,
            values={"gravity": reading},
            more=("Say the sample's temperature too and I correct for it.",) if first else (),
        )
    warmth, mark = as_quantity(entry.slots["temperature"]), turn.brew.calibration(entry.slots["gravity"][1])
    try:
        result = gravities.correct_reading(gravities.to_sg(reading), warmth, mark.value)
    except EngineError as error:
        return Outcome(say, values={"gravity": reading}, more=(str(error),))
    inputs = [
        Input("reading", wording.quantity(reading), "said"),
        Input("sample temperature", wording.quantity(warmth), "said"),
        Input("hydrometer marked for", wording.quantity(mark.value), mark.origin),
    ]
    corrected = f"Corrected for temperature: {wording.quantity(result.values['gravity'])}."
    return _behind(say, reading, result, corrected, inputs)


def _by_refractometer(turn: Turn, entry: Entry, say: str) -> Outcome:
    """A reading in Brix, logged, and the gravity behind it."""
    reading, brew = as_quantity(entry.slots["gravity"]), turn.brew
    result = brew.behind_refractometer(entry)
    if result is None:
        return Outcome(say, values={"gravity": reading})
    told = f"Gravity by refractometer: {wording.quantity(result.values['gravity'])}."
    correction = brew.refractometer_correction()
    original = brew.original() if brew.batch.event("pitch") else None
    inputs = [
        Input("reading", wording.quantity(reading), "said"),
        Input("wort correction", wording.quantity(correction.value), correction.origin),
        *([Input("original gravity", wording.quantity(original.value), original.origin)] if original else []),
    ]
    return _behind(say, reading, result, told, inputs)


def _behind(say: str, reading: Quantity, result: Result, told: str, inputs: list[Input]) -> Outcome:
    """A reading logged, and the gravity behind it."""
    values = {"gravity": reading, "corrected": result.values["gravity"]}
    return replace(outcome_of(result, told, inputs), say=say, values=values, more=(told,))


def plain(turn: Turn) -> Outcome:
    """A temperature, a volume, a note."""
    entry = turn.record()
    values = {name: as_quantity(value) for name, value in entry.slots.items() if isinstance(value, list)}
    slip = _slip("The batch is", turn.session.bench.volume, entry.slots.get("volume"))
    return Outcome(f"{described(entry.act, entry.slots)} logged{_when(turn)}.", values=values, more=slip)


def _slip(of: str, planned: Any, said: Any) -> tuple[str, ...]:
    """A line where the number is the planned one in another unit: most likely the wrong word was said."""
    if not (isinstance(planned, list) and isinstance(said, list) and planned[0] == said[0] and planned[1] != said[1]):
        return ()
    return (f'{of} {wording.slot(planned)}; if it was that, say "no, {_units(planned[1])}".',)


def _units(unit: str) -> str:
    return unit.replace("_", " ") + "s"


def addition(turn: Turn) -> Outcome:
    early = _too_early(turn)
    if early:
        return early
    planned = [line for line in turn.session.bench.plan if line.made is None]
    slots = dict(turn.slots)
    known = knowledge.ingredients()
    fact = known.get(slots["ingredient"])
    if fact is not None and fact.generic:
        told = slots.get("amount")
        as_planned = [line for line in planned if not told or _as_much(line.amount, told)]
        then = [line for line in as_planned if "boil_left" in slots and line.slots.get("boil_left") == slots["boil_left"]]
        names = dict.fromkeys(line.ingredient for line in then or _due_now(turn, as_planned) or as_planned if line.ingredient)
        of_kind = [name for name in names if name in known and known[name].kind == fact.kind]
        over = None if of_kind else _told_before(turn, fact)
        if over:
            return over
        # The dry extract is the one that is dry, where the recipe has one of each.
        meant = [name for name in of_kind if same_name(name, fact.id)] or of_kind
        if len(meant) > 1:
            which = asked("ingredient", f"Which: {wording.listed([named(name) for name in meant], 'or')}?")
            each = (replace(turn.command, slots={**slots, "ingredient": name}, sure=1.0) for name in meant)
            return replace(which, choices=tuple(each))
        slots |= {"ingredient": meant[0]} if meant else {}
    if "amount" not in slots:
        match = next(iter(turn.session.bench.open_lines(slots["ingredient"])), None)
        entry = turn.record(slots)
        amount = (
            f" The recipe says {wording.slot(match.amount)}; say how much if it was not that."
            if match
            else ""
        )
        return Outcome(f"{described(entry.act, entry.slots)} logged{_when(turn)}.{amount}", more=_flame_out(turn, slots))
    entry = turn.record(slots)
    made = [line for line in turn.session.bench.plan if line.made == entry.id]
    more: list[str] = []
    if made and made[0].amount != slots["amount"]:
        planned_amount = made[0].amount
        more += _slip("The recipe said", planned_amount, slots["amount"]) or [f"The recipe said {wording.slot(planned_amount)}."]
    elif planned and not made:
        more.append("That was not in the recipe.")
    more += _flame_out(turn, slots)
    return Outcome(
        f"{described(entry.act, entry.slots)} logged{_when(turn)}.",
        values={"amount": as_quantity(slots["amount"])},
        more=tuple(more),
    )


def _too_early(turn: Turn) -> Outcome | None:
    """What was told as in, with less of the boil left than there is: it is to go in then, or the minutes are others."""
    boil, told = _boiling(turn), turn.slots.get("boil_left")
    if boil is None or not isinstance(told, list) or "when" in turn.slots:
        return None
    told_minutes = as_quantity(told).m_as("minute")
    if told == AT_FLAMEOUT or boil.left - told_minutes <= SOONER:
        return None
    name = named(str(turn.slots["ingredient"]))
    return refused(
        f"There are {wording.span(boil.left)} of boil left, not {wording.span(told_minutes)}.",
        f'If it is in, say "added {name}"; to have it called then, "add {name} at {told_minutes:g} minutes".',
    )


SOONER = 10.0
"""Minutes of the boil by which nobody misses the clock."""

NEAR_DUE = 5.0
"""Minutes around its time in which an addition is the one meant."""


def _due_now(turn: Turn, planned: Sequence[PlanLine]) -> list[PlanLine]:
    """Of the recipe's lines those whose time in the boil is now."""
    boil = _boiling(turn)
    return [] if boil is None else [line for line in planned if line.boil_left is not None and abs(line.boil_left - boil.left) <= NEAR_DUE]


def _told_before(turn: Turn, fact: knowledge.Ingredient) -> Outcome | None:
    """The answer where all of that kind in the recipe was told to be in already, and nothing says that more went in."""
    known, bench = knowledge.ingredients(), turn.session.bench
    made = {line.made for line in bench.plan}
    of_kind = [
        entry for entry in bench.additions
        if entry.id in made and str(entry.slots["ingredient"]) in known and known[str(entry.slots["ingredient"])].kind == fact.kind
    ]
    if not of_kind or not ONCE_MORE.isdisjoint(split(turn.command.heard)):
        return None
    last = of_kind[-1]
    return _in_the_log(named(str(last.slots["ingredient"])), last, turn, 'If more went in, say "another" with it.')


def _in_the_log(what: str, entry: Entry, turn: Turn, *more: str) -> Outcome:
    """The answer to what was told over."""
    return Outcome(f"{what}: that is in the log already, at {wording.clock(entry.happened, turn.said)}.", more=more)


def _boiling(turn: Turn) -> BoilClock | None:
    """The clock of the boil, as long as nobody said that it is over."""
    boil = boil_clock(turn.session.bench, turn.said)
    return boil if boil and boil.ended is None else None


def _flame_out(turn: Turn, slots: dict[str, Any]) -> tuple[str, ...]:
    """Log that the flame went out where something went in at flameout and nobody said so; the line that tells it."""
    if slots.get("boil_left") != AT_FLAMEOUT or _boiling(turn) is None:
        return ()
    turn.record({"event": "flameout"}, act="log_event")
    return (f"{wording.sentence(EVENT_WORDS['flameout']).rstrip('.')}, logged with it.",)


AT_FLAMEOUT = [0.0, "minute"]


def _as_much(one: Any, other: Any) -> bool:
    """Whether two amounts are the same: `12 oz` is `0.75 lb`."""
    first, second = as_quantity(one), as_quantity(other)
    return bool(first.is_compatible_with(second) and abs(first.m_as(second.units) / second.magnitude - 1) < NO_ODDS)


NO_ODDS = 1e-3
"""The share by which the same amount told in other units may differ."""


def event(turn: Turn) -> Outcome:
    name = str(turn.slots["event"])
    boil = boil_clock(turn.session.bench, turn.said)
    if name == "boil_start" and "when" not in turn.slots and boil and boil.ended is None and not boil.paused:
        return Outcome(f"The boil is on already; {wording.span(boil.left)} left.")
    if name == "flameout" and turn.session.bench.event("boil_start") is None:
        turn.record({"text": "flame off before the boil"}, act="note")
        return Outcome("Flame off, noted; the boil has not begun.")
    before = next((event for event in reversed(turn.session.bench.events) if event.slots["event"] not in ANYWHERE), None)
    told_over = before is not None and before.slots["event"] == name and name in ONCE
    if before is not None and told_over and "when" not in turn.slots and ONCE_MORE.isdisjoint(split(turn.command.heard)):
        return _in_the_log(wording.sentence(EVENT_WORDS[name]).rstrip("."), before, turn)
    turn.record()
    say = f"{wording.sentence(described('log_event', turn.slots)).rstrip('.')}, logged{_when(turn)}."
    if name == "flameout":
        return Outcome(say, more=_not_in_yet(turn))
    if name == "boil_start":
        return _boil_started(turn, say)
    waits = name == "burner_lit" and boil and boil.paused
    return Outcome(say, more=("The boil's clock stands still: say resume when it boils.",) if waits else ())


ONCE = frozenset({"steep_start", "steep_end", "flameout", "bottle", "keg"})
"""Events that do not happen twice in a row: told again they are only told over."""

ONCE_MORE = frozenset("another again more second extra also twice rest other".split())
"""Words with which something happens or is wanted once more."""


def _not_in_yet(turn: Turn) -> tuple[str, ...]:
    """What was to go into the boil and was not told to have gone in."""
    missing = [line for line in turn.session.bench.plan if line.made is None and line.boil_left]
    names = wording.listed([described("plan_addition", line.slots) for line in missing])
    return (f"Not logged yet: {names}.",) if missing else ()


def _boil_started(turn: Turn, say: str) -> Outcome:
    clock = boil_clock(turn.session.bench, turn.said)
    if clock is None:
        return Outcome(say)
    source = {"set": "as you set it", "plan": "by the recipe's longest addition", "usual": "the usual hour"}[
        clock.length_from
    ]
    end = f" until {wording.clock(clock.ends_at, turn.said)}" if clock.ends_at else ""
    return Outcome(
        f"{say} {wording.span(clock.left)} to go{end}.",
        more=(f"A boil of {wording.span(clock.length)}, {source}.",),
    )


_CORRECTS: dict[str, dict[str, tuple[str, ...]]] = {
    "log_gravity": {"gravity": ("gravity",), "temperature": ("temperature",), "value": ("gravity",)},
    "log_temperature": {"temperature": ("temperature",), "value": ("temperature",)},
    "log_event": {"amount": ("count",), "value": ("count",)},
    "log_volume": {"volume": ("volume",), "value": ("volume",)},
    "log_addition": {
        "amount": ("amount",),
        "volume": ("amount",),
        "ingredient": ("ingredient",),
        "value": ("amount",),
        "duration": ("boil_left",),
    },
    "plan_addition": {
        "amount": ("amount",),
        "volume": ("amount",),
        "ingredient": ("ingredient",),
        "duration": ("boil_left",),
        "value": ("amount",),
    },
    "start_timer": {"duration": ("duration",), "value": ("duration",)},
    "set": {
        name: ("volume", "boil_off", "boil_length", "altitude", "hydrometer_calibration")
        for name in ("volume", "duration", "temperature", "value")
    },
    "new_batch": {"volume": ("volume",), "name": ("name",), "style": ("style",)},
}
"""For each act, which slot of the entry what was said may put right."""


def correct(turn: Turn) -> Outcome:
    last = turn.session.last_entry()
    if "name" in turn.slots and turn.session.batch:
        last = turn.session.journal.live[turn.session.batch.id]
    if last is None:
        return refused("There is nothing logged yet to correct.")
    changes: dict[str, Any] = {}
    for said, value in turn.slots.items():
        if said == "when":
            changes["when"] = value
            continue
        if said == "unit":
            value = _in_unit(last, value)
            if value is None:
                return _does_not_fit(last, f"{Q(1, turn.slots[said]).units:~P}")
            changes |= value
            continue
        targets = [
            name
            for name in _CORRECTS.get(last.act, {}).get(said, ())
            if name in last.slots or last.act != "set"
        ]
        if not targets:
            return _does_not_fit(last, value)
        target = targets[0]
        old = last.slots.get(target)
        if isinstance(value, list) and value[1] == "":
            if not isinstance(old, list):
                return refused(f"{wording.slot(value)} of what? Say it with its unit.")
            value = [value[0], old[1]]
            if not 1 / FAR_OFF < value[0] / (old[0] or 1.0) < FAR_OFF:
                return refused(f"{wording.slot(value)} instead of {wording.slot(old)}?", "If so, say it with its unit.")
        if target == "count" and (not isinstance(old, list) or value[1] != old[1]):
            return _does_not_fit(last, value)
        changes[target] = value
    entry = turn.record(changes, refers=last.id)
    after = turn.session.journal.live[last.id]
    return Outcome(
        f"Corrected: {described(after.act, after.slots)}, instead of {described(last.act, last.slots)}.",
        values={name: as_quantity(value) for name, value in entry.slots.items() if isinstance(value, list)},
    )


FAR_OFF = 3.0
"""How many times more or less a number alone may be than the one it corrects: `no, 44` is no correction of 4.75 gallons."""


def _does_not_fit(last: Entry, value: Any) -> Outcome:
    return refused(
        f"The last entry is {described(last.act, last.slots)}; {wording.slot(value)} does not fit it.",
        "Say undo to take it back.",
    )


def _in_unit(last: Entry, unit: str) -> dict[str, Any] | None:
    """The number of the entry that may be in this unit, in it; None where none may, as of a time: `sorry, one second`."""
    of_kind = Q(1, unit).dimensionality
    if of_kind == Q(1, "minute").dimensionality:
        return None
    return next(
        (
            {name: [value[0], unit]}
            for name, value in last.slots.items()
            if isinstance(value, list) and Q(1, value[1]).dimensionality == of_kind
        ),
        None,
    )


_READ = ("log_gravity", "log_temperature", "log_volume", "correct_last")
SPOKEN_OF = {
    **dict.fromkeys(("reading", "readings", "measurement"), _READ),
    "gravity": ("log_gravity", "correct_last"), "temperature": ("log_temperature", "log_gravity", "correct_last"),
    "temp": ("log_temperature", "log_gravity", "correct_last"), "volume": ("log_volume", "set", "correct_last"), "timer": ("start_timer",),
    "addition": ("log_addition", "plan_addition", "correct_last"), "note": ("note",),
}
"""The acts that a word tells of which is to be taken back."""


def undo(turn: Turn) -> Outcome:
    told = turn.session.last_told()
    if not told:
        return refused("There is nothing in the log to take back.")
    kinds = {act for word in split(turn.command.heard) for act in SPOKEN_OF.get(word, ())}
    if kinds and kinds.isdisjoint(entry.act for entry in told):
        return refused(f"The last entry is {_all_described(told)}.", "Say undo to take that back; say undo again for the one before.")
    turn.take_back(told)
    return Outcome(
        f"Taken back: {_all_described(told)}.",
        more=("It stays in the log as taken back; redo brings it back.",),
    )


def redo(turn: Turn) -> Outcome:
    undone = turn.session.last_undone()
    if not undone:
        return refused("Nothing was taken back.")
    turn.take_back(undone)
    live = turn.session.journal.live
    return Outcome(
        f"Back in the log: {_all_described([live[entry.refers] for entry in undone if entry.refers in live])}."
    )


def _all_described(entries: Sequence[Entry]) -> str:
    return wording.listed([described(entry.act, entry.slots) for entry in entries])


FORMS = frozenset({"dry", "liquid"})
"""Those malt extract comes in."""

LIQUIDS = frozenset("water wort beer liquid runnings".split())
"""The last word of what a volume is of, and not in."""


def described(act: str, slots: dict[str, Any]) -> str:
    """An entry in words: `1.052 at 70 °F`, `1 oz Willamette`, `boil on`."""
    shown = {name: wording.slot(value) for name, value in slots.items()}
    if act == "log_gravity":
        return shown["gravity"] + (f" at {shown['temperature']}" if "temperature" in shown else "")
    if act in ("log_temperature", "log_volume"):
        value = shown.get("temperature") or shown["volume"]
        tied = "" if act == "log_temperature" else "of " if str(slots.get("of")).split()[-1] in LIQUIDS else "in the "
        return value + (f" {tied}{shown['of']}" if "of" in shown else "")
    if act in ("log_addition", "plan_addition", "remove_addition"):
        name = named(str(slots.get("ingredient", "")))
        left = f" at {shown['boil_left']}" if "boil_left" in shown else ""
        left = " at flameout" if left == " at 0 min" else left
        out = "out of the recipe: " if act == "remove_addition" else ""
        return (
            out
            + " ".join(filter(None, (shown.get("amount", ""), name)))
            + left
            + (" dry hop" if "use" in slots else "")
        )
    if act == "log_event":
        counted = f", {shown['count']}" if "count" in shown else ""
        return EVENT_WORDS.get(shown["event"], shown["event"]) + counted
    if act == "note":
        return f"note: {shown['text']}"
    if act in ("new_batch", "use_batch"):
        return f"batch {shown.get('name', 'without a name')}".title().replace("Batch", "batch")
    if act == "start_timer":
        return f"timer {shown['duration']}" + (f" for the {shown['label']}" if "label" in shown else "")
    if act == "set":
        return ", ".join(f"{name} {value}".replace("_", " ") for name, value in shown.items())
    if act == "correct_last":
        return f"the correction to {', '.join(shown.values())}"
    return act.replace("_", " ")


def recipe_text(batch: Batch) -> str:
    """The recipe in a line."""
    return "; ".join(described("plan_addition", line.slots) for line in batch.plan)


def scaled(amount: Sequence[Any], factor: float) -> list[Any]:
    """So many times an amount; of what is not shared out, such as packs of yeast, whole ones."""
    number = round(amount[0] * factor, 6)
    return [float(ceil(number)) if amount[1] in _WHOLE else number, amount[1]]


_WHOLE = frozenset({"pack", "count"})


def named(ingredient: str) -> str:
    entry = knowledge.ingredients().get(ingredient)
    return entry.name if entry else ingredient


def _when(turn: Turn) -> str:
    return f" for {wording.clock(turn.happened, turn.said)}" if "when" in turn.slots else ""


def entry_line(entry: Entry, turn: Turn) -> str:
    """One line of the log for people."""
    return (
        f"{entry.happened.astimezone(turn.said.tzinfo):%Y-%m-%d %H:%M}  {described(entry.act, entry.slots)}"
    )
