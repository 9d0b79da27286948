"""One line in, one reply out: context, open questions, confirmation, cautions, and what came due meanwhile."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from rapidfuzz import fuzz, process

import knowledge
from assistant import cautions, wording
from assistant.acts import ACTS
from assistant.brew import Brew
from assistant.dispatch import HANDLERS
from assistant.engine.packaging import added_volumes
from assistant.engine.units import Q, unit_of
from assistant.handlers import clock as clock_handlers
from assistant.handlers.fermentation import readiness
from assistant.handlers.log import described, named
from assistant.handlers.sums import cite
from assistant.handlers.turn import Turn
from assistant.names import names
from assistant.reply import ASK, REFUSED, UNCLEAR, Alert, Input, Outcome, Part, Reply, Working
from assistant.session.clocks import boil_clock, came_due, running_timers, upcoming
from assistant.session.errors import LogError
from assistant.session.log import Log
from assistant.session.session import Session
from grammar.command import LINE, RECORDING, Command
from grammar.language import Language
from grammar.plausibility import doubts
from grammar.words import split

LONGEST_LINE = 2000
"""Characters; a longer line is no sentence."""

NEAREST = 0.2
"""A guess less sure than this is not even worth asking about."""

BOTTLE_LIMIT = 3.0
"""Volumes an ordinary beer bottle is for: from memory, no standard found."""

USUAL_RESIDUAL = 0.85
"""Volumes left in beer fermented at room temperature (20 degrees Celsius, source hibberd)."""

NEAR_EXAMPLE = 62
"""Of 100: an example less like what was heard than this is no help."""

_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")

_BARE_ANSWERS = {
    "gravity": "sg",
    "original": "sg",
    "final": "sg",
    "temperature": "degF",
    "hot_temperature": "degF",
    "cold_temperature": "degF",
    "from": "degF",
    "to": "degF",
    "volume": "gallon",
    "final_volume": "gallon",
    "hot_volume": "gallon",
    "cold_volume": "gallon",
    "water": "gallon",
    "grain": "pound",
    "alpha": "percent",
    "boil_left": "minute",
    "altitude": "foot",
    "carbonation": "volume_co2",
}
"""What a bare number means as the answer to a question about a slot; a slot not named here wants its unit said."""


_NAME_ANSWERS = frozenset(("ingredient", "to", "from_name"))
"""Slots that want a name; every other wants a quantity."""


@dataclass(frozen=True)
class Question:
    """What is open: a slot of a command to fill, or commands to confirm."""

    commands: tuple[Command, ...]
    slot: str | None
    """None: yes or no."""


@dataclass(frozen=True)
class Status:
    """How things stand, for a line at the bottom of the screen."""

    batch: str | None
    stage: str
    boil_left: float | None
    """Minutes; None without a running or paused boil."""
    paused: bool
    next: str | None
    next_in: float | None
    """Minutes; None while its clock stands still."""
    timers: tuple[tuple[str, float], ...]


class Conversation:
    """Talks about one log. Not thread-safe: one front end, one thread."""

    def __init__(self, session: Session, language: Language) -> None:
        self.session = session
        self.language = language
        log = session.log
        self._told_until = _moment(log.memo("told_until"))
        self._cautioned: set[tuple[int, str]] = {
            (int(batch), rule) for batch, rule in log.memo("cautioned") or []
        }
        self._last_say: str = log.memo("last_say") or ""
        self._last_working = _working(log.memo("last_working"))
        self._last_values = {name: Q(*value) for name, value in (log.memo("last_values") or {}).items()}
        self._question = _question(log.memo("question"))
        self._addition_act: str | None = log.memo("addition_act")

    @classmethod
    def open(cls, folder: Path, cache: Path | None) -> Conversation:
        """Open the log in that folder. Raises LogError where it cannot be read."""
        return cls(Session(Log.open(folder / "kettleside.db")), Language(names(), cache))

    def close(self) -> None:
        """Keep what eases the next conversation, then close the log. What was logged is safe without it."""
        log = self.session.log
        try:
            log.set_memo("told_until", self._told_until.isoformat() if self._told_until else None)
            log.set_memo("cautioned", [list(pair) for pair in sorted(self._cautioned)])
            log.set_memo("last_say", self._last_say)
            log.set_memo("addition_act", self._addition_act)
            log.set_memo("last_working", _working_object(self._last_working))
            log.set_memo(
                "last_values",
                {name: [float(value.magnitude), unit_of(value)] for name, value in self._last_values.items()},
            )
            log.set_memo("question", _question_object(self._question))
        except LogError:
            pass
        log.close()

    # --- One line

    def answer(self, line: str, said: datetime | None = None) -> Reply:
        """Carry out one sentence. What it records is on disk before this returns."""
        said = said or datetime.now().astimezone()
        heard = _CONTROL.sub(" ", line).strip()
        if len(heard) > LONGEST_LINE:
            return self._plain(
                heard[:80] + "...", UNCLEAR, f"That was {len(heard)} characters; say one sentence at a time."
            )
        if "\ufffd" in heard:
            return self._plain(heard, UNCLEAR, "Part of that was not readable text; say it again.")
        if not split(heard):
            return self._plain(heard, UNCLEAR, "I heard nothing; say what happened, or ask.")
        try:
            self.session.refresh()
            parts = self._first_aid(heard) or self._parts(heard, said)
        except LogError as error:
            return self._plain(heard, REFUSED, str(error))
        return self._reply(heard, parts, said)

    def _plain(self, heard: str, status: str, say: str, act: str = "unclear") -> Reply:
        return Reply(heard, (Part(act, {}, 0.0, Outcome(say, status)),))

    def _parts(self, heard: str, said: datetime) -> list[Part]:
        question = self._question
        commands = self._understand(heard, said, question is not None)
        self._question = None
        dropped = ""
        if question and commands[0].act.startswith("answer_"):
            answer = next((command for command in commands if command.act == "answer_value"), commands[0])
            if answer.act == "answer_no":
                return [Part("unclear", {}, 0.0, Outcome("All right, nothing recorded."))]
            answered = _answered(question, answer)
            dropped = "" if answered else _dropped(question)
            commands = answered or self._understand(heard, said, False)
        elif question:
            dropped = _dropped(question)
        held = self._held_back(commands, heard)
        if held:
            return [_with_line(held, dropped)]
        parts: list[Part] = []
        for command in commands:
            turn = Turn(command, self.session, said, self._last_say, self._last_working, self._last_values)
            outcome = HANDLERS[command.act](turn)
            if outcome.ask:
                self._question = Question((command,), outcome.ask)
            if outcome.working:
                self._last_working = outcome.working
            self._last_values = outcome.values or self._last_values
            if command.act in ("log_addition", "plan_addition"):
                self._addition_act = command.act
            parts.append(Part(command.act, dict(command.slots), command.sure, outcome))
        parts[-1] = _with_line(parts[-1], dropped)
        return parts

    def _first_aid(self, heard: str) -> list[Part]:
        """Where someone is hurt nothing else is listened to, and no question stays open."""
        hurt = next(
            (rule for rule in cautions.matching(cautions.Facts(words=tuple(split(heard)))) if rule.hurt), None
        )
        if hurt is None:
            return []
        self._question = None
        return [
            Part(
                "safety",
                {},
                1.0,
                Outcome(hurt.if_happened, sources=tuple(cite(source) for source in hurt.source)),
            )
        ]

    def _understand(self, heard: str, said: datetime, answering: bool) -> list[Command]:
        expected = ("log_gravity",) if self.session.bench.stage in ("pitching", "fermenting") else ()
        return self.language.understand(
            heard, said, self._likely(), answering, self._addition_act, self._scale(), expected
        )

    def _scale(self) -> str:
        """The scale of degrees said without one: of the units set, else of the last temperature logged."""
        batch = self.session.bench
        if batch.setting("units") is not None:
            return "degC" if batch.setting("units") == "metric" else "degF"
        told = [
            entry.slots["temperature"]
            for entry in batch.entries
            if isinstance(entry.slots.get("temperature"), list)
        ]
        return "degC?" if told and told[-1][1] == "degC" else "degF"

    def _likely(self) -> tuple[str, ...]:
        """Names a misheard word most likely stands for: those of the recipe."""
        return tuple(line.ingredient for line in self.session.bench.plan if line.ingredient)

    def _held_back(self, commands: Sequence[Command], heard: str) -> Part | None:
        """The question, refusal or shrug instead of acting, where the sentence was not wholly understood."""
        first = commands[0]
        unsure = min(command.sure for command in commands)
        if first.act == "unclear" or unsure < NEAREST or (len(commands) > 1 and unsure < LINE):
            return self._unclear(heard)
        for command in commands:
            doubt = command.impossible
            if doubt:
                say = f"{wording.measure(doubt.value, doubt.unit)} cannot be: {doubt.why}."
                return Part(
                    command.act, dict(command.slots), command.sure, Outcome(wording.sentence(say), REFUSED)
                )
        if all(command.sure >= LINE for command in commands):
            return None
        self._question = Question(tuple(replace(command, sure=1.0) for command in commands), None)
        meant = " and ".join(paraphrase(command) for command in commands)
        return Part(
            first.act,
            dict(first.slots),
            first.sure,
            Outcome(f"{wording.sentence(meant).rstrip('.')}?", ASK, more=_reasons(first)),
        )

    def _unclear(self, heard: str) -> Part:
        if all(word in self.language.vocabulary.fillers for word in split(heard)):
            return Part("unclear", {}, 0.0, Outcome("I am listening.", UNCLEAR))
        near = nearest(heard)
        hint = f'Nearest I can do: "{near}".' if near else "Say help for what I can do."
        return Part(
            "unclear",
            {},
            0.0,
            Outcome(f"I did not understand that. {hint}", UNCLEAR, more=("Nothing was recorded.",)),
        )

    def _reply(self, heard: str, parts: list[Part], said: datetime) -> Reply:
        told = self._cautions(heard, parts)
        if parts[0].act == "safety" and told and told[0].hurt:
            told = told[1:]
        elif told and told[0].grave == "danger" and _not_answered(parts[0]):
            # Whoever is in danger is not told that they were not understood.
            parts = [
                Part(
                    "safety",
                    {},
                    1.0,
                    Outcome(told[0].if_happened if told[0].hurt else f"{told[0].say} {told[0].if_happened}"),
                )
            ]
            told = told[1:]
            self._question = None
        reply = Reply(
            heard,
            tuple(parts),
            tuple(_caution_text(rule) for rule in told),
            tuple(self.due(said)),
            sum(1 for rule in told if rule.grave == "danger"),
        )
        if parts[0].act not in ("again", "explain_last") and reply.status != UNCLEAR:
            self._last_say = reply.say
        return reply

    # --- Cautions

    def _cautions(self, heard: str, parts: list[Part]) -> list[knowledge.Caution]:
        batch = self.session.bench
        told = {rule for number, rule in self._cautioned if number == batch.id}
        flags = frozenset(flag for flag, holds in _FLAGS.items() if holds(self, parts))
        found: dict[str, knowledge.Caution] = {}
        for part in parts:
            name = part.slots.get("ingredient")
            entry = knowledge.ingredients().get(name) if isinstance(name, str) else None
            # What was only guessed at calls for no caution; the words themselves do.
            facts = (
                cautions.Facts(words=tuple(split(heard)), stage=batch.stage)
                if part.sure < LINE
                else cautions.Facts(
                    act=part.act,
                    event=part.slots.get("event"),
                    stage=batch.stage,
                    ingredient=entry.id if entry else None,
                    kind=entry.kind if entry else None,
                    temperature_f=_fahrenheit(part.slots),
                    words=tuple(split(heard)),
                    flags=flags,
                )
            )
            for rule in cautions.matching(facts, told=told):
                found.setdefault(rule.id, rule)
        self._cautioned |= {(batch.id, rule.id) for rule in found.values() if rule.grave == "advice"}
        return sorted(found.values(), key=lambda rule: (not rule.hurt, knowledge.GRAVITY.index(rule.grave)))

    # --- Clocks

    def due(self, now: datetime) -> list[Alert]:
        """What came due since this was last asked; asking counts as telling."""
        if self._told_until is None or self._told_until > now:
            self._told_until = now
            return []
        since, self._told_until = self._told_until, now
        self.session.refresh()
        batches = [*self.session.journal.batches, self.session.journal.bench]
        found = [due for batch in batches for due in came_due(batch, since, now)]
        return [
            Alert(clock_handlers.label(due), due.at)
            for due in sorted(found, key=lambda due: due.at or now)
            if due.at
        ]

    def status(self, now: datetime) -> Status:
        """How the batch and its clocks stand."""
        self.session.refresh()
        batch = self.session.bench
        boil = boil_clock(batch, now)
        running = boil if boil and boil.ended is None else None
        following = next((due for due in upcoming(batch, now) if due.kind != "timer"), None)
        timers = tuple(
            (timer.label or "timer", timer.left) for timer in running_timers(batch, now) if timer.left > 0
        )
        return Status(
            str(batch.name).title() if batch.name else None,
            batch.stage,
            running.left if running else None,
            bool(running and running.paused),
            clock_handlers.label(following) if following else None,
            following.minutes if following and following.at else None,
            timers,
        )

    def suggest(self, text: str) -> list[str]:
        """Words that may complete or follow what was typed so far, names in the recipe first."""
        return self.language.suggest(text, self._likely())


def _not_answered(part: Part) -> bool:
    return part.sure < LINE or (part.act == "safety" and part.outcome.status == REFUSED)


def paraphrase(command: Command) -> str:
    """What a command would do, in words, to be confirmed."""
    said = (
        described(command.act, command.slots)
        if command.act.startswith(("log_", "plan_", "remove_", "note", "new_", "set", "start_"))
        else ""
    )
    act = ACTS.get(command.act)
    if said:
        return {"plan_addition": "put in the recipe: ", "remove_addition": "take out: "}.get(
            command.act, "log: "
        ) + said
    shown = ", ".join(wording.slot(value) for value in command.slots.values())
    return f"shall I {act.does if act else command.act}{f': {shown}' if shown else ''}"


def _reasons(command: Command) -> tuple[str, ...]:
    """Why a question is asked back: what was taken for what, what was not understood, which number is odd."""
    found = [f'I took "{heard}" for "{named(meant)}".' for heard, meant in command.repairs]
    found += [f'I did not understand "{word}".' for word in command.passed_over]
    found += [
        f"{wording.measure(doubt.value, doubt.unit)} seems odd: {doubt.why}." for doubt in command.doubts
    ]
    name = command.slots.get("ingredient")
    if isinstance(name, str) and name not in knowledge.ingredients():
        found.append(f"I do not know {name}.")
    return (*found, "Say yes, no, or the right word.")


def nearest(heard: str) -> str | None:
    """The example sentence most like what was heard, if any is."""
    examples = [act.example for act in ACTS.values()]
    hit = process.extractOne(
        " ".join(split(heard)), examples, scorer=fuzz.token_sort_ratio, score_cutoff=NEAR_EXAMPLE
    )
    return hit[0] if hit else None


def _answered(question: Question, answer: Command) -> list[Command]:
    """The commands a question was about with the answer in them; none where it is no answer to that question."""
    if question.slot is not None:
        filled = _filled(question.commands[0], question.slot, answer)
        return [filled] if filled else []
    if answer.act == "answer_yes":
        return list(question.commands)
    changed = [_with_value(command, answer.slots) for command in question.commands]
    return changed if changed != list(question.commands) else []


def _with_value(command: Command, answer: dict[str, Any]) -> Command:
    """A command with the right word said alone instead of yes."""
    slots = dict(command.slots)
    for name, value in answer.items():
        target = next(
            (slot for slot, old in slots.items() if _fits(value, old) and (name == "unit") == (slot == "to")),
            None,
        )
        if target:
            slots[target] = (
                [value[0], slots[target][1]] if isinstance(value, list) and value[1] == "" else value
            )
    return _weighed(replace(command, slots=slots))


def _weighed(command: Command) -> Command:
    """A command changed by an answer: as sure as the answer is plausible."""
    name = command.slots.get("ingredient")
    entry = knowledge.ingredients().get(name) if isinstance(name, str) else None
    found = tuple(doubts(command.act, command.slots, entry is not None and entry.kind == "hop"))
    return replace(command, doubts=found, sure=LINE - 0.1 if found else 1.0, repairs=(), passed_over=())


def _dropped(question: Question) -> str:
    """A line on what an unanswered question leaves undone, so that nothing is lost without a word."""
    waiting = [command for command in question.commands if command.act in RECORDING]
    return (
        f"Not recorded: {wording.listed([described(command.act, command.slots) for command in waiting])}."
        if waiting
        else ""
    )


def _with_line(part: Part, line: str) -> Part:
    return replace(part, outcome=replace(part.outcome, more=(*part.outcome.more, line))) if line else part


def _fits(value: Any, old: Any) -> bool:
    """Whether one value may stand where the other does: both names, or both of one dimension."""
    if isinstance(old, list) and isinstance(value, list):
        return bool(value[1] == "" or _dimension(value[1]) == _dimension(old[1]))
    return isinstance(old, str) and isinstance(value, str)


def _dimension(unit: str) -> Any:
    return "gravity" if unit in ("sg", "plato", "brix") else Q(1.0, unit).dimensionality


def _filled(command: Command, slot: str, answer: Command) -> Command | None:
    """The command with the slot that was asked for; None where the answer does not fit."""
    wanted = _BARE_ANSWERS.get(slot)
    for value in answer.slots.values():
        if isinstance(value, str) != (slot in _NAME_ANSWERS):
            return None
        if isinstance(value, list) and value[1] == "":
            if wanted is None:
                return None
            value = [value[0] / 1000 if wanted == "sg" and value[0] >= 900 else value[0], wanted]
        if wanted and not _fits(value, [0.0, wanted]):
            return None
        return _weighed(replace(command, slots={**command.slots, slot: value}))
    return None


def _fahrenheit(slots: dict[str, Any]) -> float | None:
    for name in ("temperature", "hot_temperature", "target"):
        value = slots.get(name)
        if isinstance(value, list) and value[1] in ("degF", "degC"):
            return float(value[0]) if value[1] == "degF" else float(value[0]) * 1.8 + 32
    return None


def _gravity_moving(conversation: Conversation, parts: Iterable[Part]) -> bool:
    """Whether bottling is spoken of while the gravity is not known to stand still."""
    batch = conversation.session.bench
    if not any(
        part.act in ("ask_ready", "ask_priming") or part.slots.get("event") == "bottle" for part in parts
    ):
        return False
    if batch.event("pitch") is None and len(batch.gravities) < 2:
        return False
    return readiness(Brew(batch, datetime.now().astimezone()))[0] != "Yes."


def _high_carbonation(conversation: Conversation, parts: Iterable[Part]) -> bool:
    """Whether what is asked or added would give more gas than ordinary bottles are made for."""
    batch = conversation.session.bench
    for part in parts:
        gas = part.slots.get("carbonation")
        if part.act == "ask_priming" and isinstance(gas, list) and gas[0] > BOTTLE_LIMIT:
            return True
        entry = (
            knowledge.ingredients().get(part.slots.get("ingredient", ""))
            if isinstance(part.slots.get("ingredient"), str)
            else None
        )
        amount = part.slots.get("amount")
        if (
            part.act == "log_addition"
            and entry
            and entry.kind == "sugar"
            and isinstance(amount, list)
            and batch.gravities
            and batch.stage in ("fermenting", "conditioning")
            and _dimension(amount[1]) == _dimension("pound")
        ):
            volume = Brew(batch, datetime.now().astimezone()).volume()
            if volume and added_volumes(Q(*amount), volume.value) + USUAL_RESIDUAL > BOTTLE_LIMIT:
                return True
    return False


_FLAGS = {"gravity_moving": _gravity_moving, "high_carbonation": _high_carbonation}
"""What cautions may ask of the batch, and how it is found out."""


def _caution_text(rule: knowledge.Caution) -> str:
    first, second = (rule.if_happened, rule.say) if rule.hurt else (rule.say, rule.if_happened)
    head = {"danger": "DANGER: ", "warning": "Careful: ", "advice": "Tip: "}[rule.grave]
    return head + (f"{first} {second}" if rule.grave == "danger" else first)


# --- What is kept between conversations


def _moment(text: Any) -> datetime | None:
    return datetime.fromisoformat(text) if isinstance(text, str) else None


def _working_object(working: Working | None) -> dict[str, Any] | None:
    if working is None:
        return None
    return {
        "answer": working.answer,
        "formula": working.formula,
        "spread": working.spread,
        "notes": list(working.notes),
        "sources": list(working.sources),
        "inputs": [[given.name, given.value, given.origin] for given in working.inputs],
    }


def _working(kept: Any) -> Working | None:
    if not isinstance(kept, dict):
        return None
    return Working(
        kept["answer"],
        kept["formula"],
        tuple(Input(*given) for given in kept["inputs"]),
        tuple(kept["sources"]),
        kept["spread"],
        tuple(kept["notes"]),
    )


def _question_object(question: Question | None) -> dict[str, Any] | None:
    if question is None:
        return None
    return {
        "slot": question.slot,
        "commands": [[command.act, command.slots, command.heard] for command in question.commands],
    }


def _question(kept: Any) -> Question | None:
    if not isinstance(kept, dict):
        return None
    return Question(
        tuple(Command(act, slots, 1.0, heard) for act, slots, heard in kept["commands"]), kept["slot"]
    )
