"""The grammar files as one text, and the acts they name."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from pathlib import Path

TOPICS = ("words", "shapes", "slots", "log", "plan", "clock", "sums", "brew", "batch", "know", "measures", "back", "steps", "terse", "facts")
"""The grammar files, in the order they are read."""

ANSWERS = ("answer_yes", "answer_no", "answer_value")
"""Acts that are understood only while a question is open."""

DUE = "due_"
"""How acts begin that are understood only where the stage of the batch makes them likely."""


@cache
def grammar_text() -> str:
    """The `.lark` files as the one grammar they make up."""
    folder = files("grammar")
    return "\n".join((folder / f"{topic}.lark").read_text(encoding="utf-8") for topic in TOPICS)


@cache
def program_text() -> str:
    """The program that reads them, for what is kept of its work: another program may make something else of the same files."""
    folder = Path(__file__).parent
    return "\n".join(path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.py")))


@cache
def acts() -> tuple[str, ...]:
    """Every act of the grammar: what the files name as entry rules in their heads."""
    heads = re.findall(r"^// Entry rules: (.*(?:\n//   [a-z_ ]+$)*)", grammar_text(), re.MULTILINE)
    named = " ".join(heads).replace("//", " ").split()
    rules = re.findall(r"^([a-z]\w*)\s*:", grammar_text(), re.MULTILINE)
    sums = [rule for rule in rules if rule.startswith("ask_")]
    return tuple(dict.fromkeys([name for name in named if name in rules] + sums + list(ANSWERS)))
