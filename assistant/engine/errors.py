"""What the engine refuses, and why: the facts as fields, the sentence made of them last.

Each sentence says what was given, what is wrong with it and what would work. All of them are for the brewer;
a mistake of ours raises an ordinary Python error instead.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assistant.engine.units import Quantity


def show(quantity: Quantity) -> str:
    """A quantity for a sentence: at most five figures, and the unit's symbol."""
    return f"{quantity.magnitude:.5g} {quantity.units:~P}".rstrip()


def rough(quantity: Quantity) -> str:
    """The same to three figures, for what is told in passing."""
    return f"{float(f'{quantity.magnitude:.3g}'):g} {quantity.units:~P}".rstrip()


class EngineError(Exception):
    """The sum cannot be done with what was given."""


class UnknownUnit(EngineError):
    """No such unit is in the registry."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name

    def __str__(self) -> str:
        return f"{self.name!r} is no unit known here; use a usual one such as gallon, pound or degF."


class WrongKind(EngineError):
    """A quantity came in a unit that measures something else."""

    def __init__(self, name: str, value: Quantity, wanted: str) -> None:
        super().__init__(name, value, wanted)
        self.name = name
        self.value = value
        self.wanted = wanted
        """A unit that would have done."""

    def __str__(self) -> str:
        return f"{show(self.value)} is no measure of the {self.name}; say it in a unit such as {self.wanted}."


class OutOfRange(EngineError):
    """A quantity lies where the sum does not hold or the thing cannot be."""

    def __init__(self, name: str, value: Quantity, low: Quantity, high: Quantity, why: str = "") -> None:
        super().__init__(name, value, low, high, why)
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        self.why = why

    def __str__(self) -> str:
        reason = f": {self.why}" if self.why else ""
        between = f"from {show(self.low)} to {show(self.high)}"
        return f"A {self.name} of {show(self.value)} will not do{reason}; it works {between}."


class Impossible(EngineError):
    """Each quantity is fine by itself, together they cannot be."""

    def __init__(self, what: str, why: str, instead: str) -> None:
        super().__init__(what, why, instead)
        self.what = what
        self.why = why
        self.instead = instead

    def __str__(self) -> str:
        return f"{self.what} cannot be: {self.why}; {self.instead}."


class NotKnown(EngineError):
    """A property the sum needs is not known of that ingredient."""

    def __init__(self, what: str, of: str) -> None:
        super().__init__(what, of)
        self.what = what
        self.of = of

    def __str__(self) -> str:
        return f"The {self.what} of {self.of} is not known; say it and the sum can be done."


class NoSuch(EngineError):
    """A name is none of those the sum has numbers for."""

    def __init__(self, what: str, name: str, known: Iterable[str]) -> None:
        super().__init__(what, name)
        self.what = what
        self.name = name
        self.known = tuple(known)

    def __str__(self) -> str:
        return f"There are no numbers for {self.name!r} as a {self.what}; known are {', '.join(self.known)}."
