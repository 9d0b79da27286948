"""Computes what understanding starts from while the package is built, so that the first sentence ever need not wait for it."""

from __future__ import annotations

import sys
from pathlib import Path

from setuptools.command.build_py import build_py


class BuildWithTables(build_py):
    """The usual build step, and the tables beside the grammar files."""

    def run(self) -> None:
        super().run()
        if self.editable_mode:
            return
        sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
        import knowledge
        from assistant import asked, names
        from grammar import examples, vocabulary
        from grammar.files import acts, grammar_text
        from grammar.kept import ship
        from grammar.tables import build, made_of

        folder = Path(self.build_lib) / "grammar"
        tables, known = build(grammar_text(), acts()), names.collected()
        ship(folder, "grammar", made_of(grammar_text(), acts()), tables)
        ship(folder, "names", names.made_of(), known)
        ship(folder, "knowledge", knowledge.text(), knowledge.everything())
        ship(folder, "asked", asked.made_of(), asked.index())
        ship(folder, "vocabulary", vocabulary.made_of(known), vocabulary.vocabulary_of(tables, known))
        ship(folder, "examples", examples.made_of(), examples.learn(examples.example_sentences()))
