"""Two numbers of one kind that no word tells apart: which is which follows from what they must be.

A beer starts above where it ends, ice cools, water is added: `1.050 and 1.010` needs no `from` and `to`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf
from typing import Any, NamedTuple

from grammar.plausibility import in_base


class Either(NamedTuple):
    """The slots that share one kind of number in an act."""

    greater: str
    smaller: str
    alone: float
    """A single number of at least this, in the unit its limits are written in, is the greater one."""


EITHER: Mapping[str, Either] = {
    "ask_abv": Either("original", "final", 1.035),
    "ask_calories": Either("original", "final", 1.035),
    "ask_attenuation": Either("original", "final", 1.035),
    "ask_refractometer": Either("original", "final", inf),
    "ask_dilution": Either("gravity", "target", 0),
    "ask_topup_gravity": Either("final_volume", "volume", 0),
    "ask_bottles": Either("volume", "bottle_size", 0.3),
    "ask_ice": Either("temperature", "target", 100),
    "ask_strike": Either("target", "grain_temperature", 110),
    "ask_contraction": Either("from", "to", 100),
    "ask_infusion": Either("target", "temperature", inf),
    "ask_heat_time": Either("to", "from", inf),
}


def told_apart(act: str, numbers: Sequence[list[Any]], told: Mapping[str, object]) -> dict[str, list[Any]] | None:
    """The slots that `numbers` of no particular slot fill beside those `told`.

    None where there are too many, or the greater one would be less than the smaller.
    """
    greater, smaller, alone = EITHER[act]
    free = [slot for slot in (greater, smaller) if slot not in told]
    if len(numbers) > len(free):
        return None
    if len(numbers) == 1 and len(free) == 2:
        return {greater if in_base(numbers[0]) >= alone else smaller: numbers[0]}
    found = dict(zip(free, sorted(numbers, key=in_base, reverse=True), strict=True))
    first, second = ({**told, **found}.get(slot) for slot in (greater, smaller))
    upside_down = isinstance(first, list) and isinstance(second, list) and in_base(first) < in_base(second)
    return None if upside_down else found
