"""What is kept in a file is what would be made again, and never stands in for something else."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from grammar.kept import kept
from grammar.language import Language
from grammar.vocabulary import Vocabulary, known_in, vocabulary_of

NAMES = {"HOP": {"willamette": "willamette", "east kent goldings": "goldings"}}


@pytest.fixture
def folder(tmp_path: Path, language: Language) -> Path:
    """A cache in which the vocabulary of NAMES lies."""
    known_in(tmp_path, language.tables, NAMES)
    assert [path.name for path in tmp_path.glob("vocabulary-*")]
    return tmp_path


def _searched(vocabulary: Vocabulary) -> list[object]:
    heard = ("wool", "emote"), ("wilamat",), ("goldens",), ("steve",)
    return [vocabulary.alike(words) for words in heard] + [vocabulary.one_of_units.like("it he spoon")]


def test_a_vocabulary_read_back_finds_what_a_new_one_finds(
    folder: Path, language: Language, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("grammar.vocabulary.vocabulary_of", None)  # It must come from the file.
    monkeypatch.setattr("grammar.kept._made", {})
    read = known_in(folder, language.tables, NAMES)
    made = vocabulary_of(language.tables, NAMES)
    assert read is not made and read.senses == made.senses and read.talk == made.talk
    assert _searched(read) == _searched(made)
    assert any(phrase == "willamette" for phrase, _ in read.alike(("wool", "emote")))


def test_other_names_are_not_answered_from_the_file(folder: Path, language: Language) -> None:
    other = known_in(folder, language.tables, {"HOP": {"northdown": "northdown"}})
    assert "northdown" in other.senses and "willamette" not in other.senses


def test_a_broken_file_is_made_again(tmp_path: Path) -> None:
    assert kept("thing", "of this", lambda: [1], tmp_path) == [1]
    next(tmp_path.glob("thing-*")).write_bytes(b"no pickle")
    assert kept("thing", "of this", lambda: [2], tmp_path) == [1]  # Made in this run already.
    assert kept("thing", "of that", lambda: [2], tmp_path) == [2]


def test_understanding_loads_nothing_that_calculates() -> None:
    told = "import sys, assistant.__main__, assistant.meanings, assistant.names; print('pint' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"
