"""A window keeps its own batch, sees what other windows add, and records only what can be read again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from assistant.session import BadSlot, Batch, Draft, Entry, Log, LogLocked, Session, fold

MOMENT = datetime(2026, 10, 10, 8, 30, tzinfo=timezone(timedelta(hours=-4)))
NAMES = ["porter", "harvest amber", "harvest amber no 2", "Harvest Ale"]


def draft(act: str, batch: int | None = None, refers: int | None = None, **slots: Any) -> Draft:
    return Draft(act=act, slots=slots, heard=act, happened=MOMENT, said=MOMENT, refers=refers, batch=batch)


def tell(
    session: Session, act: str, batch: int | None = None, refers: int | None = None, **slots: Any
) -> Entry:
    return session.record(act, slots, act, MOMENT, MOMENT, refers, batch)


def number(batch: Batch | None) -> int | None:
    return batch.id if batch else None


@pytest.fixture
def window(path: Path) -> Iterator[Callable[[], Session]]:
    """Opens another window on the same file."""
    logs: list[Log] = []

    def opened() -> Session:
        logs.append(Log.open(path, patience=0.05))
        return Session(logs[-1])

    yield opened
    for log in logs:
        log.close()


Window = Callable[[], Session]


def test_an_empty_log_has_no_batch_but_a_bench(window: Window) -> None:
    session = window()
    assert (session.batch, session.last_entry(), session.last_undone()) == (None, None, [])
    noted = tell(session, "note", text="order malt")
    assert noted.batch is None
    assert session.bench.notes == [noted]
    assert session.last_entry() == noted


def test_entries_go_to_the_batch_of_the_window(window: Window) -> None:
    session = window()
    assert tell(session, "new_batch", name="harvest amber").batch == 1
    assert tell(session, "log_volume", volume=[3, "gallon"]).batch == 1
    assert tell(session, "new_batch", name="porter").batch == 3
    assert tell(session, "note", text="oats").batch == 3
    assert tell(session, "note", batch=1, text="for the other one").batch == 1
    assert tell(session, "note", text="more oats").batch == 3


def test_a_window_keeps_its_batch_whatever_another_does(window: Window) -> None:
    garage, kitchen = window(), window()
    tell(garage, "new_batch", name="harvest amber")
    kitchen.refresh()
    assert number(kitchen.batch) == 1
    tell(garage, "new_batch", name="porter")
    kitchen.refresh()
    assert [number(window.batch) for window in (garage, kitchen)] == [2, 1]
    assert number(kitchen.journal.latest) == 2
    tell(kitchen, "use_batch", batch=2, name="porter")
    tell(garage, "use_batch", batch=1, name="harvest amber")
    garage.refresh()
    assert [number(window.batch) for window in (garage, kitchen)] == [1, 2]
    assert number(window().batch) == 1  # A new one starts at the batch last turned to.


def test_windows_see_each_others_entries(window: Window) -> None:
    garage, kitchen = window(), window()
    tell(garage, "new_batch", name="harvest amber")
    tell(garage, "log_gravity", gravity=[1.053, "sg"])
    kitchen.refresh()
    tell(kitchen, "correct_last", refers=2, gravity=[1.052, "sg"])
    tell(garage, "log_gravity", gravity=[1.024, "sg"])
    kitchen.refresh()
    for each in (garage, kitchen, window()):
        assert each.batch is not None
        assert [entry.slots["gravity"][0] for entry in each.batch.gravities] == [1.052, 1.024]
        assert each.journal == fold(each.log.since())


def test_a_batch_undone_gives_way_to_the_one_before_and_comes_back(window: Window) -> None:
    session = window()
    tell(session, "new_batch", name="porter")
    opened = tell(session, "new_batch", name="harvest amber")
    tell(session, "undo", refers=opened.id)
    assert number(session.batch) == 1
    [undone] = session.last_undone()
    assert undone.id == 3
    tell(session, "undo", refers=undone.id)
    assert number(session.batch) == 2


def test_the_only_batch_undone_can_be_brought_back(window: Window) -> None:
    session = window()
    tell(session, "new_batch", name="porter")
    tell(session, "undo", refers=1)
    assert session.batch is None
    [undone] = session.last_undone()
    tell(session, "undo", refers=undone.id)
    assert number(session.batch) == 1


def test_undo_after_undo_walks_back_and_redo_forward(window: Window) -> None:
    """Each undo takes the last sentence that still stands; each redo the last undo that still stands."""
    session = window()
    tell(session, "new_batch")
    tell(session, "log_volume", volume=[3, "gallon"])

    def say(heard: str, *drafts: Draft) -> None:
        session.record_many([replace(each, heard=heard) for each in drafts])

    def take_back(entries: list[Entry]) -> list[int]:
        at = len(session.log.since())
        say(f"undo after {at}", *(draft("undo", refers=entry.id) for entry in entries))
        return [each.id for each in session.bench.entries]

    say(
        "the boil is on and the magnum went in",
        draft("log_event", event="boil_start"),
        draft("log_addition", ingredient="magnum"),
    )
    assert take_back(session.last_told()) == [1, 2]
    assert take_back(session.last_told()) == [1]
    assert take_back(session.last_undone()) == [1, 2]
    assert take_back(session.last_undone()) == [1, 2, 3, 4]
    assert session.last_undone() == []
    assert take_back(session.last_told()) == [1, 2]


def test_the_same_thing_said_twice_in_a_moment_is_two_sentences(window: Window) -> None:
    session = window()
    tell(session, "new_batch")
    for _ in range(2):
        session.record_many([draft("log_addition", ingredient="magnum")])
    assert [entry.id for entry in session.last_told()] == [3]


def test_the_last_entry_is_the_windows_own_batchs_and_as_corrected(window: Window) -> None:
    garage, kitchen = window(), window()
    tell(garage, "new_batch")
    tell(garage, "log_gravity", gravity=[1.053, "sg"])
    tell(garage, "correct_last", refers=2, gravity=[1.052, "sg"])
    tell(kitchen, "new_batch")
    garage.refresh()
    last = garage.last_entry()
    assert last is not None
    assert (last.id, last.slots) == (2, {"gravity": [1.052, "sg"]})


FOUND = [
    # asked, the name of the batch found
    ("porter", "porter"),
    ("PORTER", "porter"),
    ("harvest amber", "harvest amber"),
    ("amber", "harvest amber no 2"),
    ("the harvest amber no 2", "harvest amber no 2"),
    ("harvest ale", "Harvest Ale"),
    ("harvest", "Harvest Ale"),
    ("stout", None),
    ("", None),
    ("  ", None),
]


@pytest.mark.parametrize(("asked", "found"), FOUND)
def test_a_batch_is_found_by_its_name(window: Window, asked: str, found: str | None) -> None:
    """The very name first, then the newest that shares the shorter one's words; never one without a name."""
    session = window()
    for name in NAMES:
        tell(session, "new_batch", name=name)
    tell(session, "new_batch")
    batch = session.find_batch(asked)
    assert (batch.name if batch else None) == found


SENTENCES = [
    # the drafts of one sentence in a log whose window is at batch 1, and the batches they go to
    ([draft("note", text="a"), draft("note", text="b")], [1, 1]),
    ([draft("new_batch"), draft("note", text="a"), draft("note", text="b")], [2, 2, 2]),
    ([draft("note", text="a"), draft("new_batch"), draft("note", text="b")], [1, 3, 3]),
    ([draft("new_batch"), draft("pause"), draft("new_batch"), draft("resume")], [2, 2, 4, 4]),
    ([draft("new_batch"), draft("use_batch", batch=1), draft("note", text="a")], [2, 1, 1]),
    ([draft("new_batch"), draft("note", batch=1, text="a"), draft("note", text="b")], [2, 1, 2]),
    ([draft("note", text="a"), draft("undo", refers=-1)], [1, 1]),
]


@pytest.mark.parametrize(("drafts", "batches"), SENTENCES)
def test_a_sentence_of_several_entries(window: Window, drafts: list[Draft], batches: list[int]) -> None:
    session = window()
    tell(session, "new_batch")
    assert [entry.batch for entry in session.record_many(drafts)] == batches
    assert number(session.batch) == batches[-1]
    assert session.journal == fold(session.log.since())


REFUSED = [
    # act, slots, the slot at fault
    ("log_gravity", {}, "gravity"),
    ("log_gravity", {"gravity": 1.012}, "gravity"),
    ("log_gravity", {"gravity": ["1.012", "sg"]}, "gravity"),
    ("log_gravity", {"gravity": [1.012]}, "gravity"),
    ("log_gravity", {"gravity": [True, "sg"]}, "gravity"),
    ("log_gravity", {"gravity": [float("nan"), "sg"]}, "gravity"),
    ("log_gravity", {"gravity": [float("inf"), "sg"]}, "gravity"),
    ("log_gravity", {"gravity": "high"}, "gravity"),
    ("log_gravity", {"gravity": [1.012, "sg"], "when": "yesterday"}, "when"),
    ("log_event", {"event": "explosion"}, "event"),
    ("log_event", {"event": ["boil_start"]}, "event"),
    ("log_addition", {"amount": [1, "ounce"]}, "ingredient"),
    ("log_addition", {"ingredient": " "}, "ingredient"),
    ("log_addition", {"ingredient": "magnum", "boil_left": [-5, "minute"]}, "boil_left"),
    ("plan_addition", {"ingredient": "magnum"}, "amount"),
    ("plan_addition", {"amount": [1, "ounce"], "boil_left": [5, "gallon"]}, "boil_left"),
    ("start_timer", {}, "duration"),
    ("start_timer", {"duration": [1, "fortnight"]}, "duration"),
    ("start_timer", {"duration": [10, "minute"], "label": 3}, "label"),
    ("correct_last", {"gravity": None}, "gravity"),
    ("set", {"boil_length": [60, "degF"]}, "boil_length"),
    ("set", {"whatever": {"a": 1}}, "whatever"),
    ("note", {}, "text"),
    ("use_batch", {"name": "porter"}, "batch"),
]


@pytest.mark.parametrize(("act", "slots", "slot"), REFUSED)
def test_what_could_not_be_read_again_is_not_saved(
    window: Window, act: str, slots: dict[str, Any], slot: str
) -> None:
    session = window()
    with pytest.raises(BadSlot) as caught:
        session.record_many([draft("note", text="fine"), draft(act, **slots)])
    assert caught.value.slot == slot
    assert f"'{slot}'" in str(caught.value)
    assert session.log.since() == []


def test_an_entry_that_was_not_saved_does_not_count(window: Window) -> None:
    session, other = window(), window()
    tell(session, "new_batch")
    other.log._db.execute("BEGIN IMMEDIATE")
    with pytest.raises(LogLocked):
        tell(session, "new_batch")
    other.log._db.execute("ROLLBACK")
    assert number(session.batch) == 1
    assert [entry.id for entry in session.bench.entries] == [1]
    assert tell(session, "note", text="later").id == 2


def test_everything_is_there_after_a_restart(window: Window, story: Callable[[str], list[Entry]]) -> None:
    session = window()
    for entry in story("""
        08:30 new_batch name=harvest amber; volume=5 gallon
        08:31 set boil_off=1 gallon/hour
        08:34 plan_addition ingredient=willamette; amount=1 ounce; boil_left=15 minute
        09:58 log_event event=boil_start
        10:23 pause
        10:27 resume
        10:47 log_addition ingredient=willamette
        12:00 log_gravity gravity=1.053 sg
        12:01 correct_last #8 gravity=1.052 sg
        12:02 start_timer duration=2 hour
        12:03 undo #10
    """):
        session.record(entry.act, entry.slots, entry.heard, entry.happened, entry.said, entry.refers)
    assert window().journal == session.journal
    assert number(window().batch) == 1
