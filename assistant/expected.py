"""What is likely told next, by where a batch stands: told in a word or two it is understood all the same."""

from __future__ import annotations

from datetime import datetime

from assistant.brew import Brew, as_quantity
from assistant.engine.errors import EngineError
from assistant.engine.units import Q
from assistant.session.entry import Entry
from assistant.session.model import Batch
from grammar.command import Expected

EXPECTED: dict[str, Expected] = {
    "idle": {"new_batch": None, "checklist": None},
    "planning": {"checklist": None},
    "warming": {"log_temperature": (40, 212), "steep_start": None},
    "steeping": {"log_temperature": (90, 212), "start_timer": None, "steep_end": None, "time_left": None},
    "heating": {"log_temperature": (90, 212), "boil_start": None},
    "boiling": {"log_addition": None, "flameout": None, "time_left": None},
    "chilling": {"log_temperature": (40, 212), "transfer": None},
    "pitching": {"log_gravity": (25, 100), "log_temperature": (56, 110), "transfer": None, "aerate": None, "pitch": None},
    "fermenting": {"log_gravity": (6, 60), "log_temperature": (33, 85), "airlock_active": None},
    "conditioning": {"log_temperature": (33, 95)},
}
"""For each stage the acts and events, with the range of a number told alone: degrees Fahrenheit, and the last figures of a
gravity. `idle` is before any batch, `warming` the water before the grain goes in. Common practice, no source."""

WORT = frozenset(("wort", "kettle", "pot"))
"""Where the wort is while it is chilled."""

CHILLED = 80
"""Degrees Fahrenheit: wort as cold as this is read for its gravity next."""

OFF_PLAN = 15
"""Points of gravity by which wort of extract may miss what the recipe gives. Common practice, no source."""

READS_HIGHER = 3
"""Points of gravity by which a reading may lie above the one before; wort that ferments does not gain any."""


def expected(batch: Batch, now: datetime, scale: str) -> Expected:
    """What is expected of this batch, numbers in the scale degrees are told in."""
    likely = dict(EXPECTED.get(_standing(batch, now), {}))
    if batch.id and batch.stage == "planning" and not batch.name:
        likely["correct_last"] = None  # `call it Red Maple`
    if limits := likely.get("log_gravity"):
        likely["log_gravity"] = _below_last(batch, _near_planned(batch, now, limits))
    if (limits := likely.get("log_temperature")) and scale.startswith("degC"):
        low, high = (Q(limit, "degF").m_as("degC") for limit in limits)
        likely["log_temperature"] = low, high
    return likely


def _standing(batch: Batch, now: datetime) -> str:
    """The stage, told more finely."""
    stage = batch.stage
    if not batch.id and not batch.entries:
        return "idle"
    if stage == "planning" and any(_today(entry, now) for entry in (*batch.volumes, *batch.temperatures, *batch.events)):
        return "warming"
    of_wort = [entry for entry in batch.temperatures if entry.slots.get("of", "wort") in WORT]
    if stage == "chilling" and of_wort and _degrees(of_wort[-1]) <= CHILLED:
        return "pitching"
    return stage


def _today(entry: Entry, now: datetime) -> bool:
    return entry.happened.date() == now.date()


def _degrees(entry: Entry) -> float:
    return float(as_quantity(entry.slots["temperature"]).m_as("degF"))


def _near_planned(batch: Batch, now: datetime, limits: tuple[float, float]) -> tuple[float, float]:
    """Before there is yeast in it a reading lies near what the recipe gives, as far as that is known."""
    try:
        planned = None if batch.event("pitch") else Brew(batch, now).likely_original()
    except EngineError:  # a recipe of which nothing can be worked out
        planned = None
    if planned is None:
        return limits
    points = (planned.value.m_as("sg") - 1) * 1000
    return max(limits[0], points - OFF_PLAN), min(limits[1], points + OFF_PLAN)


def _below_last(batch: Batch, limits: tuple[float, float]) -> tuple[float, float]:
    """Once there is yeast in it, no reading lies above the last one."""
    told = batch.gravities[-1].slots["gravity"] if batch.gravities and batch.event("pitch") else None
    if not isinstance(told, list) or told[1] != "sg":
        return limits
    return limits[0], max(limits[0], (told[0] - 1) * 1000 + READS_HIGHER)
