"""Which words stand for which terminal of the grammar: the spoken side of every name in capitals.

The `.lark` files beside this one list the wordings of a terminal as plain strings
(`ADDED: "added" | "put in"`). Lark compiles them to patterns; here they are read back as phrases, so that the
grammar stays the only list of words. Names from the knowledge base join as further phrases of `HOP`, `GRAIN`, ...
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from lark.lexer import PatternStr, TerminalDef

from grammar.asides import LOGGED
from grammar.files import grammar_text, program_text
from grammar.kept import kept
from grammar.letters import remember
from grammar.likeness import Sounds, WordIndex
from grammar.quantities import unit_words
from grammar.tables import Tables
from grammar.words import ARTICLES

LONGEST = 9
"""Words in the longest phrase that is looked up."""

JOINING = frozenset("is are was were be been am has have had it there just way very so really pretty quite".split())
"""Words that may stand or be missing anywhere inside a name of `LOOSE`: `beer is way too sweet`, `beer too sweet`."""

LOOSE = frozenset({"SYMPTOM"})
"""Names that people put into sentences of their own."""

PART = {"SYMPTOM": "SYMPTOM_WORD", "HAZARD": "HAZARD_WORD"}
"""Names of which a part says too little alone (`dog`, `flat`, `like bread`), and the terminal such a part goes under."""

TALK = frozenset({"SYMPTOM", "HAZARD", "REASON", "METHOD", "BELIEF", *PART.values()})
"""Names made of words from anywhere; `catch fire` does not make `catch` a word one expects to hear."""


_LONGER_UNITS = tuple(word for word in unit_words() if len(word) > 3)
"""Shorter ones sound like too much else."""


class VocabularyError(Exception):
    """A terminal of the grammar is not a plain list of phrases; the grammar file must be mended."""

    def __init__(self, terminal: str, pattern: str) -> None:
        super().__init__(f"terminal {terminal} must be a list of plain phrases, got {pattern!r}")
        self.terminal, self.pattern = terminal, pattern


class Sense(NamedTuple):
    """One thing a phrase may stand for."""

    terminal: str
    value: object
    """The name it stands for (`willamette`), or the phrase itself for a plain keyword."""


@dataclass
class Vocabulary:
    """All phrases the language knows, and the words it may pass over."""

    senses: dict[str, list[Sense]] = field(default_factory=lambda: defaultdict(list))
    loose: dict[str, list[Sense]] = field(default_factory=lambda: defaultdict(list))
    """The phrases of `LOOSE` names without their joining words."""
    told: dict[str, list[Sense]] = field(default_factory=lambda: defaultdict(list))
    """The phrases of what is told that have several words: those of `BETWEEN` may stand inside (`put it in`)."""
    subjects: set[str] = field(default_factory=set)
    """The longer words of all names from the knowledge base: what there is to talk about."""
    everyday: set[str] = field(default_factory=set)
    """The words of all phrases but those of `TALK`."""
    keywords: set[str] = field(default_factory=set)
    """The words of the grammar's own phrases, names left out."""
    named: set[str] = field(default_factory=set)
    """The words of ingredients and styles."""
    talk: set[str] = field(default_factory=set)
    """Words that carry nothing in a question (`TALK`)."""
    between: set[str] = field(default_factory=set)
    """Words that carry nothing in what is told (`BETWEEN`)."""
    fillers: set[str] = field(default_factory=set)
    """Phrases that carry nothing and may stand anywhere (`please`, `um`)."""
    _index: WordIndex | None = None
    units: Sounds = field(default_factory=lambda: Sounds(_LONGER_UNITS))
    """The words for units, searched like other words."""
    one_of_units: Sounds = field(
        default_factory=lambda: Sounds(
            (f"{'an' if word[0] in 'aeiou' else 'a'} {word}" for word in _LONGER_UNITS), by_spelling=False
        )
    )
    """The same for one of each: `a teaspoon`."""

    def add(self, phrase: str, terminal: str, value: object = None) -> None:
        """Take a phrase; articles in it neither help nor hinder, so that `set a timer` is `set the timer`."""
        phrase = " ".join(word for word in phrase.split() if word not in ARTICLES) or phrase
        sense = Sense(terminal, phrase if value is None else value)
        if sense not in self.senses[phrase]:
            self.senses[phrase].append(sense)
            if terminal not in TALK:
                self.everyday.update(phrase.split())
            if terminal in LOOSE:
                self.loose[" ".join(word for word in phrase.split() if word not in JOINING)].append(sense)

    def add_names(self, terminal: str, names: Mapping[str, str]) -> None:
        """Take phrases from the knowledge base: `{"goldings": "east kent goldings", ...}`."""
        for phrase, name in names.items():
            told = [word for word in phrase.split() if word not in ARTICLES]
            part = len(told) == 1 or told[:1] in (["of"], ["like"])
            self.add(phrase, PART.get(terminal, terminal) if part else terminal, name)
            if terminal not in TALK and terminal != "TERM":
                self.named.update(phrase.split())
            if terminal != "HAZARD":
                self.subjects.update(
                    word
                    for word in phrase.split()
                    if len(word) > 3 and word not in self.fillers and word not in self.talk
                )

    def open_up(self, terminals: Collection[str]) -> None:
        """Let the words of `BETWEEN` stand inside the phrases of these terminals."""
        for phrase, senses in self.senses.items():
            opened = [sense for sense in senses if sense.terminal in terminals]
            if opened and " " in phrase:
                self.told[phrase] += opened

    def knows(self, word: str) -> bool:
        """Whether the word stands in any phrase, those of `TALK` left out."""
        return word in self.everyday or word in self.fillers

    def single_words(self) -> dict[str, set[str]]:
        """For each terminal its phrases of one word."""
        found: dict[str, set[str]] = defaultdict(set)
        for phrase, senses in self.senses.items():
            if " " not in phrase:
                for sense in senses:
                    found[sense.terminal].add(phrase)
        return found

    def is_keyword(self, word: str) -> bool:
        """Whether the word is one that commands are made of, and so hardly part of a name: `list`, but not `amber`."""
        return word in self.keywords and word not in self.fillers and word not in self.named

    def alike(self, words: Sequence[str]) -> list[tuple[str, float]]:
        """Known phrases that look or sound like these words, with their likeness; the very phrase left out.

        Word by word against phrases of as many words; run together against phrases of more or fewer, for a recogniser
        sets the gaps where it likes: `wool emote`, `play him out`.
        """
        index = self.index()
        found = self._word_by_word(words, index) + index.like_joined(words)
        return [(phrase, likeness) for phrase, likeness in found if phrase in self.senses]

    def _word_by_word(self, words: Sequence[str], index: WordIndex) -> list[tuple[str, float]]:
        if len(words) == 1:
            return index.like(words[0])
        pairs: list[tuple[str, float]] = [("", 1.0)]
        for word in words:
            pairs = [
                (phrase, min(least, likeness))
                for start, least in pairs
                for option, likeness in [(word, 1.0), *index.like(word)]
                if index.starts(phrase := f"{start} {option}".strip())
            ]
        return [(phrase, least) for phrase, least in pairs if phrase != " ".join(words)]

    def index(self) -> WordIndex:
        """The phrases as they are searched by likeness; worked out once all are known."""
        if self._index is None:
            self._index = WordIndex(phrase for phrase in self.senses if phrase.replace(" ", "").isalpha())
        return self._index


def known_in(folder: Path | None, tables: Tables, names: Mapping[str, Mapping[str, str]]) -> Vocabulary:
    """The vocabulary that came with the installation, else that of the folder's cache, else made and put there."""
    vocabulary = kept("vocabulary", made_of(names), lambda: vocabulary_of(tables, names), folder)
    remember(vocabulary.index().sounds)
    return vocabulary


def made_of(names: Mapping[str, Mapping[str, str]]) -> str:
    """All that the vocabulary depends on."""
    return "\n".join([grammar_text(), program_text(), repr(names)])


def vocabulary_of(tables: Tables, names: Mapping[str, Mapping[str, str]]) -> Vocabulary:
    """The phrases of the grammar and of the knowledge base, ready to be searched; takes about a third of a second."""
    vocabulary = from_terminals(tables.terminals, tables.ignored)
    vocabulary.open_up(set().union(*(tables.reached[act] for act in LOGGED)))
    for terminal, phrases in names.items():
        vocabulary.add_names(terminal, phrases)
    vocabulary.index()
    return vocabulary


def from_terminals(terminals: Iterable[TerminalDef], ignored: Iterable[str]) -> Vocabulary:
    """Read the phrases back from Lark's compiled terminals.

    Raises `VocabularyError` where a terminal is more than a list of phrases.
    """
    vocabulary = Vocabulary()
    skipped = set(ignored)
    for terminal in terminals:
        for phrase in _phrases(terminal):
            if terminal.name == "TALK":
                vocabulary.talk.add(phrase)
            elif terminal.name == "BETWEEN":
                vocabulary.between.add(phrase)
            elif terminal.name in skipped:
                vocabulary.fillers.add(phrase)
            else:
                vocabulary.add(phrase, terminal.name)
                vocabulary.keywords.update(phrase.split())
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
