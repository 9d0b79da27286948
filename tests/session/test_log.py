"""The log keeps what it acknowledged, refuses what it must, and says so in words."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from assistant.session import (
    Draft,
    Entry,
    Log,
    LogCorrupt,
    LogDiskFull,
    LogError,
    LogForeign,
    LogLocked,
    LogNewer,
    LogUnwritable,
)

ROOT = Path(__file__).parents[2]
TABLES = Path(__file__).parent / "tables"
MOMENT = datetime(2026, 10, 10, 9, 58, tzinfo=ZoneInfo("America/New_York"))

COLUMNS = {
    "schema_change": ["number", "name", "made"],
    "entry": ["id", "batch", "happened", "said", "heard", "act", "slots", "refers"],
    "memo": ["key", "value"],
}
"""The layout of today, written out."""


def draft(heard: str = "boil's on", **changes: Any) -> Draft:
    plain = Draft(act="note", slots={"text": heard}, heard=heard, happened=MOMENT, said=MOMENT)
    return replace(plain, **changes)


def heard(log: Log) -> list[str]:
    return [entry.heard for entry in log.since()]


def layout(path: Path) -> dict[str, list[str]]:
    with closing(sqlite3.connect(path)) as db:
        names = [name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        tables = [name for name in names if not name.startswith("sqlite_")]
        return {name: [row[1] for row in db.execute(f"PRAGMA table_info({name})")] for name in tables}


def sound(path: Path) -> str:
    with closing(sqlite3.connect(path)) as db:
        return str(db.execute("PRAGMA integrity_check").fetchone()[0])


KEPT = [
    {"act": "log_gravity", "slots": {"gravity": [1.012, "sg"], "temperature": [68, "degF"]}},
    {"act": "log_volume", "slots": {"volume": [5.25, "gallon"], "of": "fermenter"}},
    {"act": "pause", "slots": {}},
    {"heard": "it's 20 °C, “warm” ½ \x00 \n 発酵 🍺"},
    {"happened": datetime(2026, 11, 1, 1, 30, tzinfo=ZoneInfo("America/New_York"), fold=1)},
    {"said": datetime(2026, 10, 10, 9, 58, 1, 250, tzinfo=ZoneInfo("UTC"))},
]


@pytest.mark.parametrize("changes", KEPT)
def test_what_is_saved_comes_back_the_same(log: Log, path: Path, changes: dict[str, Any]) -> None:
    saved = log.append([draft(**changes)])
    with Log.open(path) as other:
        assert other.since() == saved
    asked = draft(**changes)
    assert [replace(asked, **{name: getattr(saved[0], name) for name in changes})] == [asked]
    assert saved[0].happened.utcoffset() == asked.happened.utcoffset()


def test_bytes_that_are_no_text_are_kept_readable(log: Log) -> None:
    """A terminal hands them over as lone surrogates (PEP 383), which UTF-8 cannot hold."""
    assert log.append([draft("caf\udce9", slots={"text": "caf\udce9"})])[0].heard == "caf\\udce9"
    assert log.since()[0].slots == {"text": "caf\udce9"}


def test_numbers_run_on_and_since_reads_on(log: Log) -> None:
    assert [entry.id for entry in log.append([draft("one"), draft("two")])] == [1, 2]
    assert [entry.id for entry in log.append([draft("three")])] == [3]
    assert [entry.heard for entry in log.since(1)] == ["two", "three"]
    assert log.since(3) == []


def test_a_sentence_can_speak_of_its_own_entries(log: Log) -> None:
    log.append([draft("before")])
    saved = log.append([draft(act="new_batch", batch=-1), draft(batch=-1), draft(batch=-1, refers=-2)])
    found = [(entry.id, entry.batch, entry.refers) for entry in saved]
    assert found == [(2, 2, None), (3, 2, None), (4, 2, 3)]


MISTAKES = [
    ({"slots": {"gravity": [float("nan"), "sg"]}}, ValueError),
    ({"slots": {"gravity": {1.012}}}, TypeError),
    ({"refers": 99}, sqlite3.IntegrityError),
    ({"batch": 99}, sqlite3.IntegrityError),
]


@pytest.mark.parametrize(("changes", "error"), MISTAKES)
def test_of_one_sentence_all_or_nothing_is_saved(
    log: Log, changes: dict[str, Any], error: type[Exception]
) -> None:
    log.append([draft("before")])
    with pytest.raises(error):
        log.append([draft("good"), draft("bad", **changes)])
    assert heard(log) == ["before"]
    log.append([draft("after")])
    assert heard(log) == ["before", "after"]


@pytest.mark.parametrize("name", ["happened", "said"])
def test_a_moment_without_a_zone_is_refused(name: str) -> None:
    changes: dict[str, Any] = {name: MOMENT.replace(tzinfo=None)}
    with pytest.raises(ValueError, match=f"{name} needs a time zone"):
        draft(**changes)


CHANGES_OF_THE_PAST = [
    "UPDATE entry SET heard = 'something else'",
    "UPDATE entry SET id = 7 WHERE id = 1",
    "DELETE FROM entry",
    "DELETE FROM entry WHERE id = 2",
    "INSERT OR REPLACE INTO entry SELECT 1, batch, happened, said, 'else', act, slots, refers FROM entry",
    "REPLACE INTO entry SELECT * FROM entry WHERE id = 1",
]


@pytest.mark.parametrize("statement", CHANGES_OF_THE_PAST)
def test_the_past_cannot_be_changed(log: Log, path: Path, statement: str) -> None:
    saved = log.append([draft("one"), draft("two")])
    with closing(sqlite3.connect(path)) as db, pytest.raises(sqlite3.IntegrityError, match="append only"):
        db.execute(statement)
    assert log.since() == saved


SAFE = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 50}
"""As the SQLite manual names them: 2 is FULL, in which a WAL commit is synced to the disk."""


@pytest.mark.parametrize(("pragma", "value"), SAFE.items())
def test_the_database_is_set_for_safety_and_stays_so(log: Log, pragma: str, value: str | int) -> None:
    assert log._db.execute(f"PRAGMA {pragma}").fetchone() == (value,)
    log.set_memo("asked", "how much?")
    assert log._db.execute(f"PRAGMA {pragma}").fetchone() == (value,)


def test_a_new_file_gets_the_layout_of_today(log: Log, path: Path) -> None:
    assert layout(path) == COLUMNS


def test_a_file_of_the_first_layout_is_brought_up_to_date(path: Path) -> None:
    write_first_layout(path)
    with Log.open(path) as log:
        first, second = log.since()
        assert (first.batch, first.slots) == (1, {"name": "harvest amber", "volume": [5.0, "gallon"]})
        assert second == Entry(
            id=2, batch=1, act="log_event", slots={"event": "boil_start"}, heard="boil's on",
            happened=MOMENT, said=MOMENT.replace(minute=59),
        )
        log.set_memo("asked", "how much?")
        assert log.append([draft()])[0].id == 3
    assert layout(path) == COLUMNS
    with closing(sqlite3.connect(path)) as db:
        records = db.execute("SELECT number, name FROM schema_change ORDER BY number").fetchall()
    assert records == [(1, "add_entries"), (2, "add_memos")]


def test_a_change_that_fails_leaves_the_layout_before_it(path: Path) -> None:
    """A table in the way of the second change: neither the change nor its record is there afterwards."""
    write_first_layout(path)
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE memo (other TEXT)")
    with pytest.raises(sqlite3.OperationalError, match="already exists"):
        Log.open(path)
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("SELECT max(number) FROM schema_change").fetchone() == (1,)
        db.execute("DROP TABLE memo")
    with Log.open(path) as log:
        assert len(log.since()) == 2


def write_first_layout(path: Path) -> None:
    path.parent.mkdir(parents=True)
    with closing(sqlite3.connect(path)) as db:
        db.executescript((TABLES / "version-1.sql").read_text())


def make_newer(path: Path) -> None:
    Log.open(path).close()
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("INSERT INTO schema_change VALUES (99, 'from_the_future', '2036-10-10T00:00:00+00:00')")


def make_foreign(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE cellar (bottle TEXT)")


def make_text(path: Path) -> None:
    path.write_text("dear diary, today I brewed " * 400)


def make_damaged(path: Path) -> None:
    """Hundreds of entries, then a stretch in the middle of the file overwritten."""
    with Log.open(path) as log:
        log.append([draft(f"note {number} " + "x" * 200) for number in range(300)])
    content = bytearray(path.read_bytes())
    middle = len(content) // 2
    content[middle:middle + 8192] = b"\xaa" * 8192
    path.write_bytes(content)


def make_short(path: Path) -> None:
    """The second half of the file is missing."""
    with Log.open(path) as log:
        log.append([draft(f"note {number} " + "x" * 200) for number in range(300)])
    os.truncate(path, path.stat().st_size // 2)


REFUSED = [
    (make_newer, LogNewer, "newer program wrote this log (layout 99, this program knows up to 2)"),
    (make_foreign, LogForeign, "not a brewing log"),
    (make_text, LogCorrupt, "damaged"),
    (make_damaged, LogCorrupt, "damaged"),
    (make_short, LogCorrupt, "damaged"),
]


@pytest.mark.parametrize(("make", "error", "words"), REFUSED)
def test_a_file_that_is_not_ours_to_use_is_refused_and_left_alone(
    path: Path, make: Callable[[Path], None], error: type[LogError], words: str
) -> None:
    path.parent.mkdir()
    make(path)
    before = path.read_bytes()
    with pytest.raises(error) as caught:
        Log.open(path)
    assert words in str(caught.value)
    assert caught.value.path == path
    assert path.read_bytes() == before
    assert [file.name for file in path.parent.iterdir()] == [path.name]


def test_the_layout_numbers_stand_in_the_error(path: Path) -> None:
    make_newer(path)
    with pytest.raises(LogNewer) as caught:
        Log.open(path)
    assert (caught.value.found, caught.value.known) == (99, 2)


def test_an_entry_that_cannot_be_read_is_told_by_its_number(log: Log, path: Path) -> None:
    log.append([draft()])
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("INSERT INTO entry VALUES (2, NULL, 'yesterday', 'today', '', 'note', '{}', NULL)")
    with pytest.raises(LogCorrupt) as caught:
        log.since()
    assert caught.value.detail.startswith("entry 2:")


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    """A file stands where the folder should be."""
    (tmp_path / "kept").write_text("in the way")
    with pytest.raises(LogUnwritable, match="cannot be written"):
        Log.open(tmp_path / "kept" / "log.db")


def test_a_folder_in_the_place_of_the_file(path: Path) -> None:
    path.mkdir(parents=True)
    with pytest.raises(LogUnwritable, match="cannot be written"):
        Log.open(path)


def test_a_file_that_may_only_be_read(log: Log) -> None:
    """query_only makes SQLite answer as for a file without write permission, also to the superuser."""
    log.append([draft("before")])
    log._db.execute("PRAGMA query_only = ON")
    with pytest.raises(LogUnwritable) as caught:
        log.append([draft("reading 1.012")])
    assert not_saved("reading 1.012", caught.value)
    assert heard(log) == ["before"]


def not_saved(sentence: str, error: LogError) -> bool:
    return error.heard == sentence and str(error).startswith(f'NOT saved: "{sentence}".')


def test_a_full_disk_loses_nothing_and_says_what_was_not_saved(log: Log, path: Path) -> None:
    log.append([draft("before")])
    pages = log._db.execute("PRAGMA page_count").fetchone()[0]
    log._db.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(LogDiskFull) as caught:
        log.append([draft("small"), draft("large", slots={"text": "x" * 100_000})])
    assert caught.value.heard == "small / large"
    assert not_saved("small / large", caught.value)
    assert heard(log) == ["before"]
    log._db.execute(f"PRAGMA max_page_count = {pages + 100}")
    log.append([draft("large", slots={"text": "x" * 100_000})])
    assert heard(log) == ["before", "large"]
    assert sound(path) == "ok"


def test_a_locked_file_says_what_was_not_saved(log: Log, path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LogLocked) as caught:
            log.append([draft("reading 1.012")])
        assert not_saved("reading 1.012", caught.value)
        assert heard(log) == []  # It can be read all the while.
        other.execute("ROLLBACK")
    log.append([draft("reading 1.012")])
    assert heard(log) == ["reading 1.012"]


def test_opening_gives_up_on_a_file_that_another_program_keeps_reading(path: Path) -> None:
    """As long as it does, the file cannot be set to write ahead."""
    Log.open(path).close()
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode = DELETE")
        other.execute("BEGIN")
        other.execute("SELECT * FROM entry").fetchall()
        with pytest.raises(LogLocked):
            Log.open(path, patience=0.05)
        other.execute("ROLLBACK")
    with Log.open(path) as log:
        assert heard(log) == []


def test_an_error_while_opening_speaks_of_no_sentence(tmp_path: Path) -> None:
    (tmp_path / "log.db").write_text("dear diary " * 400)
    with pytest.raises(LogCorrupt) as caught:
        Log.open(tmp_path / "log.db")
    assert caught.value.heard == ""
    assert "NOT saved" not in str(caught.value)


MEMOS = [None, 0, 1.012, "which hop?", ["a", {"b": None}], {"slots": {"gravity": [1.012, "sg"]}}]


@pytest.mark.parametrize("value", MEMOS)
def test_a_memo_is_kept_across_windows_until_it_is_set_anew(log: Log, path: Path, value: Any) -> None:
    assert log.memo("asked") is None
    log.set_memo("asked", "something before")
    log.set_memo("asked", value)
    with Log.open(path) as other:
        assert other.memo("asked") == value
        assert other.memo("told") is None


def run(script: str, *arguments: str) -> subprocess.Popen[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(
        [sys.executable, "-c", SCRIPT_HEAD + script, *arguments], text=True, env=environment, cwd=ROOT,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )


SCRIPT_HEAD = """
import sys
from datetime import datetime, timezone
from assistant.session import Draft, Log
def draft(heard):
    now = datetime.now(timezone.utc)
    return Draft(act="note", slots={"text": heard}, heard=heard, happened=now, said=now)
"""

ACKNOWLEDGE_AND_WAIT = """
log = Log.open(sys.argv[1])
log.append([draft("reading 1.012")])
print("ok", flush=True)
sys.stdin.read()
"""

APPEND_MANY = """
log = Log.open(sys.argv[1], patience=60)
for number in range(200):
    log.append([draft(f"{sys.argv[2]} {number}")])
"""


def test_what_was_acknowledged_outlives_a_killed_program(path: Path) -> None:
    with run(ACKNOWLEDGE_AND_WAIT, str(path)) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == "ok\n"
        program.send_signal(signal.SIGKILL)
        assert program.wait() == -signal.SIGKILL
    with Log.open(path) as log:
        assert heard(log) == ["reading 1.012"]
        log.append([draft("after")])
    assert sound(path) == "ok"


def test_two_programs_writing_at_once_lose_nothing(path: Path) -> None:
    programs = [run(APPEND_MANY, str(path), name) for name in ("kitchen", "garage")]
    for program in programs:
        _, errors = program.communicate()
        assert (program.returncode, errors) == (0, "")
    with Log.open(path) as log:
        entries = log.since()
    assert [entry.id for entry in entries] == list(range(1, 401))
    for name in ("kitchen", "garage"):
        said = [entry.heard for entry in entries if entry.heard.startswith(name)]
        assert said == [f"{name} {number}" for number in range(200)]


def test_windows_opening_a_new_file_at_once_all_succeed(tmp_path: Path) -> None:
    """Again and again, for the moments in which they can get into each other's way are short."""
    for round_number in range(30):
        path = tmp_path / str(round_number) / "log.db"
        ready = threading.Barrier(8)

        def open_and_append(path: Path = path, ready: threading.Barrier = ready) -> None:
            ready.wait()
            with Log.open(path, patience=60) as log:
                log.append([draft("here")])

        with ThreadPoolExecutor(8) as windows:
            done = [windows.submit(open_and_append) for _ in range(8)]
        assert [window.exception() for window in done] == [None] * 8
        with Log.open(path) as log:
            assert heard(log) == ["here"] * 8
