"""The fold leaves the state the tables say, and comes out the same in whatever steps it is made."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.session import Batch, Entry, Journal, fold
from assistant.session.stages import EVENTS
from assistant.session.state import extend

TABLES = Path(__file__).parent / "tables"
LISTS = ("gravities", "temperatures", "volumes", "additions", "events", "notes", "entries")


def cases(name: str) -> list[dict[str, Any]]:
    with open(TABLES / name, "rb") as file:
        table: list[dict[str, Any]] = tomllib.load(file)["case"]
    return table


def show_line(line: Any) -> str:
    boil_left = "None" if line.boil_left is None else f"{line.boil_left:g}"
    return f"{line.id}: {line.ingredient}, {boil_left}" + (f", made by {line.made}" if line.made else "")


def show_timer(timer: Any) -> str:
    cancelled = f", cancelled {timer.cancelled:%H:%M}" if timer.cancelled else ""
    return f"{timer.id}: {timer.label}, {timer.minutes:g}{cancelled}"


def picture(journal: Journal, batch: Batch) -> dict[str, Any]:
    """The state in the words of the table."""
    return {
        "stage": batch.stage,
        "name": batch.name,
        "style": batch.style,
        "volume": batch.volume,
        "settings": batch.settings,
        "brewer": journal.settings,
        "plan": [show_line(line) for line in batch.plan],
        "timers": [show_timer(timer) for timer in batch.timers],
        "gravity": [entry.slots["gravity"] for entry in batch.gravities],
        "slots_of": {str(entry.id): entry.slots for entry in batch.entries},
        "batches": [each.id for each in journal.batches],
        "latest": journal.latest.id if journal.latest else None,
        **{name: [entry.id for entry in getattr(batch, name)] for name in LISTS},
    }


@pytest.mark.parametrize("case", cases("fold.toml"), ids=lambda case: case["title"])
def test_a_story_leaves_this_state(case: dict[str, Any], story: Callable[[str], list[Entry]]) -> None:
    journal = fold(story(case["story"]))
    chosen = case.get("batch") or list(journal.by_id)[-1]
    batch = journal.bench if chosen == "bench" else journal.by_id[chosen]
    expected = {name: value for name, value in case.items() if name not in ("title", "story", "batch")}
    found = picture(journal, batch)
    assert expected
    for number, slots in expected.pop("slots_of", {}).items():
        assert found["slots_of"][number] == slots
    assert {name: found[name] for name in expected} == expected


@pytest.mark.parametrize("case", cases("stages.toml"), ids=lambda case: case["events"] or "nothing")
def test_events_lead_to_a_stage(case: dict[str, str], story: Callable[[str], list[Entry]]) -> None:
    events = enumerate(case["events"].split(), start=9)
    lines = [f"{hour:02}:00 log_event event={event}" for hour, event in events]
    journal = fold(story("\n".join(["08:30 new_batch", *lines])))
    assert journal.latest is not None
    assert journal.latest.stage == case["stage"]


NAMES = st.sampled_from(["willamette", "willamette hops", "magnum", "irish moss"])
MINUTES = st.integers(0, 90).map(lambda number: [number, "minute"])
SLOTS: dict[str, st.SearchStrategy[dict[str, Any]]] = {
    "new_batch": st.fixed_dictionaries({}, optional={"name": NAMES}),
    "use_batch": st.just({}),
    "set": st.fixed_dictionaries({}, optional={"boil_length": MINUTES, "altitude": st.just([100, "foot"])}),
    "plan_addition": st.fixed_dictionaries(
        {"ingredient": NAMES, "amount": st.just([1, "ounce"])}, optional={"boil_left": MINUTES}
    ),
    "remove_addition": st.fixed_dictionaries({"ingredient": NAMES}),
    "log_addition": st.fixed_dictionaries({"ingredient": NAMES}, optional={"boil_left": MINUTES}),
    "log_event": st.fixed_dictionaries({"event": st.sampled_from(EVENTS)}),
    "log_gravity": st.integers(1000, 1100).map(lambda points: {"gravity": [points / 1000, "sg"]}),
    "start_timer": st.fixed_dictionaries({"duration": MINUTES}, optional={"label": NAMES}),
    "cancel_timer": st.fixed_dictionaries({}, optional={"label": NAMES}),
    "pause": st.just({}),
    "resume": st.just({}),
    "undo": st.just({}),
    "correct_last": st.fixed_dictionaries({}, optional={"boil_left": MINUTES, "ingredient": NAMES}),
    "dance": st.fixed_dictionaries({}, optional={"step": NAMES}),
}


@st.composite
def random_entries(draw: st.DrawFn) -> list[Entry]:
    """Any acts in any order, with references to any entry before, moments up to an hour late."""
    begun = datetime(2026, 10, 10, 8, tzinfo=UTC)
    entries: list[Entry] = []
    for number in range(1, draw(st.integers(1, 30)) + 1):
        act = draw(st.sampled_from(list(SLOTS)))
        opened = [None, *(entry.id for entry in entries if entry.act == "new_batch")]
        said = begun + timedelta(minutes=7 * number)
        entries.append(Entry(
            id=number, act=act, slots=draw(SLOTS[act]), heard=act, said=said,
            happened=said - timedelta(minutes=draw(st.integers(0, 60))),
            batch=number if act == "new_batch" else draw(st.sampled_from(opened)),
            refers=draw(st.none() | st.integers(1, number)) if number > 1 else None,
        ))
    return entries


@settings(max_examples=300, deadline=None)
@given(random_entries(), st.data())
def test_folding_on_equals_folding_anew(entries: list[Entry], data: st.DataObject) -> None:
    """However the entries arrive, one by one or several at a time."""
    journal, read = fold([]), 0
    while read < len(entries):
        step = data.draw(st.integers(1, 4))
        journal = extend(journal, entries[:read], entries[read:read + step])
        read += step
        assert journal == fold(entries[:read])


@settings(max_examples=200, deadline=None)
@given(random_entries())
def test_an_undo_leaves_what_would_be_without_the_entry(entries: list[Entry]) -> None:
    """Undoing the last entry gives the state before it; undoing that undo gives it back."""
    def undo(number: int, refers: int) -> Entry:
        return Entry(id=number, act="undo", slots={}, heard="undo", refers=refers, batch=None,
                     happened=entries[-1].said, said=entries[-1].said)

    last = entries[-1].id
    undone = [*entries, undo(last + 1, last)]
    redone = [*undone, undo(last + 2, last + 1)]
    assert states(fold(undone)) == states(fold(entries[:-1]))
    assert states(fold(redone)) == states(fold(entries))


def states(journal: Journal) -> tuple[Any, ...]:
    """All of a journal but the undos that led to it."""
    return journal.by_id, journal.settings, journal.latest_id, journal.bench
