"""A track or a night that cannot be used is refused in one line, whatever is wrong with its file."""

import json

import numpy as np
import pytest
import worlds
from hypothesis import given, settings
from hypothesis import strategies as some

from sim.base.errors import RecordingError
from sim.record import night, track

LOADS = {"track": track.load, "night": night.load}


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """Return the bytes of a good track."""
    path = tmp_path_factory.mktemp("kept") / "track.npz"
    recorder = track.TrackRecorder()
    world = worlds.world()
    for tick in range(121):
        world.state.clock[0] = tick
        recorder.sample(world)
    return recorder.finish(world).save(path).read_bytes()


def refusal(path, load=track.load):
    with pytest.raises(RecordingError) as refused:
        load(path)
    told = str(refused.value)
    assert str(path) in told
    assert "\n" not in told
    return told


@pytest.mark.parametrize("kind", LOADS)
@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"no archive at all", b"\x93NUMPY"], ids=repr)
def test_what_is_no_archive_is_refused(tmp_path, kind, content):
    path = tmp_path / "some.npz"
    path.write_bytes(content)

    assert f"expected a {kind}" in refusal(path, LOADS[kind])


@pytest.mark.parametrize("kind", LOADS)
def test_a_missing_file_is_refused(tmp_path, kind):
    assert f"expected a {kind}" in refusal(tmp_path / "some.npz", LOADS[kind])


@pytest.mark.parametrize("kind", LOADS)
def test_an_array_alone_is_refused(tmp_path, kind):
    np.save(tmp_path / "some.npy", np.zeros(3))

    assert "found something else" in refusal(tmp_path / "some.npy", LOADS[kind])


@pytest.mark.parametrize("kind", LOADS)
def test_a_file_of_an_older_make_names_what_it_lacks(tmp_path, kind):
    np.savez(tmp_path / "old.npz", slow_t_s=np.zeros(1))

    assert "with format, found none" in refusal(tmp_path / "old.npz", LOADS[kind])


def test_another_format_is_told(tmp_path):
    np.savez(tmp_path / "new.npz", format=np.array(99))

    assert "of format 1, found format 99" in refusal(tmp_path / "new.npz")


def test_a_column_that_is_not_there_is_named(tmp_path, kept):
    (tmp_path / "whole.npz").write_bytes(kept)
    with np.load(tmp_path / "whole.npz") as data:
        rest = {name: data[name] for name in data.files if name != "fast_north_m"}
    np.savez(tmp_path / "less.npz", **rest)

    assert "with fast_north_m, found none" in refusal(tmp_path / "less.npz")


@pytest.mark.parametrize(
    "altered",
    [
        {"fast_north_m": np.zeros(2)},
        {"events": np.array([json.dumps({"was": "unheard_of"})])},
        {"events": np.array(["{"])},
        {"calls": np.array(["[1]"])},
        {"format": np.array("one")},
    ],
    ids=["unequal-columns", "unknown-event", "half-a-line", "half-a-call", "format-in-words"],
)
def test_what_makes_no_sense_is_refused(tmp_path, kept, altered):
    (tmp_path / "whole.npz").write_bytes(kept)
    with np.load(tmp_path / "whole.npz") as data:
        arrays = {name: data[name] for name in data.files} | altered
    np.savez(tmp_path / "odd.npz", **arrays)

    assert "found something else" in refusal(tmp_path / "odd.npz")


@settings(max_examples=25, deadline=None)
@given(share=some.floats(0.0, 0.999))
def test_a_file_cut_short_anywhere_is_refused(tmp_path_factory, kept, share):
    path = tmp_path_factory.mktemp("cut") / "track.npz"
    path.write_bytes(kept[: int(share * len(kept))])

    refusal(path)


@settings(max_examples=25, deadline=None)
@given(at=some.floats(0.0, 0.999), put=some.binary(min_size=1, max_size=40))
def test_spoilt_bytes_are_read_or_refused(tmp_path_factory, kept, at, put):
    """A checksum finds nearly all; nothing else than the one error comes out."""
    path = tmp_path_factory.mktemp("spoilt") / "track.npz"
    start = int(at * len(kept))
    path.write_bytes(kept[:start] + put + kept[start + len(put) :])

    try:
        track.load(path)
    except RecordingError as refused:
        assert "\n" not in str(refused)
