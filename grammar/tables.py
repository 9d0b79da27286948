"""LR tables for the grammar, with every choice kept: what Lark works out of the `.lark` files, made to be followed.

Lark reads the grammar, expands it and computes LALR(1) look-aheads. Where Lark's own parser must settle a
conflict, a sentence often needs both ways tried (`put in` two gallons; put `in` ...), so all actions are kept and
`grammar.parser` follows them side by side.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Any, NamedTuple

from lark import Lark, Token, Tree
from lark.lexer import Lexer, TerminalDef
from lark.parsers.lalr_analysis import LALR_Analyzer

from grammar.kept import kept
from grammar.needs import Need, Rule, needs

END = "$END"


class Reduction(NamedTuple):
    """A rule of the grammar, as far as following it needs."""

    name: str
    length: int
    label: str
    """What the node is called in the tree: the alternative's name, or the rule's."""
    inline: bool
    """The node's children go straight into its parent (Lark's rules with a leading underscore)."""
    kept: tuple[int, ...]
    """Which of its children appear in the tree."""


Action = int | Reduction
"""Go to a state, or reduce."""


@dataclass(frozen=True)
class Tables:
    """Everything the parser needs of a grammar; plain data, so that it can be kept in a file."""

    actions: list[dict[str, tuple[Action, ...]]]
    """For each state, what each terminal allows."""
    onward: list[dict[str, int]]
    """For each state, where a finished rule leads."""
    begin: dict[str, int]
    """For each act, the state a sentence starts in."""
    finished: dict[str, int]
    reached: dict[str, frozenset[str]]
    """For each act, the terminals that may stand anywhere in it."""
    needs: dict[str, tuple[Need, ...]]
    """For each act, what each of its sentences must hold."""
    terminals: list[TerminalDef]
    ignored: list[str]
    """Terminals that may stand anywhere and mean nothing."""


class _Handed(Lexer):
    """Lark asks for a lexer; ours hands over tokens that are already typed."""

    def __init__(self, _conf: Any) -> None:
        pass

    def lex(self, lexer_state: Any, _parser_state: Any = None) -> Iterator[Token]:
        return iter(lexer_state)


def lark_of(grammar: str, starts: Sequence[str]) -> Lark:
    """The grammar as Lark has it; its Earley parser reads lists of typed tokens (used to measure against)."""
    return Lark(grammar, parser="earley", lexer=_Handed, start=list(starts), maybe_placeholders=False)


def build(grammar: str, starts: Sequence[str]) -> Tables:
    """Compute the tables; takes some seconds. Raises Lark's `GrammarError` for a faulty grammar."""
    lark = lark_of(grammar, starts)
    analysis = LALR_Analyzer(lark.parser.parser_conf)
    analysis.compute_lr0_states()
    analysis.compute_reads_relations()
    analysis.compute_includes_lookback()
    analysis.compute_lookaheads()
    states = list(analysis.lr0_itemsets)
    number = {state: at for at, state in enumerate(states)}
    actions: list[dict[str, tuple[Action, ...]]] = []
    onward: list[dict[str, int]] = []
    reductions: dict[Any, Reduction] = {}
    same: dict[tuple[Action, ...], tuple[Action, ...]] = {}
    for state in states:
        row: dict[str, tuple[Action, ...]] = {}
        leads: dict[str, int] = {}
        for symbol, after in state.transitions.items():
            if symbol.is_term:
                row[symbol.name] = (number[after],)
            else:
                leads[symbol.name] = number[after]
        for ahead, rules in state.lookaheads.items():
            # Lark keeps them in a set; in order, the same grammar always reads the same way.
            found = tuple(reductions.setdefault(rule, _reduction(rule)) for rule in sorted(rules, key=str))
            row[ahead.name] = row.get(ahead.name, ()) + found
        # The same actions are one object, so that the file is small and quickly read.
        actions.append({name: same.setdefault(found, found) for name, found in row.items()})
        onward.append(leads)
    begin = {start: number[state] for start, state in analysis.lr0_start_states.items()}
    finished = {start: onward[begin[start]][start] for start in starts}
    reached = {start: _reached(state, actions, onward) for start, state in begin.items()}
    needed = _needs(lark, reached)
    return Tables(actions, onward, begin, finished, reached, needed, list(lark.terminals), list(lark.ignore_tokens))


def _needs(lark: Lark, reached: Mapping[str, Collection[str]]) -> dict[str, tuple[Need, ...]]:
    """For each act; how common a terminal is, is told by how many acts have it."""
    acts_with = Counter(terminal for terminals in reached.values() for terminal in terminals)
    common = {terminal: count / len(reached) for terminal, count in acts_with.items()}
    found = needs(
        (
            Rule(str(rule.origin.name), [(symbol.name, symbol.is_term) for symbol in rule.expansion])
            for rule in lark.parser.parser_conf.rules
        ),
        common,
    )
    return {act: found[act] for act in reached}


def _reached(
    begin: int, actions: Sequence[dict[str, tuple[Action, ...]]], onward: Sequence[dict[str, int]]
) -> frozenset[str]:
    """The terminals on all ways from a state."""
    found: set[str] = set()
    seen, waiting = {begin}, [begin]
    while waiting:
        state = waiting.pop()
        shifts = [(name, to) for name, row in actions[state].items() for to in row if isinstance(to, int)]
        found.update(name for name, _ in shifts)
        new = {*(to for _, to in shifts), *onward[state].values()} - seen
        seen |= new
        waiting += new
    return frozenset(found)


def _reduction(rule: Any) -> Reduction:
    name = str(rule.origin.name)
    kept = tuple(at for at, symbol in enumerate(rule.expansion) if not (symbol.is_term and symbol.filter_out))
    return Reduction(name, len(rule.expansion), str(rule.alias or name), name.startswith("_"), kept)


def made_of(grammar: str, starts: Sequence[str]) -> str:
    """All that the tables depend on: another grammar, another Lark or another program makes others."""
    here = Path(__file__)
    program = [path.read_text(encoding="utf-8") for path in (here, here.with_name("needs.py"))]
    return "\n".join([grammar, *starts, version("lark"), *program])


def kept_in(folder: Path | None, grammar: str, starts: Sequence[str]) -> Tables:
    """The tables that came with the installation, else those of the folder's cache, else computed and put there."""
    return kept("grammar", made_of(grammar, starts), lambda: build(grammar, starts), folder)


def inside(derivation: Any) -> list[Tree[Token] | Token]:
    """The children of a finished derivation as Lark would have them: shorthand rules stand for their children."""
    rule, children = derivation
    found: list[Tree[Token] | Token] = []
    for child in (children[at] for at in rule.kept):
        if isinstance(child, Token):
            found.append(child)
        elif child[0].inline:
            found += inside(child)
        else:
            found.append(Tree(child[0].label, inside(child)))
    return found
