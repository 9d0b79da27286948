"""LR tables for the grammar, with every choice kept: what Lark works out of the `.lark` files, made to be followed.

Lark reads the grammar, expands it and computes LALR(1) look-aheads. Where Lark's own parser must settle a
conflict, a sentence often needs both ways tried (`put in` two gallons; put `in` ...), so all actions are kept and
`grammar.parser` follows them side by side.
"""

from __future__ import annotations

import gc
import os
import pickle
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path
from typing import Any, NamedTuple

from lark import Lark, Token, Tree
from lark.lexer import Lexer, TerminalDef
from lark.parsers.lalr_analysis import LALR_Analyzer

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
    kept: dict[tuple[Action, ...], tuple[Action, ...]] = {}
    for state in states:
        row: dict[str, tuple[Action, ...]] = {}
        leads: dict[str, int] = {}
        for symbol, after in state.transitions.items():
            if symbol.is_term:
                row[symbol.name] = (number[after],)
            else:
                leads[symbol.name] = number[after]
        for ahead, rules in state.lookaheads.items():
            found = tuple(reductions.setdefault(rule, _reduction(rule)) for rule in rules)
            row[ahead.name] = row.get(ahead.name, ()) + found
        # The same actions are one object, so that the file is small and quickly read.
        actions.append({name: kept.setdefault(found, found) for name, found in row.items()})
        onward.append(leads)
    begin = {start: number[state] for start, state in analysis.lr0_start_states.items()}
    finished = {start: onward[begin[start]][start] for start in starts}
    return Tables(actions, onward, begin, finished, list(lark.terminals), list(lark.ignore_tokens))


def _reduction(rule: Any) -> Reduction:
    name = str(rule.origin.name)
    kept = tuple(at for at, symbol in enumerate(rule.expansion) if not (symbol.is_term and symbol.filter_out))
    return Reduction(name, len(rule.expansion), str(rule.alias or name), name.startswith("_"), kept)


def kept_in(folder: Path | None, grammar: str, starts: Sequence[str]) -> Tables:
    """The tables that came with the installation, else from the folder's cache, else computed and put there.

    A file that cannot be read is passed over: it only saves time.
    """
    name = _file_name(grammar, starts)
    shipped = Path(str(files("grammar"))) / name
    for path in (shipped, *([folder / name] if folder else [])):
        found = _read(path)
        if found:
            return found
    tables = _build_once(grammar, tuple(starts))
    if folder:
        with suppress(OSError):
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            for old in folder.glob("grammar-*.pickle"):
                old.unlink(missing_ok=True)
            part = folder / f"{name}.{os.getpid()}.part"
            part.write_bytes(pickle.dumps(tables, protocol=pickle.HIGHEST_PROTOCOL))
            part.replace(folder / name)
    return tables


@lru_cache(maxsize=1)
def _build_once(grammar: str, starts: tuple[str, ...]) -> Tables:
    return build(grammar, starts)


def ship(folder: Path, grammar: str, starts: Sequence[str]) -> None:
    """Put the tables into a folder that is to be installed."""
    (folder / _file_name(grammar, starts)).write_bytes(pickle.dumps(build(grammar, starts)))


def _file_name(grammar: str, starts: Sequence[str]) -> str:
    """Another grammar or another Lark makes another name, so that stale tables are never read."""
    key = "\n".join([grammar, *starts, version("lark")])
    return f"grammar-{sha256(key.encode()).hexdigest()[:20]}.pickle"


def _read(path: Path) -> Tables | None:
    collecting = gc.isenabled()
    gc.disable()  # nothing of it is garbage, and looking for some takes longer than reading
    try:
        kept = pickle.loads(path.read_bytes())
    except (OSError, pickle.PickleError, EOFError, AttributeError, ImportError, IndexError, ValueError):
        return None
    finally:
        if collecting:
            gc.enable()
    return kept if isinstance(kept, Tables) else None


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
