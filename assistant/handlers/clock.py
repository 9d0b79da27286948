"""The clocks in words: timers, what is left, what comes next."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from assistant import wording
from assistant.engine.units import Q
from assistant.handlers.log import named
from assistant.handlers.turn import Turn, refused
from assistant.reply import Outcome
from assistant.session.clocks import Due, boil_clock, running_timers, upcoming


def label(due: Due) -> str:
    """What a clock calls: `Willamette 1 oz and Irish moss 1 tsp`, `flameout`, `steep timer`."""
    if due.kind == "addition":
        return wording.listed(
            [f"{named(line.ingredient or '')} {wording.slot(line.amount)}" for line in due.items]
        )
    return "flame out" if due.kind == "flameout" else f"{due.label} timer" if due.label else "timer"


def start_timer(turn: Turn) -> Outcome:
    entry = turn.record()
    clock = next(
        (each for each in running_timers(turn.session.bench, turn.said) if each.id == entry.id), None
    )
    name = f" for the {entry.slots['label']}" if "label" in entry.slots else ""
    until = f", until {wording.clock(clock.ends_at, turn.said)}" if clock and clock.ends_at else ""
    return Outcome(
        f"{wording.sentence(wording.slot(entry.slots['duration'])).rstrip('.')} timer{name} started{until}."
    )


def is_running(turn: Turn) -> bool:
    """Whether a boil or a timer runs."""
    boil = boil_clock(turn.session.bench, turn.said)
    timers = running_timers(turn.session.bench, turn.said)
    return bool(boil and boil.ended is None) or any(timer.left > 0 for timer in timers)


def time_left(turn: Turn) -> Outcome:
    batch, now = turn.session.bench, turn.said
    parts, values = [], {}
    boil = boil_clock(batch, now)
    if boil and boil.ended is None:
        values["boil_left"] = Q(boil.left, "minute")
        parts.append(
            f"{wording.span(boil.left)} of boil left{_until(boil.ends_at, now)}{', paused' if boil.paused else ''}"
        )
    for timer in running_timers(batch, now):
        if timer.left > 0:
            values.setdefault("left", Q(timer.left, "minute"))
            parts.append(
                f"{wording.span(timer.left)} left on the {timer.label + ' ' if timer.label else ''}timer"
                f"{_until(timer.ends_at, now)}{', paused' if timer.paused else ''}"
            )
    if not parts:
        return Outcome("No clock is running.", more=("Say: set a timer for 30 minutes, or: the boil is on.",))
    return Outcome(wording.sentence("; ".join(parts)), values=values)


def whats_next(turn: Turn) -> Outcome:
    """The addition or the end of the boil that comes next; something must be to come, or an ingredient asked for."""
    dues = [due for due in upcoming(turn.session.bench, turn.said)]
    wanted = turn.slots.get("ingredient")
    if wanted:
        dues = [due for due in dues if any(wanted in (line.ingredient or "") for line in due.items)]
    if not dues:
        return Outcome(f"{named(str(wanted))} is not still to come.")
    first = dues[0]
    more = tuple(f"Then {_due(due, turn.said)}." for due in dues[1:3])
    return Outcome(
        wording.sentence(_due(first, turn.said)), values={"in": Q(first.minutes, "minute")}, more=more
    )


def _due(due: Due, now: datetime) -> str:
    if due.at is None:
        boil = (
            f" at {wording.slot([due.items[0].boil_left or 0, 'minute'])} of boil left" if due.items else ""
        )
        return f"{label(due)}{boil}, its clock is not running"
    if due.minutes < -0.5:
        return f"{label(due)}, {wording.span(-due.minutes)} overdue since {wording.clock(due.at, now)}"
    return f"{label(due)} in {wording.span(due.minutes)}, at {wording.clock(due.at, now)}"


def pause(turn: Turn) -> Outcome:
    boil = boil_clock(turn.session.bench, turn.said)
    running = [
        timer
        for timer in running_timers(turn.session.bench, turn.said)
        if timer.left > 0 and not timer.paused
    ]
    if boil and boil.ended is None and boil.paused:
        return Outcome(f"The boil is paused already, with {wording.span(boil.left)} left.")
    if not (boil and boil.ended is None) and not running:
        return refused("No clock is running, so there is nothing to pause.")
    turn.record()
    if boil and boil.ended is None:
        return Outcome(
            f"{wording.sentence(wording.span(boil.left)).rstrip('.')} of boil left, clock paused.",
            values={"boil_left": Q(boil.left, "minute")},
        )
    return Outcome(f"{wording.span(running[0].left)} left, timer paused.")


def resume(turn: Turn) -> Outcome:
    boil = boil_clock(turn.session.bench, turn.said)
    paused = [timer for timer in running_timers(turn.session.bench, turn.said) if timer.paused]
    if not (boil and boil.paused) and not paused:
        if boil and boil.ended is None:
            return Outcome(f"The boil is on already, {wording.span(boil.left)} left.")
        return refused("No clock is paused, so there is nothing to resume.")
    turn.record()
    boil = boil_clock(turn.session.bench, turn.said)
    if boil and boil.ended is None:
        return Outcome(
            f"{wording.span(boil.left)} of boil left, clock running{_until(boil.ends_at, turn.said)}.",
            values={"boil_left": Q(boil.left, "minute")},
        )
    return Outcome("The timer is running again.")


def cancel_timer(turn: Turn) -> Outcome:
    running = [timer for timer in running_timers(turn.session.bench, turn.said) if timer.left > 0]
    wanted = turn.slots.get("label")
    named_so = [timer for timer in running if wanted is None or wanted == timer.label]
    if not named_so:
        return refused(f"No timer{f' for the {wanted}' if wanted else ''} is running.")
    if len(named_so) > 1:
        return refused(
            "More than one timer is running; say which: " + _labels(timer.label for timer in named_so) + "."
        )
    turn.record(refers=named_so[0].id)
    return Outcome(
        f"{'The ' + named_so[0].label + ' timer' if named_so[0].label else 'Timer'} cancelled, with {wording.span(named_so[0].left)} left."
    )


def _labels(labels: Iterable[str | None]) -> str:
    return wording.listed(
        [f"cancel the {name} timer" if name else "cancel the timer" for name in labels], "or"
    )


def _until(moment: datetime | None, now: datetime) -> str:
    return f", until {wording.clock(moment, now)}" if moment else ""
