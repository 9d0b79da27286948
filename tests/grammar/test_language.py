"""The grammar as a whole: every act has a wording, every rule leads to a slot programs know, no word is lost."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from assistant.acts import ACTS
from grammar.command import BARE_UNITS, DOUBTFUL, FIXED
from grammar.files import ANSWERS, DUE, acts, grammar_text
from grammar.language import Language
from grammar.tables import kept_in

SLOTS = frozenset(
    "gravity temperature of volume ingredient amount boil_left event when text name style from to original final target "
    "final_volume hot_volume hot_temperature cold_volume cold_temperature ice grain water grain_temperature power duration "
    "altitude alpha age carbonation topic symptom label format units use boil_off boil_length hydrometer_calibration "
    "trub_loss bottle_size day day value unit percent length by ice_kind ice_temperature pot pot_material bucket "
    "infusion_temperature hops calcium magnesium sodium sulfate chloride bicarbonate alkalinity present kind method strength "
    "level pressure concentration part "
    "bitterness stand stand_temperature boil_volume per have have_size other_size times side way".split()
)
"""The slots of the contract and those added for further sums, settings, corrections and bare answers."""

NOW = datetime(2026, 10, 10, 9, 58).astimezone()


def test_every_act_but_bare_answers_is_told_to_people() -> None:
    told = {act for act in acts() if act not in (*ANSWERS, "addition", "ask_facts") and not act.startswith(DUE)}
    assert told == set(ACTS)


def test_rules_lead_only_to_slots_programs_know() -> None:
    reached = set().union(*(_children(act) for act in acts() if act != "ask_facts"))
    assert reached - {slot for slot in reached if slot.partition("__")[0] in SLOTS} <= set(BARE_UNITS) | set(
        FIXED
    ) | set(DOUBTFUL) | {"either"}


def test_the_tables_survive_the_cache(language: Language, tmp_path: Path) -> None:
    built = kept_in(tmp_path, grammar_text(), acts())
    again = kept_in(tmp_path, grammar_text(), acts())
    assert again.actions == built.actions and again.begin == built.begin


def test_a_broken_cache_is_passed_over(tmp_path: Path) -> None:
    kept_in(tmp_path, grammar_text(), acts())
    for file in tmp_path.iterdir():
        file.write_bytes(b"not a table")
    assert kept_in(tmp_path, grammar_text(), acts()).begin


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("add irish m", "irish moss"),
        ("set a tim", "timer"),
        ("pitch", "pitched"),
        ("how much ice to co", "cool"),
    ],
)
def test_suggestions_complete_the_last_word(language: Language, typed: str, offered: str) -> None:
    assert any(offered in suggestion for suggestion in language.suggest(typed))


@pytest.mark.parametrize(
    "plain",
    [
        "set timer for 5 minutes",
        "set a timer for 5 minutes",
        "set the timer for 5 minutes",
        "set my timer for 5 minutes",
    ],
)
def test_articles_neither_help_nor_hinder(language: Language, plain: str) -> None:
    command = language.understand(plain, NOW)[0]
    assert (command.act, command.slots) == ("start_timer", {"duration": [5.0, "minute"]})


@pytest.mark.parametrize(
    ("bare", "hot"),
    [("3 gallons at 40F with 2 gallons at 200F", 200.0), ("2 gallons at 200F with 3 gallons at 40F", 200.0)],
)
def test_the_hotter_water_is_the_hot_one(language: Language, bare: str, hot: float) -> None:
    slots = language.understand(f"what if I mix {bare}", NOW)[0].slots
    assert slots["hot_temperature"] == [hot, "degF"] and slots["cold_volume"] == [3.0, "gallon"]


@pytest.mark.parametrize(
    "sentence", ["added 2 oz of willamet", "added 2 oz of will amette", "aded 2 oz of willamette"]
)
def test_a_repair_is_shown_and_lowers_how_sure(language: Language, sentence: str) -> None:
    command = language.understand(sentence, NOW)[0]
    assert command.slots["ingredient"] == "willamette" and command.repairs and command.sure < 1


def test_what_the_batch_holds_is_likelier(language: Language) -> None:
    alone = language.understand("added 2 oz of wilamat", NOW)[0].sure
    assert language.understand("added 2 oz of wilamat", NOW, likely=("willamette",))[0].sure > alone


def _children(rule: str, seen: frozenset[str] = frozenset()) -> set[str]:
    """Names of the subtrees a rule may put directly into its tree, shorthand rules looked through."""
    found: set[str] = set()
    for name in re.findall(
        r"(?<![\w\"])([a-z_][a-z_0-9]*)(?![\w\"])", re.sub(r'"[^"]*"|->\s*\w+', "", _RULES.get(rule, ""))
    ):
        if name not in _RULES or name in seen:
            continue
        if name.startswith("_"):
            found |= _children(name, seen | {name})
        else:
            found |= set(re.findall(r"->\s*(\w+)", _RULES[name])) or {name}
    return found


_RULES: dict[str, str] = dict(
    re.findall(r"^([a-z_]\w*)\s*:((?:.*)(?:\n\s+\|.*)*)", grammar_text(), re.MULTILINE)
)


@pytest.mark.parametrize(
    ("said", "act"),
    [
        ("how long till that hits 155", "ask_heat_time"),
        ("how long until it hits 70", "ask_chill_time"),
        ("how long till it's at 20C", "ask_chill_time"),
    ],
)
def test_heating_and_chilling_are_told_apart_by_the_temperature(language: Language, said: str, act: str) -> None:
    assert language.understand(said, NOW)[0].act == act
