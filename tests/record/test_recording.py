"""A recording: what is written is read back, and a run that was killed loses no more than its last second."""

import gzip
import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from sim.base.errors import RecordingError
from sim.core.orders.commands import Engine, Helm, MarkAnchor
from sim.record import recording


@pytest.fixture
def header():
    return recording.make_header("lantern-pool", "0" * 64, 7, "sloop-12", "novice", started_s=1.0)


def begun(folder: Path, header: dict) -> recording.Writer:
    writer = recording.Writer(folder, header)
    writer.state(0, "a0")
    writer.command(3, Engine(lever=-0.25))
    writer.command(3, Helm(angle_rad=0.1, actor="demonstrator"))
    writer.state(60, "a1")
    return writer


def test_a_closed_recording_reads_back_as_it_was_written(tmp_path, header):
    """Commands of every actor, hashes and the end come back; the plain file is gone."""
    writer = begun(tmp_path, header)
    writer.end(61, "secured")
    packed = writer.close()

    back = recording.read(tmp_path)

    assert packed == tmp_path / "recording.jsonl.gz"
    assert not (tmp_path / "recording.jsonl").exists()
    assert back.header == header
    assert back.commands == ((3, Engine(lever=-0.25)), (3, Helm(angle_rad=0.1, actor="demonstrator")))
    assert back.hashes == ((0, "a0"), (60, "a1"))
    assert back.end == {"t": 61, "why": "secured"}
    assert not back.torn
    assert back.by_tick() == {3: [Engine(lever=-0.25), Helm(angle_rad=0.1, actor="demonstrator")]}


def test_the_header_names_what_equal_hashes_depend_on(header):
    """Program, versions, platform, kernel mode, scenario and seed stand in the header."""
    assert {"format", "program", "versions", "platform", "kernel_mode", "scenario", "seed", "boat", "level"} <= set(
        header
    )
    assert set(header["versions"]) == {"python", "numpy", "numba", "pymunk"}
    assert header["scenario"] == {"id": "lantern-pool", "sha256": "0" * 64}
    assert header["tick_hz"] == 60


def test_a_kill_keeps_everything_up_to_the_last_hash(tmp_path, header):
    """Every hash flushes the file, so a process that dies leaves all that came before it."""
    writer = begun(tmp_path, header)
    writer.command(70, MarkAnchor())

    back = recording.read(tmp_path)  # the file as another process would find it

    assert back.hashes == ((0, "a0"), (60, "a1"))
    assert len(back.commands) == 2
    assert back.end is None
    writer.close()


def test_a_line_torn_in_the_middle_is_dropped_and_told(tmp_path, header):
    """Half a line at the end is no reason to lose the lines before it."""
    begun(tmp_path, header).close()
    text = gzip.decompress((tmp_path / "recording.jsonl.gz").read_bytes())
    torn = tmp_path / "torn.jsonl"
    torn.write_bytes(text + b'{"t":75,"do":"eng')

    back = recording.read(torn)

    assert back.torn
    assert len(back.commands) == 2
    assert back.hashes[-1] == (60, "a1")


def test_an_archive_cut_short_reads_as_far_as_it_goes(tmp_path, header):
    """The start of a packed recording whose end is missing still reads."""
    writer = begun(tmp_path, header)
    for k in range(2, 400):
        writer.state(60 * k, f"{k * 7919:016x}")
    packed = writer.close()
    packed.write_bytes(packed.read_bytes()[:-600])

    back = recording.read(tmp_path)

    assert back.torn
    assert 2 < len(back.hashes) < 400
    assert back.header == header


def test_equal_runs_give_equal_files(tmp_path, header):
    """Nothing of the clock gets into the packed file."""
    files = [begun(tmp_path / name, header).close().read_bytes() for name in ("one", "two")]

    assert files[0] == files[1]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        pytest.param("", "expected a recording of format 1", id="empty"),
        pytest.param('{"format":9}\n', "found 9", id="newer"),
        pytest.param('{"format":1}\nnonsense\n{"t":0,"hash":"a"}\n', "line 2", id="spoilt-in-the-middle"),
        pytest.param('{"format":1}\n{"t":0,"do":"fly"}\n', "line 2: unknown do 'fly'", id="unknown-command"),
        pytest.param('{"format":1}\n{"do":"abort"}\n', "line 2", id="no-tick"),
        pytest.param('{"format":1}\n[1]\n', "line 2", id="not-a-mapping"),
    ],
)
def test_what_is_no_recording_is_refused_in_one_line(tmp_path, text, told):
    """The error names the file and what was found."""
    path = tmp_path / "recording.jsonl"
    path.write_text(text)

    with pytest.raises(RecordingError) as refused:
        recording.read(path)

    assert told in str(refused.value)
    assert str(path) in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_folder_without_a_recording_is_refused(tmp_path):
    """There is nothing to read in an empty folder."""
    with pytest.raises(RecordingError, match="no recording here"):
        recording.read(tmp_path)


def test_each_line_is_plain_json(tmp_path, header):
    """Anyone can read a recording with the tools at hand."""
    packed = begun(tmp_path, header).close()

    lines = [json.loads(line) for line in gzip.decompress(packed.read_bytes()).splitlines()]

    assert lines[2] == {"t": 3, "do": "engine", "lever": -0.25}
    assert lines[4] == {"t": 60, "hash": "a1"}


@pytest.mark.parametrize(
    ("altered", "told"),
    [
        pytest.param({"scenario": "lantern-pool"}, "scenario", id="a-name-alone"),
        pytest.param({"seed": "seven"}, "seed", id="seed-in-words"),
        pytest.param({"boat": None}, "boat", id="no-boat"),
    ],
)
def test_a_header_of_another_make_is_refused_in_one_line(tmp_path, header, altered, told):
    """What a replay cannot do without has to be of its kind."""
    path = tmp_path / "recording.jsonl"
    path.write_text(json.dumps(header | altered) + "\n")

    with pytest.raises(RecordingError, match=told):
        recording.read(path)


def test_an_end_of_another_make_is_refused(tmp_path, header):
    """An end says when and why."""
    path = tmp_path / "recording.jsonl"
    path.write_text(json.dumps(header) + '\n{"t":60,"end":"enough"}\n')

    with pytest.raises(RecordingError, match="line 2"):
        recording.read(path)


@settings(max_examples=60, deadline=None)
@given(start=some.integers(0, 400), put=some.binary(max_size=12))
def test_whatever_stands_in_it_is_read_or_refused(tmp_path_factory, start, put):
    """Bytes written over a good file never end in another error."""
    path = tmp_path_factory.mktemp("spoilt") / "recording.jsonl"
    head = recording.make_header("lantern-pool", "0" * 64, 7, "sloop-12", "novice")
    whole = (json.dumps(head) + '\n{"t":3,"do":"abort"}\n{"t":60,"hash":"a"}\n').encode()
    path.write_bytes(whole[:start] + put + whole[start + len(put) :])

    try:
        recording.read(path)
    except RecordingError as refused:
        assert "\n" not in str(refused)
