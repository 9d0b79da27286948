"""What is told in a word or two is understood where the stage of the batch makes it likely, and nowhere else.

`tables/terse.jsonl` holds for each stage what is said, the acts it means (none: nothing may be recorded) and the slots of
the first; `asked` marks what is asked back. All were imagined (common practice, no source).
"""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from assistant.expected import EXPECTED
from grammar.command import LINE, RECORDING
from grammar.language import Language

NOW = datetime(2026, 10, 10, 9, 58).astimezone()
ROWS = [
    json.loads(line)
    for line in (Path(__file__).parent / "tables" / "terse.jsonl").read_text(encoding="utf-8").splitlines()
]


@pytest.mark.parametrize("row", [row for row in ROWS if row["acts"]], ids=lambda row: f"{row['stage']}: {row['said']}")
def test_told_tersely(language: Language, row: dict[str, Any]) -> None:
    commands = language.understand(row["said"], NOW, expected=EXPECTED.get(row["stage"], {}))
    assert [command.act for command in commands] == row["acts"]
    assert row["slots"].items() <= commands[0].slots.items()
    assert (commands[0].sure < LINE) == row.get("asked", False)


@pytest.mark.parametrize("row", [row for row in ROWS if not row["acts"]], ids=lambda row: f"{row['stage']}: {row['said']}")
def test_nothing_recorded(language: Language, row: dict[str, Any]) -> None:
    commands = language.understand(row["said"], NOW, expected=EXPECTED[row["stage"]])
    assert all(command.sure < LINE or command.act not in RECORDING for command in commands)


@pytest.mark.parametrize("said", ["148", "13 now", "pulled it", "it's off", "rolling", "thirty, go", "she's going"])
def test_nothing_of_it_without_a_stage(language: Language, said: str) -> None:
    commands = language.understand(said, NOW)
    assert all(command.sure < LINE for command in commands)


@pytest.mark.parametrize(("stage", "said"), [("fermenting", "40 now"), ("pitching", "it reads 62")])
def test_a_number_that_may_be_either_is_asked_about(language: Language, stage: str, said: str) -> None:
    """Beer may be at 40 degrees or at 1.040, wort at 62 or at 1.062."""
    assert language.understand(said, NOW, expected=EXPECTED[stage])[0].sure < LINE
