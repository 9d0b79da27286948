"""What the slots of an entry must look like before it is kept or folded."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from datetime import datetime

from assistant.session.entry import SlotValue
from assistant.session.stages import EVENTS

MINUTES_IN = {"second": 1 / 60, "minute": 1.0, "hour": 60.0, "day": 1440.0, "week": 10080.0}
"""Minutes in each unit of time a duration may be said in. Exact."""

REQUIRED = {
    "log_gravity": ("gravity",),
    "log_temperature": ("temperature",),
    "log_volume": ("volume",),
    "log_addition": ("ingredient",),
    "log_event": ("event",),
    "note": ("text",),
    "plan_addition": ("amount",),
    "remove_addition": ("ingredient",),
    "start_timer": ("duration",),
}
"""The slots without which an act says nothing."""


class BadSlot(ValueError):
    """A slot was missing or not of its shape. The caller's mistake: nothing was saved."""

    def __init__(self, slot: str, value: SlotValue, need: str) -> None:
        super().__init__(slot, value, need)
        self.slot, self.value, self.need = slot, value, need

    def __str__(self) -> str:
        return f"slot '{self.slot}' must be {self.need} (got {self.value!r})"


def quantity(name: str, value: SlotValue) -> tuple[float, str]:
    """`[number, unit]` as a pair. Raises BadSlot."""
    match value:
        case [bool(), _]:
            pass
        case [int() | float() as number, str() as unit] if math.isfinite(number):
            return number, unit
    raise BadSlot(name, value, "[number, unit]")


def text(name: str, value: SlotValue) -> str:
    """A string with something in it. Raises BadSlot."""
    if isinstance(value, str) and value.strip():
        return value
    raise BadSlot(name, value, "text")


def minutes(value: SlotValue, name: str = "duration") -> float:
    """A duration `[number, unit]` in minutes, never negative. Raises BadSlot."""
    number, unit = quantity(name, value)
    if number < 0 or unit not in MINUTES_IN:
        raise BadSlot(name, value, f"a duration of no less than nothing, in {', '.join(MINUTES_IN)}")
    return number * MINUTES_IN[unit]


def moment(value: SlotValue, said: datetime) -> datetime:
    """A `when` slot (ISO 8601) as an aware moment; in the zone of `said` if it names none. Raises BadSlot."""
    try:
        read = datetime.fromisoformat(text("when", value))
    except ValueError:
        raise BadSlot("when", value, "a moment in ISO 8601") from None
    return read if read.utcoffset() is not None else read.replace(tzinfo=said.tzinfo)


def _minutes(name: str, value: SlotValue) -> None:
    minutes(value, name)


def _moment(name: str, value: SlotValue) -> None:
    moment(value, datetime.now().astimezone())


def _event(name: str, value: SlotValue) -> None:
    if value not in EVENTS:
        raise BadSlot(name, value, f"one of {', '.join(EVENTS)}")


def _any(name: str, value: SlotValue) -> None:
    (text if isinstance(value, str) else quantity)(name, value)


CHECKS: dict[str, Callable[[str, SlotValue], object]] = {
    "duration": _minutes,
    "boil_left": _minutes,
    "boil_length": _minutes,
    "when": _moment,
    "event": _event,
    "ingredient": text,
    "name": text,
    "style": text,
    "label": text,
    "text": text,
    "gravity": quantity,
    "temperature": quantity,
    "volume": quantity,
    "amount": quantity,
}
"""What each slot is checked by; a slot not named here may be text or a quantity."""


def check(act: str, slots: Mapping[str, SlotValue]) -> None:
    """Passes slots an entry of `act` can be kept and folded with. Raises BadSlot for the first bad one."""
    for name in REQUIRED.get(act, ()):
        if name not in slots:
            raise BadSlot(name, None, f"given for {act}")
    for name, value in slots.items():
        CHECKS.get(name, _any)(name, value)


def readable(act: str, slots: Mapping[str, SlotValue]) -> bool:
    """Whether `check` passes: an old or foreign file may hold what this program would not write."""
    try:
        check(act, slots)
    except BadSlot:
        return False
    return True
