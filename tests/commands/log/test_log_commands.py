"""`darkroom log` on the command line: the contract of its JSON, its words, its exit status."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import pytest

from darkroom.bench import events as ev
from darkroom.log.journal import frame
from darkroom.log.store import paths
from tests.kit.journals import DAY, OTHER, PLATE, framed, marks, plate_events, started
from tests.kit.log_commands import Capture, run_log

LATER = "2026-03-02T09:00:00.000+01:00"


def put_in_log(
    home: Path, events: Sequence[ev.AnyEvent], plate: str = PLATE, rehearsal: bool = False
) -> Path:
    """Put a plate's journal into the log."""
    path = paths.plate_path(home, plate, DAY, rehearsal)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"".join(map(frame.encode, events)))
    return path


# --- list -----------------------------------------------------------------------------------


def test_the_list_as_json_is_the_contract(home: Path, capsys: Capture) -> None:
    """One object a plate that begins with these members; ended and how are null on the bench."""
    done = put_in_log(home, plate_events(PLATE, number=7))
    open_ = put_in_log(home, plate_events(OTHER, number=8)[:20], OTHER)
    second = open_.with_name(f"{OTHER}.2.jsonl")
    second.write_bytes(frame.encode(ev.Continued(n=0, at="x", up=None, plate=OTHER, saved=20, why="trial")))
    status, out, err = run_log(capsys, "list", "--json")
    assert (status, err) == (0, "")
    members = ("plate", "number", "process", "started", "ended", "how", "file", "files")
    listed = json.loads(out)
    assert [tuple(plate)[:8] for plate in listed] == [members, members]
    assert [{name: plate[name] for name in members} for plate in listed] == [
        {
            "plate": OTHER,
            "number": 8,
            "process": "Trial",
            "started": "2026-03-01T13:00:00.000+01:00",
            "ended": None,
            "how": None,
            "file": str(open_),
            "files": [str(open_), str(second)],
        },
        {
            "plate": PLATE,
            "number": 7,
            "process": "Trial",
            "started": "2026-03-01T13:00:00.000+01:00",
            "ended": "2026-03-01T13:06:20.000+01:00",
            "how": "unvarnished",
            "file": str(done),
            "files": [str(done)],
        },
    ]


def test_the_list_is_one_line_a_plate(home: Path, capsys: Capture) -> None:
    """Newest first, with number, id, when it was begun, where it is, process and subject."""
    put_in_log(home, plate_events(PLATE, number=7))
    put_in_log(home, plate_events(OTHER, number=8)[:28], OTHER)
    put_in_log(home, plate_events("20260301-130000-ggghhh", number=9)[:20], "20260301-130000-ggghhh")
    status, out, err = run_log(capsys, "list")
    assert (status, err) == (0, "")
    assert [line.split()[0] for line in out.splitlines()] == ["9", "8", "7"]
    assert ["on the bench" in out.splitlines()[0], "on the rack" in out.splitlines()[1]] == [True, True]
    assert "unvarnished" in out.splitlines()[2]
    assert "Gartenhaus" in out.splitlines()[2]


def test_an_empty_log_lists_nothing(home: Path, capsys: Capture) -> None:
    """No plates: status 0, an empty list as JSON, and a word on standard error otherwise."""
    assert run_log(capsys, "list", "--json") == (0, "[]\n", "")
    status, out, err = run_log(capsys, "list")
    assert (status, out) == (0, "")
    assert err.startswith("no plates in ")


def test_a_damaged_plate_is_listed_with_its_problem(home: Path, capsys: Capture) -> None:
    """What is good is shown, what is wrong goes to standard error with file and line."""
    put_in_log(home, plate_events(PLATE))
    path = put_in_log(home, plate_events(OTHER), OTHER)
    path.write_bytes(b"rubbish\n" + path.read_bytes().split(b"\n", 1)[1])
    status, out, err = run_log(capsys, "list", "--json")
    listed = json.loads(out)
    assert status == 0
    assert [plate["plate"] for plate in listed] == [OTHER, PLATE]
    assert [listed[0][key] for key in ("number", "process", "started")] == [None, None, None]
    assert f"{path}:1: not a line of a journal" in err
    assert "its first line is lost" in run_log(capsys, "list")[1]


def test_rehearsals_have_a_list_of_their_own(home: Path, capsys: Capture) -> None:
    """--rehearsals lists them, and only them."""
    put_in_log(home, plate_events(PLATE))
    put_in_log(home, plate_events(OTHER, rehearsal=True), OTHER, rehearsal=True)
    assert [plate["plate"] for plate in json.loads(run_log(capsys, "list", "--json", "--rehearsals")[1])] == [
        OTHER
    ]
    assert [plate["plate"] for plate in json.loads(run_log(capsys, "list", "--json")[1])] == [PLATE]
    assert run_log(capsys, "show", "7", "--rehearsals")[1].startswith("rehearsal 7")


# --- show -----------------------------------------------------------------------------------


def test_show_tells_planned_and_actual(home: Path, capsys: Capture) -> None:
    """Each stage with plan, time taken, how it ended, and the temperature with where it is from."""
    put_in_log(home, plate_events(PLATE))
    status, out, err = run_log(capsys, "show", "7")
    assert (status, err) == (0, "")
    rows = {line.split()[0]: " ".join(line.split()) for line in out.splitlines() if line[:1].isalpha()}
    assert rows["sensitise"] == "sensitise 13:00:20 3:30 3:35 struck bath 18.5 °C, typed by hand"
    assert rows["coat"].startswith("coat 13:00:00 0:10 to 0:30 0:20 struck")
    assert rows["develop"] == "develop 13:04:45 0:15 0:11 struck developer 20 °C, assumed"
    assert "1:14 (cleared 0:34) struck" in rows["fix"] or "1:19 (cleared 0:34) struck" in rows["fix"]
    assert "wet time: 0:50 used of about 9:00" in out
    for phrase in (
        "2026-03-01 13:06:20 +01:00, unvarnished",
        "subject     Gartenhaus",
        "bath 18.7 °C, typed by hand",
        "humidity 45 %, typed by hand",
        "stays wet 9 min, typed by hand",
        "mark 1: Ein Schleier links",
        "refused: it went on by itself",
        "expose ended; its time was over by then",
        "end of develop moved 5 s earlier",
        "darkroom was closed for 10 s",
        "fault: fog, left edge",
        "3 stars, next plate -0.5 stops, best strip 2",
        "the computer's clock was set 1 h forward",
        "acknowledged: goggles",
    ):
        assert phrase in out, phrase


def test_show_as_json_holds_the_whole_plate(home: Path, capsys: Capture) -> None:
    """The list's members, the stages worked out, every event as it was, and the problems."""
    path = put_in_log(home, plate_events(PLATE))
    with path.open("ab") as file:
        file.write(b"rubbish\n")
    status, out, err = run_log(capsys, "show", PLATE, "--json")
    plate = json.loads(out)
    assert status == 0
    assert (plate["plate"], plate["how"], plate["file"]) == (PLATE, "unvarnished", str(path))
    assert [stage["stage"] for stage in plate["stages"]][:3] == ["coat", "sensitise", "expose"]
    assert plate["stages"][1]["planned"] == 210.0
    assert plate["stages"][1]["seconds"] == 215.0
    assert (plate["stages"][1]["celsius"], plate["stages"][1]["origin"]) == (18.5, "hand")
    assert len(plate["events"]) == len(plate_events())
    assert plate["problems"] == [
        {"file": str(path), "line": 34, "key": None, "what": "not a line of a journal, or not a whole one"}
    ]
    assert f"{path}:34" in err


def test_show_keeps_what_was_taken_back_in_sight(home: Path, capsys: Capture) -> None:
    """A correction never hides what was there: the undone step and the corrected note are both shown."""
    events = plate_events(PLATE)
    put_in_log(
        home,
        [*events, ev.Note(n=34, at=LATER, up=None, text="no veil at all", corrects=30, reason="wrong plate")],
    )
    out = run_log(capsys, "show", "7")[1]
    assert "Ein Schleier links" in out
    assert "mark 1: Ein Schleier links" in out and "(corrected)" in out
    assert ": wrong plate), on 2026-03-02" in out
    assert out.index("taken back") < out.index("expose ended; its time was over by then")


def test_a_newer_event_is_shown_as_such(home: Path, capsys: Capture) -> None:
    """An event of a later version is named, and is no problem."""
    path = put_in_log(home, plate_events(PLATE)[:29])
    with path.open("ab") as file:
        file.write(
            framed('"n":30,"at":"2026-03-02T09:00:00.000+01:00","up":null,"event":"toned","with":"gold"')
        )
    status, out, err = run_log(capsys, "show", "7")
    assert (status, err) == (0, "")
    assert "'toned' from a newer darkroom" in out


def test_text_from_a_journal_does_not_steer_the_terminal(home: Path, capsys: Capture) -> None:
    """Escape sequences in a subject or a note are shown without their escape."""
    put_in_log(
        home,
        [
            *plate_events(PLATE, who="\x1b]0;x\x07me\x9b31m")[:29],
            ev.Note(n=30, at=LATER, up=None, text="a\x1b[2Jb\u202ec"),
        ],
    )
    out = run_log(capsys, "show", "7")[1] + run_log(capsys, "list")[1]
    assert not any(sign in out for sign in "\x1b\x9b\x07\u202e")
    assert "a [2Jb c" in out


def test_a_plate_whose_process_is_lost_is_told_from_its_lines(home: Path, capsys: Capture) -> None:
    """When the stages cannot be worked out the lines are shown as they are."""
    put_in_log(home, [started(process={"name": "Odd", "stages": "none"}), *marks(2, 2)])
    status, out, _ = run_log(capsys, "show", "7")
    assert status == 0
    assert "the stages cannot be told" in out
    assert out.count("  mark") == 4


@pytest.mark.parametrize(
    ("word", "status", "phrase"), [("99", 1, "no plate '99'"), ("2026", 2, "several plates")]
)
def test_a_word_that_names_no_one_plate(
    home: Path, capsys: Capture, word: str, status: int, phrase: str
) -> None:
    """Nothing found is 1; several answers are 2, with the list."""
    put_in_log(home, plate_events(PLATE, number=1))
    put_in_log(home, plate_events(OTHER, number=2), OTHER)
    result, out, err = run_log(capsys, "show", word)
    assert (result, out) == (status, "")
    assert phrase in err
    if status == 2:
        assert PLATE in err
        assert OTHER in err


# --- check and note ----------------------------------------------------------------------------


def test_check_is_0_when_all_is_well(home: Path, capsys: Capture) -> None:
    """Nothing on standard output, a count on standard error."""
    put_in_log(home, plate_events(PLATE))
    put_in_log(home, plate_events(OTHER)[:20], OTHER)
    assert run_log(capsys, "check") == (0, "", "2 plates read, no problem\n")


def test_check_names_every_problem(home: Path, capsys: Capture) -> None:
    """File, line and what, one a line; status 1; as JSON too."""
    path = put_in_log(home, plate_events(PLATE))
    data = path.read_bytes().split(b"\n")
    data[4] = data[4].replace(b"210", b"310")
    path.write_bytes(b"\n".join(data))
    status, out, err = run_log(capsys, "check")
    assert status == 1
    assert out.splitlines() == [f"{path}:5: the sum is not that of the line", f"{path}: n: line 5 missing"]
    assert err == "1 plate read, 2 problems\n"
    status, out, _ = run_log(capsys, "check", "--json")
    assert status == 1
    assert [problem["line"] for problem in json.loads(out)["problems"]] == [5, None]


def test_check_names_what_lies_elsewhere(home: Path, capsys: Capture) -> None:
    """A spilled file is no problem, and its place is said."""
    path = put_in_log(home, plate_events(PLATE)[:20])
    spill = paths.spill_places()[0]
    spill.mkdir(parents=True, mode=0o700)
    begun = ev.Continued(n=0, at="x", up=None, plate=PLATE, saved=20, why="trial", home=str(home))
    (spill / f"{PLATE}.2.jsonl").write_bytes(b"".join(map(frame.encode, [begun, *plate_events()[20:]])))
    status, out, err = run_log(capsys, "check")
    assert (status, out) == (0, "")
    assert f"{spill / PLATE}.2.jsonl: lies outside the log" in err
    assert path.exists()


def test_a_note_from_the_command_line(home: Path, capsys: Capture) -> None:
    """The note stands in the journal and in the account; one on the bench is refused with status 1."""
    put_in_log(home, plate_events(PLATE, number=1)[:29])
    put_in_log(home, plate_events(OTHER, number=2)[:20], OTHER)
    assert run_log(capsys, "note", "1", "kept for the archive")[0] == 0
    assert "kept for the archive" in run_log(capsys, "show", "1")[1]
    status, _, err = run_log(capsys, "note", "2", "x")
    assert status == 1
    assert "note it at the bench" in err


@pytest.mark.parametrize("command", [[], ["list"], ["show"], ["check"], ["note"]])
def test_help_has_an_example_and_says_what_is_red(capsys: Capture, command: list[str]) -> None:
    """Every help says that only the full-screen tool is red; each command's has an example."""
    status, out, _ = run_log(capsys, *command, "--help")
    assert status == 0
    assert "full-screen tool is red" in " ".join(out.split())
    assert "Example: darkroom log" in out or not command
