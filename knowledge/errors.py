"""What is wrong with a knowledge file: which file, which entry, what was found and what would work."""

from __future__ import annotations


class KnowledgeError(Exception):
    """A knowledge file could not be read, or an entry in it was refused."""

    def __init__(self, file: str, entry: str, wrong: str, works: str) -> None:
        super().__init__(file, entry, wrong, works)
        self.file = file
        """The file's path inside the knowledge folder."""
        self.entry = entry
        """The id of the entry, empty when the whole file is meant."""
        self.wrong = wrong
        self.works = works

    def __str__(self) -> str:
        place = f"{self.file}, {self.entry}" if self.entry else self.file
        return f"{place}: {self.wrong}; {self.works}"
