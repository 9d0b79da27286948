"""What a handler is given: the command, the moment, the session, and the batch as it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from assistant.brew import Brew
from assistant.engine.units import Quantity
from assistant.reply import Outcome, Working
from assistant.session.entry import Draft, Entry
from assistant.session.session import Session
from grammar.command import Command


@dataclass
class Turn:
    """One command being carried out."""

    command: Command
    session: Session
    said: datetime
    """When the sentence was said; all clocks run from here."""
    last_reply: str = ""
    last_working: Working | None = None
    last_values: dict[str, Quantity] = field(default_factory=dict)
    """The numbers of the last answer, for "how much is that in grams"."""

    @property
    def slots(self) -> dict[str, Any]:
        return self.command.slots

    @property
    def happened(self) -> datetime:
        """When it happened: what was said of it, else now."""
        when = self.slots.get("when")
        return (
            datetime.fromisoformat(when).astimezone(self.said.tzinfo) if isinstance(when, str) else self.said
        )

    @property
    def brew(self) -> Brew:
        return Brew(self.session.bench, self.said)

    def record(
        self,
        slots: dict[str, Any] | None = None,
        refers: int | None = None,
        act: str | None = None,
        batch: int | None = None,
    ) -> Entry:
        """Put it in the log, for good, before anything is said about it. Raises LogError."""
        kept = dict(self.slots if slots is None else slots)
        return self.session.record(
            act or self.command.act, kept, self.command.heard, self.happened, self.said, refers, batch
        )

    def take_back(self, entries: Sequence[Entry]) -> None:
        """Put in the log, all at once, that these entries no longer count. Raises LogError."""
        heard = self.command.heard
        self.session.record_many(
            [
                Draft(act="undo", slots={}, heard=heard, happened=self.said, said=self.said, refers=entry.id)
                for entry in entries
            ]
        )


def refused(say: str, *more: str) -> Outcome:
    return Outcome(say, "refused", more=more)


def asked(slot: str, question: str) -> Outcome:
    return Outcome(question, "ask", ask=slot)
