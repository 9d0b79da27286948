"""From the brewer's own words to the entries of the knowledge base they may mean, and how sure that is.

Two ways: clues an entry names (`when`, as in cautions), which may stand anywhere in a sentence; and likeness to titles and
other names. A wrong match is worse than a question, so of two that are near each other neither is taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from rapidfuzz import fuzz, process

import knowledge
from assistant.clues import clues_heard, ruled_out
from grammar.command import LINE, RECORDING, Command, is_statement
from grammar.files import ANSWERS
from grammar.words import split
from knowledge.loader import load

SURE_MATCH = 88.0
"""Of 100: below this a phrase is not taken for an entry."""

APART = 6.0
"""So much likelier than the next the best must be to be taken."""

NEAR = 78.0
"""Below this it is not even worth a question."""

NEAR_WHOLE = 82.0
"""The same for a whole sentence that the grammar made nothing of."""

OFFERED = 3
"""Entries named in a question or as the nearest; more cannot be kept in mind when read aloud."""

TOLD = 0.8
"""How sure a sentence is understood by clues; above the line, below what the grammar reads whole."""

NEAREST = 0.3
"""A guess less sure than this is not even worth asking about."""

CLEAR = 0.75
"""A harmless reading of the grammar less sure than this gives way to clues."""

SMALL = frozenset(
    """a an the my our your this that these those i we you he she they it me us is are was were be been am do does did has have
    had of on in at to for with and or but so just there here really very quite some any about , ? what why how can could should
    would will""".split()
)
"""Words that do not tell one entry from another."""

POLES = frozenset(
    """hot cold warm cool high low many few much little early late long short dark pale light sweet bitter strong weak big small
    full empty fast slow old young wet dry open closed before after over under not no never without""".split()
)
"""Words of which one more or less turns the meaning round, however alike the rest is."""

PARTICULAR = 3
"""Clues that together are more particular than a phrase in the sentence."""

SLOT_OF = {"troubles": ("troubleshoot", "symptom"), "beliefs": ("belief", "topic"), "whys": ("why", "topic"),
           "how_tos": ("how_to", "topic"), "terms": ("define", "topic"), "cautions": ("safety", "topic")}
"""Which act tells an entry of a topic, and the slot that names it."""

TOPIC_OF = {act: topic for topic, (act, _) in SLOT_OF.items()}

TOLD_BY = {
    **SLOT_OF, "steps": SLOT_OF["how_tos"], "answers": SLOT_OF["how_tos"], "ingredients": ("about", "ingredient"), "styles": ("about_style", "style"),
}
"""The same for every topic an entry may be told of; several may be told by one act."""

FURTHER = {"how_to": ("steps", "answers"), "define": ("ingredients", "styles")}
"""Where the answer to an act looks besides its own topic."""

OTHER_TOPIC = {"safety": "cautions"}
"""Where a question may be turned to, when its own topic has nothing; for the others, to beliefs."""

OWN = frozenset("i my it we our this there is beer tastes smells".split())
"""Of what is told without one of these the clues, which look less closely than the grammar, say nothing: it holds at large."""

TALES = (
    "last time", "last spring", "last fall", "last summer", "last winter", "last batch", "time before", "years ago", "in college",
    "in spring", "in summer", "back in", "back at", "first batch", "first brew", "used to", "every time", "buddy", "neighbor",
    "neighbors", "my brother", "my uncle", "my cousin", "dad", "grandpa", "grandma", "roommate", "some guy", "some people",
    "theirs", "root beer", "remember", "for the record", "note", "suppose", "imagine", "pretend", "promise", "came close",
    "nearly forgot", "i nearly", "i once", "we once", "i almost", "we almost", "he almost", "she almost", "about to", "was going to",
    "in case", "i would never", "i would not", "we would never",
)
"""What is told with one of these did not happen here and now."""

TELLERS = frozenset("if they he she almost nearly".split())
"""Words that open a statement about what might be, or about others."""

HEARSAY = frozenset("says say said told tells heard true myth supposedly kit instructions read believe".split())
"""What is told with one of these is asked about, even where it is put as a statement."""


@dataclass(frozen=True)
class Entry:
    """An entry of the knowledge base by its place."""

    topic: str
    id: str

    def command(self, heard: str, sure: float = 1.0) -> Command:
        """The command that tells it."""
        act, slot = TOLD_BY[self.topic]
        return Command(act, {slot: self.id}, sure, heard)


@dataclass(frozen=True)
class Match:
    """What some words mean: one entry, or those to ask about, or only the nearest."""

    entry: Entry | None = None
    either: tuple[Entry, ...] = ()
    nearest: tuple[Entry, ...] = ()


# --- By likeness


def match(words: str, topics: Iterable[str]) -> Match:
    """What a phrase means among these topics."""
    topics = tuple(topics)
    for topic in topics:
        if words in knowledge.phrases(topic):
            return Match(Entry(topic, knowledge.phrases(topic)[words]))
    told = _telling(words)
    ranked = _ranked(told, topics)
    if not ranked:
        return Match()
    best, (entry, phrase) = ranked[0]
    rivals = [other for likeness, (other, _) in ranked if likeness > best - APART and other != entry]
    if best >= SURE_MATCH and not rivals and _poles(told) == _poles(phrase):
        return Match(entry)
    near = [
        other for likeness, (other, like) in ranked
        if likeness >= max(NEAR, best - APART) and not _opposed(_poles(told), _poles(like))
    ]
    return Match(either=_apart(near), nearest=_apart(other for _, (other, _) in ranked))


def near_whole(words: str) -> tuple[Entry, ...]:
    """The entries that a sentence nobody understood is like as a whole; most often none."""
    told = _telling(words)
    if len(told.split()) < 2:
        return ()
    ranked = _ranked(told, tuple(SLOT_OF))
    best = ranked[0][0] if ranked else 0.0
    return _apart(entry for likeness, (entry, _) in ranked if likeness >= max(NEAR_WHOLE, best - APART))


def _apart(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Those worth offering: no two of one name."""
    named = {entry.id: entry for entry in reversed(list(entries))}
    return tuple(reversed(named.values()))[:OFFERED]


def _ranked(told: str, topics: Sequence[str]) -> list[tuple[float, tuple[Entry, str]]]:
    """The entries with their likest phrase, the likest first."""
    best: dict[Entry, tuple[float, str]] = {}
    for topic in topics:
        for phrase, likeness, key in process.extract(told, _phrases(topic), scorer=fuzz.token_sort_ratio, limit=40):
            entry = Entry(topic, knowledge.phrases(topic)[key])
            if likeness > best.get(entry, (0.0, ""))[0]:
                best[entry] = likeness, phrase
    found = [(likeness, (entry, phrase)) for entry, (likeness, phrase) in best.items()]
    return sorted(found, key=lambda row: -row[0])


@cache
def _phrases(topic: str) -> Mapping[str, str]:
    """What tells in each phrase of the topic."""
    return {phrase: _telling(phrase) for phrase in knowledge.phrases(topic)}


def _telling(words: str) -> str:
    kept = [word for word in words.split() if word not in SMALL]
    return " ".join(kept) or words


def _poles(words: str) -> frozenset[str]:
    return POLES.intersection(words.split())


def _opposed(one: frozenset[str], other: frozenset[str]) -> bool:
    return bool(one and other) and one.isdisjoint(other)


# --- By clues


def heard_in(words: Sequence[str]) -> list[Entry]:
    """The entries whose clues the words hold whole, of those only the ones with the most clues.

    A tale of somebody else or of another time is no trouble; a belief wants a question, or word of who says so.
    """
    tale = is_tale(words)
    topics = [
        *(() if tale else ("troubles",)),
        *(() if (tale or is_statement(words)) and HEARSAY.isdisjoint(words) else ("beliefs",)),
    ]
    counted = [
        (clues_heard(entry.when, words), Entry(topic, entry.id))
        for topic in topics for entry in load(topic).values() if entry.when
    ]
    most = max((count for count, _ in counted), default=0)
    return [entry for count, entry in counted if count == most] if most else []


def is_tale(words: Sequence[str]) -> bool:
    """Whether it is told of another time, or of others."""
    heard = f" {' '.join(words)} "
    return any(f" {phrase} " in heard for phrase in TALES) or words[0] in TELLERS and (words[0] != "if" or is_statement(words))


# --- Beside the grammar


def mended(commands: Sequence[Command], heard: str) -> list[Command]:
    """The commands of the grammar, or what the clues tell where it read nothing, was unsure, or found no entry.

    What was surely told to be logged stays, and a trouble told with it is answered after it.
    """
    first, sure = commands[0], min(command.sure for command in commands)
    if first.act in ANSWERS or _keeps(commands, sure):
        return list(commands)
    found = heard_in(split(heard))
    if not found and len(commands) == 1 and _plainly_told(first, heard):
        return [replace(first, sure=LINE)]
    if not found:
        return [_by_likeness(first), *commands[1:]] if sure >= LINE and first.act in TOPIC_OF else list(commands)
    if sure >= LINE and first.act == "safety" and not first.slots and not _worth_turning_to(found):
        return list(commands)
    told, many = _told(found, heard), _clues(found, heard)
    if first.act in TOPIC_OF and sure >= LINE:
        if names_entry(first):
            if first.act == "safety":
                return [told] if many >= PARTICULAR and not warns_of_danger(first) else list(commands)
            stays = _among(first, found) or many < PARTICULAR and not _ruled_out(first, heard)
            return list(commands) if stays else [told]
        return [replace(first, slots=dict(told.slots))] if first.act == "why" and told.act == "belief" else [told]
    if first.act == "troubleshoot" and len(commands) == 1 and _among(first, found) and OWN.isdisjoint(split(heard)):
        return list(commands)
    if sure >= LINE and first.act.startswith("log_"):
        return [*commands, told] if found[0].topic == "troubles" else list(commands)
    if first.act == "about" and many < PARTICULAR:
        return list(commands)
    numbers = any(isinstance(value, list) for value in first.slots.values())
    return list(commands) if sure >= LINE and numbers and many < PARTICULAR else [told]


def _worth_turning_to(found: Sequence[Entry]) -> bool:
    """Whether these tell more than what is dangerous at large: what is believed, or a trouble that may hurt someone."""
    return all(entry.topic == "beliefs" or knowledge.troubles()[entry.id].danger for entry in found)


def _plainly_told(command: Command, heard: str) -> bool:
    """Whether the grammar heard the name of a trouble as it is, however strange the words around it.

    A trouble is only answered, so what is odd beside it need not be asked about.
    """
    words = split(heard)
    if command.act != "troubleshoot" or not NEAREST <= command.sure < LINE or OWN.isdisjoint(words) or is_tale(words):
        return False
    trouble = knowledge.troubles().get(str(command.slots.get("symptom")))
    return trouble is not None and all(meant not in trouble.phrases for _, meant in command.repairs)


def _keeps(commands: Sequence[Command], sure: float) -> bool:
    """Whether no clue could change what the grammar read."""
    first = commands[0]
    if sure < LINE or first.act.startswith("log_"):
        return False
    if first.act in TOPIC_OF:
        return first.act in ("define", "why") and names_entry(first)
    return first.act != "about" and (sure >= CLEAR or first.act in RECORDING)


def warns_of_danger(command: Command) -> bool:
    entry = match(str(command.slots.get("topic", "")), ("cautions",)).entry
    return entry is not None and knowledge.cautions()[entry.id].grave == "danger"


def _ruled_out(command: Command, heard: str) -> bool:
    """Whether the sentence says what the trouble the grammar read does not bear."""
    entry = match(str(command.slots.get("symptom", "")), ("troubles",)).entry if command.act == "troubleshoot" else None
    return entry is not None and ruled_out(knowledge.troubles()[entry.id].when, split(heard))


def _clues(found: Sequence[Entry], heard: str) -> int:
    return max(clues_heard(load(entry.topic)[entry.id].when, split(heard)) for entry in found)


def _among(command: Command, found: Sequence[Entry]) -> bool:
    """Whether what the grammar read is one of those the clues tell."""
    said = command.slots.get("symptom")
    return "gravity" in command.slots or any(
        said == entry.id or said in load(entry.topic)[entry.id].phrases for entry in found
    )


def unknown(command: Command) -> bool:
    """Whether a question names something there is nothing on, so that to ask whether it was meant helps nobody."""
    return command.act in TOPIC_OF and bool(command.slots) and not names_entry(command)


def _told(found: Sequence[Entry], heard: str) -> Command:
    """The command for the one entry; where there are several, one without a name, for the handler to ask."""
    if len(found) == 1:
        return found[0].command(heard, TOLD)
    return Command(SLOT_OF[found[0].topic][0], {}, TOLD, heard)


def _by_likeness(command: Command) -> Command:
    """A question about words that its own topic has nothing on, turned to one that has; a why stays one."""
    said = command.slots.get(SLOT_OF[TOPIC_OF[command.act]][1])
    entry = match(str(said), (OTHER_TOPIC.get(command.act, "beliefs"),)).entry if said else None
    if entry is None:
        return command
    return replace(entry.command(command.heard, command.sure), act=command.act if command.act == "why" else SLOT_OF[entry.topic][0])


def names_entry(command: Command) -> bool:
    """Whether a question names an entry there is."""
    topic = TOPIC_OF[command.act]
    said = command.slots.get(SLOT_OF[topic][1])
    if not said:
        return "gravity" in command.slots
    topics = (topic, *FURTHER.get(command.act, ()))
    return any(said in load(topic) or match(str(said), (topic,)).entry for topic in topics)
