"""Whether every number, told in every usual way, is understood within a sentence."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from itertools import product

import pytest
from spoken_numbers import SIGNS, decimal_forms, gravity_forms, mixed_forms, value_of, whole_forms
from spoken_times import clock_forms, duration_forms, hour_and_number_forms

from grammar.command import LINE, Slot
from grammar.language import Language

NOW = datetime(2026, 10, 10, 14, 5, tzinfo=timezone(timedelta(hours=-6)))
"""The afternoon of the brew day."""

FIGURE_APART = "last apart"
"""`1.06 5` may be two figures."""

Means = Callable[[str, str, dict[str, Slot]], None]


@pytest.fixture(scope="module")
def means(language: Language) -> Means:
    """Asserts that a sentence is one command, sure enough to go ahead, with exactly these slots."""

    def check(said: str, act: str, slots: dict[str, Slot]) -> None:
        [command] = language.understand(said, NOW)
        assert command.act == act and command.sure >= LINE, (said, command)
        assert command.slots.keys() == slots.keys(), (said, command)
        for name, slot in slots.items():
            assert in_minutes(command.slots[name]) == pytest.approx(slot, abs=1e-9), (said, command)

    return check


def in_minutes(slot: Slot) -> Slot:
    """A slot with hours told as minutes."""
    return [60 * slot[0], "minute"] if isinstance(slot, list) and slot[1] == "hour" else slot


def test_gravities(means: Means) -> None:
    for points in range(990, 1151, 7):  # every last digit comes round
        gravity: Slot = [points / 1000, "sg"]
        for form, said in gravity_forms(points).items():
            means(f"reading {said} at 68 degrees F", "log_gravity",
                  {"gravity": gravity, "temperature": [68, "degF"]})
            if form != FIGURE_APART:
                means(f"the gravity is {said}", "log_gravity", {"gravity": gravity})


def test_a_gravity_with_a_figure_apart_is_not_logged_wrong(language: Language) -> None:
    for points in range(990, 1151):
        [command] = language.understand(f"the gravity is {gravity_forms(points)[FIGURE_APART]}", NOW)
        assert command.slots == {"gravity": [points / 1000, "sg"]} or command.sure < LINE, command


def test_temperatures(means: Means) -> None:
    for degrees in range(30, 213):  # hotter wort than boiling is asked about
        for said in whole_forms(degrees):
            temperature: Slot = [degrees, "degF"]
            means(f"the wort is at {said} F", "log_temperature", {"temperature": temperature, "of": "wort"})
            means(f"gravity ten sixty at {said} degrees F", "log_gravity",
                  {"gravity": [1.06, "sg"], "temperature": temperature})


def test_amounts(means: Means) -> None:
    for whole, fraction in product(range(1, 11), SIGNS):
        amount = whole + value_of(fraction)
        for said in mixed_forms(whole, fraction):
            means(f"the volume is {said} gallons", "log_volume", {"volume": [amount, "gallon"]})
            means(f"added {said} oz of cascade", "log_addition",
                  {"ingredient": "cascade", "amount": [amount, "ounce"]})
    for hundredths in range(5, 1001, 5):
        for said in decimal_forms(f"{hundredths / 100:.2f}"):
            means(f"added {said} ounces of cascade", "log_addition",
                  {"ingredient": "cascade", "amount": [hundredths / 100, "ounce"]})


def test_durations(means: Means) -> None:
    for minutes in range(1, 181):
        told = [*duration_forms(minutes)]
        if minutes > 60 and minutes % 60:
            told += hour_and_number_forms(minutes)
        for said in told:
            means(f"set a timer for {said}", "start_timer", {"duration": [minutes, "minute"]})


def test_clock_times(means: Means) -> None:
    for hour, minute in (divmod(at, 60) for at in range(0, 1440, 7)):
        meant = NOW.replace(hour=hour, minute=minute)
        if meant > NOW:
            meant -= timedelta(days=1)
        for said in clock_forms(hour, minute):
            means(f"the boil started at {said} {'ap'[hour // 12]}m", "log_event",
                  {"event": "boil_start", "when": f"{meant:%Y-%m-%dT%H:%M}"})
