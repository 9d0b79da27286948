"""How alike two phrases are to the ear and to the eye: what a recogniser confuses, and what a thumb mistypes.

`key` writes a phrase as a rough string of consonant classes, the way it sounds to a recogniser in a noisy garage:
voiced and unvoiced partners fall together (b/p, d/t, g/k, v/f, z/s), vowels count only where a word opens with
one. It follows the idea of the published Soundex and Metaphone keys with fewer, coarser classes.
"""

from __future__ import annotations

import re
from functools import lru_cache

from rapidfuzz.distance import DamerauLevenshtein, Levenshtein

_DIGRAPHS = (
    ("tch", "j"),
    ("ch", "j"),
    ("sh", "j"),
    ("ph", "f"),
    ("th", "t"),
    ("ck", "k"),
    ("wh", "w"),
    ("gh", ""),
    ("kn", "n"),
    ("wr", "r"),
    ("qu", "kw"),
    ("dg", "j"),
    ("x", "ks"),
    ("ge", "je"),
    ("gi", "ji"),
    ("gy", "jy"),
    ("tion", "jn"),
    ("ci", "si"),
    ("ce", "se"),
    ("cy", "sy"),
    ("oe", "o"),
    ("ea", "e"),
)
_CLASSES = str.maketrans({"b": "p", "d": "t", "g": "k", "c": "k", "q": "k", "v": "f", "z": "s"})
_VOWELS = re.compile(r"(?<!^)[aeiouyhw]")


@lru_cache(maxsize=8192)
def key(phrase: str) -> str:
    """The sound of a phrase as consonant classes, `willamette` -> `wlmt`; words run together."""
    return "".join(_word_key(word) for word in phrase.split())


def _word_key(word: str) -> str:
    for written, heard in _DIGRAPHS:
        word = word.replace(written, heard)
    word = word.translate(_CLASSES)
    word = re.sub(r"^[aeiouy]", "a", word)
    word = re.sub(r"(.)\1+", r"\1", word)
    return re.sub(r"(.)\1+", r"\1", _VOWELS.sub("", word))


@lru_cache(maxsize=65536)
def likeness(heard: str, meant: str) -> float:
    """0 (nothing alike) to 1 (the same), by spelling and by sound in equal parts.

    Phrases of as many words are as alike as their least alike words: `dust the boil` is not `hit the boil`.
    """
    ours, theirs = heard.split(), meant.split()
    if len(ours) == len(theirs) > 1:
        return min(
            likeness(one, other) if one != other else 1.0 for one, other in zip(ours, theirs, strict=True)
        )
    spelling = DamerauLevenshtein.normalized_similarity(heard.replace(" ", ""), meant.replace(" ", ""))
    sound = Levenshtein.normalized_similarity(key(heard), key(meant))
    return (spelling + sound) / 2
