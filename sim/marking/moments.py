"""The moments of an anchoring, read from the track: let go, touched, laid, secured."""

from dataclasses import dataclass

import numpy as np

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.record.track import Track

LAID_SHARE = 0.85  # of the longest rode out: from here on she is being set (judgement)
OUT_AGAIN_M = 35.0  # who comes no farther away has only said that she calls it off (judgement)
BOUNCE_S = 10.0  # off the bottom for less is the same landing


@dataclass(frozen=True)
class Moments:
    """When the things that marking speaks of happened, in seconds.

    Attributes:
        begin_s: the attempt that counts begins: the start, or when she came in anew after the anchor was lifted or an
            approach was called off; where she let go again on the spot, when the anchor came off the bottom.
        let_go_s: the anchor left the roller, or the touch where it hung outboard already; the end if never.
        touch: the landing, or None.
        touch_s: its time; the end if never.
        laid_s: most of the rode is out; the end if never.
        stop_s: the attempt ends: reported secured, lifted again, or the end of the run.
        secured_s: reported secured, or None.
    """

    begin_s: float
    let_go_s: float
    touch: ev.AnchorTouched | None
    touch_s: float
    laid_s: float
    stop_s: float
    secured_s: float | None

    @property
    def anchoring_s(self) -> float:
        """The moment about which the approach ends: let go, or the end of the run."""
        return self.let_go_s


def find_moments(track: Track) -> Moments:
    """Return the moments of the last attempt in ``track``; earlier ones cost nothing but time."""
    end_s = track.end_s
    touches = [e for e in track.events if isinstance(e, ev.AnchorTouched)]
    if not touches:
        let_go = [e.tick / TICK_HZ for e in track.events if isinstance(e, ev.AnchorLetGo)]
        let_go_s = let_go[-1] if let_go else end_s
        return Moments(0.0, let_go_s, None, end_s, end_s, end_s, None)
    lifted = lifts(track)
    begin_s = max((s for s in lifted if s < touches[-1].tick / TICK_HZ), default=0.0)
    touch = next(e for e in touches if e.tick / TICK_HZ >= begin_s)
    touch_s = touch.tick / TICK_HZ
    drops = [e.tick / TICK_HZ for e in track.events if isinstance(e, ev.AnchorLetGo)]
    let_go_s = max((s for s in drops if begin_s <= s <= touch_s), default=touch_s)
    begin_s = max([begin_s, *_came_in_anew(track, begin_s, let_go_s)])
    secured = [e.tick / TICK_HZ for e in track.events if isinstance(e, ev.Secured) and e.tick >= touch.tick]
    stop_s = min([end_s, *secured[:1], *(s for s in lifted if s > touch_s)])
    # What is veered once the snubber is on hands the load over; the rode was laid before.
    hooked = [e.tick / TICK_HZ for e in track.events if isinstance(e, ev.SnubberHooked) and e.tick >= touch.tick]
    laid_s = _laid(track, touch_s, min([stop_s, *hooked[:1]]))
    return Moments(begin_s, let_go_s, touch, touch_s, laid_s, stop_s, secured[0] if secured else None)


def lying_moments(track: Track) -> Moments:
    """Return the moments of a track that begins at anchor: all of it comes after she was laid."""
    begin_s = float(track["t_s"][0])
    return Moments(begin_s, begin_s, None, begin_s, begin_s, track.end_s, None)


def lifts(track: Track) -> list[float]:
    """Return when the anchor came off the bottom and stayed off, not bouncing as it landed [s]."""
    touches = [e for e in track.events if isinstance(e, ev.AnchorTouched)]
    out = []
    for e in track.events:
        if isinstance(e, ev.AnchorAweigh):
            again = any(0 <= t.tick - e.tick < BOUNCE_S * TICK_HZ for t in touches)
            if not again:
                out.append(e.tick / TICK_HZ)
    return out


def _came_in_anew(track: Track, lifted_s: float, let_go_s: float) -> list[float]:
    """Return when she came in anew: farthest out after a lift or an approach called off, if that was far enough."""
    off = [e.tick / TICK_HZ for e in track.events if isinstance(e, ev.Aborted)]
    out = []
    drop = track.index(let_go_s)
    for t_s in [lifted_s] * (lifted_s > 0.0) + [s for s in off if lifted_s < s < let_go_s]:
        since = slice(track.index(t_s), drop + 1)
        north, east = (track[name][since] - float(track[name][drop]) for name in ("north_m", "east_m"))
        away = np.hypot(north, east)
        if away.size and away.max() > OUT_AGAIN_M:
            out.append(float(track["t_s"][since.start + int(np.argmax(away))]))
    return out


def _laid(track: Track, touch_s: float, stop_s: float) -> float:
    first, last = track.index(touch_s), track.index(stop_s) + 1
    out_m = track["out_m"][first:last]
    reached = np.flatnonzero(out_m >= LAID_SHARE * out_m.max())
    return float(track["t_s"][first + reached[0]])
