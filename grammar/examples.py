"""Which acts a sentence is like, judged by example sentences: a second opinion where the grammar alone has to guess.

Naive Bayes over the words of a sentence and their neighbours, all figures alike, so that `how much dme for` speaks for
the same act whatever the number. It never decides: it only makes some readings dearer than others.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import log
from pathlib import Path
from typing import Any

from grammar.files import program_text
from grammar.kept import kept
from grammar.numbers import ONES, TEENS, TENS
from grammar.words import ARTICLES, split

NOTHING_MEANT = "unclear"
"""The act of examples that are not for the program."""

FIGURE = "#"
"""Stands for a number in a sentence."""

_NUMBER_WORDS = frozenset({*ONES, *TEENS, *TENS, *"hundred thousand point oh half quarter quarters third".split()})
_UNSEEN = 0.1
"""Counted for a word that was never seen with an act, so that one word cannot rule an act out."""

_FEWEST = 50
"""Examples an act counts as having at least: with few, every strange word would seem to speak for it."""


@cache
def examples_text() -> str:
    return (files("grammar") / "examples.jsonl").read_text(encoding="utf-8")


def example_sentences() -> list[dict[str, Any]]:
    """The examples: `said`, `act` (several joined by `|`) and the `slots` they must give."""
    return [json.loads(line) for line in examples_text().splitlines()]


@dataclass(frozen=True)
class Examples:
    """What words say about acts, as natural logarithms."""

    unseen: Mapping[str, float]
    """What any word says about each act with which it was never seen."""
    words: Mapping[str, Mapping[str, float]]
    """What more each word says about the acts with which it was seen."""

    def telling(self, word: str) -> dict[str, float]:
        """The same for one word that was seen."""
        seen = self.words[word]
        return _behind_the_likeliest({act: each + seen.get(act, 0.0) for act, each in self.unseen.items()})

    def against(self, words: Sequence[str]) -> dict[str, float]:
        """For each act how much less likely it is than the likeliest, as a natural logarithm, 0 and more."""
        # In order, so that the sums of two runs are the same to the last figure and ties fall the same way.
        known = [self.words[feature] for feature in dict.fromkeys(_features(words)) if feature in self.words]
        found = {act: len(known) * each for act, each in self.unseen.items()}
        for said in known:
            for act, more in said.items():
                found[act] += more
        return _behind_the_likeliest(found)


def learn(rows: Iterable[Mapping[str, Any]]) -> Examples:
    """Count the words of example sentences (`said` and `act`); takes about 60 microseconds each."""
    acts: Counter[str] = Counter()
    words: dict[str, Counter[str]] = defaultdict(Counter)
    for row in rows:
        features = set(_features(split(row["said"])))
        for act in row["act"].split("|"):
            acts[act] += 1
            for feature in features:
                words[feature][act] += 1
    unseen = {act: log(_UNSEEN / max(count, _FEWEST)) for act, count in acts.items()}
    return Examples(unseen, {
        word: {act: log((count + _UNSEEN) / _UNSEEN) for act, count in seen.items()}
        for word, seen in words.items()
    })


def made_of() -> str:
    """All that they depend on: other examples or another program learn other things."""
    return examples_text() + program_text()


def learned(folder: Path | None) -> Examples:
    """What the program's own examples say; shipped with the installation or kept in the folder's cache."""
    return kept("examples", made_of(), lambda: learn(example_sentences()), folder)


def _behind_the_likeliest(found: Mapping[str, float]) -> dict[str, float]:
    best = max(found.values())
    return {act: best - likely for act, likely in found.items()}


def _features(words: Sequence[str]) -> Iterator[str]:
    """Words, pairs of neighbours, and pairs with one word between; figures are all the same."""
    outline = [""]
    for word in words:
        plain = FIGURE if word[0].isdigit() or word in _NUMBER_WORDS else word
        if word not in ARTICLES and word != "," and not (plain == outline[-1] == FIGURE):
            outline.append(plain)
    outline.append("")
    yield from outline[1:-1]
    yield from map(" ".join, zip(outline, outline[1:], strict=False))
    yield from map(" * ".join, zip(outline[1:], outline[3:-1], strict=False))
