"""What is no sentence, or cannot be, gets one clear line; it is never recorded and never ends the program.

The lines are in `tables/bad-input.toml`.
"""

from __future__ import annotations

import io
import json
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from talk import PROGRAM, ROOT, SOON, TABLES, entries, moment, opened, program, surroundings

from assistant import __main__ as command
from assistant.conversation import LONGEST_LINE
from assistant.lines import at_moment
from assistant.reply import ASK, REFUSED, UNCLEAR
from grammar.language import Language

LONGEST_SAY = 160
"""Characters an answer to a bad line may take: two lines of a small terminal, a breath when read aloud."""

NOT_ANSWERED = 2
"""The exit code of the contract for what was not understood, or where more is needed."""

SAID_AT = moment("2026-10-10T10:00")


@dataclass(frozen=True)
class Bad:
    why: str
    line: str
    status: str
    say: str
    fault: str


def rows() -> Iterator[Bad]:
    table = tomllib.loads((TABLES / "bad-input.toml").read_text(encoding="utf-8"))
    for status, group in table.items():
        for row in group:
            yield Bad(
                row["why"],
                row["line"] * row.get("times", 1),
                status,
                row.get("say", ""),
                row.get("fault", ""),
            )


BAD = list(rows())


def test_the_table_is_well_made() -> None:
    assert {row.status for row in BAD} == {UNCLEAR, REFUSED, ASK}
    assert len({row.why for row in BAD}) == len(BAD)


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(
            row, id=row.why, marks=pytest.mark.xfail(strict=True, reason=row.fault) if row.fault else ()
        )
        for row in BAD
    ],
)
def test_one_clear_line_and_nothing_recorded(row: Bad, tmp_path: Path, language: Language) -> None:
    sentence, said = at_moment(row.line)
    with opened(tmp_path, language) as conversation:
        reply = conversation.answer(sentence, said or SAID_AT)
    assert reply.status == row.status
    assert row.say in reply.say
    assert 0 < len(reply.say) <= LONGEST_SAY
    assert reply.say.isprintable(), "one line, and nothing in it that drives a terminal"
    assert len(reply.heard) <= LONGEST_LINE, "what is far too long is not thrown back whole"
    assert entries(tmp_path) == []


@pytest.mark.parametrize(
    "row", list({row.status: row for row in reversed(BAD)}.values()), ids=lambda row: row.why
)
def test_exit_code_of_the_single_sentence(
    row: Bad,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    language: Language,
) -> None:
    """The first row of each kind; the code follows from the kind."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO()))
    assert command.main(["--data", str(tmp_path), "--", row.line]) == NOT_ANSWERED
    shown = capsys.readouterr()
    assert row.say in shown.out and "Traceback" not in shown.out + shown.err
    assert entries(tmp_path) == []


def test_all_of_them_through_a_pipe_are_answered_line_by_line(tmp_path: Path) -> None:
    """The program goes on after each, and what is good among them is kept."""
    heard = [row.line for row in BAD if row.line.strip()]
    ran = program("--json", "--data", tmp_path, heard=[*heard, "note that the garage is cold"])
    *answers, last = [json.loads(line) for line in ran.stdout.decode("utf-8").splitlines()]
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert len(answers) == len(heard)
    assert [answer["heard"] for answer in answers if answer["status"] not in (UNCLEAR, REFUSED, ASK)] == []
    assert last["status"] == "done"
    assert [entry.act for entry in entries(tmp_path)] == ["note"]


BROKEN: list[tuple[str, bytes]] = [
    ("bytes that open nothing", b"the boil \xff\xfe is on"),
    ("half a letter", b"the boil is on \xe2\x82"),
    ("a letter in too many bytes", b"the boil \xc0\xaf is on"),
    ("half a pair", b"the boil \xed\xa0\x80 is on"),
    ("another coding", "dix degrés à la cuve".encode("latin-1")),
    ("sixteen bits a letter", "the boil is on".encode("utf-16")),
    ("random bytes", bytes(range(128, 256))),
    ("zeros", b"\0" * 1000),
]


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    """Broken UTF-8 through a real pipe: an answer each, nothing recorded, and the line after is heard."""
    ran = program(
        "--json", "--data", tmp_path, heard=b"\n".join([line for _, line in BROKEN] + [b"list my batches\n"])
    )
    *answers, last = [json.loads(line) for line in ran.stdout.decode("utf-8").splitlines()]
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert [(why, answer["status"]) for (why, _), answer in zip(BROKEN, answers, strict=True)] == [
        (why, UNCLEAR) for why, _ in BROKEN
    ]
    assert last["status"] == "done"
    assert entries(tmp_path) == []


def test_an_argument_that_is_no_text(tmp_path: Path) -> None:
    ran = subprocess.run(
        [*PROGRAM, "--data", str(tmp_path), b"the boil \xff\xfe is on"],
        capture_output=True,
        cwd=ROOT,
        timeout=SOON,
        env=surroundings(),
    )
    assert ran.returncode == NOT_ANSWERED
    assert b"Traceback" not in ran.stderr
    assert entries(tmp_path) == []


@pytest.mark.parametrize(
    "line",
    [
        "the boil\x07 is on",
        "the boil is on\0",
        "\u202ethe boil is on",
        "🍺 the boil is on",
        "\ufeffthe boil is on",
        "the boil is on\u200b",
    ],
)
def test_a_stray_mark_does_not_hide_a_plain_sentence(line: str, tmp_path: Path, language: Language) -> None:
    """What drives a terminal is not thrown back at it."""
    with opened(tmp_path, language) as conversation:
        reply = conversation.answer(line, SAID_AT)
    assert reply.status == "done"
    (entry,) = entries(tmp_path)
    assert (entry.act, entry.slots) == ("log_event", {"event": "boil_start"})
    assert not any(letter < " " for letter in entry.heard)
