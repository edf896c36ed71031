"""`darkroom exposure from-plate`: a known plate's time under other conditions."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from darkroom.bench import intents as want
from darkroom.cli import main
from darkroom.commands.log.shared import find
from darkroom.exposure.kit import Kit
from darkroom.exposure.light_kinds import LIGHT_KINDS
from darkroom.log.catalogue.judged_plates import JudgedPlates
from darkroom.log.plate.record import read_record
from darkroom.process.model import ExposurePlan
from darkroom.process.scene import Scene
from darkroom.screens.exposure.answer import Question
from darkroom.screens.exposure.reckoning import reckon
from darkroom.session.plate_form import PlateForm
from tests.kit import command_line
from tests.kit.bench import Hand
from tests.kit.command_line import Capture
from tests.kit.judged import SCENE, STRIPS, exposed_plate, record_of

KIT = """
lenses:
  - {name: portrait lens 210 mm, focal_length: 300 mm, stops: {no. 2: f/8, no. 3: 30 mm}}
lights:
  - {name: studio, kind: led, usual_ev: 7.5}
"""


def plate(home: Path, *review: dict[str, Any], hand: Hand | None = None, **more: Any) -> None:
    """Put plate 31 into the log: 8 s at f/5.6 at the north window, unless told otherwise."""
    record_of(home, hand or exposed_plate(**{"scene": SCENE, "bottles": {}, **more}), *review)


def data(capsys: Capture, *words: str) -> tuple[float, dict[str, float]]:
    """Return the seconds and {what: stops} of the command with --json."""
    found = command_line.as_json(capsys, "exposure", "from-plate", "31", *words)
    assert set(found) == {"seconds", "factors"}
    for factor in found["factors"]:
        assert factor["times"] == pytest.approx(2 ** factor["stops"])
    return found["seconds"], {factor["what"]: factor["stops"] for factor in found["factors"]}


def refused(capsys: Capture, *words: str) -> tuple[int, str]:
    """Return the exit status and the one line on standard error."""
    status, out, err = command_line.run(capsys, "exposure", "from-plate", "31", *words)
    assert (out, err.count("\n")) == ("", 1)
    return status, err


def test_as_it_was(home: Path, capsys: Capture) -> None:
    """Without an option it is the plate's own time."""
    plate(home)
    assert data(capsys) == (8.0, {})


def test_every_option_is_a_factor_of_its_own(home: Path, capsys: Capture) -> None:
    """Stop, meter, stops: their product is the time."""
    plate(home)
    seconds, factors = data(capsys, "--f", "11.2", "--ev", "8.5", "--stops", "-1")
    assert factors == {"stop": pytest.approx(2.0), "ev": pytest.approx(1.0), "stops": -1.0}
    assert seconds == pytest.approx(32.0)


def test_another_light_of_the_plain_kinds(home: Path, capsys: Capture) -> None:
    """Shade has its usual EV, and its colour against the window's."""
    plate(home)
    seconds, factors = data(capsys, "--light", "shade")
    shade, window = LIGHT_KINDS["shade"], LIGHT_KINDS["window"]
    assert shade.usual_ev is not None
    assert factors == {"ev": 9.5 - shade.usual_ev, "light": pytest.approx(window.offset - shade.offset)}
    assert seconds == pytest.approx(8 * 2 ** (9.5 - shade.usual_ev + window.offset - shade.offset))


def test_a_light_of_the_kit_has_its_own_brightness(home: Path, capsys: Capture) -> None:
    """The kit's EV counts, and a meter's reading before it."""
    plate(home)
    (home / "kit.yaml").write_text(KIT)
    assert data(capsys, "--light", "Studio")[1]["ev"] == pytest.approx(2.0)
    assert data(capsys, "--light", "studio", "--ev", "9.5")[1] == {"light": pytest.approx(2.7)}


def test_the_same_light_changes_nothing(home: Path, capsys: Capture) -> None:
    """The light that the plate had is as it was measured then."""
    plate(home)
    assert data(capsys, "--light", "North  window") == (8.0, {})


def test_an_extension_by_the_kits_lens(home: Path, capsys: Capture) -> None:
    """The focal length of the kit's lens wins over that in its name; what was lost then is taken off."""
    plate(home)
    assert data(capsys, "--extension", "42cm")[1]["bellows"] == pytest.approx(2.0 - 0.53)
    (home / "kit.yaml").write_text(KIT)
    assert data(capsys, "--extension", "60cm")[1]["bellows"] == pytest.approx(2.0 - 0.53)


def test_a_draw_that_the_camera_has_not_is_told(home: Path, capsys: Capture) -> None:
    """The time is told all the same: another camera may be meant."""
    plate(home, camera="box")
    (home / "kit.yaml").write_text("cameras: [{name: Box, longest_draw: 40 cm}]\n")
    assert main(["exposure", "from-plate", "31", "--extension", "42cm"]) == 0
    out, err = capsys.readouterr()
    assert out.startswith("22.")
    assert err == "the Box draws out to 400 mm, not to 420 mm\n"
    assert main(["exposure", "from-plate", "31", "--extension", "40cm"]) == 0
    assert capsys.readouterr().err == ""


def test_a_stop_of_the_kits_lens_by_its_name(home: Path, capsys: Capture) -> None:
    """A name of a stop is its f-number, also of one that is told by its diameter."""
    plate(home)
    (home / "kit.yaml").write_text(KIT)
    assert data(capsys, "--f", "No. 2")[0] == data(capsys, "--f", "8")[0]
    assert data(capsys, "--f", "no. 3")[0] == pytest.approx(data(capsys, "--f", "10")[0])
    status, err = refused(capsys, "--f", "no. 9")
    assert status == 2
    assert "no stop of portrait lens 210 mm, which has no. 2, no. 3" in err


def test_a_filter(home: Path, capsys: Capture) -> None:
    """A filter of ×4 is two stops, where half a stop was lost before."""
    plate(home)
    assert data(capsys, "--filter", "4x")[1] == {"filter": pytest.approx(1.5)}


def test_a_test_plate_is_known_by_its_best_strip(home: Path, capsys: Capture) -> None:
    """Strip 3 of 2 2 4 8 16 got 8 s; without a best strip it says how to tell it."""
    plate(home, {"best_strip": 3}, plan=STRIPS, open_for=32.0)
    assert data(capsys)[0] == pytest.approx(8.0)


def test_the_first_strip_may_be_the_best(home: Path, capsys: Capture) -> None:
    """Its 2 s are the plate's time."""
    plate(home, {"best_strip": 1}, plan=STRIPS, open_for=32.0)
    assert data(capsys)[0] == pytest.approx(2.0)


def test_old_plates_are_known_by_their_words(home: Path, capsys: Capture) -> None:
    """Where no scene was told, f-number and kind of light are those that the words name."""
    plate(home, scene=None, light="open shade", aperture="f/8")
    seconds, factors = data(capsys, "--f", "16", "--light", "sun")
    assert (factors["stop"], factors["ev"]) == (pytest.approx(2.0), 11.5 - 15.0)
    assert seconds < 8.0


def test_the_text_tells_everything(home: Path, capsys: Capture) -> None:
    """The time, what it is from, each factor, how it was judged among them, and the sum."""
    plate(home, {"exposure_stops": 0.5})
    assert main(["exposure", "from-plate", "31", "--f", "8", "--ev", "8.5"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "46.2 s"
    assert lines[1] == "from plate 31: 8 s, f/5.6, north window, EV 9.5, 1 stop of light lost:"
    assert lines[2].split() == ["stop", "f/5.6", "to", "f/8", "+1.03", "stops", "×2.04"]
    assert lines[3].split() == ["ev", "EV", "9.5", "to", "8.5", "+1.00", "stops", "×2"]
    assert lines[4].split() == ["judged", "half", "a", "stop", "more", "+0.50", "stops", "×1.41"]
    assert lines[5].split() == ["in", "all", "+2.53", "stops", "×5.77"]
    assert len(lines) == 6


@pytest.mark.parametrize(
    ("judgement", "stops"), [({"exposure_word": "less"}, -0.5), ({"exposure_stops": 1.5}, 1.5)]
)
def test_a_time_that_was_judged_wrong_is_not_the_answer(
    home: Path, capsys: Capture, judgement: dict[str, Any], stops: float
) -> None:
    """The time holds the judgement; stops that are typed stand in its place, and the text says so."""
    plate(home, judgement)
    assert data(capsys) == (pytest.approx(8 * 2**stops), {"judged": stops})
    assert data(capsys, "--stops", "0") == (8.0, {})
    assert data(capsys, "--stops", "1") == (16.0, {"stops": 1.0})
    assert main(["exposure", "from-plate", "31", "--stops", "0"]) == 0
    assert "what is typed stands in place of that: its own time" in capsys.readouterr().out


def test_stops_beside_a_best_strip_count_from_that_strip(home: Path, capsys: Capture) -> None:
    """Strip 3 got 8 s and was the best, and half a stop more was wanted still."""
    plate(home, {"best_strip": 3, "exposure_stops": 0.5}, plan=STRIPS, open_for=32.0)
    assert data(capsys) == (pytest.approx(8 * 2**0.5), {"judged": 0.5})


def test_its_collodion_ages_until_today(home: Path, capsys: Capture) -> None:
    """A collodion with a date in its name is older today; another one has its own age."""
    plate(home, bottles={"collodion": "C-4 2026-02-01"})
    age = data(capsys)[1]["age"]
    assert 0 < age == data(capsys, "--collodion", "C-9 2026-02-01")[1]["age"]
    assert data(capsys, "--collodion", "without a date")[1] == {}


def test_the_page_and_the_command_have_one_answer(home: Path, capsys: Capture) -> None:
    """To the same question about one plate both say the same time, with the same factors."""
    plate(home, {"exposure_word": "more"}, bottles={"collodion": "C-4 2026-02-01"})
    question = Question(source="plate", form=PlateForm(aperture="f/8", light="shade"), process="Trial")
    record = read_record(find("31", rehearsals=False))
    answer = reckon(
        question, Kit(), JudgedPlates(), lambda word: record, datetime.now(UTC).astimezone(), ZoneInfo
    )
    assert answer.planned is not None
    seconds, factors = data(capsys, "--f", "8", "--light", "shade")
    assert seconds == pytest.approx(answer.planned.seconds)
    assert factors == {factor.what: pytest.approx(factor.stops) for factor in answer.planned.factors}


def test_a_wrong_kit_is_said_and_done_without(home: Path, capsys: Capture) -> None:
    """The answer comes, the mistake goes to standard error."""
    plate(home)
    (home / "kit.yaml").write_text("lights: [{name: studio, kind: let}]\n")
    assert main(["exposure", "from-plate", "31", "--light", "shade"]) == 0
    out, err = capsys.readouterr()
    assert out
    assert "kit.yaml:1: the first light (studio), kind: 'let' is none of" in err


@pytest.mark.parametrize(
    ("words", "status", "phrase"),
    [
        (("--f", "0"), 2, "--f: '0' is out of range"),
        (("--f", "no. 9"), 2, "--f: 'no. 9' cannot be read"),
        (("--light", "windw"), 2, "no kind of light (did you mean 'window'?)"),
        (("--light", "flash"), 2, "the light (flash) has no EV and no usual one"),
        (("--ev", "95"), 2, "--ev: '95"),
        (("--extension", "20cm"), 2, "shorter than the focal length of 210 mm"),
        (("--extension", "20"), 2, "--extension: '20' has no unit"),
        (("--stops", "much"), 2, "--stops: 'much' cannot be read"),
        (("--filter", "4"), 2, "--filter: '4' leaves open what it is"),
        (("--filter", "0x"), 2, "--filter: '0' is out of range"),
    ],
)
def test_wrong_use_is_one_clear_line(
    home: Path, capsys: Capture, words: tuple[str, ...], status: int, phrase: str
) -> None:
    """Exit status 2, nothing on standard output, the option and what was expected."""
    plate(home)
    found, err = refused(capsys, *words)
    assert found == status
    assert phrase in err


@pytest.mark.parametrize(
    ("more", "words", "phrase"),
    [
        ({"plan": STRIPS, "open_for": 32.0}, (), "plate 31 is a test plate: say its best strip first"),
        ({"plan": None, "timed": "away"}, (), "how long plate 31 was exposed is not known"),
        ({"plan": ExposurePlan(pops=4, recycle=2.0), "open_for": 7.0}, (), "exposed by flashes"),
    ],
)
def test_a_plate_that_tells_no_time_says_why(
    home: Path, capsys: Capture, more: dict[str, Any], words: tuple[str, ...], phrase: str
) -> None:
    """The answer is no, with its reason."""
    plate(home, **more)
    status, err = refused(capsys, *words)
    assert status == 1
    assert phrase in err


def test_what_a_plate_does_not_tell_is_not_guessed(home: Path, capsys: Capture) -> None:
    """Without f-number, light or lens there is nothing to be held against."""
    plate(home, scene=None, lens=None)
    assert "its f-number is not known" in refused(capsys, "--f", "8")[1]
    assert "the light it was made in has no EV" in refused(capsys, "--ev", "11")[1]
    assert "the focal length of the lens, which nobody named" in refused(capsys, "--extension", "45cm")[1]


def test_a_scene_that_cannot_be_is_refused(home: Path, capsys: Capture) -> None:
    """A journal's f/0 is one clear line."""
    plate(home, scene=Scene(f_number=0.0))
    assert "the f-number is 0" in refused(capsys, "--f", "8")[1]


def test_a_plate_that_was_never_exposed(home: Path, capsys: Capture) -> None:
    """A plate that was given up before its exposure tells no time."""
    hand = Hand()
    hand.new(0.0, plan=ExposurePlan(seconds=8.0))
    hand.go(10.0, 30.0)
    hand.do(60.0, want.Abandon(reason="fog"))
    plate(home, hand=hand)
    status, err = refused(capsys)
    assert (status, err) == (1, "darkroom: plate 31 was not exposed\n")


def test_no_such_plate(home: Path, capsys: Capture) -> None:
    """A plate that is not in the log is one clear line."""
    plate(home)
    assert main(["exposure", "from-plate", "99"]) == 1
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert "99" in err
