"""Every act in a line for people, with a sentence that asks for it: what help shows, what questions are made of."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Act:
    does: str
    """Completes "I can ..."."""
    example: str
    """A sentence that is understood as this act (a test says each of them)."""
    topic: str


ACTS: dict[str, Act] = {
    "log_gravity": Act("log a gravity reading", "reading 1.052 at 70F", "log"),
    "log_temperature": Act("log a temperature", "the wort is at 85F", "log"),
    "log_volume": Act("log a volume", "3 gallons in the kettle", "log"),
    "log_addition": Act("log what went in", "added 1 oz Willamette", "log"),
    "log_event": Act("log what happened", "the boil is on", "log"),
    "note": Act("keep a note", "note that the garage is cold", "log"),
    "correct_last": Act("correct the last entry", "no, 1.014", "log"),
    "undo": Act("take the last entry back", "undo that", "log"),
    "redo": Act("put back what was taken back", "redo", "log"),
    "ask_logged": Act("tell whether and when something was done", "did I add the Magnum", "log"),
    "plan_addition": Act("put an addition in the recipe", "add 1 oz Willamette at 15 minutes", "plan"),
    "remove_addition": Act("take an addition out of the recipe", "take out the Magnum", "plan"),
    "new_batch": Act("open a batch", "new batch called Harvest Amber, 5 gallons", "plan"),
    "use_batch": Act("go to a batch", "switch to Harvest Amber", "plan"),
    "list_batches": Act("list the batches", "list my batches", "plan"),
    "set": Act(
        "set the batch size, boil off, altitude, hydrometer or units",
        "my boil off is 1 gallon an hour",
        "plan",
    ),
    "show_log": Act("show the log", "show the log", "plan"),
    "summary": Act("sum up the batch", "how's this batch looking", "plan"),
    "export": Act("write the batch to a file", "export this batch", "plan"),
    "start_timer": Act("start a timer", "set a timer for 30 minutes for the steep", "clock"),
    "time_left": Act("tell the time left", "how long left", "clock"),
    "whats_next": Act("tell what goes in next", "what's next", "clock"),
    "pause": Act("pause the boil clock", "pause the boil", "clock"),
    "resume": Act("start the clock again", "boil's back on", "clock"),
    "cancel_timer": Act("cancel a timer", "cancel the timer", "clock"),
    "ask_correct_reading": Act(
        "correct a hydrometer for temperature", "what's 1.050 at 100F corrected", "sums"
    ),
    "ask_convert": Act("convert units", "convert 19 liters to gallons", "sums"),
    "ask_abv": Act("work out the alcohol", "abv from 1.060 to 1.012", "sums"),
    "ask_attenuation": Act(
        "tell how much of the sugar has fermented", "what attenuation from 1.050 to 1.012", "sums"
    ),
    "ask_blend": Act(
        "tell the gravity of several worts put together",
        "gravity of 2 gallons of 1.080 blended with 3 gallons of 1.040",
        "sums",
    ),
    "ask_calories": Act("count calories", "calories in a pint, og 1.050 fg 1.010", "sums"),
    "ask_refractometer": Act("correct a refractometer", "refractometer went from 12 brix to 6 brix", "sums"),
    "ask_dilution": Act(
        "tell how much water to add", "how much water to get 3 gallons of 1.090 down to 1.055", "sums"
    ),
    "ask_topup_gravity": Act(
        "tell the gravity after topping up", "what will 3 gal of 1.088 be topped up to 5 gal", "sums"
    ),
    "ask_gravity_from": Act(
        "tell the gravity from an amount",
        "what gravity will 6 lb of dry malt extract give in 5 gallons",
        "sums",
    ),
    "ask_extract_for": Act(
        "tell how much extract for a gravity", "how much dry malt extract for 5 gallons at 1.050", "sums"
    ),
    "ask_substitute": Act(
        "swap one extract for another", "how much liquid extract equals 5 lb of dry extract", "sums"
    ),
    "ask_mix_temperature": Act(
        "tell what a mix comes to", "what if I mix 2 gallons at 200F with 3 gallons at 40F", "sums"
    ),
    "ask_ice": Act("tell how much ice", "how much ice to cool 2.5 gallons from 180 to 70", "sums"),
    "ask_strike": Act(
        "tell how hot the strike water must be", "strike temp for 2.5 lb of grain in 1 gallon for 152", "sums"
    ),
    "ask_steep": Act(
        "tell where grain in hot water settles",
        "where will 2 lb of grain in 2 gallons of 165 degree water settle",
        "sums",
    ),
    "ask_infusion": Act(
        "tell how much boiling water raises a mash",
        "how much boiling water to raise 2 gallons from 148 to 156",
        "sums",
    ),
    "ask_contraction": Act(
        "tell how much wort shrinks as it cools",
        "how much will 3 gallons shrink when it cools from 212 to 68",
        "sums",
    ),
    "ask_losses": Act(
        "tell what stays behind in grain, hops and kettle", "how much wort do I lose to trub and hops", "sums"
    ),
    "ask_heat_time": Act("tell how long heating takes", "how long to heat 3 gallons from 60 to 160", "sums"),
    "ask_chill_time": Act(
        "tell how long chilling takes", "how long until it is cool enough to pitch", "sums"
    ),
    "ask_boiling_point": Act("tell where water boils", "where does water boil at 6000 ft", "sums"),
    "ask_boil_off": Act("tell what boils away", "how much will boil off in 60 minutes", "sums"),
    "ask_water_needed": Act(
        "tell how much water to start with", "how much water do I need to start with", "sums"
    ),
    "ask_bitterness": Act("work out the bitterness", "how bitter is my recipe", "sums"),
    "ask_hops_for": Act(
        "tell how much hops",
        "how many ounces of 12 percent hops for 40 ibu at 60 minutes in 5 gallons",
        "sums",
    ),
    "ask_color": Act("work out the color", "how dark will it be", "sums"),
    "ask_balance": Act("weigh bitter against sweet", "what's the BU to GU ratio", "sums"),
    "ask_style": Act("tell whether the beer fits a style", "does it fit an amber ale", "sums"),
    "ask_scale": Act("work the recipe out for another volume", "scale the recipe to 10 gallons", "sums"),
    "ask_enzymes": Act("tell whether grain has enzyme enough to mash", "is there enough enzyme", "sums"),
    "ask_done_when": Act("tell when fermentation will be done", "when will it finish fermenting", "sums"),
    "ask_carbonation": Act(
        "tell how carbonated sugar makes it", "how carbonated will 4 oz of corn sugar make 5 gallons", "sums"
    ),
    "ask_bottle_pressure": Act(
        "tell the pressure in the bottles", "what pressure in the bottles if I bottle at 1.016", "sums"
    ),
    "ask_pitch_rate": Act("tell how much yeast", "how much yeast for 5 gallons of 1.050", "sums"),
    "ask_viability": Act(
        "tell how much of a yeast pack lives", "my yeast pack is 3 months old, is it still ok", "sums"
    ),
    "ask_starter": Act("tell the extract for a starter", "how much dme for a 2 liter starter", "sums"),
    "ask_pitch_temperature": Act("tell whether it is cool enough to pitch", "can I pitch", "sums"),
    "ask_original_gravity": Act(
        "tell the gravity the recipe should give", "what should the original gravity be", "sums"
    ),
    "ask_final_gravity": Act("tell where it should finish", "what should the final gravity be", "sums"),
    "ask_ready": Act("tell whether it is ready to bottle", "is it ready to bottle", "sums"),
    "ask_priming": Act("tell how much priming sugar", "how much corn sugar to bottle 5 gallons", "sums"),
    "ask_keg_pressure": Act("tell the keg pressure", "keg pressure for 2.5 volumes at 38F", "sums"),
    "ask_bottles": Act("count the bottles", "how many bottles for 5 gallons", "sums"),
    "ask_sanitizer": Act("tell the dose of sanitizer", "how much iodophor for 5 gallons", "sums"),
    "ask_chlorine": Act("tell the dose against chlorine", "how much Campden to treat 6 gallons", "sums"),
    "ask_mineral": Act("tell what a salt adds", "what does 1 tsp of gypsum do in 5 gallons", "sums"),
    "ask_varied": Act("do the last sum again with one thing changed", "and for 4 gallons", "sums"),
    "ask_salts": Act(
        "tell which salts bring water to a target",
        "which salts for 80 ppm calcium and 120 ppm sulfate in 5 gallons",
        "sums",
    ),
    "ask_residual_alkalinity": Act(
        "work out residual alkalinity", "residual alkalinity with 100 ppm alkalinity and 50 ppm calcium", "sums"
    ),
    "ask_water": Act(
        "tell what a kind of water wants before brewing", "is distilled water ok for a mini mash", "sums"
    ),
    "ask_sanitizer_strength": Act(
        "tell how strong a sanitizer comes out", "what ppm is a tablespoon of bleach in a gallon", "sums"
    ),
    "define": Act("explain a word", "what does wort mean", "know"),
    "about": Act("tell about an ingredient", "tell me about Willamette", "know"),
    "why": Act("tell the reason", "why chill fast", "know"),
    "belief": Act("tell whether what is often said is so", "is it true that dry yeast must be rehydrated", "know"),
    "how_to": Act("tell how to do something", "how do I sanitize", "know"),
    "what_now": Act("tell the next step", "what do I do now", "know"),
    "next_step": Act("tell the step after that", "next", "know"),
    "step_back": Act("tell the step before that", "go back a step", "know"),
    "checklist": Act("list what to have ready on brew day", "what do I need to have ready", "know"),
    "shopping_list": Act("list what to buy for the recipe", "what do I need to buy", "know"),
    "today": Act("tell what the beer needs today", "what do I do today", "know"),
    "day_plan": Act("tell what to do on each day after", "what do I do each day", "know"),
    "about_style": Act("tell about a style of beer", "tell me about Irish red ale", "know"),
    "troubleshoot": Act("help when something is off", "it's boiling over", "know"),
    "safety": Act("tell what to be careful about", "safety tips", "know"),
    "explain_last": Act("show the working of the last answer", "how did you get that", "know"),
    "again": Act("say the last answer again", "say that again", "know"),
    "help": Act("show what I understand", "help", "know"),
}
