"""Speaks sentences, lets a speech recogniser hear them, and writes down what it heard and how that came about.

    cd tests/hearing
    python speak_and_hear.py sentences.jsonl heard.jsonl

Run by hand, seldom: the tests read only what it wrote. It needs the program espeak-ng (a package of that name in most
systems) and the Python package pocketsphinx, which brings its own model of American English. Neither is needed for
anything else here, so install pocketsphinx into an environment of its own.

The first file holds a sentence a line: `said` (in full words, as it is spoken), `act` and `slots`. The second gets a
line for each sentence and each kind of noise: the same, with `noise` and with `heard`, one text for each voice. A file
beside it, with the ending `.toml`, tells the programs, voices and noises. The same versions and seed give the same
texts, however many processes share the work.
"""

from __future__ import annotations

import argparse
import io
import json
import math
import random
import re
import shlex
import subprocess
import sys
import wave
from array import array
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from functools import cache, partial
from importlib.metadata import version
from itertools import product
from operator import mul
from pathlib import Path
from typing import Any, NamedTuple

from pocketsphinx import Decoder


class Voice(NamedTuple):
    """A voice of the speech program, and how it speaks."""

    name: str
    words_a_minute: int
    pitch: int
    """0 to 99."""

    def __str__(self) -> str:
        return f"{self.name}, {self.words_a_minute} words a minute, pitch {self.pitch}"


VOICES = (Voice("en-us+klatt", 165, 40), Voice("en-us", 150, 40), Voice("en-gb", 165, 30))

RATE = 22050
"""Samples a second: what the speech program gives. The recogniser is told, so nothing is resampled."""

HALF = 0.5
"""Speech is turned down to this, so that noise on top of it stays within a sample's 16 bits."""
LOUDEST = 32767

SILENCE = RATE // 4
"""Samples of silence before and after a sentence."""

QUIET, BURNER = "none", "burner"
HISS_BELOW = 30.0
"""Decibels by which a microphone's own hiss lies below the speech. Without any, the recogniser hears worse."""
BURNER_BAND = (80.0, 1200.0)
"""Hertz; a gas burner roars low and evenly (common practice, no source)."""
NOISE_LASTS = 10
"""Seconds of noise that are made; each hearing gets it from another moment on."""


def speak(sentence: str, voice: Voice) -> array[int]:
    """The sentence as 16-bit samples, with silence around it."""
    command = ["espeak-ng", "-v", voice.name, "-s", str(voice.words_a_minute), "-p", str(voice.pitch), "--stdout"]
    spoken = subprocess.run([*command, sentence], capture_output=True, check=True).stdout
    with wave.open(io.BytesIO(spoken)) as sound:
        if (sound.getframerate(), sound.getsampwidth(), sound.getnchannels()) != (RATE, 2, 1):
            raise ValueError(f"{voice.name} does not give single-channel 16-bit samples at {RATE} Hz")
        samples = array("h", sound.readframes(sound.getnframes()))
    around = array("h", [0] * SILENCE)
    return around + samples + around


def hiss(seed: int) -> list[float]:
    """White noise."""
    chance = random.Random(seed)
    return [chance.gauss(0, 1) for _ in range(NOISE_LASTS * RATE)]


def roar(seed: int) -> list[float]:
    """Noise within a band, falling off by 6 decibels an octave below it and by 12 above it."""
    lowest, highest = (1 - math.exp(-2 * math.pi * edge / RATE) for edge in BURNER_BAND)
    below = smooth = smoother = 0.0
    made = []
    for sample in hiss(seed):
        smooth += highest * (sample - smooth)
        smoother += highest * (smooth - smoother)
        below += lowest * (smoother - below)
        made.append(smoother - below)
    return made


@cache
def noises(seed: int) -> dict[str, list[float]]:
    return {QUIET: hiss(seed), BURNER: roar(seed)}


def loudness(samples: Sequence[float]) -> float:
    """The root of the mean square."""
    return math.sqrt(sum(map(mul, samples, samples)) / len(samples))


def mixed(speech: array[int], noise: Sequence[float], decibels: float, start: int) -> array[int]:
    """Speech, turned down, with noise that many decibels below it from the noise's sample `start` on."""
    level = HALF * loudness(speech[SILENCE:-SILENCE]) / loudness(noise) / 10 ** (decibels / 20)
    return array("h", (
        max(-LOUDEST, min(LOUDEST, round(HALF * sample + level * noise[at % len(noise)])))
        for at, sample in enumerate(speech, start)
    ))


@cache
def recogniser() -> Decoder:
    """One for each process; levels are taken from the whole sentence."""
    return Decoder(samprate=RATE, cmn="batch", loglevel="FATAL")


def hear(sound: array[int]) -> str:
    """What the recogniser makes of it; empty where it heard no word."""
    decoder = recogniser()
    decoder.reinit_feat()  # forgets the sentence before, which another order would change
    decoder.start_utt()
    decoder.process_raw(sound.tobytes(), no_search=False, full_utt=True)
    decoder.end_utt()
    best = decoder.hyp()
    return best.hypstr if best else ""


def hearings(row: dict[str, Any], seed: int, burner_below: float) -> list[dict[str, Any]]:
    """The lines a sentence gives: one for each noise, heard once from each voice."""
    heard: dict[str, list[str]] = {QUIET: [], BURNER: []}
    for voice, (noise, decibels) in product(VOICES, ((QUIET, HISS_BELOW), (BURNER, burner_below))):
        start = random.Random(f"{seed} {row['said']} {voice} {noise}").randrange(NOISE_LASTS * RATE)
        heard[noise].append(hear(mixed(speak(row["said"], voice), noises(seed)[noise], decibels, start)))
    return [
        {"said": row["said"], "noise": noise, "heard": texts, "act": row["act"], "slots": row["slots"]}
        for noise, texts in heard.items()
    ]


def origin(chosen: argparse.Namespace, arguments: Sequence[str]) -> Iterator[str]:
    """The lines of the file that tells where the hearings come from."""
    told = subprocess.run(["espeak-ng", "--version"], capture_output=True, check=True, text=True).stdout
    speaker = re.search(r"\d[\w.]*", told)
    facts = {
        "made": date.today().isoformat(),
        "command": shlex.join(["python", Path(__file__).name, *arguments]),
        "speaks": f"espeak-ng {speaker.group() if speaker else told.strip()}",
        "hears": f"pocketsphinx {version('pocketsphinx')} with its own models of how American English sounds and goes on",
        "samples_a_second": RATE,
        "seed": chosen.seed,
        "voices": list(map(str, VOICES)),
    }
    heard_over = {
        QUIET: f"only a microphone's hiss: white noise, {HISS_BELOW:g} dB below the speech",
        BURNER: f"like a gas burner: noise from {BURNER_BAND[0]:g} to {BURNER_BAND[1]:g} Hz, "
        f"{chosen.burner_below:g} dB below the speech",
    }
    yield f"# Where the lines of {chosen.heard.name} come from. Written by {Path(__file__).name}, not by hand."
    yield f"# `voices` stand in the order of each line's `heard`. The words spoken are our own ({chosen.sentences.name})."
    yield from (f"{name} = {json.dumps(fact)}" for name, fact in facts.items())
    yield "\n[noise]"
    yield from (f"{name} = {json.dumps(told)}" for name, told in heard_over.items())


def chosen_by(arguments: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        description=__doc__.partition("\n")[0], formatter_class=argparse.ArgumentDefaultsHelpFormatter
    )
    parser.add_argument("sentences", type=Path, help="what to speak, a JSON object a line")
    parser.add_argument("heard", type=Path, help="where to write what was heard; an old file is replaced")
    parser.add_argument("--burner-below", type=float, default=12, metavar="DB",
                        help="decibels by which the burner's noise lies below the speech")
    parser.add_argument("--seed", type=int, default=1, help="for the noise")
    parser.add_argument("--processes", type=int, help="how many share the work (default: one a processor)")
    return parser.parse_args(arguments)


def main(arguments: Sequence[str]) -> None:
    chosen = chosen_by(arguments)
    rows = list(map(json.loads, chosen.sentences.read_text(encoding="utf-8").splitlines()))
    with ProcessPoolExecutor(chosen.processes) as processes:
        heard = processes.map(partial(hearings, seed=chosen.seed, burner_below=chosen.burner_below), rows)
        lines = [json.dumps(line) for several in heard for line in several]
    chosen.heard.write_text("\n".join(lines) + "\n", encoding="utf-8")
    chosen.heard.with_suffix(".toml").write_text("\n".join(origin(chosen, arguments)) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
