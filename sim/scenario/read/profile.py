"""A marking profile made whole: its own figures, and those of the profile it is based on."""

from collections.abc import Callable
from dataclasses import dataclass

from sim.scenario.schema.marking import CapsBlock, CriticalBlock, PhaseBlock, ProfileFile, ScopeBlock, SlowBlock

MOST_BASES = 4


@dataclass(frozen=True)
class Profile:
    """How a level is marked.

    Attributes:
        name: its name in the library.
        title: in words.
        version: stands in every result.
        tolerance: half and zero lie this many times as far from full as the phases say; measures that are fixed do not.
        pass_points: out of 100.
        cap_points: most that an attempt with a critical fail reaches.
        caps: most points that a grave error, or what is never passed, leaves.
        scope: scope asked for.
        slow: what taking much longer than the reference run costs; None where time costs nothing.
        phases: in the order of the job, their worth adding up to 100.
        leaving: marked alone where she leaves and that is an answer.
        critical: what caps an attempt.
    """

    name: str
    title: str
    version: int
    tolerance: float
    pass_points: float
    cap_points: float
    caps: CapsBlock
    scope: ScopeBlock
    slow: SlowBlock | None
    phases: tuple[PhaseBlock, ...]
    leaving: PhaseBlock
    critical: tuple[CriticalBlock, ...]


def whole(name: str, file: ProfileFile, find: Callable[[str], ProfileFile]) -> Profile:
    """Return the profile of a file; ``find`` reads the file that another is based on.

    Critical fails add to those of the base; anything else that is given stands instead of the base's.

    Raises:
        ValueError: when profiles are based on each other in a ring.
    """
    chain = [file]
    while (base := chain[-1].based_on) is not None:
        if len(chain) > MOST_BASES:
            raise ValueError(f"a profile based on at most {MOST_BASES} others in turn")
        chain.append(find(base))
    root = chain[-1]
    assert root.scope is not None and root.phases is not None and root.leaving is not None  # the schema sees to it
    assert root.pass_points is not None and root.cap_points is not None
    pass_points, cap_points, scope, phases = root.pass_points, root.cap_points, root.scope, root.phases
    leaving, slow, caps = root.leaving, root.slow, root.caps or CapsBlock()
    critical: dict[str, CriticalBlock] = {}
    for link in reversed(chain):
        pass_points = pass_points if link.pass_points is None else link.pass_points
        cap_points = cap_points if link.cap_points is None else link.cap_points
        scope, phases = link.scope or scope, link.phases or phases
        leaving, slow, caps = link.leaving or leaving, link.slow or slow, link.caps or caps
        critical |= {fail.code: fail for fail in link.critical}
    return Profile(
        name=name,
        title=file.title,
        version=file.version,
        tolerance=file.tolerance,
        pass_points=pass_points,
        cap_points=cap_points,
        caps=caps,
        scope=scope,
        slow=slow,
        phases=phases,
        leaving=leaving,
        critical=tuple(critical.values()),
    )
