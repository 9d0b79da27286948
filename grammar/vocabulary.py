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

from lark.lexer import PatternStr, TerminalDef
from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from grammar import sound
from grammar.quantities import unit_words
from grammar.words import ARTICLES

LONGEST = 9
"""Words in the longest phrase that is looked up."""

JOINING = frozenset("is are was were be been am has have had it there just way very so really pretty quite".split())
"""Words that may stand or be missing anywhere inside a name of `LOOSE`: `beer is way too sweet`, `beer too sweet`."""

LOOSE = frozenset({"SYMPTOM"})
"""Names that people put into sentences of their own."""

PART = {"SYMPTOM": "SYMPTOM_WORD", "HAZARD": "HAZARD_WORD"}
"""Names of which a part says too little alone (`dog`, `flat`, `like bread`), and the terminal such a part goes under."""

TALK = frozenset({"SYMPTOM", "HAZARD", "REASON", "METHOD", *PART.values()})
"""Names made of words from anywhere; `catch fire` does not make `catch` a word one expects to hear."""

ALIKE = 0.58
"""The least likeness (see `grammar.sound`) at which one phrase counts as misheard for another."""

SHORT = 3
ALIKE_SHORT = 0.8
"""The same for words of up to `SHORT` letters, of which one letter is much."""

MOST_JOINED, SHORTEST_JOINED = 3, 6
"""Words at most and letters at least of a phrase that may be heard as another number of words."""

ROUGHLY_ALIKE = 0.4
"""The least share of equal sounds at which it is worth weighing them one by one."""

_AT_MOST = 14
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
    _units: Sounds | None = None
    _one_of_units: Sounds | None = None

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
            if " " in phrase:
                self.told[phrase] += [sense for sense in senses if sense.terminal in terminals]

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
        index = self._words_index()
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

    @property
    def units(self) -> Sounds:
        """The words for units, searched like other words."""
        if self._units is None:
            self._units = Sounds(word for word in unit_words() if len(word) > 3)
        return self._units

    @property
    def one_of_units(self) -> Sounds:
        """The same for one of each: `a teaspoon`."""
        if self._one_of_units is None:
            self._one_of_units = Sounds(
                (f"{'an' if word[0] in 'aeiou' else 'a'} {word}" for word in unit_words() if len(word) > 3),
                by_spelling=False,
            )
        return self._one_of_units

    def _words_index(self) -> WordIndex:
        if self._index is None:
            self._index = WordIndex(phrase for phrase in self.senses if phrase.replace(" ", "").isalpha())
        return self._index


class WordIndex:
    """The words of a vocabulary beside their sounds, for the search by likeness."""

    def __init__(self, phrases: Iterable[str]) -> None:
        self._openings: dict[str, None] = {}
        """In order, for of equally near words only some are tried, and always the same ones."""
        joined: list[str] = []
        for phrase in phrases:
            words = phrase.split()
            self._openings |= dict.fromkeys(" ".join(words[:count]) for count in range(1, len(words) + 1))
            if len(words) <= MOST_JOINED and len(phrase) >= SHORTEST_JOINED:
                joined.append(phrase)
        self._words = Sounds(dict.fromkeys(word for opening in self._openings for word in opening.split()))
        self._joined = Sounds(joined, by_spelling=False)

    def starts(self, words: str) -> bool:
        """Whether a phrase opens with these words."""
        return words in self._openings

    def like(self, heard: str) -> list[tuple[str, float]]:
        return self._words.like(heard)

    def like_joined(self, heard: Sequence[str]) -> list[tuple[str, float]]:
        """Phrases of another number of words."""
        phrase = " ".join(heard)
        if len(phrase) < SHORTEST_JOINED:
            return []
        return [
            (known, likeness)
            for known, likeness in self._joined.like(phrase)
            if known.count(" ") + 1 != len(heard)
        ]


class Sounds:
    """Phrases, searched by sound and by spelling, gaps between words left out."""

    def __init__(self, phrases: Iterable[str], by_spelling: bool = True) -> None:
        self._phrases: dict[str, list[str]] = defaultdict(list)
        for phrase in phrases:
            self._phrases[sound.key(phrase)].append(phrase)
        self._keys = _ByLength(self._phrases, 0.6)
        spelled = [phrase for alike in self._phrases.values() for phrase in alike] if by_spelling else []
        self._spelled = _ByLength(spelled, 0.5)
        self._kept: dict[str, list[tuple[str, float]]] = {}

    def like(self, heard: str) -> list[tuple[str, float]]:
        """Phrases at least `ALIKE`, the likest first; the same phrase left out."""
        if heard not in self._kept:
            self._kept[heard] = self._search(heard)
        return self._kept[heard]

    def _search(self, heard: str) -> list[tuple[str, float]]:
        near = {
            phrase: None
            for key in self._keys.nearest(sound.key(heard))
            for phrase in self._phrases[key]
        }
        near |= dict.fromkeys(self._spelled.nearest(heard))
        least = ALIKE if len(heard) > SHORT else ALIKE_SHORT
        heard_said = sound.said(heard)
        found = (
            (phrase, sound.likeness(heard, phrase))
            for phrase in near
            if phrase != heard
            and Levenshtein.normalized_similarity(heard_said, sound.said(phrase)) >= ROUGHLY_ALIKE
        )
        return sorted((pair for pair in found if pair[1] >= least), key=lambda pair: (-pair[1], pair[0]))


class _ByLength:
    """Texts, of which only those of a like length are compared: others cannot be near."""

    def __init__(self, texts: Iterable[str], least: float) -> None:
        self._least = least
        self._texts: dict[int, list[str]] = defaultdict(list)
        for text in texts:
            self._texts[len(text)].append(text)
        self._kept: dict[int, list[str]] = {}

    def nearest(self, text: str) -> list[str]:
        length = len(text)
        if length not in self._kept:
            shortest, longest = self._least * length, length / self._least
            self._kept[length] = [
                text for size in sorted(self._texts) if shortest <= size <= longest for text in self._texts[size]
            ]
        hits = process.extract(
            text,
            self._kept[length],
            scorer=Levenshtein.normalized_similarity,
            limit=_AT_MOST,
            score_cutoff=self._least,
        )
        return [hit[0] for hit in hits]


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
