"""Conversations line by line: what is typed, the replies, and what stands in the log after.

The stories are in `tables/conversations.txt`, whose head explains how they are written, and in `tables/ways.txt`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from talk import LOG_FILE, entry_text, moment, opened, table_lines

from assistant.lines import shown
from assistant.reply import Reply
from assistant.session.log import Log
from assistant.session.state import fold
from grammar.language import Language

DAY = moment("2026-10-10")
SAID = re.compile(r"(?:\+(\d+) )?(\d\d):(\d\d) (.+)")
WANTED = re.compile(r"  (done|ask|refused|unclear|holds|lacks):\s?(.*)")
REOPEN = "-- reopen"


@dataclass
class Saying:
    """One line that is said, and what must come back."""

    at: datetime
    heard: str
    wanted: list[tuple[str, str]] = field(default_factory=list)


@dataclass
class Story:
    title: str
    fault: str = ""
    talks: list[list[Saying]] = field(default_factory=lambda: [[]])
    """The sayings, parted where the conversation is closed and opened again."""
    kept: list[str] = field(default_factory=list)


def read_saying(line: str) -> Saying:
    found = SAID.fullmatch(line)
    assert found, f"nothing is said in: {line}"
    days, hours, minutes = (int(number or 0) for number in found.groups()[:3])
    return Saying(DAY + timedelta(days=days, hours=hours, minutes=minutes), found[4])


def read_story(title: str, lines: list[str]) -> Story:
    story = Story(title)
    told, _, kept = "\n".join(lines).partition("\nkept:")
    story.kept = kept.split("\n")[1:]
    for line in told.splitlines():
        wanted = WANTED.fullmatch(line)
        if line.startswith("fault: "):
            story.fault = line.removeprefix("fault: ")
        elif line == REOPEN:
            story.talks.append([])
        elif wanted:
            story.talks[-1][-1].wanted.append((wanted[1], wanted[2]))
        else:
            story.talks[-1].append(read_saying(line))
    return story


def stories() -> Iterator[Story]:
    text = "\n" + "\n".join([*table_lines("conversations.txt"), *table_lines("ways.txt")])
    for part in text.split("\n== ")[1:]:
        title, *lines = part.splitlines()
        yield read_story(title, lines)


STORIES = list(stories())


def faults(saying: Saying, reply: Reply) -> Iterator[str]:
    """What is wrong with a reply; nothing when it is right. Pieces are looked for whatever their capitals."""
    text = shown(reply)
    for kind, piece in saying.wanted:
        there = piece.lower() in text.lower()
        if kind in ("done", "ask", "refused", "unclear") and reply.status != kind:
            yield f"{reply.status} instead of {kind}"
        if there == (kind == "lacks"):
            yield f"{'has' if there else 'lacks'} {piece!r}"


def standing(folder: Path) -> list[str]:
    """The entries that are not taken back, as corrected, in the order they were said."""
    with Log.open(folder / LOG_FILE) as log:
        journal = fold(log.since())
    return [
        entry_text(entry, "%H:%M")
        for entry in journal.live.values()
        if entry.act not in ("undo", "correct_last")
    ]


@pytest.mark.parametrize(
    "story",
    [
        pytest.param(
            story,
            id=story.title,
            marks=pytest.mark.xfail(strict=True, reason=story.fault) if story.fault else (),
        )
        for story in STORIES
    ],
)
def test_conversation(story: Story, tmp_path: Path, language: Language) -> None:
    wrong = []
    for talk in story.talks:
        with opened(tmp_path, language) as conversation:
            for saying in talk:
                reply = conversation.answer(saying.heard, saying.at)
                wrong += [
                    f"{saying.heard!r}: {fault}; came: {shown(reply)!r}" for fault in faults(saying, reply)
                ]
    assert wrong == []
    assert standing(tmp_path) == story.kept


def test_stories_are_well_told() -> None:
    """No two of one title; every line said in them is held against something."""
    assert len({story.title for story in STORIES}) == len(STORIES)
    assert all(saying.wanted for story in STORIES for talk in story.talks for saying in talk)


def test_an_undone_entry_stays_in_the_log(tmp_path: Path, language: Language) -> None:
    """Taking back adds to the log and removes nothing from it."""
    with opened(tmp_path, language) as conversation:
        conversation.answer("reading 1.050 at 70F", DAY)
        conversation.answer("undo that", DAY)
    with Log.open(tmp_path / LOG_FILE) as log:
        reading, undo = log.since()
    assert (reading.act, undo.act, undo.refers) == ("log_gravity", "undo", reading.id)
