"""The answer of every sum, and the one way to a range: how much it moves when each input moves as it may."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import hypot

from assistant.engine.inputs import Given
from assistant.engine.units import Q, Quantity, difference_unit, parse_unit


@dataclass(frozen=True, slots=True)
class Result:
    """What a sum gives."""

    values: dict[str, Quantity]
    """The answers by the names the program's interface uses; never rounded."""
    formula: str
    """The working in one line, for people."""
    sources: tuple[str, ...]
    """Names of entries of the source list."""
    spread: dict[str, Quantity] = field(default_factory=dict)
    """How far each value may be off on either side; a value without an entry is exact."""
    notes: tuple[str, ...] = ()
    """What another published rule gives, or what to keep in mind; plain sentences."""


@dataclass(frozen=True, slots=True)
class Output:
    """A value that comes out: the unit it is reckoned in, the unit it is given in, the model's own error."""

    unit: str
    shown: str = ""
    error: float = 0.0
    """Half-width in the unit reckoned in, whatever the inputs."""
    relative_error: float = 0.0

    def quantity(self, number: float) -> Quantity:
        value = Q(number, self.unit)
        return value.to(parse_unit(self.shown)) if self.shown and self.shown != self.unit else value

    def width(self, number: float) -> Quantity:
        width = Q(number, difference_unit(self.unit))
        return width.to(parse_unit(difference_unit(self.shown))) if self.shown else width


Sum = Callable[..., tuple[float, ...]]


def spread_of(sum_: Sum, inputs: Sequence[Given], outputs: Sequence[Output]) -> list[float]:
    """Half-widths of the outputs: each input moved by its own half-width either way, added as squares."""
    numbers = [given.number for given in inputs]
    middle = sum_(*numbers)
    widths = [
        hypot(out.error, out.relative_error * value) for out, value in zip(outputs, middle, strict=True)
    ]
    for place, given in enumerate(inputs):
        if not given.half_width:
            continue
        above, below = list(numbers), list(numbers)
        above[place] += given.half_width
        below[place] -= given.half_width
        moved = zip(sum_(*above), sum_(*below), strict=True)
        widths = [hypot(width, (up - down) / 2) for width, (up, down) in zip(widths, moved, strict=True)]
    return widths


def work(
    sum_: Sum,
    inputs: Sequence[Given],
    outputs: Mapping[str, Output],
    *,
    formula: str,
    sources: Sequence[str],
    notes: Sequence[str] = (),
) -> Result:
    """Do a sum over plain numbers and put units, range and provenance to it.

    The sum takes the inputs in order and returns the outputs in order, each in the unit it is reckoned in. It
    must bear inputs moved by their half-width: ranges are checked at the door, before.
    """
    numbers = sum_(*(given.number for given in inputs))
    widths = spread_of(sum_, inputs, list(outputs.values()))
    rows = list(zip(outputs.items(), numbers, widths, strict=True))
    return Result(
        values={name: out.quantity(number) for (name, out), number, _ in rows},
        formula=formula,
        sources=tuple(sources),
        spread={name: out.width(width) for (name, out), _, width in rows if width},
        notes=tuple(notes),
    )
