"""Whatever bench.json holds, the tool starts, the plates come back, and the next number is right."""

from __future__ import annotations

import json
import shutil
import threading
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from darkroom.log.journal.find import MOST_NUMBER
from darkroom.screens.services import Services
from darkroom.screens.start import build
from tests.kit.nightly import examples
from tests.kit.odd_journals import GOOD, ODD, bench_lines, write

KEYS = ("plates", "large", "brightness", "form", "number", "day", "changed_bottles")
FORM_KEYS = ("process", "exposure", "timed", "carry", "humidity", "temperatures", "prepare", "read_at",
             "bottles", "bottle_ids", "collodion")  # fmt: skip
LEAVES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**30), 10**30),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=12),
    st.sampled_from([GOOD, ODD, "", "/dev/zero", "../../etc/passwd", "a\0b"]),
)
ANY_JSON = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(FORM_KEYS), inner, max_size=4)
    ),
    max_leaves=8,
)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the home of a bench with plate 1 in the fixer."""
    return tmp_path_factory.mktemp("bench") / "home"


def _start_with(home: Path, monkeypatch: pytest.MonkeyPatch, content: bytes) -> Services:
    monkeypatch.setenv("DARKROOM_HOME", str(home))
    monkeypatch.setenv("XDG_STATE_HOME", str(home.parent / "state"))
    shutil.rmtree(home, ignore_errors=True)
    write(home, GOOD, bench_lines(GOOD))
    (home / "bench.json").write_bytes(content)
    return build(home)


@settings(
    max_examples=examples(60),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(key=st.sampled_from(KEYS), value=ANY_JSON)
@example("number", "abc")
@example("number", [1])
@example("number", True)
@example("number", -5)
@example("number", 10**30)
@example("large", [1])
@example("large", "")
@example("brightness", "x")
@example("brightness", True)
@example("plates", {GOOD: 1})
@example("plates", [[GOOD], 7, "a\0b"])
@example("form", {"read_at": {"bath": 10**30}})
@example("day", {"a": 1})
def test_any_value_of_any_key_leaves_the_plate_on_the_bench(
    home: Path, monkeypatch: pytest.MonkeyPatch, key: str, value: Any
) -> None:
    """The plate comes back large, its number is counted on from, and the file can be written again."""
    book: dict[str, Any] = {"plates": [GOOD], "large": GOOD, "brightness": 3, "number": 1, "form": {}}
    services = _start_with(home, monkeypatch, json.dumps(book | {key: value}).encode())
    try:
        bench = services.session.bench
        assert list(bench.plates) == [GOOD] and bench.large == GOOD
        known = key == "number" and type(value) is int and 1 < value <= MOST_NUMBER
        assert services.next_number() == (value + 1 if known else 2)
        assert type(services.memory.brightness) in (int, type(None))
        services.memory.save(bench, "2026-03-01")
        assert services.memory.book.close(10.0)
        assert json.loads((home / "bench.json").read_bytes())["plates"] == [GOOD]
    finally:
        services.close()


@pytest.mark.parametrize(
    "content", [b"", b"\xff\xfe{}", b"[1, 2]", b'"x"', b"null", b"{" * 100_000, b"\0" * 64]
)
def test_a_file_that_is_no_object_is_as_one_that_is_lost(
    home: Path, monkeypatch: pytest.MonkeyPatch, content: bytes
) -> None:
    """The days' folders tell which plates come back."""
    services = _start_with(home, monkeypatch, content)
    try:
        assert list(services.session.bench.plates) == [GOOD]
    finally:
        services.close()


@pytest.mark.parametrize("number", ["abc", [7], True, -5, 10**30, None, 0, 2.5])
def test_a_number_that_is_none_is_looked_for_in_the_journals(
    home: Path, monkeypatch: pytest.MonkeyPatch, number: object
) -> None:
    """A finished plate 41 of years ago is found again: the next is 42, not below it."""
    monkeypatch.setenv("DARKROOM_HOME", str(home))
    monkeypatch.setenv("XDG_STATE_HOME", str(home.parent / "state"))
    shutil.rmtree(home, ignore_errors=True)
    write(home, ODD, bench_lines(ODD, number=41, bench="another"), day="2019-03-01")
    (home / "bench.json").write_text(json.dumps({"plates": [], "number": number}))
    services = build(home)
    try:
        for thread in [thread for thread in threading.enumerate() if thread.name == "count"]:
            thread.join(20.0)
        assert services.next_number() == 42
    finally:
        services.close()
