"""Zones and their keys: the default, what people read, and the file that changes it."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest

from darkroom.errors import NotReadable, SettingsError
from darkroom.resources import profiles_dir
from darkroom.resources import read_key_map as load
from darkroom.session.key_map import (
    DEFAULT,
    KeyMap,
    form_key,
    key_name,
    list_zones,
    read,
    shown_names,
    sure_key,
)


def test_the_default_is_the_table_of_the_design() -> None:
    """Space and the lowest row go, 1 to 3 are earlier, 6 and 7 mark, 0 tells; function keys are dead."""
    keys = KeyMap()
    for key in ("space", "x", "c", "v", "b", "n", "m", "comma"):
        assert keys.zone_of(key) == "go"
    for key in ("backspace", "delete"):
        assert keys.zone_of(key) == "undo"
    zones = {"1": "earlier", "2": "earlier", "3": "earlier", "6": "mark", "7": "mark", "0": "tell"}
    assert {key: zone for key in "0123456789" if (zone := keys.zone_of(key)) is not None} == zones
    assert {keys.zone_of(f"f{number}") for number in range(1, 25)} == {None}
    assert keys.zone_of("escape") == "menu"
    assert all(arrow == keys.zone_of(arrow) for arrow in ("left", "right", "up", "down"))
    for key in ("enter", "z", "a", "f4", "tab", "full_stop", "ctrl+c", ""):
        assert keys.zone_of(key) is None


# Key centres in key pitches from the left edge and down from the number row, ANSI layout
# (ANSI INCITS 154 rows, from memory); function row as on full-size boards and as on notebooks.
_ROWS = [("1234567890", 1.0, 0), ("qwertyuiop", 1.5, 1), ("asdfghjkl", 1.75, 2), ("zxcvbnm", 2.25, 3)]


def _board(
    function_row: list[tuple[str, float, float]], arrows: tuple[float, float]
) -> dict[str, tuple[float, float]]:
    places = {key: (x + n, float(y)) for row, x, y in _ROWS for n, key in enumerate(row)}
    places |= {"comma": (9.25, 3.0), "backspace": (13.5, 0.0)}
    places |= {key: (x, y) for key, x, y in function_row}
    left, row = arrows
    places |= {
        "left": (left, row),
        "down": (left + 1, row),
        "right": (left + 2, row),
        "up": (left + 1, row - 1),
    }
    return places


FULL = _board(
    [
        ("escape", 0.0, -1.5),
        ("delete", 15.25, 1),
        *((f"f{n}", n + 1 + 0.5 * ((n - 1) // 4), -1.5) for n in range(1, 13)),
    ],
    (15.25, 4),
)
NOTEBOOK = _board(
    [("escape", 0.0, -1), *((f"f{n}", n * 1.07, -1) for n in range(1, 13)), ("delete", 13.9, -1)], (12.5, 4)
)
SPACE = (3.25, 9.0)
"""From where to where the space bar reaches, in the row below the lowest letters."""


def _apart(key: str, other: str, board: dict[str, tuple[float, float]]) -> float:
    if "space" in (key, other):
        x, y = board[other if key == "space" else key]
        return math.hypot(max(SPACE[0] - x, 0.0, x - SPACE[1]), 4.0 - y)
    return math.dist(board[key], board[other])


def _near(board: dict[str, tuple[float, float]]) -> set[frozenset[str]]:
    zones = [zone for zone in DEFAULT if zone not in ("left", "right", "up", "down")] + ["arrows"]
    keys = dict(DEFAULT) | {"arrows": ("left", "right", "up", "down")}
    return {
        frozenset((a, b))
        for a, b in itertools.combinations(zones, 2)
        if min(_apart(key, other, board) for key in keys[a] for other in keys[b]) < 3.0
    }


@pytest.mark.parametrize(
    ("board", "known"),
    [
        (FULL, {"earlier menu", "arrows undo"}),
        (NOTEBOOK, {"earlier menu"}),
    ],
    ids=["full size", "notebook"],
)
def test_go_lies_three_keys_from_everything(board: dict[str, tuple[float, float]], known: set[str]) -> None:
    """What moves a plate on lies three key pitches from every other zone.

    The few pairs of the table that lie nearer are these: escape and 1, and on a full-size board delete and
    up. None of them moves a plate on, and a handful across two of them is void.
    """
    near = {" ".join(sorted(pair)) for pair in _near(board)}
    assert known == near
    assert not any("go" in pair.split() for pair in near)


def test_names_are_what_people_read() -> None:
    """Keys are shown by their signs, and numbered ones as a range."""
    keys = KeyMap()
    assert keys.names("go") == "space x c v b n m ,"
    assert keys.names("earlier") == "1–3" and keys.names("mark") == "6 7" and keys.names(None) == ""
    assert read("mark: [f5, f6, f7, f8]\n", "keys.yaml").names("mark") == "F5–F8"
    assert {
        "go": "space",
        "undo": "backspace",
        "earlier": "1–3",
        "mark": "6",
        "menu": "escape",
    }.items() <= (shown_names(keys).items())


def test_a_file_changes_a_zone_and_leaves_the_others() -> None:
    """A zone that the file names has the keys written for it, and no others; the rest keep theirs."""
    keys = read("mark: b\ngo: [space, F13, ',', Kp_Begin]\nearlier: []\n", "keys.yaml")
    assert tuple(map(keys.zone_of, ("b", "f13", "comma", "kp_begin"))) == ("mark", "go", "go", "go")
    assert keys.zone_of("x") is None and keys.zone_of("1") is None
    assert keys.zone_of("backspace") == "undo"
    assert shown_names(keys)["earlier"] == ""


@pytest.mark.parametrize(
    ("written", "name"),
    [("F5", "f5"), (",", "comma"), ("Shift+F9", "shift+f9"), ("X", "x"), ("Page_Up", None),
     ("pageup", "pageup"), ("ctrl+alt+a", "alt+ctrl+a"), ("hyperspace", None), ("+", "plus"), (" ", None),
     ("super+", None), ("é", "é")],
)  # fmt: skip
def test_key_names(written: str, name: str | None) -> None:
    """Keys may be written as people do; what is no key is None."""
    assert name == key_name(written)


def test_our_names_are_the_toolkits() -> None:
    """Every sign's name is the one that the toolkit gives to the character."""
    from textual.keys import _character_to_key

    from darkroom.session import key_map

    for name, sign in key_map._SIGNS.items():
        assert name == _character_to_key(sign)


@pytest.mark.parametrize(
    ("text", "telling"),
    [
        (
            "go: [space]\nundo:\n  - backspace\n  - space\n",
            "keys.yaml:2: undo: the key 'space' is also in 'go', on line 1",
        ),
        ("undoo: f9\n", "keys.yaml:1: undoo: unknown zone 'undoo' (did you mean 'undo'?)"),
        ("go: [spacebar]\n", "keys.yaml:1: go[1]: 'spacebar' is no key (did you mean 'space'?)"),
        ("\nundo:\n- backspce\n", "keys.yaml:3: undo[1]: 'backspce' is no key (did you mean 'backspace'?)"),
        ("go: []\n", "keys.yaml:1: go: 'go' needs a key"),
        ("mark: escape\n", "keys.yaml:1: 'menu' needs a key"),
        ("go: {a: b}\n", "keys.yaml:1: go: expected a list"),
        ("- go\n", "expected a mapping"),
        ("go: [x\n", "not YAML"),
        ("", "the file is empty"),
        ("go: x\ngo: c\n", "stands twice"),
        ("go: &a [x]\nundo: *a\n", "an alias"),
    ],
)
def test_a_wrong_file_is_told(text: str, telling: str) -> None:
    """Each mistake names file, line and key, and the nearest right word."""
    with pytest.raises(SettingsError) as raised:
        read(text, "keys.yaml")
    assert telling in str(raised.value)


def test_a_key_that_the_file_names_leaves_the_zone_that_had_it() -> None:
    """A foot switch that types b marks: b is no key of go then, and the other keys of go stay."""
    keys = read("mark: b\nundo: ['0', f13]\n", "keys.yaml")
    assert [keys.zone_of(key) for key in ("b", "v", "6", "0", "f13", "backspace")] == [
        "mark",
        "go",
        None,
        "undo",
        "undo",
        None,
    ]
    assert keys.keys("tell") == ()


@pytest.mark.parametrize(
    ("name", "pedals"),
    [("one-pedal", {"f13": "go"}), ("three-pedals", {"f13": "go", "f14": "tell", "f15": "undo"})],
)
def test_the_shipped_pedals_leave_the_keyboard_as_it_is(name: str, pedals: dict[str, str]) -> None:
    """A shipped map gives the pedals their zones; every key of the default keeps its own."""
    keys = load(profiles_dir() / "keymaps" / f"{name}.yaml")
    assert {key: keys.zone_of(key) for key in pedals} == pedals
    default = KeyMap()
    assert [keys.zone_of(key) for zone in DEFAULT for key in DEFAULT[zone]] == [
        default.zone_of(key) for zone in DEFAULT for key in DEFAULT[zone]
    ]


def test_every_shipped_key_map_is_tried() -> None:
    """There are two maps of pedals, and no file beside them."""
    names = sorted(path.name for path in (profiles_dir() / "keymaps").iterdir())
    assert names == ["one-pedal.yaml", "three-pedals.yaml"]


def test_a_key_map_of_ones_own_goes_over_a_named_one(tmp_path: Path) -> None:
    """Zones that keys.yaml names are its own; the others are those of the map chosen in the settings."""
    (tmp_path / "keys.yaml").write_text("tell: [f15]\n")
    keys = load(tmp_path / "keys.yaml", load(profiles_dir() / "keymaps" / "three-pedals.yaml"))
    zones = [keys.zone_of(key) for key in ("f13", "f14", "f15", "backspace", "0")]
    assert zones == ["go", None, "tell", "undo", None]


def test_every_mistake_is_told_at_once() -> None:
    """Three mistakes, three lines."""
    with pytest.raises(SettingsError) as raised:
        read("undoo: x\ngo: [spacebar]\nmark: x\n", "keys.yaml")
    assert {1, 2} <= {problem.line for problem in raised.value.problems}


def test_no_file_is_the_default(tmp_path: Path) -> None:
    """Without a file the default holds; one that cannot be read is an error."""
    assert KeyMap() == load(tmp_path / "keys.yaml")
    with pytest.raises(NotReadable):
        load(tmp_path)
    (tmp_path / "keys.yaml").write_text("undo: [backspace]\n")
    assert load(tmp_path / "keys.yaml").zone_of("delete") is None


def test_a_pedal_of_the_linux_console_is_known() -> None:
    """F13 to F17, sent as CSI 25 ~ to 31 ~ there, are the keys that the map names (console_codes(4))."""
    from textual._xterm_parser import XTermParser
    from textual.events import Key

    for number, key in ((25, "f13"), (26, "f14"), (28, "f15"), (29, "f16"), (31, "f17")):
        (event,) = XTermParser().feed(f"\x1b[{number}~")
        assert isinstance(event, Key)
        assert read(f"go: [{key}]\n", "keys.yaml").zone_of(event.key) == "go"


def test_a_list_takes_the_zones_of_the_key_map_first() -> None:
    """Go chooses, undo and menu go back, arrows move; a key that the map gives to go is no arrow there."""
    zone = list_zones(read("go: [f13, up]\nup: []\nmark: [home]\n", "keys.yaml").zone_of)
    assert [zone(key) for key in ("f13", "up", "space", "backspace", "escape")] == [
        "go",
        "go",
        None,
        "back",
        "back",
    ]
    assert [zone(key) for key in ("enter", "down", "left", "right", "home", "end", "0", "1")] == [
        "sure",
        "down",
        "up",
        "down",
        "first",
        "last",
        "tell",
        None,
    ]


@pytest.mark.parametrize(("go_keys", "sure"), [("space", "enter"), ("enter", "y"), ("[enter, y]", "insert")])
def test_what_go_must_not_answer_has_a_key_that_is_not_of_go(go_keys: str, sure: str) -> None:
    """Enter answers a `confirm` unless the map gives enter to go."""
    zone_of = read(f"go: {go_keys}\n", "keys.yaml").zone_of
    assert sure_key(zone_of) == sure
    assert list_zones(zone_of)(sure) == "sure"


def test_keys_of_a_form_type_unless_they_cannot() -> None:
    """A key of go that types is itself in a form; one that cannot be typed is enter, of undo escape."""
    zone_of = read("go: [b, f13]\nundo: [backspace, f14]\ndown: [down, f15]\n", "keys.yaml").zone_of
    pressed = [
        ("b", True),
        ("f13", False),
        ("backspace", False),
        ("f14", False),
        ("f15", False),
        ("f9", False),
    ]
    assert [form_key(zone_of, key, printable) for key, printable in pressed] == [
        "b",
        "enter",
        "backspace",
        "escape",
        "down",
        "f9",
    ]
