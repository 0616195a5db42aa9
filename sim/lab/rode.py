"""How much rode, and why: the sum from the roller, the wind's need, and the uplift at each scope."""

import math
from dataclasses import dataclass

from rich import box
from rich.table import Table

from sim.base.units import deg, knots
from sim.model import layout as lay
from sim.model.params import Rode
from sim.model.tackle import catenary
from sim.model.tackle.anchor import uplift_factor
from sim.pages import svg

SCOPES = (3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0)
ENOUGH = 0.9  # of the holding on a level pull is left: flat enough (judgement)
LEAST_SCOPE = 5.0  # she swings and the pull comes in snatches: no less for a night (common practice, no source)
CAUTION = (
    "For teaching, not for choosing ground tackle. Local rules, the boat's manual and licensed practice come first."
)
YAWING = 2.0  # peaks of a yawing boat over the steady pull (common practice 1.5 to 2)
WIDTH, HEIGHT, MARGIN = 760.0, 300.0, 44.0


@dataclass(frozen=True)
class Need:
    """The sum.

    Attributes:
        height_m: roller to bed at the highest water.
        height_now_m: roller to bed now.
        pull_n: steady pull of the wind.
        peak_n: of a boat yawing in it.
        weight_n_per_m: of the chain in water.
        flat_m: least rode that still leads flat at the anchor under the steady pull.
        flat_peak_m: the same under the peak.
        carried_m: chain on board.
    """

    height_m: float
    height_now_m: float
    pull_n: float
    peak_n: float
    weight_n_per_m: float
    flat_m: float
    flat_peak_m: float
    carried_m: float

    def uplift_deg(self, scope: float, pull_n: float) -> float:
        """Return the slope at the shackle for a scope at the highest water [degrees]."""
        return deg(catenary.uplift_rad(self.height_m, scope * self.height_m, pull_n, self.weight_n_per_m))

    @property
    def advice_m(self) -> float:
        """What to lay: the wind's need under its peaks, five times the height at least, as far as chain is carried."""
        return min(math.ceil(max(self.flat_peak_m, LEAST_SCOPE * self.height_m)), self.carried_m)


def reckon(depth_m: float, rise_m: float, roller_m: float, wind_mps: float, loa_m: float, tackle: Rode) -> Need:
    """Return the sum for a depth now, the rise still to come, a roller's height and a wind."""
    height = depth_m + rise_m + roller_m
    pull = catenary.wind_load_n(loa_m, wind_mps)
    weight = float(tackle.line[lay.LP_WEIGHT])
    return Need(
        height_m=height,
        height_now_m=depth_m + roller_m,
        pull_n=pull,
        peak_n=YAWING * pull,
        weight_n_per_m=weight,
        flat_m=catenary.rode_needed_m(height, pull, weight),
        flat_peak_m=catenary.rode_needed_m(height, YAWING * pull, weight),
        carried_m=float(tackle.line[lay.LP_CARRIED]),
    )


def table(need: Need) -> Table:
    """Return scope, rode and uplift as a table."""
    shown = Table(box=box.SIMPLE_HEAD, padding=(0, 2, 0, 0))
    for title in ("scope", "rode m", "steady", "in the peaks", "holding left", ""):
        shown.add_column(title, justify="right")
    for scope in SCOPES:
        rode = scope * need.height_m
        steady, peak = need.uplift_deg(scope, need.pull_n), need.uplift_deg(scope, need.peak_n)
        left = uplift_factor(math.radians(peak))
        note = "more than she carries" if rode > need.carried_m else "flat enough" if left >= ENOUGH else ""
        shown.add_row(f"{scope:g}:1", f"{rode:.0f}", f"{steady:.0f}°", f"{peak:.0f}°", f"{100.0 * left:.0f} %", note)
    return shown


def words(need: Need, wind_mps: float) -> list[str]:
    """Return the sum in words, a line each."""
    rise = need.height_m - need.height_now_m
    lines = [
        f"Roller to bed: {need.height_now_m:.1f} m now, {need.height_m:.1f} m at high water ({rise:.1f} m of rise).",
        f"{knots(wind_mps):.0f} kn pulls about {need.pull_n:.0f} N steadily, {need.peak_n:.0f} N as she yaws.",
        f"To lie flat at the anchor takes {need.flat_m:.0f} m of this chain, {need.flat_peak_m:.0f} m in the peaks.",
    ]
    short = need.flat_peak_m > need.carried_m
    scope = need.advice_m / need.height_m
    if short:
        lines.append(
            f"She carries {need.carried_m:.0f} m, {scope:.1f}:1: not flat in the peaks. Use nylon, shallower "
            "water, or another place."
        )
    else:
        lines.append(f"Lay {need.advice_m:.0f} m, {scope:.1f}:1 at high water.")
        if LEAST_SCOPE * need.height_m > need.flat_peak_m:
            lines.append(
                f"That is {LEAST_SCOPE:g} times the height, more than the {need.flat_peak_m:.0f} m that "
                "would lie flat: the wind may rise over the forecast, she sheers, and the ground is never level."
            )
    return [*lines, CAUTION]


def draw(need: Need) -> str:
    """Return the rode at rest under the peak pull for scopes of 3, 5 and 7, side by side, as SVG."""
    curves = {
        scope: catenary.shape_m(need.height_m, scope * need.height_m, need.peak_n, need.weight_n_per_m)
        for scope in (3.0, 5.0, 7.0)
    }
    scale = (WIDTH - 2 * MARGIN) / max(curve[-1][0] for curve in curves.values())
    up = (HEIGHT - 2.2 * MARGIN) / need.height_m
    bed = HEIGHT - MARGIN
    parts = [
        svg.tag("rect", width=WIDTH, height=HEIGHT, fill=svg.PANEL),
        svg.area([[(0, bed), (WIDTH, bed), (WIDTH, HEIGHT), (0, HEIGHT)]], svg.DRYING),
        svg.line([(0, bed), (WIDTH, bed)]),
    ]
    for scope, curve in curves.items():
        end = curve[-1][0]
        points = [(WIDTH - MARGIN - scale * (end - x), bed - up * z) for x, z in curve]
        parts.append(svg.cased(points, svg.HOT, 2.0))
        angle = need.uplift_deg(scope, need.peak_n)
        parts.append(
            svg.text(points[0][0], bed + 18, f"{scope:g}:1, {scope * need.height_m:.0f} m, {angle:.0f}°", 12.0)
        )
    parts.append(svg.text(WIDTH - MARGIN, bed - up * need.height_m - 8, "roller", 12.0, anchor="end"))
    parts.append(svg.text(MARGIN, HEIGHT - 8, CAUTION, 9.0))
    title = f"Rode under {need.peak_n:.0f} N, roller {need.height_m:.1f} m above the bed"
    parts.append(svg.text(MARGIN, 24, title + (", heights exaggerated" if up > scale else ""), 13.0))
    return svg.tag(
        "svg", "".join(parts), xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}",
        font_family="sans-serif",
    )  # fmt: skip
