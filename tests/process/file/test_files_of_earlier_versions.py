"""Process files as they were shipped in earlier versions stay right and keep their times and sentences."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from darkroom import resources
from darkroom.bench import moments
from darkroom.process.file.plain_form import from_plain, to_plain
from tests.kit.plate_snapshot import FIXTURES, TEMPERATURES, differences, times

FIRST = sorted((FIXTURES / "processes").glob("*.yaml"))
WITH_MOMENTS = sorted((FIXTURES / "processes_with_moments").glob("*.yaml"))
SHIPPED = [path for path in WITH_MOMENTS if (FIXTURES / "processes" / path.name).exists()]


def by_stem(paths: list[Path]) -> pytest.MarkDecorator:
    """Run a test for each of these files."""
    return pytest.mark.parametrize("path", paths, ids=lambda path: path.stem)


def test_every_shipped_file_is_kept_as_it_was() -> None:
    """Each of the eight shipped files stands in both folders, with and without moments."""
    stems = {path.stem for path in resources.shipped_processes()}
    assert len(stems) == 8
    assert stems <= {path.stem for path in FIRST}
    assert stems == {path.stem for path in SHIPPED}


@by_stem(WITH_MOMENTS)
def test_a_file_with_moments_keeps_its_meaning(path: Path) -> None:
    """A file has every member of the journal's form that was kept of it, and both are the same process."""
    kept = json.loads(path.with_suffix(".plain.json").read_text(encoding="utf-8"))
    process = resources.read_process(path)
    assert from_plain(kept) == process
    now = to_plain(process)
    for stage, before in zip(now["stages"], kept["stages"], strict=True):
        assert {key: stage[key] for key in before} == before
    now.pop("stages"), kept.pop("stages")
    assert {key: now[key] for key in kept} == kept


@by_stem(WITH_MOMENTS)
def test_a_file_with_moments_keeps_its_times(path: Path) -> None:
    """Its stages take what they took, at the temperatures it assumes and in a warm, dry room."""
    kept = json.loads(path.with_suffix(".times.json").read_text(encoding="utf-8"))
    assert differences(kept, {words: times(path, words) for words in TEMPERATURES}) == []


@by_stem(SHIPPED)
def test_a_file_without_moments_has_the_times_of_the_file_with_them(path: Path) -> None:
    """The sentences of the moments changed no number: both files give every stage the same seconds."""
    before = FIXTURES / "processes" / path.name
    for words in TEMPERATURES:
        assert differences(times(before, words), times(path, words)) == []


@by_stem(FIRST)
def test_a_file_without_moments_says_its_sentence_while_ready_and_running(path: Path) -> None:
    """One sentence is that of the whole stage: said before the call, never as the hand is due."""
    for stage in resources.read_process(path).stages:
        assert (stage.hints, stage.verb, stage.early, stage.repeat, stage.holds_plates) == (None,) * 5
        said = [moments.hint_at(stage, moment) for moment in ("ready", "running", "due")]
        assert said == [stage.hint, stage.hint, None]


def test_every_newer_key_is_in_a_kept_file() -> None:
    """The kept file with every moment has each newer key, alone and together with the others."""
    process = resources.read_process(FIXTURES / "processes_with_moments" / "every-moment.yaml")
    for key in ("hints", "verb", "early", "repeat", "holds_plates", "at_least"):
        assert any(getattr(stage, key) is not None for stage in process.stages)
    assert process.humidity == 20
    assert {process.is_free_early(stage) for stage in process.stages} == {True, False}
