"""How a batch stands, in the facts that the knowledge base asks for, each with the number it rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import timedelta

import knowledge
from assistant import wording
from assistant.brew import Brew, Known, as_quantity
from assistant.engine import gravity
from assistant.engine.fermentation import ABOVE_EXPECTED, ALIKE, DAYS_STILL, SLACK
from assistant.engine.units import Quantity
from assistant.handlers.fermentation import yeast_range
from assistant.reply import Input

DAY = timedelta(days=1)

MOVED = 0.004
"""A drop in gravity by which fermentation has surely begun: four times what a hydrometer can be misread by."""

AT_END = 0.003
"""So near the expected end a gravity counts as there; the spread of attenuation within a yeast's range."""

OFF_RECIPE = 0.004
"""So far from the recipe's gravity a wort counts as weak or strong: common practice, no source."""

OFF_VOLUME = 0.05
"""The same for the volume, as a share."""

HOT_PITCH_F = 80.0
"""Degrees Fahrenheit above which yeast was surely pitched too warm: common practice, no source."""

WARM_SAMPLE_F = 75.0
"""Degrees Fahrenheit above which a reading that was not corrected misleads."""

MUCH_SUGAR = 0.2
"""Share of the extract's weight above which plain sugar shows in the beer: from memory."""


@dataclass(frozen=True)
class Said:
    """What the sentence itself tells of the batch; it goes before the log."""

    gravity: Quantity | None = None
    temperature: Quantity | None = None
    volume: Quantity | None = None
    amount: Quantity | None = None
    duration: Quantity | None = None


class Standing:
    """One batch at one moment, and what the brewer just said of it."""

    def __init__(self, brew: Brew, said: Said) -> None:
        self.brew = brew
        self.said = said
        self.stage = brew.batch.stage

    def shows(self, name: str) -> Input | None:
        """The number that a fact rests on; None where the batch does not show it."""
        return FACTS[name](self)

    # --- The numbers

    def days(self) -> Known | None:
        """Days since the yeast went in: as said, else by the log."""
        pitch = self.brew.batch.event("pitch")
        if self.said.duration is not None and self.said.duration.m_as("hour") >= 1:
            return Known(self.said.duration.m_as("day"), "said")
        if pitch is None:
            return None
        passed = (self.brew.now - pitch.happened) / DAY
        return Known(passed, f"since the yeast, {pitch.happened:%b} {pitch.happened.day}") if passed >= 0 else None

    def told(self, name: str) -> Known | None:
        """A number that the sentence itself tells."""
        value = getattr(self.said, name)
        return None if value is None else Known(value, "said")

    def gravity(self) -> Known | None:
        """The gravity now."""
        return self.told("gravity") or self.brew.current()

    def temperature(self) -> Known | None:
        """Of the beer: as said, else the last one logged, of those since the yeast went in if it is in."""
        told = self.told("temperature")
        if told:
            return told
        pitch, known = self.brew.batch.event("pitch"), self.brew.wort_temperatures()
        return self.brew.wort_temperature() if known and (pitch is None or known[-1].happened >= pitch.happened) else None


Fact = Callable[[Standing], Input | None]


def _shown(name: str, known: Known) -> Input:
    return Input(name, wording.quantity(known.value), known.origin)


def _outside(side: int) -> Fact:
    """Beer warmer (1) or colder (-1) than its yeast likes."""

    def fact(standing: Standing) -> Input | None:
        known, (low, high, whose) = standing.temperature(), yeast_range(standing.brew)
        limit = (high if side > 0 else low).m_as("degF")
        if known is None or side * (known.value.m_as("degF") - limit) <= 0:
            return None
        limits = f"{wording.number(low.magnitude, 0)} to {wording.quantity(high)} for {whose}"
        return Input("beer", f"{wording.quantity(known.value)}, against {limits}", known.origin)

    return fact


def _pitched_hot(standing: Standing) -> Input | None:
    known = standing.told("temperature") or standing.brew.warmest_with_yeast()
    return _shown("yeast in wort of", known) if known and known.value.m_as("degF") > HOT_PITCH_F else None


def _no_reading(standing: Standing) -> Input | None:
    pitched = standing.brew.batch.event("pitch") is not None
    return Input("gravity", "not read since the yeast went in", "log") if pitched and not standing.gravity() else None


def _drop(enough: Callable[[float], bool]) -> Fact:
    def fact(standing: Standing) -> Input | None:
        first, now = standing.brew.original(), standing.gravity()
        if first is None or now is None or not enough(first.value.m_as("sg") - gravity.to_sg(now.value).m_as("sg")):
            return None
        return Input("gravity", f"{wording.quantity(first.value)} to {wording.quantity(now.value)}", now.origin)

    return fact


def _rest(still: bool) -> Fact:
    """Whether the last two readings, days apart, agree or differ."""

    def fact(standing: Standing) -> Input | None:
        readings = standing.brew.readings()[-2:]
        if len(readings) < 2 or standing.brew.batch.event("pitch") is None:
            return None
        (before, earlier, _), (after, later, _) = readings
        alike = abs(earlier.magnitude - later.magnitude) < ALIKE
        days = (after - before) / DAY
        if alike != still or (still and days < DAYS_STILL - SLACK):
            return None
        return Input("readings", f"{wording.quantity(earlier)} then {wording.quantity(later)}, {days:.0f} days apart", "log")

    return fact


def _from_end(holds: Callable[[float], bool]) -> Fact:
    def fact(standing: Standing) -> Input | None:
        now, end = standing.gravity(), standing.brew.should_end()
        if now is None or end is None or not holds(gravity.to_sg(now.value).m_as("sg") - end.value.m_as("sg")):
            return None
        return Input("gravity", f"{wording.quantity(now.value)}, about {wording.quantity(end.value)} expected", now.origin)

    return fact


def _against_recipe(side: int) -> Fact:
    def fact(standing: Standing) -> Input | None:
        told, meant = standing.brew.original(), standing.brew.aim()
        if told is None or meant is None or side * (told.value - meant.value).m_as("sg") <= OFF_RECIPE:
            return None
        return Input("original gravity", f"{wording.quantity(told.value)}, {wording.quantity(meant.value)} by the recipe", told.origin)

    return fact


def _volume(side: int) -> Fact:
    def fact(standing: Standing) -> Input | None:
        planned, known = standing.brew.size(), standing.told("volume") or standing.brew.volume()
        if known is None or planned is None:
            return None
        share = float((known.value / planned.value).to("dimensionless").magnitude) - 1
        if side * share <= OFF_VOLUME:
            return None
        return Input("volume", f"{wording.quantity(known.value)}, {wording.quantity(planned.value)} planned", known.origin)

    return fact


def _read_warm(standing: Standing) -> Input | None:
    """A warm sample, of the wort before the yeast went in or of the beer since."""
    pitch, entries = standing.brew.batch.event("pitch"), standing.brew.batch.gravities
    known = [entry for entry in entries if pitch is None or entry.happened >= pitch.happened]
    warmth = known[-1].slots.get("temperature") if known else None
    if not isinstance(warmth, list) or as_quantity(warmth).m_as("degF") <= WARM_SAMPLE_F:
        return None
    return Input("sample", wording.slot(warmth), "log")


def _recipe_has(names: tuple[str, ...]) -> Fact:
    def fact(standing: Standing) -> Input | None:
        held = [part.name for part, _ in standing.brew.fermentables() if any(name in part.name.lower() for name in names)]
        return Input("recipe", wording.listed(held), "recipe") if held else None

    return fact


def _much_sugar(standing: Standing) -> Input | None:
    weights = [
        (part.amount.m_as("pound"), knowledge.ingredients().get(part.name.lower()))
        for part, _ in standing.brew.fermentables() if part.amount is not None
    ]
    whole = sum(weight for weight, _ in weights)
    sugar = sum(weight for weight, entry in weights if entry and entry.kind == "sugar")
    if not whole or sugar / whole <= MUCH_SUGAR:
        return None
    return Input("sugar", f"{100 * sugar / whole:.0f} % of the recipe", "recipe")


def _dry_yeast(standing: Standing) -> Input | None:
    strain = standing.brew.yeast()
    return Input("yeast", strain.name, "recipe") if strain and "dry" in strain.id.split() else None


def _hops_to_come(standing: Standing) -> Input | None:
    lines = [line for line in standing.brew.batch.plan if line.made is None and line.boil_left is not None]
    hops = [line for line in lines if isinstance(knowledge.ingredients().get(line.ingredient or ""), knowledge.Hop)]
    if not hops:
        return None
    return Input("still to go in", wording.listed([str(line.ingredient) for line in hops]), "recipe")


FACTS: dict[str, Fact] = {
    "warm": _outside(1),
    "cold": _outside(-1),
    "pitched hot": _pitched_hot,
    "no reading": _no_reading,
    "fell": _drop(lambda drop: drop >= MOVED),
    "not fallen": _drop(lambda drop: drop < MOVED),
    "moving": _rest(False),
    "still": _rest(True),
    "at end": _from_end(lambda left: left <= AT_END),
    "short of end": _from_end(lambda left: left > ABOVE_EXPECTED),
    "weak": _against_recipe(-1),
    "strong": _against_recipe(1),
    "overfull": _volume(1),
    "short of volume": _volume(-1),
    "read warm": _read_warm,
    "dark extract": _recipe_has(("dark", "amber")),
    "crystal malt": _recipe_has(("crystal", "caramel")),
    "much sugar": _much_sugar,
    "dry yeast": _dry_yeast,
    "hops to come": _hops_to_come,
}
"""One line for each of `knowledge.entries.BATCH_FACTS`."""


def first_that_holds(rows: Iterable[knowledge.Given], standing: Standing) -> tuple[knowledge.Given, list[Input]] | None:
    """The first row whose conditions the batch meets, with the numbers they rest on."""
    days = standing.days()
    for row in rows:
        if row.stages and standing.stage not in row.stages:
            continue
        told: list[Input | None] = [standing.shows(name) for name in row.facts]
        if row.days_over is not None or row.days_under is not None:
            told.append(_days_within(days, row))
        if None not in told:
            return row, [shown for shown in told if shown] or [Input("stage", standing.stage, "log")]
    return None


def _days_within(days: Known | None, row: knowledge.Given) -> Input | None:
    if days is None or not (row.days_over or 0.0) <= days.value < (row.days_under or float("inf")):
        return None
    return Input("time", wording.span(days.value * 24 * 60), days.origin)
