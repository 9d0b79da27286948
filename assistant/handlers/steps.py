"""The way step by step, with the numbers of the batch; what to do on each day after; and how to do a single job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import knowledge
from assistant import wording
from assistant.brew import Brew, as_quantity
from assistant.handlers import answers, clock
from assistant.handlers.fermentation import readiness, yeast_range
from assistant.handlers.know import find, unknown
from assistant.handlers.turn import Turn
from assistant.handlers.working import cite, cited
from assistant.numbers_here import days_between, degrees, told
from assistant.reply import Input, Outcome, Working
from assistant.session.clocks import upcoming
from assistant.way import Way, is_done, reached, way_of

_KEPT = "walk"
"""The memo that keeps, for each batch, the step told last and where the log stood then."""

FRESH_DAYS = 2
"""A temperature logged longer ago than this says nothing of today."""

BOTTLED_AFTER = 14
"""Days from the pitch on which most ales may be bottled: common practice, no source."""


@dataclass(frozen=True)
class _Walk:
    """Where a brewer is on the way: where the log says, or where `next` and `back` led since the log last moved."""

    way: Way
    brew: Brew
    logged: int
    looking: int | None
    """The place of the step told last, as long as the log has not moved since."""

    @property
    def now(self) -> int:
        """Walking on past the log counts; looking back at what the log shows as done does not."""
        place = self.logged if self.looking is None else max(self.looking, self.logged)
        last = len(self.way.steps) - 1
        while place < last and is_done(self.way.steps[place], self.brew):
            place += 1
        return place


def _walk(turn: Turn) -> _Walk:
    brew = turn.brew
    way = way_of(brew)
    logged = reached(way, brew)
    told_last, log_stood = (turn.session.log.memo(_KEPT) or {}).get(str(brew.batch.id), ("", ""))
    looking = way.place(told_last) if log_stood == way.steps[logged].id else None
    return _Walk(way, brew, logged, looking)


def stage_of(brew: Brew) -> str:
    """The stage of the way, of STEP_STAGES, in which the log shows this batch to be."""
    way = way_of(brew)
    return way.steps[reached(way, brew)].stage


def _tell(turn: Turn, walk: _Walk, place: int) -> Outcome:
    """One step, remembered as the one told last."""
    step = walk.way.steps[place]
    kept = {**(turn.session.log.memo(_KEPT) or {})}
    kept[str(walk.brew.batch.id)] = (step.id, walk.way.steps[walk.logged].id)
    turn.session.log.set_memo(_KEPT, kept)
    say, inputs = told(step.do, step.here, walk.brew)
    report = f'Then say "{step.tell}", or "next".' if step.tell else 'Then say "next".'
    following = walk.way.steps[place + 1 : place + 2]
    more = [f"Done when: {_plain(step.done_when, walk.brew)}"]
    more += [f"{report} After that: {following[0].id}."] if following else []
    if step.stage in ("boiling", "flameout") and upcoming(walk.brew.batch, turn.said):
        more.append(f"Next by the clock: {clock.whats_next(turn).say}")
    return _explained(say, step, inputs, more, walk)


def _explained(
    say: str, step: knowledge.Step, inputs: Sequence[Input], more: Sequence[str], walk: _Walk
) -> Outcome:
    sources = tuple(cite(source) for source in step.source)
    place = walk.way.steps.index(step) + 1
    working = Working(
        say,
        f"step {place} of {len(walk.way.steps)}, {step.id}: the first one that neither the log nor you passed",
        (Input("way", walk.way.name, walk.way.reason), *inputs),
        sources,
        reasons=(_plain(step.why, walk.brew), f"What goes wrong: {_plain(step.goes_wrong, walk.brew)}"),
    )
    return Outcome(say, more=tuple(more), working=working, sources=sources)


def _plain(text: str, brew: Brew) -> str:
    return wording.sentence(degrees(text, brew))


def what_now(turn: Turn) -> Outcome:
    """The first step that the log does not show as done, or the one walked to past that."""
    walk = _walk(turn)
    return _tell(turn, walk, walk.now)


def whats_next(turn: Turn) -> Outcome:
    """What goes in next by the clock; where nothing does, the step to do."""
    if "ingredient" in turn.slots or upcoming(turn.session.bench, turn.said):
        return clock.whats_next(turn)
    step = what_now(turn)
    return replace(step, say=f"Nothing goes in by the clock. {step.say}")


def next_step(turn: Turn) -> Outcome:
    """The step after the one told last, or after the one to do now where none was."""
    walk = _walk(turn)
    place = walk.logged if walk.looking is None else walk.looking
    if place + 1 >= len(walk.way.steps):
        return Outcome("That was the last step: drink it in good company.", more=('Say "back" for the one before.',))
    return _tell(turn, walk, place + 1)


def step_back(turn: Turn) -> Outcome:
    walk = _walk(turn)
    place = walk.logged if walk.looking is None else walk.looking
    if place == 0:
        return Outcome("This is the first step.", more=('Say "what do I do now" to hear it.',))
    return _tell(turn, walk, place - 1)


def how_to(turn: Turn) -> Outcome:
    """A single job: from the jobs, or else a step of this batch's way."""
    words = str(turn.slots["topic"])
    if words in knowledge.answers():
        return answers.answer(knowledge.answers()[words], turn)
    step = _step_of(words)
    method = find("how_tos", words) if step is None else None
    if method:
        entry = knowledge.how_tos()[method]
        moves = tuple(f"{number}. {move}" for number, move in enumerate(entry.how, 1))
        sources = tuple(cite(source) for source in entry.source)
        return Outcome(wording.sentence(entry.say), more=moves, sources=sources, entry=f"how_tos/{method}")
    step = step or knowledge.steps().get(find("steps", words) or "")
    if step is None:
        return unknown("how_tos", words)
    brew = turn.brew
    say, inputs = told(step.do, step.here, brew)
    more = [f"Needs: {wording.listed(step.needs)}."] if step.needs else []
    more += [f"Takes: {step.takes}.", f"Done when: {_plain(step.done_when, brew)}"]
    more += [f"What goes wrong: {_plain(step.goes_wrong, brew)}"]
    sources = tuple(cite(source) for source in step.source)
    working = Working(say, f"the step {step.id}", tuple(inputs), sources, reasons=(step.why,))
    return Outcome(say, more=tuple(more), working=working, sources=sources, entry=f"steps/{step.id}")


def _step_of(words: str) -> knowledge.Step | None:
    """The step of this very name, unless a job has it too."""
    name = None if words in knowledge.phrases("how_tos") else knowledge.phrases("steps").get(words)
    return knowledge.steps()[name] if name else None


# --- The days after


def _phase(brew: Brew) -> tuple[str, datetime] | None:
    """What the beer is doing for days, and since when; None before the yeast is in."""
    for event, phase in (("keg", "kegged"), ("bottle", "conditioning"), ("pitch", "fermenting")):
        entry = brew.batch.event(event)
        if entry:
            return phase, entry.happened
    return None


def today(turn: Turn) -> Outcome:
    """What to do on this day of the weeks after; before the pitch, the step to do."""
    brew = turn.brew
    said = turn.slots.get("day")
    counted = round(as_quantity(said).m_as("day")) if isinstance(said, list) else None
    phase = _phase(brew)
    if phase is None and counted is not None:
        phase = "fermenting", turn.said - timedelta(days=counted)
    if phase is None:
        return what_now(turn)
    name, start = phase
    number = max(0, days_between(start, turn.said))
    day = next(each for each in knowledge.days().values() if each.phase == name and number <= each.days.high)
    text, inputs = told(day.do, day.here, brew)
    say = f"Day {number}: {text[:1].lower()}{text[1:]}"
    more = [f"Usual to see: {_plain(day.look, brew)}", *(_how_it_stands(brew, day) if name == "fermenting" else ())]
    more += [f"By the log it is day {number}, not {counted}."] if counted not in (None, number) else []
    began = {"fermenting": "pitch", "conditioning": "bottling", "kegged": "kegging"}[name]
    sources = tuple(cite(source) for source in day.source)
    working = Working(
        say,
        f"days since the {began}, {day.id}",
        (Input("day", str(number), f"{began} on {start:%b} {start.day}, {'logged' if _phase(brew) else 'said'}"), *inputs),
        sources,
        reasons=(_plain(day.why, brew),),
    )
    return Outcome(say, more=tuple(more), working=working, sources=sources)


def _how_it_stands(brew: Brew, day: knowledge.Day) -> list[str]:
    """What the log says of this beer just now: its last temperature, and from the checking days on its readings."""
    found = []
    entries = brew.wort_temperatures()
    if entries and days_between(entries[-1].happened, brew.now) <= FRESH_DAYS:
        low, high, _ = yeast_range(brew)
        warmth = brew.wort_temperature()
        assert warmth is not None
        verdict = "too warm" if warmth.value > high else "too cold" if warmth.value < low else "in range"
        found.append(f"{wording.quantity(warmth.value)}, {warmth.origin}: {verdict}.")
    if day.do.startswith("Read the gravity") or brew.current():
        verdict, reason, _inputs = readiness(brew)
        found.append(f"{verdict} {reason}")
    return found


def day_plan(turn: Turn) -> Outcome:
    """All the days from the pitch to the first glass, in a table."""
    brew = turn.brew
    kegged = brew.batch.event("keg") is not None
    phases = {"fermenting": "After pitching", "kegged" if kegged else "conditioning": "After kegging" if kegged else "After bottling"}
    rows: list[str] = []
    for phase, title in phases.items():
        rows.append(f"{title}:")
        for day in knowledge.days().values():
            if day.phase == phase:
                text = told(day.do, day.here, brew)[0]
                rows.append(f"  {_days(day)}: {text}")
    sources = cited(source for day in knowledge.days().values() for source in day.source)
    say = f"About {BOTTLED_AFTER} days to bottling or kegging, then one to two weeks to the first glass."
    return Outcome(say, more=tuple(rows), sources=sources)


def _days(day: knowledge.Day) -> str:
    low, high = (int(number) for number in day.days)
    if high >= 365:
        return f"Day {low} on"
    return f"Day {low}" if low == high else f"Days {low} to {high}"
