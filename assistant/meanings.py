"""Lines of text as sentences, each with the moment it was said, and what they mean as JSON: reads, never acts.

Imports no more than understanding takes, so that a program that asks for one meaning need not wait.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any, TextIO

from assistant import asked, finding
from grammar.command import Command, unclear
from grammar.language import Language

LONGEST_LINE = 2000
"""Characters; a longer line is no sentence."""

_MOMENT = re.compile(
    r"\s*\[(\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d)?(?:[+-]\d\d:?\d\d|Z)?)\]\s*(.*)", re.DOTALL
)


def sentences(lines: Iterable[str]) -> Iterator[tuple[str, datetime | None]]:
    """Each sentence with the moment it was said; blank lines and lines that open with # are left out."""
    for line in lines:
        if line.strip() and not line.lstrip().startswith("#"):
            yield at_moment(line.strip("\r\n"))


def at_moment(line: str) -> tuple[str, datetime | None]:
    """`[2026-11-28T09:05] the boil is on` as the sentence and its moment; None where none is given."""
    match = _MOMENT.match(line)
    if not match:
        return line, None
    try:
        return match[2], datetime.fromisoformat(match[1]).astimezone()
    except ValueError:
        return line, None


def understood(language: Language, lines: Iterable[str], out: TextIO) -> None:
    """What each line means, without acting on it."""
    for sentence, moment in sentences(lines):
        now = moment or datetime.now().astimezone()
        print(json.dumps(_meaning(_commands(language, sentence, now)), ensure_ascii=False), file=out, flush=True)


def _commands(language: Language, sentence: str, now: datetime) -> list[Command]:
    if len(sentence) > LONGEST_LINE:
        return [unclear(sentence)]
    commands = finding.mended(asked.doubted(language.understand(sentence, now), sentence), sentence)
    # Without a log there is no stage to say what a report is about; a question tells enough by itself.
    return asked.found(commands, sentence, "").commands or commands if asked.is_question(sentence) else commands


def _meaning(commands: list[Command]) -> dict[str, Any]:
    first, *others = commands
    found: dict[str, Any] = {"heard": first.heard, "act": first.act, "slots": first.slots, "sure": first.sure}
    if others:
        found["also"] = [{"act": command.act, "slots": command.slots} for command in others]
    return found
