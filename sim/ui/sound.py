"""Sound made of numbers: engine, chain over the roller, wind, alarm. Each has its twin on the screen.

engine   revolutions in the ledger, wash on the plan
chain    the marked strip that runs under its notch
wind     figures in the ledger, ripples and dark patches on the water
alarm    a frame round the plan, and the slip with the news
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pygame

from sim.base.arrays import FloatArray
from sim.base.rng import stream
from sim.core import events as ev
from sim.helm.view import View

RATE_HZ = 22_050
LOOP_S = 1.0
ENGINE_HZ = (14.0, 22.0, 33.0, 48.0)  # firing of the loops, idle to full; the nearest is played (judgement)
FIRINGS = 2.0  # a turn of the shaft's engine, about, with its reduction (judgement)
ALARM_S = 12.0
LEAST_RUN_MPS = 0.05
GALE_MPS = 18.0
Samples = npt.NDArray[np.int16]


@dataclass(frozen=True)
class Levels:
    """How loud each sound is, 0 to 1, and which of the engine's loops is heard."""

    engine: float = 0.0
    loop: int = 0
    chain: float = 0.0
    wind: float = 0.0
    alarm: float = 0.0


def levels(view: View, ran_mps: float) -> Levels:
    """Return how loud it is; ``ran_mps`` is how fast the chain has run over the roller."""
    r = view.readings
    turns = max((abs(rps) for rps in r.rps), default=0.0)
    firing = FIRINGS * turns
    loop = min(range(len(ENGINE_HZ)), key=lambda k: abs(ENGINE_HZ[k] - firing))
    rang = [e.tick / 60.0 for e in view.seen if isinstance(e, ev.AlarmRang)]
    ringing = bool(rang) and r.t_s - rang[-1] < ALARM_S
    return Levels(
        engine=0.0 if turns < 0.2 else min(0.18 + 0.02 * firing / 2.0, 0.7),
        loop=loop,
        chain=0.0 if abs(ran_mps) < LEAST_RUN_MPS else min(0.25 + 0.5 * abs(ran_mps), 0.9),
        wind=min((r.wind_mps / GALE_MPS) ** 1.5, 1.0) * 0.6,
        alarm=0.8 if ringing else 0.0,
    )


def _looped(noise: FloatArray, low: int, high: int) -> FloatArray:
    """Return noise between two frequencies [Hz, for a loop of a second] that joins its own beginning."""
    spectrum = np.fft.rfft(noise)
    hz = np.arange(len(spectrum)) / LOOP_S
    spectrum[(hz < low) | (hz > high)] = 0.0
    out: FloatArray = np.fft.irfft(spectrum, len(noise))
    return out / max(float(np.abs(out).max()), 1e-9)


def engine(firing_hz: float) -> FloatArray:
    """Return a second of a diesel that fires so often: a loop, -1 to 1."""
    whole = round(firing_hz * LOOP_S)
    t = np.arange(int(RATE_HZ * LOOP_S)) / RATE_HZ
    tone = sum(np.sin(2.0 * math.pi * whole * k * t + 0.7 * k * k) / k**1.1 for k in range(1, 9))
    knock = np.maximum(np.sin(2.0 * math.pi * whole * t), 0.0) ** 8
    rough = _looped(stream(1, "engine noise").standard_normal(len(t)), 150, 1200)
    out: FloatArray = 0.6 * tone / 2.2 + 0.4 * knock * rough
    return out / float(np.abs(out).max())


def chain() -> FloatArray:
    """Return a second of chain over a roller: a loop of clacks, -1 to 1."""
    draw = stream(2, "chain noise")
    ring = _looped(draw.standard_normal(int(RATE_HZ * LOOP_S)), 900, 5200)
    out = np.zeros(len(ring))
    decay = np.exp(-np.arange(900) / 160.0)
    for k in range(22):
        at = int((k + 0.35 * draw.random()) / 22.0 * len(ring))
        index = (at + np.arange(900)) % len(ring)
        out[index] += (0.6 + 0.4 * draw.random()) * decay * ring[index]
    return out / float(np.abs(out).max())


def wind() -> FloatArray:
    """Return a second of wind in the rigging: a loop, -1 to 1."""
    return _looped(stream(3, "wind noise").standard_normal(int(RATE_HZ * LOOP_S)), 120, 900)


def alarm() -> FloatArray:
    """Return a second of an alarm: two notes by turns."""
    t = np.arange(int(RATE_HZ * LOOP_S)) / RATE_HZ
    hz = np.where((t * 4.0).astype(int) % 2 == 0, 1320.0, 1060.0)
    out: FloatArray = np.sin(2.0 * math.pi * hz * t) * np.minimum(np.abs(np.sin(4.0 * math.pi * t)) * 6.0, 1.0)
    return out


def samples(sound: FloatArray) -> Samples:
    """Return a sound as the mixer wants it."""
    return (np.clip(sound, -1.0, 1.0) * 32_000.0).astype(np.int16)


class Speaker:
    """Plays; says nothing where there is no device or sound is off."""

    def __init__(self, on: bool) -> None:
        """Open the device, where there is one, and make every loop."""
        self.on = on
        self._loops: dict[str, list[pygame.mixer.Sound]] = {}
        self._playing: dict[str, tuple[int, pygame.mixer.Channel]] = {}
        self._out_m: float | None = None
        self._then_s = 0.0
        self._ran_mps = 0.0
        if not on:
            return
        try:
            pygame.mixer.init(RATE_HZ, -16, 1, 1024)
        except pygame.error:
            self.on = False
            return
        made = {"engine": [engine(hz) for hz in ENGINE_HZ], "chain": [chain()], "wind": [wind()], "alarm": [alarm()]}
        self._loops = {
            name: [pygame.mixer.Sound(buffer=samples(sound).tobytes()) for sound in sounds]
            for name, sounds in made.items()
        }

    def hear(self, view: View | None) -> None:
        """Sound as it does now; None silences everything."""
        if not self._loops:
            return
        now = levels(view, self._ran(view)) if view is not None and self.on else Levels()
        self._set("engine", now.engine, now.loop)
        for name, level in (("chain", now.chain), ("wind", now.wind), ("alarm", now.alarm)):
            self._set(name, level, 0)

    def _ran(self, view: View) -> float:
        """Return how fast the chain has run of late [m/s]."""
        t_s, out_m = view.readings.t_s, view.readings.counter_m
        if self._out_m is None or t_s < self._then_s:
            self._out_m, self._then_s = out_m, t_s
        if t_s - self._then_s >= 0.25:
            self._ran_mps = (out_m - self._out_m) / (t_s - self._then_s)
            self._out_m, self._then_s = out_m, t_s
        return self._ran_mps

    def _set(self, name: str, level: float, loop: int) -> None:
        kept = self._playing.get(name)
        if kept is not None and (level == 0.0 or kept[0] != loop):
            kept[1].fadeout(120)
            del self._playing[name]
            kept = None
        if level > 0.0:
            if kept is None:
                channel = self._loops[name][loop].play(loops=-1, fade_ms=80)
                if channel is None:
                    return
                kept = self._playing[name] = (loop, channel)
            kept[1].set_volume(level)
