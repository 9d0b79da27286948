"""One line in, one reply out: context, open questions, confirmation, cautions, and what came due meanwhile."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import knowledge
from assistant import asked, finding, questions, safety, wording
from assistant.acts import ACTS
from assistant.brew import Brew
from assistant.dispatch import HANDLERS, OFFERED
from assistant.engine.units import Q, unit_of
from assistant.expected import expected
from assistant.handlers import clock as clock_handlers
from assistant.handlers import plan as plan_handlers
from assistant.handlers.log import described
from assistant.handlers.steps import stage_of
from assistant.handlers.sums import SUMS
from assistant.handlers.turn import Turn
from assistant.meanings import LONGEST_LINE
from assistant.names import names, recall
from assistant.reply import ASK, DONE, REFUSED, UNCLEAR, Alert, Outcome, Part, Reply, Working
from assistant.session.clocks import boil_clock, came_due, running_timers, upcoming
from assistant.session.errors import LogError
from assistant.session.log import Log
from assistant.session.session import Session
from assistant.varied import varied
from grammar.asides import is_harmless
from grammar.command import LINE, RECORDING, WHOLE_BOIL, Command
from grammar.language import Language
from grammar.vocabulary import JOINING
from grammar.words import split

_OF_OURS = frozenset("the my our".split())
"""Words behind which a style is that of a batch one has."""

_BEHIND_A_NAME = JOINING | frozenset(", ? will going doing gone got so now yet today still at in on for from and or done ready".split()) | {""}
"""Words behind the name of a batch; before any other it belongs to that one: `the amber extract`."""

_OF_A_BATCH = frozenset("summary show_log whats_next what_now time_left".split())
"""What is asked of a batch, beside the sums."""

LONGEST_STYLE = 3
"""Words of a style that a batch is called by."""

_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")


COLDEST_FAHRENHEIT = 32
"""Degrees up to which a number meant for wort or beer was hardly Fahrenheit."""


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
        kept = log.memo("last_working")
        self._last_working = Working.from_object(kept) if kept else None
        self._last_values = {name: Q(*value) for name, value in (log.memo("last_values") or {}).items()}
        self._question = questions.from_object(log.memo("question"))
        self._addition_act: str | None = log.memo("addition_act")
        self._last_act = ""
        asked = log.memo("last_sum")
        self._last_sum = Command(*asked) if asked else None

    @classmethod
    def open(cls, folder: Path, cache: Path | None) -> Conversation:
        """Open the log in that folder. Raises LogError where it cannot be read."""
        recall(cache)
        asked.keep_in(cache)
        return cls(Session(Log.open(folder / "kettleside.db")), Language(names(cache), cache))

    def close(self) -> None:
        """Keep what eases the next conversation, then close the log. What was logged is safe without it."""
        log = self.session.log
        try:
            log.set_memo("told_until", self._told_until.isoformat() if self._told_until else None)
            log.set_memo("cautioned", [list(pair) for pair in sorted(self._cautioned)])
            log.set_memo("last_say", self._last_say)
            log.set_memo("addition_act", self._addition_act)
            log.set_memo("last_sum", [self._last_sum.act, self._last_sum.slots] if self._last_sum else None)
            log.set_memo("last_working", self._last_working.as_object() if self._last_working else None)
            log.set_memo(
                "last_values",
                {name: [float(value.magnitude), unit_of(value)] for name, value in self._last_values.items()},
            )
            log.set_memo("question", questions.as_object(self._question))
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

    def _plain(self, heard: str, status: str, say: str) -> Reply:
        return Reply(heard, (Part("unclear", {}, 0.0, Outcome(say, status)),))

    def _parts(self, heard: str, said: datetime) -> list[Part]:
        question = self._question
        chosen = questions.chosen(question, heard) if question and question.choose else None
        picked = [chosen] if chosen else questions.all_meant(question, heard) if question else []
        commands = picked or self._understand(heard, said, question is not None)
        self._question = None
        dropped = ""
        if question and commands[0].act.startswith("answer_"):
            answer = next((command for command in commands if command.act == "answer_value"), commands[0])
            if answer.act == "answer_no":
                return [Part("unclear", {}, 0.0, Outcome("All right, nothing recorded."))]
            answered = [] if question.choose else questions.answered(question, answer)
            dropped = "" if answered else questions.dropped(question)
            commands = answered or self._understand(heard, said, False)
        elif question and not picked:
            dropped = questions.dropped(question)
        elif commands[0].act == "unclear" and self._last_act in RECORDING:
            denied = self._understand(heard, said, True)[0].act == "answer_no"
            last = self.session.last_entry() if denied else None
            if last:
                say = f"The log has: {described(last.act, last.slots)}. Say undo, or what it should be."
                return [Part("unclear", {}, 0.0, Outcome(say, UNCLEAR))]
        read, commands = commands, finding.mended(asked.doubted(commands, heard), heard)
        unrecorded = _records(read) and not _records(commands)
        bench = self.session.bench
        # What is plainly told needs no stage, and the stage is looked for through all readings.
        stage = stage_of(Brew(bench, said)) if bench.entries and asked.undecided(commands, heard) else ""
        plain = commands[0].act == "use_batch" and self._names_a_batch(commands[0])
        found = asked.Found(commands) if plain else asked.found(commands, heard, stage)
        commands = found.commands
        held = self._offered(found) or self._held_back(commands, heard)
        if held:
            return [_with_line(held, dropped)]
        word = asked.meant_word(commands[0], heard) if len(commands) == 1 else None
        parts = self._defined(word, commands[0], said) if word else [self._carry_out(command, said) for command in commands]
        if question and questions.may_be_told_by(question, commands):
            told = self._carry_out(question.commands[0], said)
            self._question = None
            parts += [] if told.outcome.ask else [told]
        parts[-1] = _with_line(parts[-1], dropped or ("Nothing was recorded." if unrecorded else questions.left_aside(commands)))
        return parts

    def _defined(self, word: Command, command: Command, said: datetime) -> list[Part]:
        """What a word means, and then the number of this batch where the log has it."""
        number = [self._carry_out(command, said)] if command.act in SUMS else []
        self._question = None
        return [self._carry_out(word, said), *(part for part in number if part.outcome.status == DONE)]

    def _carry_out(self, command: Command, said: datetime) -> Part:
        if command.act == "ask_varied" and self._last_sum:
            command = varied(self._last_sum, command) or command
        if command.act == "correct_last" and set(command.slots) == {"unit"} and self._last_act in SUMS:
            command = replace(command, act="ask_convert", slots={"to": command.slots["unit"]})
        command = self._of_the_beer(self._boiled_whole(command, said), command.heard)
        turn = Turn(command, self.session, said, self._last_say, self._last_working, self._last_values)
        outcome = self._carried_out(turn)
        self._last_act = command.act
        if outcome.ask and command.act.startswith("ask_"):
            command, outcome = self._rather(turn, outcome)
        if outcome.ask:
            self._question = questions.Question((command,), outcome.ask, among=outcome.choices)
        elif outcome.choices:
            self._question = questions.Question(outcome.choices, None, choose=True)
        if outcome.offer:
            self._question = questions.Question((outcome.offer,), None, offered=True)
        if outcome.working:
            self._last_working = outcome.working
        self._last_values = outcome.values or self._last_values
        if command.act in ("log_addition", "plan_addition"):
            self._addition_act = command.act
        if command.act in SUMS and not (command.act == "ask_convert" and "from" not in command.slots):
            self._last_sum = command  # "in cups?" asks for the same sum in other words
        return Part(command.act, dict(command.slots), command.sure, outcome)

    def _boiled_whole(self, command: Command, said: datetime) -> Command:
        """What boils as long as the wort does has all of the batch's boil left."""
        if command.slots.get("boil_left") != WHOLE_BOIL:
            return command
        length = Brew(self.session.bench, said).boil_length().value.m_as("minute")
        return replace(command, slots={**command.slots, "boil_left": [float(length), "minute"]})

    def _rather(self, turn: Turn, outcome: Outcome) -> tuple[Command, Outcome]:
        """A sum that lacks its numbers, or the trouble that its sentence tells of."""
        told = finding.heard_in(split(turn.command.heard))
        if len(told) != 1:
            return turn.command, outcome
        instead = told[0].command(turn.command.heard, turn.command.sure)
        return instead, self._carried_out(replace(turn, command=instead))

    def _carried_out(self, turn: Turn) -> Outcome:
        """What the handler answers; a question that names a batch is answered for that one, and nothing is switched."""
        command, name = turn.command, turn.slots.get("name")
        if name is None or not (is_harmless(command.act) or command.act == "export"):
            return (HANDLERS.get(command.act) or OFFERED[command.act])(turn)
        batch = self.session.find_batch(str(name))
        if batch is None:
            return plan_handlers.no_such_batch(turn)
        with self.session.looking_at(batch):
            outcome = HANDLERS[command.act](turn)
        if batch is self.session.batch:
            return outcome
        return replace(outcome, more=(*outcome.more, f"That is {str(batch.name or batch.style).title()}."))

    def _first_aid(self, heard: str) -> list[Part]:
        """Where someone is hurt nothing else is listened to, and no question stays open."""
        hurt = safety.first_aid(heard)
        if hurt is None:
            return []
        self._question = None
        return [Part("safety", {}, 1.0, safety.told_first(hurt))]

    def _understand(self, heard: str, said: datetime, answering: bool) -> list[Command]:
        scale = self._scale()
        addition = self._addition_act or ("plan_addition" if self.session.bench.stage == "planning" else None)
        return self.language.understand(
            heard,
            said,
            self._likely(),
            answering,
            addition,
            scale,
            expected(self.session.bench, said, scale),
            self._batches(),
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
        scales = [temperature[1] for temperature in told]
        # One reading in Celsius among those in Fahrenheit, of the room, changes nobody's habit.
        return "degC?" if scales and set(scales[-2:]) == {"degC"} else "degF"

    def _likely(self) -> tuple[str, ...]:
        """Names a misheard word most likely stands for: those of the recipe."""
        return tuple(line.ingredient for line in self.session.bench.plan if line.ingredient)

    def _batches(self) -> tuple[str, ...]:
        """What batches may be called: their names and styles."""
        return tuple({told for batch in self.session.journal.batches for told in (batch.name, batch.style) if told})

    def _of_the_beer(self, command: Command, heard: str) -> Command:
        """A question about `the stout` is about the batch of that style; where there is none, no other is answered for."""
        asks = command.act in _OF_A_BATCH or command.act in SUMS
        if not asks or {"name", "style"} & command.slots.keys():
            return command
        words = [*split(heard), ""]
        for at, word in enumerate(words):
            for end in range(at + 1 + LONGEST_STYLE, at + 1, -1):
                style = " ".join(words[at + 1 : end])
                is_style = any(sense.terminal == "STYLE" for sense in self.language.vocabulary.senses.get(style, ()))
                if word in _OF_OURS and is_style and words[min(end, len(words) - 1)] in _BEHIND_A_NAME:
                    return replace(command, slots={**command.slots, "name": style})
        return command

    def _held_back(self, commands: Sequence[Command], heard: str) -> Part | None:
        """The question, refusal or shrug instead of acting, where the sentence was not wholly understood."""
        first = commands[0]
        unsure = min(command.sure for command in commands)
        nowhere = unsure < LINE and first.act == "use_batch" and not self._names_a_batch(first)
        if first.act == "unclear" or unsure < finding.NEAREST or nowhere:
            return self._unclear(heard)
        for command in commands:
            doubt = command.impossible
            if doubt:
                say = f"{wording.measure(doubt.value, doubt.unit)} cannot be: {doubt.why}."
                cold = doubt.unit == "degF" and 0 <= doubt.value <= COLDEST_FAHRENHEIT
                hint = (f'If it was Celsius, say "{doubt.value:g} C".',) if cold else ()
                return Part(
                    command.act, dict(command.slots), command.sure, Outcome(wording.sentence(say), REFUSED, more=hint)
                )
        if all(command.sure >= LINE for command in commands) or (len(commands) == 1 and finding.unknown(first)):
            return None
        if first.rivals and len(commands) == 1:
            rivals = (replace(first, rivals=()), *first.rivals)
            self._question = questions.Question(tuple(replace(rival, sure=1.0) for rival in rivals), None, choose=True)
            return Part(first.act, dict(first.slots), first.sure, Outcome(questions.which(rivals), ASK))
        self._question = questions.Question(tuple(replace(command, sure=1.0) for command in commands), None)
        meant = " and ".join(questions.paraphrase(command) for command in commands)
        return Part(
            first.act,
            dict(first.slots),
            first.sure,
            Outcome(f"{wording.sentence(meant).rstrip('.')}?", ASK, more=questions.reasons(first)),
        )

    def _names_a_batch(self, command: Command) -> bool:
        """Whether there is a batch that is called as this says, or nearly so."""
        name = str(command.slots.get("name"))
        return bool(self.session.find_batch(name) or plan_handlers.near_batches(self.session, name))

    def _offered(self, found: asked.Found) -> Part | None:
        """The entries that may be meant, to be chosen from; None where none is near."""
        choices = found.either or found.nearest
        if not choices:
            return None
        self._question = questions.Question(choices, None, choose=True)
        which = questions.which(choices)
        if found.either:
            return Part("unclear", {}, 0.0, Outcome(which, ASK, choices=choices))
        return Part("unclear", {}, 0.0, Outcome(f"I am not sure what you mean. {which}", UNCLEAR, more=("Nothing was recorded.",), choices=choices))

    def _unclear(self, heard: str) -> Part:
        if all(word in self.language.vocabulary.fillers for word in split(heard)):
            return Part("unclear", {}, 0.0, Outcome("I am listening.", UNCLEAR))
        choices = tuple(entry.command(heard) for entry in finding.near_whole(" ".join(split(heard))))
        if choices:
            self._question = questions.Question(choices, None, choose=True)
            return Part("unclear", {}, 0.0, Outcome(questions.which(choices), ASK))
        near = self.language.nearest(heard, {name: act.example for name, act in ACTS.items()})
        hint = f'Nearest I can do: "{near}".' if near else "Say help for what I can do."
        return Part(
            "unclear",
            {},
            0.0,
            Outcome(f"I did not understand that. {hint}", UNCLEAR, more=("Nothing was recorded.",)),
        )

    def _reply(self, heard: str, parts: list[Part], said: datetime) -> Reply:
        told = self._cautions(heard, parts)
        if told and told[0].grave != "advice" and _not_answered(parts[0]):
            # Whoever is in danger, or asks about it, is not told that they were not understood.
            parts = [Part("safety", {}, 1.0, safety.told_first(told[0]))]
            self._question = None
        reply = Reply(
            heard,
            tuple(parts),
            tuple(safety.text_of(rule) for rule in told),
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
        found = safety.called_for(heard, parts, batch, told)
        self._cautioned |= {(batch.id, rule.id) for rule in found if rule.grave == "advice"}
        return found

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
            str(batch.name).title() if batch.name else "this batch" if batch.entries else None,
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


def _records(commands: Sequence[Command]) -> bool:
    """Whether something would be written down that is sure enough to be worth a question."""
    return any(command.act in RECORDING and command.sure >= finding.NEAREST for command in commands)


def _not_answered(part: Part) -> bool:
    return part.sure < LINE or (part.act == "safety" and part.outcome.status in (REFUSED, ASK))


def _with_line(part: Part, line: str) -> Part:
    return replace(part, outcome=replace(part.outcome, more=(*part.outcome.more, line))) if line else part


def _moment(text: Any) -> datetime | None:
    return datetime.fromisoformat(text) if isinstance(text, str) else None
