"""The chat on a supplied terminal, with a stand-in for the conversation: what is typed, answered and printed.

The scenario is our own, and so is the wording of the lines: nothing here is a fact of the trade to look up.
"""

from __future__ import annotations

import io
import re
import signal
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from prompt_toolkit.application import get_app
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.data_structures import Size
from prompt_toolkit.document import Document
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import DummyOutput
from prompt_toolkit.output.vt100 import Vt100_Output
from prompt_toolkit.utils import get_cwidth

from assistant.chat import run
from assistant.chat.bottom import bottom_line, span
from assistant.chat.line import KeptHistory, Suggestions
from assistant.chat.paper import Paper, alert_line, wrap
from assistant.session.errors import LogUnwritable

CTRL_C, CTRL_D, ENTER, TAB, UP = "\x03", "\x04", "\r", "\t", "\x1b[A"
MAX_POLLS = 500
"""Looks at the clocks after which a chat that should have ended is given up."""


@dataclass(frozen=True)
class Alert:
    label: str
    at: datetime


@dataclass(frozen=True)
class Reply:
    text: str
    alerts: tuple[Alert, ...] = ()


@dataclass(frozen=True)
class Status:
    batch: str | None = None
    stage: str = "planning"
    boil_left: float | None = None
    paused: bool = False
    next: str | None = None
    next_in: float | None = None
    timers: tuple[tuple[str, float], ...] = ()


@dataclass
class StandIn:
    """Answers by repeating, and does otherwise whatever a test puts in the place of a method's answer."""

    replies: dict[str, Reply | Exception] = field(default_factory=dict)
    rings: Callable[[], list[Alert]] = list
    names: tuple[str, ...] = ()
    status_is: Status | Exception = Status("Harvest Amber", "planning")
    heard: list[str] = field(default_factory=list)
    moments: list[datetime | None] = field(default_factory=list)
    """Those given with sentences and looks at the clocks, in the order of the calls."""
    polls: int = 0

    def answer(self, line: str, said: datetime | None = None) -> Reply:
        self.heard.append(line)
        self.moments.append(said)
        return given(self.replies.get(line, Reply(f"Heard: {line}.")))

    def due(self, now: datetime) -> list[Alert]:
        self.moments.append(now)
        self.polls += 1
        if self.polls > MAX_POLLS:
            pytest.fail(f"the chat does not end; heard {self.heard}")
        return self.rings()

    def status(self, now: datetime) -> Status:
        return given(self.status_is)

    def suggest(self, text: str) -> list[str]:
        last = text.rsplit(" ", 1)[-1]
        return [name for name in self.names if name.startswith(last)]


def given(answer):
    if isinstance(answer, Exception):
        raise answer
    return answer


class Screen(DummyOutput):
    """Takes down what is written, the line being typed included, and the rings of the bell."""

    def __init__(self, columns: int = 80) -> None:
        self.columns = columns
        self.written = ""
        self.bells = 0

    def write(self, data: str) -> None:
        self.written += data

    write_raw = write

    def bell(self) -> None:
        self.bells += 1

    def get_size(self) -> Size:
        return Size(rows=24, columns=self.columns)

    @property
    def lines(self) -> list[str]:
        return [line.rstrip() for line in re.split(r"[\r\n]+", self.written)]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture(autouse=True)
def environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)


@pytest.fixture
def keyboard() -> Iterator[PipeInput]:
    with create_pipe_input() as pipe:
        yield pipe


@pytest.fixture
def chat(keyboard: PipeInput, tmp_path: Path):
    """Types the keys, talks until the chat ends, returns the screen; the data folder is `tmp_path`."""

    def talk(conversation: StandIn, keys: str, columns: int = 80, history: Path | None = None) -> Screen:
        screen = Screen(columns)
        keyboard.send_text(keys)
        assert run(conversation, history or tmp_path / "typed", keyboard, screen, tick=0.01) == 0
        return screen

    return talk


def once(alert: Alert, when: Callable[[], bool]) -> Callable[[], list[Alert]]:
    """Rings once, at the first look at the clocks when `when` holds."""
    waiting = [alert]

    def rings() -> list[Alert]:
        return [waiting.pop()] if waiting and when() else []

    return rings


def line_is(text: str) -> bool:
    return get_app().current_buffer.text == text


def typing(keyboard: PipeInput, *steps: tuple[Callable[[], bool], str]) -> Callable[[], list[Alert]]:
    """Step by step, types the keys at the first look at the clocks when the condition holds."""
    waiting = list(steps)

    def rings() -> list[Alert]:
        if waiting and waiting[0][0]():
            keyboard.send_text(waiting.pop(0)[1])
        return []

    return rings


KEYS = [
    # keys typed, sentences answered
    pytest.param("the boil is on" + ENTER + CTRL_D, ["the boil is on"], id="a sentence"),
    pytest.param("one" + ENTER + "two" + ENTER + CTRL_D, ["one", "two"], id="one after the other"),
    pytest.param("half a" + CTRL_C + "whole" + ENTER + CTRL_D, ["whole"], id="Ctrl-C clears the line"),
    pytest.param(CTRL_C + CTRL_C + "on" + ENTER + CTRL_D, ["on"], id="Ctrl-C on an empty line does nothing"),
    pytest.param(CTRL_D, [], id="Ctrl-D leaves"),
    pytest.param(ENTER + "  " + ENTER + CTRL_D, [], id="a blank line is no sentence"),
    pytest.param("one" + ENTER + "quit" + ENTER, ["one"], id="quit leaves"),
    pytest.param("Exit." + ENTER, [], id="exit leaves, with a capital and a full stop"),
    pytest.param("bye" + ENTER, [], id="bye leaves"),
    pytest.param("bye bye hops" + ENTER + CTRL_D, ["bye bye hops"], id="only the word alone leaves"),
    pytest.param("\x1b[200~one\ntwo\n\x1b[201~" + ENTER + CTRL_D, ["one", "two"], id="lines pasted together"),
]


@pytest.mark.parametrize(("keys", "heard"), KEYS)
def test_what_is_typed_is_answered(chat, keys: str, heard: list[str]) -> None:
    conversation = StandIn()
    screen = chat(conversation, keys)
    assert conversation.heard == heard
    answers = [line for line in screen.lines if line.startswith("Heard")]
    assert answers == [f"Heard: {sentence}." for sentence in heard]


def test_it_opens_in_three_short_lines_and_says_what_came_due_while_away(chat) -> None:
    missed = Alert("bottle the batch", datetime.now().astimezone() - timedelta(minutes=12, seconds=10))
    screen = chat(StandIn(rings=once(missed, lambda: True)), CTRL_D)
    opening = screen.lines[:4]
    assert opening[0].startswith("Kettleside")
    assert "help" in opening[2] and "quit" in opening[2]
    assert all(0 < len(line) <= 40 for line in opening[:3])
    assert opening[3].startswith("***") and opening[3].endswith("bottle the batch: 12 minutes ago")
    assert screen.bells == 1


def test_sentences_and_clocks_go_by_one_time_that_never_runs_back(chat) -> None:
    conversation = StandIn()
    before = datetime.now().astimezone()
    chat(conversation, "one" + ENTER + "two" + ENTER + CTRL_D)
    moments = [before, *conversation.moments, datetime.now().astimezone()]
    assert len(moments) > 4 and moments == sorted(moments)


def test_leaving_says_in_one_line_that_the_log_is_safe(chat) -> None:
    assert chat(StandIn(), CTRL_D).written.splitlines()[-1] == "Everything logged is saved. Goodbye."


def test_an_alert_is_printed_and_rung_while_typing_and_the_typed_text_stays(
    chat, keyboard: PipeInput
) -> None:
    alert = Alert("Willamette 1 oz, Irish moss 1 tsp", datetime.now().astimezone())
    ring = once(alert, lambda: line_is("add the "))
    go_on = typing(keyboard, (lambda: line_is("add the "), "hops" + ENTER + CTRL_D))
    conversation = StandIn(rings=lambda: ring() or go_on())
    screen = chat(conversation, "add the ")
    assert conversation.heard == ["add the hops"]
    assert f"*** {alert.at:%H:%M}  Willamette 1 oz, Irish moss 1 tsp: now" in screen.written
    after = screen.written.split(": now", 1)[1]
    assert "add the" in after, "the line being typed is drawn again below the alert"
    assert screen.bells == 1


def test_on_a_dumb_terminal_the_typed_text_is_repeated_below_an_alert(
    chat, keyboard: PipeInput, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "dumb")
    alert = Alert("flameout", datetime.now().astimezone())
    ring = once(alert, lambda: line_is("add the "))
    go_on = typing(keyboard, (lambda: line_is("add the "), "hops" + ENTER + CTRL_D))
    conversation = StandIn(rings=lambda: ring() or go_on())
    screen = chat(conversation, "add the ")
    assert conversation.heard == ["add the hops"]
    shown = screen.written.replace("\r", "")
    assert f"> add the \n*** {alert.at:%H:%M}  flameout: now\n> add the hops\nHeard: add the hops.\n" in shown


def test_ctrl_c_while_an_answer_is_worked_out_neither_cuts_it_off_nor_ends_the_chat(chat) -> None:
    class Interrupted(StandIn):
        def answer(self, line: str, said: datetime | None = None) -> Reply:
            signal.raise_signal(signal.SIGINT)
            return super().answer(line, said)

    conversation, before = Interrupted(), signal.getsignal(signal.SIGINT)
    screen = chat(conversation, "one" + ENTER + "two" + ENTER + CTRL_D)
    assert conversation.heard == ["one", "two"]
    assert "Heard: two." in screen.written
    assert signal.getsignal(signal.SIGINT) is before


def test_alerts_that_come_with_a_reply_are_printed_after_it(chat) -> None:
    alert = Alert("flameout", datetime.now().astimezone())
    screen = chat(StandIn({"time": Reply("Boil: 0 min left.", alerts=(alert,))}), "time" + ENTER + CTRL_D)
    lines = screen.written.splitlines()
    assert lines[lines.index("Boil: 0 min left.") + 1] == f"*** {alert.at:%H:%M}  flameout: now"
    assert screen.bells == 1


def test_what_was_typed_is_found_again_in_the_next_run(chat, tmp_path: Path) -> None:
    chat(StandIn(), "reading 1.012 at 68F" + ENTER + CTRL_D)
    again = StandIn()
    chat(again, UP + ENTER + CTRL_D)
    assert again.heard == ["reading 1.012 at 68F"]


def test_without_a_history_file_it_says_so_once_and_remembers_meanwhile(
    chat, keyboard: PipeInput, tmp_path: Path
) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    conversation = StandIn()
    conversation.rings = typing(
        keyboard,
        (lambda: conversation.heard == ["one"], UP),
        (lambda: line_is("one"), ENTER + "two" + ENTER + CTRL_D),
    )
    screen = chat(conversation, "one" + ENTER, history=folder)
    assert conversation.heard == ["one", "one", "two"]
    assert screen.written.count("not kept for next time") == 1


def test_a_history_whose_file_fails_later_still_holds_all_that_was_typed(tmp_path: Path) -> None:
    path = tmp_path / "typed"
    history = KeptHistory(path)
    history.store_string("one")
    assert history.trouble is None
    kept = path.read_bytes()
    path.unlink()
    path.mkdir()
    history.store_string("two")
    assert history.trouble
    path.rmdir()
    path.write_bytes(kept)
    assert list(history.load_history_strings()) == ["two", "one"], "latest first"


def test_a_bug_in_an_answer_does_not_end_the_chat(chat, tmp_path: Path) -> None:
    conversation = StandIn({"one": ZeroDivisionError("the pot has no bottom")})
    screen = chat(conversation, "one" + ENTER + "two" + ENTER + CTRL_D, columns=200)
    assert conversation.heard == ["one", "two"]
    [told] = [line for line in screen.lines if "ur fault" in line]
    assert "recorded" in told and "show the log" in told and str(tmp_path / "faults.log") in told
    written = (tmp_path / "faults.log").read_text(encoding="utf-8")
    assert "Traceback" in written and "the pot has no bottom" in written


def test_a_bug_in_the_clocks_is_told_once_and_written_once(chat, keyboard: PipeInput, tmp_path: Path) -> None:
    conversation = StandIn()

    def rings() -> list[Alert]:
        if conversation.polls == 5:  # By then it has failed in the opening and while the line stood empty.
            keyboard.send_text("still here" + ENTER + CTRL_D)
        raise OverflowError("no such moment")

    conversation.rings = rings
    screen = chat(conversation, "", columns=200)
    assert conversation.heard == ["still here"]
    assert screen.written.count("the clocks cannot ring just now") == 1
    assert (tmp_path / "faults.log").read_text(encoding="utf-8").count("OverflowError: no such moment") == 1


def test_a_trouble_of_the_log_is_told_in_its_own_words_and_is_no_bug(
    chat, keyboard: PipeInput, tmp_path: Path
) -> None:
    conversation = StandIn()

    def rings() -> list[Alert]:
        if conversation.polls == 5:
            keyboard.send_text(CTRL_D)
        raise LogUnwritable(tmp_path / "kettleside.db")

    conversation.rings = rings
    screen = chat(conversation, "", columns=200)
    assert screen.written.count("The log cannot be written") == 1
    assert not (tmp_path / "faults.log").exists()


def test_a_bug_in_the_status_shows_in_the_bottom_line(chat, tmp_path: Path) -> None:
    conversation = StandIn(status_is=KeyError("stage"))
    screen = chat(conversation, "one" + ENTER + CTRL_D)
    assert conversation.heard == ["one"]
    assert "Our fault: no status" in screen.written
    assert "KeyError" in (tmp_path / "faults.log").read_text(encoding="utf-8")


def test_the_bottom_line_is_on_the_screen(chat) -> None:
    screen = chat(StandIn(status_is=Status("Harvest Amber", "boiling", 38.2)), "one" + ENTER + CTRL_D)
    assert "Harvest Amber | boil 38 min left" in screen.written


BOIL = Status("Harvest Amber", "boiling", 37.8, False, "Willamette 1 oz", 22.8)
TWO = "Willamette 1 oz, Irish moss 1 tsp"
BOTTOM = [
    # status, the line at 80 columns, the line at 40 columns
    (Status(), "no batch yet", "no batch yet"),
    (Status("Harvest Amber", "fermenting"), "Harvest Amber, fermenting", "Harvest Amber, fermenting"),
    (
        BOIL,
        "Harvest Amber | boil 38 min left | in 23 min Willamette 1 oz",
        "boil 38 min | in 23 min Willamette 1 oz",
    ),
    (
        Status("Harvest Amber", "boiling", 38.0, True, "Willamette 1 oz", None),
        "Harvest Amber | boil paused at 38 min | next Willamette 1 oz",
        "paused 38 min | next Willamette 1 oz",
    ),
    (
        Status("Harvest Amber", "boiling", 15.0, False, "Willamette 1 oz", 0.0),
        "Harvest Amber | boil 15 min left | now Willamette 1 oz",
        "boil 15 min left | now Willamette 1 oz",
    ),
    (
        Status("Harvest Amber", "boiling", 0.0, False, "flameout", -2.0),
        "Harvest Amber | boil time is up | now flameout",
        "boil time is up | now flameout",
    ),
    (
        Status("Harvest Amber", "boiling", 0.6),
        "Harvest Amber | boil 36 s left",
        "Harvest Amber | boil 36 s left",
    ),
    (
        Status("Harvest Amber", "boiling", 37.8, False, TWO, 22.8, (("lunch", 90.0), ("sanitizer", 4.2))),
        "boil 38 min left | sanitizer 4 min | in 23 min Willamette 1 oz, Irish moss 1 tsp",
        "boil 38 min | in 23 min Willamette...",
    ),
    (
        Status("Harvest Amber", "steeping", None, False, None, None, (("steep", 12.0), ("", 121.0))),
        "Harvest Amber, steeping | steep 12 min | timer 2 h",
        "Harvest Amber | steep 12 min | timer 2 h",
    ),
    (Status("H" * 90, "planning"), "H" * 77 + "...", "H" * 37 + "..."),
    (
        Status("The Harvest Amber of the second weekend in October", "kegged"),
        "The Harvest Amber of the second weekend in October, kegged",
        "The Harvest Amber of the second...",
    ),
]


@pytest.mark.parametrize(("status", "wide", "narrow"), BOTTOM)
def test_the_bottom_line_at_80_and_40_columns(status: Status, wide: str, narrow: str) -> None:
    assert bottom_line(status, 80) == wide
    assert bottom_line(status, 40) == narrow


@pytest.mark.parametrize("status", [case[0] for case in BOTTOM])
def test_the_bottom_line_fits_every_width_and_is_never_empty(status: Status) -> None:
    for columns in range(1, 121):
        assert 0 < get_cwidth(bottom_line(status, columns)) <= columns


@pytest.mark.parametrize(
    ("minutes", "shown"),
    [(-3, "0 s"), (0.5, "30 s"), (1, "1 min"), (90, "90 min"), (180, "3 h"), (14 * 1440, "14 days")],
)
def test_a_span_in_few_characters(minutes: float, shown: str) -> None:
    assert span(minutes) == shown


TEN_FORTY_SEVEN = datetime(2026, 10, 10, 10, 47).astimezone()
ALERTS = [
    # looked at after, the line
    (timedelta(seconds=0.4), "*** 10:47  Willamette 1 oz: now"),
    (timedelta(minutes=3), "*** 10:47  Willamette 1 oz: 3 minutes ago"),
    (timedelta(days=1), "*** yesterday 10:47  Willamette 1 oz: 24 hours ago"),
]


@pytest.mark.parametrize(("after", "line"), ALERTS)
def test_the_line_of_an_alert(after: timedelta, line: str) -> None:
    assert alert_line(Alert("Willamette 1 oz", TEN_FORTY_SEVEN), TEN_FORTY_SEVEN + after) == line


WRAPS = [
    # columns, text, as printed
    (40, "Logged 1.052 at 68 °F.", "Logged 1.052 at 68 °F."),
    (20, "The gravity is now 1.052 sg.", "The gravity is now\n1.052 sg."),
    (24, "Cool the wort down to 68 °F first.", "Cool the wort down to\n68 °F first."),
    (22, "- stir the extract well\n- light the burner", "- stir the extract\n  well\n- light the burner"),
    (22, "10. stir the extract well", "10. stir the extract\n    well"),
    (22, "  hops: 0.75 oz (said at noon)", "  hops: 0.75 oz (said\n  at noon)"),
    (20, "One line.\n\nAnd another one.", "One line.\n\nAnd another one."),
    (10, "a-very-long-word-stays-whole", "a-very-long-word-stays-whole"),
]


@pytest.mark.parametrize(("columns", "text", "printed"), WRAPS)
def test_text_is_wrapped_and_numbers_keep_their_units(columns: int, text: str, printed: str) -> None:
    assert wrap(text, columns) == printed


DANGER = "DANGER: turn the burner off and go outside."
CAREFUL = "Careful: steam scalds."
ADVICE = "Tip: keep the lid off."
COLORS = [
    # is a terminal, environment, whether there is colour
    (True, {"TERM": "xterm-256color"}, True),
    (True, {"TERM": "xterm-256color", "NO_COLOR": ""}, True),  # "When not empty": no-color.org, from memory.
    (True, {"TERM": "xterm-256color", "NO_COLOR": "1"}, False),
    (True, {"TERM": "dumb"}, False),
    (False, {"TERM": "xterm-256color"}, False),
]


@pytest.mark.parametrize(("terminal", "environment", "colored"), COLORS)
def test_color_only_on_a_terminal_that_wants_it_and_the_words_always(
    terminal: bool, environment: dict[str, str], colored: bool
) -> None:
    stdout = Terminal() if terminal else io.StringIO()
    output = Vt100_Output(stdout, lambda: Size(rows=24, columns=80), term="xterm")
    text = f"{DANGER}\nLogged.\n{CAREFUL}\n{ADVICE}"
    Paper(output, environment).reply(Reply(text))
    shown = stdout.getvalue()
    assert ("\x1b[" in shown) == colored
    assert len(re.findall(r"\x1b\[0;31", shown)) == (2 if colored else 0), "red, by the terminal's own name"
    plain = re.sub(r"\x1b\[[\d;?]*\w", "", shown).replace("\r", "")
    assert plain == text + "\n"


COMPLETIONS = [
    # typed, what may follow, the line once the first is taken
    ("add 1 oz will", ["willamette"], "add 1 oz willamette"),
    ("add irish m", ["irish moss"], "add irish moss"),
    ("add Irish m", ["irish moss"], "add irish moss"),
    ("add moss", ["irish moss"], "add irish moss"),
    ("add ", ["magnum", "willamette"], "add magnum"),
    ("", ["add"], "add"),
    ("xyz", [], None),
]


@pytest.mark.parametrize(("text", "names", "line"), COMPLETIONS)
def test_a_completion_takes_the_place_of_what_was_begun(
    text: str, names: list[str], line: str | None
) -> None:
    asked = []

    def suggest(begun: str) -> list[str]:
        asked.append(begun)
        return names

    found = list(Suggestions(suggest).get_completions(Document(text), CompleteEvent()))
    assert asked == [text]
    assert [completion.text for completion in found] == names
    if line is not None:
        assert text[:len(text) + found[0].start_position] + found[0].text == line


def test_tab_completes_and_typing_alone_does_not(chat, keyboard: PipeInput) -> None:
    completed = typing(keyboard, (lambda: line_is("add willamette"), ENTER + "add willa" + ENTER + CTRL_D))
    conversation = StandIn(names=("willamette",), rings=completed)
    chat(conversation, "add will" + TAB)
    assert conversation.heard == ["add willamette", "add willa"]
