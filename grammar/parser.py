"""Finds the cheapest way to read a lattice as a command: the LALR tables of the grammar, walked best first.

Each act of the `.lark` files is a start of its own, so acts need not be told apart by one word. Many stacks are
followed at once (generalised LR), which lets a word have several readings and lets a misheard word be compared only
with what may stand in its place.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from typing import Any, NamedTuple

from lark import Token, Tree

from grammar.lattice import FREE_TEXT, Edge, Lattice
from grammar.tables import END, Reduction, Tables, inside

ANOTHER_COST = 0.12
"""For a second command in the same sentence; keeps one command in front where one explains all the words."""

ANOTHER_MISHEARD_COST = 0.35
"""The same where words had to be repaired: two guesses make no sentence."""

PAUSES = frozenset((",", "and", "then"))
"""Words at which one command may end and the next begin even behind words taken as they come."""

DEAREST = 1.3
"""A reading dearer than this is no reading."""

PATIENCE = 6000
"""Steps after which a search gives up, so that no sentence can hold up the next."""

PATIENCE_MISHEARD = 1000

MOST_COMMANDS = 3
"""In one sentence."""


class _Stack(NamedTuple):
    """An LR stack, linked so that readings share what they have in common."""

    state: int
    value: Any
    below: _Stack | None
    key: int
    """The same for stacks of the same states."""


class Step(NamedTuple):
    """How a search came to a place: one edge after another."""

    edge: Edge
    start: int
    before: Step | None


class Found(NamedTuple):
    """One command of the sentence: its tree, named for the act, and the act's place in the sentence."""

    act: str
    tree: Tree[Token]


@dataclass(frozen=True)
class Parse:
    """A complete reading of a sentence."""

    commands: tuple[Found, ...]
    cost: float
    edges: tuple[tuple[int, Edge], ...]
    """Start and edge of all that was read or passed over, in order."""


class _Node(NamedTuple):
    cost: float
    left: int
    """Words still to be read: of two equal costs the further one goes first."""
    number: int
    place: int
    start: str
    stack: _Stack | None
    """None between commands, and once the whole sentence is read."""
    steps: Step | None
    done: tuple[tuple[str, Any], ...]


class Parser:
    """Reads lattices by one grammar."""

    def __init__(self, tables: Tables, costs: Mapping[str, float]) -> None:
        self._tables = tables
        self._costs = costs
        self._keys: dict[tuple[int, int], int] = {}
        self._bottoms = {start: self._bottom(start) for start in tables.begin}
        self._openings: dict[str, list[str]] = defaultdict(list)
        """For each terminal, the acts a sentence may open with it."""
        for start, bottom in self._bottoms.items():
            for terminal in tables.actions[bottom.state]:
                self._openings[terminal].append(start)

    def plain(self, lattice: Lattice, starts: Collection[str]) -> Parse | None:
        """The cheapest reading of the words as they are."""
        return self._search(lattice, starts, misheard=False, patience=PATIENCE)

    def misheard(self, lattice: Lattice, starts: Collection[str]) -> Parse | None:
        """The cheapest reading in which words may stand for others, or for nothing."""
        return self._search(lattice, starts, misheard=True, patience=PATIENCE_MISHEARD)

    def following(self, lattice: Lattice, starts: Collection[str]) -> set[str]:
        """Terminals that may come after the words so far, for suggestions."""
        end = len(lattice.words)
        found: set[str] = set()
        seen: set[tuple[int, int]] = set()
        waiting = [(0, self._bottoms[start]) for start in starts]
        while waiting and len(seen) < PATIENCE:
            place, stack = waiting.pop()
            if (place, stack.key) in seen:
                continue
            seen.add((place, stack.key))
            if place == end:
                found |= {
                    name
                    for name in self._tables.actions[stack.state]
                    if name != END and any(True for _ in self._feed(stack, name, None))
                }
            else:
                waiting += [(edge.end, after) for edge, after in self._moves(lattice, place, stack, False)]
        return found

    def _search(
        self, lattice: Lattice, starts: Collection[str], misheard: bool, patience: int
    ) -> Parse | None:
        length, numbers = len(lattice.words), count()
        queue = [_Node(0.0, length, next(numbers), 0, "", None, None, ())]
        seen: set[tuple[int, int, int]] = set()
        cheapest: dict[tuple[int, int, int], float] = {}
        for _ in range(patience):
            if not queue:
                return None
            node = heapq.heappop(queue)
            if node.place == length and node.stack is None and node.done:
                return self._parse(node)
            mark = (node.place, node.stack.key if node.stack else -1, len(node.done))
            if mark in seen:
                continue
            seen.add(mark)
            for whole in self._finish(node.stack, node.start) if node.stack and not _cut_short(node, lattice) else ():
                cost = (
                    node.cost
                    if node.place == length
                    else node.cost + (ANOTHER_MISHEARD_COST if misheard else ANOTHER_COST)
                )
                if len(node.done) < MOST_COMMANDS and cost <= DEAREST:
                    done = (*node.done, (node.start, whole))
                    heapq.heappush(
                        queue, node._replace(cost=cost, stack=None, start="", done=done, number=next(numbers))
                    )
            if node.place == length:
                continue
            for start, edge, stack, extra in self._onward(lattice, node, starts, misheard):
                cost = node.cost + edge.cost + extra
                there = (edge.end, stack.key if stack else -1, len(node.done))
                if cost <= DEAREST and there not in seen and cost < cheapest.get(there, DEAREST + 1):
                    cheapest[there] = cost
                    heapq.heappush(
                        queue,
                        _Node(
                            cost,
                            length - edge.end,
                            next(numbers),
                            edge.end,
                            start,
                            stack,
                            Step(edge, node.place, node.steps),
                            node.done,
                        ),
                    )
        return None

    def _onward(
        self, lattice: Lattice, node: _Node, starts: Collection[str], misheard: bool
    ) -> Iterator[tuple[str, Edge, _Stack | None, float]]:
        """Every way to read on from a node: within its command, or into the next one."""
        if node.stack is not None:
            for edge, stack in self._moves(lattice, node.place, node.stack, misheard):
                yield node.start, edge, stack, 0.0
            return
        edges = self._edges(lattice, node.place, misheard, self._openings)
        for edge in edges:
            if not edge.terminal:
                yield "", edge, None, 0.0
                continue
            for start in self._openings.get(edge.terminal, ()):
                if start in starts:
                    for stack in self._feed(self._bottoms[start], edge.terminal, _token(edge)):
                        yield start, edge, stack, self._costs.get(start, 0.0)

    def _moves(
        self, lattice: Lattice, place: int, stack: _Stack, misheard: bool
    ) -> Iterator[tuple[Edge, _Stack]]:
        row = self._tables.actions[stack.state]
        for edge in self._edges(lattice, place, misheard, row):
            if not edge.terminal:
                yield edge, stack
            elif edge.terminal in row:
                for after in self._feed(stack, edge.terminal, _token(edge)):
                    yield edge, after

    @staticmethod
    def _edges(lattice: Lattice, place: int, misheard: bool, row: Collection[str]) -> list[Edge]:
        edges = list(lattice.plain(place))
        if misheard:
            edges += lattice.misheard(place)
        for terminal in FREE_TEXT:
            if terminal in row and (misheard or terminal != "STRANGER"):
                edges += lattice.free_text(place, terminal, misheard)
        return edges

    def _bottom(self, start: str) -> _Stack:
        return self._push(self._tables.begin[start], None, None)

    def _push(self, state: int, value: Any, below: _Stack | None) -> _Stack:
        at = (state, below.key if below else -1)
        key = self._keys.get(at)
        if key is None:
            key = self._keys[at] = len(self._keys)
        return _Stack(state, value, below, key)

    def _feed(self, stack: _Stack, terminal: str, value: Any) -> Iterator[_Stack]:
        """The stacks after one more terminal; none where it may not stand there."""
        waiting = [stack]
        while waiting:
            stack = waiting.pop()
            for action in self._tables.actions[stack.state].get(terminal, ()):
                if isinstance(action, Reduction):
                    waiting.append(self._reduce(stack, action))
                else:
                    yield self._push(action, value, stack)

    def _finish(self, stack: _Stack, start: str) -> Iterator[Any]:
        """The whole command, in each way it may end here."""
        for action in self._tables.actions[stack.state].get(END, ()):
            if isinstance(action, Reduction):
                after = self._reduce(stack, action)
                if after.state == self._tables.finished[start] and after.below and after.below.below is None:
                    yield after.value
                else:
                    yield from self._finish(after, start)

    def _reduce(self, stack: _Stack, rule: Reduction) -> _Stack:
        children = []
        below: _Stack | None = stack
        for _ in range(rule.length):
            assert below is not None
            children.append(below.value)
            below = below.below
        assert below is not None
        children.reverse()
        return self._push(self._tables.onward[below.state][rule.name], (rule, children), below)

    def _parse(self, node: _Node) -> Parse:
        edges, step = [], node.steps
        while step:
            edges.append((step.start, step.edge))
            step = step.before
        edges.reverse()
        commands = tuple(Found(act, Tree(act, inside(value))) for act, value in node.done)
        return Parse(commands, node.cost, tuple(edges))


def _cut_short(node: _Node, lattice: Lattice) -> bool:
    """Whether a command would end in words taken as they come while the speaker goes on without a pause."""
    last = node.steps.edge.terminal if node.steps else ""
    return last in FREE_TEXT and node.place < len(lattice.words) and lattice.words[node.place] not in PAUSES


def _token(edge: Edge) -> Token:
    """The edge as a Lark token; its value rides along untouched."""
    token = Token(edge.terminal, "")
    token.value = edge.value
    return token
