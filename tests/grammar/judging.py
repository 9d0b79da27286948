"""Judges whether a sentence was understood as it was meant: right, asked back, or mistaken for another."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from functools import cache

import pytest

from assistant.names import names
from grammar.command import LINE, Command, Slot
from grammar.language import Language
from grammar.words import split

Hear = Callable[[str], list[Command]]
"""Sentence in, commands out."""

SAID_AT = datetime(2026, 10, 18, 15, 0, tzinfo=timezone(timedelta(hours=-4)))
"""Sunday afternoon, eight days after the brew day of Harvest Amber."""

FAHRENHEIT, CELSIUS = "degF", "degC"

BASE_UNITS = {
    "gallon": ("liter", 3.785411784), "quart": ("liter", 0.946352946), "pint": ("liter", 0.473176473),
    "cup": ("liter", 0.2365882365), "fluid_ounce": ("liter", 0.0295735295625), "milliliter": ("liter", 0.001),
    "teaspoon": ("liter", 0.00492892159375), "tablespoon": ("liter", 0.01478676478125),
    "ounce": ("gram", 28.349523125), "pound": ("gram", 453.59237), "kilogram": ("gram", 1000.0),
    "second": ("minute", 1 / 60), "hour": ("minute", 60.0), "day": ("minute", 1440.0),
    "week": ("minute", 10080.0), "foot": ("meter", 0.3048),
}
"""What each unit is in one its kind shares; exact: NIST Handbook 44, appendix C (from memory)."""

LITTLE_WORDS = frozenset("the a an my".split())


@dataclass(frozen=True)
class Case:
    """A sentence and what it means."""

    said: str
    acts: frozenset[str]
    slots: dict[str, Slot]
    way: str
    """`typed` or `dictated`, or over which noise it was heard."""


@cache
def listener() -> Hear:
    """The language, built once."""
    language = Language(names())
    return lambda said: language.understand(said, SAID_AT)


def in_base(number: float, unit: str) -> tuple[float, str]:
    if unit == FAHRENHEIT:
        return (number - 32) / 1.8, CELSIUS
    base, factor = BASE_UNITS.get(unit, (unit, 1.0))
    return number * factor, base


def same(slot: str, want: Slot, got: Slot | None) -> bool:
    """Whether a slot holds what was meant: the same quantity or ingredient, a text with all the words."""
    if isinstance(want, list):
        if not isinstance(got, list):
            return False
        (wanted, unit), (given, given_unit) = in_base(*want), in_base(*got)
        return unit == given_unit and wanted == pytest.approx(given, rel=1e-4, abs=1e-6)
    if not isinstance(got, str):
        return False
    if slot == "ingredient":
        return want == got
    return set(split(want)) - LITTLE_WORDS <= set(split(got))


def wrong(case: Case, command: Command) -> Iterator[str]:
    """What is wrong with a command, a few words each; nothing when it is right.

    Where a sentence may mean one of several acts, each with slots of its own, it may lack a slot or have one more.
    """
    several = len(case.acts) > 1
    if command.act not in case.acts:
        yield f"act {command.act} {command.slots}, sure {command.sure}"
        return
    if command.sure < LINE:
        yield f"sure only {command.sure}"
    for slot, want in case.slots.items():
        if not (several and slot not in command.slots) and not same(slot, want, command.slots.get(slot)):
            yield f"{slot} {command.slots.get(slot)} instead of {want}"
    if not several:
        for slot, got in command.slots.items():
            if isinstance(got, list) and slot not in case.slots:
                yield f"{slot} {got} made up"


@dataclass(frozen=True)
class Miss:
    """A sentence that was not understood as it was meant."""

    case: Case
    faults: list[str]
    command: Command

    @property
    def mistaken(self) -> bool:
        """Whether the program would have gone ahead with it."""
        return self.command.act != "unclear" and self.command.sure >= LINE

    def __str__(self) -> str:
        return f"{'|'.join(sorted(self.case.acts))}: {self.case.said!r}: {'; '.join(self.faults)}"


def misses(spoken: list[Case], hear: Hear) -> list[Miss]:
    heard = [(case, hear(case.said)[0]) for case in spoken]
    return [Miss(case, faults, command) for case, command in heard if (faults := list(wrong(case, command)))]
