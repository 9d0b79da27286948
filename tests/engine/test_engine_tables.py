"""Every row of the tables holds: the engine answers what is printed, or what a general library computes."""

from __future__ import annotations

import inspect
import math

import pytest
from engine_tables import MARKS, TABLES, Check, call, checks, columns, function_of, verdicts

from assistant.engine import errors

CHECKS = list(checks())
VALUES = [check for check in CHECKS if "refused" not in check.group]
REASONED = [
    check for check in VALUES if inspect.signature(function_of(check.group)).return_annotation == "Result"
]
REFUSALS = [check for check in CHECKS if "refused" in check.group]


@pytest.mark.parametrize("check", VALUES, ids=str)
def test_value(check: Check) -> None:
    for verdict in verdicts(check):
        assert verdict.passed, f"{verdict.name}: {verdict.got!r}, expected {verdict.expected!r} ± {verdict.allowed}"


@pytest.mark.parametrize("check", REFUSALS, ids=str)
def test_refusal(check: Check) -> None:
    with pytest.raises(errors.EngineError) as caught:
        call(check)
    assert type(caught.value).__name__ == check.group["refused"]
    assert check.row[-1] in str(caught.value)


@pytest.mark.parametrize("check", REASONED, ids=str)
def test_answer_tells_its_working(check: Check) -> None:
    answer = call(check)
    assert answer.formula and answer.sources
    assert set(answer.spread) <= set(answer.values)
    assert all(0 <= width.magnitude < math.inf for width in answer.spread.values())


def test_tables_are_well_made() -> None:
    """A group names its source and a known mark; its rows fit its columns and say what they check."""
    for check in CHECKS:
        group = check.group
        assert group["mark"] in MARKS, check
        assert group["source"], check
        wide = len(columns(group)) + ("refused" in group)
        assert len(check.row) == wide, check
        if "refused" not in group:
            assert any(column.out for column in columns(group)), check
            only_notes = all(column.name == "note" for column in columns(group) if column.out)
            assert ("tolerance" in group) + ("relative" in group) == (0 if only_notes else 1), check


def test_there_are_many_numbers_from_outside() -> None:
    """Texts and refusals not counted; beside each its source."""
    numbers = [
        column
        for check in VALUES
        for column in columns(check.group)
        if column.out and column.name != "note"
    ]
    assert len(numbers) >= 400


def test_no_topic_is_without_a_table() -> None:
    named = {check.group["function"].split(".")[0] for check in CHECKS}
    topics = {
        "alcohol", "bitterness", "cleaning", "color", "convert", "fermentables", "fermentation", "gravity", "heat", "mash",
        "packaging", "recipe", "steam", "volumes", "water", "wort", "yeast",
    }
    assert topics <= named
    assert {path.stem for path in TABLES.glob("*.toml")} == {check.file for check in CHECKS}
