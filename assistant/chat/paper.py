"""What is printed: replies and alerts, wrapped to the terminal, in colour only where that is wanted."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from prompt_toolkit.formatted_text import FormattedText
from prompt_toolkit.output import ColorDepth, Output
from prompt_toolkit.shortcuts import print_formatted_text
from prompt_toolkit.styles import Style
from prompt_toolkit.utils import is_dumb_terminal

from assistant import wording

if TYPE_CHECKING:
    from assistant.reply import Alert, Reply

# The terminal's own colours by name, so that they suit whatever background its owner chose.
STYLE = Style.from_dict({
    "danger": "bold ansired",
    "careful": "ansired",
    "alert": "bold",
    "auto-suggestion": "ansibrightblack",
})

MARKS = {"DANGER:": "class:danger", "Careful:": "class:careful"}
"""The words by which a caution says what it is, and the style that makes them plainer."""

NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=[^\W\d]|[°%])")
LIST_MARK = re.compile(r" *(?:(?:[-*]|\d+[.)]) +)?")
NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"


def wants_color(output: Output, environment: Mapping[str, str]) -> bool:
    """Whether it is a real terminal whose owner did not decline colour (NO_COLOR not empty, TERM=dumb)."""
    stdout = output.stdout
    real = stdout is not None and stdout.isatty()
    return real and not environment.get("NO_COLOR") and not is_dumb_terminal(environment.get("TERM", ""))


def wrap(text: str, columns: int) -> str:
    """`text` with each line wrapped to `columns`; lists hang, and a number stays with the word after it."""
    return "\n".join(_wrap_line(line, columns) for line in text.splitlines())


def keep_units(line: str) -> str:
    """`line` with no space to break at between a number and the word after it; as long as before."""
    return NUMBER_AND_UNIT.sub(NO_BREAK_SPACE, line)


def _wrap_line(line: str, columns: int) -> str:
    if len(line) <= columns:
        return line
    mark = LIST_MARK.match(line)
    hang = " " * len(mark[0]) if mark else ""
    folded = textwrap.fill(
        keep_units(line), columns, subsequent_indent=hang, break_long_words=False, break_on_hyphens=False,
    )
    return folded.replace(NO_BREAK_SPACE, " ")


def alert_line(alert: Alert, now: datetime) -> str:
    """`*** 10:47  Willamette 1 oz: now`, or how long ago that was."""
    late = (now - alert.at).total_seconds() / 60
    when = "now" if late < 1 else f"{wording.span(late)} ago"
    return f"*** {wording.clock(alert.at, now)}  {alert.label}: {when}"


class Paper:
    """Prints on `output`, each time at once: nothing said to the brewer waits in a buffer."""

    def __init__(self, output: Output, environment: Mapping[str, str]) -> None:
        self._output = output
        self.color = wants_color(output, environment)
        self.color_depth = ColorDepth.DEPTH_4_BIT if self.color else ColorDepth.DEPTH_1_BIT

    def say(self, text: str, style: str = "") -> None:
        """Prints `text` on lines of its own."""
        wrapped = wrap(text, self._output.get_size().columns) + "\n"
        if self.color:
            print_formatted_text(
                FormattedText([(style, wrapped)]), style=STYLE, end="",
                output=self._output, color_depth=self.color_depth,
            )
        else:
            # Without colour not even the sequences that reset it: a dumb terminal would show them.
            self._output.write(wrapped)
            self._output.flush()

    def reply(self, reply: Reply) -> None:
        """Prints the reply as it stands; colour comes on top of the words that mark a caution."""
        for line in reply.text.splitlines():
            self.say(line, MARKS.get(line.split(" ", 1)[0], ""))

    def alerts(self, alerts: Iterable[Alert], now: datetime) -> None:
        """Rings once and prints each alert."""
        lines = [alert_line(alert, now) for alert in alerts]
        if lines:
            self._output.bell()
            self.say("\n".join(lines), "class:alert")
