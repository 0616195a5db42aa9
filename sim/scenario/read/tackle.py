"""Ground and ground tackle out of their files: what a chart's letters mean, what an anchor holds, what a rode is."""

import math
from dataclasses import replace
from typing import Literal

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import G_MPS2, RHO_WATER_KGPM3, SUBMERGED_STEEL, mps
from sim.model import layout as lay
from sim.model import params
from sim.scenario.schema.base import Deck, Rope, SecondTackle, Tackle
from sim.scenario.schema.tackle import AnchorsFile, AnchorType, BottomsFile, Grip, Nature, Quality

REFERENCE_KG = 4536.0  # UFC 4-159-03 equation 26: holding is given for an anchor of 10,000 lb
MODEL_KG = 15.0  # the files give an anchor's sizes at this mass
MIXTURE_STEP = 1.0 / 3.0  # each further part of a mixture weighs a third of the one before; judgement
CHAIN_EA_PA = 0.854e11  # EA = 0.854e11 d^2, MoorPy's default property of studless chain
SEGMENT_M = 1.0
CHAIN_DRAG_NORMAL, CHAIN_DRAG_TANGENT = 2.4, 1.15  # on the bar's diameter; DNV-OS-E301 studless chain, from memory

NYLON_KGPM3 = 1140.0
# A rode without windlass: hauled by hand over a cleat, with a light snubber of its own (judgement).
HAND_RATE_MPS, HAND_N, CLEAT_N, HAND_SNUBBER = 0.3, 600.0, 30_000.0, (50_000.0, 40_000.0)
SECOND_TO_STARBOARD_M = 0.3

Role = Literal["main", "second", "shore"]
Part = tuple[Nature, str, tuple[Quality, ...], float]


def parts(letters: str, bottoms: BottomsFile) -> list[Part]:
    """Return (nature, its letter, its qualities, share) for each part of a bottom such as ``fS.M.Sh`` or ``S/M``.

    Shares add up to 1: the main part of a mixture comes first and weighs most, layers weigh alike (judgement).

    Raises:
        ValueError: naming the letters that mean nothing.
    """
    layers = [layer.split(".") for layer in letters.replace(" ", "").split("/")]
    found: list[Part] = []
    for layer in layers:
        weights = [MIXTURE_STEP**k for k in range(len(layer))]
        for word, weight in zip(layer, weights, strict=True):
            letter, qualities = _word(word, bottoms)
            found.append((bottoms.natures[letter], letter, qualities, weight / sum(weights) / len(layers)))
    return found


def _word(word: str, bottoms: BottomsFile) -> tuple[str, tuple[Quality, ...]]:
    for letter in sorted(bottoms.natures, key=len, reverse=True):
        if word.endswith(letter):
            qualities = _qualities(word.removesuffix(letter), bottoms)
            if qualities is not None:
                return letter, qualities
    raise ValueError(word)


def _qualities(text: str, bottoms: BottomsFile) -> tuple[Quality, ...] | None:
    if not text:
        return ()
    for letters in sorted(bottoms.qualities, key=len, reverse=True):
        if text.startswith(letters):
            rest = _qualities(text.removeprefix(letters), bottoms)
            if rest is not None:
                return (bottoms.qualities[letters], *rest)
    return None


def bottom_row(letters: str, bottoms: BottomsFile) -> FloatArray:
    """Return ``float64[BOTTOM_COLS]`` of a bottom, the mean of its parts by their share."""
    row = np.zeros(lay.BOTTOM_COLS)
    for nature, _, qualities, share in parts(letters, bottoms):
        stiff = nature.stiff * math.prod(q.stiff for q in qualities)
        unsoaked = nature.unsoaked * math.prod(q.unsoaked for q in qualities)
        row[lay.G_FRICTION] += share * nature.friction
        row[lay.G_BURY_FLUKES] += share * nature.bury_flukes
        row[lay.G_SUCTION] += share * nature.suction
        row[lay.G_PATCHY] += share * nature.patchy
        row[lay.G_SOAK_S] += share * nature.soak_min * 60.0
        row[lay.G_UNSOAKED] += share * min(unsoaked, 1.0)
        row[lay.G_CLOG_PER_M] += share * nature.clog_per_m
        row[lay.G_SKATE] += share * mps(nature.skate_kn)
        row[lay.G_STIFF] += share * min(stiff, 1.0)
    return row


def holding_n(grip: Grip, mass_kg: float) -> float:
    """Return the ultimate horizontal holding of an anchor [N].

    Source: H = HR (m / 4536 kg)^b, UFC 4-159-03 equation 26, where the file has coefficients; else efficiency times
    the weight in air (judgement).
    """
    if grip.efficiency is not None:
        return grip.efficiency * mass_kg * G_MPS2
    assert grip.hold_4536kg_n is not None and grip.exponent is not None  # the schema gives one law or the other
    return float(grip.hold_4536kg_n * (mass_kg / REFERENCE_KG) ** grip.exponent)


def anchor_row(kind: AnchorType, mass_kg: float) -> FloatArray:
    """Return ``float64[ANCHOR_PARAM_COLS]`` of an anchor."""
    scale = mass_kg / MODEL_KG
    row = np.zeros(lay.ANCHOR_PARAM_COLS)
    row[lay.AP_MASS] = mass_kg
    row[lay.AP_WEIGHT] = mass_kg * G_MPS2 * SUBMERGED_STEEL
    row[lay.AP_FLUKE] = kind.fluke_m * scale ** (1.0 / 3.0)
    row[lay.AP_DRAG_AREA] = kind.drag_m2 * scale ** (2.0 / 3.0)
    row[lay.AP_SLIDE] = kind.slide
    row[lay.AP_SELF_TIPS] = float(kind.self_tips)
    row[lay.AP_TRIPS], row[lay.AP_STAYS] = kind.trips_at_180, kind.stays_out
    row[lay.AP_TURN], row[lay.AP_SIDE] = kind.turn_flukes, kind.side
    return row


def anchor_on_bottom(kind: AnchorType, mass_kg: float, letters: str, bottoms: BottomsFile) -> tuple[float, float]:
    """Return (ultimate holding [N], deepest burial 0..1) of an anchor in a bottom."""
    hold = burial = 0.0
    for _, letter, qualities, share in parts(letters, bottoms):
        grip = kind.grips[letter]
        hold += share * holding_n(grip, mass_kg) * math.prod(q.hold for q in qualities)
        burial += share * min(grip.burial * math.prod(q.burial for q in qualities), 1.0)
    return hold, burial


def chain_ea_n(chain_mm: float) -> float:
    """Return the axial stiffness of studless chain [N] of a bar diameter."""
    return CHAIN_EA_PA * (chain_mm / 1000.0) ** 2


def chain_weight_n_per_m(mass_kgpm: float) -> float:
    """Return the weight in water of a metre of steel chain [N/m]."""
    return mass_kgpm * G_MPS2 * SUBMERGED_STEEL


def rope_row(rope_mm: float) -> dict[int, float]:
    """Return the columns of a rope of three-strand nylon, by its diameter.

    Breaking load 0.204 d^2 kN and 16 % longer at a fifth of it, 0.00063 d^2 kg/m (d in mm): usual tables, from memory.
    Nylon in sea water weighs a tenth of what it does in air (density 1140 kg/m3).
    """
    mass = 0.00063 * rope_mm**2
    return {
        lay.LP_ROPE_MASS: mass,
        lay.LP_ROPE_WEIGHT: mass * G_MPS2 * (1.0 - RHO_WATER_KGPM3 / NYLON_KGPM3),
        lay.LP_ROPE_EA: 204.0 * rope_mm**2 * 0.2 / 0.16,
        lay.LP_ROPE_DIAMETER: rope_mm / 1000.0,
    }


def _line(chain_mm: float, chain_kgpm: float, chain_m: float, rope: Rope | None, deck: Deck) -> FloatArray:
    """Return the columns that any rode has: what it is made of, and where it leads."""
    line = np.zeros(lay.LINE_PARAM_COLS)
    line[lay.LP_MASS] = chain_kgpm
    line[lay.LP_WEIGHT] = chain_weight_n_per_m(chain_kgpm)
    line[lay.LP_EA] = chain_ea_n(chain_mm)
    line[lay.LP_DIAMETER] = chain_mm / 1000.0
    line[lay.LP_LEADER] = chain_m
    line[lay.LP_CARRIED] = chain_m + (rope.length_m if rope is not None else 0.0)
    if rope is not None:
        for column, value in rope_row(rope.mm).items():
            line[column] = value
    line[lay.LP_SEGMENT] = SEGMENT_M
    line[lay.LP_BITTER_FAST] = 1.0
    line[lay.LP_ROLLER_Z] = deck.roller_height_m
    line[lay.LP_LEAD_X], line[lay.LP_BRIDLE_Y] = deck.roller_x_m, deck.bridle_half_m
    line[lay.LP_SNUB_EA], line[lay.LP_SNUB_BREAK] = HAND_SNUBBER
    line[lay.LP_MOTOR_RATE], line[lay.LP_MOTOR_STALL], line[lay.LP_CLUTCH] = HAND_RATE_MPS, HAND_N, CLEAT_N
    line[lay.LP_STOPPER_LIMIT] = CLEAT_N
    line[lay.LP_DRAG_NORMAL], line[lay.LP_DRAG_TANGENT] = CHAIN_DRAG_NORMAL, CHAIN_DRAG_TANGENT
    return line


def build_rode(
    tackle: Tackle, deck: Deck, anchors: AnchorsFile, bottoms: BottomsFile, letters: tuple[str, ...]
) -> params.Rode:
    """Return a boat's main rode, her anchor's holding given for each of a bay's bottoms in their order."""
    line = _line(tackle.chain_mm, tackle.chain_kgpm, tackle.chain_m, tackle.rope, deck)
    line[lay.LP_BITTER_FAST] = float(tackle.bitter_end_fast)
    line[lay.LP_SNUB_EA], line[lay.LP_SNUB_BREAK] = tackle.snubber.ea_n, tackle.snubber.break_n
    line[lay.LP_MOTOR_RATE] = tackle.windlass.rate_mpmin / 60.0
    line[lay.LP_MOTOR_STALL], line[lay.LP_CLUTCH] = tackle.windlass.stall_n, tackle.windlass.clutch_n
    line[lay.LP_STOPPER_LIMIT] = tackle.windlass.stopper_n
    return _rode(line, tackle, anchors, bottoms, letters, "main")


def build_rodes(
    tackle: Tackle, deck: Deck, anchors: AnchorsFile, bottoms: BottomsFile, letters: tuple[str, ...]
) -> tuple[params.Rode, ...]:
    """Return all rodes a boat carries: the main one, then a second anchor and a line ashore where she has them."""
    rodes = [build_rode(tackle, deck, anchors, bottoms, letters)]
    if tackle.second is not None:
        second = tackle.second
        line = _line(second.chain_mm, second.chain_kgpm, second.chain_m, second.rope, deck)
        line[lay.LP_LEAD_Y] = SECOND_TO_STARBOARD_M
        rodes.append(_rode(line, second, anchors, bottoms, letters, "second"))
    if tackle.shore_line is not None:
        rope = tackle.shore_line
        line = _line(tackle.chain_mm, tackle.chain_kgpm, 0.0, rope, deck)
        line[lay.LP_LEAD_X] = -deck.roller_x_m
        rodes.append(replace(_rode(line, tackle, anchors, bottoms, letters, "shore"), anchor_kind="none"))
    return tuple(rodes)


def _rode(
    line: FloatArray,
    gear: Tackle | SecondTackle,
    anchors: AnchorsFile,
    bottoms: BottomsFile,
    letters: tuple[str, ...],
    role: Role,
) -> params.Rode:
    kind = anchors.anchors[gear.anchor]
    return params.Rode(
        chain_mm=gear.chain_mm,
        line=line,
        anchor_kind=gear.anchor,
        anchor=anchor_row(kind, gear.anchor_kg),
        anchor_on_bottom=np.array([anchor_on_bottom(kind, gear.anchor_kg, one, bottoms) for one in letters]),
        role=role,
    )
