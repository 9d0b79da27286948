"""Everything a sentence may be heard as: at each word, the terminals that may begin there, how far they reach, at what cost.

A lattice, not a list: `ten sixty` is a number and a gravity, `put in` one verb or two words, `at` a misheard `add`.
Which reading counts is settled by the parser, which knows what may stand where.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

from grammar import sound
from grammar.asides import Aside, asides
from grammar.mended import NAME
from grammar.moments import read_moments
from grammar.quantities import read_quantities
from grammar.reading import PLAIN, Reading
from grammar.vocabulary import JOINING, LONGEST, Sense, Vocabulary
from grammar.words import ARTICLES, split

FILLER_COST = 0.01
"""For each word passed over that carries nothing; keeps the reading that uses more of the words in front."""

UNHEARD = ARTICLES | {","}
"""What neither helps nor hinders inside a phrase."""

KIND_COST = {"NUMBER": 0.051, "CLOCK": 0.02}
"""A number that may be read as something more definite is that first."""

TERMINAL_COST = {"STYLE": 0.02, "OG_AFTER": 0.004, "FG_AFTER": 0.004, "OPEN_IT": 0.24, "GO_BACK": 0.3, "IS_ABOUT": 0.24,
                 "WHY_ALONE": 0.25, "EXPLAIN_ALONE": 0.25}
"""A word between two numbers belongs to the one behind it sooner than to the one before; everyday verbs (`go back to`) mean
a batch less surely than `switch to`; and a word that asks alone does so only where nothing else explains the sentence."""

UNNAMED_GRAIN, UNNAMED_GRAIN_COST = Sense("GRAIN", "grain"), 0.12
"""What is told of grain no word names is sooner where the bag is than what was added."""

BIDDEN, BIDDEN_COST = "_BIDDEN", 0.75
"""The end of the name of terminals that may tell what was done as well as what is to be done (`pitch the yeast`), and the
cost: such a sentence is asked back."""

UNKNOWN_COST = 0.75
"""For each word passed over that may carry something: one of these alone means asking back."""

SMALL_WORD_COST = 0.3

SMALL_WORDS = frozenset(
    "for at in on of with up out by as is are be been there thing stuff one some more".split()
)
"""Words that join others: one left over changes little, several mean the sentence was another one."""

KNOWN_WORD_COST = 0.1
"""On top of a repair, where the word heard is one the language knows."""

NEGATIONS = frozenset("not never no without except cannot nothing nobody".split())
"""Words that turn a sentence into its opposite: never taken for another word, never left out."""

NEVER_PASSED_OVER = NEGATIONS | frozenset(
    "instead if unless until yet almost nearly will would tomorrow should did was were before after wanted suppose imagine "
    "say pretend hypothetically his her hers their theirs neighbor neighbors brother sister friend friends somebody "
    "someone".split()
)
"""Words that turn a statement into something else; leaving one out would claim what was not said."""

CRIES = ("um", "uh", "er", "ah")
LIKE_A_CRY = 0.7
"""What people say while they think, and how much a word must sound like it to have been no more: `I'm` for `um`."""

MAY_BE_NO_NUMBER = frozenset("one a an second third fourth quarter half couple".split())
"""Number words that are often something else."""

FIGURE_FOR_WORD = {"2": ("to", "too"), "4": ("for",)}
FIGURE_COST = 0.75
"""Figures that hurried thumbs and recognisers put for words, and the cost of such a reading."""

UNHEARD_NUMBER_COST = 0.25
"""More for a quantity of one whose article was misheard with its unit: `it he spoon` for `a teaspoon`."""

SURELY_ALIKE = 0.8
"""How alike words must be that are all known, and yet stand for a quantity."""

LONGEST_ARTICLE = 3
"""Letters in the longest word that may have been an article."""

LONGEST_MISHEARD = 3
"""Words that may together be another phrase misheard."""

SAYS_NOTHING = frozenset({"BE", "WILL", "HAVING"})
"""Terminals for which nothing is taken by likeness: a strange word would only be lost in them."""

TELLS_OF_PAST = frozenset("did was were before after".split())
"""Words of `NEVER_PASSED_OVER` that do no harm in a clause beside the matter."""

TURNS = {"about": {"to"}, "my": {"buddy", "friend", "pal"}}
"""Words that carry nothing, but change everything before another: `about to boil`, `my buddy pitched`."""

FREE_TEXT = {"NAME": 5, "TITLE": 5, "TOPIC": 12, "NOTE": 60, "STRANGER": 3}
"""Terminals that take words as they come, and how many at most; a STRANGER is a name nobody has told us.

A TITLE is a name that no word announces: `new batch Red Maple`.
"""

NAMES = ("NAME", "TITLE")
NO_NAME = frozenset("more other another some any all both".split())
"""Words that open no name: `use more soap`."""

NO_TITLE = frozenset("of for with at on in to from by as and".split())
"""Words that join what was said to more of it: no title opens with one (`a batch of cookies`)."""

LONGEST_TITLE, TITLE_COST = 3, 0.06
NO_TITLED = frozenset(
    "nice good great strong light simple quick small big hoppy dark pale malty easy classic basic cheap decent proper real fresh "
    "little plain smooth sweet dry session summer winter is it all more ".split()
)
"""Words before a style that say what it is like: `a strong porter` has no name yet."""

INGREDIENTS = frozenset("HOP EXTRACT GRAIN SUGAR YEAST FINING SALT SANITIZER CLEANER FRUIT SPICE OTHER".split())
"""Terminals of what goes into a beer or onto the kettle."""

NO_PART_OF_TITLED = ARTICLES | NO_TITLE | NO_TITLED | NO_NAME | NEVER_PASSED_OVER

QUANTITIES = frozenset(
    "GRAVITY TEMPERATURE VOLUME SPOON MASS DURATION PERCENT IBU CARBONATION PRESSURE CONCENTRATION LENGTH POWER COUNT NUMBER".split()
)
"""Terminals of what is measured or counted."""

MEASURED = QUANTITIES | {"WHEN", "CLOCK"}
"""Terminals of what is measured, counted or timed."""

OPENS_NO_NOTE = frozenset("that of saying how why who when if me us him her them time guy guys stout porter ale lager ipa".split())
"""Words that lead up to what is noted and are no part of it."""

READING_NOTED_COST = 0.15
"""For a note that opens with a number, and is a reading sooner."""

QUANTITY_KINDS = frozenset("MASS VOLUME SPOON COUNT".split())
WITHIN_NAME_COST = 0.1
"""For an amount whose number opens within a name."""

AMOUNTS = frozenset("MASS VOLUME SPOON".split())
"""Quantities that need no number: `a teaspoon`."""

BESIDE_A_GUESS_COST = 0.4
"""For words taken as they come in a sentence whose other words are guesses: nothing is left to vouch for it."""

OFF_SUBJECT_COST, SUBJECT_SHARE = 0.45, 0.3
"""For a TOPIC of which fewer words than this share are of the trade; with it such a sentence is asked back."""

_LEAST_FREE_COST = 0.05
_FREE_COST = {"STRANGER": 0.95, "TOPIC": 0.3}


TIES = frozenset("of for in on with from about".split())
BATCH_NAME_COST = 0.05
"""For the name of a batch within a question: dearer than any meaning its words have there."""


class BatchName(str):
    """The name of a batch, said within a question about it."""


class Edge(NamedTuple):
    """One way to hear the words from a place up to `end`."""

    end: int
    terminal: str
    """A terminal of the grammar, or "" for words passed over."""
    value: object
    cost: float
    repaired: bool = False
    """Taken for another word than was heard."""


class Lattice:
    """The edges of one sentence, found when they are asked for."""

    def __init__(
        self,
        words: Sequence[str],
        vocabulary: Vocabulary,
        likely: Collection[str] = (),
        batches: Collection[str] = (),
    ) -> None:
        """`likely`: names that a misheard word most likely stands for; `batches`: names of the batches there are."""
        self.words = words
        self._batches = [(tuple(split(name)), name) for name in batches]
        self._vocabulary = vocabulary
        self._likely = frozenset(likely)
        self._letters = max(1, len(" ".join(words)))
        self._plain: list[list[Edge]] = [[] for _ in words]
        self._units: list[list[Edge]] | None = None
        self._edges: tuple[list[dict[str, tuple[Edge, ...]] | None], ...] = ([None] * len(words), [None] * len(words))
        self._repaired: list[list[Edge] | None] = [None] * len(words)
        self._alike_at: list[dict[str, float]] | None = None
        self._named: list[tuple[Edge, ...] | None] = [None] * len(words)
        self._stepped: tuple[list[list[tuple[float, int, str]]], ...] = ([], [])
        self._free: dict[tuple[int, str, bool], tuple[Edge, ...]] = {}
        self._numbers: dict[int, str] = {}
        """Where a plain number or quantity stands; such a word is neither passed over nor taken for another."""
        for reading in (*read_quantities(words), *read_moments(words)):
            if reading.kind != "UNIT" and reading.cost < PLAIN and words[reading.start] not in MAY_BE_NO_NUMBER:
                self._numbers.setdefault(reading.start, reading.kind)
            edge = Edge(reading.end, reading.kind, reading.value, reading.cost + KIND_COST.get(reading.kind, 0.0))
            self._plain[reading.start].append(edge)
            if reading.kind == "GRAVITY" and reading.value[1] == "brix":
                self._plain[reading.start].append(edge._replace(terminal="BRIX"))
        for start in range(len(words)):
            self._plain[start] += self._known(start)
        styles = {place for place, edges in enumerate(self._plain) if any(edge.terminal == "STYLE" for edge in edges)}
        for start in range(len(words)) if styles else ():
            self._plain[start] += self._titled(start)
        self._part_names_from_numbers()

    def _titled(self, start: int) -> list[Edge]:
        """Words that with the style behind them are a name: `Harvest Amber`, `Garage Stout`."""
        found: list[Edge] = []
        cost = TITLE_COST
        for place in range(start, min(len(self.words) - 1, start + LONGEST_TITLE)):
            word = self.words[place]
            if not word.isalpha() or word in NO_PART_OF_TITLED or word in self._vocabulary.fillers:
                break
            cost += self._free_cost(place, "TITLE")
            found += [
                edge._replace(terminal="TITLED", value=" ".join(self.words[start : edge.end]), cost=cost)
                for edge in self._plain[place + 1]
                if edge.terminal == "STYLE"
            ]
        return found

    def _part_names_from_numbers(self) -> None:
        """In `crystal forty one ounce magnum` forty is the malt's: a quantity that opens within a name costs more."""
        names = {
            (start, edge.end)
            for start, edges in enumerate(self._plain)
            for edge in edges
            if edge.terminal in INGREDIENTS and edge.end - start > 1 and self.words[edge.end - 1].isalpha()
        }
        for begins, ends in names:
            split_up = False
            for start in range(begins + 1, ends):
                across = [edge.end > ends and edge.terminal in QUANTITY_KINDS for edge in self._plain[start]]
                split_up |= any(across)
                self._plain[start] = [
                    edge._replace(cost=edge.cost + WITHIN_NAME_COST) if within else edge
                    for edge, within in zip(self._plain[start], across, strict=True)
                ]
            if split_up:
                self._plain[ends] += [
                    Edge(ends + reading.end, reading.kind, reading.value, reading.cost)
                    for reading in read_quantities(self.words[ends:])
                    if reading.start == 0 and reading.kind in QUANTITY_KINDS
                ]

    def told(self) -> list[Reading]:
        """What is measured, counted, timed or named, as far as one may be taken back for another of its kind."""
        return [
            Reading(start, edge.end, NAME if edge.terminal in INGREDIENTS else edge.terminal, edge.value, edge.cost)
            for start, edges in enumerate(self._plain)
            for edge in edges
            if edge.terminal in INGREDIENTS or edge.terminal in MEASURED
        ]

    def counting(self) -> frozenset[int]:
        """Where words stand that always count: numbers, and what turns a sentence into its opposite."""
        return self._number_places() | {place for place, word in enumerate(self.words) if word in NEGATIONS}

    def measured_or_named(self) -> frozenset[int]:
        """Where something is measured, counted, timed or named, or a unit stands."""
        found: set[int] = set()
        for place, edges in enumerate(self._plain):
            number = self.words[place] not in MAY_BE_NO_NUMBER
            for edge in edges:
                if edge.terminal in INGREDIENTS or edge.terminal == "UNIT" or number and edge.terminal in MEASURED:
                    found.update(range(place, edge.end))
        return frozenset(found)

    def between(self) -> frozenset[int]:
        """Where small words stand that mean nothing between the words of what records."""
        small = self._vocabulary.between
        found = {place for place, word in enumerate(self.words) if word in small and not self._turns(place, place + 1)}
        for place, edges in enumerate(self._plain):
            found.update(*(range(place, edge.end) for edge in edges if not edge.terminal))
        return frozenset(found)

    def _turns(self, start: int, end: int) -> bool:
        """Whether the words carry nothing by themselves, but change what follows."""
        return not TURNS.get(" ".join(self.words[start:end]), set()).isdisjoint(self.words[end : end + 1])

    def asides(self) -> list[Aside]:
        """Clauses at the opening and at the end that may be said beside the matter."""
        heard = [{edge.terminal for edge in edges} for edges in self._plain]
        names = frozenset(place for place, terminals in enumerate(heard) if terminals & INGREDIENTS)
        amounts = frozenset(place for place, terminals in enumerate(heard) if terminals & AMOUNTS)
        return asides(self.words, self._number_places() | amounts, names, NEVER_PASSED_OVER - TELLS_OF_PAST)

    def _number_places(self) -> frozenset[int]:
        """A word that opens a moment (`at ten`) is not among them."""
        return frozenset(
            place
            for place, word in enumerate(self.words)
            if self._numbers.get(place, "WHEN") != "WHEN" or word[0].isdigit()
        )

    def alike(self) -> list[dict[str, float]]:
        """For each place the terminals its word may have been misheard for, or belong to with others, and the cost."""
        if self._alike_at is None:
            self._alike_at = [{} for _ in self.words]
            for start in range(len(self.words)):
                for edge in self._misheard(start):
                    if edge.terminal:
                        for at in self._alike_at[start : edge.end]:
                            at[edge.terminal] = min(edge.cost, at.get(edge.terminal, 9.0))
        return self._alike_at

    def edges(self, start: int, misheard: bool) -> dict[str, tuple[Edge, ...]]:
        """What may be heard from a place on, by terminal, of each reach the cheapest; "" for words passed over.

        Words that are what they look like and, if `misheard`, known phrases that sound or look like what stands here,
        and the word passed over for want of a meaning.
        """
        known = self._edges[misheard][start]
        if known is None:
            found = [*self._plain[start], *(self._misheard(start) if misheard else ())]
            known = self._edges[misheard][start] = _by_terminal(found)
        return known

    def heard(self, misheard: bool) -> set[str]:
        """The terminals that may be heard anywhere."""
        return set(FREE_TEXT).union(*(self.edges(start, misheard) for start in range(len(self.words))))

    def least_ahead(
        self, misheard: bool, passed: Sequence[float], left: Sequence[float], wanted: Collection[str] | None = None
    ) -> list[float]:
        """For each place, what the words from there on cost at least; free text apart.

        They are read as `wanted` terminals (None for any), or each passed over at `passed`, up to a place where reading
        on is `left` at that cost.
        """
        steps = self._steps(misheard)
        least = [*left]
        for start in range(len(self.words) - 1, -1, -1):
            cheapest = min(least[start], passed[start] + least[start + 1])
            for cost, end, terminal in steps[start]:
                if cost >= cheapest:
                    break
                if cost + least[end] < cheapest and (wanted is None or not terminal or terminal in wanted):
                    cheapest = cost + least[end]
            least[start] = cheapest
        return least

    def named_batch(self, start: int) -> tuple[Edge, ...]:
        """The name of a batch there is, with the small word before it that ties it to a question: `for the porter`."""
        known = self._named[start]
        if known is None:
            known = self._named[start] = tuple(self._named_batch(start))
        return known

    def _named_batch(self, start: int) -> Iterator[Edge]:
        at = start + (self.words[start] in TIES)
        while at < len(self.words) and self.words[at] in ARTICLES:
            at += 1
        for told, name in self._batches:
            if told and tuple(self.words[at : at + len(told)]) == told:
                yield Edge(at + len(told), "", BatchName(name), BATCH_NAME_COST)

    def _steps(self, misheard: bool) -> list[list[tuple[float, int, str]]]:
        """For each place the cost, end and terminal of all edges, the cheapest first."""
        known = self._stepped[misheard]
        if not known:
            for start in range(len(self.words)):
                every = [edge for edges in self.edges(start, misheard).values() for edge in edges]
                every += self.named_batch(start)
                known.append(sorted((edge.cost, edge.end, edge.terminal) for edge in every))
        return known

    @staticmethod
    def least_free_text(misheard: bool, wanted: Collection[str]) -> float:
        """What words taken as they come for any of the terminals cost at least; endless where it takes none."""
        return min((_free_text_cost(terminal, misheard) for terminal in FREE_TEXT if terminal in wanted), default=math.inf)

    def free_text(self, start: int, terminal: str, misheard: bool) -> tuple[Edge, ...]:
        """Words taken as they come: dearer the more of them, and much dearer where a number is among them."""
        asked = start, terminal, misheard
        if asked not in self._free:
            self._free[asked] = tuple(self._free_text(*asked))
        return self._free[asked]

    def _free_text(self, start: int, terminal: str, misheard: bool) -> Iterator[Edge]:
        if self.words[start] == "," or (terminal == "NOTE" and self.words[start] in OPENS_NO_NOTE):
            return
        if terminal in NAMES and next((w for w in self.words[start:] if w not in ARTICLES), "") in NO_NAME:
            return
        if terminal == "TITLE" and not NO_TITLE.isdisjoint((self.words[start], self.words[start - 1])):
            return
        cost = _free_text_cost(terminal, misheard)
        if terminal == "NOTE" and start in self._numbers:
            cost += READING_NOTED_COST
        for end in range(start + 1, min(len(self.words), start + FREE_TEXT[terminal]) + 1):
            word = self.words[end - 1]
            if terminal == "STRANGER" and (
                word in self._vocabulary.senses or word in self._vocabulary.fillers
            ):
                return
            if terminal != "NOTE":
                if word in (",", "?"):
                    return
                cost += self._free_cost(end - 1, terminal)
            taken = self.words[start:end]
            strange = terminal == "TOPIC" and not self._is_on_subject(taken)
            yield Edge(end, terminal, " ".join(taken), cost + (OFF_SUBJECT_COST if strange else 0.0))

    def _is_on_subject(self, words: Sequence[str]) -> bool:
        known = sum(word in self._vocabulary.subjects for word in words)
        return known >= SUBJECT_SHARE * len(words)

    def _free_cost(self, place: int, terminal: str) -> float:
        """For one more word taken as it comes: little, unless it looks like something else that was meant."""
        word = self.words[place]
        kind = self._numbers.get(place)
        if word[0].isdigit():
            return 1.2
        if terminal == "TOPIC" and kind:
            return 0.15 if kind == "NUMBER" else 0.8
        if terminal in NAMES:
            return 0.8 if kind else 0.2 if self._vocabulary.is_keyword(word) else 0.01
        return 0.01

    def _known(self, start: int) -> Iterator[Edge]:
        for end, phrase in self._phrases(start, UNHEARD):
            for sense in self._vocabulary.senses.get(phrase, ()):
                cost = BIDDEN_COST if sense.terminal.endswith(BIDDEN) else TERMINAL_COST.get(sense.terminal, 0.0)
                if sense == UNNAMED_GRAIN:
                    cost = UNNAMED_GRAIN_COST
                yield Edge(end, sense.terminal, sense.value, cost)
        for end, phrase in self._phrases(start, UNHEARD | JOINING):
            for sense in self._vocabulary.loose.get(phrase, ()):
                yield Edge(end, sense.terminal, sense.value, FILLER_COST)
        for end, phrase in self._phrases(start, UNHEARD | self._vocabulary.between):
            for sense in self._vocabulary.told.get(phrase, ()):
                yield Edge(end, sense.terminal, sense.value, FILLER_COST)
        for end in range(start + 1, min(len(self.words), start + LONGEST) + 1):
            phrase = " ".join(self.words[start:end])
            if phrase in self._vocabulary.fillers and not self._turns(start, end):
                yield Edge(end, "", phrase, FILLER_COST * (end - start))

    def _phrases(self, start: int, left_out: Collection[str]) -> Iterator[tuple[int, str]]:
        """The phrases that open here, without the words left out; none opens or ends with one of those."""
        content: list[str] = []
        for end in range(start + 1, len(self.words) + 1):
            word = self.words[end - 1]
            if word not in left_out:
                content.append(word)
                if len(content) > LONGEST:
                    return
                yield end, " ".join(content)
            elif not content:
                return

    def _misheard(self, start: int) -> list[Edge]:
        known = self._repaired[start]
        if known is None:
            known = self._repaired[start] = [*self._alike(start), *self._units_misheard()[start]]
        return known

    def _alike(self, start: int) -> Iterator[Edge]:
        word = self.words[start]
        for meant in FIGURE_FOR_WORD.get(word, ()):
            yield Edge(start + 1, "", meant, FIGURE_COST, True)
            for sense in self._vocabulary.senses[meant]:
                yield Edge(start + 1, sense.terminal, sense.value, FIGURE_COST, True)
        if start in self._numbers and word.isalpha():
            return
        for length in range(1, LONGEST_MISHEARD + 1):
            heard = self.words[start : start + length]
            if len(heard) < length or not all(w.isalpha() and w not in NEGATIONS for w in heard):
                break
            whole = length == len(self.words)
            if not whole and all(w in NEVER_PASSED_OVER or length > 1 and self._vocabulary.knows(w) for w in heard):
                continue
            phrase = " ".join(heard)
            known_cost = KNOWN_WORD_COST if length == 1 and self._vocabulary.knows(word) else 0.0
            for meant, alike in self._vocabulary.alike(heard):
                share = len(phrase) / self._letters
                if meant in (f"{phrase}s", phrase.removesuffix("s")):
                    share, alike = 0.0, 1.0
                for sense in self._vocabulary.senses[meant]:
                    if sense.terminal in SAYS_NOTHING:
                        continue
                    cost = self._repair_cost(alike, share, sense.value) + known_cost
                    yield Edge(start + length, sense.terminal, sense.value, cost, True)
        if not word[0].isdigit() and word not in NEVER_PASSED_OVER:
            small = word in SMALL_WORDS or any(sound.likeness(word, cry) >= LIKE_A_CRY for cry in CRIES)
            yield Edge(start + 1, "", word, SMALL_WORD_COST if small else UNKNOWN_COST, True)

    def _units_misheard(self) -> list[list[Edge]]:
        """For each place, quantities whose unit was heard as one or two other words: `19 leaders`, `20 cell cells`."""
        if self._units is None:
            self._units = [[] for _ in self.words]
            numbers = {edge.end for edges in self._plain for edge in edges if edge.terminal == "NUMBER"}
            for place in numbers.intersection(range(len(self.words))):
                for end in (place + 1, place + 2):
                    heard = self.words[place:end]
                    strange = len(heard) > 1 or not self._vocabulary.knows(heard[0])
                    if place + len(heard) == end and strange and all(map(str.isalpha, heard)):
                        for unit, alike in self._vocabulary.units.like(" ".join(heard)):
                            self._hear_unit(place, end, [unit], alike)
            for place in range(len(self.words)):
                for end in range(place + 2, min(len(self.words), place + 3) + 1):
                    heard = self.words[place:end]
                    if len(heard[0]) > LONGEST_ARTICLE or not all(map(str.isalpha, heard)):
                        continue
                    least = SURELY_ALIKE if all(map(self._vocabulary.knows, heard)) else 0.0
                    for phrase, alike in self._vocabulary.one_of_units.like(" ".join(heard)):
                        if alike >= least:
                            self._hear_unit(place, end, phrase.split(), alike, UNHEARD_NUMBER_COST)
        return self._units

    def _hear_unit(self, place: int, end: int, meant: Sequence[str], alike: float, more: float = 0.0) -> None:
        assert self._units is not None
        words = [*self.words[:place], *meant, *self.words[end:]]
        longer = end - place - len(meant)
        unit = place + len(meant) - 1
        cost = self._repair_cost(alike, len(" ".join(meant)) / self._letters, meant[-1]) + more
        for reading in read_quantities(words):
            if reading.start < unit < reading.end:
                self._units[reading.start].append(
                    Edge(reading.end + longer, reading.kind, reading.value, reading.cost + cost, True)
                )

    def _repair_cost(self, alike: float, share: float, value: object) -> float:
        """From 0.1 for nearly the same word to 0.8 at the limit; half for a name the batch in hand holds.

        The larger the part of the sentence that had to be guessed, the less the rest can vouch for it.
        """
        cost = 0.08 + 2.0 * (1.0 - alike) + 0.6 * share**2
        return cost / 2 if value in self._likely else cost


def _free_text_cost(terminal: str, misheard: bool) -> float:
    """What words taken as they come cost, apart from what each of them adds."""
    guessed = misheard and terminal != "STRANGER"
    return _FREE_COST.get(terminal, _LEAST_FREE_COST) + (BESIDE_A_GUESS_COST if guessed else 0.0)


def _by_terminal(edges: Iterable[Edge]) -> dict[str, tuple[Edge, ...]]:
    cheapest: dict[str, dict[int, Edge]] = {}
    for edge in edges:
        ends = cheapest.setdefault(edge.terminal, {})
        if edge.end not in ends or edge.cost < ends[edge.end].cost:
            ends[edge.end] = edge
    return {terminal: tuple(ends.values()) for terminal, ends in cheapest.items()}
