"""Which cautions a sentence calls for, the most pressing first.

The rules are `knowledge/cautions.toml`; how their conditions are weighed stands in `clues.py`.
"""

from __future__ import annotations

from collections.abc import Collection

import knowledge
from assistant.clues import Facts, hold
from knowledge import Caution

__all__ = ["Facts", "matching"]


def matching(facts: Facts, told: Collection[str] = ()) -> list[Caution]:
    """The cautions that hold: first where someone is hurt, then danger, warning, advice.

    told: ids of what this batch has been told before; advice among it is not repeated, anything graver is.
    """
    held = (caution for caution in knowledge.cautions().values() if hold(caution.when, facts))
    fresh = (caution for caution in held if caution.grave != "advice" or caution.id not in told)
    return sorted(fresh, key=_rank)


def _rank(caution: Caution) -> tuple[bool, int]:
    return not caution.hurt, knowledge.GRAVITY.index(caution.grave)
