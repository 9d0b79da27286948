"""What people say beside the matter, and what it costs each act to pass over it.

A question is harmless: where its own words and all its numbers are understood, everyday words (`TALK`) and words that
its examples use may stand anywhere in it, and a whole clause before it or behind a pause. An act that records something
is asked back for any of these; it passes over a closed list of small words alone (`BETWEEN`). Numbers, and words that turn
a sentence into its opposite, always count.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from grammar.examples import Examples

HARMLESS = frozenset(
    "define about why belief how_to what_now troubleshoot safety explain_last help show_log summary list_batches time_left "
    "whats_next next_step step_back checklist shopping_list today day_plan about_style".split()
)
"""Acts that only answer, beside every `ask_...`."""

STRICT = frozenset({"help", "show_log", "list_batches", "next_step", "step_back"})
"""Those of them that may not be asked for among everyday words."""

LOGGED = frozenset("log_gravity log_temperature log_volume log_addition log_event correct_last undo".split())
"""Acts that record, and yet pass over the words of `BETWEEN`."""

TOLD = frozenset({"troubleshoot", "safety"})
TURNING = frozenset("almost nearly close because yet would unless suppose imagine pretend last matter remember".split())
"""Acts that answer to what is told as well, and words that make it a thing that did not happen, or not here and now."""

TURNED_BY = {
    **dict.fromkeys(TOLD, TURNING),
    "ask_logged": frozenset("enough too forget right wrong".split()),
    "whats_next": frozenset({"in"}),
    "what_now": frozenset("off out done over pulled killed pitched sealed lit".split()),
    "ask_varied": frozenset("kettle pot holds hold boil".split()),
}
"""For each act the words that turn what it is asked into something else: `did I add enough yeast`; or that tell something
before it is asked: `burner's off, what now`."""

ASKED = "?"
"""Stands for the act while only words of talk were passed over: a question follows, or nothing."""

WORD_COST = 0.012
"""For an everyday word passed over within a question."""

TELLING_COST = 0.05
"""More for a word of its examples, for each natural logarithm by which it speaks for another act."""

CUE_COST, SMALL_CUE_COST = 0.08, 0.02
"""More for a word that means something to the act, and for one of `SMALL_CUES`."""

SMALL_CUES = frozenset("to at in for of with on by as is are be it that".split())

STRANGE_COST = 0.3
"""For a word nobody knows that sounds like nothing the act knows."""

LIKELY = 0.6
"""A word that may be another one misheard at no more than this cost is not passed over as strange."""

CLAUSE_COST, HARMLESS_CLAUSE_COST, RUN_ON_COST = 0.72, 0.3, 0.2
"""For a clause beside an act that records, beside one that only answers, and more where no pause parts it from that."""

FURTHER_COST, NAME_COST = 0.015, 0.3
"""More for each word of such a clause, and for each ingredient named in it."""

PAUSES = frozenset(", and but so because since then".split())
"""Words that part a clause from the next."""

ASKING = frozenset("how what which when where why who".split())
"""Words that open a question; a clause that runs on into a command is no aside with one of these."""

Passing = Mapping[str, Sequence[float]]
"""For acts that may pass over words within them: what each word of the sentence costs them."""

NOTHING_PASSED: Passing = {}


class Aside(NamedTuple):
    """A clause beside the matter, before a command or behind it."""

    start: int
    end: int
    harmless: float
    """What it costs an act that only answers."""
    recording: float
    """What it costs an act that records something."""

    def cost(self, act: str) -> float:
        return self.harmless if is_harmless(act) else self.recording


@dataclass(frozen=True)
class Meaning:
    """What an act takes for more than talk."""

    cues: Collection[str]
    """Single words that stand for one of its terminals."""
    terminals: Collection[str]
    turning: Collection[str] = ()
    """Words that turn what is told into something else, and are not passed over."""


def is_harmless(act: str) -> bool:
    """Whether an act changes nothing, so that a needless answer does no harm."""
    return act.startswith("ask_") or act in HARMLESS


def may_pass_over(act: str) -> bool:
    """Whether an act may be said among everyday words, or among small ones."""
    return (is_harmless(act) and act not in STRICT) or act in LOGGED


def asides(
    words: Sequence[str], numbers: frozenset[int], names: frozenset[int], turning: frozenset[str]
) -> list[Aside]:
    """Every clause at the opening or the end that may be one.

    `numbers` and `names` of ingredients are places; `turning` words change what a sentence claims, unless a pause parts
    them from it.
    """
    length = len(words)
    openings = [(0, end, words[end - 1] in PAUSES) for end in range(1, length)]
    closings = [(start, length, words[start] in PAUSES) for start in range(1, length)]
    found = []
    for start, end, parted in openings + closings:
        inside = range(start, end)
        counting = turning | ASKING if start == 0 else turning
        if not numbers.isdisjoint(inside) or not (parted or counting.isdisjoint(words[start:end])):
            continue
        more = FURTHER_COST * (end - start) + NAME_COST * len(names.intersection(inside))
        harmless = HARMLESS_CLAUSE_COST if parted else HARMLESS_CLAUSE_COST + RUN_ON_COST if start == 0 else CLAUSE_COST
        found.append(Aside(start, end, harmless + more, CLAUSE_COST + more))
    return found


def passing(
    words: Sequence[str],
    counting: Collection[int],
    talk: Collection[str],
    between: Collection[int],
    meanings: Mapping[str, Meaning],
    examples: Examples,
    alike: Sequence[Mapping[str, float]] = (),
) -> Passing:
    """For each act with a meaning, and for `ASKED`, what passing over each word costs; endless where that may not be.

    `talk` are words to pass over in a question, `between` places to pass over in what records, `counting`
    those that always count; `alike` the terminals each word may have been misheard for, with
    the cost, given where words may be strange.
    """
    acts = {ASKED: Meaning((), ()), **meanings}
    found: dict[str, list[float]] = {act: [] for act in acts}
    for place, word in enumerate(words):
        may_pass = place not in counting
        known = examples.words.get(word, {})
        telling = examples.telling(word) if known and may_pass and word not in talk else {}
        strange = bool(alike) and word.isalpha() and place - 1 not in counting and _is_strange(alike[place])
        for act, meaning in acts.items():
            if not may_pass or word in meaning.turning:
                cost = math.inf
            elif act in LOGGED:
                cost = WORD_COST if place in between else math.inf
            elif word in talk:
                cost = WORD_COST
            elif act in known:
                cost = WORD_COST + TELLING_COST * telling[act]
            elif strange and not any(terminal in meaning.terminals for terminal in alike[place]):
                cost = STRANGE_COST
            else:
                cost = math.inf
            if word in meaning.cues:
                cost += SMALL_CUE_COST if word in SMALL_CUES else CUE_COST
            found[act].append(cost)
    return found


def _is_strange(alike: Mapping[str, float]) -> bool:
    return min(alike.values(), default=math.inf) > LIKELY
