"""Which words stand for which terminal of the grammar: the spoken side of every name in capitals.

The `.lark` files beside this one list the wordings of a terminal as plain strings
(`ADDED: "added" | "put in"`). Lark compiles them to patterns; here they are read back as phrases, so that the
grammar stays the only list of words. Names from the knowledge base join as further phrases of `HOP`, `GRAIN`, ...
"""
from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from lark.lexer import PatternStr, TerminalDef
from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein, Levenshtein

from grammar import sound

LONGEST = 6
"""Words in the longest phrase that is looked up."""

ALIKE = 0.66
"""The least likeness (see `grammar.sound`) at which one phrase counts as misheard for another."""

_AT_MOST = 12
"""Candidates taken from each of the two searches, by spelling and by sound."""


class VocabularyError(Exception):
    """A terminal of the grammar is not a plain list of phrases; the grammar file must be mended."""

    def __init__(self, terminal: str, pattern: str) -> None:
        super().__init__(f"terminal {terminal} must be a list of plain phrases, got {pattern!r}")
        self.terminal, self.pattern = terminal, pattern


@dataclass(frozen=True, slots=True)
class Sense:
    """One thing a phrase may stand for."""

    terminal: str
    value: object
    """The name it stands for (`willamette`), or the phrase itself for a plain keyword."""


@dataclass
class Vocabulary:
    """All phrases the language knows, and the words it may pass over."""

    senses: dict[str, list[Sense]] = field(default_factory=lambda: defaultdict(list))
    fillers: set[str] = field(default_factory=set)
    """Phrases that carry nothing and may stand anywhere (`please`, `um`)."""
    _spoken: list[str] = field(default_factory=list)
    _sounds: list[str] = field(default_factory=list)
    _alike: dict[str, tuple[tuple[str, float], ...]] = field(default_factory=dict)

    def add(self, phrase: str, terminal: str, value: object = None) -> None:
        sense = Sense(terminal, phrase if value is None else value)
        if sense not in self.senses[phrase]:
            self.senses[phrase].append(sense)

    def add_names(self, terminal: str, names: Mapping[str, str]) -> None:
        """Take phrases from the knowledge base: `{"goldings": "east kent goldings", ...}`."""
        for phrase, name in names.items():
            self.add(phrase, terminal, name)

    def alike(self, phrase: str) -> tuple[tuple[str, float], ...]:
        """Known phrases that look or sound like this one, with their likeness; the phrase itself left out."""
        if phrase not in self._alike:
            self._alike[phrase] = tuple(self._search(phrase))
        return self._alike[phrase]

    def _search(self, phrase: str) -> Iterator[tuple[str, float]]:
        if not self._sounds:
            self._spoken = [known for known in self.senses if known.replace(" ", "").isalpha()]
            self._sounds = [sound.key(known) for known in self._spoken]
        spelled = process.extract(phrase, self._spoken, scorer=DamerauLevenshtein.normalized_similarity,
                                  limit=_AT_MOST, score_cutoff=0.55)
        sounding = process.extract(sound.key(phrase), self._sounds, scorer=Levenshtein.normalized_similarity,
                                   limit=_AT_MOST, score_cutoff=0.7)
        for place in sorted({hit[2] for hit in (*spelled, *sounding)}):
            likeness = sound.likeness(phrase, self._spoken[place])
            if likeness >= ALIKE and self._spoken[place] != phrase:
                yield self._spoken[place], likeness


def from_terminals(terminals: Iterable[TerminalDef], ignored: Iterable[str]) -> Vocabulary:
    """Read the phrases back from Lark's compiled terminals.

    Raises `VocabularyError` where a terminal is more than a list of phrases.
    """
    vocabulary = Vocabulary()
    skipped = set(ignored)
    for terminal in terminals:
        for phrase in _phrases(terminal):
            if terminal.name in skipped:
                vocabulary.fillers.add(phrase)
            else:
                vocabulary.add(phrase, terminal.name)
    return vocabulary


def _phrases(terminal: TerminalDef) -> Iterator[str]:
    if isinstance(terminal.pattern, PatternStr):
        yield terminal.pattern.value
        return
    pattern = terminal.pattern.value
    body = pattern.removeprefix("(?:").removesuffix(")")
    for escaped in body.split("|"):
        phrase = re.sub(r"\\(.)", r"\1", escaped)
        if not re.fullmatch(r"[a-z0-9',?%/ ]+", phrase):
            raise VocabularyError(terminal.name, pattern)
        yield phrase
