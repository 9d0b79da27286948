"""The line modes as programs use them: an object a line, its keys and types, exit codes, nothing lost.

Where it matters that it is another program, the real command is started.
"""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime, timedelta
from pathlib import Path
from threading import Timer
from typing import IO, Any

import pytest
from talk import (
    LOG_FILE,
    PROGRAM,
    ROOT,
    SOON,
    TABLES,
    entries,
    entry_text,
    moment,
    opened,
    program,
    surroundings,
    table_lines,
)

from assistant import lines
from assistant.acts import ACTS
from assistant.engine.units import parse_unit
from grammar.command import LINE
from grammar.language import Language

BREW_DAY = TABLES / "harvest-amber.txt"
DONE, FAULT, NOT_ANSWERED = 0, 1, 2
"""Exit codes of the contract."""

ALWAYS: dict[str, type | tuple[type, ...]] = {
    "heard": str,
    "act": str,
    "slots": dict,
    "sure": (float, int),
    "status": str,
    "say": str,
    "values": dict,
    "cautions": list,
    "sources": list,
    "alerts": list,
    "text": str,
}
"""What stands in every object."""

IN_ALSO = {"act": str, "slots": dict, "status": str, "say": str, "values": dict}
"""What stands in each further command of the sentence."""

STATUSES = frozenset({"done", "ask", "unclear", "refused"})


def is_quantity(value: Any) -> bool:
    """`[number, unit]` with a unit the project's own registry knows."""
    if not (isinstance(value, list) and len(value) == 2):
        return False
    number, unit = value
    parse_unit(unit)
    return isinstance(number, float | int) and not isinstance(number, bool) and isinstance(unit, str)


def is_name(value: Any) -> bool:
    return isinstance(value, str) and bool(value) and value == value.lower()


def wrong(answer: dict[str, Any], shape: dict[str, Any]) -> Iterator[str]:
    """What in an object is not as the contract has it."""
    yield from (f"no {key}" for key in shape if key not in answer)
    yield from (
        f"{key} is {answer[key]!r}" for key, kind in shape.items() if not isinstance(answer.get(key), kind)
    )
    if answer["status"] not in STATUSES:
        yield f"status {answer['status']}"
    if answer["act"] not in {*ACTS, "unclear"}:
        yield f"act {answer['act']}"
    yield from (
        f"slot {name} {value!r}"
        for name, value in answer["slots"].items()
        if not (is_quantity(value) or is_name(value) or name == "when" and datetime.fromisoformat(value))
    )
    yield from (
        f"value {name} {value!r}" for name, value in answer["values"].items() if not is_quantity(value)
    )


def replayed(text: str, folder: Path, language: Language) -> list[dict[str, Any]]:
    out = io.StringIO()
    with opened(folder, language) as conversation:
        lines.as_json(conversation, io.StringIO(text), out)
    return [json.loads(line) for line in out.getvalue().splitlines()]


# --- The object


def test_every_object_of_the_brew_day_is_as_the_contract_has_it(tmp_path: Path, language: Language) -> None:
    answers = replayed(BREW_DAY.read_text(encoding="utf-8"), tmp_path, language)
    faults = [(answer["heard"], fault) for answer in answers for fault in wrong(answer, ALWAYS)]
    faults += [
        (answer["heard"], fault)
        for answer in answers
        for more in answer.get("also", [])
        for fault in wrong(more, IN_ALSO)
    ]
    assert faults == []
    for answer in answers:
        assert 0 <= answer["sure"] <= 1
        assert answer["say"] and "\n" not in answer["say"]
        assert answer["say"].split(".")[0] in answer["text"]
        assert all(isinstance(text, str) and text for text in answer["cautions"] + answer["sources"])
        for alert in answer["alerts"]:
            assert alert["label"] and datetime.fromisoformat(alert["at"]).utcoffset() is not None


@pytest.mark.parametrize("sentence", ["asdf qwer", "added 20 oz Willamette", "the wort is at 400F", "???"])
def test_objects_of_what_is_not_done_have_the_same_shape(
    sentence: str, tmp_path: Path, language: Language
) -> None:
    (answer,) = replayed(sentence, tmp_path, language)
    assert list(wrong(answer, ALWAYS)) == []
    assert answer["status"] != "done" and answer["values"] == {}


def test_also_is_missing_where_a_sentence_held_one_command(tmp_path: Path, language: Language) -> None:
    one, two = replayed(
        "the wort is at 85F\nadded 1 oz Willamette and the wort is at 80F", tmp_path, language
    )
    assert "also" not in one
    assert [part["act"] for part in (two, *two["also"])] == ["log_addition", "log_temperature"]


def test_numbers_are_not_rounded_for_show(tmp_path: Path, language: Language) -> None:
    """19 liters are 19 / 3.785411784 gallons, exactly (NIST Handbook 44, from memory)."""
    (answer,) = replayed("convert 19 liters to gallons", tmp_path, language)
    assert answer["values"]["result"] == [pytest.approx(19 / 3.785411784, rel=1e-12), "gallon"]
    assert "5.02" in answer["say"]


def test_heard_is_the_sentence_without_its_moment(tmp_path: Path, language: Language) -> None:
    (answer,) = replayed("[2026-10-10T09:05] reading 1.012 at 68F\n", tmp_path, language)
    assert answer["heard"] == "reading 1.012 at 68F"
    assert answer["slots"] == {"gravity": [1.012, "sg"], "temperature": [68.0, "degF"]}


# --- Lines


@pytest.mark.parametrize(
    "text, many",
    [
        ("", 0),
        ("\n\n   \n\t\n", 0),
        ("# the boil is on\n   # nor this\n", 0),
        ("the boil is on\n\n# a remark\nthe boil is on", 2),
        ("the boil is on\r\nlist my batches\r\n", 2),
        ("the boil is on # at last\n", 1),
    ],
)
def test_blank_lines_and_remarks_get_no_answer(
    text: str, many: int, tmp_path: Path, language: Language
) -> None:
    assert len(replayed(text, tmp_path, language)) == many


MOMENTS: list[tuple[str, str | None]] = [
    # what stands in front, and the moment it means in local time; None: it is no moment
    ("[2026-11-28T09:05] ", "2026-11-28T09:05"),
    ("[2026-11-28T09:05:30] ", "2026-11-28T09:05:30"),
    ("[2026-11-28 09:05] ", "2026-11-28T09:05"),
    ("  [2026-11-28T09:05]", "2026-11-28T09:05"),
    ("[2026-11-28T09:05Z] ", "2026-11-28T09:05+00:00"),
    ("[2026-11-28T09:05+01:00] ", "2026-11-28T09:05+01:00"),
    ("[2026-02-30T09:05] ", None),
    ("[2026-11-28T24:01] ", None),
    ("(2026-11-28T09:05) ", None),
    ("", None),
]


@pytest.mark.parametrize("front, means", MOMENTS)
def test_the_moment_in_front_is_when_it_was_said(front: str, means: str | None) -> None:
    sentence, said = lines.at_moment(f"{front}the boil is on")
    assert said == (moment(means) if means else None)
    assert sentence == ("the boil is on" if means else f"{front}the boil is on")


def test_clocks_run_from_the_moments(tmp_path: Path, language: Language) -> None:
    """A day passes in no time: 60 minutes of boil from 9:05, 38 of them gone at 9:43, all at 10:05."""
    *_, left, over = replayed(
        "[2026-11-28T09:05] the boil is on\n[2026-11-28T09:43] how long left\n"
        "[2026-11-28T10:06] how long left\n",
        tmp_path,
        language,
    )
    assert left["values"]["boil_left"] == [pytest.approx(22), "minute"]
    (alert,) = over["alerts"]
    assert datetime.fromisoformat(alert["at"]) == moment("2026-11-28T10:05")


def test_without_a_moment_it_is_now(tmp_path: Path, language: Language) -> None:
    before = datetime.now().astimezone()
    replayed("the boil is on\n", tmp_path, language)
    (entry,) = entries(tmp_path)
    assert before - timedelta(seconds=1) <= entry.said <= datetime.now().astimezone()


# --- The command


def test_text_mode_answers_every_line(tmp_path: Path) -> None:
    ran = program(
        "--data", tmp_path, heard=["reading 1.052 at 70F", "", "# no", "no, 1.050", "the wort is at 400F"]
    )
    assert (ran.returncode, ran.stderr) == (DONE, b"")
    answers = ("1.052 at 70 °F", "1.050 at 70 °F", "400 °F cannot be")
    at = [ran.stdout.decode().find(answer) for answer in answers]
    assert -1 not in at and at == sorted(at)


def test_the_same_day_leaves_the_same_log_as_text_and_as_objects(tmp_path: Path) -> None:
    heard = BREW_DAY.read_bytes()
    for folder, mode in (("text", ()), ("objects", ("--json",))):
        ran = program(*mode, "--data", tmp_path / folder, heard=heard)
        assert (ran.returncode, ran.stderr) == (DONE, b"")
        kept = [entry_text(entry) for entry in entries(tmp_path / folder)]
        assert kept == table_lines("harvest-amber-log.txt")


@pytest.mark.parametrize(
    "sentence, code",
    [
        ("convert 19 liters to gallons", DONE),
        ("[2026-10-10T10:00] the boil is on", DONE),
        ("asdf qwer", NOT_ANSWERED),
        ("how much corn sugar to bottle 5 gallons", NOT_ANSWERED),
        ("the wort is at 400F", NOT_ANSWERED),
        ("", NOT_ANSWERED),
    ],
)
def test_exit_code_of_one_sentence(sentence: str, code: int, tmp_path: Path) -> None:
    """Answered; answered; not understood; more is needed; refused; nothing said."""
    heard = [sentence] if sentence else [" "]
    ran = program("--data", tmp_path, *heard)
    assert ran.returncode == code
    assert ran.stdout.strip() and ran.stderr == b""


def test_several_words_make_one_sentence(tmp_path: Path) -> None:
    ran = program("--data", tmp_path, "convert", "19", "liters", "to", "gallons")
    assert ran.returncode == DONE and b"5.02 gal" in ran.stdout


def test_a_question_left_open_is_answered_by_the_next_sentence(tmp_path: Path) -> None:
    """Each sentence its own program: question and working are kept between them."""
    asked = program("--data", tmp_path, "how much corn sugar to bottle 5 gallons")
    answered = program("--data", tmp_path, "68 F")
    explained = program("--data", tmp_path, "how did you get that")
    assert [ran.returncode for ran in (asked, answered, explained)] == [NOT_ANSWERED, DONE, DONE]
    assert b"of Corn sugar for 5 gal" in answered.stdout
    assert b"Formula:" in explained.stdout


def unusable(tmp_path: Path, kind: str) -> Path:
    """A folder the log cannot be kept in."""
    folder = tmp_path / "unusable"
    if kind == "a file":
        folder.write_text("not a folder", encoding="utf-8")
    else:
        folder.mkdir()
        (folder / LOG_FILE).write_bytes(b"This is no log at all. " * 200)
    return folder


@pytest.mark.parametrize("mode", [("--json",), (), ("list my batches",)], ids=["json", "text", "sentence"])
@pytest.mark.parametrize("kind", ["a file", "a damaged log"])
def test_unusable_data_is_a_fault_told_in_one_line(mode: tuple[str, ...], kind: str, tmp_path: Path) -> None:
    folder = unusable(tmp_path, kind)
    before = [path.read_bytes() for path in (folder, folder / LOG_FILE) if path.is_file()]
    ran = program("--data", folder, *mode, heard=["the boil is on"])
    assert ran.returncode == FAULT
    assert ran.stdout == b""
    (told,) = ran.stderr.decode().splitlines()
    assert str(folder) in told and "Traceback" not in told
    assert [path.read_bytes() for path in (folder, folder / LOG_FILE) if path.is_file()] == before


def test_understanding_needs_no_log_and_makes_none(tmp_path: Path, away_from_home: Path) -> None:
    """Neither in the folder named nor in the user's own; and it never acts."""
    folder = tmp_path / "never"
    ran = program("--understand", "--data", folder, heard=BREW_DAY.read_bytes())
    assert (ran.returncode, ran.stderr) == (DONE, b"")
    assert not folder.exists() and not away_from_home.exists()
    answers = [json.loads(line) for line in ran.stdout.splitlines()]
    assert len(answers) == len(table_lines("harvest-amber.txt"))
    assert all({"heard", "act", "slots", "sure"} <= set(answer) for answer in answers)
    assert not any({"status", "say", "values", "text", "alerts"} & set(answer) for answer in answers)


def test_understanding_works_beside_unusable_data(tmp_path: Path) -> None:
    ran = program("--understand", "--data", unusable(tmp_path, "a damaged log"), heard=["the boil is on"])
    assert ran.returncode == DONE and json.loads(ran.stdout)["act"] == "log_event"


def test_both_modes_understand_alike(tmp_path: Path, language: Language) -> None:
    """For sentences that lean on nothing said before, and are not too doubtful to act upon."""
    heard = [act.example for act in ACTS.values()]
    understood = [json.loads(line) for line in program("--understand", heard=heard).stdout.splitlines()]
    for sentence, meaning in zip(heard, understood, strict=True):
        if meaning["sure"] < LINE:
            continue
        (answer,) = replayed(sentence, tmp_path / sentence[:20].replace("/", " "), language)
        assert [meaning[key] for key in ("heard", "act", "slots")] == [
            answer[key] for key in ("heard", "act", "slots")
        ]


def test_the_log_goes_to_the_users_own_folder(away_from_home: Path) -> None:
    assert program(heard=["the boil is on"]).returncode == DONE
    assert [entry.act for entry in entries(away_from_home)] == ["log_event"]


# --- As it runs


@contextmanager
def running(*arguments: str | Path) -> Iterator[tuple[subprocess.Popen[bytes], IO[bytes], IO[bytes]]]:
    """The command with both pipes open; it is ended with the test."""
    process = subprocess.Popen(
        [*PROGRAM, *map(str, arguments)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=ROOT,
        env=surroundings(),
    )
    assert process.stdin and process.stdout and process.stderr
    # Whoever waits for an answer that never comes reads an end instead.
    watch = Timer(SOON, process.kill)
    watch.start()
    try:
        yield process, process.stdin, process.stdout
    finally:
        watch.cancel()
        process.kill()
        process.wait(timeout=SOON)
        for pipe in (process.stdin, process.stdout, process.stderr):
            with suppress(BrokenPipeError):
                pipe.close()


def say(sentence: str, into: IO[bytes], out: IO[bytes]) -> bytes:
    """Write one line and wait for its answer while the way in stays open."""
    into.write(f"{sentence}\n".encode())
    into.flush()
    return out.readline()


@pytest.mark.parametrize("mode", ["--json", "--understand"])
def test_each_answer_comes_before_the_next_line_is_said(mode: str, tmp_path: Path) -> None:
    with running(mode, "--data", tmp_path) as (_, into, out):
        for sentence, act in (("the boil is on", "log_event"), ("how long left", "time_left")):
            assert json.loads(say(sentence, into, out))["act"] == act


def test_text_comes_at_once_too(tmp_path: Path) -> None:
    with running("--data", tmp_path) as (_, into, out):
        assert b"1.052 at 70" in say("reading 1.052 at 70F", into, out)


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no such end on this system")
def test_what_was_acknowledged_outlives_a_sudden_end(tmp_path: Path) -> None:
    with running("--json", "--data", tmp_path) as (process, into, out):
        for number in range(1, 6):
            assert json.loads(say(f"reading 1.05{number} at 70F", into, out))["status"] == "done"
        os.kill(process.pid, signal.SIGKILL)
        process.wait(timeout=SOON)
    assert [entry.slots["gravity"][0] for entry in entries(tmp_path)] == [1.051, 1.052, 1.053, 1.054, 1.055]
    after = program("--json", "--data", tmp_path, heard=["show the log"])
    assert json.loads(after.stdout)["say"] == "5 entries."


def test_two_programs_may_write_the_same_log(tmp_path: Path) -> None:
    with (
        running("--json", "--data", tmp_path) as (_, into, out),
        running("--json", "--data", tmp_path) as (_, other, back),
    ):
        assert json.loads(say("new batch called Harvest Amber, 5 gallons", into, out))["status"] == "done"
        assert json.loads(say("reading 1.052 at 60F", other, back))["status"] == "done"
        answer = json.loads(say("what should the final gravity be", into, out))
    assert "1.052" in answer["say"]


def test_a_reader_that_goes_away_is_no_fault_of_ours(tmp_path: Path) -> None:
    with running("--json", "--data", tmp_path) as (process, into, out):
        say("the boil is on", into, out)
        out.close()
        into.write(b"list my batches\n" * 3)
        into.close()
        assert process.stderr and process.stderr.read() == b""
        assert process.wait(timeout=SOON) in (DONE, FAULT)
