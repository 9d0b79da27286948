"""The layout of the log file, as a list of numbered changes.

A change is never edited once it has been used by anyone: a new one is added at the end.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from assistant.session.errors import LogCorrupt, LogForeign, LogNewer
from assistant.session.transaction import transaction


def add_entries(db: sqlite3.Connection) -> None:
    """The log itself, closed against change."""
    db.execute(
        """CREATE TABLE entry (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            batch INTEGER REFERENCES entry (id),
            happened TEXT NOT NULL,
            said TEXT NOT NULL,
            heard TEXT NOT NULL,
            act TEXT NOT NULL,
            slots TEXT NOT NULL,
            refers INTEGER REFERENCES entry (id)
        )"""
    )
    refuse = "BEGIN SELECT RAISE(ABORT, 'the log is append only'); END"
    db.execute(f"CREATE TRIGGER entry_unchanged BEFORE UPDATE ON entry {refuse}")
    db.execute(f"CREATE TRIGGER entry_undeleted BEFORE DELETE ON entry {refuse}")
    # INSERT OR REPLACE deletes without asking the trigger above.
    db.execute(
        "CREATE TRIGGER entry_unreplaced BEFORE INSERT ON entry"
        f" WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id) {refuse}"
    )


def add_memos(db: sqlite3.Connection) -> None:
    """What the conversation keeps in mind and may lose."""
    db.execute("CREATE TABLE memo (key TEXT PRIMARY KEY, value TEXT NOT NULL)")


CHANGES: tuple[Callable[[sqlite3.Connection], None], ...] = (add_entries, add_memos)
"""Change number 1 comes first."""


def applied(db: sqlite3.Connection) -> int:
    """The number of the last change made to this file; 0 for a file with nothing in it yet."""
    if not db.execute("SELECT 1 FROM sqlite_master WHERE name = 'schema_change'").fetchone():
        return 0
    return int(db.execute("SELECT coalesce(max(number), 0) FROM schema_change").fetchone()[0])


def examine(db: sqlite3.Connection, path: Path) -> None:
    """Passes a file that is ours to use, reading only. Raises LogCorrupt, LogForeign or LogNewer."""
    # One look at one state of the file: another window may be laying it out at this moment.
    with transaction(db, "DEFERRED"):
        verdict = db.execute("PRAGMA quick_check(1)").fetchone()[0]
        found = applied(db)
        used = db.execute("SELECT 1 FROM sqlite_master").fetchone()
    if verdict != "ok":
        raise LogCorrupt(path, detail=verdict)
    if found > len(CHANGES):
        raise LogNewer(path, found, len(CHANGES))
    if used and not found:
        raise LogForeign(path)


def upgrade(db: sqlite3.Connection) -> None:
    """Makes every change the file lacks, each in one transaction with its record."""
    while applied(db) < len(CHANGES):
        with transaction(db):
            # Looked up again under the lock: another window may have made the change meanwhile.
            number = applied(db) + 1
            if number > len(CHANGES):
                return
            change = CHANGES[number - 1]
            db.execute(
                "CREATE TABLE IF NOT EXISTS schema_change"
                " (number INTEGER PRIMARY KEY, name TEXT NOT NULL, made TEXT NOT NULL)"
            )
            change(db)
            made = datetime.now(UTC).isoformat()
            db.execute("INSERT INTO schema_change VALUES (?, ?, ?)", (number, change.__name__, made))
