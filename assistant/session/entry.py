"""An entry: one thing the brewer said, as the log keeps it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timezone
from typing import Any

SlotValue = Any
"""What a slot holds: a string, or `[number, unit]`."""


@dataclass(frozen=True, kw_only=True)
class Draft:
    """Something said that has no number yet. Raises ValueError on a moment without a time zone."""

    act: str
    slots: dict[str, SlotValue]
    heard: str
    happened: datetime
    """When it happened in the garage."""
    said: datetime
    """When it was told to the assistant, never before `happened` in a plain report."""
    refers: int | None = None
    """The entry an undo, correction, removal or cancellation speaks of, or whose line a line of the recipe replaces."""
    batch: int | None = None
    """Number of the batch it belongs to: the number of the entry that opened the batch.

    A negative `batch` or `refers` counts within the sentence being saved: -1 is its first entry.
    """

    def __post_init__(self) -> None:
        for name in ("happened", "said"):
            moment = getattr(self, name)
            offset = moment.utcoffset()
            if offset is None:
                raise ValueError(f"{name} needs a time zone (got {moment.isoformat()})")
            # As it comes back from disk: with a zone's rules attached, Python would reckon in wall time.
            object.__setattr__(self, name, moment.astimezone(timezone(offset)))


@dataclass(frozen=True, kw_only=True)
class Entry(Draft):
    """Something said that stands in the log."""

    id: int
    """Its place in the log: 1, 2, 3 and so on, never reused."""

    @property
    def order(self) -> tuple[float, int]:
        """Sorts entries by when they happened; of the same moment, the one said first comes first."""
        return self.happened.timestamp(), self.id
