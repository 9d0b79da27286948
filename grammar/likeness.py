"""Finds the known phrases that look or sound like what was heard, among thousands.

A net of sounds and one of letters catch a few candidates; those are weighed by `grammar.sound`.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence

from rapidfuzz import process
from rapidfuzz.distance import Levenshtein

from grammar import sound
from grammar.letters import sounds

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
        self.sounds = {word: sounds(word) for opening in self._openings for word in opening.split()}
        """How each word sounds, kept with the index."""
        self._words = Sounds(self.sounds)
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
        self._keys = _Net(self._phrases, 0.6)
        spelled = [phrase for alike in self._phrases.values() for phrase in alike] if by_spelling else []
        self._spelled = _Net(spelled, 0.5)
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


class _Net:
    """Texts, of which only those are compared that may be near: of a like length, and with the first or last letter alike."""

    def __init__(self, texts: Iterable[str], least: float) -> None:
        self._least = least
        self._place = {text: place for place, text in enumerate(sorted(texts, key=len))}
        """The shortest first; settles which of equally near ones are taken."""
        self._opening: dict[str, list[str]] = defaultdict(list)
        self._ending: dict[str, list[str]] = defaultdict(list)
        for text in self._place:
            self._opening[text[:1]].append(text)
            self._ending[text[-1:]].append(text)

    def nearest(self, text: str) -> list[str]:
        near: dict[str, float] = {}
        for alike in (self._opening.get(text[:1], ()), self._ending.get(text[-1:], ())):
            shortest = bisect_left(alike, self._least * len(text), key=len)
            longest = bisect_right(alike, len(text) / self._least, key=len)
            near |= {
                found: score
                for found, score, _ in process.extract(
                    text,
                    alike[shortest:longest],
                    scorer=Levenshtein.normalized_similarity,
                    limit=_AT_MOST,
                    score_cutoff=self._least,
                )
            }
        return sorted(near, key=lambda text: (-near[text], self._place[text]))[:_AT_MOST]
