"""What the program knows: facts and rules as TOML, each with its source, read topic by topic when asked for.

Read in this order:

1. `entries.py`  what an entry of each topic holds
2. `fields.py`   how one value is read
3. `errors.py`   how a faulty entry is refused
4. `loader.py`   from files to entries
5. the `.toml` files, each of which explains its own format at its top
"""

from __future__ import annotations

from collections.abc import Mapping

from knowledge.entries import (
    GRAVITY,
    Addition,
    Answer,
    Belief,
    Caution,
    Day,
    Fermentable,
    Fruit,
    Given,
    Hop,
    HowTo,
    Ingredient,
    Kin,
    Salt,
    Sanitizer,
    Source,
    Stage,
    Step,
    Style,
    Term,
    Trouble,
    When,
    Why,
    Yeast,
)
from knowledge.errors import KnowledgeError
from knowledge.fields import Amount, Range
from knowledge.loader import TOPICS, everything, load, phrases, take, text

__all__ = [
    "GRAVITY", "TOPICS", "Addition", "Amount", "Answer", "Belief", "Caution", "Day", "Fermentable", "Fruit", "Given", "Hop", "HowTo",
    "Ingredient", "Kin", "KnowledgeError", "Range", "Salt", "Sanitizer", "Source", "Stage", "Step", "Style", "Term", "Trouble", "When",
    "Why", "Yeast", "answers", "beliefs", "cautions", "days", "everything", "how_tos", "ingredients", "kin", "phrases", "sources", "stages", "steps",
    "styles", "take", "terms", "text", "troubles", "whys",
]


def sources() -> Mapping[str, Source]:
    return load("sources")


def ingredients() -> Mapping[str, Ingredient]:
    return load("ingredients")


def styles() -> Mapping[str, Style]:
    return load("styles")


def terms() -> Mapping[str, Term]:
    return load("terms")


def steps() -> Mapping[str, Step]:
    """In the order they are done."""
    return load("steps")


def days() -> Mapping[str, Day]:
    """In the order they come."""
    return load("days")


def whys() -> Mapping[str, Why]:
    return load("whys")


def how_tos() -> Mapping[str, HowTo]:
    return load("how_tos")


def troubles() -> Mapping[str, Trouble]:
    return load("troubles")


def cautions() -> Mapping[str, Caution]:
    """In the order they are told when equally grave."""
    return load("cautions")


def beliefs() -> Mapping[str, Belief]:
    """What is often said and no longer, or never was, so."""
    return load("beliefs")


def answers() -> Mapping[str, Answer]:
    return load("answers")


def stages() -> Mapping[str, Stage]:
    """In the order of the way."""
    return load("stages")


def kin() -> Mapping[str, Kin]:
    """By the word of the knowledge base, the words said for it."""
    return load("kin")
