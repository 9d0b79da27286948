"""How alike two phrases are to the ear and to the eye: what a recogniser confuses, and what a thumb mistypes.

The ear compares sounds (`letters.py`), words run together, for a recogniser sets the gaps where it likes (`wool emote`).
Sounds made in nearly the same place (p b, t d, s z, m n, most vowels) stand nearer each other than others, and what is
easily lost in noise costs less to lose: a phoneme distance in the manner of weighted edit distances for speech; the
weights are our own, set by measuring.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import accumulate, permutations

from rapidfuzz.distance import DamerauLevenshtein

from grammar.letters import VOWELS, sounds

__all__ = ["key", "likeness", "said"]

_NEARNESS = (
    (0.25, "pb td kg fv sz SZ CJ TD nN"),
    (0.3, "aAV Vieau iI uU oAU eE YaW EY RV"),
    (0.4, "mnN szT sS TDfv TtDd CSJZ CtJd lrw Rr"),
    (0.5, "ptkf bdg bvw"),
)
"""What it costs to take one sound for another of its group; the first group that holds both counts."""

_OTHER_VOWEL = 0.45
_FAINT = {**dict.fromkeys(VOWELS, 0.5), "R": 0.7, "h": 0.4, "y": 0.5, "w": 0.6,
          **dict.fromkeys("rtdDz", 0.7), **dict.fromkeys("ns", 0.8)}
"""What it costs to lose a sound, or to hear one that was not there; 1 where not named."""

_BY_EYE = 0.35
"""The share of spelling in the likeness of two words; the rest is sound."""

_RUN_TOGETHER = 0.9
"""What the likeness of sounds counts where the gaps between words are set otherwise."""

_CLASSES = str.maketrans({"b": "p", "f": "p", "v": "p", "d": "t", "D": "t", "T": "t", "g": "k", "z": "s", "Z": "S",
                          "J": "S", "C": "S", "N": "n", "m": "n", "R": "r", "h": "", **dict.fromkeys(VOWELS - {"R"}, "")})


_SOUNDS = VOWELS | frozenset("CJDTSZNpbtdkgfvszmnlrwyh")


def _swaps() -> dict[str, dict[str, float]]:
    """For each sound what it costs to have meant each: nothing the same one, 1 one that is not near."""
    table = {heard: {meant: float(heard != meant) for meant in _SOUNDS} for heard in _SOUNDS}
    near = {pair: _OTHER_VOWEL for pair in permutations(VOWELS, 2)}
    for cost, groups in reversed(_NEARNESS):
        for group in groups.split():
            near |= dict.fromkeys(permutations(group, 2), cost)
    for (heard, meant), cost in near.items():
        table[heard][meant] = cost
    return table


_SWAP = _swaps()
_LOSS = {sound: _FAINT.get(sound, 1.0) for sound in _SOUNDS}


@lru_cache(maxsize=8192)
def said(phrase: str) -> str:
    """The sounds of a phrase, words run together."""
    return "".join(sounds(word) for word in phrase.split())


@lru_cache(maxsize=8192)
def key(phrase: str) -> str:
    """The consonants of a phrase in coarse classes, `willamette` -> `wlnt`: a net to find candidates with."""
    return said(phrase).translate(_CLASSES)


@lru_cache(maxsize=65536)
def likeness(heard: str, meant: str) -> float:
    """0 (nothing alike) to 1 (the same).

    Phrases of as many words are as alike, by sound and by spelling, as their least alike words: `dust the boil` is not
    `hit the boil`. Others are compared by sound alone, where they differ: `ounces of weld` is not `ounces of`.
    """
    ours, theirs = heard.split(), meant.split()
    if len(ours) == len(theirs):
        return min((_word_likeness(one, other) for one, other in zip(ours, theirs, strict=True)), default=1.0)
    while ours and theirs and ours[0] == theirs[0]:
        del ours[0], theirs[0]
    while ours and theirs and ours[-1] == theirs[-1]:
        del ours[-1], theirs[-1]
    return _RUN_TOGETHER * _by_ear(said(" ".join(ours)), said(" ".join(theirs))) if ours and theirs else 0.0


def _word_likeness(heard: str, meant: str) -> float:
    if heard == meant:
        return 1.0
    spelled = DamerauLevenshtein.normalized_similarity(heard, meant)
    return _BY_EYE * spelled + (1 - _BY_EYE) * _by_ear(said(heard), said(meant))


def _by_ear(heard: str, meant: str) -> float:
    longer = max(len(heard), len(meant))
    return max(0.0, 1 - _distance(heard, meant) / longer) if longer else 0.0


def _distance(heard: str, meant: str) -> float:
    """The cheapest way from one row of sounds to another."""
    unheard = [_LOSS[sound] for sound in meant]
    above = [0.0, *accumulate(unheard)]
    for sound in heard:
        swap, lost = _SWAP[sound], _LOSS[sound]
        cost = above[0] + lost
        row = [cost]
        for other, gained, before, over in zip(meant, unheard, above, above[1:], strict=False):
            # Comparisons, for this is the innermost loop and `min` takes thrice as long.
            left, cost = cost + gained, before + swap[other]
            if over + lost < cost:
                cost = over + lost
            if left < cost:
                cost = left
            row.append(cost)
        above = row
    return above[-1]
