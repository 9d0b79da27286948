"""Where a batch stands, by one table of what each event leads to."""

from __future__ import annotations

from collections.abc import Iterable

STAGES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("planning", ()),
    ("steeping", ("steep_start",)),
    ("heating", ("steep_end",)),
    ("boiling", ("boil_start",)),
    ("chilling", ("flameout", "chill_start")),
    ("pitching", ("transfer", "aerate", "seal")),
    ("fermenting", ("pitch", "airlock_active")),
    ("conditioning", ("bottle",)),
    ("kegged", ("keg",)),
)
"""Each stage in the order of a brew, and the events that bring a batch there. Common practice, no source."""

RANK = {event: rank for rank, (_, events) in enumerate(STAGES) for event in events}
"""The place in STAGES of the stage each event leads to."""

ANYWHERE = ("burner_lit",)
"""Events that leave a batch where it stands: the burner is lit for the steep and again for the boil."""

EVENTS = (*ANYWHERE, *RANK)

BOILING, CHILLING = RANK["boil_start"], RANK["flameout"]


def stage(events: Iterable[str]) -> str:
    """The stage after these events, given in the order they happened.

    On the hot side the last event counts, for the burner may be lit again after a boil over. From the
    fermenter on there is no way back: aerating after the pitch, or racking, leaves a batch fermenting.
    """
    rank = 0
    for event in events:
        if event not in ANYWHERE and (rank <= CHILLING or RANK[event] > rank):
            rank = RANK[event]
    return STAGES[rank][0]
