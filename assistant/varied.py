"""The last sum once more with one thing changed: `and for 4 gallons`, `what about honey`."""

from __future__ import annotations

from dataclasses import replace

from assistant.handlers.sums import SUMS
from assistant.questions import BARE_ANSWERS, dimension
from grammar.command import Command, Slot


def varied(last: Command, change: Command) -> Command | None:
    """The command of the last sum with what was said in the place it fits; None where it fits none, or several."""
    slots = dict(last.slots)
    for name, value in change.slots.items():
        place = name if name in slots else _place(last, value)
        if place is None:
            return None
        unit = BARE_ANSWERS.get(place)
        if isinstance(value, list) and value[1] == "":
            told = slots.get(place)
            unit = told[1] if isinstance(told, list) else unit
            if unit is None:
                return None
            value = [value[0], unit]
        slots[place] = value
    return replace(last, slots=slots, heard=change.heard, sure=change.sure, repairs=change.repairs)


def _place(last: Command, value: Slot) -> str | None:
    """The one slot of its kind: of those that were said, else of those the sum can be told."""
    told = [name for name, old in last.slots.items() if _alike(old, value)]
    open_ = [
        need.slot for need in SUMS[last.act].needs if need.slot not in last.slots and _takes(need.slot, value)
    ]
    fitting = told or open_
    return fitting[0] if len(fitting) == 1 else None


def _alike(old: Slot, value: Slot) -> bool:
    if isinstance(old, str) or isinstance(value, str):
        return isinstance(old, str) and isinstance(value, str)
    return bool(value[1] == "" or dimension(value[1]) == dimension(old[1]))


def _takes(slot: str, value: Slot) -> bool:
    """Whether a slot not said yet may hold it; a number without a unit goes nowhere new."""
    if isinstance(value, str):
        return slot == "ingredient"
    return bool(value[1] and slot in BARE_ANSWERS and dimension(value[1]) == dimension(BARE_ANSWERS[slot]))
