"""Stories in short form, and a log in a folder of its own, for every test of the session.

A story is one entry a line: `HH:MM act slots`, with slots as `name=text` or `name=number unit`, joined by
`;`. In front of the time `+N` moves it N days on. After the act may stand `#N`, the entry it refers to, and
`@N`, the entry that opened its batch (`@0`: no batch); without it an entry belongs to the batch last opened
or turned to.
An entry told late says so: `10:02<10:05 log_event ...` happened at 10:02 and was said at 10:05.
Entries are numbered by line. The story plays at 2026-10-10, four hours behind UTC.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from assistant.session import Entry, Log

ZONE = timezone(timedelta(hours=-4))
DAY = datetime(2026, 10, 10, tzinfo=ZONE)
CLOCK = re.compile(r"(?:\+(\d+) )?(\d\d):(\d\d)")
LINE = re.compile(
    r"(?P<happened>(?:\+\d+ )?\d\d:\d\d)(?:<(?P<said>\S+))? (?P<act>\w+)"
    r"(?: #(?P<refers>\d+))?(?: @(?P<batch>\d+))?(?: (?P<slots>.+))?"
)
QUANTITY = re.compile(r"(-?\d+(?:\.\d+)?) (\S+)")


def read_moment(text: str) -> datetime:
    found = CLOCK.fullmatch(text)
    assert found, f"no moment: {text}"
    days, hours, minutes = found.groups("0")
    return DAY + timedelta(days=int(days), hours=int(hours), minutes=int(minutes))


def read_value(text: str) -> Any:
    quantity = QUANTITY.fullmatch(text)
    return [float(quantity[1]), quantity[2]] if quantity else text


def read_slots(text: str) -> dict[str, Any]:
    pairs = (pair.split("=", 1) for pair in text.split("; ") if pair)
    return {name: read_value(value) for name, value in pairs}


def read_story(text: str) -> list[Entry]:
    entries: list[Entry] = []
    at: int | None = None
    for number, line in enumerate(text.strip().splitlines(), start=1):
        found = LINE.fullmatch(line.strip())
        assert found, f"no entry: {line}"
        batch = int(found["batch"]) or None if found["batch"] else at
        if found["act"] == "new_batch":
            batch = number
        if found["act"] in ("new_batch", "use_batch"):
            at = batch
        entries.append(Entry(
            id=number, batch=batch, act=found["act"], heard=line.strip(),
            slots=read_slots(found["slots"] or ""), happened=read_moment(found["happened"]),
            said=read_moment(found["said"] or found["happened"]),
            refers=int(found["refers"]) if found["refers"] else None,
        ))
    return entries


@pytest.fixture
def story() -> Callable[[str], list[Entry]]:
    return read_story


@pytest.fixture
def at() -> Callable[[str], datetime]:
    return read_moment


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "kept" / "log.db"


@pytest.fixture
def log(path: Path) -> Iterator[Log]:
    with Log.open(path, patience=0.05) as opened:
        yield opened
