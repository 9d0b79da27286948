"""Several things said with pauses between them, each read by itself: `Dropped a bit. One forty nine, flame back on.`

A sentence is first read as a whole, for its facts may stand in one clause and its question in the next. Where that is
no sure reading, the clauses between its pauses are read alone or with their neighbours, and what is only talk is left
out. No number is ever left out of what records, nor a word that turns a claim into its opposite without asking back.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from grammar.asides import is_harmless
from grammar.command import LINE, Command

MOST_CLAUSES, LONGEST_RUN = 9, 3
"""Clauses of a sentence that is still taken apart, and most of them read as one."""

READ_COST = 0.03
"""For each run of clauses read by itself: of two equal readings the one in fewer pieces wins."""


class Left(NamedTuple):
    """What leaving out a clause costs, beside a question and beside what records."""

    asked: float
    recording: float


TALK_COST, EACH_WORD_COST = Left(0.2, 0.1), 0.01
"""For a clause that is only talk, and more for each of its words."""

TELLING_COST = Left(0.3, 0.72)
"""More for a clause that may have told something, or turned what was told into something else: what records is asked back."""

UNREAD_COST = 0.9
"""For a clause that holds a number or a name and is not understood, beside a question."""

Read = Callable[[int, int, Sequence[Command]], Sequence[Command]]
"""What the words from one place to another mean by themselves, after the commands read before; nothing where they mean nothing."""


class _Way(NamedTuple):
    cost: float
    commands: tuple[Command, ...]
    left: tuple[tuple[Left, str], ...]
    """The clauses left out, and what that costs."""

    def dear(self) -> float:
        """What it costs altogether."""
        records = any(not is_harmless(command.act) for command in self.commands)
        return self.cost + sum(left.recording if records else left.asked for left, _ in self.left)


def clauses(words: Sequence[str]) -> list[tuple[int, int]]:
    """Where each clause begins and ends; the pauses between them belong to none."""
    found, start = [], 0
    for place, word in enumerate([*words, ","]):
        if word == ",":
            if place > start:
                found.append((start, place))
            start = place + 1
    return found


def left_out(words: Sequence[str], counts: bool, telling: bool) -> Left:
    """What it costs to leave out these words.

    `counts` where a number or a name is among them; `telling` where they may have told something.
    """
    if counts:
        return Left(UNREAD_COST, math.inf)
    more = EACH_WORD_COST * len(words)
    asked, recording = (talk + more + (told if telling else 0.0) for talk, told in zip(TALK_COST, TELLING_COST, strict=True))
    return Left(asked, recording)


def by_clauses(words: Sequence[str], read: Read, leave: Callable[[int, int], Left]) -> list[Command]:
    """The commands of the best way to read the clauses apart; none where there is no way, or only one clause.

    What was left out is told with each of them (`passed_over`).
    """
    parts = clauses(words)
    if not 1 < len(parts) <= MOST_CLAUSES:
        return []
    best: list[list[_Way]] = [[_Way(0.0, (), ())], *([] for _ in parts)]
    for at, (start, end) in enumerate(parts):
        for way in _cheapest(best[at]):
            understood = False
            for last in range(at, min(len(parts), at + LONGEST_RUN)):
                whole = last - at == len(parts) - 1  # that was read before, and is no sure reading
                found = () if whole else read(start, parts[last][1], way.commands)
                if found:
                    cost = way.cost + READ_COST - math.log(max(found[0].sure, 1e-9))
                    best[last + 1].append(_Way(cost, (*way.commands, *found), way.left))
                    understood |= last == at and found[0].sure >= LINE
            if not understood:
                best[at + 1].append(way._replace(left=(*way.left, (leave(start, end), " ".join(words[start:end])))))
    ways = [way for way in _cheapest(best[-1]) if way.commands and way.dear() < math.inf]
    if not ways:
        return []
    way = ways[0]
    sure = round(math.exp(-way.dear()), 3)
    talk = tuple(said for _, said in way.left)
    return [replace(command, sure=sure, passed_over=(*command.passed_over, *talk)) for command in way.commands]


def _cheapest(ways: Iterable[_Way]) -> list[_Way]:
    """The cheapest way that has read something and the cheapest that has not: what follows may lean on it."""
    ranked = sorted(ways, key=_Way.dear)
    return [*[way for way in ranked if way.commands][:1], *[way for way in ranked if not way.commands][:1]]
