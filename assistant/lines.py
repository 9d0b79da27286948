"""The line modes: a sentence a line in, answers or JSON objects out, for programs and for replaying a day."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any, TextIO

from assistant import finding, wording
from assistant.conversation import LONGEST_LINE, Conversation
from assistant.reply import Alert, Reply
from grammar.command import Command, unclear
from grammar.language import Language

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


def as_text(conversation: Conversation, lines: Iterable[str], out: TextIO) -> None:
    """An answer for each line."""
    for sentence, moment in sentences(lines):
        print(shown(conversation.answer(sentence, moment)), file=out, flush=True)


def as_json(conversation: Conversation, lines: Iterable[str], out: TextIO) -> None:
    """The object of the contract for each line."""
    for sentence, moment in sentences(lines):
        print(
            json.dumps(conversation.answer(sentence, moment).as_object(), ensure_ascii=False),
            file=out,
            flush=True,
        )


def understood(language: Language, lines: Iterable[str], out: TextIO) -> None:
    """What each line means, without acting on it."""
    for sentence, moment in sentences(lines):
        now = moment or datetime.now().astimezone()
        commands = [unclear(sentence)] if len(sentence) > LONGEST_LINE else finding.mended(language.understand(sentence, now), sentence)
        print(json.dumps(_meaning(commands), ensure_ascii=False), file=out, flush=True)


def _meaning(commands: list[Command]) -> dict[str, Any]:
    first, *others = commands
    found: dict[str, Any] = {"heard": first.heard, "act": first.act, "slots": first.slots, "sure": first.sure}
    if others:
        found["also"] = [{"act": command.act, "slots": command.slots} for command in others]
    return found


def shown(reply: Reply) -> str:
    """A reply as text, alerts first."""
    return "\n".join([*(alert_line(alert) for alert in reply.alerts), reply.text])


def alert_line(alert: Alert) -> str:
    return f"*** {alert.at:%H:%M} {wording.sentence(alert.label)}"
