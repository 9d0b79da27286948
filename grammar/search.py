"""The cheapest way through a lattice: A* over places in the sentence and stacks of the grammar.

What the words still to come cost at least, whatever the grammar, is counted beforehand. The search follows stacks of
states alone; a reading is known by its steps, and its tree is built afterwards (`grammar.parser`).
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count
from typing import NamedTuple, Protocol

from grammar.asides import ASKED, NOTHING_PASSED, STRANGE_COST, Aside, Passing, is_harmless
from grammar.files import DUE
from grammar.lattice import FREE_TEXT, Edge, Lattice

ANOTHER_COST = 0.12
"""For a second command in the same sentence; keeps one command in front where one explains all the words."""

ANOTHER_MISHEARD_COST = 0.35
"""The same where words had to be repaired: two guesses make no sentence."""

PARTS = frozenset((",", "and", "then"))
"""Words at which one command may end and the next begin even behind words taken as they come."""

DEAREST = 2.0
"""A reading dearer than this is no reading."""

PATIENCE = 6000
"""Steps after which a search gives up, so that no sentence can hold up the next."""

PATIENCE_MISHEARD = 700

MOST_COMMANDS = 3
"""In one sentence."""

LISTED = frozenset("addition log_addition plan_addition remove_addition".split())
"""Acts that people tell in a row; a further `addition` goes on with it."""

LISTING = "+"
"""Stands for the act between two commands where such a row may go on."""

BETWEEN_COMMANDS = frozenset({"", ASKED, LISTING})
"""What stands for the act where none is begun."""

MOST_LISTED, NEXT_LISTED_COST = 12, 0.03
"""Commands at most in such a row, and what one more costs."""


@dataclass(eq=False, slots=True)
class Stack:
    """A row of LR states; there is one object for each row, so rows are compared by being the same."""

    state: int
    below: Stack | None
    number: int
    after: dict[str, tuple[Stack, ...]] = field(default_factory=dict)
    """Where each terminal tried so far leads."""
    whole: bool | None = None
    """Whether a command may end here, once that was asked."""


class Grammar(Protocol):
    """What a search asks of a parser."""

    def reached(self, act: str) -> Collection[str]: ...

    def openings(
        self, lattice: Lattice, place: int, acts: Collection[str], misheard: bool
    ) -> Iterator[tuple[Edge, str, Stack | None]]: ...

    def moves(
        self, lattice: Lattice, place: int, stack: Stack, misheard: bool, ahead: Sequence[float], at_most: float
    ) -> Iterator[tuple[Edge, Stack]]: ...

    def may_end(self, stack: Stack, act: str) -> bool: ...


class Step(NamedTuple):
    """How a search came to a place: one edge after another."""

    edge: Edge | None
    """None where a command ends."""
    place: int
    act: str
    stack: Stack | None
    before: Step | None


_Mark = tuple[int, int | str, int]


class Beside(NamedTuple):
    """What may be left out of account."""

    passing: Passing = NOTHING_PASSED
    asides: Sequence[Aside] = ()


NOTHING_BESIDE = Beside()


class _Node(NamedTuple):
    least: float
    """What the whole sentence costs at least, this way."""
    left: int
    """Words still to be read: of two equal costs the further one goes first."""
    number: int
    cost: float
    place: int
    act: str
    """Empty between commands; `ASKED` where only a question may follow, `LISTING` where only one more of a row; at the
    very end the last act."""
    stack: Stack | None
    """None between commands, and once the whole sentence is read."""
    steps: Step | None
    commands: int
    """How many are complete."""
    mark: _Mark
    """Nodes alike in this lead to the same."""


class Search:
    """One search through one lattice."""

    def __init__(
        self, grammar: Grammar, lattice: Lattice, costs: Mapping[str, float], misheard: bool, beside: Beside,
        at_most: float = DEAREST,
    ) -> None:
        """`costs`: the acts to look for and what each costs; `at_most`: what a reading may cost altogether."""
        self._at_most = at_most
        self._grammar, self._lattice, self._costs, self._misheard = grammar, lattice, costs, misheard
        self._length = len(lattice.words)
        self._passing, self._asides = beside
        self._closing = {aside.start: aside for aside in beside.asides if aside.start}
        self._talked = [Edge(place + 1, "", word, 0.0) for place, word in enumerate(lattice.words)]
        self._nothing_passed = [math.inf] * self._length
        self._between = self._least_between()
        self._bounds: dict[str, list[float]] = {}
        self._queue: list[_Node] = []
        self._numbers = count()
        self._seen: set[_Mark] = set()
        self._cheapest: dict[_Mark, float] = {}

    def run(self) -> Iterator[tuple[float, Step | None]]:
        """Cost and last step of the cheapest reading for each last act and number of commands, the cheapest first."""
        self._push(0.0, 0, "", None, None, 0)
        for aside in self._asides:
            if aside.start == 0:
                self._begin_behind(aside)
        for _ in range(PATIENCE_MISHEARD if self._misheard else PATIENCE):
            if not self._queue:
                return
            node = heapq.heappop(self._queue)
            if node.mark in self._seen:
                continue
            self._seen.add(node.mark)
            if node.place == self._length and node.stack is None and node.commands and node.act != ASKED:
                yield node.cost, node.steps
            elif node.stack is None:
                self._begin(node)
            else:
                self._end(node, node.stack)
                self._read_on(node, node.stack)

    def _begin_behind(self, aside: Aside) -> None:
        beside_it = Step(self._passed_over(0, aside.end), 0, "", None, None)
        self._push(aside.harmless, aside.end, ASKED, None, beside_it, 0)
        for edge, act, after in self._openings(aside.end):
            if act and not (act in self._passing and is_harmless(act)):
                cost = aside.cost(act) + edge.cost + self._costs[act]
                self._push(cost, edge.end, act, after, Step(edge, aside.end, act, after, beside_it), 0)

    def _begin(self, node: _Node) -> None:
        """Open a command, or pass over what stands before it."""
        opening = self._passing.get(ASKED)
        if opening and node.act != LISTING and node.place < self._length:
            step = Step(self._talk(node.place, opening), node.place, "", None, node.steps)
            self._push(node.cost + opening[node.place], node.place + 1, ASKED, None, step, node.commands)
            for edge in self._lattice.named_batch(node.place):
                step = Step(edge, node.place, "", None, node.steps)
                self._push(node.cost + edge.cost, edge.end, ASKED, None, step, node.commands)
        if node.commands and node.place < self._length and self._lattice.words[node.place] in PARTS:
            # What joins two commands is free, so that of two equal readings the one that parts them there wins.
            step = Step(self._talked[node.place], node.place, "", None, node.steps)
            self._push(node.cost, node.place + 1, node.act, None, step, node.commands)
        asked_before = _last_question(node.steps)
        for edge, act, after in self._openings(node.place):
            if node.act == LISTING and act not in ("", "addition"):
                continue
            if act.startswith(DUE) and node.commands and self._lattice.words[node.place - 1] not in PARTS:
                continue
            if act and (act == asked_before or (node.act == ASKED and not self._may_follow(act, node))):
                continue
            cost = node.cost + edge.cost + self._costs.get(act, 0.0)
            step = Step(edge, node.place, act, after, node.steps)
            self._push(cost, edge.end, act or node.act, after, step, node.commands)

    def _may_follow(self, act: str, node: _Node) -> bool:
        """Whether an act may open behind the talk passed over before it: not where it never passes over one of the words.

        What records may follow neither a clause beside the matter nor a strange word.
        """
        passed, talk, step = self._passing.get(act), self._passing[ASKED], node.steps
        while passed and step and step.edge and step.stack is None:
            if is_harmless(act):
                kept_from = math.isinf(passed[step.place]) and not math.isinf(talk[step.place])
            else:
                kept_from = any(map(math.isinf, passed[step.place : step.edge.end]))
            if kept_from:
                return False
            step = step.before
        return passed is not None

    def _end(self, node: _Node, stack: Stack) -> None:
        """Complete a command where it may end, with another or an aside behind it, or nothing."""
        most = MOST_LISTED if node.act in LISTED else MOST_COMMANDS
        if node.commands >= most or not self._grammar.may_end(stack, node.act) or self._cut_short(node):
            return
        ended = Step(None, node.place, node.act, None, node.steps)
        if node.place == self._length:
            self._push(node.cost, node.place, node.act, None, ended, node.commands + 1)
            return
        if node.commands + 1 < MOST_COMMANDS:
            another = ANOTHER_MISHEARD_COST if self._misheard else ANOTHER_COST
            self._push(node.cost + another, node.place, "", None, ended, node.commands + 1)
        if node.act in LISTED and not self._misheard:
            self._push(node.cost + NEXT_LISTED_COST, node.place, LISTING, None, ended, node.commands + 1)
        closing = self._closing.get(node.place)
        if closing:
            beside_it = Step(self._passed_over(node.place, self._length), node.place, node.act, None, ended)
            self._push(node.cost + closing.cost(node.act), self._length, node.act, None, beside_it, node.commands + 1)

    def _read_on(self, node: _Node, stack: Stack) -> None:
        if node.place == self._length:
            return
        passed = self._passing.get(node.act, self._nothing_passed)
        if passed[node.place] < math.inf:
            step = Step(self._talk(node.place, passed), node.place, node.act, stack, node.steps)
            self._push(node.cost + passed[node.place], node.place + 1, node.act, stack, step, node.commands)
        if is_harmless(node.act):
            for edge in self._lattice.named_batch(node.place):
                step = Step(edge, node.place, node.act, stack, node.steps)
                self._push(node.cost + edge.cost, edge.end, node.act, stack, step, node.commands)
        ahead, left = self._bound(node.act), self._at_most - node.cost
        for edge, after in self._grammar.moves(self._lattice, node.place, stack, self._misheard, ahead, left):
            step = Step(edge, node.place, node.act, after, node.steps)
            self._push(node.cost + edge.cost, edge.end, node.act, after, step, node.commands)

    def _openings(self, place: int) -> Iterator[tuple[Edge, str, Stack | None]]:
        return self._grammar.openings(self._lattice, place, self._costs, self._misheard)

    def _push(self, cost: float, place: int, act: str, stack: Stack | None, steps: Step | None, commands: int) -> None:
        mark = place, stack.number if stack else act, commands
        if cost >= self._cheapest.get(mark, math.inf) or mark in self._seen:
            return
        least = cost + (self._bound(act)[place] if stack or place < self._length else 0.0)
        if least <= self._at_most:
            self._cheapest[mark] = cost
            left = self._length - place
            node = _Node(least, left, next(self._numbers), cost, place, act, stack, steps, commands, mark)
            heapq.heappush(self._queue, node)

    def _bound(self, act: str) -> list[float]:
        """What the words from each place on cost at least within an act, or between commands."""
        known = self._bounds.get(act)
        if known is None:
            known = self._bounds[act] = self._between if act in BETWEEN_COMMANDS else self._least_within(act)
        return known

    def _least_between(self) -> list[float]:
        """Any act may follow, and what joins two commands is free. An aside costs more than words taken as they come."""
        passing = [costs for act, costs in self._passing.items() if act == ASKED or act in self._costs]
        passed = [min(costs) for costs in zip(*passing, strict=True)] or self._nothing_passed
        passed = [0.0 if word in PARTS else cost for word, cost in zip(self._lattice.words, passed, strict=True)]
        free = self._lattice.least_free_text(self._misheard, FREE_TEXT)
        return self._lattice.least_ahead(self._misheard, passed, [free] * self._length + [0.0])

    def _least_within(self, act: str) -> list[float]:
        """Of the terminals of the act, until it ends and leaves room for another."""
        another = NEXT_LISTED_COST if act in LISTED else ANOTHER_COST
        wanted = self._grammar.reached(act)
        free = self._lattice.least_free_text(self._misheard, wanted)
        left = [min(free, another + least) for least in self._between]
        left[-1] = 0.0
        return self._lattice.least_ahead(self._misheard, self._passing.get(act, self._nothing_passed), left, wanted)

    def _talk(self, place: int, passed: Sequence[float]) -> Edge:
        """One word passed over within a question; only a strange one counts as not understood."""
        talk = self._talked[place]
        return talk._replace(repaired=True) if passed[place] >= STRANGE_COST else talk

    def _passed_over(self, start: int, end: int) -> Edge:
        return Edge(end, "", " ".join(self._lattice.words[start:end]), 0.0, True)

    def _cut_short(self, node: _Node) -> bool:
        """Whether a command would end in words taken as they come while the speaker goes on without a pause."""
        last = node.steps.edge.terminal if node.steps and node.steps.edge else ""
        return last in FREE_TEXT and node.place < self._length and self._lattice.words[node.place] not in PARTS


def told(last: Step | None) -> list[Step]:
    """The steps of a reading, the first one first."""
    steps = []
    while last:
        steps.append(last)
        last = last.before
    return steps[::-1]


def _last_question(steps: Step | None) -> str:
    """The question that was asked just before, if it was one: nobody asks the same twice in one breath."""
    while steps and steps.edge is not None:
        steps = steps.before
    return steps.act if steps and is_harmless(steps.act) else ""
