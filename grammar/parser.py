"""Finds the cheapest way to read a lattice as a command: the LALR tables of the grammar, walked best first.

Each act of the `.lark` files is a start of its own, so acts need not be told apart by one word. Many stacks are
followed at once (generalised LR), which lets a word have several readings and lets a misheard word be compared only
with what may stand in its place.
"""
from __future__ import annotations

import heapq
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import count
from typing import Any, NamedTuple

from lark import Token, Tree

from grammar.lattice import FREE_TEXT, Edge, Lattice
from grammar.tables import END, Reduction, Tables, tree

ANOTHER_COST = 0.12
"""For a second command in the same sentence; keeps one command in front where one explains all the words."""

DEAREST = 1.3
"""A reading dearer than this is no reading."""

PATIENCE = 6000
"""Steps after which a search gives up, so that no sentence can hold up the next."""

PATIENCE_MISHEARD = 1500

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
    """None once the whole sentence is read."""
    steps: Step | None
    done: tuple[tuple[str, Any], ...]


class Parser:
    """Reads lattices by one grammar."""

    def __init__(self, tables: Tables, costs: Mapping[str, float]) -> None:
        self._tables = tables
        self._costs = costs
        self._keys: dict[tuple[int, int], int] = {}

    def parse(self, lattice: Lattice, starts: Collection[str]) -> Parse | None:
        """The cheapest reading by plain words; only if there is none, the cheapest by misheard ones too."""
        return (self._search(lattice, starts, misheard=False, patience=PATIENCE)
                or self._search(lattice, starts, misheard=True, patience=PATIENCE_MISHEARD))

    def following(self, lattice: Lattice, starts: Collection[str]) -> set[str]:
        """Terminals that may come after the words so far, for suggestions."""
        end = len(lattice.words)
        found: set[str] = set()
        seen: set[tuple[int, int]] = set()
        waiting = [(0, self._bottom(start)) for start in starts]
        while waiting and len(seen) < PATIENCE:
            place, stack = waiting.pop()
            if (place, stack.key) in seen:
                continue
            seen.add((place, stack.key))
            if place == end:
                found |= {name for name in self._tables.actions[stack.state]
                          if name != END and any(True for _ in self._feed(stack, name, None))}
            else:
                waiting += [(edge.end, after) for edge, after in self._moves(lattice, place, stack, False)]
        return found

    def _search(self, lattice: Lattice, starts: Collection[str], misheard: bool, patience: int) -> Parse | None:
        length, numbers = len(lattice.words), count()
        begin = [(start, self._bottom(start), self._costs.get(start, 0.0)) for start in starts]
        queue = [_Node(cost, length, next(numbers), 0, start, stack, None, ()) for start, stack, cost in begin]
        heapq.heapify(queue)
        seen: set[tuple[int, int, int]] = set()
        for _ in range(patience):
            if not queue:
                return None
            node = heapq.heappop(queue)
            if node.stack is None:
                return self._parse(node)
            mark = (node.place, node.stack.key, len(node.done))
            if mark in seen:
                continue
            seen.add(mark)
            for whole in self._finish(node.stack, node.start):
                done = (*node.done, (node.start, whole))
                if node.place == length:
                    heapq.heappush(queue, node._replace(stack=None, done=done, number=next(numbers)))
                elif len(done) < MOST_COMMANDS:
                    for start, stack, cost in begin:
                        heapq.heappush(queue, _Node(node.cost + cost + ANOTHER_COST, node.left, next(numbers),
                                                    node.place, start, stack, node.steps, done))
            if node.place < length:
                for edge, stack in self._moves(lattice, node.place, node.stack, misheard):
                    cost = node.cost + edge.cost
                    if cost <= DEAREST:
                        heapq.heappush(queue, _Node(cost, length - edge.end, next(numbers), edge.end, node.start,
                                                    stack, Step(edge, node.place, node.steps), node.done))
        return None

    def _moves(self, lattice: Lattice, place: int, stack: _Stack, misheard: bool) -> Iterator[tuple[Edge, _Stack]]:
        row = self._tables.actions[stack.state]
        edges = list(lattice.plain(place))
        if misheard:
            edges += lattice.misheard(place)
        for terminal in FREE_TEXT:
            if terminal in row and (misheard or terminal != "STRANGER"):
                edges += lattice.free_text(place, terminal)
        for edge in edges:
            if not edge.terminal:
                yield edge, stack
            elif edge.terminal in row:
                for after in self._feed(stack, edge.terminal, _token(edge)):
                    yield edge, after

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
        for action in self._tables.actions[stack.state].get(terminal, ()):
            if isinstance(action, Reduction):
                yield from self._feed(self._reduce(stack, action), terminal, value)
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
        return Parse(tuple(Found(act, tree(value)[0]) for act, value in node.done), node.cost, tuple(edges))


def _token(edge: Edge) -> Token:
    """The edge as a Lark token; its value rides along untouched."""
    token = Token(edge.terminal, "")
    token.value = edge.value
    return token
