"""The answer of every sum, and the one way to a range: how much it moves when each input moves as it may."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import hypot

from assistant.engine.inputs import Given
from assistant.engine.units import Q, Quantity, difference_unit, parse_unit


@dataclass(frozen=True, slots=True)
class Doubt:
    """What makes an answer unsure: an input that can be read no finer, or the formula itself."""

    name: str
    """What the brewer calls the input; empty for the formula."""
    width: Quantity
    """How far the input may be off on either side; for the formula, how far it throws the answer off."""
    share: float
    """Of the answer's range, as squares: all shares make one."""


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
    doubts: tuple[Doubt, ...] = ()
    """Where the range of the first value comes from, the most first."""
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


SLIGHT = 0.01
"""A share of the range, as squares, that is not worth naming."""


def effects(sum_: Sum, inputs: Sequence[Given]) -> list[list[float]]:
    """For each input, by how much each output moves when it alone is moved by its half-width."""
    numbers = [given.number for given in inputs]
    found = []
    for place, given in enumerate(inputs):
        above, below = list(numbers), list(numbers)
        above[place] += given.half_width
        below[place] -= given.half_width
        moved = zip(sum_(*above), sum_(*below), strict=True) if given.half_width else ()
        found.append([abs(up - down) / 2 for up, down in moved])
    return found


def _doubts(inputs: Sequence[Given], moves: Sequence[Sequence[float]], first: Output, own: float,
            width: float) -> tuple[Doubt, ...]:
    """Where the range of the first output comes from; inputs of one name and resolution as one."""
    if not width:
        return ()
    found: dict[tuple[str, str], Doubt] = {("", ""): Doubt("", first.width(own), (own / width) ** 2)}
    for given, moved in zip(inputs, moves, strict=True):
        if moved and given.name:
            key = (given.name, str(given.width))
            before = found[key].share if key in found else 0.0
            found[key] = Doubt(given.name, given.width, before + (moved[0] / width) ** 2)
    return tuple(sorted((each for each in found.values() if each.share >= SLIGHT), key=lambda each: -each.share))


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
    moves = effects(sum_, inputs)
    owns = [
        hypot(out.error, out.relative_error * number)
        for out, number in zip(outputs.values(), numbers, strict=True)
    ]
    widths = [
        hypot(own, *(moved[place] for moved in moves if moved)) for place, own in enumerate(owns)
    ]
    rows = list(zip(outputs.items(), numbers, widths, strict=True))
    return Result(
        values={name: out.quantity(number) for (name, out), number, _ in rows},
        formula=formula,
        sources=tuple(sources),
        spread={name: out.width(width) for (name, out), _, width in rows if width},
        doubts=_doubts(inputs, moves, next(iter(outputs.values())), owns[0], widths[0]),
        notes=tuple(notes),
    )
