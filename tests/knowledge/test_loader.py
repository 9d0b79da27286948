"""The loader takes what is sound and refuses what is not, with the place and the way out."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from knowledge import Hop, KnowledgeError, Range
from knowledge.loader import TOPICS, load

TABLE = Path(__file__).parent / "tables" / "broken.toml"
CASES: list[dict[str, Any]] = tomllib.loads(TABLE.read_text(encoding="utf-8"))["case"]

SOURCES = """
[common-practice]
title = "Common practice, no source"
mark = "practice"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small sound knowledge folder: one source, nothing else."""
    (tmp_path / "ingredients").mkdir()
    for topic in TOPICS.values():
        for file in topic.files:
            (tmp_path / file).write_text("", encoding="utf-8")
    (tmp_path / "sources.toml").write_text(SOURCES, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("topic", TOPICS)
def test_the_folder_the_faults_are_put_in_is_sound(folder: Path, topic: str) -> None:
    assert list(load(topic, folder)) == (["common-practice"] if topic == "sources" else [])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["fault"])
def test_a_faulty_entry_is_refused_in_words(folder: Path, case: dict[str, Any]) -> None:
    for file, text in {**case.get("with", {}), case["file"]: case["text"]}.items():
        (folder / file).write_text(text, encoding="utf-8")
    with pytest.raises(KnowledgeError) as refused:
        load(case["topic"], folder)
    assert str(refused.value) == case["error"]
    assert refused.value.file == case["file"]


def test_the_same_entry_without_its_fault_is_taken(folder: Path) -> None:
    text = """
        [willamette]
        kind = "hop"
        also = ["willam"]
        alpha = [4, 6]
        say = "Mild."
        source = "common-practice"
    """
    (folder / "ingredients/hops.toml").write_text(text, encoding="utf-8")
    assert dict(load("ingredients", folder)) == {
        "willamette": Hop(
            id="willamette", name="Willamette", kind="hop", also=("willam",), alpha=Range(4.0, 6.0),
            say="Mild.", source=("common-practice",), generic=False, use="dual", kin=(),
        )
    }


def test_a_field_at_the_top_of_a_file_holds_for_each_entry_that_does_not_say_otherwise(folder: Path) -> None:
    text = (
        'kind = "spice"\n[clove]\nsay = "Strong."\nsource = "common-practice"\n'
        '[apple]\nkind = "fruit"\nsay = "Tart."\nsource = "common-practice"\n'
    )
    (folder / "ingredients/extras.toml").write_text(text, encoding="utf-8")
    kinds = {id: entry.kind for id, entry in load("ingredients", folder).items()}
    assert kinds == {"clove": "spice", "apple": "fruit"}


def test_a_file_that_is_no_toml_is_named(folder: Path) -> None:
    (folder / "terms.toml").write_text("[wort\n", encoding="utf-8")
    with pytest.raises(KnowledgeError, match=r"^terms\.toml: is not TOML \(.+\); mend the file$"):
        load("terms", folder)


def test_a_file_that_is_gone_is_named(folder: Path) -> None:
    (folder / "terms.toml").unlink()
    with pytest.raises(KnowledgeError, match=r"^terms\.toml: cannot be read \(.+\); put the file back$"):
        load("terms", folder)


def test_topics_are_read_separately(folder: Path) -> None:
    """A sentence about a term must not wait for the troubles, let alone fail over them."""
    (folder / "troubles.toml").write_text("[broken\n", encoding="utf-8")
    assert dict(load("terms", folder)) == {}


def test_a_topic_is_read_once(folder: Path) -> None:
    first = load("terms", folder)
    (folder / "terms.toml").write_text("[broken\n", encoding="utf-8")
    assert load("terms", folder) is first


def test_what_was_read_cannot_be_changed(folder: Path) -> None:
    with pytest.raises(TypeError):
        load("sources", folder)["hearsay"] = "anything"  # type: ignore[index]
