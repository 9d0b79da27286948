"""The line being typed: the sentences typed before, and the words that may complete it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from pathlib import Path

from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import FileHistory


class KeptHistory(FileHistory):
    """The sentences typed before, kept in a file, and in memory alone from the moment the file fails."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.trouble: str | None = None
        """Why sentences are no longer kept in the file; None while they are."""
        self._unsaved: list[str] = []
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.open("ab").close()
        except OSError as error:
            self._fail(error)

    def load_history_strings(self) -> Iterable[str]:
        yield from reversed(self._unsaved)
        try:
            yield from super().load_history_strings()
        except OSError as error:
            self._fail(error)

    def store_string(self, string: str) -> None:
        try:
            super().store_string(string)
        except OSError as error:
            self._unsaved.append(string)
            self._fail(error)

    def _fail(self, error: OSError) -> None:
        self.trouble = error.strerror or str(error)


class Suggestions(Completer):
    """Completes with whole words and names, which may be of several words."""

    def __init__(self, suggest: Callable[[str], list[str]]) -> None:
        self._suggest = suggest

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        text = document.text_before_cursor
        for name in self._suggest(text):
            yield Completion(name, start_position=-typed(text, name))


def typed(text: str, name: str) -> int:
    """How many of the last characters of `text` the name takes the place of.

    They are the most words it begins with (`irish m` of Irish moss), else the last, unfinished word.
    """
    starts = [found.start() for found in re.finditer(r"\S+", text)]
    begun = (start for start in starts if name.casefold().startswith(text[start:].casefold()))
    unfinished = len(re.search(r"\S*$", text)[0])  # type: ignore[index]  # It always matches.
    start = next(begun, len(text) - unfinished)
    return len(text) - start
