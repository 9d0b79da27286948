"""The names the language must know, taken from the knowledge base: hops, grains, terms, troubles, ..."""

from __future__ import annotations

from pathlib import Path

import knowledge
from grammar.files import program_text
from grammar.kept import kept
from grammar.words import split

_TOPICS = (
    ("STYLE", "styles"), ("TERM", "terms"), ("SYMPTOM", "troubles"), ("REASON", "whys"), ("METHOD", "steps"),
    ("METHOD", "how_tos"), ("HAZARD", "cautions"),
)
"""Which terminal of the grammar takes the phrases of which topics; of two topics the later one has the last word."""

_GENERIC = {
    "hops": "HOP",
    "hop": "HOP",
    "grains": "GRAIN",
    "grain": "GRAIN",
    "sugar": "SUGAR",
    "extract": "EXTRACT",
    "malt": "GRAIN",
}


Names = dict[str, dict[str, str]]


def names(cache: Path | None = None) -> Names:
    """For each terminal of names, its phrases and the id each stands for.

    As they came with the installation or lie in the cache folder, else collected and put there.
    """
    return kept("names", made_of(), collected, cache)


def made_of() -> str:
    """All that the names depend on."""
    return "\n".join([knowledge.text(), program_text(), Path(__file__).read_text(encoding="utf-8")])


def collected() -> Names:
    """The names as the knowledge base has them."""
    found: Names = {}
    for entry in knowledge.ingredients().values():
        of_kind = found.setdefault(entry.kind.upper(), {})
        of_kind.update(dict.fromkeys(_spoken(entry.phrases), entry.id))
    for terminal, topic in _TOPICS:
        found.setdefault(terminal, {}).update(
            (plain, entry) for phrase, entry in knowledge.phrases(topic).items() for plain in _spoken((phrase,))
        )
    for phrase, terminal in _GENERIC.items():
        found.setdefault(terminal, {}).setdefault(phrase, phrase)
    return found


def _spoken(phrases: tuple[str, ...]) -> list[str]:
    """Phrases as the language splits sentences: small letters, no marks."""
    return [" ".join(split(phrase)) for phrase in phrases]
