"""The spoken set: everything the bench may say has a word, and it is fit to be heard."""

from __future__ import annotations

import math
import re
import shutil
import wave
from pathlib import Path

import pytest

from darkroom import resources
from darkroom.devices.sound import make_words, wav
from darkroom.devices.sound.cue_names import RATE, slug
from darkroom.devices.sound.sound_files import Library, shipped, spell
from darkroom.errors import NotReadable

FILES = sorted((shipped() / "voice").glob("*.wav"))


def has(word: str) -> bool:
    """True when every part of a word has a file."""
    return all((shipped() / "voice" / f"{slug(part)}.wav").is_file() for part in spell(word))


def test_the_set_is_what_the_script_makes() -> None:
    """The shipped words are those of the script, no more and no fewer."""
    assert sorted(path.stem for path in FILES) == sorted(slug(word) for word in make_words.words())


def test_every_shipped_stage_can_be_said() -> None:
    """Each stage of each shipped process has its word."""
    names = {
        stage.name for path in resources.shipped_processes() for stage in resources.read_process(path).stages
    }
    assert len(names) > 10
    assert {name for name in names if not has(name)} == set()


def test_every_number_the_bench_says_can_be_said() -> None:
    """Plate numbers 1 to 100, and seconds counted as far as a developer may take, have their words."""
    assert all(has(str(number)) for number in range(1, 1000))
    assert spell("100") == ["1", "hundred"]
    assert spell("999") == ["9", "hundred", "90", "9"]


def test_what_the_bench_says_is_in_the_set() -> None:
    """Every phrase that the cue schedule and the answers name in their code has its word."""
    import darkroom.bench.cues
    import darkroom.session.feedback

    found = set()
    for module in (darkroom.bench.cues, darkroom.session.feedback):
        assert module.__file__ is not None
        text = Path(module.__file__).read_text()
        for row in re.findall(r"say=\((.*?)\)", text) + re.findall(r"\(voice, ([^()]*)\)", text):
            found |= set(re.findall(r'"([a-z ]+)"', row))
    assert {"undone", "past wet", "safelight only"} <= found
    assert {word for word in found if not has(word)} == set()


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_word_is_fit_to_be_heard(path: Path) -> None:
    """A word is 16-bit mono at 22.05 kHz, 0.15 to 2 s, silent at both ends, as loud as the rest."""
    with wave.open(str(path), "rb") as file:
        assert (file.getframerate(), file.getsampwidth(), file.getnchannels()) == (22050, 2, 1)
    samples = wav.read(path)
    assert 0.15 <= len(samples) / RATE <= 2.0
    assert max(abs(value) for value in (*samples[:20], *samples[-20:])) < 400
    rms = math.sqrt(sum(value * value for value in samples) / len(samples)) / 32768
    assert 0.06 <= rms <= make_words.LOUD + 0.005
    assert max(map(abs, samples)) / 32768 <= make_words.PEAK + 0.01


def test_each_count_fits_into_its_second() -> None:
    """Every number that is counted aloud is said within the second it names."""
    library = Library()
    for number in range(1, 61):
        (word,) = library.words([str(number)])
        assert len(word) / RATE < 0.98, number


def test_the_whole_set_is_small() -> None:
    """Cues and words together take less than 4 MB."""
    assert sum(path.stat().st_size for path in shipped().rglob("*.wav")) < 4_000_000


def test_the_script_speaks(tmp_path: Path) -> None:
    """The script says words of the user's own, where espeak-ng is there."""
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not installed")
    assert make_words.main([str(tmp_path), "gold toning", "11"]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["11.wav", "gold-toning.wav"]
    assert len(wav.read(tmp_path / "gold-toning.wav")) / RATE > 0.4


def test_without_the_speaking_program_the_script_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without espeak-ng the script ends with 2 and names what is missing."""
    monkeypatch.setenv("PATH", str(tmp_path))
    assert make_words.main([str(tmp_path), "drain"]) == 2
    assert "espeak-ng is not installed" in capsys.readouterr().err


def test_own_words_win_and_missing_ones_fall_back(tmp_path: Path) -> None:
    """A word in the user's folder is taken; one that is missing there comes from the shipped set."""
    (tmp_path / "voice").mkdir()
    shutil.copy(shipped() / "voice" / "20.wav", tmp_path / "voice" / "drain.wav")
    own, ours = Library(str(tmp_path)), Library()
    assert own.words(["drain"]) == ours.words(["20"])
    assert own.words(["fix"]) == ours.words(["fix"])


def test_silence_is_no_word() -> None:
    """A word that came out silent is refused."""
    with pytest.raises(NotReadable, match="silent"):
        make_words.level(wav.array("h", bytes(4000)))
