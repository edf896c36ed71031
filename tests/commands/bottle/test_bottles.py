"""`darkroom bottle`: the book of bottles from its first line on."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from darkroom.commands.bottle.group import COMMANDS
from darkroom.log.bottles import files
from darkroom.log.store.paths import bench_id
from darkroom.resources import profiles_dir
from tests.kit.command_line import Capture, as_json, run


def bottle(capsys: Capture, *words: str, status: int = 0) -> tuple[str, str]:
    """Run a command about bottles that ends with `status`; return what it says on both streams."""
    ended, out, err = run(capsys, "bottle", *words)
    assert ended == status, (out, err)
    return out, err


def shown(capsys: Capture, name: str) -> Any:
    """Return what `bottle show --json` prints."""
    return as_json(capsys, "bottle", "show", name)


def answer(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """Let the next questions be answered with what is typed."""
    import io

    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text.encode())))


def lines(home: Path, name: str) -> list[str]:
    """Return the places and kinds of a bottle's lines that count."""
    bottles = files.read_shelf(home).bottles.values()
    one = next(bottle for bottle in bottles if bottle.name == name)
    return [f"{entry.event.n} {type(entry.event).__name__}" for entry in one.entries]


def test_an_empty_book_says_how_a_bottle_comes_into_it(home: Path, capsys: Capture) -> None:
    """Without bottles the list names the command, and JSON is an empty list."""
    assert "darkroom bottle new" in bottle(capsys, "list")[0]
    assert as_json(capsys, "bottle", "list") == []


def test_volume_strength_and_ripening_come_from_the_recipe(home: Path, capsys: Capture) -> None:
    """What is not said is the recipe's; what is said wins."""
    bottle(capsys, "new", "bath", "B-1", "--recipe", "silver-bath")
    told = shown(capsys, "B-1")
    assert (told["volume_ml"], told["strength"]["percent_wv"], told["recipe"]) == (1000.0, 9.0, "silver-bath")
    bottle(capsys, "new", "bath", "B-2", "--recipe", "silver-bath", "--volume", "2L", "--strength", "80 g/L")
    told = shown(capsys, "b-2")
    assert (told["volume_ml"], told["strength"]["percent_wv"]) == (2000.0, 8.0)
    bottle(capsys, "new", "collodion", "C-1", "--ripens", "7 days", "--batch", "of May")
    told = shown(capsys, "C-1")
    assert (told["state"], told["ripens_days"], told["age_band"]) == ("ripening", 7.0, "unripe")
    assert told["strength"] is None


def test_the_json_of_a_bottle(home: Path, capsys: Capture) -> None:
    """The members are a contract with people's scripts; the list has all of them but the care."""
    bottle(capsys, "new", "bath", "B-1", "--recipe", "silver-bath", "--when", "20 days ago")
    told = shown(capsys, "B-1")
    assert {"bottle", "name", "what", "state", "plates", "area_cm2", "since", "strength", "care"} <= set(told)
    assert set(told["strength"]) == {"percent_wv", "low", "high", "basis"}
    cares = {care["id"]: care for care in told["care"]}
    assert cares["iodise"]["now"] and {"id", "says", "due"} <= set(cares["iodise"])
    listed = as_json(capsys, "bottle", "list")
    told.pop("care")
    assert [set(one) for one in listed] == [set(told)] and listed[0]["bottle"] == told["bottle"]


def test_a_life_in_lines(home: Path, capsys: Capture) -> None:
    """What happened is one line each, in the order in which it happened; what is taken back is marked."""
    bottle(capsys, "new", "bath", "B-1", "--volume", "1L", "--strength", "9", "--when", "5 days ago")
    bottle(capsys, "opened", "B-1", "--when", "4 days ago")
    bottle(capsys, "treat", "B-1", "filtered", "--amount", "cotton wool")
    bottle(capsys, "draw-off", "B-1", "--volume", "100mL", "--when", "yesterday")
    bottle(capsys, "set-aside", "B-1", "--reason", "sunning")
    bottle(capsys, "take-up", "B-1")
    bottle(capsys, "note", "B-1", "smells of ether")
    bottle(capsys, "withdraw", "B-1", "last", "--reason", "the other one", "--yes")
    assert lines(home, "B-1") == [
        "1 Made", "2 Opened", "4 DrawnOff", "3 Treated", "5 SetAside", "6 TakenUp", "8 Withdrawn",
    ]  # fmt: skip
    out = bottle(capsys, "show", "B-1")[0]
    assert "holds     900 mL" in out and "does not count: note: smells of ether" in out
    assert "0 plates since filtered" in out


def test_discarded_bottles_stay_in_the_book(home: Path, capsys: Capture) -> None:
    """The list counts them, lists them with --all, and says where their content goes."""
    bottle(capsys, "new", "fixer", "F-1", "--recipe", "hypo")
    err = bottle(capsys, "discard", "F-1", "--reason", "slow")[1]
    assert "safety sheet first" in err and "never poured away" in err
    assert "1 discarded" in bottle(capsys, "list")[0]
    assert "F-1" in bottle(capsys, "list", "--all")[0]
    assert [one["state"] for one in as_json(capsys, "bottle", "list")] == ["discarded"]
    bottle(capsys, "take-up", "F-1")
    assert shown(capsys, "F-1")["state"] == "in use"
    assert "was not out of use" in bottle(capsys, "take-up", "F-1", status=2)[1]


def test_two_of_one_name(home: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second bottle of a name is asked about; the one in use is meant, two in use are listed."""
    bottle(capsys, "new", "bath", "B-1")
    answer(monkeypatch, "n\n")
    assert "Another bottle has the name" in bottle(capsys, "new", "bath", "b 1", status=1)[1]
    bottle(capsys, "new", "bath", "B-1", "--yes")
    err = bottle(capsys, "show", "B-1", status=2)[1]
    first = err.splitlines()[1].split()[0]
    assert err.count("in use") == 2
    bottle(capsys, "discard", first)
    assert "1 other bottle has its name" in bottle(capsys, "opened", "B-1")[1]


def test_what_must_be_said_is_said_before_it_is_written(
    home: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No, and no answer at all, write nothing; yes and --yes do."""
    bottle(capsys, "new", "bath", "B-1")
    for typed in ("n\n", "", "what?\n"):
        answer(monkeypatch, typed)
        _, err = bottle(capsys, "treat", "B-1", "acid", status=1)
        assert "safety sheet first" in err and "nothing is written" in err
    assert lines(home, "B-1") == ["1 Made"]
    answer(monkeypatch, "y\n")
    bottle(capsys, "treat", "B-1", "acid")
    assert "Acid went in 0 minutes ago" in bottle(capsys, "treat", "B-1", "alkali", "--yes")[1]
    assert lines(home, "B-1") == ["1 Made", "2 Treated", "3 Treated"]


def test_a_cyanide_bottle_is_entered_after_its_warning(
    home: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who must not mix it comes first, and no answer enters nothing."""
    answer(monkeypatch, "")
    err = bottle(capsys, "new", "fixer", "K-1", "--recipe", "cyanide", status=1)[1]
    assert err.startswith("Who must not mix it")
    assert as_json(capsys, "bottle", "list") == []
    bottle(capsys, "new", "fixer", "K-1", "--recipe", "cyanide", "--yes")
    bottle(capsys, "new", "bath", "B-1")
    assert "K-1 holds cyanide" in bottle(capsys, "treat", "B-1", "acid", "--yes")[1]


def test_mixing_enters_a_bottle(home: Path, capsys: Capture) -> None:
    """The scaled volume is the bottle's."""
    status, out, err = run(capsys, "mix", "silver-bath", "--with", "silver-nitrate=45g", "--bottle", "B-1")
    assert status == 0 and "Silver bath" in out and "B-1: made" in err
    assert shown(capsys, "B-1")["volume_ml"] == pytest.approx(500.0)
    assert run(capsys, "mix", "--bottle", "B-2")[0] == 2


def test_a_recipe_from_elsewhere_has_no_care(home: Path, tmp_path: Path, capsys: Capture) -> None:
    """It is said that its file must lie in the log's folder of recipes, and then there is care."""
    text = (profiles_dir() / "solutions" / "silver-bath.yaml").read_text(encoding="utf-8")
    path = tmp_path / "elsewhere.yaml"
    path.write_text(text, encoding="utf-8")
    err = run(capsys, "mix", str(path), "--bottle", "B-1")[2]
    assert "the recipe elsewhere is not at hand" in err and "profiles/solutions/" in err
    (home / "profiles" / "solutions").mkdir(parents=True)
    (home / "profiles" / "solutions" / path.name).write_text(text, encoding="utf-8")
    assert shown(capsys, "B-1")["care"]


def test_care_is_put_off(home: Path, capsys: Capture) -> None:
    """A care that was put off is not due before its day; a wrong one names the nearest."""
    bottle(capsys, "new", "bath", "B-1", "--recipe", "silver-bath", "--when", "20 days ago")
    assert "Filter the bath  [filter]" in bottle(capsys, "care", "B-1")[0]
    bottle(capsys, "care", "B-1", "--postpone", "filter", "--until", "7 days")
    cares = {care["id"]: care for care in as_json(capsys, "bottle", "care", "B-1")}
    assert not cares["filter"]["now"] and "put off" in cares["filter"]["basis"]
    assert "did you mean 'filter'" in bottle(capsys, "care", "B-1", "--postpone", "filtr", "--until", "1 d",
                                             status=2)[1]  # fmt: skip
    bottle(capsys, "care", "B-1", "--postpone", "filter", status=2)
    bottle(capsys, "care", "B-1", "--postpone", "filter", "--until", "yesterday", status=2)


def test_the_making_can_be_taken_back_and_given_back(
    home: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without its first line a bottle is out of the book; its id still names it, and nothing is lost."""
    bottle(capsys, "new", "bath", "B-1")
    told = shown(capsys, "B-1")["bottle"]
    answer(monkeypatch, "n\n")
    bottle(capsys, "withdraw", "B-1", "1", status=1)
    bottle(capsys, "withdraw", "B-1", "1", "--yes")
    assert as_json(capsys, "bottle", "list") == []
    bottle(capsys, "show", "B-1", status=1)
    assert "takes it back" in bottle(capsys, "show", told, status=1)[1]
    bottle(capsys, "withdraw", told, "2", "--yes")
    assert shown(capsys, "B-1")["bottle"] == told


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (["new", "bth", "x"], 2, "did you mean 'bath'"),
        (["new", "wine", "x"], 2, "there are collodion"),
        (["new", "bath", " "], 2, "NAME"),
        (["new", "bath", "x" * 81], 2, "1 to 80 signs"),
        (["new", "bath", "x", "--volume", "-5mL"], 2, "negative"),
        (["new", "bath", "x", "--volume", "5 oz"], 2, "--volume"),
        (["new", "bath", "x", "--volume", "5"], 2, "no unit"),
        (["new", "bath", "x", "--strength", "95"], 1, "beyond the table"),
        (["new", "bath", "x", "--strength", "0"], 2, "--strength"),
        (["new", "bath", "x", "--strength", "nan"], 2, "--strength"),
        (["new", "bath", "x", "--recipe", "silver-bth"], 2, "did you mean 'silver-bath'"),
        (["new", "bath", "x", "--recipe", "hypo"], 2, "makes fixer"),
        (["new", "bath", "x", "--ripens", "soon"], 2, "--ripens"),
        (["new", "bath", "x", "--ripens", "-1 d"], 2, "--ripens"),
        (["new", "bath", "x", "--from", "nobody"], 1, "no bottle is called"),
        (["new", "bath", "x", "--when", "tomorrow"], 2, "--when"),
        (["show", "B-7"], 1, "did you mean 'B-1'"),
        (["opened", "B-1", "--when", "3 days ago"], 2, "later than that"),
        (["treat", "B-1", "filterd"], 2, "did you mean 'filtered'"),
        (["draw-off", "B-1", "--volume", "5L"], 2, "holds 1 L"),
        (["draw-off", "B-1", "--to", "B-1"], 2, "into itself"),
        (["note", "B-1", ""], 2, "TEXT"),
        (["withdraw", "B-1", "9"], 1, "has no line"),
        (["shwo", "B-1"], 2, "did you mean 'show'"),
    ],
)
def test_wrong_words_are_one_clear_line(
    home: Path, capsys: Capture, words: list[str], status: int, says: str
) -> None:
    """Each says what is wrong and what would do, and writes nothing."""
    bottle(capsys, "new", "bath", "B-1", "--volume", "1L", "--strength", "9")
    _, err = bottle(capsys, *words, status=status)
    assert says in err and "Traceback" not in err
    assert lines(home, "B-1") == ["1 Made"] and len(files.read_shelf(home).bottles) == 1


def test_what_is_wrong_in_the_book_is_said_and_the_rest_is_shown(home: Path, capsys: Capture) -> None:
    """A damaged line and a folder that nobody made are problems; the good bottles are listed."""
    bottle(capsys, "new", "bath", "B-1")
    path = next((home / "bottles").rglob("*.jsonl"))
    path.write_bytes(path.read_bytes() + b"torn")
    (home / "bottles" / "nobody").mkdir()
    stray = home / "bottles" / "nobody" / f"{bench_id()}.jsonl"
    stray.write_bytes(path.read_bytes().replace(b'"made"', b'"maid"'))
    out, err = bottle(capsys, "list")
    assert "B-1" in out and "not a line" in err and "sum is not" in err


def test_every_command_has_an_example(home: Path, capsys: Capture) -> None:
    """Its help shows how it is typed."""
    for name in COMMANDS:
        assert f"Example: darkroom bottle {name}" in " ".join(bottle(capsys, name, "--help")[0].split())
