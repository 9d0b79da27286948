"""One possible reading of a run of words, as the readers of numbers, quantities and moments hand it on."""

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple, Protocol, Self, TypeVar

CUT = 0.45
"""Added to a reading that leaves out part of a longer plain one: `one` alone, in `one fifty two`."""

PLAIN = 0.05
"""What costs less than this is plain enough to stand before what lies inside it."""

MOST_FIGURES = 12
"""A longer row of figures is no number of this trade."""


class Reading(NamedTuple):
    """Words `start` to `end` (end not included) may mean `value`; `cost` 0 is how it is plainly said."""

    start: int
    end: int
    kind: str
    value: Any
    cost: float = 0.0


class _Weighed(Protocol):
    """A named tuple with a place and a cost."""

    @property
    def start(self) -> int: ...

    @property
    def end(self) -> int: ...

    @property
    def cost(self) -> float: ...

    def _replace(self, *, cost: float) -> Self: ...


_Item = TypeVar("_Item", bound=_Weighed)


def word_at(words: Sequence[str], at: int) -> str:
    """The word at a place, empty behind the last."""
    return words[at] if at < len(words) else ""


def whole_number(word: str) -> int | None:
    """The value of a word of figures, none for another word or more figures than a number here can have."""
    return int(word) if len(word) <= MOST_FIGURES and word.isdecimal() else None


def weigh_cuts(readings: Iterable[_Item]) -> list[_Item]:
    """Add CUT to each reading that lies inside a longer plain one."""
    found = list(readings)
    reach: dict[int, int] = {}
    for item in found:
        if item.cost < PLAIN:
            reach[item.start] = max(item.end, reach.get(item.start, 0))
    spans = reach.items()
    return [
        item._replace(cost=item.cost + CUT)
        if any(end >= item.end and (start < item.start or start == item.start and end > item.end)
               for start, end in spans)
        else item
        for item in found
    ]
