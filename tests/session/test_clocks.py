"""The clocks stand as the table says, and a change of the clocks on the wall does not move them."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.session import BoilClock, Due, Entry, boil_clock, came_due, fold, running_timers, upcoming

with open(Path(__file__).parent / "tables" / "clocks.toml", "rb") as file:
    CASES = tomllib.load(file)["case"]

Story = Callable[[str], list[Entry]]
At = Callable[[str], datetime]


def show_boil(boil: BoilClock | None) -> str:
    if boil is None:
        return "none"
    end = "paused" if boil.paused else f"{'ended' if boil.ended else 'ends'} {boil.ends_at:%H:%M}"
    return f"{boil.elapsed:g} of {boil.length:g} ({boil.length_from}), {boil.left:g} left, {end}"


def show_due(due: Due) -> str:
    what = {
        "flameout": "flameout",
        "timer": f"timer {due.label}",
        "addition": ", ".join(str(line.ingredient) for line in due.items),
    }[due.kind]
    return f"{f'{due.at:%H:%M}' if due.at else '-'} in {due.minutes:g}: {what}"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["title"])
def test_the_clocks_at_a_moment(case: dict[str, Any], story: Story, at: At) -> None:
    journal = fold(story(case["story"]))
    batch, now = journal.latest or journal.bench, at(case["now"])
    found = {
        "boil": show_boil(boil_clock(batch, now)),
        "upcoming": [show_due(due) for due in upcoming(batch, now)],
        "due": [show_due(due) for due in came_due(batch, at(case.get("since", case["now"])), now)],
    }
    expected = {name: case[name] for name in found if name in case}
    assert expected
    assert {name: found[name] for name in expected} == expected


# In the United States clocks go back an hour at 2 am on the first Sunday in November and forward on the
# second Sunday in March (Energy Policy Act of 2005, section 110; from memory): 2026-11-01 and 2027-03-14.
EASTERN = ZoneInfo("America/New_York")
CHANGES = [
    # begun on the wall, minutes later, then on the wall: the clock must have run those minutes
    (datetime(2026, 11, 1, 1, 30), 45, datetime(2026, 11, 1, 1, 15, fold=1)),
    (datetime(2026, 11, 1, 0, 30), 180, datetime(2026, 11, 1, 2, 30)),
    (datetime(2027, 3, 14, 1, 30), 45, datetime(2027, 3, 14, 3, 15)),
]


@pytest.mark.parametrize(("begun", "minutes", "then"), CHANGES)
def test_summer_time_does_not_shift_a_running_clock(begun: datetime, minutes: int, then: datetime) -> None:
    begun, then = begun.replace(tzinfo=EASTERN), then.replace(tzinfo=EASTERN)

    def entry(number: int, act: str, slots: dict[str, Any]) -> Entry:
        return Entry(id=number, batch=1, act=act, slots=slots, heard=act, happened=begun, said=begun)

    batch = fold([
        entry(1, "new_batch", {}),
        entry(2, "set", {"boil_length": [minutes, "minute"]}),
        entry(3, "log_event", {"event": "boil_start"}),
        entry(4, "start_timer", {"duration": [minutes + 15, "minute"]}),
    ]).latest
    assert batch is not None
    boil, (timer,) = boil_clock(batch, then), running_timers(batch, then)
    assert boil is not None
    assert (boil.elapsed, boil.left, timer.left) == (minutes, 0, 15)
    assert boil.ends_at is not None
    # Told as the clock on the wall shows it.
    assert boil.ends_at.replace(tzinfo=None) == then.replace(tzinfo=None)
    hour = timedelta(hours=1)
    just_before = (then.astimezone(ZoneInfo("UTC")) - hour / 60).astimezone(EASTERN)
    assert [due.kind for due in came_due(batch, just_before, then)] == ["flameout"]
    assert [due.kind for due in came_due(batch, begun, just_before)] == []


def test_what_comes_after_the_clocks_went_back_is_not_due_before() -> None:
    """Begun at half past one in summer time for 45 minutes, it ends at a quarter past one in winter time."""
    begun = datetime(2026, 11, 1, 1, 30, tzinfo=EASTERN)
    batch = fold([Entry(
        id=1, act="start_timer", slots={"duration": [45, "minute"]}, heard="", happened=begun, said=begun,
    )]).bench
    now = datetime(2026, 11, 1, 1, 50, tzinfo=EASTERN)
    assert [due.minutes for due in upcoming(batch, now)] == [25]
    assert came_due(batch, begun - timedelta(minutes=30), now) == []


@given(st.lists(st.integers(1, 20), max_size=8), st.integers(0, 200))
def test_a_boil_and_its_pauses_make_up_the_time(gaps: list[int], later: int) -> None:
    """Every minute since the start was either boiled or paused, however often it was paused."""
    begun = datetime(2026, 10, 10, 10, tzinfo=EASTERN)
    moments = [begun + timedelta(minutes=sum(gaps[:at + 1])) for at in range(len(gaps))]
    acts = [("pause", "resume")[at % 2] for at in range(len(gaps))]

    def entry(number: int, act: str, moment: datetime, **slots: str) -> Entry:
        return Entry(id=number, batch=1, act=act, slots=slots, heard=act, happened=moment, said=moment)

    entries = [entry(1, "new_batch", begun), entry(2, "log_event", begun, event="boil_start")]
    entries += [entry(at, *told) for at, told in enumerate(zip(acts, moments, strict=True), start=3)]
    batch = fold(entries).latest
    assert batch is not None
    now = begun + timedelta(minutes=sum(gaps) + later)
    boil = boil_clock(batch, now)
    assert boil is not None
    paused = sum(gaps[1::2]) + (later if len(gaps) % 2 else 0)
    assert boil.elapsed == pytest.approx(sum(gaps) + later - paused)
    assert boil.paused == (len(gaps) % 2 == 1)
