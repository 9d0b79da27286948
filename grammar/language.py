"""The language as one object: reads a sentence and says what it understood.

text ─ words ─ lattice ─ parser ─ Command
"""

from __future__ import annotations

import gc
import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from functools import cache, partial
from pathlib import Path
from typing import NamedTuple

from grammar.asides import ASKING, TURNED_BY, TURNING, Meaning, Passing, is_harmless, may_pass_over, passing
from grammar.clauses import Left, by_clauses, left_out
from grammar.command import (
    ADDITIONS,
    CONFLICT_COST,
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
from grammar.lattice import FREE_TEXT, INGREDIENTS, NEVER_PASSED_OVER, QUANTITIES, Lattice
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

OPEN_TEXT = frozenset(FREE_TEXT) - {"NAME"}
"""Words taken as they come; in a clause apart from the others nothing vouches for them."""

DEAREST_CLAUSE = 0.9
"""What reading a clause apart from the others may cost; a doubtful one is hardly worth asking about among several."""

GARBAGE = 100_000, 50, 100
"""How much is made before garbage is looked for: a sentence leaves hardly any that is not dropped at once."""

WORTH_ASKING = 0.4
"""How sure of its clauses it takes to ask about them rather than answer to a sentence as a whole."""

TELLING = NEVER_PASSED_OVER | ASKING | TURNING | frozenset(
    "he she they him them thought think wish kidding joking joke lost forgot missed maybe probably sure".split()
)
"""Words that may turn what another clause told into something else."""

TOLD_BARE = ("log_event", "undo", "use_batch", "new_batch")
"""Acts that a clause left out may have told of: those that need no number and nothing to name."""

SUGGESTED = 12
"""Suggestions at most; more is no help."""


class Situation(NamedTuple):
    """What a sentence leans on; see `Language.understand`."""

    now: datetime
    likely: Collection[str]
    addition: str | None
    scale: str
    expected: Expected
    batches: Collection[str]


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
        gc.set_threshold(*GARBAGE)

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
        here = Situation(now, likely, addition, scale, expected, batches)
        meant, taken_back = mended(words, lattice.told())
        if taken_back:
            found = self._read(Lattice(meant, self.vocabulary, likely, batches), heard, here, taken_back)
            if found:
                return found
        return self._read(lattice, heard, here) or [unclear(heard)]

    def _read(
        self, lattice: Lattice, heard: str, here: Situation, taken_back: tuple[tuple[str, str], ...] = ()
    ) -> list[Command]:
        """The words as they are; where that is no reading to act on, clause by clause, or what they may have been misheard for.

        Nothing where nothing was understood, or where words were `taken_back` beside words taken as they come.
        """
        found: list[Command] = []
        best: Parse | None = None
        against = self.examples.against(lattice.words)
        for read in (self._plain, self._beside):
            best = read(lattice, here, against, best)
            found = self._commands(best, lattice, heard, here, taken_back) if best else []
            if best and math.exp(-best.cost) >= LINE and not _may_swallow(found, lattice.words):
                return found
        apart = self._by_clauses(lattice, heard, here, taken_back)
        if found and found[0].sure >= LINE:
            told = apart and apart[0].sure >= WORTH_ASKING and not all(is_harmless(command.act) for command in apart)
            return apart if told else found
        if apart and apart[0].sure >= LINE:
            return apart
        guessed = self._guessed(lattice, here, against, best)
        if guessed is not best and guessed:
            found = self._commands(guessed, lattice, heard, here, taken_back)
        return max(found, apart, key=lambda commands: commands[0].sure if commands else 0.0)

    def _commands(
        self, parse: Parse, lattice: Lattice, heard: str, here: Situation, taken_back: tuple[tuple[str, str], ...] = ()
    ) -> list[Command]:
        if taken_back and any(edge.terminal in FREE_TEXT for _, edge in parse.edges):
            return []
        return command_of(parse, heard, lattice.words, here.now, here.addition, here.scale, here.expected, taken_back)

    def _by_clauses(
        self, lattice: Lattice, heard: str, here: Situation, taken_back: tuple[tuple[str, str], ...]
    ) -> list[Command]:
        counting = lattice.measured_or_named()

        @cache
        def part_of(start: int, end: int) -> Lattice:
            return Lattice(lattice.words[start:end], self.vocabulary, here.likely, here.batches)

        @cache
        def read_after(start: int, end: int, added: str | None) -> Sequence[Command]:
            part, now = part_of(start, end), here._replace(addition=added)
            parse = self._plain(part, now, self.examples.against(part.words), at_most=DEAREST_CLAUSE)
            if parse is None or any(edge.terminal in OPEN_TEXT for _, edge in parse.edges):
                return []
            return self._commands(parse, part, heard, now)

        def read(start: int, end: int, before: Sequence[Command]) -> Sequence[Command]:
            added = (command.act for command in reversed(before) if command.act in ADDITIONS)
            return read_after(start, end, next(added, here.addition))

        def leave(start: int, end: int) -> Left:
            words = lattice.words[start:end]
            counts = not counting.isdisjoint(range(start, end))
            telling = not TELLING.isdisjoint(words) or bool(self.parser.possible(part_of(start, end), TOLD_BARE))
            return left_out(words, counts, telling)

        found = by_clauses(lattice.words, read, leave)
        corrected = taken_back or any(command.act == "correct_last" for command in found[1:])
        if corrected and not all(is_harmless(command.act) for command in found):
            doubt = round(math.exp(-CONFLICT_COST), 3)
            found = [replace(each, sure=min(each.sure, doubt), repairs=(*taken_back, *each.repairs)) for each in found]
        return found

    def _plain(
        self, lattice: Lattice, here: Situation, against: Mapping[str, float],
        best: Parse | None = None, at_most: float = DEAREST,
    ) -> Parse | None:
        """The cheapest reading of the words as they are; `against`: how unlike the words the examples of each act are."""
        expected = here.expected
        usual = self._usual if self._facts(lattice) >= LEAST_FACTS else self._worded
        due_now = [act for act in map(due, expected) if act in self.tables.begin]
        likely = self.parser.possible(lattice, [*usual, *due_now])
        less_likely = _unlikely(against, *UNLIKE_PLAIN)
        if expected and INTERROGATIVES.isdisjoint(lattice.words):
            unasked = filter(is_harmless, self._usual)
            less_likely |= {act: less_likely.get(act, 0.0) + UNASKED_COST for act in unasked}
        beside, weigh = Beside(self._passing(lattice, likely)), partial(objections, expected=expected)
        return self.parser.read(lattice, likely, less_likely, beside=beside, at_most=at_most, objections=weigh)

    def _beside(
        self, lattice: Lattice, here: Situation, against: Mapping[str, float], best: Parse | None
    ) -> Parse | None:
        """The cheapest reading that leaves out strange words, or a clause at either end."""
        likely = self.parser.possible(lattice, self._worded)
        beside = Beside(self._passing(lattice, likely, lattice.alike()), lattice.asides())
        return self._cheaper(lattice, here, best, likely, _unlikely(against, *UNLIKE_BESIDE), False, beside)

    def _guessed(
        self, lattice: Lattice, here: Situation, against: Mapping[str, float], best: Parse | None
    ) -> Parse | None:
        """The cheapest reading that takes words for what they may have been misheard for."""
        likely = self.parser.possible(lattice, self._worded, misheard=True)
        beside = Beside(self._passing(lattice, likely, lattice.alike()))
        return self._cheaper(lattice, here, best, likely, _unlikely(against, *UNLIKE_GUESS), True, beside)

    def _cheaper(
        self, lattice: Lattice, here: Situation, best: Parse | None,
        likely: Collection[str], unlikely: Mapping[str, float], misheard: bool, beside: Beside,
    ) -> Parse | None:
        """The best reading so far, or one that costs less."""
        at_most = min(best.cost, DEAREST) if best else DEAREST
        weigh = partial(objections, expected=here.expected)
        found = self.parser.read(lattice, likely, unlikely, misheard, beside, at_most, weigh)
        return found if found and (best is None or found.cost < best.cost) else best

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


def _may_swallow(commands: Sequence[Command], words: Sequence[str]) -> bool:
    """Whether they answer to what is told rather than asked, with nothing of it in them: a clause that records may be lost there."""
    slotless = all(is_harmless(command.act) and not command.slots for command in commands)
    return slotless and "," in words and INTERROGATIVES.isdisjoint(words)


def _unlikely(against: Mapping[str, float], each: float, at_most: float) -> dict[str, float]:
    """What each act costs more for being unlike its examples."""
    return {act: min(each * much, at_most) for act, much in against.items()}
