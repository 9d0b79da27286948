"""The line modes: a sentence a line in, answers or JSON objects out, for programs and for replaying a day."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import TextIO

from assistant import wording
from assistant.conversation import Conversation
from assistant.meanings import at_moment, sentences
from assistant.reply import Alert, Reply

__all__ = ["alert_line", "as_json", "as_text", "at_moment", "sentences", "shown"]


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


def shown(reply: Reply) -> str:
    """A reply as text, alerts first."""
    return "\n".join([*(alert_line(alert) for alert in reply.alerts), reply.text])


def alert_line(alert: Alert) -> str:
    return f"*** {alert.at:%H:%M} {wording.sentence(alert.label)}"
