"""Questions back: how one is put, what answers it, and what is left undone when it is passed over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from rapidfuzz import fuzz, process

import knowledge
from assistant import wording
from assistant.acts import ACTS
from assistant.engine.units import Q
from assistant.handlers.log import FORMS, described, named
from grammar.command import LINE, RECORDING, Command
from grammar.plausibility import doubts
from grammar.words import split

BARE_ANSWERS = {
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
    "ice": "pound",
    "alpha": "percent",
    "bitterness": "ibu",
    "boil_left": "minute",
    "altitude": "foot",
    "carbonation": "volume_co2",
    "calcium": "ppm",
    "alkalinity": "ppm",
}
"""What a bare number means as the answer to a question about a slot; a slot not named here wants its unit said."""


_NAME_ANSWERS = frozenset(("ingredient", "to", "from_name", "style"))
"""Slots that want a name; every other wants a quantity."""


_PLACES = {
    "first": 0, "1": 0, "former": 0, "b": 1, "second": 1, "2": 1, "two": 1, "latter": 1,
    "third": 2, "3": 2, "three": 2, "c": 2, "last": 2,
}
"""Which of the commands offered is meant by its place."""

_AROUND_A_CHOICE = frozenset("the a an it is i mean meant think that this one of them please , ? yes".split())
_AGREED = frozenset(["", "yeah", "yep", "yup", "right", "sure", "correct", "exactly"])

_ALL = frozenset({"both", "all", "each", "every one", "everything", "all of it", "both of", "all of"})
"""What means each of the answers there are, without the small words around it."""

_LONGEST_NAME = 6
"""Words; more is a new sentence."""

_NAMED = 75.0
"""Of 100: how like the name of an entry an answer must be to choose it."""


@dataclass(frozen=True)
class Question:
    """What is open: a slot of a command to fill, commands to confirm, or commands to choose from."""

    commands: tuple[Command, ...]
    slot: str | None
    """None: yes or no."""
    choose: bool = False
    """Whether only one of the commands is meant, and the answer names it."""
    among: tuple[Command, ...] = ()
    """Where a slot is asked for: the commands with each of the answers there are, for whoever means all of them."""
    offered: bool = False
    """Whether an answer ended with it: yes or no, and what else is said is a sentence of its own."""


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


def reasons(command: Command) -> tuple[str, ...]:
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


def left_aside(commands: Sequence[Command]) -> str:
    """What was taken for talk beside what was recorded, to be told; empty where nothing was."""
    recorded = [command for command in commands if command.act in RECORDING]
    talk = dict.fromkeys(f'"{said}"' for command in recorded for said in command.passed_over)
    return f"I left aside {wording.listed(list(talk), 'and')}." if talk else ""


def which(choices: Sequence[Command]) -> str:
    """The question which of these entries, or of these sums, is meant."""
    if any(command.act.startswith("ask_") for command in choices):
        return f"Shall I {', or '.join(map(_called, choices))}?"
    return f"Do you mean {wording.listed(list(map(_called, choices)), 'or')}?"


def _called(choice: Command) -> str:
    """A sum by what it does, a record by what it would say, an entry by its name."""
    if choice.act in RECORDING:
        return paraphrase(choice).rstrip(".").lower()
    return ACTS[choice.act].does if choice.act.startswith("ask_") else str(next(iter(choice.slots.values())))


def chosen(question: Question, heard: str) -> Command | None:
    """The command a bare answer names: by its place, by its name, or by yes where there is only one."""
    words = [word for word in split(heard) if word not in _AROUND_A_CHOICE]
    told = " ".join(words)
    if told in _PLACES and _PLACES[told] < len(question.commands):
        return question.commands[_PLACES[told]]
    if len(question.commands) == 1 and told in _AGREED:
        return question.commands[0]
    if not 0 < len(words) <= _LONGEST_NAME:
        return None
    names = dict(enumerate(map(_called, question.commands)))
    ranked = process.extract(told, names, scorer=fuzz.token_set_ratio, score_cutoff=_NAMED)
    if not ranked or len(ranked) > 1 and ranked[0][1] == ranked[1][1]:
        return None
    return question.commands[ranked[0][2]]


def all_meant(question: Question, heard: str) -> list[Command]:
    """The commands with each of the answers there are, where the answer is both or all."""
    told = " ".join(word for word in split(heard) if word not in _AROUND_A_CHOICE)
    return list(question.among) if told in _ALL else []


def answered(question: Question, answer: Command) -> list[Command]:
    """The commands a question was about with the answer in them; none where it is no answer to that question."""
    if question.slot is not None:
        command = question.commands[0]
        filled = _filled(command, question.slot, answer) or _named_closer(command, answer)
        return [filled] if filled else []
    if answer.act == "answer_yes":
        return list(question.commands)
    if question.offered:
        return []
    changed = [_with_value(command, answer.slots) for command in question.commands]
    return changed if changed != list(question.commands) else []


def _filled(command: Command, slot: str, answer: Command) -> Command | None:
    """The command with the slot that was asked for; None where the answer does not fit."""
    wanted = BARE_ANSWERS.get(slot)
    for value in answer.slots.values():
        if isinstance(value, str) != (slot in _NAME_ANSWERS):
            return None
        if isinstance(value, list) and value[1] == "":
            if wanted is None:
                return None
            value = [value[0] / 1000 if wanted == "sg" and value[0] >= 900 else value[0], wanted]
        if wanted and not _fits(value, [0.0, wanted]):
            return None
        if isinstance(value, str):
            value = _of_a_form(command.slots.get(slot), value)
        return _weighed(replace(command, slots={**command.slots, slot: value}))
    return None


def _named_closer(command: Command, answer: Command) -> Command | None:
    """The command with its ingredient named more closely, which leaves what was asked still open: `ale yeast`."""
    old, new = command.slots.get("ingredient"), answer.slots.get("ingredient")
    closer = isinstance(old, str) and isinstance(new, str) and set(old.split()) < set(new.split())
    return _weighed(replace(command, slots={**command.slots, "ingredient": str(new)})) if closer else None


def _of_a_form(asked_of: Any, said: str) -> str:
    """`amber malt extract` and `liquid` make `amber liquid malt extract`, as far as there is one; else what was said."""
    form = said.removesuffix("malt extract").removesuffix("one").strip()
    whole = str(asked_of).replace("malt extract", f"{form} malt extract").strip()
    return whole if form in FORMS and whole in knowledge.ingredients() else said


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


def may_be_told_by(question: Question, commands: Sequence[Command]) -> bool:
    """Whether the sum that waits for a number may find it in what was logged instead of answered: `it's at 118 now`."""
    waits = question.slot is not None and question.commands[0].act.startswith("ask_")
    return waits and all(command.act.startswith("log_") for command in commands)


def dropped(question: Question) -> str:
    """A line on what an unanswered question leaves undone, so that nothing is lost without a word."""
    waiting = [command for command in question.commands if command.act in RECORDING]
    return (
        f"Not recorded: {wording.listed([described(command.act, command.slots) for command in waiting])}."
        if waiting
        else ""
    )


def _fits(value: Any, old: Any) -> bool:
    """Whether one value may stand where the other does: both names, or both of one dimension."""
    if isinstance(old, list) and isinstance(value, list):
        return bool(value[1] == "" or dimension(value[1]) == dimension(old[1]))
    return isinstance(old, str) and isinstance(value, str)


def dimension(unit: str) -> Any:
    return "gravity" if unit in ("sg", "plato", "brix") else Q(1.0, unit).dimensionality


def as_object(question: Question | None) -> dict[str, Any] | None:
    if question is None:
        return None
    return {
        "slot": question.slot,
        "choose": question.choose,
        "offered": question.offered,
        "commands": [_command_as_object(command) for command in question.commands],
        "among": [_command_as_object(command) for command in question.among],
    }


def _command_as_object(command: Command) -> list[Any]:
    return [command.act, command.slots, command.heard]


def _commands(kept: Any) -> tuple[Command, ...]:
    return tuple(Command(act, slots, 1.0, heard) for act, slots, heard in kept)


def from_object(kept: Any) -> Question | None:
    if not isinstance(kept, dict):
        return None
    return Question(
        _commands(kept["commands"]), kept["slot"], kept.get("choose", False), _commands(kept.get("among", ())),
        kept.get("offered", False),
    )
