"""Which handler answers which act: the one table."""

from __future__ import annotations

from collections.abc import Callable

from assistant.handlers import (
    back,
    clock,
    fermentation,
    know,
    lists,
    log,
    plan,
    steps,
    styles,
    sums,
    troubles,
)
from assistant.handlers.turn import Turn
from assistant.reply import Outcome

Handler = Callable[[Turn], Outcome]

HANDLERS: dict[str, Handler] = {
    **dict.fromkeys(sums.SUMS, sums.answer),
    "log_gravity": log.gravity,
    "log_temperature": log.plain,
    "log_volume": log.plain,
    "note": log.plain,
    "log_addition": log.addition,
    "log_event": log.event,
    "correct_last": log.correct,
    "undo": log.undo,
    "redo": log.redo,
    "ask_logged": back.logged,
    "ask_varied": back.nothing_to_vary,
    "plan_addition": plan.addition,
    "remove_addition": plan.remove,
    "new_batch": plan.new_batch,
    "use_batch": plan.use_batch,
    "list_batches": plan.list_batches,
    "set": plan.set_,
    "show_log": plan.show_log,
    "summary": plan.summary,
    "export": plan.export,
    "start_timer": clock.start_timer,
    "time_left": clock.time_left,
    "whats_next": steps.whats_next,
    "pause": clock.pause,
    "resume": clock.resume,
    "cancel_timer": clock.cancel_timer,
    "ask_pitch_temperature": fermentation.pitch_temperature,
    "ask_ready": fermentation.ready,
    "ask_substitute": fermentation.substitute,
    "define": know.define,
    "about": know.about,
    "why": know.why,
    "belief": know.belief,
    "how_to": steps.how_to,
    "what_now": steps.what_now,
    "next_step": steps.next_step,
    "step_back": steps.step_back,
    "today": steps.today,
    "day_plan": steps.day_plan,
    "about_style": styles.about_style,
    "checklist": lists.checklist,
    "shopping_list": lists.shopping_list,
    "troubleshoot": troubles.troubleshoot,
    "safety": troubles.safety,
    "explain_last": know.explain,
    "again": know.again,
    "help": know.help_,
}

OFFERED: dict[str, Handler] = {"write_scaled": plan.write_scaled}
"""What no sentence asks for: an answer offers it, and a yes carries it out."""
