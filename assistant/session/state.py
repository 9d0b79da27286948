"""The fold: from the entries of the log to the batches they tell of."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from assistant.session.clocks import boil_clock, running_timers
from assistant.session.entry import Entry
from assistant.session.model import Batch, Journal, PlanLine, Timer, same_name, words
from assistant.session.slots import minutes, moment, readable

BREWER_SETTINGS = frozenset({
    "altitude", "boil_off", "bottle_size", "hydrometer_calibration", "power", "refractometer_correction",
    "trub_loss", "units",
})
"""Settings of the brewer's place and equipment, which hold for every batch; any other is the batch's own."""

REWRITING = frozenset({"undo", "correct_last"})
"""Acts that change what earlier entries mean, so that the fold must begin anew."""


def fold(entries: Sequence[Entry]) -> Journal:
    """The state after these entries, which come in the order of their numbers."""
    journal = Journal()
    for entry in live(entries).values():
        _take(journal, entry)
    return journal


def extend(journal: Journal, known: Sequence[Entry], new: Sequence[Entry]) -> Journal:
    """The state after `known`, which `journal` is the fold of, and `new`. May change `journal` itself."""
    if any(entry.act in REWRITING for entry in new):
        return fold([*known, *new])
    for entry in new:
        _take(journal, entry)
    return journal


def live(entries: Sequence[Entry]) -> dict[int, Entry]:
    """The entries that are not undone, as corrected, by number. An undo may itself be undone."""
    undone = _undone(entries)
    standing: dict[int, Entry] = {}
    speaks_of: dict[int, int | None] = {}
    for entry in entries:
        if entry.act == "correct_last":
            # A correction of a correction speaks of the entry that was corrected first.
            speaks_of[entry.id] = speaks_of.get(entry.refers or 0, entry.refers)
        if entry.id in undone:
            continue
        standing[entry.id] = entry
        target = speaks_of.get(entry.id)
        if target in standing and readable(entry.act, entry.slots):
            standing[target] = _corrected(standing[target], entry)
    return standing


def _undone(entries: Sequence[Entry]) -> set[int]:
    undone: set[int] = set()
    for entry in reversed(entries):  # Backwards: whether an undo stands is known before it is heeded.
        if entry.act == "undo" and entry.refers is not None and entry.id not in undone:
            undone.add(entry.refers)
    return undone


def _corrected(entry: Entry, correction: Entry) -> Entry:
    slots = dict(correction.slots)
    when = slots.pop("when", None)
    happened = entry.happened if when is None else moment(when, correction.said)
    # `said` moves on: what the correction makes due was not known before.
    return replace(entry, slots={**entry.slots, **slots}, happened=happened, said=correction.said)


def _take(journal: Journal, entry: Entry) -> None:
    journal.live[entry.id] = entry
    if entry.act in REWRITING:
        return
    if entry.act == "new_batch":
        journal.by_id[entry.id] = Batch(id=entry.id, brewer=journal.settings)
    # In an undone batch only what is said of the brewer still holds; the rest falls with the batch.
    batch = journal.place(entry.batch) or Batch(id=entry.batch or 0, brewer=journal.settings)
    batch.entries.append(entry)
    if readable(entry.act, entry.slots):
        batch.file(entry)
        FOLDS.get(entry.act, _keep)(journal, batch, entry)


def _keep(journal: Journal, batch: Batch, entry: Entry) -> None:
    """A report, or an act this program does not know: it stands in the lists and changes nothing else."""


def _settle(journal: Journal, batch: Batch, entry: Entry) -> None:
    for name, value in entry.slots.items():
        if name != "when":
            (journal.settings if name in BREWER_SETTINGS else batch.settings)[name] = value


def _turn_to(journal: Journal, batch: Batch, entry: Entry) -> None:
    if batch.id in journal.by_id:
        journal.latest_id = batch.id


def _open(journal: Journal, batch: Batch, entry: Entry) -> None:
    _settle(journal, batch, entry)
    _turn_to(journal, batch, entry)


def _plan(journal: Journal, batch: Batch, entry: Entry) -> None:
    line = PlanLine(
        id=entry.id, said=entry.said, ingredient=entry.slots.get("ingredient"), amount=entry.slots["amount"],
        boil_left=_boil_left(entry), slots=entry.slots,
    )
    old = next((at for at, each in enumerate(batch.plan) if each.id == entry.refers), None)
    if old is None:
        batch.plan.append(line)
    else:
        batch.plan[old] = line


def _unplan(journal: Journal, batch: Batch, entry: Entry) -> None:
    line = _plan_line(batch, entry, _boil_left(entry))
    if line:
        batch.plan.remove(line)


def _add(journal: Journal, batch: Batch, entry: Entry) -> None:
    said = _boil_left(entry)
    boil = boil_clock(batch, entry.happened) if said is None else None
    line = _plan_line(batch, entry, boil.left if boil else said)
    if line:
        batch.plan[batch.plan.index(line)] = replace(line, made=entry.id)


def _plan_line(batch: Batch, entry: Entry, boil_left: float | None) -> PlanLine | None:
    """The line still to do that `entry` speaks of: the one it refers to, else of those its ingredient's name
    fits the nearest in the boil, the one of that very name, the first."""
    named = entry.slots["ingredient"]
    lines = batch.open_lines(named)
    referred = [line for line in lines if line.id == entry.refers]

    def fit(line: PlanLine) -> tuple[float, bool]:
        return _distance(line.boil_left, boil_left), words(line.ingredient) != words(named)

    return min(referred or lines, key=fit, default=None)


def _distance(planned: float | None, left: float | None) -> float:
    if left is None:
        return 0.0
    return float("inf") if planned is None else abs(planned - left)


def _boil_left(entry: Entry) -> float | None:
    value = entry.slots.get("boil_left")
    return None if value is None else minutes(value, "boil_left")


def _start_timer(journal: Journal, batch: Batch, entry: Entry) -> None:
    batch.timers.append(Timer(
        id=entry.id, said=entry.said, label=entry.slots.get("label"), started=entry.happened,
        minutes=minutes(entry.slots["duration"]),
    ))


def _cancel_timer(journal: Journal, batch: Batch, entry: Entry) -> None:
    label = entry.slots.get("label")
    running = [timer.id for timer in running_timers(batch, entry.happened)
               if entry.refers in (None, timer.id) and (label is None or same_name(label, timer.label))]
    for at, timer in enumerate(batch.timers):
        if running and timer.id == running[-1]:
            batch.timers[at] = replace(timer, cancelled=entry.happened)


FOLDS: dict[str, Callable[[Journal, Batch, Entry], None]] = {
    "new_batch": _open,
    "use_batch": _turn_to,
    "set": _settle,
    "plan_addition": _plan,
    "remove_addition": _unplan,
    "log_addition": _add,
    "start_timer": _start_timer,
    "cancel_timer": _cancel_timer,
}
"""What an act changes beyond standing in its batch's lists."""
