"""What can go wrong with the log file: the facts as fields, the words last.

Every text is meant for the brewer. What was heard is never lost without a word: an error while saving says
that the sentence was not saved and repeats it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class LogError(Exception):
    """The log could not be opened, read or added to."""

    problem = "The log failed"
    remedy = "Try again"

    def __init__(self, path: Path, heard: str = "", detail: str = "") -> None:
        super().__init__(path, heard, detail)
        self.path = path
        self.heard = heard
        """The sentence that was NOT saved; empty when none was being saved."""
        self.detail = detail
        """What the file system or the database said, for whoever looks into it."""

    def __str__(self) -> str:
        lost = f"NOT saved: \"{self.heard}\". " if self.heard else ""
        return f"{lost}{self.problem}: {self.path}. {self.remedy}."


class LogUnwritable(LogError):
    """The folder or the file could not be made or written."""

    problem = "The log cannot be written"
    remedy = "Check who owns the folder and that it may be written to, or choose another"


class LogDiskFull(LogError):
    """The disk had no room for the entry."""

    problem = "The disk is full and the log cannot grow"
    remedy = "Free some space and say it again; everything saved before is intact"


class LogLocked(LogError):
    """Another program held the file for longer than we waited."""

    problem = "Another program is holding the log"
    remedy = "Say it again in a moment, or close the other program"


class LogCorrupt(LogError):
    """The file was damaged. It was left exactly as it is."""

    problem = "The log is damaged, so it was left alone"
    remedy = "Put back a copy of it, or move it away to begin a new one"


class LogForeign(LogError):
    """The file was a database of something else. It was left exactly as it is."""

    problem = "This file is not a brewing log, so it was left alone"
    remedy = "Choose another folder for the log"


class LogFault(LogError):
    """The disk failed while the file was read or written."""

    problem = "The disk failed under the log"
    remedy = "Check the disk and its cable, then say it again"


class LogNewer(LogError):
    """A newer program had written the file. It was left exactly as it is."""

    remedy = "Start the newer program, or choose another folder for the log"

    def __init__(self, path: Path, found: int, known: int) -> None:
        super().__init__(path)
        self.args = (path, found, known)
        self.found, self.known = found, known

    @property
    def problem(self) -> str:  # type: ignore[override]
        return f"A newer program wrote this log (layout {self.found}, this program knows up to {self.known})"


BY_CODE: dict[int, type[LogError]] = {
    sqlite3.SQLITE_FULL: LogDiskFull,
    sqlite3.SQLITE_BUSY: LogLocked,
    sqlite3.SQLITE_LOCKED: LogLocked,
    sqlite3.SQLITE_READONLY: LogUnwritable,
    sqlite3.SQLITE_CANTOPEN: LogUnwritable,
    sqlite3.SQLITE_PERM: LogUnwritable,
    sqlite3.SQLITE_AUTH: LogUnwritable,
    sqlite3.SQLITE_CORRUPT: LogCorrupt,
    sqlite3.SQLITE_NOTADB: LogCorrupt,
    sqlite3.SQLITE_IOERR: LogFault,
}
"""Our error for each of the database's; any other is a mistake of ours and is let through as it came."""


@contextmanager
def in_words(path: Path, heard: str = "") -> Iterator[None]:
    """Turns what the database and the file system raise inside the block into a LogError."""
    try:
        yield
    except sqlite3.Error as fault:
        # The low byte is the plain code; the rest tells variants apart that mean the same to a brewer.
        kind = BY_CODE.get(getattr(fault, "sqlite_errorcode", 0) & 0xFF)
        if kind is None:
            raise
        raise kind(path, heard, str(fault)) from fault
    except OSError as fault:
        raise LogUnwritable(path, heard, str(fault)) from fault
