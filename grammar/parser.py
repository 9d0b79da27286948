"""Reads a lattice as commands: the LALR tables of the grammar, followed by the search of `grammar.search`.

Each act of the `.lark` files is a start of its own, so acts need not be told apart by one word. Many stacks are
followed at once (generalised LR), which lets a word have several readings and lets a misheard word be compared only
with what may stand in its place. Each stack of states is kept once with where it leads; the tree is built afterwards,
for the one way that won.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Collection, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from lark import Token, Tree

from grammar.lattice import FREE_TEXT, Edge, Lattice
from grammar.needs import met
from grammar.search import DEAREST, NOTHING_BESIDE, PATIENCE, Beside, Search, Stack, Step, told
from grammar.tables import END, Reduction, Tables, inside

NOTHING_UNLIKELY: Mapping[str, float] = {}

_Values = tuple[Any, Any]
"""What stands on a stack, the topmost first: `(value, rest)`."""


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


class Parser:
    """Reads lattices by one grammar."""

    def __init__(
        self, tables: Tables, costs: Mapping[str, float], objections: Callable[[Sequence[Found]], float] = lambda _: 0.0
    ) -> None:
        """`costs`: what each act costs; `objections`: what commands cost more for what they say."""
        self._tables = tables
        self._objections = objections
        self._costs = costs
        self._stacks: dict[tuple[int, int], Stack] = {}
        self._bottoms = {act: self._stack(state, None) for act, state in tables.begin.items()}
        self._openings: dict[str, list[str]] = defaultdict(list)
        """For each terminal, the acts a sentence may open with it."""
        for act, bottom in self._bottoms.items():
            for terminal in tables.actions[bottom.state]:
                self._openings[terminal].append(act)

    def possible(self, lattice: Lattice, acts: Iterable[str], misheard: bool = False) -> list[str]:
        """Those of the acts for which all is heard that each of their sentences needs."""
        heard = lattice.heard(misheard)
        return [act for act in acts if met(self._tables.needs[act], heard)]

    def read(
        self,
        lattice: Lattice,
        acts: Collection[str],
        unlikely: Mapping[str, float] = NOTHING_UNLIKELY,
        misheard: bool = False,
        beside: Beside = NOTHING_BESIDE,
        at_most: float = DEAREST,
        objections: Callable[[Sequence[Found]], float] | None = None,
    ) -> Parse | None:
        """The cheapest reading, if there is any; `unlikely` acts cost more, and what is `beside` the matter is passed over.

        It costs `at_most` so much, but for what a command costs by the `objections` to it. If `misheard`, words may stand for others, or for nothing.
        """
        costs = {act: self._costs.get(act, 0.0) + unlikely.get(act, 0.0) for act in acts}
        objections = objections or self._objections
        best: Parse | None = None
        for cost, last in Search(self, lattice, costs, misheard, beside, at_most).run():
            if best and best.cost <= cost:
                break
            commands, edges = self._commands(last)
            more = objections(commands)
            if best is None or cost + more < best.cost:
                best = Parse(commands, cost + more, edges)
            if not more:
                break
        return best

    def following(self, lattice: Lattice, acts: Collection[str], talk: Collection[str]) -> set[str]:
        """Terminals that may come after the words so far, for suggestions; words of `talk` may stand anywhere."""
        end = len(lattice.words)
        nothing_ahead = [0.0] * (end + 1)
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
                if lattice.words[place] in talk:
                    waiting.append((place + 1, stack))
                waiting += [(edge.end, after) for edge, after in self.moves(lattice, place, stack, False, nothing_ahead, math.inf)]
        return found

    # --- What the search asks of the grammar

    def openings(
        self, lattice: Lattice, place: int, acts: Collection[str], misheard: bool
    ) -> Iterator[tuple[Edge, str, Stack | None]]:
        """Every way to begin a command at a place, or to pass over words before one (with no act and no stack)."""
        if place == len(lattice.words):
            return
        for terminal, edges in _heard(lattice, place, misheard, self._openings):
            if not terminal:
                yield from ((edge, "", None) for edge in edges)
            for act in self._openings.get(terminal, ()):
                if act in acts:
                    for after in self._feed(self._bottoms[act], terminal):
                        yield from ((edge, act, after) for edge in edges)

    def moves(
        self, lattice: Lattice, place: int, stack: Stack, misheard: bool, ahead: Sequence[float], at_most: float
    ) -> Iterator[tuple[Edge, Stack]]:
        """Every way to read on from a place within a command that costs `at_most` so much with what is `ahead` of its end."""
        yield from ((edge, stack) for edge in lattice.edges(place, misheard).get("", ()))
        for terminal, edges in _heard(lattice, place, misheard, self._tables.actions[stack.state]):
            if terminal:
                cheap = [edge for edge in edges if edge.cost + ahead[edge.end] <= at_most]
                for after in self._feed(stack, terminal) if cheap else ():
                    yield from ((edge, after) for edge in cheap)

    def reached(self, act: str) -> Collection[str]:
        """The terminals that may stand anywhere in an act."""
        return self._tables.reached[act]

    def may_end(self, stack: Stack, act: str) -> bool:
        """Whether a command may end here."""
        if stack.whole is None:
            stack.whole = any(
                self._is_finished(after := self._reduce(stack, action), act) or self.may_end(after, act)
                for action in self._tables.actions[stack.state].get(END, ())
                if isinstance(action, Reduction)
            )
        return stack.whole

    # --- Stacks of states

    def _stack(self, state: int, below: Stack | None) -> Stack:
        at = state, below.number if below else -1
        known = self._stacks.get(at)
        if known is None:
            known = self._stacks[at] = Stack(state, below, len(self._stacks))
        return known

    def _feed(self, stack: Stack, terminal: str) -> tuple[Stack, ...]:
        """The stacks after one more terminal; none where it may not stand there."""
        known = stack.after.get(terminal)
        if known is None:
            found: list[Stack] = []
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

    def _reduce(self, stack: Stack, rule: Reduction) -> Stack:
        below: Stack | None = stack
        for _ in range(rule.length):
            assert below is not None
            below = below.below
        assert below is not None
        return self._stack(self._tables.onward[below.state][rule.name], below)

    def _is_finished(self, stack: Stack, act: str) -> bool:
        return stack.state == self._tables.finished[act] and stack.below is self._bottoms[act]

    # --- The tree of the way that won

    def _commands(self, last: Step | None) -> tuple[tuple[Found, ...], tuple[tuple[int, Edge], ...]]:
        commands: list[Found] = []
        edges: list[tuple[int, Edge]] = []
        stack: Stack | None = None
        values: _Values | None = None
        for step in told(last):
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
        return tuple(commands), tuple(edges)

    def _replay(self, stack: Stack, values: Any, token: Token, target: Stack) -> _Values:
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

    def _derivation(self, stack: Stack, values: Any, act: str) -> Any:
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
            yield terminal, lattice.free_text(place, terminal, misheard)


def _token(edge: Edge) -> Token:
    """The edge as a Lark token; its value rides along untouched."""
    token = Token(edge.terminal, "")
    token.value = edge.value
    return token
