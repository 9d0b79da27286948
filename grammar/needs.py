"""What every sentence of an act must hold, worked out from the rules: without it the act need not be looked for.

A need is a set of terminals of which each sentence of the act has one at least: to ask for ice takes the word for it,
to ask for bitterness a word for that or a percentage of acid. A terminal needs itself; a row of symbols all that its
symbols need; a choice, for each way to pick one need of every alternative, one of all these.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import NamedTuple

Need = frozenset[str]

MOST_NEEDS, WIDEST_NEED = 8, 60
"""Needs kept of each symbol, the rarest first, and terminals in one; a wider one is nearly always met."""

MOST_VISITS = 50
"""How often a rule is looked at again for those it leans on; one that never settles is taken to need nothing."""


class Rule(NamedTuple):
    """One alternative of a symbol."""

    name: str
    symbols: Sequence[tuple[str, bool]]
    """Each with whether it is a terminal."""


def needs(rules: Iterable[Rule], common: Mapping[str, float]) -> dict[str, tuple[Need, ...]]:
    """For each symbol of the rules what its sentences need; `common` tells how common a terminal is."""
    alternatives: dict[str, list[Sequence[tuple[str, bool]]]] = defaultdict(list)
    users: dict[str, set[str]] = defaultdict(set)
    for name, symbols in rules:
        alternatives[name].append(symbols)
        for symbol, is_terminal in symbols:
            if not is_terminal:
                users[symbol].add(name)
    found: dict[str, tuple[Need, ...]] = {}
    """A symbol of which no sentence is known yet is missing."""
    visits = dict.fromkeys(alternatives, 0)
    waiting = dict.fromkeys(alternatives)
    while waiting:
        name = next(iter(waiting))
        del waiting[name]
        visits[name] += 1
        rows = [row for symbols in alternatives[name] if (row := _of_row(symbols, found)) is not None]
        if not rows:
            continue
        needed = _of_choice(rows, common) if visits[name] <= MOST_VISITS else ()
        if needed != found.get(name):
            found[name] = needed
            waiting |= dict.fromkeys(sorted(users[name]))
    return found


def met(needed: Iterable[Need], heard: Collection[str]) -> bool:
    """Whether the terminals heard meet every need."""
    return not any(need.isdisjoint(heard) for need in needed)


def _of_row(symbols: Sequence[tuple[str, bool]], found: Mapping[str, tuple[Need, ...]]) -> list[Need] | None:
    """None where one of the symbols has no sentence yet."""
    row: list[Need] = []
    for symbol, is_terminal in symbols:
        if not is_terminal and symbol not in found:
            return None
        row += [frozenset({symbol})] if is_terminal else found[symbol]
    return row


def _of_choice(rows: Sequence[list[Need]], common: Mapping[str, float]) -> tuple[Need, ...]:
    needed = _rarest(rows[0], common)
    for row in rows[1:]:
        if not needed:
            break
        needed = _rarest([one | other for one in needed for other in _rarest(row, common)], common)
    return needed


def _rarest(needed: Iterable[Need], common: Mapping[str, float]) -> tuple[Need, ...]:
    """The rarest of them, those left out that follow from another."""
    kept: list[Need] = []
    for need in sorted(set(needed), key=lambda need: (sum(common.get(name, 1.0) for name in need), sorted(need))):
        if len(need) <= WIDEST_NEED and not any(other <= need for other in kept):
            kept.append(need)
            if len(kept) == MOST_NEEDS:
                break
    return tuple(kept)
