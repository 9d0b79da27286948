"""Finds the cheapest way to read a lattice as a command: the LALR tables of the grammar, walked best first.

Each act of the `.lark` files is a start of its own, so acts need not be told apart by one word. Many stacks are
followed at once (generalised LR), which lets a word have several readings and lets a misheard word be compared only
with what may stand in its place. The search is A*: what the words still to come cost at least, whatever the grammar,
is counted beforehand. It follows stacks of states alone, each kept once with where it leads; the tree is built
afterwards, for the one way that won.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Collection, Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
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

DEAREST = 2.6
"""A reading dearer than this is no reading."""

PATIENCE = 6000
"""Steps after which a search gives up, so that no sentence can hold up the next."""

PATIENCE_MISHEARD = 1200

MOST_COMMANDS = 3
"""In one sentence."""

NOTHING_UNLIKELY: Mapping[str, float] = {}


@dataclass(eq=False, slots=True)
class _Stack:
    """A row of LR states; there is one object for each row, so rows are compared by being the same."""

    state: int
    below: _Stack | None
    number: int
    after: dict[str, tuple[_Stack, ...]] = field(default_factory=dict)
    """Where each terminal tried so far leads."""
    whole: bool | None = None
    """Whether a command may end here, once that was asked."""


_Values = tuple[Any, Any]
"""What stands on a stack, the topmost first: `(value, rest)`."""


class Step(NamedTuple):
    """How a search came to a place: one edge after another."""

    edge: Edge | None
    """None where a command ends."""
    place: int
    act: str
    stack: _Stack | None
    before: Step | None


class Found(NamedTuple):
    """One command of the sentence: its tree, named for the act."""

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
    least: float
    """What the whole sentence costs at least, this way."""
    left: int
    """Words still to be read: of two equal costs the further one goes first."""
    number: int
    cost: float
    place: int
    act: str
    stack: _Stack | None
    """None between commands, and once the whole sentence is read."""
    steps: Step | None
    commands: int
    """How many are complete."""


class Parser:
    """Reads lattices by one grammar."""

    def __init__(self, tables: Tables, costs: Mapping[str, float]) -> None:
        self._tables = tables
        self._costs = costs
        self._stacks: dict[tuple[int, int], _Stack] = {}
        self._bottoms = {act: self._stack(state, None) for act, state in tables.begin.items()}
        self._openings: dict[str, list[str]] = defaultdict(list)
        """For each terminal, the acts a sentence may open with it."""
        for act, bottom in self._bottoms.items():
            for terminal in tables.actions[bottom.state]:
                self._openings[terminal].append(act)
        self._takes_free_text = {act for act, state in tables.begin.items() if _takes_free_text(tables, state)}

    def plain(
        self, lattice: Lattice, acts: Collection[str], unlikely: Mapping[str, float] = NOTHING_UNLIKELY
    ) -> Parse | None:
        """The cheapest reading of the words as they are; `unlikely` acts cost more."""
        return self._search(lattice, acts, self._with(unlikely), misheard=False, patience=PATIENCE)

    def misheard(
        self, lattice: Lattice, acts: Collection[str], unlikely: Mapping[str, float]
    ) -> Parse | None:
        """The cheapest reading in which words may stand for others, or for nothing; `unlikely` acts cost more."""
        return self._search(lattice, acts, self._with(unlikely), misheard=True, patience=PATIENCE_MISHEARD)

    def _with(self, unlikely: Mapping[str, float]) -> dict[str, float]:
        return {act: self._costs.get(act, 0.0) + unlikely.get(act, 0.0) for act in self._bottoms}

    def following(self, lattice: Lattice, acts: Collection[str]) -> set[str]:
        """Terminals that may come after the words so far, for suggestions."""
        end = len(lattice.words)
        found: set[str] = set()
        seen: set[tuple[int, int]] = set()
        waiting = [(0, self._bottoms[act]) for act in acts]
        while waiting and len(seen) < PATIENCE:
            place, stack = waiting.pop()
            if (place, stack.number) in seen:
                continue
            seen.add((place, stack.number))
            if place == end:
                row = self._tables.actions[stack.state]
                found |= {name for name in row if name != END and self._feed(stack, name)}
            else:
                waiting += [(edge.end, after) for edge, after in self._moves(lattice, place, stack, False)]
        return found

    # --- The search

    def _search(
        self, lattice: Lattice, acts: Collection[str], costs: Mapping[str, float], misheard: bool, patience: int
    ) -> Parse | None:
        length, numbers = len(lattice.words), count()
        ahead = lattice.least_ahead(misheard)
        beside_free_text = [min(least, lattice.least_free_text(misheard)) for least in ahead[:-1]] + [0.0]
        queue = [_Node(0.0, length, next(numbers), 0.0, 0, "", None, None, 0)]
        seen: set[tuple[int, int, int]] = set()
        cheapest: dict[tuple[int, int, int], float] = {}

        def push(cost: float, place: int, act: str, stack: _Stack | None, steps: Step | None, commands: int) -> None:
            bound = ahead if act and act not in self._takes_free_text else beside_free_text
            there = place, stack.number if stack else -1, commands
            if cost + bound[place] <= DEAREST and there not in seen and cost < cheapest.get(there, DEAREST + 1):
                cheapest[there] = cost
                least = cost + bound[place]
                node = _Node(least, length - place, next(numbers), cost, place, act, stack, steps, commands)
                heapq.heappush(queue, node)

        for _ in range(patience):
            if not queue:
                return None
            node = heapq.heappop(queue)
            place, stack, steps = node.place, node.stack, node.steps
            if place == length and stack is None and node.commands:
                return self._parse(node)
            mark = place, stack.number if stack else -1, node.commands
            if mark in seen:
                continue
            seen.add(mark)
            if stack is None:
                for edge, act, after in self._begin(lattice, place, acts, misheard):
                    cost = node.cost + edge.cost + costs.get(act, 0.0)
                    push(cost, edge.end, act, after, Step(edge, place, act, after, steps), node.commands)
                continue
            if node.commands < MOST_COMMANDS and self._whole(stack, node.act) and not _cut_short(node, lattice):
                another = ANOTHER_MISHEARD_COST if misheard else ANOTHER_COST
                cost = node.cost if place == length else node.cost + another
                push(cost, place, "", None, Step(None, place, node.act, None, steps), node.commands + 1)
            if place < length:
                for edge, after in self._moves(lattice, place, stack, misheard):
                    step = Step(edge, place, node.act, after, steps)
                    push(node.cost + edge.cost, edge.end, node.act, after, step, node.commands)
        return None

    def _begin(
        self, lattice: Lattice, place: int, acts: Collection[str], misheard: bool
    ) -> Iterator[tuple[Edge, str, _Stack | None]]:
        """Every way to begin a command at a place, or to pass over a word before one."""
        if place == len(lattice.words):
            return
        for terminal, edges in _heard(lattice, place, misheard, self._openings):
            if not terminal:
                yield from ((edge, "", None) for edge in edges)
            for act in self._openings.get(terminal, ()):
                if act in acts:
                    for after in self._feed(self._bottoms[act], terminal):
                        yield from ((edge, act, after) for edge in edges)

    def _moves(
        self, lattice: Lattice, place: int, stack: _Stack, misheard: bool
    ) -> Iterator[tuple[Edge, _Stack]]:
        """Every way to read on from a place within a command."""
        yield from ((edge, stack) for edge in lattice.edges(place, misheard).get("", ()))
        for terminal, edges in _heard(lattice, place, misheard, self._tables.actions[stack.state]):
            if terminal:
                for after in self._feed(stack, terminal):
                    yield from ((edge, after) for edge in edges)

    # --- Stacks of states

    def _stack(self, state: int, below: _Stack | None) -> _Stack:
        at = state, below.number if below else -1
        known = self._stacks.get(at)
        if known is None:
            known = self._stacks[at] = _Stack(state, below, len(self._stacks))
        return known

    def _feed(self, stack: _Stack, terminal: str) -> tuple[_Stack, ...]:
        """The stacks after one more terminal; none where it may not stand there."""
        known = stack.after.get(terminal)
        if known is None:
            found: list[_Stack] = []
            waiting = [stack]
            while waiting:
                top = waiting.pop()
                for action in self._tables.actions[top.state].get(terminal, ()):
                    if isinstance(action, Reduction):
                        waiting.append(self._reduce(top, action))
                    else:
                        found.append(self._stack(action, top))
            known = stack.after[terminal] = tuple(dict.fromkeys(found))
        return known

    def _reduce(self, stack: _Stack, rule: Reduction) -> _Stack:
        below: _Stack | None = stack
        for _ in range(rule.length):
            assert below is not None
            below = below.below
        assert below is not None
        return self._stack(self._tables.onward[below.state][rule.name], below)

    def _whole(self, stack: _Stack, act: str) -> bool:
        """Whether a command may end here."""
        if stack.whole is None:
            stack.whole = any(
                self._is_finished(after := self._reduce(stack, action), act) or self._whole(after, act)
                for action in self._tables.actions[stack.state].get(END, ())
                if isinstance(action, Reduction)
            )
        return stack.whole

    def _is_finished(self, stack: _Stack, act: str) -> bool:
        return stack.state == self._tables.finished[act] and stack.below is self._bottoms[act]

    # --- The tree of the way that won

    def _parse(self, node: _Node) -> Parse:
        steps: list[Step] = []
        step = node.steps
        while step:
            steps.append(step)
            step = step.before
        commands: list[Found] = []
        edges: list[tuple[int, Edge]] = []
        stack: _Stack | None = None
        values: _Values | None = None
        for step in reversed(steps):
            if step.edge is None:
                assert stack is not None and values is not None
                commands.append(Found(step.act, Tree(step.act, inside(self._derivation(stack, values, step.act)))))
                stack = values = None
                continue
            edges.append((step.place, step.edge))
            if step.edge.terminal:
                assert step.stack is not None
                if stack is None:
                    stack, values = self._bottoms[step.act], (None, None)
                values = self._replay(stack, values, _token(step.edge), step.stack)
                stack = step.stack
        return Parse(tuple(commands), node.cost, tuple(edges))

    def _replay(self, stack: _Stack, values: Any, token: Token, target: _Stack) -> _Values:
        """The values on `target`, which the token leads to."""
        waiting = [(stack, values)]
        while waiting:
            top, held = waiting.pop()
            for action in self._tables.actions[top.state].get(token.type, ()):
                if isinstance(action, Reduction):
                    waiting.append((self._reduce(top, action), self._reduced(held, action)))
                elif self._stack(action, top) is target:
                    return token, held
        raise AssertionError("the search came this way")

    def _derivation(self, stack: _Stack, values: Any, act: str) -> Any:
        """The command that ends here."""
        waiting = [(stack, values)]
        while waiting:
            top, held = waiting.pop()
            if self._is_finished(top, act):
                return held[0]
            for action in self._tables.actions[top.state].get(END, ()):
                if isinstance(action, Reduction):
                    waiting.append((self._reduce(top, action), self._reduced(held, action)))
        raise AssertionError("the search ended here")

    @staticmethod
    def _reduced(values: Any, rule: Reduction) -> _Values:
        children = []
        for _ in range(rule.length):
            value, values = values
            children.append(value)
        children.reverse()
        return (rule, children), values


def _heard(
    lattice: Lattice, place: int, misheard: bool, wanted: Container[str]
) -> Iterator[tuple[str, Sequence[Edge]]]:
    """What may be heard at a place by terminal, as far as it is wanted there, and the words that may be passed over."""
    for terminal, edges in lattice.edges(place, misheard).items():
        if not terminal or terminal in wanted:
            yield terminal, edges
    for terminal in FREE_TEXT:
        if terminal in wanted and (misheard or terminal != "STRANGER"):
            yield terminal, tuple(lattice.free_text(place, terminal, misheard))


def _takes_free_text(tables: Tables, begin: int) -> bool:
    """Whether words may be taken as they come anywhere in the command that begins in this state."""
    seen, waiting = {begin}, [begin]
    while waiting:
        state = waiting.pop()
        row = tables.actions[state]
        if not FREE_TEXT.keys().isdisjoint(row):
            return True
        shifts = [action for actions in row.values() for action in actions if isinstance(action, int)]
        new = {*shifts, *tables.onward[state].values()} - seen
        seen |= new
        waiting += new
    return False


def _cut_short(node: _Node, lattice: Lattice) -> bool:
    """Whether a command would end in words taken as they come while the speaker goes on without a pause."""
    last = node.steps.edge.terminal if node.steps and node.steps.edge else ""
    return last in FREE_TEXT and node.place < len(lattice.words) and lattice.words[node.place] not in PAUSES


def _token(edge: Edge) -> Token:
    """The edge as a Lark token; its value rides along untouched."""
    token = Token(edge.terminal, "")
    token.value = edge.value
    return token
