"""One window on one log: what it has read so far, the batch it is at, and what it adds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime

from assistant.session.entry import Draft, Entry, SlotValue
from assistant.session.log import Log
from assistant.session.model import Batch, Journal, same_name, words
from assistant.session.slots import BadSlot, check
from assistant.session.state import extend, fold


class Session:
    """Call `refresh` before each sentence, so that what other windows added counts; recording does so too."""

    def __init__(self, log: Log) -> None:
        self.log = log
        self.journal: Journal = fold([])
        self._read: list[Entry] = []
        self._switches: list[int] = []
        """The entries by which this window opened or returned to a batch."""
        self._looked_at: int | None = None
        """The batch a question is about, while it is answered."""
        self._began_at: int | None = None
        """The batch it was at before any of those."""
        self.refresh()

    @property
    def batch(self) -> Batch | None:
        """The batch this window is at, whatever other windows turn to; None while there is none."""
        if self._looked_at is not None:
            return self.journal.by_id[self._looked_at]
        for number in reversed(self._switches):
            switch = self.journal.live.get(number)
            if switch and switch.batch in self.journal.by_id:
                return self.journal.by_id[switch.batch]
        return self.journal.by_id.get(self._began_at or 0) or self.journal.latest

    @contextmanager
    def looking_at(self, batch: Batch) -> Iterator[None]:
        """While this lasts, this window is at that batch; nothing may be recorded then."""
        self._looked_at = batch.id
        try:
            yield
        finally:
            self._looked_at = None

    @property
    def bench(self) -> Batch:
        """Where an entry made now would be: the batch, or the journal's bench while there is none."""
        return self.batch or self.journal.bench

    def refresh(self) -> None:
        """Takes in what this and other windows added since the last look. Raises LogError."""
        new = self.log.since(self._read[-1].id if self._read else 0)
        self.journal = extend(self.journal, self._read, new)
        self._read += new
        if self._began_at is None and self.journal.latest:
            self._began_at = self.journal.latest.id

    def record(
        self,
        act: str,
        slots: dict[str, SlotValue],
        heard: str,
        happened: datetime,
        said: datetime,
        refers: int | None = None,
        batch: int | None = None,
    ) -> Entry:
        """Saves one entry, to this window's batch unless another is given. See `record_many`."""
        return self.record_many(
            [
                Draft(
                    act=act,
                    slots=slots,
                    heard=heard,
                    happened=happened,
                    said=said,
                    refers=refers,
                    batch=batch,
                )
            ]
        )[0]

    def record_many(self, drafts: Sequence[Draft]) -> list[Entry]:
        """Saves what one sentence held, all or nothing, and takes it in.

        A draft without a batch goes to this window's batch, or to the one the same sentence opened or turned
        to before it. `use_batch` needs the batch's number. Raises BadSlot before anything is saved, LogError
        when saving failed.
        """
        placed = self._placed(drafts)
        for draft in placed:
            check(draft.act, draft.slots)
        entries = self.log.append(placed)
        self._switches += [entry.id for entry in entries if entry.act in ("new_batch", "use_batch")]
        self.refresh()
        return entries

    def last_entry(self) -> Entry | None:
        """What this window's batch was told last and still holds, as corrected: what a correction speaks of."""
        entries = self.bench.entries
        return entries[-1] if entries else None

    def last_told(self) -> list[Entry]:
        """All that the last sentence told this window's batch and it still holds, as corrected: what an undo speaks of."""
        return self._of_one_sentence(sorted([*self.bench.entries, *self._corrections()], key=lambda entry: entry.id))

    def _corrections(self) -> list[Entry]:
        """Those of this window's batch that stand, of entries that stand."""
        live = self.journal.live
        return [
            entry
            for entry in live.values()
            if entry.act == "correct_last" and (entry.batch or 0) == self.bench.id and self._corrected_by(entry) in live
        ]

    def _corrected_by(self, correction: Entry) -> int | None:
        """The entry it puts right, also where it speaks of an earlier correction of that."""
        told = {entry.id: entry for entry in self._read}
        target = correction.refers
        while target is not None and told[target].act == "correct_last":
            target = told[target].refers
        return target

    def last_undone(self) -> list[Entry]:
        """The undos of the last sentence that took something back in the batch this window is or was just at, and
        that still stand: what a redo undoes."""
        at = {None if self.batch is None else self.batch.id, *self._switches[-1:]}
        redone = {entry.id for entry in self._read if entry.act == "undo"}
        return self._of_one_sentence(
            [
                entry
                for entry in self.journal.live.values()
                if entry.act == "undo" and entry.batch in at and entry.refers not in redone
            ]
        )

    def _of_one_sentence(self, entries: Sequence[Entry]) -> list[Entry]:
        """The last of these entries and those before it that came from the same sentence.

        The same words at the same moment are the same sentence, unless they say the same thing again.
        """
        as_told = {entry.id: entry for entry in self._read}
        found: list[Entry] = []
        for entry in reversed(entries):
            told = as_told[entry.id]
            others = [as_told[other.id] for other in found]
            if others and (told.said, told.heard) != (others[0].said, others[0].heard):
                break
            if any(
                (told.act, told.slots, told.refers) == (other.act, other.slots, other.refers)
                for other in others
            ):
                break
            found.append(entry)
        return found[::-1]

    def find_batch(self, name: str) -> Batch | None:
        """The batch of this name, else of a name that holds or is held by it, else of this style, else None.

        Of several the one this window is at, else the latest.
        """
        wanted = name.removeprefix("the ").removeprefix("my ")

        def unlike(batch: Batch) -> tuple[bool, bool, bool]:
            exact = words(batch.name) == words(wanted)
            return not exact, not same_name(batch.name, wanted), batch is not self.batch

        near = [
            batch
            for batch in reversed(self.journal.batches)
            if same_name(batch.name, wanted) or same_name(batch.style, wanted)
        ]
        return min(near, key=unlike, default=None)

    def _placed(self, drafts: Sequence[Draft]) -> list[Draft]:
        at = self.batch.id if self.batch else None
        placed = []
        for position, draft in enumerate(drafts, start=1):
            if draft.act == "new_batch":
                at = -position  # Its own number, which the log is about to give.
                draft = replace(draft, batch=at)
            elif draft.act == "use_batch":
                at = draft.batch
                if at is None:
                    raise BadSlot("batch", None, "given for use_batch")
            placed.append(draft if draft.batch is not None else replace(draft, batch=at))
        return placed
