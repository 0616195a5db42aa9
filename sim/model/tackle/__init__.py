"""Ground tackle: anchor, chain, snubber, windlass."""
