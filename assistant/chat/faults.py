"""Our own bugs: the traceback goes to a file, the brewer gets a line that says where it is."""

from __future__ import annotations

import traceback
from datetime import datetime
from pathlib import Path


class Faults:
    """Writes down each bug once, however often it strikes: the bottom line is drawn every second."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._seen: dict[str, str] = {}

    def note(self) -> str:
        """Writes down the exception being handled. Returns, in a sentence, where the details are."""
        details = traceback.format_exc()
        if details not in self._seen:
            self._seen[details] = self._write(details)
        return self._seen[details]

    def _write(self, details: str) -> str:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with self.path.open("a", encoding="utf-8") as file:
                file.write(f"{datetime.now().astimezone():%Y-%m-%d %H:%M:%S%z}\n{details}\n")
        except OSError as error:
            return f"The details could not be written ({error.strerror or error})."
        return f"The details are in {self.path}."
