"""What she shows at anchor, against the Collision Regulations, and the alarm's radius worked out by hand.

COLREG 1972 as amended: rule 20 (b) and (d) on when, rule 30 (a), (b) and (e) on what. Rule 35 (g), the bell in fog, has
nothing to stand against: the program asks for no sound signal.
"""

import math

import pytest
from marking import sailed

from sim.core import events as ev
from sim.marking.phases import secure
from sim.model import fix
from sim.model.air.sky import Sky
from sim.scenario import library

NOON_H, MIDNIGHT_H = 12.0, 0.0


def least_shown(length_m: float, dark: bool, out_of_the_way: bool) -> str:
    """Return the least that rule 30 lets a vessel at anchor show: "light", "ball", "two lights" or "nothing".

    Out of the way is a place not in or near a narrow channel, fairway or anchorage nor where others usually navigate.
    """
    if length_m < 7.0 and out_of_the_way:
        return "nothing"  # (e)
    if not dark:
        return "ball"  # (a) (i)
    return "light" if length_m < 50.0 else "two lights"  # (b), else (a) (i) and (ii)


@pytest.mark.parametrize(
    ("length_m", "dark", "out_of_the_way", "shows"),
    [
        (6.9, True, True, "nothing"), (6.9, True, False, "light"), (6.9, False, False, "ball"),
        (7.0, True, True, "light"), (12.0, False, False, "ball"), (49.9, True, False, "light"),
        (50.0, True, False, "two lights"),
    ],
)  # fmt: skip
def test_the_rule_itself_at_its_limits(length_m, dark, out_of_the_way, shows):
    assert least_shown(length_m, dark, out_of_the_way) == shows


@pytest.mark.parametrize("hour", [NOON_H, MIDNIGHT_H])
@pytest.mark.parametrize("name", library.boat_names())
def test_in_an_anchorage_every_boat_must_show_what_rule_30_asks_and_no_more(name, hour):
    """Every lesson lies in an anchorage, so length exempts nobody; by day the ball, by night one all-round light."""
    boat = library.load_boat(name)
    here = {"sky": Sky(starts_h=hour), "boat": boat}
    asked = least_shown(boat.particulars.loa_m, hour == MIDNIGHT_H, out_of_the_way=False)
    accepted = {
        what: secure.signal_shown(sailed.run(happened, params=here))
        for what, happened in {
            "nothing": sailed.without(ev.LightsShown),
            "light": sailed.instead(ev.LightsShown(tick=sailed.tick(366), anchor_light=True, ball=False)),
            "ball": sailed.instead(ev.LightsShown(tick=sailed.tick(366), anchor_light=False, ball=True)),
        }.items()
    }

    assert [what for what, well in accepted.items() if well] == [asked]


def test_the_alarm_s_radius_is_the_sum_worked_out_by_hand():
    """Common practice, no source; its allowances are judgement.

    32.5 m out from a roller 6.5 m above the bed reach sqrt(32.5^2 - 6.5^2) = 31.84 m; the antenna is 6.3 + 5.0 = 11.3 m
    abaft the roller; 2 m of stretch, 5 m of error, a tenth of the rode 3.25 m: 53.39 m.
    """
    assert secure.alarm_radius_m(sailed.run(), 0.0, 0.0, 32.5) == pytest.approx(53.39, abs=0.01)


def test_the_alarm_allows_for_more_than_the_receiver_errs():
    """A circle of 95 % is 2.448 standard deviations of either axis (Rayleigh's distribution)."""
    circle_m = math.sqrt(-2.0 * math.log(0.05)) * fix.WANDER_M

    assert circle_m < secure.POSITION_ERROR_M
