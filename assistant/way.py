"""The steps of a batch made its way, and how far along them the log shows it to be.

The steps are `knowledge/steps.toml`. A step is done when one of its events is in the log or its sign shows there; what
lies before a step that is done counts as done too, for nobody logs everything.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

import knowledge
from assistant.brew import Brew, as_quantity
from assistant.engine.units import Q
from assistant.handlers.fermentation import readiness
from assistant.session.entry import Entry

HOT_WATER = Q(140, "degF")
"""From here on the water is hot enough to go on with: common practice, no source."""

COOL_WORT = Q(80, "degF")
"""Wort as cool as this may go into any fermenter: common practice, no source."""

MASH, STARTED, REST = timedelta(minutes=60), timedelta(days=3), timedelta(days=10)
"""How long a mash is held, yeast watched until it works, a beer left alone: common practice, no source."""

CONDITIONING, CARBONATING = timedelta(days=14), timedelta(days=7)
"""How long bottles are kept warm, a keg under pressure: common practice, no source."""

SHORT_OF = 0.95
"""The share of the batch size from which on the fermenter counts as full."""


@dataclass(frozen=True)
class Way:
    """The steps of a batch in their order."""

    name: str
    """One of the first four of `knowledge.entries.WAYS`."""
    reason: str
    """What makes it that one."""
    steps: tuple[knowledge.Step, ...]

    def place(self, id: str) -> int | None:
        """Where a step stands, or None where it is none of this way."""
        return next((place for place, step in enumerate(self.steps) if step.id == id), None)


def way_of(brew: Brew) -> Way:
    way = brew.way()
    packed = "keg" if brew.batch.event("keg") else "bottles"
    steps = (step for step in knowledge.steps().values() if not step.ways or {way.value, packed}.intersection(step.ways))
    return Way(way.value, way.origin, tuple(steps))


# --- How far it is


def reached(way: Way, brew: Brew) -> int:
    """The place of the first step to do: after all that is done, or one passed by that may still be made up for."""
    done = [is_done(step, brew) for step in way.steps]
    after = max((place + 1 for place, each in enumerate(done) if each), default=0)
    missed = (
        place
        for place, step in enumerate(way.steps[:after])
        if step.until and not done[place] and not any(brew.batch.event(event) for event in step.until)
    )
    return min(next(missed, after), len(way.steps) - 1)


def is_done(step: knowledge.Step, brew: Brew) -> bool:
    return any(brew.batch.event(event) for event in step.after) or bool(step.sign and SIGNS[step.sign](brew))


def since(brew: Brew, event: str) -> timedelta | None:
    """How long ago an event happened, or None where it did not."""
    entry = brew.batch.event(event)
    return None if entry is None else brew.now - entry.happened


def _past(event: str, span: timedelta) -> Callable[[Brew], bool]:
    return lambda brew: (since(brew, event) or timedelta(0)) >= span


def _on_the_hot_side(brew: Brew) -> bool:
    return brew.batch.stage in ("steeping", "heating", "boiling")


def _warmed(brew: Brew) -> bool:
    return any(as_quantity(entry.slots["temperature"]) >= HOT_WATER for entry in brew.batch.temperatures)


def _extract_in(brew: Brew) -> bool:
    return any(_kind(entry) == "extract" for entry in brew.batch.additions)


def _kind(entry: Entry) -> str:
    fact = knowledge.ingredients().get(str(entry.slots["ingredient"]))
    return fact.kind if fact else ""


def _additions_in(brew: Brew) -> bool:
    boiled = [line for line in brew.batch.plan if line.boil_left]
    return bool(boiled) and brew.batch.event("boil_start") is not None and all(line.made for line in boiled)


def _cooled(brew: Brew) -> bool:
    flameout = brew.batch.event("flameout") or brew.batch.event("chill_start")
    return flameout is not None and any(
        as_quantity(entry.slots["temperature"]) <= COOL_WORT
        for entry in brew.wort_temperatures()
        if entry.happened >= flameout.happened
    )


def _filled(brew: Brew) -> bool:
    held, size = brew.fermenter_volume(), brew.size()
    return held is not None and (size is None or bool(held.value >= SHORT_OF * size.value))


def _steady(brew: Brew) -> bool:
    return brew.batch.event("pitch") is not None and readiness(brew)[0].startswith("Yes")


SIGNS: dict[str, Callable[[Brew], bool]] = {
    "recipe told": lambda brew: bool(brew.batch.plan),
    "water in": lambda brew: brew.kettle_volume() is not None,
    "water hot": _warmed,
    "mash rested": _past("steep_start", MASH),
    "extract in": _extract_in,
    "additions in": _additions_in,
    "wort cool": _cooled,
    "fermenter filled": _filled,
    "gravity read": lambda brew: brew.original() is not None and not _on_the_hot_side(brew),
    "fermenting": lambda brew: _past("pitch", STARTED)(brew) or brew.current() is not None,
    "rested": lambda brew: _past("pitch", REST)(brew) or _steady(brew),
    "gravity steady": _steady,
    "conditioned": _past("bottle", CONDITIONING),
    "carbonated": _past("keg", CARBONATING),
}
"""What in the log, besides an event, shows that a step is done; the names are those of `knowledge.entries.SIGNS`."""
