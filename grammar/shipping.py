"""Computes the grammar's tables while the package is built, so that the first sentence ever need not wait for them."""

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
        from grammar.examples import example_sentences, learn, learned_from
        from grammar.files import acts, grammar_text
        from grammar.kept import ship
        from grammar.tables import build, made_of

        folder = Path(self.build_lib) / "grammar"
        ship(folder, "grammar", made_of(grammar_text(), acts()), build(grammar_text(), acts()))
        ship(folder, "examples", learned_from(), learn(example_sentences()))
