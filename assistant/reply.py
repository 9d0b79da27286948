"""What comes back for one line: the answer in a sentence, its numbers, its working, cautions and alerts."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from assistant import wording
from assistant.engine.units import Quantity, unit_of
from grammar.command import Command

DONE, ASK, UNCLEAR, REFUSED = "done", "ask", "unclear", "refused"


@dataclass(frozen=True)
class Alert:
    """A clock that came due."""

    label: str
    at: datetime


@dataclass(frozen=True)
class Input:
    """One number a sum was given, and where it came from."""

    name: str
    value: str
    origin: str
    """`said`, `logged 12:00`, `batch setting`, `default: ...`."""


@dataclass(frozen=True)
class Working:
    """How an answer came about, kept for "how did you get that"."""

    answer: str
    formula: str
    inputs: tuple[Input, ...] = ()
    sources: tuple[str, ...] = ()
    """Citations, as they are shown."""
    spread: str = ""
    """How far the answer may be off."""
    notes: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    """Why it is to be done, where the answer is advice, for a bare "why"."""

    def as_object(self) -> dict[str, Any]:
        """Plain data, to be kept for the next conversation."""
        inputs = [[given.name, given.value, given.origin] for given in self.inputs]
        return {**vars(self), "inputs": inputs}

    @classmethod
    def from_object(cls, kept: dict[str, Any]) -> Working:
        """The working that was kept as plain data."""
        lists = {name: tuple(value) for name, value in kept.items() if isinstance(value, list)}
        return cls(**{**kept, **lists, "inputs": tuple(Input(*given) for given in kept["inputs"])})

    def lines(self) -> list[str]:
        found = [self.answer, f"Formula: {self.formula}."]
        found += [f"  {given.name}: {given.value} ({given.origin})" for given in self.inputs]
        if self.spread:
            found.append(f"How sure: {self.spread}.")
        found += [wording.sentence(note) for note in self.notes]
        found += [f"Source: {source}" for source in self.sources]
        return found


@dataclass(frozen=True)
class Outcome:
    """What a handler answers to one command."""

    say: str
    status: str = DONE
    values: dict[str, Quantity] = field(default_factory=dict)
    more: tuple[str, ...] = ()
    """At most a few further lines."""
    working: Working | None = None
    sources: tuple[str, ...] = ()
    ask: str | None = None
    """The slot a question is about; the command is carried out once it is answered."""
    choices: tuple[Command, ...] = ()
    """The commands a question offers; the one that the answer names is carried out, or all where it is all."""
    offer: Command | None = None
    """What a yes to the question at the end of the answer carries out."""
    entry: str = ""
    """The entry of the knowledge base that is told, as `troubles/flat beer`."""


@dataclass(frozen=True)
class Part:
    """One command of a sentence and what came of it."""

    act: str
    slots: dict[str, Any]
    sure: float
    outcome: Outcome


@dataclass(frozen=True)
class Reply:
    """The whole answer to one line."""

    heard: str
    parts: tuple[Part, ...]
    cautions: tuple[str, ...] = ()
    alerts: tuple[Alert, ...] = ()
    urgent: int = 0
    """How many of the cautions go before the answer."""

    @property
    def status(self) -> str:
        """The worst of the parts': a sentence is done when all of it is."""
        statuses = {part.outcome.status for part in self.parts}
        return next(status for status in (UNCLEAR, REFUSED, ASK, DONE) if status in statuses)

    @property
    def say(self) -> str:
        return " ".join(part.outcome.say for part in self.parts)

    @property
    def text(self) -> str:
        lines = [*self.cautions[: self.urgent]]
        urgent = " ".join(lines)
        for part in self.parts:
            lines += [line for line in (part.outcome.say, *part.outcome.more) if line not in urgent]
        lines += self.cautions[self.urgent :]
        return "\n".join(lines)

    def as_object(self) -> dict[str, Any]:
        """The JSON object of the contract."""
        first, *others = self.parts
        found: dict[str, Any] = {
            "heard": self.heard,
            "act": first.act,
            "slots": first.slots,
            "sure": first.sure,
            "status": self.status if not others else first.outcome.status,
            "say": self.say,
            "values": _plain(first.outcome.values),
            "cautions": list(self.cautions),
            "sources": list(dict.fromkeys(source for part in self.parts for source in part.outcome.sources)),
            "alerts": [
                {"label": alert.label, "at": alert.at.isoformat(timespec="seconds")} for alert in self.alerts
            ],
            "text": self.text,
            "spoken": wording.spoken(self.say),
        }
        if others:
            found["also"] = [
                {
                    "act": part.act,
                    "slots": part.slots,
                    "status": part.outcome.status,
                    "say": part.outcome.say,
                    "values": _plain(part.outcome.values),
                }
                for part in others
            ]
        return found


def _plain(values: dict[str, Quantity]) -> dict[str, list[Any]]:
    return {name: [float(value.magnitude), unit_of(value)] for name, value in values.items()}
