"""The last sum once more with one thing changed: `and for 4 gallons`, `what about honey`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import knowledge
from assistant.engine.units import Q
from assistant.handlers.sums import SUMS
from assistant.questions import BARE_ANSWERS, dimension
from grammar.command import Command, Slot

TURNED = {
    "ask_bitterness": ("ask_hops_for", "amount", "ibu"),
    "ask_gravity_from": ("ask_extract_for", "amount", "sg"),
    "ask_topup_gravity": ("ask_dilution", "final_volume", "sg"),
}
"""For a sum the one that asks it the other way round, what that does not take over, and the unit of its target."""

_BARE_HERE = {("ask_calories", "volume"): "fluid_ounce"}
"""The unit of a bare number in a place where it is not that of the number before: a serving is so many ounces."""

INSTEAD_OF = {
    ("ask_mix_temperature", "ice"): ("cold_volume", "cold_temperature"),
    ("ask_mix_temperature", "cold_volume"): ("ice",),
    ("ask_scale", "final_volume"): ("times",),
}
"""What is let go when this is told anew, for it does the same: ice cools instead of water."""

_MEANT_AT_ONCE = {("ask_scale", "volume"): "final_volume"}
"""The place that is meant where two would take it: a recipe is asked about in another size, not from another."""

_NEAR = 5.0
"""A bare number stands for one it is at most so many times as great or as small as."""


def varied(last: Command, change: Command) -> Command | None:
    """The command of the last sum with what was said in the place it fits; None where it fits none, or several."""
    if "target" in change.slots and "target" not in last.slots:
        return _turned(last, change)
    slots = dict(last.slots)
    said = _by_name(last, change.slots)
    side = str(said.pop("side", ""))
    for name, value in said.items():
        told = name in slots or (name not in change.slots or isinstance(value, str)) and name in _places(last)
        meant = name if told and not side else _MEANT_AT_ONCE.get((last.act, name))
        place = meant or _place(last, value, side)
        if place is None:
            return None
        if isinstance(value, list) and value[1] == "":
            measured = _with_unit(last, place, value)
            if measured is None:
                return None
            value = measured
        if place not in last.slots:
            slots = {other: slots[other] for other in slots if other not in INSTEAD_OF.get((last.act, place), ())}
        slots[place] = value
    return replace(last, slots=slots, heard=change.heard, sure=change.sure, repairs=change.repairs)


def _by_name(last: Command, said: Mapping[str, Slot]) -> dict[str, Slot]:
    """What was said, an amount of something under that thing's own name or kind where the sum has a place for it."""
    found = dict(said)
    name, places = found.get("ingredient"), _places(last)
    entry = knowledge.ingredients().get(name) if isinstance(name, str) else None
    if entry is None or "ingredient" in places or "amount" not in found:
        return found
    place = next((each for each in (entry.id, entry.kind) if each in places), None)
    if place:
        del found["ingredient"]
        found[place] = found.pop("amount")
    return found


def _places(last: Command) -> set[str]:
    """The slots that the sum can be told."""
    return {need.slot for need in SUMS[last.act].needs}


def _turned(last: Command, change: Command) -> Command | None:
    """The sum asked the other way round: from what is wanted to what it takes."""
    other, dropped, unit = TURNED.get(last.act, ("", "", ""))
    wanted = change.slots["target"]
    if not other or not isinstance(wanted, list):
        return None
    if wanted[1] == "":
        # Points of gravity are told without their one: fifty-two is 1.052.
        wanted = [1 + wanted[0] / 1000 if unit == "sg" else wanted[0], unit]
    if dimension(wanted[1]) != dimension(unit):
        return None
    slots = {name: value for name, value in last.slots.items() if name != dropped}
    return replace(change, act=other, slots={**slots, "target": wanted})


def _with_unit(last: Command, place: str, value: list[Any]) -> list[Any] | None:
    told = last.slots.get(place)
    unit = _BARE_HERE.get((last.act, place)) or (told[1] if isinstance(told, list) else BARE_ANSWERS.get(place))
    return None if unit is None else [value[0], unit]


def _place(last: Command, value: Slot, side: str) -> str | None:
    """The one slot of its kind: of those that were said, else of those the sum can be told; of `side` hot or cold if given."""
    told = [name for name, old in last.slots.items() if name.startswith(side) and _alike(last, name, old, value)]
    open_ = [
        need.slot
        for need in SUMS[last.act].needs
        if need.slot not in last.slots and need.slot.startswith(side) and _takes(need.slot, value)
    ]
    fitting = told or open_
    return fitting[0] if len(fitting) == 1 else None


def _alike(last: Command, name: str, old: Slot, value: Slot) -> bool:
    if isinstance(old, str) or isinstance(value, str):
        return isinstance(old, str) and isinstance(value, str)
    if value[1]:
        return bool(dimension(value[1]) == dimension(old[1]))
    unit = str(_BARE_HERE.get((last.act, name), old[1]))
    before = old[0] if unit == old[1] else Q(*old).m_as(unit)
    if dimension(unit) == "gravity":
        return unit != "sg" or 0.9 < value[0] < 1.2
    return bool(before / _NEAR <= value[0] <= before * _NEAR)


def _takes(slot: str, value: Slot) -> bool:
    """Whether a slot not said yet may hold it; a number without a unit goes nowhere new."""
    if isinstance(value, str):
        return slot == "ingredient"
    return bool(value[1] and slot in BARE_ANSWERS and dimension(value[1]) == dimension(BARE_ANSWERS[slot]))
