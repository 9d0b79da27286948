"""The chat itself: read a line, answer it, print the answer; ring when a clock comes due.

The conversation is not safe to call from several threads. Every call to it - for an answer, the bottom line,
a completion, the clocks - is made on the one thread of the event loop, and none of them awaits, so no two
overlap.
"""

from __future__ import annotations

import asyncio
import os
import signal
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from prompt_toolkit import PromptSession
from prompt_toolkit.application import create_app_session, get_app_session, run_in_terminal
from prompt_toolkit.auto_suggest import AutoSuggestFromHistory
from prompt_toolkit.enums import DEFAULT_BUFFER
from prompt_toolkit.filters import has_focus
from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.output import Output
from prompt_toolkit.utils import is_dumb_terminal

from assistant.chat.bottom import bottom_line
from assistant.chat.faults import Faults
from assistant.chat.line import KeptHistory, Suggestions
from assistant.chat.paper import STYLE, Paper
from assistant.session.errors import LogError

if TYPE_CHECKING:
    from assistant.conversation import Conversation
    from assistant.reply import Alert

PROMPT = "> "
GOODBYES = frozenset({"quit", "exit", "bye"})
TICK = 1.0
"""Seconds between two looks at the clocks."""

OPENING = (
    "Kettleside keeps your brew day.",
    "Say for example: the boil is on",
    "More: help.  To leave: quit or Ctrl-D.",
)
LEAVING = "Everything logged is saved. Goodbye."
NO_HISTORY = "What you type is not kept for next time: {trouble}. The log is not affected."
ANSWER_FAILED = "Our fault, not yours: the answer failed. Was it recorded? Unknown; \"show the log\" tells."
CLOCKS_FAILED = "Our fault: the clocks cannot ring just now. Ask \"what's next\"."
NO_STATUS = "Our fault: no status here."


def run(
    conversation: Conversation,
    history_path: Path,
    input: Input | None = None,
    output: Output | None = None,
    tick: float = TICK,
) -> int:
    """Talks until the brewer leaves. Returns the exit code, 0; whoever opened the conversation closes it.

    Input and output are the terminal's unless given. The history is kept at `history_path`, tracebacks of our
    own bugs beside it. `tick` is in seconds. Call it on the main thread, where the conversation was opened.
    """
    with create_app_session(input=input, output=output), _interrupts_ignored():
        asyncio.run(Chat(conversation, history_path, tick).talk())
    return 0


@contextmanager
def _interrupts_ignored() -> Iterator[None]:
    # While a line is typed Ctrl-C arrives as a key. At any other time an answer is being worked out, which
    # takes milliseconds: cutting it off could only leave the brewer in doubt about what was recorded.
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


class Chat:
    """One conversation on one terminal."""

    def __init__(self, conversation: Conversation, history_path: Path, tick: float = TICK) -> None:
        self._conversation = conversation
        self._tick = tick
        self._output = get_app_session().output
        self._paper = Paper(self._output, os.environ)
        self._faults = Faults(history_path.with_name("faults.log"))
        self._history = KeptHistory(history_path)
        self._told: set[str] = set()
        self._prompt = self._new_prompt()

    async def talk(self) -> None:
        """Opens, then answers line after line, and rings, until the brewer leaves."""
        for line in OPENING:
            self._paper.say(line)
        self._tell(*self._news())
        left = asyncio.Event()
        async with asyncio.TaskGroup() as tasks:
            tasks.create_task(self._ring_until(left))
            await self._read()
            # Not cancelled: an alert the conversation holds for told must still be printed.
            left.set()
        self._paper.say(LEAVING)

    async def _read(self) -> None:
        while True:
            self._mention_history()
            try:
                typed = await self._prompt.prompt_async(handle_sigint=False)
            except KeyboardInterrupt:  # Only a dumb terminal's prompt still raises it.
                continue
            except EOFError:
                return
            for sentence in filter(None, map(str.strip, typed.splitlines())):  # Several lines may be pasted.
                if sentence.casefold().rstrip(".!") in GOODBYES:
                    return
                self._answer(sentence)

    def _answer(self, sentence: str) -> None:
        try:
            # By the same clock as `due`, or an alert could be told twice.
            reply = self._conversation.answer(sentence, said=_now())
            self._paper.reply(reply)
            self._paper.alerts(reply.alerts, _now())
        except Exception as error:
            self._paper.say(self._excuse(error, ANSWER_FAILED))

    async def _ring_until(self, left: asyncio.Event) -> None:
        while not left.is_set():
            with suppress(TimeoutError):
                await asyncio.wait_for(left.wait(), self._tick)
            alerts, fault = self._news()
            if alerts or fault:
                await run_in_terminal(partial(self._interrupt, alerts, fault))

    def _news(self) -> tuple[Sequence[Alert], str]:
        """The clocks that came due, or what is to be said of a fault that keeps us from telling."""
        try:
            return self._conversation.due(_now()), ""
        except Exception as error:
            return (), self._untold(self._excuse(error, CLOCKS_FAILED))

    def _interrupt(self, alerts: Sequence[Alert], fault: str) -> None:
        """Prints above the line being typed; a dumb terminal cannot, and gets that line again."""
        dumb = is_dumb_terminal()
        if dumb:
            self._output.write("\n")
        self._tell(alerts, fault)
        if dumb:
            self._output.write(PROMPT + self._prompt.default_buffer.text)
            self._output.flush()

    def _tell(self, alerts: Sequence[Alert], fault: str) -> None:
        self._paper.alerts(alerts, _now())
        if fault:
            self._paper.say(fault)

    def _mention_history(self) -> None:
        if self._history.trouble:
            self._tell((), self._untold(NO_HISTORY.format(trouble=self._history.trouble)))

    def _untold(self, text: str) -> str:
        """`text` the first time, then nothing."""
        first = text not in self._told
        self._told.add(text)
        return text if first else ""

    def _bottom(self) -> str:
        columns = self._output.get_size().columns
        try:
            return bottom_line(self._conversation.status(_now()), columns)
        except Exception as error:
            return self._excuse(error, NO_STATUS)[:columns]

    def _suggest(self, text: str) -> list[str]:
        try:
            return self._conversation.suggest(text)
        except Exception as error:
            self._excuse(error, "")
            return []

    def _excuse(self, error: Exception, ours: str) -> str:
        """What to say: a trouble of the log in its own words, else that it is our bug, now written down."""
        return str(error) if isinstance(error, LogError) else f"{ours} {self._faults.note()}"

    def _new_prompt(self) -> PromptSession[str]:
        return PromptSession(
            PROMPT,
            history=self._history,
            # Told from what was typed by its colour alone, so not without colour.
            auto_suggest=AutoSuggestFromHistory() if self._paper.color else None,
            completer=Suggestions(self._suggest),
            complete_while_typing=False,
            reserve_space_for_menu=4,
            multiline=False,
            mouse_support=False,
            bottom_toolbar=self._bottom,
            refresh_interval=self._tick,
            style=STYLE,
            color_depth=self._paper.color_depth,
            key_bindings=_keys(),
        )


def _keys() -> KeyBindings:
    keys = KeyBindings()

    @keys.add("c-c", filter=has_focus(DEFAULT_BUFFER))
    def clear_line(event: KeyPressEvent) -> None:
        event.current_buffer.reset()

    return keys


def _now() -> datetime:
    return datetime.now().astimezone()
