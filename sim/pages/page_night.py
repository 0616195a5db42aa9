"""The night on the debrief page: one sentence and its figures."""

from sim.base.units import deg
from sim.marking.phases import night
from sim.marking.run import Run
from sim.pages.strip_picture import Say
from sim.record.night import STEEP_RAD


def _hours(run: Run, t_s: float) -> str:
    """Return a time since the start as hours and minutes into the stay, which begins where the exercise ends."""
    began_s = run.night.began_s if run.night is not None else 0.0
    minutes = round(max(t_s - began_s, 0.0) / 60.0)
    return f"{minutes // 60} h {minutes % 60:02d} min"


def sentence(run: Run, say: Say) -> str:
    """Return what the night came to, in one sentence; empty where none was sailed."""
    found = night.sums(run)
    if found is None:
        return ""
    kind = "touched" if found.touched else "dragged" if found.drag_m > night.HELD_M else "held"
    values = {
        "when": _hours(run, found.worst_s),
        "drag_m": round(found.drag_m),
        "load_kn": f"{found.peak_load_n / 1e3:.1f}",
    }
    return say(f"page.night.{kind}", values)


def rows(run: Run, say: Say) -> list[tuple[str, str]]:
    """Return the night as rows of what and figure; empty where none was sailed."""
    found = night.sums(run)
    if found is None:
        return []
    ratio = found.proved_load_ratio
    out = [] if ratio is None else [("proved", {"ratio": f"{ratio:.2f}"})]
    out.append(("load", {"kn": f"{found.peak_load_n / 1e3:.2f}", "most_kn": f"{found.load_99_n / 1e3:.2f}"}))
    out.append(("drag", {"drag_m": f"{found.drag_m:.1f}"}))
    if found.least_gap_m is not None and found.least_gap_s is not None:
        near = {
            "gap_m": f"{found.least_gap_m:.0f}",
            "boat": found.least_gap_boat or "",
            "when": _hours(run, found.least_gap_s),
        }
        out.append(("gap", near))
    out.append(("uplift", {"min": f"{found.steep_s / 60.0:.0f}", "deg": f"{deg(STEEP_RAD):.0f}"}))
    out.append(("length", {"hours": f"{found.hours:.1f}"}))
    return [(say(f"page.night.row.{key}", values), say(f"page.night.row.{key}.is", values)) for key, values in out]
