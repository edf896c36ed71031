"""Which key belongs to which zone: the default, and a YAML file that changes it.

A key map for keypads and foot switches gives a zone the keys that strike it, in place of the zone's
own; zones that are not named keep theirs, but for the keys that the map names elsewhere:

    go: [space, f13]        # a list, or one key
    mark: b                 # a foot switch that types b: the default of `go` does without it
    earlier: []             # no key at all; `go` and `menu` need one
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from darkroom.errors import SettingsError, nearest
from darkroom.session.actions import ACTIONS

if TYPE_CHECKING:
    from darkroom.process.text import tree

ZoneOf = Callable[[str], str | None]
"""From a key's name to its zone, None for a key that does nothing."""

DEFAULT: Mapping[str, tuple[str, ...]] = MappingProxyType({action.id: action.keys for action in ACTIONS})
"""The zones and their keys, by the names that the toolkit gives to keys."""

ZONES = tuple(DEFAULT)
NUDGES = frozenset({"earlier", "left", "right", "up", "down"})
"""The zones that nudge: two presses 0.15 s apart are two strikes."""
NEEDED = ("go", "menu")
"""Zones that cannot be left without a key: the one works, the other leaves."""

_SIGNS = {
    "comma": ",", "full_stop": ".", "semicolon": ";", "slash": "/", "minus": "-", "plus": "+",
    "apostrophe": "'", "quotation_mark": '"', "grave_accent": "`", "tilde": "~", "backslash": "\\",
    "left_square_bracket": "[", "right_square_bracket": "]", "equals_sign": "=", "asterisk": "*",
    "exclamation_mark": "!", "at": "@", "number_sign": "#", "dollar_sign": "$", "percent_sign": "%",
    "circumflex_accent": "^", "ampersand": "&", "left_parenthesis": "(", "right_parenthesis": ")",
    "underscore": "_", "colon": ":", "less_than_sign": "<", "greater_than_sign": ">", "question_mark": "?",
    "left_curly_bracket": "{", "right_curly_bracket": "}", "vertical_line": "|",
}  # fmt: skip
_NAMES = {sign: name for name, sign in _SIGNS.items()}
_MODIFIERS = ("alt", "ctrl", "hyper", "meta", "shift", "super")
_NAMED = frozenset({
    "space", "enter", "tab", "escape", "backspace", "delete", "insert", "home", "end", "pageup", "pagedown",
    "left", "right", "up", "down", "print_screen", "pause", "menu", "kp_begin",
    "decimal", "divide", "multiply", "subtract", "add", "equal", "separator",
    "media_play", "media_pause", "media_play_pause", "media_reverse", "media_stop", "media_fast_forward",
    "media_rewind", "media_track_next", "media_track_previous", "media_record",
    "lower_volume", "raise_volume", "mute_volume",
    *(f"f{number}" for number in range(1, 36)), *_SIGNS,
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class KeyMap:
    """Zones and their keys; `file` is where it was read from, '' for the default."""

    zones: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: DEFAULT)
    file: str = ""
    _zone_by_key: dict[str, str] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        """Turn the table round."""
        self._zone_by_key.update({key: zone for zone, keys in self.zones.items() for key in keys})

    def zone_of(self, name: str) -> str | None:
        """Return the zone of a key as the toolkit names it, or None for a dead key.

        A letter counts with Shift or Caps Lock too: a glove that leans on them changes nothing.
        """
        name = _MISREAD.get(name, name)
        zone = self._zone_by_key.get(name)
        if zone is None and name:
            unshifted = name.removeprefix("shift+")
            zone = self._zone_by_key.get(unshifted.lower() if len(unshifted) == 1 else unshifted)
        return zone

    def keys(self, zone: str) -> tuple[str, ...]:
        """Return the keys of a zone."""
        return self.zones.get(zone, ())

    def names(self, zone: str | None) -> str:
        """Return the keys of a zone as people read them: "space x c v b n m ,", "1–3"."""
        return "" if zone is None else " ".join(_ranges(self.keys(zone)))


_MISREAD = {"\x19": "f13", "\x1a": "f14", "\x1c": "f15", "\x1d": "f16", "\x1f": "f17"}
"""Textual 8.2.8 takes the number for a character where a terminal sends these function keys as CSI 25 ~ to
CSI 31 ~, as the Linux console does."""
BACK = frozenset({"undo", "menu"})
"""The zones that close a list or a form."""
_MOVES = {"up": "up", "down": "down", "left": "up", "right": "down"}
_LIST_KEYS = {
    "up": "up",
    "down": "down",
    "left": "up",
    "right": "down",
    "home": "first",
    "end": "last",
    "escape": "back",
}
_SURE_KEYS = ("enter", "y", "insert", "f2", "f3", "f4")
_EDITING = frozenset({
    "enter", "escape", "tab", "shift+tab", "left", "right", "up", "down", "home", "end", "pageup", "pagedown",
    "backspace", "delete",
})  # fmt: skip
_IN_FORMS = {
    "go": "enter",
    "undo": "escape",
    "menu": "escape",
    "left": "left",
    "right": "right",
    "up": "up",
    "down": "down",
}


def sure_key(zone_of: ZoneOf) -> str:
    """Return the key that answers what a strike of go must not: enter, or another where go has that."""
    return next((key for key in _SURE_KEYS if zone_of(key) not in ("go", *BACK)), _SURE_KEYS[0])


def list_zones(zone_of: ZoneOf) -> ZoneOf:
    """Return what the keys do in a list: "go", "sure", "back", "tell", "up", "down", "first", "last" or None.

    The key map's zones come first: go chooses, undo and menu go back, tell says the row, the arrows' zones
    move. Enter
    ("sure"), the arrows, home and end work as everywhere, unless the map gives them another of these.
    """
    sure = sure_key(zone_of)

    def zone(name: str) -> str | None:
        mapped = zone_of(name) or ""
        if mapped in ("go", "tell"):
            return mapped
        if mapped in BACK:
            return "back"
        return _MOVES.get(mapped) or ("sure" if name == sure else _LIST_KEYS.get(name))

    return zone


def form_key(zone_of: ZoneOf, name: str, printable: bool) -> str:
    """Return the key that a form takes for the key `name`.

    What types or edits is itself. Of the rest, a key of the zone go is "enter", of undo and menu "escape".
    """
    if printable or name in _EDITING:
        return name
    return _IN_FORMS.get(zone_of(name) or "", name)


def shown_names(keys: KeyMap) -> dict[str, str]:
    """Return {zone: its first key as people read it} for a footer, "" where a zone has none."""
    return {zone: next(iter(_ranges(keys.keys(zone))), "") for zone in ZONES}


def read(text: str | bytes, file: str, base: KeyMap | None = None) -> KeyMap:
    """Return the key map that a YAML text describes; `file` is its name in the mistakes.

    Zones that the text does not name are as in `base`, the default without one.

    Raises SettingsError: unknown zones and keys, one key in two zones, a needed zone without a key.
    """
    from darkroom.process.text import yaml_reader  # most darkrooms have no map of their own

    sheet = yaml_reader.read(text, file)
    zones = dict(DEFAULT if base is None else base.zones)
    if sheet.root is not None:
        nodes = sheet.mapping(sheet.root, known=ZONES, what="zone")
        named = {zone: _keys(sheet, node) for zone, node in nodes.items()}
        taken = {key for keys in named.values() for key in keys}
        for zone, keys in tuple(zones.items()):
            zones[zone] = named.get(zone, tuple(key for key in keys if key not in taken))
            if zone in NEEDED and not zones[zone] and not sheet.problems:
                sheet.wrong(nodes.get(zone, sheet.root), f"'{zone}' needs a key")
        _clashes(sheet, sheet.root, named)
    sheet.raise_problems(SettingsError)
    return KeyMap(MappingProxyType(zones), file)


def _keys(sheet: tree.Sheet, node: tree.Node) -> tuple[str, ...]:
    """Return the keys of a zone: a list, or one key."""
    from darkroom.process.text.tree import Scalar

    names: list[str] = []
    for item in [node] if isinstance(node, Scalar) else sheet.items(node):
        text = sheet.text(item)
        name = None if text is None else key_name(text)
        if name is not None:
            names.append(name)
        elif text is not None:
            sheet.wrong(item, f"'{text[:40]}' is no key", nearest(text.lower(), _NAMED))
    return tuple(dict.fromkeys(names))


def key_name(text: str) -> str | None:
    """Return the toolkit's name of a key as people write it ("F5", ",", "Shift+F9"), or None."""
    *modifiers, last = text.split("+") if len(text) > 1 else [text]
    modifiers = [word.strip().lower() for word in modifiers]
    last = last.strip()
    if any(word not in _MODIFIERS for word in modifiers) or not last:
        return None
    if len(last) == 1:
        name = _NAMES.get(last, last.lower())
        if not last.isprintable() or last.isspace():
            return None
    else:
        name = last.lower().replace(" ", "_")
        if name not in _NAMED:
            return None
    return "+".join([*sorted(modifiers), name])


def _clashes(sheet: tree.Sheet, root: tree.Node, zones: Mapping[str, Sequence[str]]) -> None:
    """Note every key that the file gives to two zones, at the line of the second."""
    from darkroom.process.text.tree import Keys

    line_of = root.lines if isinstance(root, Keys) else {}
    owner: dict[str, str] = {}
    for zone in sorted(zones, key=lambda zone: line_of.get(zone, 0)):
        for key in zones[zone]:
            if key in owner:
                place = f"on line {line_of[owner[key]]}"
                sheet.note(line_of[zone], zone, f"the key '{key}' is also in '{owner[key]}', {place}")
            owner.setdefault(key, zone)


def _shown(key: str) -> str:
    *modifiers, last = key.split("+")
    last = _SIGNS.get(last, last)
    if last[:1] == "f" and last[1:].isdigit():
        last = last.upper()
    return "+".join([*modifiers, last.replace("_", " ")])


def _ranges(keys: Sequence[str]) -> list[str]:
    """Return the keys as read, runs of three or more numbered keys as "F5–F12"."""
    names: list[str] = []
    run: list[str] = []

    def number(key: str) -> tuple[str, int] | None:
        prefix = key.rstrip("0123456789")
        return (prefix, int(key[len(prefix) :])) if key != prefix and prefix in ("", "f") else None

    def end() -> None:
        names.extend([f"{_shown(run[0])}–{_shown(run[-1])}"] if len(run) > 2 else map(_shown, run))
        run.clear()

    for key in keys:
        this_number, previous_number = number(key), number(run[-1]) if run else None
        if run and not (
            this_number and previous_number and this_number == (previous_number[0], previous_number[1] + 1)
        ):
            end()
        run.append(key)
    end()
    return names
