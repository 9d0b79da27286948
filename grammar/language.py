"""The language as one object: reads a sentence and says what it understood.

text ─ words ─ lattice ─ parser ─ Command
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import datetime
from pathlib import Path

from grammar.command import Command, command_of, unclear
from grammar.files import ANSWERS, acts, grammar_text
from grammar.lattice import Lattice
from grammar.parser import Parser
from grammar.tables import Tables, kept_in
from grammar.vocabulary import LONGEST, Sense, Vocabulary, from_terminals
from grammar.words import split

_RULE_COSTS = {
    **dict.fromkeys(
        ("log_addition", "plan_addition", "troubleshoot", "why", "how_to", "note", "define", "ask_priming"),
        0.012,
    ),
    **dict.fromkeys(("addition", "safety", "about"), 0.024),
}
"""Which act stands back where two explain a sentence equally well."""

LONGEST_SENTENCE = 60
"""Words; nobody says more in one breath, and a search must end."""


SUGGESTED = 12
"""Suggestions at most; more is no help."""


class Language:
    """Understands sentences. Keeps no memory of its own; what a sentence leans on is handed in."""

    def __init__(self, names: Mapping[str, Mapping[str, str]], cache_folder: Path | None = None) -> None:
        """`names`: for each terminal of names (`HOP`, `TERM`, ...) the phrases and what each stands for."""
        self.tables: Tables = kept_in(cache_folder, grammar_text(), acts())
        self.vocabulary: Vocabulary = from_terminals(self.tables.terminals, self.tables.ignored)
        for terminal, phrases in names.items():
            self.vocabulary.add_names(terminal, phrases)
        self.parser = Parser(self.tables, _RULE_COSTS)
        self._usual = tuple(act for act in acts() if act not in ANSWERS)

    def understand(
        self,
        heard: str,
        now: datetime,
        likely: Collection[str] = (),
        answering: bool = False,
        addition: str | None = None,
        scale: str = "degF",
        expected: Collection[str] = (),
    ) -> list[Command]:
        """What the sentence asks for, most often one command; one `unclear` command where nothing was understood.

        `now` is when it was said; `likely` names the batch holds; `answering` while a question is open, when a bare value or yes and no answer it;
        `addition` the act a bare "and the irish moss" goes on with; `scale` that of degrees without one;
        `expected` acts that the stage of the batch makes likely.
        """
        words = split(heard)
        if not words or len(words) > LONGEST_SENTENCE:
            return [unclear(heard)]
        lattice = Lattice(words, self.vocabulary, likely)
        parse = (
            (self.parser.plain(lattice, ANSWERS) if answering else None)
            or self.parser.plain(lattice, self._usual)
            or self.parser.misheard(lattice, self._usual)
        )
        if parse is None:
            return [unclear(heard)]
        return command_of(parse, heard, words, now, addition, scale, expected)

    def suggest(self, text: str, likely: Collection[str] = ()) -> list[str]:
        """Words that may complete the last, unfinished word of `text`, or follow it after a space; best first."""
        words = split(text)
        unfinished = 0 if not words or text[-1:].isspace() else 1
        found: dict[str, Sense] = {}
        for begun in range(unfinished, min(len(words), LONGEST) + 1):
            start = " ".join([*words[len(words) - begun :], *([] if unfinished or not begun else [""])])
            before = Lattice(words[: len(words) - begun], self.vocabulary, likely)
            terminals = self.parser.following(before, self._usual)
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
                found[phrase].value != phrase,
                len(phrase.split()),
                phrase,
            ),
        )[:SUGGESTED]
