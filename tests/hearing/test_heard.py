"""Whether what a speech recogniser makes of a brewer's sentences is understood, or else asked back.

`heard.jsonl` holds what one heard of `sentences.jsonl`, with no noise but a microphone's hiss (`none`) or over that of
a gas burner (`burner`); `heard.toml` tells how, and `speak_and_hear.py` does it again. A machine spoke to a small
recogniser that knows nothing of brewing, so most sentences lost their meaning on the way; what matters is that those
are asked back. A person and a better recogniser lose less: the shares are no forecast for them.
"""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from assistant.acts import ACTS
from tests.grammar.judging import Case, Miss, listener, misses

HERE = Path(__file__).parent

LEAST_RIGHT = {"none": 0.225, "burner": 0.113}
"""The share of what was heard over each noise that must be understood: what was measured, rounded down.

Of the first 304 sentences 24.5 and 12.6 % are understood, of the 84 that came with later acts 16.3 and 7.1 %: those are
longer and full of words this recogniser does not know.
"""

MOST_MISTAKEN = 0.051
"""The share that may be taken for something else without asking back; a number heard as another counts as well.

Measured 4.5 % without noise and 4.1 % over the burner of the first 304 sentences, 6.7 and 3.6 % of the later 84, whose
acts lie close together (`when will it be done`, `is it ready`). The aim is 1.5 %: lower this as it gets there.
"""

LEAST_SPOKEN, LEAST_OF_AN_ACT, LEAST_HEARD = 300, 3, 600


@dataclass(frozen=True)
class Hearing:
    """A text that was heard, with the meaning of what was spoken."""

    spoken: str
    case: Case


@dataclass(frozen=True)
class Misheard:
    """A hearing that was not understood as it was meant."""

    hearing: Hearing
    miss: Miss

    def __str__(self) -> str:
        return f"{self.miss}; spoken: {self.hearing.spoken!r}"


def rows(file: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (HERE / file).read_text(encoding="utf-8").splitlines()]


def hearings(noise: str) -> list[Hearing]:
    return [
        Hearing(row["said"], Case(heard, frozenset(row["act"].split("|")), row["slots"], noise))
        for row in rows("heard.jsonl")
        if row["noise"] == noise
        for heard in row["heard"]
    ]


@cache
def not_understood(noise: str) -> list[Misheard]:
    hear = cache(listener())
    return [Misheard(hearing, miss) for hearing in hearings(noise) for miss in misses([hearing.case], hear)]


@pytest.mark.parametrize("noise", LEAST_RIGHT)
def test_what_was_heard_is_understood(noise: str) -> None:
    """Act and slots are those of the sentence spoken, and it is sure enough to go ahead."""
    missed, count = not_understood(noise), len(hearings(noise))
    right = 1 - len(missed) / count
    print(f"{noise}: {right:.1%} of {count} right")
    assert right >= LEAST_RIGHT[noise], "\n".join(map(str, missed))


@pytest.mark.parametrize("noise", LEAST_RIGHT)
def test_what_was_misheard_is_asked_back(noise: str) -> None:
    """Hardly any is carried out or answered as if something else had been said."""
    mistaken = [missed for missed in not_understood(noise) if missed.miss.mistaken]
    share = len(mistaken) / len(hearings(noise))
    print(*mistaken, f"{noise}: {share:.1%} mistaken", sep="\n")
    assert share <= MOST_MISTAKEN, "\n".join(map(str, mistaken))


def test_every_sentence_was_heard_over_every_noise() -> None:
    """What was heard belongs to what is spoken now, with the meaning it has now."""
    meant = [json.dumps([row["said"], row["act"], row["slots"]]) for row in rows("sentences.jsonl")]
    heard = [(json.dumps([row["said"], row["act"], row["slots"]]), row["noise"]) for row in rows("heard.jsonl")]
    assert Counter(heard) == Counter((meaning, noise) for meaning in meant for noise in LEAST_RIGHT)
    assert sum(len(row["heard"]) for row in rows("heard.jsonl")) >= LEAST_HEARD


def test_every_act_is_spoken() -> None:
    """In full words, each sentence once."""
    spoken = rows("sentences.jsonl")
    acts = Counter(act for row in spoken for act in row["act"].split("|"))
    assert len({row["said"] for row in spoken}) == len(spoken) >= LEAST_SPOKEN
    assert {act: acts[act] for act in ACTS if acts[act] < LEAST_OF_AN_ACT} == {}
    assert not any(letter.isdigit() for row in spoken for letter in row["said"])
