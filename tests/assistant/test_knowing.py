"""From a sentence to the entry it means, and from the batch to the likeliest cause: never a wrong entry where one may be hurt."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from talk import TABLES, moment, opened, table_lines

import knowledge
from assistant import finding, questions, safety
from assistant.conversation import Conversation
from assistant.questions import Question
from assistant.reply import ASK, REFUSED, UNCLEAR, Reply
from grammar.language import Language
from grammar.words import split

QUESTIONS = [tuple(line.split(" => ")) for line in table_lines("questions.txt")]
CASES: list[dict[str, Any]] = tomllib.loads((TABLES / "troubles.toml").read_text(encoding="utf-8"))["case"]

REACHED = 0.97
"""The share of questions that must reach their entry at once."""

NOW = moment("2026-11-20T12:00")


@pytest.fixture(scope="module")
def idle(language: Language, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Conversation]:
    with opened(tmp_path_factory.mktemp("idle"), language) as conversation:
        yield conversation


def told(reply: Reply) -> set[str]:
    """The entries a reply tells, the first of its cautions among them."""
    rules = {safety.text_of(rule): f"cautions/{rule.id}" for rule in knowledge.cautions().values()}
    return {part.outcome.entry for part in reply.parts if part.outcome.entry} | {rules[text] for text in reply.cautions[:1]}


def dangerous(entry: str) -> bool:
    topic, _, id = entry.partition("/")
    return topic == "cautions" and knowledge.cautions()[id].grave == "danger" or topic == "troubles" and knowledge.troubles()[id].danger


def test_questions_reach_their_entry(language: Language, tmp_path: Path) -> None:
    missed, wrong = [], []
    for number, (said, wanted) in enumerate(QUESTIONS):
        with opened(tmp_path / str(number), language) as conversation:
            reply = conversation.answer(said, NOW)
        entries = told(reply)
        if entries.isdisjoint(wanted.split("|")):
            missed.append(said)
            answered = reply.status not in (ASK, UNCLEAR, REFUSED)
            if answered and any(map(dangerous, wanted.split("|"))) and not any(map(dangerous, entries)):
                wrong.append(said)
    assert wrong == []
    assert len(QUESTIONS) >= 200
    assert len(missed) <= (1 - REACHED) * len(QUESTIONS), missed


def test_every_question_names_entries_there_are() -> None:
    topics = {"troubles": knowledge.troubles(), "cautions": knowledge.cautions(), "beliefs": knowledge.beliefs(), "whys": knowledge.whys()}
    named = [entry.partition("/") for _, wanted in QUESTIONS for entry in wanted.split("|")]
    assert [entry for topic, _, entry in named if entry not in topics[topic]] == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['trouble']}: {case['say']}")
def test_the_batch_tells_which_cause_comes_first(case: dict[str, Any], talk: Callable[[Path], Conversation], tmp_path: Path) -> None:
    conversation = talk(tmp_path)
    for days, line in case["batch"]:
        assert conversation.answer(line, NOW - timedelta(days=days)).status == "done", line
    reply = conversation.answer(case["said"], NOW)
    outcome = reply.parts[-1].outcome
    assert f"troubles/{case['trouble']}" in told(reply)
    assert case["say"] in outcome.say
    likely = next(line for line in outcome.more if line.startswith("Likely: ")).removeprefix("Likely: ")
    assert likely.startswith(case.get("cause", ""))
    for name, (value, near) in case.get("number", {}).items():
        assert outcome.values[name].magnitude == pytest.approx(value, abs=near)
    working = conversation.answer("how did you get that", NOW).text
    assert "Formula:" in working and "Source:" in working


def test_a_trouble_says_what_of_the_batch_it_rests_on(talk: Callable[[Path], Conversation], tmp_path: Path) -> None:
    conversation = talk(tmp_path)
    for line in ("reading 1.050", "pitched the yeast", "the beer is at 55F"):
        conversation.answer(line, NOW - timedelta(days=8))
    text = conversation.answer("it is stuck at 1.024", NOW).text
    assert "In this batch: beer 55 °F, against 60 to 72 °F for ale yeast." in text


# --- Which of two is meant


PHRASES = [
    # words, the topics looked in, the entry they mean or those to be asked about; made up, for the words are what is tested
    ("bottle leak", "bottles leaking", ()),
    ("foam gone", "krausen fell", ()),
    ("rotten egg smell", "smells like eggs", ()),
    ("beer flat keg", "", ("keg flat", "flat beer")),
    ("yeast old warm", "", ("yeast too old", "yeast got warm")),
    ("steep too cold", "", ()),
    ("purple elephants", "", ()),
]
"""Words, the trouble they are taken for, and those that are asked about where none may be taken."""


@pytest.mark.parametrize(("words", "meant", "either"), PHRASES, ids=[words for words, *_ in PHRASES])
def test_a_phrase_is_taken_only_for_what_stands_apart(words: str, meant: str, either: tuple[str, ...]) -> None:
    found = finding.match(words, ("troubles",))
    assert (found.entry.id if found.entry else "") == meant
    assert tuple(entry.id for entry in found.either) == either
    assert found.entry or found.nearest, "the nearest can always be named"


ANSWERS = [
    ("the second one", "troubles/flat beer"),
    ("the first", "troubles/keg flat"),
    ("keg flat", "troubles/keg flat"),
    ("flat beer please", "troubles/flat beer"),
    ("no", ""),
    ("the boil is on", ""),
]
"""A bare answer to which of the two is meant, and the entry that is told then."""


@pytest.fixture
def asked(talk: Callable[[Path], Conversation], tmp_path: Path) -> Conversation:
    conversation = talk(tmp_path)
    conversation._question = Question(
        tuple(finding.Entry("troubles", id).command("it is flat") for id in ("keg flat", "flat beer")), None, choose=True
    )
    return conversation


@pytest.mark.parametrize(("answer", "entry"), ANSWERS, ids=[answer for answer, _ in ANSWERS])
def test_a_bare_answer_settles_which_is_meant(answer: str, entry: str, asked: Conversation) -> None:
    reply = asked.answer(answer, NOW)
    assert {part.outcome.entry for part in reply.parts} == {entry}


def test_the_question_which_is_meant_outlives_the_conversation(asked: Conversation) -> None:
    kept = questions.from_object(questions.as_object(asked._question))
    assert kept == asked._question


@pytest.mark.parametrize("said", ["my beer tastes like wet leather", "I forgot the salami", "why do the hops fly"])
def test_what_there_is_nothing_on_is_said_and_the_nearest_named(said: str, idle: Conversation) -> None:
    reply = idle.answer(said, NOW)
    assert reply.status in (ASK, REFUSED)
    assert "Nearest: " in reply.text or "Do you mean " in reply.text


# --- What is told beside a record, and what is no trouble

BOTH = [
    ("I put the hops in too early", "log_addition", "troubles/hops too early"),
    ("i pulled the grains out after ten minutes", "log_event", "troubles/steeped too short"),
    ("gravity has been at 1.024 for a week", "log_gravity", "troubles/stuck fermentation"),
]


@pytest.mark.parametrize(("said", "act", "entry"), BOTH, ids=[said for said, *_ in BOTH])
def test_a_trouble_told_with_a_record_is_logged_and_answered(said: str, act: str, entry: str, idle: Conversation) -> None:
    first, second = idle.answer(said, NOW).parts
    assert (first.act, second.outcome.entry) == (act, entry)


TALES = [
    "my buddy pitched his yeast at 95", "last time the bag tore", "I almost forgot the hops", "they boil theirs for two hours",
    "the wort is cooling nicely", "nothing boiled over", "the bottles did not leak", "I did not forget the hops",
    "grandpa kept his fermenter at 80 degrees", "the airlock is bubbling away", "the krausen looks good",
]
"""What is no trouble here and now; made up."""


@pytest.mark.parametrize("said", TALES)
def test_tales_and_good_news_are_no_trouble(said: str) -> None:
    assert [entry for entry in finding.heard_in(split(said)) if entry.topic == "troubles"] == []
