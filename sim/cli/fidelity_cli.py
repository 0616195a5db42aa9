"""The command that compares the watch's clock with the live one."""

from typing import Annotated

import typer
from rich.console import Console


def night_fidelity(
    seeds: Annotated[int, typer.Option(min=1, help="how many seeds, from 0 on")] = 20,
) -> None:
    """Compare the live clock with the night clock over half an hour of 25 kn and a shift, seed by seed."""
    from sim.lab import fidelity  # noqa: PLC0415 - nothing else needs it
    from sim.play import warmup  # noqa: PLC0415

    err = Console(stderr=True)
    warmup.warm_up(err.print)
    pairs = []
    for pair in fidelity.compare_all(range(seeds)):
        pairs.append(pair)
        err.print(f"{len(pairs)} of {seeds}", end="\r")
    Console().print(fidelity.table(pairs))
