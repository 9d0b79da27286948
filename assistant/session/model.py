"""The batches as the log tells them: plan, timers, settings, and the entries by what they report."""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass, field
from datetime import datetime

from assistant.session import stages
from assistant.session.entry import Entry, SlotValue

Settings = dict[str, SlotValue]


@dataclass(frozen=True)
class PlanLine:
    """An addition that is to happen."""

    id: int
    """The entry that planned it."""
    said: datetime
    ingredient: str | None
    amount: SlotValue
    """`[number, unit]` as it was said."""
    boil_left: float | None
    """Minutes of boil left when it goes in; 0 is flameout, None is not an addition to the boil."""
    slots: dict[str, SlotValue]
    """Everything said about it, alpha acid for one."""
    made: int | None = None
    """The entry that reported it added, or None while it is still to do."""


@dataclass(frozen=True)
class Timer:
    """A timer that was started; whether it still runs is for the clocks to say."""

    id: int
    """The entry that started it."""
    said: datetime
    label: str | None
    minutes: float
    started: datetime
    cancelled: datetime | None = None


@dataclass
class Batch:
    """One batch. Lists by act are in the order things happened, `entries` in the order they were said."""

    id: int
    """The number of the entry that opened it; 0 for the bench, where entries of no batch are."""
    brewer: Settings
    """The brewer's own settings, shared by all batches."""
    settings: Settings = field(default_factory=dict)
    """What was set for this batch alone, its name, style and volume among it."""
    plan: list[PlanLine] = field(default_factory=list)
    timers: list[Timer] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    """Its live entries as corrected, without the undos and corrections themselves."""
    by_act: dict[str, list[Entry]] = field(default_factory=dict)

    def setting(self, name: str) -> SlotValue | None:
        """What holds for this batch: its own setting, else the brewer's, else None."""
        return self.settings.get(name, self.brewer.get(name))

    @property
    def name(self) -> str | None:
        return self.settings.get("name")

    @property
    def style(self) -> str | None:
        return self.settings.get("style")

    @property
    def volume(self) -> SlotValue | None:
        return self.setting("volume")

    @property
    def stage(self) -> str:
        """One of the names in `stages.STAGES`."""
        return stages.stage(entry.slots["event"] for entry in self.events)

    @property
    def gravities(self) -> list[Entry]:
        return self.of("log_gravity")

    @property
    def temperatures(self) -> list[Entry]:
        return self.of("log_temperature")

    @property
    def volumes(self) -> list[Entry]:
        return self.of("log_volume")

    @property
    def additions(self) -> list[Entry]:
        """The additions made; which plan line each fulfilled stands in that line's `made`."""
        return self.of("log_addition")

    @property
    def events(self) -> list[Entry]:
        return self.of("log_event")

    @property
    def notes(self) -> list[Entry]:
        return self.of("note")

    def of(self, act: str) -> list[Entry]:
        """The live entries of one act, in the order they happened."""
        return self.by_act.get(act, [])

    def event(self, name: str) -> Entry | None:
        """The last event of this name, or None."""
        return next((entry for entry in reversed(self.events) if entry.slots["event"] == name), None)

    def open_lines(self, ingredient: str) -> list[PlanLine]:
        """The plan lines still to do that this ingredient's name fits, in the order planned."""
        return [line for line in self.plan if line.made is None and same_name(line.ingredient, ingredient)]

    def file(self, entry: Entry) -> None:
        """Adds an entry to the list of its act."""
        insort(self.by_act.setdefault(entry.act, []), entry, key=lambda filed: filed.order)


@dataclass
class Journal:
    """All batches. It changes in place as entries come; an undo or a correction makes a new one."""

    settings: Settings = field(default_factory=dict)
    """The brewer's own settings."""
    by_id: dict[int, Batch] = field(default_factory=dict)
    live: dict[int, Entry] = field(default_factory=dict)
    """Every entry that is not undone, as corrected, by number."""
    latest_id: int | None = None
    bench: Batch = field(init=False)
    """Where entries of no batch are: a timer started before any batch, or a note."""

    def __post_init__(self) -> None:
        # What is set while there is no batch holds for every batch to come.
        self.bench = Batch(id=0, brewer=self.settings, settings=self.settings)

    @property
    def batches(self) -> list[Batch]:
        """In the order they were opened."""
        return list(self.by_id.values())

    @property
    def latest(self) -> Batch | None:
        """The batch last opened or returned to."""
        return None if self.latest_id is None else self.by_id[self.latest_id]

    def place(self, batch: int | None) -> Batch | None:
        """The batch of this number, the bench for None; None when the batch was undone."""
        return self.bench if batch is None else self.by_id.get(batch)


def words(name: str | None) -> frozenset[str]:
    return frozenset((name or "").casefold().split())


def same_name(one: str | None, other: str | None) -> bool:
    """Whether one name's words are all among the other's: "Goldings" and "East Kent Goldings"."""
    first, second = words(one), words(other)
    return bool(first and second) and (first <= second or second <= first)
