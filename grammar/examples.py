"""Which acts a sentence is like, judged by example sentences: a second opinion where the grammar alone has to guess.

Naive Bayes over the words of a sentence and their neighbours, figures and names by their kind, so that `how much dme for`
speaks for the same act whatever the number. It never decides: it only makes some readings dearer than others.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import log
from typing import Any

from grammar.numbers import ONES, TEENS, TENS
from grammar.vocabulary import ARTICLES
from grammar.words import split

NOTHING_MEANT = "unclear"
"""The act of examples that are not for the program."""

FIGURE = "#"
"""Stands for a number in a sentence."""

_NUMBER_WORDS = frozenset({*ONES, *TEENS, *TENS, *"hundred thousand point oh half quarter quarters third".split()})
_UNSEEN = 0.1
"""Counted for a word that was never seen with an act, so that one word cannot rule an act out."""

_LONGEST_NAME = 3


@cache
def example_sentences() -> tuple[dict[str, Any], ...]:
    """The examples: `said`, `act` (several joined by `|`) and the `slots` they must give."""
    text = (files("grammar") / "examples.jsonl").read_text(encoding="utf-8")
    return tuple(map(json.loads, text.splitlines()))


@dataclass(frozen=True)
class Examples:
    """How often each act was seen, and how often with each word."""

    kinds: Mapping[str, str]
    """Names by what they are: `{"willamette": "HOP"}`."""
    acts: Mapping[str, int]
    words: Mapping[str, Mapping[str, int]]

    def against(self, words: Sequence[str]) -> dict[str, float]:
        """For each act how much less likely it is than the likeliest, as a natural logarithm, 0 and more."""
        found = dict.fromkeys(self.acts, 0.0)
        for word in set(_features(words, self.kinds)):
            seen = self.words.get(word)
            if seen:
                for act, count in self.acts.items():
                    found[act] += log((seen.get(act, 0) + _UNSEEN) / (count + 2 * _UNSEEN))
        best = max(found.values())
        return {act: best - likely for act, likely in found.items()}


def learn(rows: Iterable[Mapping[str, Any]], kinds: Mapping[str, str]) -> Examples:
    """Count the words of example sentences (`said` and `act`); takes about 60 microseconds each."""
    acts: Counter[str] = Counter()
    words: dict[str, Counter[str]] = defaultdict(Counter)
    for row in rows:
        features = set(_features(split(row["said"]), kinds))
        for act in row["act"].split("|"):
            acts[act] += 1
            for feature in features:
                words[feature][act] += 1
    return Examples(kinds, acts, words)


def _features(words: Sequence[str], kinds: Mapping[str, str]) -> Iterator[str]:
    """Words, pairs of neighbours, and pairs with one word between."""
    outline = ["", *_outline([word for word in words if word not in ARTICLES and word != ","], kinds), ""]
    yield from outline[1:-1]
    yield from map(" ".join, zip(outline, outline[1:], strict=False))
    yield from map(" * ".join, zip(outline[1:], outline[3:-1], strict=False))


def _outline(words: Sequence[str], kinds: Mapping[str, str]) -> Iterator[str]:
    """The words with names and numbers as what they are."""
    at, last = 0, ""
    while at < len(words):
        reach = range(min(_LONGEST_NAME, len(words) - at), 0, -1)
        length = next((n for n in reach if " ".join(words[at : at + n]) in kinds), 0)
        word = kinds[" ".join(words[at : at + length])] if length else _word(words[at])
        if not (word == last == FIGURE):
            yield word
        last = word
        at += length or 1


def _word(word: str) -> str:
    return FIGURE if word[0].isdigit() or word in _NUMBER_WORDS else word
