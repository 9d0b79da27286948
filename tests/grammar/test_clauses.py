"""Several clauses in one breath: each is read by itself, talk is left out, and nothing that counts is lost."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import pytest

from grammar.clauses import Left, by_clauses, clauses, left_out
from grammar.command import LINE, Command
from grammar.language import Language

NOW = datetime(2026, 10, 10, 9, 0).astimezone()

UNDERSTOOD = [
    # what is said, and the acts understood in it; made up
    ("grain bag just came out. Smells like fresh bread in here. Reading 1.050 at 70F", "log_event log_gravity"),
    ("the boil is on, finally. Added 1 oz Magnum", "log_event log_addition"),
    ("my hands are freezing, the wort is at 75 F, looks like tea", "log_temperature"),
    ("that took forever. Flame is off", "log_event"),
]

ASKED = [
    # what turns a claim, or may have told something, is asked about; made up
    ("Dropped a bit. The steep water is at 149 F. Put the lid back on", "log_temperature"),
    ("the boil is on. Just kidding", "log_event"),
    ("added 1 oz Magnum. Or maybe not", "log_addition"),
]

NOTHING_LOST = [
    # a number or a name in a clause that is not understood, made up: nothing is recorded around it
    "the boil is on. Blah 14 froop",
    "added 1 oz Magnum, then 3 something odd",
    "flame is off. Neighbor wants 5 gallons",
]


def read(language: Language, said: str) -> list[Command]:
    return language.understand(said, NOW)


@pytest.mark.parametrize("said, acts", UNDERSTOOD)
def test_clauses_are_read_by_themselves(language: Language, said: str, acts: str) -> None:
    found = read(language, said)
    assert [command.act for command in found] == acts.split()
    assert all(command.sure >= LINE for command in found)


@pytest.mark.parametrize("said, act", ASKED)
def test_a_clause_that_may_tell_something_is_asked_about(language: Language, said: str, act: str) -> None:
    found = read(language, said)
    assert act in [command.act for command in found]
    assert all(command.sure < LINE for command in found)


@pytest.mark.parametrize("said", NOTHING_LOST)
def test_no_number_is_left_out_of_what_records(language: Language, said: str) -> None:
    assert all(command.sure < LINE for command in read(language, said))


def test_what_was_taken_for_talk_is_told(language: Language) -> None:
    found = read(language, "added 2 oz of Magnum, sticky business this")
    assert [(command.act, command.passed_over) for command in found] == [("log_addition", ("sticky business this",))]


def test_what_is_corrected_in_the_same_breath_is_asked_about(language: Language) -> None:
    found = read(language, "about 3 gallons in there. Nope, 4, read the wrong line")
    assert [command.act for command in found] == ["log_volume", "correct_last"]
    assert all(command.sure < LINE for command in found)


# --- The search itself, over words that mean what their first letter says

KNOWN = {"a": "log_event", "q": "ask_abv"}


def found(text: str, counts: str = "", telling: str = "") -> list[tuple[str, bool]]:
    words = text.split()

    def by_letter(start: int, end: int, _: Sequence[Command]) -> Sequence[Command]:
        act = KNOWN.get(words[start][0]) if end == start + 1 else None
        return [Command(act, {"said": words[start]}, 0.9)] if act else []

    def leave(start: int, end: int) -> Left:
        part = words[start:end]
        return left_out(part, any(w in counts for w in part), any(w in telling for w in part))

    return [(str(command.slots["said"]), command.sure >= LINE) for command in by_clauses(words, by_letter, leave)]


def test_where_the_clauses_are() -> None:
    assert clauses(", one two , , three".split()) == [(1, 3), (5, 6)]


def test_one_clause_is_none_of_its_business() -> None:
    assert found("a1") == []


def test_the_commands_of_all_clauses_in_order() -> None:
    assert found("a1 , q2 , a3") == [("a1", True), ("q2", True), ("a3", True)]


def test_talk_is_left_out() -> None:
    assert found("a1 , x y z") == [("a1", True)]


def test_what_may_have_told_something_makes_it_doubtful() -> None:
    assert found("a1 , x", telling="x") == [("a1", False)]
    assert found("q1 , x", telling="x") == [("q1", True)]


def test_what_counts_is_never_left_out_of_what_records() -> None:
    assert found("a1 , x", counts="x") == []
    assert found("q1 , x", counts="x") == [("q1", False)]


def test_no_clause_that_records_is_lost_in_an_answer(language: Language) -> None:
    found = read(language, "bag's out, dripping all over")
    assert [command.act for command in found] == ["log_event"] and found[0].sure < LINE
