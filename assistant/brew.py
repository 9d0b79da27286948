"""What the batch in hand knows, as quantities, each with where it came from: said, logged, set, or usual."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any, TypeGuard

import knowledge
from assistant import making
from assistant.engine import gravity as gravities
from assistant.engine import heat, volumes, wort
from assistant.engine.errors import EngineError
from assistant.engine.fermentables import Fermentable, attenuation_of, original_gravity, points_of
from assistant.engine.fermentation import Reading, Standstill, standstill
from assistant.engine.inputs import BOILING, ROOM
from assistant.engine.result import Result
from assistant.engine.units import Q, Quantity
from assistant.session.clocks import BoilClock, boil_clock, boil_length
from assistant.session.entry import Entry
from assistant.session.model import Batch, PlanLine
from assistant.wording import quantity as show

_BEER = frozenset("wort beer fermenter fermentor kettle pot bucket carboy primary secondary".split())
"""Places whose temperature is the beer's own."""

_HEATED = frozenset(("water", "steep water", "steep", "steeping water", "strike water", "mash", "mash water", "brew kettle"))
"""Further places that a burner heats."""

_BATH = frozenset(("ice bath", "water bath", "bath", "sink", "tap water", "swamp cooler", "cooler", "chiller"))
"""Places whose temperature is that of what cools the wort."""

LONG_AGO = timedelta(hours=1)
"""A temperature this old says nothing of the heating that goes on."""

POUR_OVER = timedelta(hours=6)
"""A reading this long after the pitch still counts as the original gravity: common practice, no source."""

STAND_FROM, STAND_UNTIL = 5.0, 180.0
"""Minutes between flameout and chill that are a hop stand; fewer are in the utilization as measured."""

_COLD = (("lager", 58), ("hybrid", 68))
"""Families of yeast by the top of their range in Fahrenheit, coldest first. Lager yeast wants 45 to 55 (Palmer, from
memory), the warmest of it a little more, an ale yeast kept cool like a Kölsch's up to 68: common practice, no source."""

FRUIT_COLOR, FRUIT_TAKEN = 1.0, 100.0
"""Of fruit: the color it is counted with, for its own is no malt's, and the percent of its sugar that ferments."""

JUST_BOILED = timedelta(minutes=10)
"""So long before the boil is told and after the flame is out the kettle is taken for boiling hot."""

SMALL = Q(3, "ounce")
"""An addition of less does not change the volume to speak of: finings, spices, salts."""


@dataclass(frozen=True)
class Known:
    """A value and its origin in words."""

    value: Any
    origin: str


@dataclass(frozen=True)
class Line:
    """A line of the recipe, or what became of it."""

    name: str
    amount: Any
    """A slot, or none."""
    boil_left: float | None
    """Minutes; none is not an addition to the boil, or not told."""
    slots: dict[str, Any]
    origin: str
    happened: datetime | None = None
    """When it went in; none is not reported."""

    @property
    def mass(self) -> Quantity | None:
        """Its amount, if that is a weight."""
        if not isinstance(self.amount, list):
            return None
        amount = as_quantity(self.amount)
        return amount if amount.is_compatible_with("gram") else None


@dataclass(frozen=True)
class HopLine:
    """A hop in the boil."""

    name: str
    amount: Quantity
    alpha: Known
    boil_left: float
    """Minutes, by the clock where it was reported."""
    origin: str


IN_FERMENTER = frozenset({"transfer", "seal", "pitch", "airlock_active"})
"""Events that happen to wort in the fermenter."""

OFF_THE_BOIL = IN_FERMENTER | {"flameout", "chill_start"}
"""Events that show that the boil is over."""

USUAL_CARBONATION = Known(Q(2.4, "volume_co2"), "default: usual for an American ale")
"""Common practice, no source."""


def as_quantity(slot: Sequence[Any]) -> Quantity:
    return Q(float(slot[0]), slot[1])


def logged(entry: Entry) -> str:
    return f"logged {entry.happened:%b} {entry.happened.day} {entry.happened:%H:%M}"


class Brew:
    """One batch at one moment. Every method gives None where the batch does not know."""

    def __init__(self, batch: Batch, now: datetime) -> None:
        self.batch = batch
        self.now = now

    # --- Settings

    def setting(self, name: str) -> Known | None:
        value = self.batch.setting(name)
        return Known(as_quantity(value), "setting") if isinstance(value, list) else None

    def volume(self) -> Known | None:
        """The finished volume: what is in the fermenter if that was logged, else the batch size."""
        return self.fermenter_volume() or self.size()

    def size(self) -> Known | None:
        """The volume the batch is planned for."""
        size = self.batch.volume
        return Known(as_quantity(size), "batch size") if isinstance(size, list) else None

    def _in_fermenter(self, entry: Entry) -> bool:
        """Whether a volume is that in the fermenter: as it was said, else by whether the wort was there already."""
        if _names(entry, FERMENTERS) or _names(entry, KETTLES):
            return _names(entry, FERMENTERS)
        moved = [event.happened for event in self.batch.events if event.slots["event"] in IN_FERMENTER]
        moved += [volume.happened for volume in self.batch.volumes if _names(volume, FERMENTERS)]
        return any(moment <= entry.happened for moment in moved)

    def fermenter_volume(self) -> Known | None:
        """The last volume logged that is in the fermenter."""
        for entry in reversed(self.batch.volumes):
            if self._in_fermenter(entry):
                return Known(as_quantity(entry.slots["volume"]), logged(entry))
        return None

    def kettle_volume(self) -> Known | None:
        """The last volume logged that is not in the fermenter."""
        for entry in reversed(self.batch.volumes):
            if not self._in_fermenter(entry):
                return Known(as_quantity(entry.slots["volume"]), logged(entry))
        return None

    def boil_volume(self) -> Known | None:
        """What the kettle held when the boil began, by the last volume told before.

        What was dissolved after that made it more, and steeped grain lifted out after that took some along. What was
        told before a mash was rinsed is mash water and says nothing of the boil.
        """
        start, lifted = self.batch.event("boil_start"), self.batch.event("steep_end")
        before = [
            entry
            for entry in self.batch.volumes
            if not self._in_fermenter(entry) and (start is None or entry.happened <= start.happened)
        ]
        if not before:
            return None
        told = before[-1]
        dry = bool(self.grains()) and (lifted is None or lifted.happened > told.happened)
        if dry and self.use_of_grain().value == "mashed":
            return None
        liters = as_quantity(told.slots["volume"]).m_as("liter")
        if dry:
            liters = max(0.0, liters - (volumes.ABSORPTION * self.grain()).m_as("liter"))
        whole = self.boiled().value.m_as("minute")
        dissolved = [
            part
            for part, line in self.grain_bill()
            if not is_grain(part)
            and (line.boil_left is None or line.boil_left >= whole)
            and (line.happened is None or line.happened > told.happened)
        ]
        volume = Q(_with_dissolved(liters, dissolved), "liter").to(told.slots["volume"][1])
        changed = (["less what the grain keeps"] if dry else []) + (["with the extract"] if dissolved else [])
        return Known(volume, ", ".join([f"{show(as_quantity(told.slots['volume']))} {logged(told)}", *changed]))

    def wort_there_is(self) -> Known | None:
        """What came out of the boil: what is in the fermenter, else what the kettle was said to hold since the flame went out."""
        return self.fermenter_volume() or (self.kettle_volume() if self._since_flameout() else None)

    def left_after_boil(self) -> Known | None:
        """What the kettle held first after the flame went out."""
        told = (entry for entry in self._since_flameout() if not self._in_fermenter(entry))
        return next((Known(as_quantity(entry.slots["volume"]), logged(entry)) for entry in told), None)

    def _since_flameout(self) -> list[Entry]:
        """The volumes told since the flame went out."""
        out = self.batch.event("flameout")
        return [entry for entry in self.batch.volumes if out and entry.happened >= out.happened]

    def boil_off(self) -> Known:
        """As this batch boiled off; else as set, else as usual."""
        return self._measured_boil_off() or self.setting("boil_off") or Known(
            Q(1, "gallon/hour"), "usual on a gas burner; common practice, no source"
        )

    def _measured_boil_off(self) -> Known | None:
        """From the kettle's volumes before and after boiling, where nothing that changes them came in between."""
        boil = boil_clock(self.batch, self.now)
        if boil is None:
            return None
        kettle = [entry for entry in self.batch.volumes if not self._in_fermenter(entry)]
        for before, after in reversed(list(pairwise(kettle))):
            minutes = boil.ran.elapsed_between(before.happened, after.happened)
            if self._changed_between(before.happened, after.happened):
                continue
            try:
                result = volumes.boil_off_rate(
                    as_quantity(before.slots["volume"]),
                    as_quantity(after.slots["volume"]),
                    Q(minutes, "minute"),
                    self._kettle_temperature(before, boil),
                    self._kettle_temperature(after, boil),
                )
            except EngineError:
                continue
            told = " to ".join(f"{show(as_quantity(each.slots['volume']))} {logged(each)}" for each in (before, after))
            return Known(result.values["rate"], f"measured: {told}, {minutes:.0f} min of boiling between")
        return None

    def _changed_between(self, start: datetime, end: datetime) -> bool:
        """Whether extract, water or grain went in or out, or the wort was moved."""
        steps = [
            entry
            for entry in self.batch.events
            if entry.slots["event"] in ("steep_start", "steep_end", "transfer", "pitch")
        ]
        added = [
            entry
            for entry in self.batch.additions
            if not isinstance(knowledge.ingredients().get(str(entry.slots["ingredient"])), knowledge.Hop)
            and not _small(entry.slots.get("amount"))
        ]
        return any(start < entry.happened < end for entry in (*steps, *added))

    def _kettle_temperature(self, entry: Entry, boil: BoilClock) -> Quantity:
        """How hot the kettle was when its volume was told: as last read, boiling while it boils and just after."""
        hot = boil.started - JUST_BOILED <= entry.happened <= (boil.ended or self.now) + JUST_BOILED
        if hot:
            return BOILING
        read = [each for each in self.wort_temperatures() if each.happened <= entry.happened]
        return as_quantity(read[-1].slots["temperature"]) if read else ROOM

    def carbonation(self) -> Known:
        """The gas wanted, as set, else as usual."""
        return self.setting("carbonation") or USUAL_CARBONATION

    def boil_length(self) -> Known:
        minutes, origin = boil_length(self.batch)
        words = {
            "set": "setting",
            "plan": "the longest addition of the recipe",
            "usual": "usual; common practice",
        }
        return Known(Q(minutes, "minute"), words[origin])

    def calibration(self, unit: str = "sg") -> Known:
        """What the hydrometer is marked for; one with a Plato scale is made for 20 degrees Celsius."""
        if unit == "plato" and self.setting("hydrometer_calibration") is None:
            return Known(Q(20, "degC"), "usual mark of a Plato scale; set yours if it differs")
        return self.setting("hydrometer_calibration") or Known(
            Q(60, "degF"), "usual mark; set yours if it differs"
        )

    # --- Readings

    def temperature(self) -> Known | None:
        entries = self.batch.temperatures
        return Known(as_quantity(entries[-1].slots["temperature"]), logged(entries[-1])) if entries else None

    def wort_temperature(self) -> Known | None:
        """The last temperature of the wort itself, not of the room or the water; boiling while it boils.

        What was read before the boil says nothing of the wort once that is over.
        """
        entries = self.wort_temperatures()
        boil, clock = self.batch.event("boil_start"), boil_clock(self.batch, self.now)
        if boil and not (entries and entries[-1].happened >= boil.happened):
            return self._boiling(boil) if clock and clock.ended is None and clock.left > 0 else None
        return Known(as_quantity(entries[-1].slots["temperature"]), logged(entries[-1])) if entries else None

    def _boiling(self, boil: Entry) -> Known:
        known = self.boiling_point()
        scale = "degC" if self.batch.setting("units") == "metric" else "degF"
        return Known((known.value if known else BOILING).to(scale), f"boiling, {logged(boil)}")

    def wort_temperatures(self) -> list[Entry]:
        return [entry for entry in self.batch.temperatures if entry.slots.get("of", "wort") in _BEER]

    def warming(self) -> list[Entry]:
        """The temperatures of the heating that goes on now, oldest first: rising, with nothing put in between."""
        entries = [entry for entry in self.batch.temperatures if entry.slots.get("of", "wort") in _BEER | _HEATED]
        if not entries or self.now - entries[-1].happened > LONG_AGO or self._turned_since(entries[-1]):
            return []
        run = entries[-1:]
        for earlier in reversed(entries[:-1]):
            if (
                _degrees(earlier) >= _degrees(run[0])
                or run[0].happened - earlier.happened > LONG_AGO
                or self._changed_between(earlier.happened, run[0].happened)
            ):
                break
            run.insert(0, earlier)
        return run

    def _turned_since(self, entry: Entry) -> bool:
        """Whether the boil has begun, or heating was over, after that."""
        return any(
            event.happened >= entry.happened and event.slots["event"] in ("boil_start", "flameout", "chill_start", "pitch")
            for event in self.batch.events
        )

    def chilling(self) -> list[Entry]:
        """The wort's temperatures since the flame went out, until the yeast went in."""
        start = self.batch.event("chill_start") or self.batch.event("flameout")
        pitch = self.batch.event("pitch")
        return [
            entry
            for entry in self.wort_temperatures()
            if start
            and entry.happened >= start.happened
            and (pitch is None or entry.happened < pitch.happened)
        ]

    def bath(self) -> Known | None:
        """What the wort is chilled with, as read since the flame went out."""
        start = self.batch.event("flameout")
        found = [
            entry
            for entry in self.batch.temperatures
            if entry.slots.get("of") in _BATH and (start is None or entry.happened >= start.happened)
        ]
        return Known(as_quantity(found[-1].slots["temperature"]), logged(found[-1])) if found else None

    def warmest_since_done(self) -> Known | None:
        """The warmest the beer has been since it fermented out, which decides the gas left in it.

        While the readings do not show when that was, since the yeast went in: the safe side for no bottle, and yet
        what is known. What it stood at when it was done counts.
        """
        pitch = self.batch.event("pitch")
        begin = self._done_at() or (pitch.happened if pitch else None)
        told = self._beer_temperatures()
        before = [entry for entry in told if begin and entry.happened < begin and pitch and entry.happened >= pitch.happened]
        return _warmest(before[-1:] + [entry for entry in told if begin is None or entry.happened >= begin])

    def warmest_with_yeast(self) -> Known | None:
        """The warmest the beer has been since the yeast went in."""
        pitch = self.batch.event("pitch")
        return _warmest([entry for entry in self._beer_temperatures() if pitch and entry.happened >= pitch.happened])

    def _beer_temperatures(self) -> list[Entry]:
        """Temperatures of the beer itself and of its samples, oldest first."""
        samples = (entry for entry in self.batch.gravities if "temperature" in entry.slots and self.batch.event("pitch"))
        return sorted([*self.wort_temperatures(), *samples], key=lambda entry: entry.happened)

    def still(self) -> Standstill | None:
        """How long the fermenting beer's gravity has stood still, by its readings."""
        readings = self.since_pitch()
        return standstill([reading for _, reading in readings]) if readings else None

    def _done_at(self) -> datetime | None:
        """The first of the last readings that agree, where they have for long enough."""
        still = self.still()
        return self.since_pitch()[-still.readings][0] if still and still.long_enough else None

    def fermenting_since(self) -> datetime | None:
        """When the yeast went in; where that was not told, when the original gravity was read, for it goes in then."""
        began = self.batch.event("pitch") or self._original_entry()
        return began.happened if began else None

    def fermented_for(self, moment: datetime) -> float:
        """Days of fermentation at that moment; none before it began."""
        begin = self.fermenting_since()
        return max(0.0, (moment - begin) / timedelta(days=1)) if begin else 0.0

    def since_pitch(self) -> list[tuple[datetime, Reading]]:
        """The readings of fermenting beer, each with the days since the yeast went in."""
        begin, first = self.fermenting_since(), self._original_entry()
        return [
            (moment, Reading(self.fermented_for(moment), value))
            for moment, value, _ in self.readings()
            if begin and moment >= begin and (first is None or moment > first.happened)
        ]

    def corrected(self, entry: Entry) -> Quantity:
        """A gravity entry in sg: a hydrometer's at its own temperature, as read where no temperature was said; a
        refractometer's by its first reading and what alcohol does to the later ones."""
        reading = gravities.to_sg(as_quantity(entry.slots["gravity"]))
        warmth = entry.slots.get("temperature")
        if entry.slots["gravity"][1] == "brix":
            behind = self.behind_refractometer(entry)
            return behind.values["gravity"] if behind else reading
        if not isinstance(warmth, list):
            return reading
        try:
            return gravities.correct_reading(
                reading, as_quantity(warmth), self.calibration(entry.slots["gravity"][1]).value
            ).values["gravity"]
        except EngineError:
            return reading

    def refractometer_correction(self) -> Known:
        return self.setting("refractometer_correction") or Known(
            Q(1.04, ""), "default: usual for wort; 1.00 to 1.06 by instrument"
        )

    def behind_refractometer(self, entry: Entry) -> Result | None:
        """The gravity behind a reading in Brix; None where it cannot be told, such as one above the first."""
        first, pitch = self._original_entry(), self.batch.event("pitch")
        fermented = first is not None and pitch is not None and entry.happened > first.happened
        began = as_quantity(first.slots["gravity"]) if first and fermented else None
        if began is not None and first and first.slots["gravity"][1] != "brix":
            began = self.corrected(first)
        reading = as_quantity(entry.slots["gravity"])
        try:
            return gravities.refractometer(
                reading if began is None else began,
                None if began is None else reading,
                self.refractometer_correction().value.magnitude,
            )
        except EngineError:
            return None

    def readings(self) -> list[tuple[datetime, Quantity, Entry]]:
        return [(entry.happened, self.corrected(entry), entry) for entry in self.batch.gravities]

    def _off_the_boil(self) -> list[Entry]:
        """The gravities of wort that boils down no further: where a boil was told, those since it was over."""
        start, entries = self.batch.event("boil_start"), self.batch.gravities
        if start is None:
            return entries
        ended = [event.happened for event in self.batch.events if event.slots["event"] in OFF_THE_BOIL]
        clock = boil_clock(self.batch, self.now)
        ended += [clock.ends_at] if clock and clock.ends_at else []
        over = min((moment for moment in ended if moment > start.happened), default=self.now)
        return [entry for entry in entries if entry.happened >= over]

    def _original_entry(self) -> Entry | None:
        pitch = self.batch.event("pitch")
        entries = self._off_the_boil()
        if pitch is None:
            return entries[0] if entries else None
        early = [entry for entry in entries if entry.happened <= pitch.happened + POUR_OVER]
        return early[-1] if early else None

    def original(self) -> Known | None:
        entry = self._original_entry()
        return Known(self.corrected(entry), f"{logged(entry)}, {_how_read(entry)}") if entry else None

    def current(self) -> Known | None:
        """The last reading after the original one."""
        first = self._original_entry()
        later = [entry for entry in self._off_the_boil() if first is None or entry.happened > first.happened]
        return (
            Known(self.corrected(later[-1]), f"{logged(later[-1])}, {_how_read(later[-1])}")
            if later
            else None
        )

    # --- The recipe

    def lines(self) -> list[Line]:
        """The recipe; where an addition was reported, what went in and when. Then what went in beside it."""
        made = {entry.id: entry for entry in self.batch.additions}
        found = [self._as_made(line, made.pop(line.made or 0, None)) for line in self.batch.plan]
        return found + [self._added(entry) for entry in made.values()]

    def _as_made(self, line: PlanLine, entry: Entry | None) -> Line:
        planned = Line(line.ingredient or "", line.amount, line.boil_left, line.slots, "recipe")
        if entry is None:
            return planned
        told = self._added(entry)
        return Line(
            max(planned.name, told.name, key=lambda name: len(name.split())),
            told.amount if isinstance(told.amount, list) else planned.amount,
            # What was added before the boil, or with no boil told of, went in as planned.
            planned.boil_left if told.boil_left is None else told.boil_left,
            {**told.slots, **planned.slots},
            told.origin,
            told.happened,
        )

    def _added(self, entry: Entry) -> Line:
        slots = entry.slots if not self._is_cold(entry) else {**entry.slots, "use": "dry hop"}
        return Line(
            str(entry.slots["ingredient"]), entry.slots.get("amount"), self._boiled(entry), slots, logged(entry), entry.happened
        )

    def _is_cold(self, entry: Entry) -> bool:
        """Whether it went into cooled wort or beer."""
        cold = [event for name in ("pitch", "transfer") if (event := self.batch.event(name))]
        return any(event.happened < entry.happened for event in cold)

    def _boiled(self, entry: Entry) -> float | None:
        """Minutes an addition boiled, by the clock; what was said of it goes first."""
        said = _minutes(entry.slots.get("boil_left"))
        boil = boil_clock(self.batch, self.now)
        if said is not None or boil is None or entry.happened < boil.started:
            return said
        before = boil_clock(self.batch, entry.happened)
        whole = boil.elapsed if boil.ended else max(boil.length, boil.elapsed)
        return max(0.0, whole - (before.elapsed if before else 0.0))

    def boiled(self) -> Known:
        """How long it boils, or did."""
        boil = boil_clock(self.batch, self.now)
        if boil and boil.ended:
            return Known(Q(boil.elapsed, "minute"), "logged")
        return self.boil_length()

    def way(self) -> Known:
        """One of the first four of `knowledge.entries.WAYS`, and what makes the batch that one."""
        entries = ((knowledge.ingredients().get(line.name), line.mass) for line in self.lines())
        malts = [
            (entry, None if mass is None else mass.m_as("pound"))
            for entry, mass in entries
            if isinstance(entry, knowledge.Fermentable)
        ]
        return Known(*making.way_of(self.batch, malts))

    def use_of_grain(self) -> Known:
        """Whether the grain is mashed or steeped, which decides what it gives, and why it is taken to be."""
        way = self.way()
        return Known(making.use_of_grain(way.value), way.origin)

    def fermentables(self) -> list[tuple[Fermentable, float | None]]:
        """Extract, sugar and grain with amounts, and the minute of the boil they go in, if told."""
        return [(part, line.boil_left) for part, line in self.grain_bill()]

    def grain_bill(self) -> list[tuple[Fermentable, Line]]:
        """Extract, sugar, fruit and grain with amounts, each with its line."""
        found = []
        use = self.use_of_grain().value
        for line in self.lines():
            entry = knowledge.ingredients().get(line.name)
            amount = line.mass
            if amount is not None and entry is not None and _gives_extract(entry):
                found.append((fermentable(entry, amount, use), line))
        return found

    def hops(self) -> list[HopLine]:
        """Each hop of the boil, of known strength and weight."""
        found = []
        for line in self.lines():
            entry = knowledge.ingredients().get(line.name)
            if isinstance(entry, knowledge.Hop) and line.mass is not None and "use" not in line.slots:
                alpha = self.alpha(entry, line.slots)
                if alpha:
                    found.append(HopLine(entry.name, line.mass, alpha, line.boil_left or 0.0, line.origin))
        return found

    def boiling_point(self) -> Known | None:
        """Where water boils at the altitude that was set."""
        altitude = self.setting("altitude")
        if altitude is None:
            return None
        at = f"at {altitude.value:.5g~P}"
        return Known(heat.boiling_point(altitude.value).values["temperature"], f"setting: boiling {at}")

    def _left_hot(self) -> tuple[Entry, Entry] | None:
        """When the flame went out and when the chill began, where both were told."""
        out, chill = self.batch.event("flameout"), self.batch.event("chill_start")
        return (out, chill) if out and chill else None

    def stand(self) -> Known | None:
        """How long the wort was left hot after the flame went out, by the log; the first minutes go for nothing."""
        hot = self._left_hot()
        if hot is None:
            return None
        out, chill = hot
        minutes = (chill.happened - out.happened).total_seconds() / 60
        return Known(Q(minutes, "minute"), logged(chill)) if STAND_FROM <= minutes <= STAND_UNTIL else None

    def stand_temperature(self) -> Known | None:
        """The mean of what was read of the wort while it stood hot."""
        hot = self._left_hot()
        if hot is None:
            return None
        out, chill = hot
        read = [
            as_quantity(entry.slots["temperature"]).m_as("degC")
            for entry in self.wort_temperatures()
            if out.happened <= entry.happened <= chill.happened
        ]
        return Known(Q(sum(read) / len(read), "degC"), f"logged, mean of {len(read)}") if read else None

    def alpha(self, hop: knowledge.Hop, slots: dict[str, Any]) -> Known | None:
        if isinstance(slots.get("alpha"), list):
            return Known(as_quantity(slots["alpha"]), "said")
        if hop.alpha is None:
            return None
        low, high = hop.alpha.low, hop.alpha.high
        return Known(
            Q((low + high) / 2, "percent"),
            f"middle of the usual {low:g} to {high:g} % for {hop.name}; the package decides",
        )

    def kettle_gravity(self, minutes: float, boiled: Known | None = None) -> Known:
        """Mean gravity in the kettle over the last `minutes` of the boil, late extract and evaporation counted.

        `boiled`: what goes into the boil, where it is not to be what was logged.
        """
        rate = self.boil_off().value.m_as("gallon/hour") / 60
        length = self.boiled().value.m_as("minute")
        start = boiled or self.boil_volume()
        finished, left = self.volume(), self.left_after_boil()
        if left and start and not boiled and left.value <= start.value:
            end_volume = left.value.m_as("gallon")
            origin = f"recipe, {show(left.value)} left in the kettle, {left.origin}"
        elif start:
            end_volume = max(start.value.m_as("gallon") - rate * length, 0.5)
            origin = f"recipe, from {start.value.m_as('gallon'):.2g} gal in the kettle, {start.origin}"
        else:
            end_volume = finished.value.m_as("gallon") if finished else 5.0
            origin = "recipe, taking a boil of the full volume"
        steps = max(1, round(minutes))
        extracts = self._extracts()
        mean = sum(_gravity_at(extracts, left, end_volume + rate * left) for left in range(steps)) / steps
        return Known(Q(mean, "sg"), origin)

    def _extracts(self) -> list[tuple[float, float | None]]:
        """Kilograms of extract that each line of the recipe gives, and the minute of the boil it goes in, if told."""
        return [
            (part.amount.m_as("kilogram") * wort.extract_share(points_of(part).number), boil_left)
            for part, boil_left in self.fermentables()
            if part.amount is not None
        ]

    def grain(self) -> Quantity:
        masses = [part.amount.to("pound") for part in self.grains() if part.amount]
        return sum(masses, Q(0.0, "pound"))

    def grains(self) -> list[Fermentable]:
        return [part for part, _ in self.fermentables() if is_grain(part)]

    def hop_mass(self) -> Quantity:
        """All hops of the boil together."""
        return sum((hop.amount.to("ounce") for hop in self.hops()), Q(0.0, "ounce"))

    def yeast(self) -> knowledge.Yeast | None:
        for line in self.lines():
            entry = knowledge.ingredients().get(line.name)
            if isinstance(entry, knowledge.Yeast):
                return entry
        return None

    def family(self) -> Known:
        """ale, hybrid or lager, by how cold its yeast likes it."""
        kind = self.yeast()
        if kind and kind.temperature:
            warm = kind.temperature.high
            return Known(
                next((name for name, limit in _COLD if warm <= limit), "ale"), f"recipe: {kind.name}"
            )
        return Known("ale", "default: ale yeast")

    # --- What is to be expected

    def strain(self) -> tuple[Known, float]:
        """What its yeast ferments of malt wort, and how far that may be off, in percent."""
        kind = self.yeast()
        if kind and kind.attenuation:
            low, high = kind.attenuation.low, kind.attenuation.high
            return Known(Q((low + high) / 2, "percent"), f"middle of what {kind.name} does"), (high - low) / 2
        return (
            Known(
                Q(75, "percent"),
                "default: ale yeast ferments 70 to 80 % of the gravity; common practice, no source",
            ),
            5.0,
        )

    def attenuation(self) -> Known:
        """The share of the gravity that its yeast ferments, of what is in the recipe."""
        known, half_width = self.strain()
        parts = [part for part, _ in self.fermentables()]
        unlike = [part.name for part in parts if part.fermentable is not None]
        if not unlike:
            return known
        try:
            mean = attenuation_of(parts, known.value, half_width).values["attenuation"]
        except EngineError:
            return known
        return Known(mean, f"{known.origin}; {', '.join(unlike)} counted for itself")

    def recipe_gravity(self, volume: Known | None) -> Known | None:
        """The original gravity that the recipe gives in so much wort.

        In the batch's planned size (`aim`) it is what the recipe means, against which wort is weak or strong. In the
        volume that the fermenter was said to hold, before that in the planned size (`likely_original`), it is what a
        hydrometer should show: the same extract in more water or less.
        """
        parts = [part for part, _ in self.fermentables()]
        if volume is None or not parts:
            return None
        try:
            gravity = original_gravity(parts, volume.value).values["gravity"]
        except EngineError:
            return None
        used = f", the grain {self.use_of_grain().value}" if any(map(is_grain, parts)) else ""
        return Known(gravity, f"recipe in {show(volume.value)}{used}")

    def aim(self) -> Known | None:
        """The original gravity the recipe means: in the planned size."""
        return self.recipe_gravity(self.size())

    def likely_original(self) -> Known | None:
        """The original gravity as measured, else what the recipe should give in the wort there is."""
        return self.original() or self.recipe_gravity(self.volume())

    def should_end(self) -> Known | None:
        """Where it should finish, by its original gravity and its yeast."""
        original = self.likely_original()
        if original is None:
            return None
        share = self.attenuation()
        expected = gravities.final_gravity(original.value, share.value)
        return Known(expected.values["gravity"], f"expected of {original.value.m_as('sg'):.3f}, {original.origin}; {share.origin}")

    def expected_final(self) -> Known | None:
        """Where it should finish, until there is yeast in it: after that only a reading tells."""
        expected = self.should_end()
        if expected is None or self.batch.event("pitch") is not None:
            return None
        return Known(expected.value, "expected, not read")


def _gives_extract(entry: knowledge.Ingredient) -> TypeGuard[knowledge.Fermentable | knowledge.Fruit]:
    """Whether it counts in the grain bill; husks that give nothing do not."""
    return isinstance(entry, knowledge.Fermentable) and entry.yield_points != 0 or (
        isinstance(entry, knowledge.Fruit) and entry.yield_points is not None
    )


def is_grain(part: Fermentable) -> bool:
    return part.use != "dissolved"


def fermentable(
    entry: knowledge.Fermentable | knowledge.Fruit, amount: Quantity | None, use_of_grain: str = "steeped"
) -> Fermentable:
    """A fact of the knowledge base as the engine takes it; its grain steeped, unless it is said to be mashed."""
    if isinstance(entry, knowledge.Fruit):
        return Fermentable(entry.name, amount, entry.yield_points, "dissolved", None, FRUIT_COLOR, None, FRUIT_TAKEN)
    use = use_of_grain if entry.form == "grain" else "dissolved"
    # Grain that needs no mash was kilned or roasted until no enzyme was left.
    power = entry.diastatic if entry.mash or entry.diastatic is not None else 0.0
    return Fermentable(
        entry.name, amount, entry.yield_points, use, entry.steeped_points, entry.color, power, entry.fermentable
    )


def _with_dissolved(liters: float, parts: Sequence[Fermentable]) -> float:
    """Liters of wort that so much water makes with all of that in it; nothing is lost by weight."""
    masses = [part.amount.m_as("kilogram") for part in parts if part.amount is not None]
    extract = sum(mass * wort.extract_share(points_of(part).number) for mass, part in zip(masses, parts, strict=True))
    whole = liters * wort.WATER + sum(masses)
    return whole / (wort.sg_of(100 * extract / whole) * wort.WATER) if whole else 0.0


def _gravity_at(extracts: Sequence[tuple[float, float | None]], left: float, gallons: float) -> float:
    """Gravity in the kettle with so many minutes of boil left, of what is in by then."""
    kilograms = sum(extract for extract, boil_left in extracts if boil_left is None or boil_left >= left)
    return wort.sg_from_extract(kilograms / Q(gallons, "gallon").m_as("liter"))


def _degrees(entry: Entry) -> float:
    return float(as_quantity(entry.slots["temperature"]).m_as("degC"))


def _small(amount: Any) -> bool:
    """Whether so much of anything leaves the volume as it is; a spoonful does."""
    if not isinstance(amount, list):
        return True
    told = as_quantity(amount)
    return bool(told.is_compatible_with("pound") and told < SMALL) or amount[1] in ("teaspoon", "tablespoon", "tablet")


FERMENTERS = ("ferment", "bucket", "carboy", "primary", "secondary", "keg")
KETTLES = ("kettle", "pot")
"""Words in the names of vessels."""


def _names(entry: Entry, vessels: Sequence[str]) -> bool:
    return any(vessel in str(entry.slots.get("of", "")) for vessel in vessels)


def _how_read(entry: Entry) -> str:
    if entry.slots["gravity"][1] == "brix":
        return "by refractometer"
    return "corrected for temperature" if "temperature" in entry.slots else "as read, no temperature said"


def _warmest(entries: Sequence[Entry]) -> Known | None:
    if not entries:
        return None
    warmest = max(entries, key=lambda entry: as_quantity(entry.slots["temperature"]).m_as("degF"))
    return Known(as_quantity(warmest.slots["temperature"]), f"warmest {logged(warmest)}")


def _minutes(slot: Any) -> float | None:
    return as_quantity(slot).m_as("minute") if isinstance(slot, list) else None
