"""From the files of a topic to its entries, checked; a faulty entry is refused with its file and its name."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import MISSING, Field, dataclass, fields
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, cast

from knowledge.entries import (
    KINDS,
    Answer,
    Belief,
    Caution,
    Day,
    Family,
    Given,
    HowTo,
    Kin,
    Source,
    Stage,
    Step,
    Style,
    Term,
    Trouble,
    When,
    Why,
)
from knowledge.errors import KnowledgeError
from knowledge.fields import READERS, opened, texts

FOLDER = Path(__file__).parent

Table = dict[str, Any]


@dataclass(frozen=True)
class Topic:
    """The files a topic is read from, and what its entries are."""

    files: tuple[str, ...]
    holds: type | Mapping[str, type]
    """The class of its entries, or a class for each `kind` an entry may name."""
    section: str = ""
    """The table its entries stand under, in a file shared by several topics."""


ROWS: dict[str, type] = {"tuple[When, ...]": When, "tuple[Given, ...]": Given}
"""The class of each row of a field that is declared as a list of tables."""

UNCONDITIONAL = frozenset({"unless", "cause", "say"})
"""Fields of a row that do not make it hold."""

INGREDIENTS = ("hops", "fermentables", "yeast", "finings", "salts", "sanitizers", "extras")

TOPICS: dict[str, Topic] = {
    "sources": Topic(("sources.toml",), Source),
    "ingredients": Topic(tuple(f"ingredients/{name}.toml" for name in INGREDIENTS), KINDS),
    "styles": Topic(("styles.toml",), Style),
    "terms": Topic(("terms.toml",), Term),
    "steps": Topic(("steps.toml",), Step, "step"),
    "days": Topic(("steps.toml",), Day, "day"),
    "whys": Topic(("steps.toml",), Why, "why"),
    "how_tos": Topic(("steps.toml",), HowTo, "how"),
    "troubles": Topic(("troubles.toml",), Trouble),
    "cautions": Topic(("cautions.toml",), Caution),
    "beliefs": Topic(("beliefs.toml",), Belief),
    "answers": Topic(("answers.toml",), Answer),
    "stages": Topic(("stages.toml",), Stage),
    "kin": Topic(("kin.toml",), Kin),
    "families": Topic(("families.toml",), Family),
}


@dataclass(frozen=True)
class Place:
    """Where an entry stands, and the references met on the way, to be looked up once all are read."""

    file: str
    entry: str
    wanted: list[tuple[Place, str, str]]
    """Where, in which topic, which id."""
    folder: Path

    def refuse(self, wrong: str, works: str) -> KnowledgeError:
        return KnowledgeError(self.file, self.entry, wrong, works)


_taken: dict[str, Mapping[str, Any]] = {}


def take(entries: Mapping[str, Mapping[str, Any]]) -> None:
    """Entries that `everything` once gave, and that need not be read from their files again."""
    _taken.update(entries)


def everything() -> dict[str, dict[str, Any]]:
    """The entries of every topic, as they may be kept."""
    return {topic: dict(load(topic)) for topic in TOPICS}


@cache
def load(topic: str, folder: Path = FOLDER) -> Mapping[str, Any]:
    """The entries of a topic by id, in the order of its files.

    Raises KnowledgeError when a file cannot be read, or an entry lacks a field (its source, say), has an
    unknown field, a value of the wrong type, an id no entry has, or a phrase another entry of the topic has.
    """
    if folder == FOLDER and topic in _taken:
        return MappingProxyType(_taken[topic])
    found: dict[str, Any] = {}
    claimed: dict[str, Place] = {}
    wanted: list[tuple[Place, str, str]] = []
    for file in TOPICS[topic].files:
        for id, table in tables(file, TOPICS[topic].section, folder):
            place = Place(file, id, wanted, folder)
            entry = build(entry_class(TOPICS[topic], table, place), {"id": id, **table}, place)
            claim(entry.phrases, place, claimed)
            found[id] = entry
    for place, there, id in wanted:
        if id not in (found if there == topic else load(there, folder)):
            raise place.refuse(f"no {id!r} among the {there}", "add it there or mend the reference")
    return MappingProxyType(found)


@cache
def phrases(topic: str) -> Mapping[str, str]:
    """Every phrase of a topic, and the id of the entry it means."""
    return MappingProxyType({phrase: id for id, entry in load(topic).items() for phrase in entry.phrases})


@cache
def text() -> str:
    """Everything as it is written, the program that reads it included: with the same text, the same knowledge."""
    paths = sorted(path for path in FOLDER.rglob("*") if path.suffix in (".toml", ".py"))
    return "\n".join(path.read_text(encoding="utf-8") for path in paths)


@cache
def document(file: str, folder: Path) -> Table:
    try:
        return tomllib.loads((folder / file).read_text(encoding="utf-8"))
    except OSError as fault:
        raise KnowledgeError(file, "", f"cannot be read ({fault.strerror})", "put the file back") from fault
    except ValueError as fault:  # broken TOML as well as broken UTF-8
        raise KnowledgeError(file, "", f"is not TOML ({fault})", "mend the file") from fault


def tables(file: str, section: str, folder: Path) -> Iterator[tuple[str, Table]]:
    """The entries of a file as written; fields at its top hold for each entry that does not say otherwise."""
    whole = document(file, folder)
    if section:
        strays = whole.keys() - {topic.section for topic in TOPICS.values() if file in topic.files}
        if strays:
            wrong = f"no topic reads the section {', '.join(sorted(strays))}"
            raise KnowledgeError(file, "", wrong, "mend its name")
        whole = whole.get(section, {})
    shared = {name: value for name, value in whole.items() if not isinstance(value, dict)}
    if "source" in shared:
        raise KnowledgeError(file, "", "has a source for the whole file", "name the source in every entry")
    for id, table in whole.items():
        if isinstance(table, dict):
            yield id, {**shared, **table}


def entry_class(topic: Topic, table: Table, place: Place) -> type:
    if isinstance(topic.holds, type):
        return topic.holds
    kind = str(table.get("kind"))
    if kind not in topic.holds:
        raise place.refuse(f"the kind is {kind!r}", f"write one of {', '.join(topic.holds)}")
    return topic.holds[kind]


def build(cls: type, table: Table, place: Place) -> Any:
    """An entry of the class, each value read as its field is declared."""
    known = {field.name: field for field in fields(cls)}
    for name in table:
        if name not in known:
            raise place.refuse(f"unknown field {name!r}", f"it may have {', '.join(known)}")
    for name, field in known.items():
        if name not in table and field.default is MISSING:
            raise place.refuse(f"the {name} is missing", "every entry needs it")
    return cls(**{name: value(known[name], told, place) for name, told in table.items()})


def value(field: Field[Any], told: object, place: Place) -> Any:
    if field.type in ROWS:
        return rows(ROWS[str(field.type)], field.name, told, place)
    try:
        read = READERS[str(field.type)](told)
    except ValueError as fault:
        wrong, works = fault.args
        raise place.refuse(f"the {field.name} {wrong}", works) from fault
    if field.type == "Clues":
        return opened(cast("tuple[tuple[str, ...], ...]", read), lambda name: family(name, place))
    if field.metadata:
        for id in texts(told):
            check(field, id, place)
    return read


def family(name: str, place: Place) -> tuple[str, ...]:
    """The words a clue means by <name>."""
    found = load("families", place.folder).get(name)
    if found is None:
        raise place.refuse(f"no {name!r} among the families", "add it there or mend the clue")
    return tuple(found.choices)


def check(field: Field[Any], id: str, place: Place) -> None:
    """Refuses a text the field may not hold; references wait until everything is read."""
    if "refers" in field.metadata:
        place.wanted.append((place, field.metadata["refers"], id))
    elif id not in field.metadata["one_of"]:
        allowed = ", ".join(field.metadata["one_of"])
        raise place.refuse(f"the {field.name} is {id!r}", f"write one of {allowed}")


def rows(cls: type, name: str, told: object, place: Place) -> tuple[Any, ...]:
    """A list of tables, each with one condition at least: a row without any would always hold."""
    found = told if isinstance(told, list) else []
    if not found or not all(isinstance(row, dict) and row.keys() - UNCONDITIONAL for row in found):
        written = "{words = ...}" if cls is When else "{days_under = 2, ...}"
        raise place.refuse(f"the {name} has no condition, so it would always hold", f"write [{written}, ...]")
    return tuple(build(cls, row, place) for row in found)


def claim(said: tuple[str, ...], place: Place, claimed: dict[str, Place]) -> None:
    for phrase in said:
        if phrase in claimed:
            other = claimed[phrase]
            taken = f"{phrase!r} is taken by {other.entry!r} in {other.file}"
            raise place.refuse(taken, "give it to one of them")
        claimed[phrase] = place
