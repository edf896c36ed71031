"""The verbs and sentences of a stage's moments."""

from __future__ import annotations

from darkroom.bench import moments
from darkroom.process.file.plain_form import from_plain, to_plain
from darkroom.process.file.profile import parse
from darkroom.process.model import Repeat

MOMENTS = """
name: Moments
sensitive: {from: bath, to: fix}
wet_window: {from: bath, to: develop, time: 10 min, temperature: 20 °C, humidity: 50 %, longest: 20 min}
stages:
  - name: bath
    light: red
    ends: on_time
    time: 3 min
    holds_plates: 2
    early: free
    repeat: {every: 30 s, verb: rock}
    verb: {due: raise}
    hint: {ready: "In.", running: "Leave it in.", due: "Lift it."}
  - {name: expose, light: covered, ends: exposure, lead_in: 5 s}
  - {name: develop, light: red, ends: on_time, time: 15 s, lead_in: 5 s, hint: Watch the shadows.}
  - {name: fix, light: white, ends: cleared, verb: {due: lift out}, hint: {due: Out.}}
  - {name: wash, light: white, ends: by_eye}
"""


def test_words_of_the_moments_are_read_and_have_defaults() -> None:
    """A file's verbs and sentences are those of their moment; without them the trade's words stand."""
    process = parse(MOMENTS, "moments.yaml")
    bath, expose, develop, fix, _ = process.stages
    assert (bath.holds_plates, bath.early, bath.repeat) == (2, "free", Repeat(every=30.0, verb="rock"))
    assert [moments.hint_at(bath, moment) for moment in ("ready", "running", "due")] == [
        "In.",
        "Leave it in.",
        "Lift it.",
    ]
    assert bath.hint == "Leave it in."
    assert (fix.hint, moments.hint_at(fix, "running"), moments.hint_at(fix, "due")) == ("Out.", None, "Out.")
    assert [moments.hint_at(develop, moment) for moment in ("ready", "running", "due")] == [
        "Watch the shadows.",
        "Watch the shadows.",
        None,
    ]
    due = [moments.verb_when_due(process, stage) for stage in process.stages]
    assert due == ["raise", "cap", "flood", "lift out", "done"]
    assert [moments.verb_of_lead_in(process, stage) for stage in (expose, develop)] == ["uncap", "pour"]
    assert from_plain(to_plain(process)) == process


def test_only_the_developer_ends_early_unasked_unless_the_file_tells() -> None:
    """A timed stage asks before its time, the one that ends the wet window does not, `early` overrules."""
    process = parse(MOMENTS, "moments.yaml")
    assert [process.is_free_early(stage) for stage in process.stages] == [True, False, True, False, False]
    asked = parse(MOMENTS.replace("    early: free\n", ""), "moments.yaml")
    assert not asked.is_free_early(asked.stages[0])
