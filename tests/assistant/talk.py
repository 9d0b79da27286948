"""Talking to the whole assistant in a test: open a log, say a line at a moment, read what was kept."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

from assistant.conversation import Conversation
from assistant.session.entry import Entry
from assistant.session.log import Log
from assistant.session.session import Session
from grammar.language import Language

TABLES = Path(__file__).parent / "tables"
LOG_FILE = "kettleside.db"
PROGRAM = (sys.executable, "-m", "assistant")
ROOT = Path(__file__).parents[2]
SOON = 60.0
"""Seconds after which a program that should have answered is given up."""


@contextmanager
def opened(folder: Path, language: Language) -> Iterator[Conversation]:
    """A conversation on the log in that folder, closed at the end as a front end closes it."""
    conversation = Conversation(Session(Log.open(folder / LOG_FILE)), language)
    try:
        yield conversation
    finally:
        conversation.close()


def entries(folder: Path) -> list[Entry]:
    """Everything in the log of that folder, undone or not; nothing where there is no log."""
    path = folder / LOG_FILE
    if not path.exists():
        return []
    with Log.open(path) as log:
        return log.since()


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone()


def slot_text(value: Any) -> str:
    """A slot in the short form of the tables: `5 gallon`, `willamette`."""
    return f"{value[0]:g} {value[1]}".rstrip() if isinstance(value, list) else str(value)


def slots_text(slots: Mapping[str, Any]) -> str:
    return "; ".join(f"{name}={slot_text(slots[name])}" for name in sorted(slots))


def entry_text(entry: Entry, form: str = "%Y-%m-%dT%H:%M") -> str:
    """An entry in a line: `2026-10-10T08:45 log_volume of=kettle; volume=3 gallon`."""
    return f"{entry.happened.strftime(form)} {entry.act} {slots_text(entry.slots)}".rstrip()


def table_lines(name: str) -> list[str]:
    """The lines of a table without its remarks and blank lines."""
    lines = (TABLES / name).read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line.strip() and not line.startswith("#")]


def surroundings() -> dict[str, str]:
    """The variables a started program is given."""
    # Python told not to buffer would hide a program that forgets to flush.
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    return {**kept, "PYTHONPATH": str(ROOT)}


def program(*arguments: str | Path, heard: Iterable[str] | bytes = ()) -> subprocess.CompletedProcess[bytes]:
    """Run the real command with these lines, or these bytes, on its standard input."""
    fed = heard if isinstance(heard, bytes) else "".join(f"{line}\n" for line in heard).encode()
    return subprocess.run(
        [*PROGRAM, *map(str, arguments)],
        input=fed,
        capture_output=True,
        cwd=ROOT,
        timeout=SOON,
        env=surroundings(),
    )
