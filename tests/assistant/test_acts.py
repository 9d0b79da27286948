"""Every act has an answerer, a line of help, and an example that is understood as that very act."""

from __future__ import annotations

import pytest
from talk import moment, slots_text

from assistant.acts import ACTS
from assistant.dispatch import HANDLERS
from assistant.handlers.sums import SUMS
from grammar.command import RECORDING
from grammar.files import ANSWERS, DUE, acts
from grammar.language import Language

PROMISED = frozenset(
    """
    log_gravity log_temperature log_volume log_addition log_event note correct_last undo
    plan_addition remove_addition new_batch use_batch list_batches set show_log summary export
    start_timer time_left whats_next pause resume cancel_timer
    ask_correct_reading ask_convert ask_abv ask_calories ask_refractometer ask_dilution ask_topup_gravity
    ask_gravity_from ask_extract_for ask_substitute ask_mix_temperature ask_ice ask_strike ask_heat_time
    ask_chill_time ask_boiling_point ask_boil_off ask_water_needed ask_bitterness ask_hops_for ask_color
    ask_pitch_rate ask_viability ask_starter ask_pitch_temperature ask_original_gravity ask_final_gravity
    ask_ready ask_priming ask_keg_pressure ask_bottles ask_sanitizer ask_chlorine ask_mineral
    define about why how_to what_now troubleshoot safety explain_last help
""".split()
)
"""What programs may ask for by the contract; `unclear` is no act but its absence."""

SAID_AT = moment("2026-10-18T15:00")

SURE = 0.85

EXAMPLE_SLOTS = {
    "log_gravity": "gravity=1.052 sg; temperature=70 degF",
    "log_temperature": "of=wort; temperature=85 degF",
    "log_volume": "of=kettle; volume=3 gallon",
    "log_addition": "amount=1 ounce; ingredient=willamette",
    "log_event": "event=boil_start",
    "note": "text=the garage is cold",
    "correct_last": "gravity=1.014 sg",
    "undo": "",
    "plan_addition": "amount=1 ounce; boil_left=15 minute; ingredient=willamette",
    "remove_addition": "ingredient=magnum",
    "new_batch": "name=harvest amber; volume=5 gallon",
    "use_batch": "name=harvest amber",
    "set": "boil_off=1 gallon/hour",
    "start_timer": "duration=30 minute; label=steep",
}
"""What the examples of the acts that change something mean, by slots; a wrong one of these would be kept."""


def test_every_act_promised_is_described_and_answered() -> None:
    assert set(ACTS) >= PROMISED
    assert set(HANDLERS) == set(ACTS)


def test_the_grammar_knows_these_acts_and_no_others() -> None:
    """An addition that does not say whether it happened becomes one of the two acts of additions."""
    terse = {act for act in acts() if act.startswith(DUE)}
    assert set(acts()) - set(ANSWERS) - {"addition", "ask_facts"} - terse == set(ACTS)


def test_every_sum_is_an_act() -> None:
    assert set(SUMS) <= set(ACTS)


@pytest.mark.parametrize("act", ACTS)
def test_example_is_understood(act: str, language: Language) -> None:
    (command,) = language.understand(ACTS[act].example, SAID_AT)
    assert command.act == act
    assert command.sure >= SURE
    assert not command.doubts and not command.repairs and not command.passed_over


@pytest.mark.parametrize("act", sorted(RECORDING | {"use_batch", "start_timer"}))
def test_example_means_what_it_says(act: str, language: Language) -> None:
    assert slots_text(language.understand(ACTS[act].example, SAID_AT)[0].slots) == EXAMPLE_SLOTS[act]


@pytest.mark.parametrize("act", ACTS)
def test_help_line_completes_i_can(act: str) -> None:
    does = ACTS[act].does
    assert does and does[0].islower() and not does.endswith(".")
    assert ACTS[act].topic in {"log", "plan", "clock", "sums", "know"}
    assert len(ACTS[act].example) <= 80, "it must be read aloud in a breath"


def test_no_two_acts_are_described_alike() -> None:
    assert (
        len({act.does for act in ACTS.values()}) == len({act.example for act in ACTS.values()}) == len(ACTS)
    )
