"""Which entry of the knowledge base a sentence in the brewer's own words is about, and how sure that is.

Every entry is weighed by the words it shares with the sentence: its names, how it is asked, its clues, what it says. A word
counts by how few entries it tells of; `it` and `they` stand for what is at hand in the stage of the batch, what belongs to
that stage goes before the rest, and how it is put (a why, a worry, a report) favors one topic over another. Of two that are near
neither is taken: they are asked about.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import log
from pathlib import Path
from typing import Any

import knowledge
from assistant import finding, recommending
from assistant.clues import clues_heard
from assistant.finding import Entry
from grammar.asides import is_harmless
from grammar.command import LINE, RECORDING, Command
from grammar.files import program_text
from grammar.kept import kept
from grammar.numbers import ONES, TEENS, TENS
from grammar.words import split
from knowledge.loader import load

TOPICS = ("troubles", "answers", "whys", "how_tos", "steps", "beliefs", "cautions", "ingredients", "terms", "styles")
"""Where it looks; of two that fit alike the earlier goes before."""

SURE, MAYBE, WEAK = 0.50, 0.34, 0.24
"""About of 1: from here on an entry is told, asked about with those near it, or named as the nearest."""

FAINT = 0.1
"""What cannot fit better than this is not weighed any further."""

APART = 0.82
"""An entry is told where the next has no more than this share of its fit."""

GUESSED = 0.6
"""What the grammar read no surer than this, and no word of the entry speaks for, gives way to a question."""

HALF_SURE = 0.49
"""How sure a reading is that a word beside it speaks against: below the line, and yet worth a question."""

GUESS = 0.3
"""How sure first aid is where the words tell of nobody hurt."""

PLAIN = 0.96
"""What the grammar read as surely as this stays."""

REPORT, SURE_REPORT = 0.45, 0.68
"""For a sentence that is no question: below this nothing is asked about it, and from here on an entry is told."""

WORDING, WORD_BY_WORD = 3, 1.3
"""A way to ask of so many words that is said as it stands makes its entry so much likelier."""

THINGS = ("ingredients", "terms", "styles")
"""Topics whose entries are asked for by their names."""

DESCRIBED, CALLED_SO, TOLD_OF = 0.85, 0.75, 0.5
"""How much a word of a description counts by where a thing has it: in how it looks and what it is, in its names, in what more is told."""

RARE, COMMON_ALONE = 0.8, 0.5
"""A word this rare, as a share of the rarest, describes a thing nearly alone; one that is commoner counts so much less alone."""

LONGEST_NAME = 5
"""Words."""

EVIDENCE = 2
"""So many words must speak for an entry before it is told, a word for what is at hand among them."""

MANY, FAIR, MANY_REPORT, FAIR_REPORT, ALONE = 3, 0.25, 4, 0.34, 0.66
"""What fits no better than fair is told too where so many words speak for it and the next has no more than this share of its fit;
the same for a report."""

BESIDE = 0.4
"""From this fit on an entry is asked about beside what the grammar guesses that is reported."""

SECOND = 0.6
"""The second of two that are asked about has at least this share of the fit of the first."""

AGAINST = 0.6
"""What the grammar read is turned from where it fits no better than this share of the best, and that is told surely."""

NEAREST = 6
"""So many entries are looked at."""

OFFERED = 2
"""Entries in a question."""

AT_HOME, NEXT_DOOR, ELSEWHERE = 1.25, 1.0, 0.55
"""How much an entry counts in its stage, in the one before or after (nobody logs at once), and in another; 1 without a stage."""

NAMED, RARELY, SAID, BODY = 1.0, 0.65, 0.5, 0.3
"""How much a word counts by where the entry has it: in half its names or more, in few of them, in its clues and what it says
first, in the rest."""

TYPICAL = 0.8
"""A word so prominent in an entry names it nearly alone."""

STANDS_FOR = 0.45
"""How much of a word counts that was not said and that `it` stands for."""

UNKNOWN, UNKNOWN_ASKED = 0.8, 0.45
"""What a word no entry has counts against them all, as a share of the most telling word; and the same in a question."""

SHORT = 1.0
"""Added to the weight of every name, so that a short one is not whole with its one word."""

PRONOUNS = frozenset("it this that they them these those em one".split())

EMPTY = frozenset(
    """a an the my our your i we you he she me us of on in at to for with and or but so just really very quite any about
    , ? what why how can could should would will do does did is are was were be been am have has had what if then than as ok okay
    well hey oh um uh like kinda kind sort bit thing things stuff gonna going want need supposed get got getting let please mean
    now still yet already though anyway because when where who which s t also too much more lot right wait hm hmm
    ugh whoa damn shoot oops jeez geez man dude god yikes yeah hell heck totally maybe probably enough bunch ton
    something anything guess think know look looks looking seem seems say says said tell make sure way up by from into
    many there here""".split()
) | PRONOUNS
"""Words that tell no entry from another."""

NO = "no"

NEGATED = frozenset("no not never without nothing".split())
"""Words that count alike."""

_NUMBERS = frozenset({*ONES, *TEENS, *TENS, "hundred"})

STUCK = "stuck fermentation"
"""The trouble that is told by its gravity alone."""

LOOSE = frozenset(["what_now", "explain_last", "use_batch"])
"""Acts so widely told that, in a question, a sure entry goes before them."""

# --- How it is put

FILLERS = frozenset("so ok okay and but wait hey uh um oh well now , then also hm hmm ugh whoa damn shoot oops jeez man yikes yeah no".split())
"""Words a sentence may open with."""

ASKS = frozenset("what how why when where which should can could do does did is are was am will would may shall must".split())
"""Words that open a question."""

ASKS_WITHIN = (
    "?", "should i", "can i", "do i", "did i", "is it", "is that", "is this", "am i", "will it", "does it", "does that", "do they", "are they",
    "name of", "name for", "word for", "supposed to", "or", "did not i", "is not it", "have i", "do we", "should we", "can we",
)
"""What makes a question of a sentence that opens otherwise."""

TO_OTHERS = (
    "who", "did you", "have you", "would you", "will you", "are you", "were you", "can you", "could you", "you want", "you like", "you think", "he", "she",
    "had we", "out here", "in here", "outside", "you guys", "honey ,", ", honey", "your", "kids",
    "potatoes", "the potato", "the rice", "the pasta", "noodles", "the tea", "the bread", "the soup", "dinner", "the roast", "the eggs",
)
"""What is said to somebody else or of something else."""

OTHER_MATTERS = TO_OTHERS[TO_OTHERS.index("potatoes") :]
"""What is no beer, whoever says it."""

DOUBTED = ("true", "truth", "right ?", "that right", "myth", "old wives", "?", "fact", "is it", "is that", "should i", "do i", "can i", "believe")
"""What makes a question of what is reported."""

DOUBTING = (
    "is it true", "is that true", "is this true", "true ?", "is true", "that true", "any truth", "truth to", "true that", "myth", "old wives",
    "is that right", "that right ?", "they say", "people say", "everybody says", "everyone says", "somebody says", "somebody said",
    "somebody told me", "someone told me",
    "someone said", "i heard that", "i read that", "i have heard", "i have read", "always said", "always says",
    "swears", "claims", "told me that", "supposedly",
    "at work says", "at work said", "says that", "said that", "is it a fact", "should i believe", "do you believe",
)
"""How a belief is asked about or reported."""

ABOUT_IT = PRONOUNS | frozenset("there no not still i the my some nothing tastes smells looks tasting smelling".split())
"""Words a report of the batch opens with."""

NO_QUESTIONS = frozenset(["do not", "when we", "when i", "can not", "should have", "could have", "would have"])
"""What opens like a question and asks nothing of what is here and now."""

UNREAL = frozenset("would will if should could unless until we he she you let suppose before after".split())
"""A report with one of these tells of what might be, or of others."""

AFTER_NAME = frozenset(", ? and anyway again exactly even in like when thing word".split())
"""What may follow the name of a word that is asked for."""

DESCRIBING = frozenset(["naming", "purpose", "what"])
"""How a question is put that may describe a thing by how it looks."""

REPORTED = frozenset(["report", "remark", "hedged", "told"])

VAGUE = frozenset(
    "stuff deal dealie part piece thing things thingy thingie thingies thingamajig gizmo gadget doohickey doodad contraption whatsit widget".split()
)
"""What something is called by who does not know its name."""

CALLING = frozenset("call called name named word term".split())
"""Words that ask for a name."""

FACTORS: Mapping[str, Mapping[str, float]] = {
    "why": {
        "whys": 1.15, "beliefs": 1.0, "answers": 0.95, "cautions": 0.8, "troubles": 0.7,
        "how_tos": 0.6, "steps": 0.6, "terms": 0.6, "ingredients": 0.6,
    },
    "need": {"ingredients": 0.7, "whys": 0.95, "beliefs": 1.05, "answers": 1.1, "cautions": 0.9, "troubles": 0.8, "how_tos": 0.8, "steps": 0.7},
    "hearsay": {
        "beliefs": 1.25, "whys": 0.95, "answers": 0.95, "terms": 0.6, "troubles": 0.75, "how_tos": 0.6, "cautions": 0.85, "steps": 0.5, "ingredients": 0.5,
    },
    "told": {"beliefs": 1.0},
    "worry": {"ingredients": 0.7, "whys": 0.6, "beliefs": 0.8, "answers": 1.0, "cautions": 0.9, "troubles": 1.15, "how_tos": 0.6, "steps": 0.6},
    "meaning": {
        "whys": 0.7, "beliefs": 0.85, "answers": 0.9, "cautions": 0.85, "troubles": 0.7, "how_tos": 0.8, "steps": 0.9,
        "ingredients": 0.9, "terms": 1.0, "styles": 0.9,
    },
    "question": {
        "whys": 0.7, "beliefs": 0.85, "answers": 1.1, "cautions": 0.9, "troubles": 0.9, "how_tos": 0.95, "steps": 0.9,
        "ingredients": 0.75, "terms": 0.6, "styles": 0.6,
    },
    "naming": {"terms": 1.0, "ingredients": 0.8, "answers": 0.7, "whys": 0.6, "how_tos": 0.55, "steps": 0.4, "troubles": 0.4},
    "what": {
        "terms": 0.9, "ingredients": 0.75, "troubles": 0.9, "answers": 1.1, "whys": 0.6, "how_tos": 0.8, "steps": 0.7, "cautions": 0.9,
        "beliefs": 0.7, "styles": 0.6,
    },
    "purpose": {"terms": 0.95, "ingredients": 0.85, "whys": 1.0, "answers": 0.9, "beliefs": 0.8, "how_tos": 0.7, "steps": 0.7, "cautions": 0.6},
    "report": {"troubles": 1.0, "answers": 0.85, "cautions": 0.8},
    "remark": {"troubles": 0.75, "answers": 0.65},
    "hedged": {"troubles": 0.75, "answers": 0.65},
}
"""How much a topic counts by how the sentence is put; one that is not named does not count."""

MARKS: tuple[tuple[str, frozenset[str]], ...] = (
    ("meaning", frozenset("mean means meaning difference stand stands called".split())),
    ("why", frozenset("why reason point how_come".split())),
    ("need", frozenset("need have really bother matter necessary must".split())),
    ("worry", frozenset("ruin ruined bad worry worried wrong dead kill killed normal safe screwed wrecked ok okay fine".split())),
)
"""Words that show how a question is put, the first that is said counts."""


Key = tuple[str, str]
"""A topic and an id."""


@dataclass(frozen=True, order=True)
class Heard:
    """An entry a sentence may mean, and how well it fits, 0 to about 1."""

    fit: float
    topic: str
    id: str
    speaks: int
    """How many words speak for it."""

    @property
    def key(self) -> Key:
        return self.topic, self.id

    @property
    def entry(self) -> Entry:
        return Entry(self.topic, self.id)


@dataclass(frozen=True)
class _Index:
    """What words say about entries."""

    weight: Mapping[str, float]
    """How telling each word is, in natural logarithms."""
    has: Mapping[str, Mapping[Key, float]]
    """For each word the entries that have it, and how prominently."""
    names: Mapping[Key, tuple[frozenset[str], ...]]
    """The telling words of each way an entry is named or asked for."""
    wordings: Mapping[str, tuple[Key, ...]]
    """Ways to ask of some length, word by word with a gap around, and what may be asked for so."""
    things: Mapping[str, tuple[Key, ...]]
    """What ingredients, words of the trade and styles are called and asked for, word by word."""
    looks: Mapping[str, Mapping[Key, float]]
    """For each word the words of the trade whose description has it, and how prominently."""
    home: Mapping[Key, frozenset[str]]
    """The stages an entry belongs to; none for one that belongs everywhere."""
    most: float
    """The weight of the most telling word."""


def heard(words: Sequence[str], stage: str) -> list[Heard]:
    """The entries the words may mean in a stage of the way (of STEP_STAGES, "" where nothing is logged), the likeliest first."""
    index, put = _index(), _put(words)
    if put is None:
        return []
    aside = _CALLED if put in DESCRIBING else _HEARD_SAY if put in ("hearsay", "told") else frozenset()
    said = set(_telling((*words, *_told_by_numbers(words, stage)))) - aside
    factors = FACTORS[put]
    plain = f" {' '.join(words)} "
    as_asked = {entry for phrase, entries in index.wordings.items() if phrase in plain for entry in entries}
    called = _called(words, index)
    meant = _stood_for(words, stage) - said
    unknown = (UNKNOWN if put in REPORTED else UNKNOWN_ASKED) * index.most
    counts = {word: index.weight.get(word, unknown) for word in said}
    whole = sum(counts.values())
    shared: dict[Key, float] = defaultdict(float)
    for word in said:
        for entry, much in index.has.get(word, {}).items():
            shared[entry] += much * counts[word]
    looks: dict[Key, float] = defaultdict(float)
    if put in DESCRIBING:
        for word in said:
            for entry, much in index.looks.get(word, {}).items():
                looks[entry] += much * counts[word]
    meant_too = [(word, index.has[word]) for word in meant if word in index.has]
    found = []
    for entry in shared.keys() | as_asked | looks.keys():
        if entry[0] not in factors:
            continue
        much = shared.get(entry, 0.0)
        extra = sum(STANDS_FOR * index.weight[word] * has.get(entry, 0.0) for word, has in meant_too)
        covered = min(1.0, (much + extra) / (whole + 0.5 * extra)) if said else 1.0
        at_best = covered * _near(index.home[entry], stage) * factors[entry[0]]
        if at_best < FAINT and entry not in as_asked and entry not in called and entry not in looks:
            continue
        named = 1.0 if entry in as_asked or entry in called else max((_part(name, said, meant, index) for name in index.names[entry]), default=0.0)
        fit = at_best * (0.4 + 0.6 * named)
        if entry in as_asked:
            found.append(Heard(fit * WORD_BY_WORD, *entry, EVIDENCE))
        elif entry in called:
            found.append(Heard(fit * (WORD_BY_WORD if called[entry] > 1 else 1.0), *entry, EVIDENCE))
        elif looks[entry] > much:
            speak = sum(1 + (counts[word] >= RARE * index.most) for word in said if entry in index.looks.get(word, {}))
            described = looks[entry] / whole * factors[entry[0]] * (COMMON_ALONE if speak < EVIDENCE else 1.0)
            found.append(Heard(max(fit, described), *entry, speak))
        else:
            found.append(Heard(fit, *entry, _speaks(entry, said, words, put, index)))
    return sorted(found, reverse=True)


def _called(words: Sequence[str], index: _Index) -> Mapping[Key, int]:
    """The things the sentence calls by name, and by how many words; what stands within a longer name is none."""
    found: dict[Key, int] = {}
    taken: set[int] = set()
    for many in range(min(LONGEST_NAME, len(words)), 0, -1):
        for at in range(len(words) - many + 1):
            places = set(range(at, at + many))
            keys = () if places & taken else index.things.get(" ".join(words[at : at + many]), ())
            if keys:
                taken |= places
                found.update(dict.fromkeys(keys, many))
    return found


def _speaks(entry: Key, said: set[str], words: Sequence[str], put: str, index: _Index) -> int:
    """How many words speak for an entry; `it` or `no` may be one of them, but not alone, and in a report beside a telling word."""
    much = [index.has.get(word, {}).get(entry, 0.0) for word in said - {NO}]
    speak = sum(each >= SAID for each in much)
    denied = NO in said and max(much, default=0.0) >= TYPICAL and index.has[NO].get(entry, 0.0) >= TYPICAL
    pointed = put not in ("remark", "hedged") and bool(PRONOUNS.intersection(words)) and (put != "report" or max(much, default=0.0) >= TYPICAL)
    return speak + (pointed or denied and put != "remark") if speak else 0


def is_question(sentence: str) -> bool:
    put = _put(split(sentence))
    return put is not None and put not in REPORTED


def _put(words: Sequence[str]) -> str | None:
    """How the sentence is put, one of FACTORS; None where it is not for the program or tells nothing of a batch."""
    plain = f" {' '.join(words)} "
    doubted = not {"mean", "means"}.intersection(words) and any(f" {phrase} " in plain for phrase in DOUBTING)
    if doubted and not any(f" {phrase} " in plain for phrase in OTHER_MATTERS):
        return "hearsay" if any(f" {phrase} " in plain for phrase in DOUBTED) or words[0] in ASKS else "told"
    if any(f" {phrase} " in plain for phrase in TO_OTHERS):
        return None
    first = next((at for at, word in enumerate(words) if word not in FILLERS), 0)
    opening = words[first]
    if " ".join(words[first : first + 2]) in NO_QUESTIONS:
        return None
    if opening in ("when", "once") and any(f" {phrase} " in plain for phrase in ("i will", "we will")):
        return None
    if opening in ASKS or any(f" {phrase} " in plain for phrase in ASKS_WITHIN):
        if _named_alone(words) or {"pronounce", "pronounced"}.intersection(words):
            return "meaning"
        if naming := _describing(words[first:]):
            return naming
        marks = {*words[first:], *(["how_come"] if " how come " in plain else [])}
        return next((name for name, shown in MARKS if shown & marks), "question")
    if any(f" {phrase} " in plain for phrase in finding.TALES):
        return None
    if UNREAL.intersection(words) or opening not in ABOUT_IT - {"i"} and NEGATED.intersection(words):
        return "hedged"
    return "report" if opening in ABOUT_IT else "remark"


def meant_word(command: Command, sentence: str) -> Command | None:
    """What defines the word of the trade that is asked for by its bare name, though the grammar read another question in it.

    `what is final gravity` asks for the word, `what is the final gravity` for the number.
    """
    key = _named_alone(split(sentence))
    if key is None or command.act == "define" or command.act in finding.TOPIC_OF or not is_harmless(command.act):
        return None
    name = next(name for name in _names_in(split(sentence)) if name in knowledge.phrases("terms"))
    particular = " " in name and name not in knowledge.phrases("ingredients")
    loose = particular and command.act in (*LOOSE, "time_left") or command.act.startswith("ask_")
    family = particular and command.act == "about" and getattr(knowledge.ingredients().get(str(command.slots.get("ingredient"))), "generic", False)
    return Entry(*key).command(sentence) if loose or family else None


def _named_alone(words: Sequence[str]) -> Key | None:
    """The word of the trade that a sentence asks for by its name and nothing else."""
    names = knowledge.phrases("terms")
    return next((("terms", names[name]) for name in _names_in(words) if name in names), None)


def _names_in(words: Sequence[str]) -> Iterator[str]:
    """What may be a name after `what is`, the longest first, where it ends the question or begins another."""
    first = next((at for at, word in enumerate(words) if word not in FILLERS), 0)
    if tuple(words[first : first + 2]) not in (("what", "is"), ("what", "are")):
        return
    begin = first + 2 + (words[first + 2 : first + 3] in (["a"], ["an"], ["this"]))
    for end in range(min(begin + LONGEST_NAME, len(words)), begin, -1):
        if end == len(words) or words[end] in AFTER_NAME:
            yield " ".join(words[begin:end])


def _describing(words: Sequence[str]) -> str | None:
    """Whether it is asked what a thing is called, what it is for, or what is there at all."""
    asked = [word for word in words if word not in (",", "?", "anyway", "again", "even", "really")]
    if {"name", "word"}.intersection(asked) and {"of", "for"}.intersection(asked):
        return "naming"
    if "what" not in asked:
        return None
    if CALLING.intersection(asked) or VAGUE.intersection(asked) and asked[asked.index("what") + 1 : asked.index("what") + 2] in (["is"], ["are"], ["was"]):
        return "purpose" if asked[-1] == "for" and not CALLING.intersection(asked) else "naming"
    plain = f" {' '.join(asked)} "
    if any(f" what {be} {this} " in plain for be in ("is", "are") for this in ("that", "this", "these", "those")) and asked[-1] != "for":
        return "what"
    for_it = asked[-1] == "for" or any(f" {phrase} " in plain for phrase in ("the point of", "the purpose of", "the use of"))
    return "purpose" if for_it or asked[-1] == "do" and asked[0] == "what" else None


def _part(name: frozenset[str], said: set[str], meant: frozenset[str] | set[str], index: _Index) -> float:
    """How much of a name was said, what `it` stands for counting half."""
    told, standing = name & said, name & meant - said if meant else ()
    if not (told or standing):
        return 0.0
    had = sum(index.weight[word] for word in told) + STANDS_FOR * sum(index.weight[word] for word in standing)
    return had / (sum(index.weight[word] for word in name) + SHORT)


def _near(home: frozenset[str], stage: str) -> float:
    if not home or not stage:
        return 1.0
    if stage in home:
        return AT_HOME
    return NEXT_DOOR if home & _beside(stage) else ELSEWHERE


@cache
def _beside(stage: str) -> frozenset[str]:
    """The stages before and after."""
    stages = list(knowledge.stages())
    at = stages.index(stage)
    return frozenset((*stages[max(0, at - 1) : at], *stages[at + 1 : at + 2]))


def _stood_for(words: Sequence[str], stage: str) -> set[str]:
    """The words of what is at hand, where the sentence points at it or names nothing."""
    return set(_telling(split(knowledge.stages()[stage].it))) if stage and PRONOUNS.intersection(words) else set()


# --- Beside the grammar


@dataclass(frozen=True)
class Found:
    """What became of a sentence: the commands to carry out, or those to ask about, or only what is nearest."""

    commands: list[Command]
    either: tuple[Command, ...] = ()
    nearest: tuple[Command, ...] = ()


def doubted(commands: Sequence[Command], sentence: str) -> list[Command]:
    """The commands, those less sure that a word beside them speaks against: what burns or is cut may be a beer or a hose."""
    return [_doubted(command, sentence) for command in commands]


def _doubted(command: Command, sentence: str) -> Command:
    """What a word beside it speaks against, as less sure.

    An addition so many minutes late has not so many left to boil; a reason is no answer to how long; first aid is a guess where
    the words tell of nobody hurt.
    """
    if "boil_left" in command.slots and command.act == "log_addition" and _off_its_time(split(sentence)):
        slots = {name: value for name, value in command.slots.items() if name != "boil_left"}
        return replace(command, slots=slots, sure=min(command.sure, HALF_SURE))
    if command.act == "why" and any(f" {ask} " in f" {sentence.lower()} " for ask in ("how long", "how much", "how many")):
        return replace(command, sure=min(command.sure, HALF_SURE))
    said = command.slots.get("topic") if command.act == "safety" else None
    rule = knowledge.cautions().get(knowledge.phrases("cautions").get(str(said), str(said)))
    if rule is None or not rule.hurt:
        return command
    words = split(sentence)
    has, key = _index().has, ("cautions", rule.id)
    strange = any(key not in has.get(word, {}) for word in _telling(words))
    return replace(command, sure=min(command.sure, GUESS)) if strange and not clues_heard(rule.when, words) else command


def _off_its_time(words: Sequence[str]) -> bool:
    """Whether minutes tell how late or how early something went in."""
    plain = f" {' '.join(words)} "
    return any(f" {unit} {off} " in plain for unit in ("minute", "minutes", "min", "mins") for off in ("late", "too late", "early", "too early", "behind"))


def undecided(commands: Sequence[Command], sentence: str) -> bool:
    """Whether the words may mean something else than what was read last: only then are they looked up."""
    words = split(sentence)
    tells = len(set(_telling(words))) >= EVIDENCE
    asking = _put(words) not in REPORTED
    if _put(words) == "naming" and is_harmless(commands[-1].act) and commands[-1].sure < PLAIN:
        return tells
    return _open(commands[-1], asking, tells) and all(command.sure >= LINE for command in commands[:-1])


def found(commands: Sequence[Command], sentence: str, stage: str) -> Found:
    """The commands as they are, or what the words mean where these are no more than a guess, or a question without an entry.

    What records is left alone; only a question that follows it and names nothing is looked up.
    """
    fits = recommending.asked_for(sentence) if len(commands) == 1 and _gives_way(commands[0]) else None
    if fits:
        return Found([fits])
    if not undecided(commands, sentence):
        return Found(list(commands))
    kept, last = commands[:-1], commands[-1]
    if _takes_a_number(last):
        return Found(list(commands))
    words = split(sentence)
    report = _put(words) in REPORTED
    ranked = heard(words, stage)
    best = ranked[0] if ranked else None
    if best is None or best.fit < WEAK:
        return Found(list(commands))
    apart = _apart(ranked)
    near = [each for each in apart if each.fit >= max(MAYBE, best.fit * APART)][:OFFERED]
    told = Found([*kept, best.entry.command(sentence, finding.TOLD)])
    sure = _surely(best, apart[1].fit if len(apart) > 1 else 0.0, report)
    if last.sure >= LINE and last.act != "unclear" and not finding.unknown(last) and _names_something(last):
        stays = last.sure >= PLAIN and not _elsewhere(last, stage) or not sure or _fit_of(last, ranked) > min(SURE, best.fit * AGAINST) or _of_danger(last)
        if stays and not (last.sure < GUESSED and best.fit >= MAYBE and _fit_of(last, ranked) < WEAK and not report):
            return Found(list(commands))
    if report and last.act in RECORDING and finding.NEAREST <= last.sure < LINE:
        telling = not kept and best.fit >= BESIDE and (best.speaks >= MANY or best.fit >= SURE_REPORT)
        return Found([], either=(best.entry.command(sentence), replace(last, sure=1.0))) if telling else Found(list(commands))
    if sure and len(near) == 1:
        return told
    least = REPORT if last.act == "unclear" or finding.unknown(last) or last.sure >= LINE else BESIDE
    if kept or last.act in RECORDING - LOOSE and last.sure >= finding.NEAREST or report and (best.fit < least or best.speaks < EVIDENCE):
        return Found(list(commands))
    offered = tuple(each.entry.command(sentence) for each in apart[:OFFERED] if each.fit >= max(WEAK, best.fit * SECOND))
    if best.fit >= MAYBE:
        return Found([], either=offered)
    return Found(list(commands)) if finding.unknown(last) else Found([], nearest=offered)


def _takes_a_number(command: Command) -> bool:
    """Whether a sum, however unsure, is to be done with a number said: an entry would leave it out."""
    told = any(isinstance(value, list) for value in command.slots.values())
    return command.act.startswith("ask_") and command.sure >= finding.NEAREST and told


def _surely(best: Heard, next_fit: float, report: bool) -> bool:
    """Whether an entry fits well, or, in a long sentence, far better than any other and by many words."""
    if best.speaks >= EVIDENCE and best.fit >= (SURE_REPORT if report else SURE):
        return True
    return best.speaks >= (MANY_REPORT if report else MANY) and best.fit >= (FAIR_REPORT if report else FAIR) and next_fit <= ALONE * best.fit


def _apart(ranked: Sequence[Heard]) -> list[Heard]:
    """Those that tell different things: of entries about one matter only the likeliest."""
    apart: list[Heard] = []
    for each in ranked[:NEAREST]:
        if not any(each.key in _alike(other.key) or other.key in _alike(each.key) for other in apart):
            apart.append(each)
    return apart


@cache
def _alike(key: Key) -> frozenset[Key]:
    """The entries that tell the same matter as this one: those of its name, and those it refers to."""
    entry: Any = load(key[0])[key[1]]
    found = {(topic, entry.id) for topic in TOPICS}
    found |= {("beliefs", entry.belief)} if getattr(entry, "belief", "") else set()
    found |= {("whys", id) for id in getattr(entry, "whys", ())}
    found |= {(topic, id) for id in getattr(entry, "alike", ()) for topic in TOPICS}
    found |= {(topic, phrase) for phrase in entry.phrases for topic in TOPICS if phrase in load(topic)}
    if key[0] == "terms":
        found |= {("terms", id) for id in load("terms") if set(id.split()) < set(entry.id.split())}
    return frozenset(found)


def _open(command: Command, asking: bool, tells: bool) -> bool:
    """Whether another reading may take its place: a guess, or a question told by the knowledge base.

    A guess that would record something stays one, to be asked about, unless the sentence tells enough of something else.
    """
    if command.act in LOOSE:
        return asking
    if command.act == "help":
        return tells  # a cry for help beside what is the matter
    if command.act in RECORDING:
        return command.sure < (LINE if tells else finding.NEAREST)
    if command.rivals or command.impossible:
        return False  # which of two sums is meant is asked; what cannot be is refused
    if command.act == "why" and not command.slots and command.sure >= LINE:
        return False  # the reason of what was told last
    if command.act == "unclear" or command.act in finding.TOPIC_OF:
        return True
    return command.sure < (finding.CLEAR if is_harmless(command.act) else LINE if tells else finding.NEAREST)


def _gives_way(command: Command) -> bool:
    """Whether a reading gives way to naming what fits a purpose: it tells of a whole kind, or lacks every fact."""
    guess = command.sure < LINE and command.act not in RECORDING
    return guess or command.act == "about" or is_harmless(command.act) and not command.slots


def _names_something(command: Command) -> bool:
    return bool(command.slots) or command.act not in finding.TOPIC_OF


def _fit_of(command: Command, ranked: Sequence[Heard]) -> float:
    """How well the entry fits that a command names."""
    named = {str(value) for value in command.slots.values() if isinstance(value, str)}
    ids = {id for topic in TOPICS for name in named for id in (name, knowledge.phrases(topic).get(name)) if id}
    ids |= {STUCK} if "gravity" in command.slots and command.act == "troubleshoot" else set()
    return max((each.fit for each in ranked if each.id in ids), default=0.0)


def _elsewhere(command: Command, stage: str) -> bool:
    """Whether the entry that a command names belongs to other stages than this one and those beside it."""
    if not stage or command.act not in finding.TOPIC_OF:
        return False
    topic = finding.TOPIC_OF[command.act]
    id = str(command.slots.get(finding.SLOT_OF[topic][1]))
    home = _index().home.get((topic, knowledge.phrases(topic).get(id, id)), frozenset())
    return _near(home, stage) == ELSEWHERE


def _of_danger(command: Command) -> bool:
    if command.act == "safety":
        return finding.warns_of_danger(command)
    trouble = knowledge.troubles().get(str(command.slots.get("symptom")))
    return trouble is not None and trouble.danger


# --- Words


_HEARD_SAY = frozenset(
    """no tru truth heard read told say said alway myth work grandpa fact believ swear claim somebod someon peopl everybod everyon old wiv friend
    budd uncl dad brother neighbor guy supposed""".split()
)
"""What is left of the words that tell of hearsay."""

_CALLED = frozenset(["cal", "nam", "name", "word", "term"])
"""What is left of the words that ask for a name."""


def _telling(words: Iterable[str]) -> Iterator[str]:
    """The words that count, alike whatever their ending; numbers tell no entry."""
    for word in words:
        if word in NEGATED:
            yield NO
        elif word not in EMPTY and word not in _NUMBERS and not word[0].isdigit():
            stem = _stem(word)
            yield _kin().get(stem, stem)


@cache
def _stem(word: str) -> str:
    """A word without its ending, roughly: only words of this knowledge base need to meet."""
    for ending, least in (("ing", 3), ("ies", 3), ("ied", 3), ("ed", 3), ("es", 4), ("ly", 4), ("er", 4), ("y", 4), ("s", 3), ("e", 3)):
        if word.endswith(ending) and len(word) - len(ending) >= least and not word.endswith("ss"):
            word = word.removesuffix(ending)
            break
    return word[:-1] if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "aeiou" else word


@cache
def _kin() -> Mapping[str, str]:
    """For each word said for another one, that one."""
    return {_stem(word): _stem(row.id) for row in knowledge.kin().values() for word in row.words}


# --- Numbers

WARMTH: Mapping[str, tuple[float, float]] = {
    "steeping": (145, 171), "chilling": (55, 80), "topping-up": (58, 78), "pitching": (58, 78), "fermenting": (58, 76), "checking": (58, 76),
    "conditioning": (60, 80),
}
"""Degrees Fahrenheit beyond which it is cold or warm in a stage; common practice, no source."""

COUNTED = frozenset(
    """minute minutes min mins hour hours second seconds day days week weeks month months year years ounce ounces oz pound pounds lb lbs gallon
    gallons quart quarts cup cups liter liters gram grams bottle bottles ibu ibus percent psi point points dollar dollars times
    batches beers pm am""".split()
)
"""What a number is of that is no temperature."""


def _against_the_plan(words: Sequence[str]) -> str | None:
    """Whether a gravity is too high or too low, where two are told and one of them is what it should be."""
    meant = next((at for at, word in enumerate(words) if word in ("should", "supposed", "expected", "instead", "not") or word == "recipe"), None)
    told = [(at, float(word)) for at, word in enumerate(words) if word[0].isdigit() and "." in word and 0.98 <= float(word) <= 1.2]
    if meant is None or len(told) != 2:
        return None
    (first, one), (_, other) = told
    have, want = (one, other) if first < meant else (other, one)
    return "high" if have > want else "low" if have < want else None


def _told_by_numbers(words: Sequence[str], stage: str) -> Iterator[str]:
    """What a number is about by its size alone: a gravity, or a temperature and whether that is cold or warm in this stage."""
    against = _against_the_plan(words)
    yield from (against,) if against else ()
    for at, word in enumerate(words):
        value = _value(word, words[at + 1 : at + 2])
        after = next(iter(words[at + (2 if word in TENS and words[at + 1 : at + 2] and words[at + 1] in ONES else 1) :]), "")
        if value is None or after in COUNTED:
            continue
        if 0.98 <= value <= 1.2 and "." in word or 1000 <= value <= 1160:
            yield "gravity"
        elif 32 <= value <= 215 and stage in WARMTH:
            low, high = WARMTH[stage]
            yield from ("temperature", *(["cold"] if value < low else ["warm"] if value > high else []))


def _value(word: str, after: Sequence[str]) -> float | None:
    """The number a word is, or opens: `52`, `fifty two`."""
    if word in TENS:
        return TENS[word] + (ONES.get(after[0], 0) if after else 0)
    try:
        return float(word)
    except ValueError:
        return None


# --- The index


_folder: list[Path] = []
"""Where the index is kept between runs; none until that is said."""


def keep_in(folder: Path | None) -> None:
    """Say where the index lies or is put, which saves a quarter of a second at the first question."""
    _folder[:] = [folder] if folder else []


@cache
def _index() -> _Index:
    return kept("asked", made_of(), index, _folder[0] if _folder else None)


def made_of() -> str:
    """All that the index depends on."""
    return "\n".join([knowledge.text(), program_text(), Path(__file__).read_text(encoding="utf-8")])


def index() -> _Index:
    """What the words of all entries say."""
    names: dict[Key, tuple[frozenset[str], ...]] = {}
    texts: dict[Key, dict[str, float]] = {}
    whole: dict[str, list[Key]] = defaultdict(list)
    looks: dict[str, dict[Key, float]] = defaultdict(dict)
    things: dict[str, list[Key]] = defaultdict(list)
    for topic in TOPICS:
        for id, entry in load(topic).items():
            told, put = ([frozenset(_telling(split(phrase))) for phrase in phrases] for phrases in (entry.phrases, entry.asked))
            names[topic, id] = tuple(dict.fromkeys(name for name in (*told, *put) if name))
            has_words: dict[str, float] = {}
            for word, much in _words_of(entry, told, put):
                has_words[word] = max(much, has_words.get(word, 0.0))
            texts[topic, id] = has_words
            if topic == "terms":
                for word, much in _looks_of(entry):
                    looks[word][topic, id] = max(much, looks[word].get((topic, id), 0.0))
            if topic in THINGS:
                for phrase in (*entry.phrases, *entry.asked):
                    things[" ".join(split(phrase))].append((topic, id))
            for phrase in entry.asked:
                whole[f" {' '.join(split(phrase))} "].append((topic, id))
    seen = Counter(word for words in texts.values() for word, much in words.items() if much >= SAID)
    many = len(texts)
    weight = {word: log(1 + many / (seen[word] + 1)) for word in looks.keys() | {word for words in texts.values() for word in words}}
    has: dict[str, dict[Key, float]] = defaultdict(dict)
    for key, words in texts.items():
        for word, much in words.items():
            has[word][key] = much
    wordings = {phrase: tuple(keys) for phrase, keys in whole.items() if phrase.count(" ") > WORDING}
    called = {name: tuple(keys) for name, keys in things.items()}
    return _Index(weight, dict(has), names, wordings, called, dict(looks), _homes(), max(weight.values()))


def _words_of(entry: Any, *names: Sequence[frozenset[str]]) -> Iterator[tuple[str, float]]:
    """Each word of an entry with how prominently it stands there; `names` in kinds, each weighed by itself."""
    rest = [getattr(entry, field, ()) for field in ("more", "why", "goes_wrong", "done_when", "how", "likely", "check", "believed")]
    body = " ".join(each if isinstance(each, str) else " ".join(each) for each in rest)
    said = " ".join(getattr(entry, field, "") for field in ("say", "do", "if_happened"))
    clues = " ".join(
        clue.replace("|", " ").replace("*", "").replace("~", "")
        for row in getattr(entry, "when", ()) for group in row.words for clue in group
    )
    yield from ((word, BODY) for word in _telling(split(body)))
    yield from ((word, SAID) for word in _telling(split(f"{said} {clues}")))
    for some in names:
        told = Counter(word for name in some for word in name)
        yield from ((word, min(NAMED, RARELY + 2 * (NAMED - RARELY) * many / len(some))) for word, many in told.items())


def _looks_of(term: Any) -> Iterator[tuple[str, float]]:
    """Each word a thing may be described by, with how much it counts."""
    yield from ((word, TOLD_OF) for word in _telling(split(term.more)))
    yield from ((word, CALLED_SO) for phrase in (*term.phrases, *term.asked) for word in _telling(split(phrase)))
    yield from ((word, DESCRIBED) for word in _telling(split(f"{term.looks} {term.say}")))


def _homes() -> Mapping[Key, frozenset[str]]:
    found: dict[Key, set[str]] = defaultdict(set)
    for stage in knowledge.stages().values():
        for topic in ("troubles", "whys", "how_tos", "beliefs", "cautions"):
            for id in getattr(stage, topic):
                found[topic, id].add(stage.id)
    for step in knowledge.steps().values():
        found["steps", step.id].add(step.stage)
    for answer in knowledge.answers().values():
        found["answers", answer.id].update(answer.stages)
    return {(topic, id): frozenset(found[topic, id]) for topic in TOPICS for id in load(topic)}
