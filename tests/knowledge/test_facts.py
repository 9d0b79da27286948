"""What is known is complete, agrees with what is in print, and can be read aloud."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

import knowledge
from assistant import standing
from assistant.handlers.troubles import SUMS
from assistant.session import stages
from grammar.vocabulary import ARTICLES
from grammar.words import split
from knowledge.entries import BATCH_FACTS, BATCH_STAGES, EVENTS, STEP_STAGES, TROUBLE_SUMS, WAYS
from knowledge.loader import TOPICS, load

TABLES = Path(__file__).parent / "tables"
ENGINE = Path(__file__).parents[2] / "assistant" / "engine"


def table(name: str) -> dict[str, Any]:
    return tomllib.loads((TABLES / name).read_text(encoding="utf-8"))


PUBLISHED = table("published.toml")


def of(cls: type) -> list[Any]:
    return [entry for entry in knowledge.ingredients().values() if isinstance(entry, cls)]


@pytest.mark.parametrize(
    ("what", "least"),
    [("styles", 30), ("terms", 150), ("steps", 30), ("days", 10), ("whys", 35), ("how_tos", 40), ("troubles", 80),
     ("cautions", 75), ("beliefs", 17)],
)
def test_a_topic_is_as_full_as_it_was_meant_to_be(what: str, least: int) -> None:
    assert len(load(what)) >= least


@pytest.mark.parametrize(
    ("cls", "least"),
    [(knowledge.Hop, 80), (knowledge.Fermentable, 60), (knowledge.Yeast, 15), (knowledge.Salt, 7),
     (knowledge.Sanitizer, 5)],
)
def test_ingredients_are_as_many_as_they_were_meant_to_be(cls: type, least: int) -> None:
    assert len(of(cls)) >= least


@pytest.mark.parametrize(
    ("topic", "phrase", "meant"),
    [(topic, *row) for topic, rows in table("phrases.toml").items() for row in rows.items()],
)
def test_what_a_brewer_says_is_known(topic: str, phrase: str, meant: str) -> None:
    assert knowledge.phrases(topic).get(phrase) == meant


@pytest.mark.parametrize("topic", [topic for topic in TOPICS if topic != "sources"])
def test_every_phrase_is_found_and_means_its_own_entry(topic: str) -> None:
    said = {phrase: entry.id for entry in load(topic).values() for phrase in entry.phrases}
    assert dict(knowledge.phrases(topic)) == said


@pytest.mark.parametrize(("id", "points"), PUBLISHED["palmer"].items())
def test_points_agree_with_the_printed_table(id: str, points: Mapping[str, float]) -> None:
    entry = knowledge.ingredients()[id]
    assert isinstance(entry, knowledge.Fermentable)
    assert entry.yield_points == points["yield_points"]
    if entry.kind == "grain":
        assert entry.steeped_points == points.get("steeped_points")
    assert "palmer" in entry.source


def test_nothing_claims_the_printed_table_that_is_not_in_it() -> None:
    claimed = {entry.id for entry in of(knowledge.Fermentable) if "palmer" in entry.source}
    steeped = {entry.id for entry in of(knowledge.Fermentable) if entry.steeped_points is not None}
    assert claimed == set(PUBLISHED["palmer"])
    assert steeped <= claimed


@pytest.mark.parametrize(("id", "span"), PUBLISHED["solids"].items())
def test_points_of_extract_agree_with_its_solids(id: str, span: tuple[float, float]) -> None:
    entry = knowledge.ingredients()[id]
    assert isinstance(entry, knowledge.Fermentable) and entry.yield_points is not None
    assert span[0] - 1 <= entry.yield_points <= span[1] + 1


def test_carbonation_lies_in_a_printed_family_where_it_says_so() -> None:
    families = PUBLISHED["carbonation"].values()
    outside = [
        style.id for style in knowledge.styles().values()
        if "hibberd" in style.source
        and not any(low <= style.carbonation.low and style.carbonation.high <= high for low, high in families)
    ]
    assert outside == []


@pytest.mark.parametrize(("id", "printed"), PUBLISHED["dose"].items())
def test_doses_agree_with_print(id: str, printed: Mapping[str, Any]) -> None:
    entry = knowledge.ingredients()[id]
    assert isinstance(entry, knowledge.Sanitizer) and entry.dose and entry.per
    assert list(entry.dose) == printed["dose"]
    assert list(entry.per) == printed["per"]
    assert (entry.contact, entry.rinse) == (printed["contact"], printed["rinse"])


def test_numbers_are_possible() -> None:
    """Wide bounds that a slip of the keyboard breaks; common practice, no source."""
    odd = [hop.id for hop in of(knowledge.Hop) if hop.alpha and not 1 <= hop.alpha.low < hop.alpha.high <= 22]
    odd += [
        grain.id for grain in of(knowledge.Fermentable)
        if not 0 <= (grain.yield_points or 0) <= 47 or not 0 <= (grain.color or 0) <= 600
        or (grain.steeped_points or 0) > (grain.yield_points or 47)
    ]
    odd += [
        yeast.id for yeast in of(knowledge.Yeast)
        if yeast.attenuation and not 55 <= yeast.attenuation.low <= yeast.attenuation.high <= 100
        or yeast.temperature and not 40 <= yeast.temperature.low <= yeast.temperature.high <= 100
    ]
    odd += [
        style.id for style in knowledge.styles().values()
        if not 0.99 <= style.fg.low < style.og.low <= style.og.high <= 1.15 or style.srm.high > 60
    ]
    assert odd == []


def test_a_style_can_be_as_strong_as_it_says() -> None:
    """The middle of its gravities gives a strength it has, by the rule 131.25 x drop (found, no author)."""
    unlike = []
    for style in knowledge.styles().values():
        drop = (style.og.low + style.og.high - style.fg.low - style.fg.high) / 2
        if not style.abv.low < 131.25 * drop < style.abv.high:
            unlike.append(style.id)
    assert unlike == []


@pytest.mark.parametrize("packed", ["bottles", "keg"])
@pytest.mark.parametrize("way", ["extract", "steeped", "partial mash", "all grain"])
def test_on_every_way_each_log_event_ends_one_step_and_they_follow_in_order(way: str, packed: str) -> None:
    steps = [step for step in knowledge.steps().values() if not step.ways or {way, packed}.intersection(step.ways)]
    ending = [event for step in steps for event in step.after]
    steeped = set() if way != "extract" else {"steep_start", "steep_end"}
    assert sorted(ending) == sorted(set(EVENTS) - set(stages.ANYWHERE) - steeped)
    chapters = [STEP_STAGES.index(step.stage) for step in steps]
    assert chapters == sorted(chapters)
    least = set(range(len(STEP_STAGES))) - ({STEP_STAGES.index("steeping")} if steeped else set())
    assert set(chapters) == least


def test_the_ways_named_are_those_there_are() -> None:
    assert set(WAYS) == {way for step in knowledge.steps().values() for way in step.ways}


def test_the_words_shared_with_the_log_are_the_log_s_own() -> None:
    assert set(EVENTS) == set(stages.EVENTS)
    assert tuple(name for name, _ in stages.STAGES) == BATCH_STAGES


def test_sums_cite_sources_that_are_entered() -> None:
    cited = {
        name
        for file in ENGINE.glob("*.py")
        for group in re.findall(r"sources=\(([^)]*)\)", file.read_text(encoding="utf-8"))
        for name in re.findall(r'"([a-z0-9-]+)"', group)
    }
    assert len(cited) > 10
    assert cited - set(knowledge.sources()) == set()


def test_what_was_recalled_is_marked_as_recalled() -> None:
    """No hop was looked up in print, so none may rest on anything but memory or custom."""
    sources = knowledge.sources()
    assert {sources[id].mark for hop in of(knowledge.Hop) for id in hop.source} == {"memory", "practice"}


ALOUD = re.compile(r"[A-Za-z][A-Za-z0-9 ,;:.'-]*[.]")


TOLD = ("ingredients", "styles", "terms", "whys", "how_tos", "troubles", "cautions", "beliefs")


@pytest.mark.parametrize("topic", TOLD)
def test_what_is_said_is_one_short_sentence_without_signs(topic: str) -> None:
    unfit = [
        entry.say for entry in load(topic).values()
        if not ALOUD.fullmatch(entry.say) or ". " in entry.say or len(entry.say) > 130
    ]
    assert unfit == []


def test_what_a_batch_makes_of_a_trouble_is_fit_to_be_read_aloud_too() -> None:
    unfit = [
        row.say for trouble in knowledge.troubles().values() for row in trouble.given
        if row.say and (not ALOUD.fullmatch(row.say) or ". " in row.say or len(row.say) > 130)
    ]
    assert unfit == []


def test_a_cause_that_is_put_first_is_one_of_the_causes() -> None:
    strange = [
        (trouble.id, row.cause) for trouble in knowledge.troubles().values() for row in trouble.given
        if row.cause not in trouble.likely
    ]
    assert strange == []


def test_facts_and_sums_that_may_be_named_are_there_and_all_are_used() -> None:
    troubles = knowledge.troubles().values()
    assert set(standing.FACTS) == set(BATCH_FACTS) == {fact for entry in troubles for row in entry.given for fact in row.facts}
    assert set(SUMS) == set(TROUBLE_SUMS) == {name for entry in troubles for name in entry.sums}


@pytest.mark.parametrize("topic", [topic for topic in TOPICS if topic != "sources"])
def test_no_article_tells_two_entries_apart(topic: str) -> None:
    """A dictated article is easily lost, so the language passes over it."""
    meant: dict[str, set[str]] = {}
    for phrase, id in knowledge.phrases(topic).items():
        bare = " ".join(word for word in phrase.split() if word not in ARTICLES)
        meant.setdefault(bare, set()).add(id)
    assert {phrase: ids for phrase, ids in meant.items() if len(ids) > 1} == {}


def test_every_phrase_comes_out_of_a_sentence_as_it_is_written() -> None:
    """Otherwise nobody could say it. Where numbers are parted from letters is for the language to know."""
    lost = {
        phrase: " ".join(split(phrase))
        for topic in TOPICS for phrase in knowledge.phrases(topic)
        if " ".join(split(phrase)).replace(" ", "") != phrase.replace(" ", "")
    }
    assert lost == {}
