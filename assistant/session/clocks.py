"""The clocks: how the boil and the timers stand at a moment, what is next, what came due.

Nothing here counts. Each clock is worked out from the moments in the batch, so it survives a restart. Moments
come back in the time zone of `now`. Reports of what happened after `now` are left out of account.

A change to or from summer time moves no clock: entries have fixed offsets, and what was put in the zone of
`now` is set against `now` in UTC, for between two moments of one zone Python reckons in wall time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import groupby

from assistant.session.entry import Entry
from assistant.session.model import Batch, PlanLine, Timer
from assistant.session.slots import minutes
from assistant.session.stages import BOILING, CHILLING, RANK

USUAL_BOIL = 60.0
"""Minutes. Common practice, no source."""

MINUTE = timedelta(minutes=1)

Switch = tuple[datetime, bool]
"""A moment at which a clock was set going (True) or stopped (False)."""


@dataclass(frozen=True)
class Stretches:
    """The stretches of time a clock ran; the last is open while it runs."""

    spans: tuple[tuple[datetime, datetime | None], ...]

    @property
    def running(self) -> bool:
        return self.spans[-1][1] is None

    def elapsed(self, now: datetime) -> float:
        """Minutes run by `now`."""
        return sum(((end or now) - start) / MINUTE for start, end in self.spans)

    def elapsed_between(self, start: datetime, end: datetime) -> float:
        """Minutes run from one moment to another."""
        return sum(
            max(0.0, (min(until or end, end) - max(since, start)) / MINUTE) for since, until in self.spans
        )

    def moment(self, after: float, zone: datetime) -> datetime | None:
        """When it has run `after` minutes, past or to come; None when it stands still before that."""
        left = after * MINUTE
        for start, end in self.spans:
            if end is None or start + left <= end:
                return (start + left).astimezone(zone.tzinfo)
            left -= end - start
        return None


@dataclass(frozen=True)
class BoilClock:
    """How the boil stands. Lengths are in minutes of boiling, pauses left out."""

    started: datetime
    said: datetime
    """When we were told that it had started."""
    length: float
    length_from: str
    """Where the length comes from: `set`, `plan` (its longest addition) or `usual`."""
    elapsed: float
    left: float
    """Never less than 0; 0 once the boil has ended."""
    paused: bool
    ended: datetime | None
    """When the flame went out, or the wort was seen to be past the boil."""
    ends_at: datetime | None
    """When it ended, will end or should have ended; None while it is paused short of that."""
    ran: Stretches


@dataclass(frozen=True)
class TimerClock:
    """How one timer stands. Lengths are in minutes, pauses left out."""

    id: int
    """The entry that started it."""
    said: datetime
    label: str | None
    length: float
    started: datetime
    elapsed: float
    left: float
    """0 once it has rung."""
    paused: bool
    ends_at: datetime | None
    """When it rings or rang; None while it is paused."""


@dataclass(frozen=True)
class Due:
    """Something that is to happen."""

    kind: str
    """`addition`, `flameout` or `timer`."""
    at: datetime | None
    """None while its clock stands still: the boil paused or not yet begun, the timer paused."""
    minutes: float
    """From now until `at`, negative when overdue; while `at` is None, what its clock has yet to run."""
    known: datetime
    """When we first could know of it: something told late may have been due before."""
    items: tuple[PlanLine, ...] = ()
    """What goes in together at that moment, for an addition."""
    label: str | None = None
    """The timer's label."""
    timer: int | None = None
    """The entry that started the timer."""


def boil_length(batch: Batch) -> tuple[float, str]:
    """How many minutes this batch boils, and where that comes from: `set`, `plan` or `usual`."""
    told = batch.setting("boil_length")
    if told is not None:
        return minutes(told, "boil_length"), "set"
    longest = max((line.boil_left or 0.0 for line in batch.plan), default=0.0)
    return (longest, "plan") if longest >= USUAL_BOIL else (USUAL_BOIL, "usual")


def boil_clock(batch: Batch, now: datetime) -> BoilClock | None:
    """The boil as it stands at `now`, or None when none has begun."""
    burner = _burner(batch, now)
    if burner.begun is None:
        return None
    ran = _stretches(burner.boil)
    length, length_from = boil_length(batch)
    elapsed = ran.elapsed(now)
    ended = burner.ended and burner.ended.astimezone(now.tzinfo)
    return BoilClock(
        started=burner.begun.happened.astimezone(now.tzinfo),
        said=burner.begun.said,
        length=length,
        length_from=length_from,
        elapsed=elapsed,
        left=0.0 if ended else max(0.0, length - elapsed),
        paused=not ended and not ran.running,
        ended=ended,
        ends_at=ended or ran.moment(length, now),
        ran=ran,
    )


def running_timers(batch: Batch, now: datetime) -> list[TimerClock]:
    """The timers that have neither rung nor been cancelled, paused ones included, in the order started."""
    return [timer for timer in _timers(batch, now) if timer.left > 0]


def upcoming(batch: Batch, now: datetime) -> list[Due]:
    """What is to happen, soonest first: additions not yet made, flameout, running timers; overdue too."""
    return [due for due in _dues(batch, now) if due.kind != "timer" or due.minutes > 0]


def came_due(batch: Batch, since: datetime, now: datetime) -> list[Due]:
    """What fell due after `since` and not after `now`, or was first known to be due in that time.

    Ask after recording the sentence, or what it made due at once is told one sentence late.
    """
    return [
        due for due in _dues(batch, now)
        if due.at is not None and since < max(due.at.astimezone(UTC), due.known) <= now
    ]


@dataclass
class _Burner:
    """Who was switched on and off when: the boil and, while there is no boil, the timers."""

    boil: list[Switch]
    timers: list[Switch]
    begun: Entry | None = None
    ended: datetime | None = None
    cold: bool = False
    """The wort has left the kettle: a boil from here on is another boil."""

    @property
    def on(self) -> bool:
        """Whether there is a boil, be it paused."""
        return self.begun is not None and self.ended is None

    def start(self, entry: Entry, at: datetime) -> None:
        # A boil that is on stays on, and one cut short goes on: only its first start sets its clock.
        if self.begun is None or self.cold:
            self.boil, self.begun, self.cold = [], entry, False
        self.boil.append((at, True))
        self.ended = None

    def pause(self, at: datetime) -> None:
        (self.boil if self.on else self.timers).append((at, False))

    def resume(self, at: datetime) -> None:
        # Everything that stands still: nothing is left paused unnoticed.
        self.timers.append((at, True))
        if self.on:
            self.boil.append((at, True))

    def end(self, at: datetime, rank: int) -> None:
        if self.on:
            self.boil.append((at, False))
            self.ended = at
        self.cold = self.cold or rank > CHILLING


def _burner(batch: Batch, now: datetime) -> _Burner:
    burner = _Burner([], [])
    told = _by(now, [*batch.events, *batch.of("pause"), *batch.of("resume")])
    for entry in sorted(told, key=lambda entry: entry.order):
        at = entry.happened
        rank = RANK.get(entry.slots.get("event", ""), 0)
        if entry.act == "pause":
            burner.pause(at)
        elif entry.act == "resume":
            burner.resume(at)
        elif rank == BOILING:
            burner.start(entry, at)
        elif rank > BOILING:
            burner.end(at, rank)
    return burner


def _by(now: datetime, entries: Iterable[Entry]) -> list[Entry]:
    return [entry for entry in entries if entry.happened <= now]


def _stretches(switches: Iterable[Switch]) -> Stretches:
    spans: list[tuple[datetime, datetime | None]] = []
    for at, on in switches:
        running = bool(spans) and spans[-1][1] is None
        if on and not running:
            spans.append((at, None))
        elif running and not on:
            spans[-1] = (spans[-1][0], at)
    return Stretches(tuple(spans))


def _timers(batch: Batch, now: datetime) -> Iterator[TimerClock]:
    switches = _burner(batch, now).timers if batch.timers else []
    for timer in batch.timers:
        if timer.started <= now and not (timer.cancelled and timer.cancelled <= now):
            yield _timer_clock(timer, switches, now)


def _timer_clock(timer: Timer, switches: list[Switch], now: datetime) -> TimerClock:
    ran = _stretches([(timer.started, True), *((at, on) for at, on in switches if at >= timer.started)])
    elapsed = ran.elapsed(now)
    return TimerClock(
        id=timer.id, said=timer.said, label=timer.label, length=timer.minutes,
        started=timer.started.astimezone(now.tzinfo), elapsed=elapsed, left=max(0.0, timer.minutes - elapsed),
        paused=not ran.running and elapsed < timer.minutes, ends_at=ran.moment(timer.minutes, now),
    )


def _dues(batch: Batch, now: datetime) -> list[Due]:
    boil = boil_clock(batch, now)
    dues = [*_flameout(boil, now), *_additions(batch, boil, now), *_rings(batch, now)]
    return sorted(dues, key=lambda due: due.minutes)


def _until(at: datetime | None, to_run: float, now: datetime) -> float:
    return to_run if at is None else (at - now.astimezone(UTC)) / MINUTE


def _flameout(boil: BoilClock | None, now: datetime) -> Iterator[Due]:
    if boil and not boil.ended:
        yield Due("flameout", boil.ends_at, _until(boil.ends_at, boil.left, now), boil.said)


def _additions(batch: Batch, boil: BoilClock | None, now: datetime) -> Iterator[Due]:
    length = boil.length if boil else boil_length(batch)[0]
    lines = sorted(_still_to_boil(batch, boil, now), key=lambda line: -_boil_left(line, length))
    for boil_left, together in groupby(lines, key=lambda line: _boil_left(line, length)):
        items = tuple(together)
        after = length - boil_left
        at = _addition_moment(boil, after, now)
        known = max(line.said for line in items)
        yield Due(
            "addition", at, _until(at, after - (boil.elapsed if boil else 0.0), now),
            max(known, boil.said) if boil else known, items,
        )


def _addition_moment(boil: BoilClock | None, after: float, now: datetime) -> datetime | None:
    if boil is None:
        return None
    # After the flame is out only flameout additions are open: they were due when it went out.
    return boil.ended or boil.ran.moment(after, now)


def _boil_left(line: PlanLine, length: float) -> float:
    # Planned for longer than the boil: it goes in at the start.
    return min(line.boil_left or 0.0, length)


def _still_to_boil(batch: Batch, boil: BoilClock | None, now: datetime) -> list[PlanLine]:
    """The lines that can still go into the boil, or into the hot wort after it."""
    lines = [line for line in batch.plan if line.made is None and line.boil_left is not None]
    furthest = max((RANK.get(entry.slots["event"], 0) for entry in _by(now, batch.events)), default=0)
    if (boil and not boil.ended) or furthest < CHILLING:
        return lines
    return [line for line in lines if line.boil_left == 0] if boil and furthest == CHILLING else []


def _rings(batch: Batch, now: datetime) -> Iterator[Due]:
    for timer in _timers(batch, now):
        minutes_left = _until(timer.ends_at, timer.left, now)
        yield Due("timer", timer.ends_at, minutes_left, timer.said, label=timer.label, timer=timer.id)
