"""Damaged and hostile files: whatever is done to one, it gives a sound mesh or a sentence, and takes no memory."""

import importlib.util
import subprocess
import sys
import tracemalloc
import warnings
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.inbox.mesh.hostile import SEEDS, expect_sound_or_refused

SEED = st.sampled_from(sorted(SEEDS)).map(SEEDS.__getitem__)
NASTY = st.sampled_from(
    [
        b"", b"\0", b"\n", b"\r", b" ", b"\\\n", b"-", b"#", b",", b"/", b"nan", b"-inf", b"1e999", b"1e-320", b"0",
        b"-1", b"4294967295", b"99999999999999999999", b"\xff\xff\xff\xff", b"\x00\x00\xc0\x7f", b"\x80", b"solid",
        b"endsolid", b"facet", b"end_header\n", b"element face 9\n", b"property list uchar int a\n", b"ply\n",
        b"v 0 0 0\n", b"f 1 2 3 4\n", b"PK\x03\x04", b"<!DOCTYPE a>", b"&a;", b"DICM", b"\xef\xbb\xbf", b"\xff\xfe",
    ]
)  # fmt: skip


@st.composite
def damaged(draw):
    """A good file, spoilt in a few places: overwritten, cut, doubled, or with a part of another file in it."""
    content = draw(SEED)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(content)))
        end = draw(st.integers(at, min(len(content), at + draw(st.sampled_from([0, 1, 4, 60, 100_000])))))
        doubled, other = st.just(content[at:end] * 2), st.just(draw(SEED)[at:])
        part = draw(st.one_of(NASTY, st.binary(max_size=8), doubled, other))
        content = content[:at] + part + content[end:]
    return content


@pytest.mark.parametrize("name", sorted(SEEDS))
def test_each_file_that_is_damaged_here_is_sound_before(name):
    from intake.inbox.mesh.formats import read_mesh

    assert read_mesh(SEEDS[name]).mesh.faces.max() > 0


@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(damaged())
def test_a_damaged_file_is_read_soundly_or_refused(content):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # as at the desk, where a warning of a library raises nothing
        expect_sound_or_refused(content)


@given(st.binary(max_size=400))
def test_any_bytes_are_refused_or_read_soundly(content):
    expect_sound_or_refused(content)
    for name in ("stl", "ply", "obj", "3mf", "dicom"):
        expect_sound_or_refused(SEEDS[name][:140] + content)


@pytest.mark.parametrize("name", sorted(SEEDS))
def test_a_file_cut_anywhere_is_refused_or_read_soundly(name):
    content = SEEDS[name]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for length in range(0, len(content), max(len(content) // 150, 1)):
            expect_sound_or_refused(content[:length])


def test_no_damaged_file_takes_more_memory_than_a_few_times_its_size():
    tracemalloc.start()
    try:

        @settings(database=None, suppress_health_check=[HealthCheck.too_slow])
        @given(damaged())
        def bounded(content):
            tracemalloc.reset_peak()
            before = tracemalloc.get_traced_memory()[0]
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                expect_sound_or_refused(content)
            assert tracemalloc.get_traced_memory()[1] - before < 20 * len(content) + 5_000_000

        bounded()
    finally:
        tracemalloc.stop()


@pytest.mark.thorough
@pytest.mark.skipif(importlib.util.find_spec("atheris") is None, reason="atheris is not on this machine")
def test_a_fuzzer_that_follows_the_code_finds_nothing(tmp_path):
    """Atheris, libFuzzer for Python: changes files so that they reach code that none reached before."""
    for name, content in SEEDS.items():
        (tmp_path / name).write_bytes(content)
    root = Path(__file__).parents[3]
    bounds = ["-max_total_time=4", "-max_len=6000", "-rss_limit_mb=1500", "-timeout=10", "-seed=1"]
    command = [sys.executable, "-m", "tests.inbox.mesh.fuzz_target", str(tmp_path), f"-artifact_prefix={tmp_path}/"]
    done = subprocess.run([*command, *bounds], cwd=root, capture_output=True, text=True, timeout=90, check=False)
    assert done.returncode == 0, done.stdout[-3_000:] + done.stderr[-500:]
    assert "Done" in done.stderr
