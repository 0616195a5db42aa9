"""What a lesson asks for a pass beside the marks, in the words in which it is judged."""

from sim.pages.page_rows import in_unit, wanted
from sim.pages.strip_picture import Say
from sim.scenario.library import Lesson
from sim.scenario.schema.marking import MeasureBlock


def asked(lesson: Lesson, say: Say) -> list[str]:
    """Return a line for each goal of a lesson: what is measured, and what is asked of it."""
    known: dict[str, MeasureBlock] = {
        m.name: m for phase in (*lesson.profile.phases, lesson.profile.leaving) for m in phase.measures
    }
    lines = []
    for goal in lesson.sources.lesson.goals:
        m = known[goal.measure]
        bounds = wanted(goal.least, goal.most, in_unit(m.name, m.unit, say), say)
        lines.append(say("page.goal.asked", {"what": m.title[:1].upper() + m.title[1:], "bounds": bounds}))
    return lines
