"""One transaction that leaves nothing half done."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def transaction(db: sqlite3.Connection, kind: str = "IMMEDIATE") -> Iterator[None]:
    """Commits when the block ends, rolls back when it raises. Raises what the database raises.

    IMMEDIATE takes the right to write at the start: two windows that both read first and then write would
    otherwise stop each other half way. DEFERRED is for reading alone.
    """
    db.execute(f"BEGIN {kind}")
    try:
        yield
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:  # A full disk may already have rolled back by itself.
            db.execute("ROLLBACK")
        raise
