"""The spoken set: everything the bench may say has a word, and it is fit to be heard."""

from __future__ import annotations

import math
import shutil
import wave
from pathlib import Path

import pytest
from msgspec.structs import replace

from darkroom import resources
from darkroom.bench import moments, refusals
from darkroom.bench.all_plates import Bench
from darkroom.bench.cues import cues
from darkroom.bench.fold import begin
from darkroom.bench.state import Part
from darkroom.commands import make_words
from darkroom.devices.sound import espeak, wav
from darkroom.devices.sound.cue_names import RATE, slug
from darkroom.devices.sound.sound_files import Library, recorded, shipped, spell
from darkroom.errors import NotReadable
from darkroom.process.file.plain_form import to_plain
from darkroom.session import vocabulary
from darkroom.session.actions import MENU, REASONS
from darkroom.session.speech import SpokenSet
from darkroom.session.strikes import DEAD_FIRST, TWO_ZONES, HeldLong
from tests.kit.bench import start

FILES = sorted((shipped() / "voice").glob("*.wav"))
SET = SpokenSet(recorded())
OPEN = (Part(0.0, 8.0),)
"""A lens that was opened for eight seconds."""


def test_the_set_is_what_the_script_makes() -> None:
    """The recordings are those of the script: `python -m darkroom.commands.make_words` renews them."""
    assert sorted(path.stem for path in FILES) == sorted(slug(text) for text in make_words.shipped_texts())


@pytest.mark.parametrize("path", resources.shipped_processes(), ids=lambda path: path.stem)
def test_every_shipped_process_can_be_said(path: Path) -> None:
    """Names, verbs, questions and cautions of its stages: nothing of it is without a recording."""
    process = resources.read_process(path)
    texts = list(vocabulary.of_process(process))
    for stage in process.stages:
        verb = moments.verb_when_due(process, stage).lower()
        texts += [f"0:30 short: again to {verb}", f"{stage.shown}: 0:30 more", f"caution {stage.name}"]
        texts += [f"{stage.shown}: cleared already? Again if it has", f"again to take back {stage.shown}"]
    assert len(texts) > 20
    assert {text: SET.missing(text) for text in texts if SET.missing(text)} == {}


def test_every_number_the_bench_says_can_be_said() -> None:
    """Plate numbers 1 to 100, and seconds counted as far as a developer may take, have their words."""
    assert all(Library().words([str(number)]) for number in (*range(1000),))
    assert spell("100") == ["1", "hundred"]
    assert spell("999") == ["9", "hundred", "90", "9"]


def test_every_refusal_and_question_can_be_said() -> None:
    """Whatever the bench refuses or asks, with plate, stage and time in it, has its words."""
    texts = [value for name, value in vars(refusals).items() if name.isupper()]
    texts += [
        "rinse: 0:30 more", "2:10 short: again to lift", "plate 2 now", "new plate now",
        "exposure done: it is never left out", "again to take back end of sensitise",
        "again to take back start of expose", "rinse keeps acid from the cyanide: it is never left out",
        "fix: cleared already? Again if it has", "plate 1, though plate 2 waits? Again for plate 1",
        TWO_ZONES, DEAD_FIRST, HeldLong(None, 0.0).why,
    ]  # fmt: skip
    assert len(texts) > 20
    assert {text: SET.missing(text) for text in texts if SET.missing(text)} == {}


def test_every_line_of_the_menu_can_be_said() -> None:
    """The menu's labels, the reasons for giving a plate up, and what is told have their words."""
    texts = [*(action.label for action in MENU), *REASONS, "bath: 18 °C", "line 12", "caution fix"]
    texts += ["plate 12, drain, 20 s so far, wet 9 min 40 s assumed, then expose", "past wet 5 s, press"]
    texts += ["exposure 8 s", "exposure until you press", "plate 3: warm"]
    assert {text: SET.missing(text) for text in texts if SET.missing(text)} == {}


def test_all_that_a_plate_says_can_be_said() -> None:
    """Every cue of every stage of the shipped processes, in its lead-in and running, has its words."""
    spoken: set[str] = set()
    for process in map(resources.read_process, resources.shipped_processes()):
        state = begin(start(process=to_plain(process)), 0.0)
        for index in range(len(process.stages)):
            for phase in ("lead_in", "running"):
                at = replace(
                    state, index=index, phase=phase, since=0.0, lead_seconds=5.0, wet_from=0.0, parts=OPEN
                )
                bench = Bench(plates={"p": at}, large="p")
                for ahead in (0.0, 30.0, 100.0, 300.0, 600.0):
                    spoken.update(text for cue in cues(bench, ahead) for text in cue.say)
    assert {"flood", "uncap", "cap"} <= spoken
    assert {text: SET.missing(text) for text in spoken if SET.missing(text)} == {}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_word_is_fit_to_be_heard(path: Path) -> None:
    """A recording is 16-bit mono at 22.05 kHz, 0.1 to 3.5 s, silent at both ends, as loud as the rest."""
    with wave.open(str(path), "rb") as file:
        assert (file.getframerate(), file.getsampwidth(), file.getnchannels()) == (22050, 2, 1)
    samples = wav.read(path)
    assert 0.1 <= len(samples) / RATE <= 3.5
    assert max(abs(value) for value in (*samples[:20], *samples[-20:])) < 400
    rms = math.sqrt(sum(value * value for value in samples) / len(samples)) / 32768
    assert 0.05 <= rms <= espeak.LOUD + 0.005
    assert max(map(abs, samples)) / 32768 <= espeak.PEAK + 0.01


def test_each_count_fits_into_its_second() -> None:
    """Every number that is counted aloud is said within the second it names."""
    library = Library()
    for number in range(1, 61):
        (word,) = library.words([str(number)])
        assert len(word) / RATE < 0.98, number


def test_the_whole_set_is_small() -> None:
    """Cues and recordings together take less than 17 MB, none more than 160 kB."""
    sizes = [path.stat().st_size for path in shipped().rglob("*.wav")]
    assert sum(sizes) < 17_000_000 and max(sizes) < 160_000


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
        espeak.level(wav.array("h", bytes(4000)))
