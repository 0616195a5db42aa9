"""What is written fits where it stands, in every language, in the smallest window; and it is in that language."""

import pytest

from sim.play.session import Session
from sim.scenario.library import load_words
from sim.scenario.words.language import languages, lesson_in
from sim.ui.paint import fonts
from sim.ui.paint.display import Words
from sim.ui.panels.layout import LEAST, lay_out
from sim.ui.panels.scene_rail import caption_rail
from sim.ui.screens.scene_result import result
from sim.ui.words import Catalogue

LAYOUT = lay_out(LEAST, False)


def lines(panel):
    """Return every line of a panel as it is set, with whether it is whole."""
    fitted = [(i, fonts.fitted(i.text, i.face, i.size, i.room)) for i in panel.items if isinstance(i, Words)]
    return [(item.text, text == item.text) for item, (text, _) in fitted]


@pytest.fixture(scope="module", params=sorted(languages()))
def marked(request, tmp_path_factory):
    """Return an attempt given up at once, in a language."""
    session = Session(lesson_in("hazel-cove", request.param), 1, tmp_path_factory.mktemp("run"))
    for _ in range(120):
        session.tick()
    return request.param, session.finish("closed")


def test_the_result_is_told_in_its_language_and_none_of_what_came_of_it_is_cut(marked):
    language, done = marked
    words = Catalogue(load_words(language))
    shown = lines(result(LAYOUT, done, "Hazel Cove", words))
    told = " ".join(text for text, _ in shown)
    page = words("ui.result.page", path="")

    assert [text for text, whole in shown if not whole and not text.startswith(page)] == []
    assert done.marks.costliest
    assert done.result["feedback"]["change"][:20] in told
    for m in done.marks.costliest[:1]:
        assert m.title[:15] in told


@pytest.mark.parametrize("language", sorted(languages()))
def test_the_keys_of_the_result_stay_within_the_rail(language):
    words = Catalogue(load_words(language))
    pairs = [
        ("Enter", words("ui.result.list")),
        ("F5", words("ui.result.again_key")),
        ("F7", words("ui.result.near")),
        (words("ui.key.space"), words("ui.result.replay")),
        ("F2", words("ui.result.open")),
    ]
    panel = caption_rail(LAYOUT, pairs)
    ends = [i.at[0] + fonts.measure(i.text, i.face, i.size) for i in panel.items if isinstance(i, Words)]

    assert max(ends) <= LAYOUT.size[0]


@pytest.mark.parametrize("size", [LEAST, (1280, 800), (1366, 768), (1920, 1080)])
def test_twice_the_size_leaves_the_plan_its_half(size):
    """Asked for at its largest, 1920 by 1080 shows all at twice the size, and no window's plan is crowded out."""
    layout = lay_out(size, True, 2.0)
    wide, tall = layout.plan[2:]

    assert wide >= 0.499 * size[0]
    assert tall >= 0.478 * size[1]
    if size == (1920, 1080):
        assert layout.unit >= 2.0
