"""Make the static cuts in this folder: tabular figures as the default, Latin only, nothing else changed.

Run with fontTools at hand and the untouched families in the folder given:
``python make.py FOLDER`` looks for each ``FAMILY-STYLE.ttf`` below it.
"""

import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

CUTS = ("BarlowSemiCondensed-Medium", "BarlowSemiCondensed-SemiBold", "FiraSans-Regular", "FiraSans-Medium")
LATIN = [
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),
    *range(0x2010, 0x2027),
    0x2032,
    0x2033,
    0x2190,
    0x2191,
    0x2192,
    0x2193,
]
LATIN += [0x20AC, 0x2212, 0x2248, 0x2264, 0x2265]


def tabular(font: TTFont) -> dict[str, str]:
    """Return which glyph stands for which in the font's tabular figures."""
    table = font["GSUB"].table
    wanted = {i for r in table.FeatureList.FeatureRecord if r.FeatureTag == "tnum" for i in r.Feature.LookupListIndex}
    out: dict[str, str] = {}
    for i in wanted:
        for part in table.LookupList.Lookup[i].SubTable:
            out |= getattr(part, "ExtSubTable", part).mapping
    return out


def make(source: Path, target: Path) -> None:
    """Write one cut."""
    font = TTFont(source)
    instead = tabular(font)
    for characters in font["cmap"].tables:
        characters.cmap = {code: instead.get(name, name) for code, name in characters.cmap.items()}
    options = subset.Options(layout_features=["kern", "mark", "mkmk", "ccmp"], name_IDs=["*"], hinting=True)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=LATIN)
    cutter.subset(font)
    font.save(target)


if __name__ == "__main__":
    for cut in CUTS:
        make(next(Path(sys.argv[1]).rglob(f"{cut}.ttf")), Path(__file__).with_name(f"{cut}.ttf"))
