"""A bay with a patch of weed in its sand."""

from dataclasses import replace

import numpy as np
import worlds


def weedy():
    """Return a bay of sand with weed within 20 m of the origin, and a rode that holds a third as much in weed."""
    bay = worlds.bay()
    bottom = np.zeros((101, 101), np.int64)
    bottom[49:52, 49:52] = 1
    rode = replace(worlds.rode(), anchor_on_bottom=np.array([[7000.0, 1.0], [2300.0, 0.2]]))
    return {"bay": replace(bay, bottom=bottom, bottom_letters=("S", "Wd")), "rodes": (rode,)}
