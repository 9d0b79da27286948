"""The language as one object: reads a sentence and says what it understood.

text ─ words ─ lattice ─ parser ─ Command
"""

from __future__ import annotations

import gc
import math
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path

from grammar.asides import TURNED_BY, Meaning, Passing, is_harmless, may_pass_over, passing
from grammar.command import (
    INTERROGATIVES,
    LINE,
    NOTHING_EXPECTED,
    Command,
    Expected,
    command_of,
    due,
    objections,
    unclear,
)
from grammar.examples import learned
from grammar.facts import FACTS, LEAST_FACTS
from grammar.files import ANSWERS, DUE, acts, grammar_text
from grammar.lattice import FREE_TEXT, INGREDIENTS, QUANTITIES, Lattice
from grammar.mended import mended, once
from grammar.parser import Parse, Parser
from grammar.reading import CUT
from grammar.search import DEAREST, Beside
from grammar.tables import Tables, kept_in
from grammar.vocabulary import LONGEST, Sense, Vocabulary, known_in
from grammar.words import split

_RULE_COSTS = {
    **dict.fromkeys(
        ("log_addition", "plan_addition", "troubleshoot", "why", "how_to", "note", "define", "ask_priming"),
        0.012,
    ),
    **dict.fromkeys(("addition", "safety", "about", "belief"), 0.024),
}
"""Which act stands back where two explain a sentence equally well."""

FAR = 2.0
"""How much less like the words every other act must be, in natural logarithms, before one is offered as the nearest."""

UNLIKE_PLAIN, UNLIKE_BESIDE, UNLIKE_GUESS = (0.004, 0.25), (0.015, 0.4), (0.03, 0.6)
"""What an act costs more whose examples are unlike the sentence, for each natural logarithm and at most.

Where the words are plain it only settles which of two readings is meant; where clauses were left out or words had to be
guessed it counts.
"""

UNASKED_COST = 0.03
"""What a question costs more that no word asks, where something to be told is expected: `68, good`."""

LONGEST_SENTENCE = 60
"""Words; nobody says more in one breath, and a search must end."""

SUGGESTED = 12
"""Suggestions at most; more is no help."""


class Language:
    """Understands sentences. Keeps no memory of its own; what a sentence leans on is handed in."""

    def __init__(self, names: Mapping[str, Mapping[str, str]], cache_folder: Path | None = None) -> None:
        """`names`: for each terminal of names (`HOP`, `TERM`, ...) the phrases and what each stands for."""
        self.tables: Tables = kept_in(cache_folder, grammar_text(), acts())
        self.vocabulary: Vocabulary = known_in(cache_folder, self.tables, names)
        self.parser = Parser(self.tables, _RULE_COSTS, objections)
        self.examples = learned(cache_folder)
        cues = self.vocabulary.single_words()
        self._meanings = {
            act: Meaning(
                set().union(*(cues.get(terminal, ()) for terminal in reached)), reached, TURNED_BY.get(act, ())
            )
            for act, reached in self.tables.reached.items()
            if may_pass_over(act)
        }
        self._usual = tuple(act for act in acts() if act not in ANSWERS and not act.startswith(DUE))
        self._worded = [act for act in self._usual if act != FACTS]
        gc.freeze()  # all this stays; walking through it again and again for garbage would hold up sentences

    def understand(
        self,
        heard: str,
        now: datetime,
        likely: Collection[str] = (),
        answering: bool = False,
        addition: str | None = None,
        scale: str = "degF",
        expected: Expected = NOTHING_EXPECTED,
        batches: Collection[str] = (),
    ) -> list[Command]:
        """What the sentence asks for, most often one command; one `unclear` command where nothing was understood.

        `now` is when it was said; `likely` names the batch holds; `answering` while a question is open, when a bare value or yes and no answer it;
        `addition` the act a bare "and the irish moss" goes on with; `scale` that of degrees without one;
        `expected` what the stage of the batch makes likely, acts and events, with the range of a number said alone;
        `batches` the names of all batches, which a question may be about (slot `name`).
        """
        words = split(heard)
        if not words or len(words) > LONGEST_SENTENCE:
            return [unclear(heard)]
        lattice = Lattice(words, self.vocabulary, likely, batches)
        words = once(words, lattice.counting())
        if len(words) < len(lattice.words):
            lattice = Lattice(words, self.vocabulary, likely, batches)
        bare = self.parser.read(lattice, ANSWERS) if answering else None
        if bare and len(bare.commands) == 1:
            return command_of(bare, heard, words, now, addition, scale, expected)
        meant, taken_back = mended(words, lattice.told())
        if taken_back:
            parse = self._parse(Lattice(meant, self.vocabulary, likely, batches), meant, expected)
            if parse and not any(edge.terminal in FREE_TEXT for _, edge in parse.edges):
                return command_of(parse, heard, meant, now, addition, scale, expected, taken_back)
        parse = self._parse(lattice, words, expected)
        return command_of(parse, heard, words, now, addition, scale, expected) if parse else [unclear(heard)]

    def _parse(self, lattice: Lattice, words: Sequence[str], expected: Expected) -> Parse | None:
        """The words as they are; where that is no reading to act on, what they may have been misheard for."""
        against = self.examples.against(words)
        weigh = partial(objections, expected=expected)
        usual = self._usual if self._facts(lattice) >= LEAST_FACTS else self._worded
        due_now = [act for act in map(due, expected) if act in self.tables.begin]
        acts = self.parser.possible(lattice, [*usual, *due_now])
        less_likely = _unlikely(against, *UNLIKE_PLAIN)
        if expected and INTERROGATIVES.isdisjoint(words):
            unasked = filter(is_harmless, self._usual)
            less_likely |= {act: less_likely.get(act, 0.0) + UNASKED_COST for act in unasked}
        passed = self._passing(lattice, acts)
        plain = self.parser.read(lattice, acts, less_likely, beside=Beside(passed), objections=weigh)
        if plain and math.exp(-plain.cost) >= LINE:
            return plain
        guessed = self.parser.possible(lattice, self._worded, misheard=True)
        passed = self._passing(lattice, guessed, lattice.alike())
        best = plain
        for likely, unlikely, misheard, beside in (
            (acts, UNLIKE_BESIDE, False, Beside(passed, lattice.asides())),
            (guessed, UNLIKE_GUESS, True, Beside(passed)),
        ):
            at_most = min(best.cost, DEAREST) if best else DEAREST
            found = self.parser.read(
                lattice, likely, _unlikely(against, *unlikely), misheard, beside, at_most, weigh
            )
            if found and (best is None or found.cost < best.cost):
                best = found
        return best

    def _passing(self, lattice: Lattice, acts: Collection[str], alike: Sequence[Mapping[str, float]] = ()) -> Passing:
        meanings = {act: self._meanings[act] for act in acts if act in self._meanings}
        talk, between = self.vocabulary.talk, lattice.between()
        return passing(lattice.words, lattice.counting(), talk, between, meanings, self.examples, alike)

    def _facts(self, lattice: Lattice) -> int:
        """How many quantities are told."""
        return sum(kind in QUANTITIES for kind, _ in self._pieces(lattice))

    def nearest(self, heard: str, examples: Mapping[str, str]) -> str | None:
        """The example (one for each act) of the act that the words are most like, told with what was heard in it.

        None where nothing in particular is meant.
        """
        words = split(heard)
        if not words or len(words) > LONGEST_SENTENCE:
            return None
        against = self.examples.against(words)
        act = min(against, key=lambda act: against[act])
        if act not in examples or sorted(against.values())[1] < FAR:
            return None
        pieces = self._pieces(Lattice(words, self.vocabulary))
        told: list[str] = []
        for kind, piece in self._pieces(Lattice(split(examples[act]), self.vocabulary)):
            same = next((found for found in pieces if kind and found[0] == kind), None)
            if same:
                pieces.remove(same)
            told += same[1] if same else piece
        return " ".join(told)

    @staticmethod
    def _pieces(lattice: Lattice) -> list[tuple[str, list[str]]]:
        """The words in runs: quantities and ingredients, with what kind each is, and single other words."""
        words = lattice.words
        found: list[tuple[str, list[str]]] = []
        at = 0
        while at < len(words):
            edges = [
                edge
                for terminal, edges in lattice.edges(at, False).items()
                if terminal in INGREDIENTS or terminal == "STYLE" or terminal in QUANTITIES
                for edge in edges
                if edge.cost < CUT
            ]
            best = max(edges, key=lambda edge: (edge.end, -edge.cost), default=None)
            end = best.end if best else at + 1
            found.append((best.terminal if best else "", list(words[at:end])))
            at = end
        return found

    def suggest(self, text: str, likely: Collection[str] = ()) -> list[str]:
        """Words that may complete the last, unfinished word of `text`, or follow it after a space; the usual first."""
        words = split(text)
        unfinished = 0 if not words or text[-1:].isspace() else 1
        found: dict[str, Sense] = {}
        for begun in range(unfinished, min(len(words), LONGEST) + 1):
            start = " ".join([*words[len(words) - begun :], *([] if unfinished or not begun else [""])])
            before = Lattice(words[: len(words) - begun], self.vocabulary, likely)
            terminals = self.parser.following(before, self._usual, self.vocabulary.talk)
            found |= {
                phrase: sense
                for phrase, senses in self.vocabulary.senses.items()
                if phrase.startswith(start)
                for sense in senses
                if sense.terminal in terminals and phrase != start
            }
        return sorted(
            found,
            key=lambda phrase: (
                found[phrase].value not in likely,
                -sum(self.examples.words.get(phrase, {}).values()),
                found[phrase].value != phrase,
                len(phrase.split()),
                phrase,
            ),
        )[:SUGGESTED]


def _unlikely(against: Mapping[str, float], each: float, at_most: float) -> dict[str, float]:
    """What each act costs more for being unlike its examples."""
    return {act: min(each * much, at_most) for act, much in against.items()}
