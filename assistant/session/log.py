"""The log on disk: entries that are only ever added, and memos that may be lost."""

from __future__ import annotations

import json
import sqlite3
import time
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from assistant.session import schema
from assistant.session.entry import Draft, Entry
from assistant.session.errors import LogCorrupt, in_words
from assistant.session.transaction import transaction


class Log:
    """One open log file. Use it from the thread that opened it; other windows and threads open their own."""

    def __init__(self, path: Path, db: sqlite3.Connection) -> None:
        self.path = path
        self._db = db

    @classmethod
    def open(cls, path: Path | str, patience: float = 5.0) -> Log:
        """Opens the log at `path`, making file and folder when they are missing.

        `patience` is how many seconds to wait for another program that is writing. Raises a LogError; a file
        that is damaged, foreign or newer than this program is left as it is.
        """
        path = Path(path)
        with in_words(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            db = sqlite3.connect(path, timeout=patience, isolation_level=None)
            try:
                schema.examine(db, path)
                _prepare(db, patience)
            except BaseException:
                db.close()
                raise
        return cls(path, db)

    def append(self, drafts: Sequence[Draft]) -> list[Entry]:
        """Saves what one sentence held, all of it or nothing, and returns it numbered. Raises LogError.

        When this returns, the entries have reached the disk. A `batch` or `refers` that is no entry's number
        is the caller's mistake and raises sqlite3.IntegrityError.
        """
        heard = " / ".join(dict.fromkeys(draft.heard for draft in drafts))
        with in_words(self.path, heard), transaction(self._db):
            # Exact, for entries are never deleted and we alone may write now.
            first = self._db.execute("SELECT coalesce(max(id), 0) + 1 FROM entry").fetchone()[0]
            rows = [_row(draft, first + at, first) for at, draft in enumerate(drafts)]
            self._db.executemany("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?, ?, ?)", rows)
        return [self._entry(row) for row in rows]

    def since(self, seen: int = 0) -> list[Entry]:
        """The entries after number `seen`, in order. Raises LogError."""
        with in_words(self.path):
            rows = self._db.execute("SELECT * FROM entry WHERE id > ? ORDER BY id", (seen,))
            return [self._entry(row) for row in rows]

    def memo(self, key: str) -> Any:
        """The value last kept under `key`, or None. Raises LogError."""
        with in_words(self.path):
            row = self._db.execute("SELECT value FROM memo WHERE key = ?", (key,)).fetchone()
        return json.loads(row[0]) if row else None

    def set_memo(self, key: str, value: Any) -> None:
        """Keeps `value`, anything JSON can hold, under `key`; a power cut may lose it. Raises LogError."""
        with in_words(self.path):
            # A memo is not worth a wait for the disk; the next entry takes it along.
            self._db.execute("PRAGMA synchronous = NORMAL")
            try:
                self._db.execute("INSERT OR REPLACE INTO memo VALUES (?, ?)", (key, _json(value)))
            finally:
                self._db.execute("PRAGMA synchronous = FULL")

    def close(self) -> None:
        self._db.close()

    def __enter__(self) -> Log:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _entry(self, row: tuple[Any, ...]) -> Entry:
        number, batch, happened, said, heard, act, slots, refers = row
        try:
            return Entry(
                id=number, batch=batch, heard=heard, act=act, refers=refers, slots=json.loads(slots),
                happened=datetime.fromisoformat(happened), said=datetime.fromisoformat(said),
            )
        except (ValueError, TypeError) as fault:
            raise LogCorrupt(self.path, detail=f"entry {number}: {fault}") from fault


def _prepare(db: sqlite3.Connection, patience: float) -> None:
    db.execute("PRAGMA foreign_keys = ON")
    db.execute("PRAGMA synchronous = FULL")
    schema.upgrade(db)
    _write_ahead(db, time.monotonic() + patience)


def _write_ahead(db: sqlite3.Connection, until: float) -> None:
    # The one step for which the database does not wait by itself while another window uses a new file.
    while True:
        try:
            db.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
        time.sleep(0.01)


def _row(draft: Draft, number: int, first: int) -> tuple[Any, ...]:
    return (
        number, _within(draft.batch, first), draft.happened.isoformat(), draft.said.isoformat(),
        _storable(draft.heard), draft.act, _json(draft.slots), _within(draft.refers, first),
    )


def _within(reference: int | None, first: int) -> int | None:
    return first - reference - 1 if reference is not None and reference < 0 else reference


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=True, allow_nan=False)


def _storable(heard: str) -> str:
    # Bytes that were no text reach us as lone surrogates, which a database cannot hold.
    return heard.encode("utf-8", "backslashreplace").decode("utf-8")
