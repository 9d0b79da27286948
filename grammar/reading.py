"""One possible reading of a run of words, the currency between the readers of numbers, quantities and moments."""

from collections.abc import Iterable
from typing import Any, NamedTuple

CUT = 0.2
"""Added to a reading that leaves out part of a longer plain one: `one` alone, in `one fifty two`."""

PLAIN = 0.05
"""What costs less than this is plain enough to stand before what lies inside it."""


class Reading(NamedTuple):
    """Words `start` to `end` (end not included) may mean `value`; `cost` 0 is how it is plainly said."""

    start: int
    end: int
    kind: str
    value: Any
    cost: float = 0.0


def weigh_cuts(readings: Iterable) -> list:
    """Add CUT to each reading that lies inside a longer plain one; items need start, end, cost and _replace."""
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
