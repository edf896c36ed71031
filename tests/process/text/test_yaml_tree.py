"""YAML text as a tree of texts with lines, for every file of ours."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from darkroom.errors import SettingsError
from darkroom.process.text import tree, yaml_reader
from darkroom.process.text.numbers import percent


def test_every_scalar_is_text_with_its_line_and_place() -> None:
    """What YAML would make a number, a truth or a time stays the text it is."""
    sheet = yaml_reader.read("a: No\nb: 3:30\nlist:\n  - 010\n  - {c: 1e3, d: ~}\n", "x.yaml")
    assert sheet.problems == []
    assert isinstance(sheet.root, tree.Keys)
    assert isinstance(sheet.root.entries["a"], tree.Scalar)
    assert (sheet.root.entries["a"].text, sheet.root.entries["a"].line) == ("No", 1)
    listed = sheet.root.entries["list"]
    assert isinstance(listed, tree.Items)
    inner = listed.items[1]
    assert isinstance(inner, tree.Keys)
    assert {key: node.text for key, node in inner.entries.items() if isinstance(node, tree.Scalar)} == {
        "c": "1e3",
        "d": "~",
    }
    assert inner.entries["c"].path == "list[2].c"
    assert inner.entries["c"].line == 5


def test_a_reader_collects_all_mistakes_and_raises_them_once() -> None:
    """A reader built from the helpers finds every mistake and raises its own kind of error."""
    sheet = yaml_reader.read("volume: 300 %\nsett: a\nsilent: perhaps\nset: [x]\n", "settings.yaml")
    assert sheet.root is not None
    keys = sheet.mapping(sheet.root, known=("volume", "set", "silent", "voice"), required=("set", "voice"))
    assert sheet.value(keys["volume"], percent) is None
    assert sheet.flag(keys["silent"]) is None
    assert sheet.text(keys["set"]) is None
    with pytest.raises(SettingsError) as caught:
        sheet.raise_problems(SettingsError)
    texts = [str(problem) for problem in caught.value.problems]
    assert [problem.line for problem in caught.value.problems] == [1, 1, 2, 3, 4]
    assert any("'voice' is missing" in text for text in texts)
    assert any("did you mean 'set'?" in text for text in texts)


def test_a_right_file_raises_nothing() -> None:
    """Without problems the sheet lets the reader go on."""
    sheet = yaml_reader.read("set: soft\n", "settings.yaml")
    assert sheet.root is not None
    keys = sheet.mapping(sheet.root, known=("set",))
    assert sheet.word(keys["set"], ("soft", "loud")) == "soft"
    sheet.raise_problems(SettingsError)


def test_problems_hold_nothing_a_terminal_obeys() -> None:
    """A key with an escape sequence in it is told with question marks in its place."""
    sheet = yaml_reader.read('"\\e[37mkey": x\n', "keys.yaml")
    assert sheet.root is not None
    sheet.mapping(sheet.root, known=("go",))
    assert str(sheet.problems[0]) == "keys.yaml:1: ?[37mkey: unknown key '?[37mkey'"


def test_a_byte_order_mark_and_foreign_line_ends_are_read() -> None:
    """A file saved by another system's editor is read as it is meant."""
    sheet = yaml_reader.read(b"\xef\xbb\xbfa: b\r\nc: d\r\n", "x.yaml")
    assert sheet.problems == []
    assert isinstance(sheet.root, tree.Keys)
    assert list(sheet.root.lines.items()) == [("a", 1), ("c", 2)]


def test_an_alias_bomb_is_told_without_being_built() -> None:
    """Nine levels of nine aliases are noted one by one; nothing is multiplied."""
    text = "a: &a [x, x]\n" + "".join(
        f"{b}: &{b} [{', '.join(['*' + a] * 9)}]\n" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    sheet = yaml_reader.read(text, "bomb.yaml")
    assert len([problem for problem in sheet.problems if "alias" in problem.what]) == 72


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_deep_nesting_is_refused_and_breaks_nothing(opening: str) -> None:
    """A file of nothing but openings is refused with a line, however deep it goes."""
    sheet = yaml_reader.read(opening * 5000, "deep.yaml")
    assert sheet.root is None
    assert sheet.problems[0].line == 1


@given(st.one_of(st.binary(max_size=200), st.text(max_size=200)))
def test_no_bytes_break_the_reader(raw: bytes | str) -> None:
    """Any bytes are either a tree or a list of problems, never another error."""
    sheet = yaml_reader.read(raw, "any.yaml")
    assert sheet.root is not None or sheet.problems
    for problem in sheet.problems:
        assert str(problem).isprintable()


@given(
    st.recursive(
        st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "Zs")), min_size=1, max_size=8).map(
            str.strip
        ),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.text("abcdefg", min_size=1, max_size=3), inner, max_size=3)
        ),
        max_leaves=8,
    )
)
def test_what_a_library_writes_is_read_back(value: object) -> None:
    """A tree of texts, lists and mappings written by PyYAML comes back as the same texts."""

    def plain(node: tree.Node) -> object:
        if isinstance(node, tree.Scalar):
            return node.text
        if isinstance(node, tree.Items):
            return [plain(item) for item in node.items]
        assert isinstance(node, tree.Keys)
        return {key: plain(item) for key, item in node.entries.items()}

    text = yaml.safe_dump({"top": value}, allow_unicode=True, sort_keys=False)
    sheet = yaml_reader.read(text, "x.yaml")
    assert sheet.problems == []
    assert sheet.root is not None
    assert plain(sheet.root) == {"top": value}


def test_the_pure_parser_reads_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the C parser is missing, the Python one gives the same tree and the same problems."""
    texts = [
        "a: 3:30\nb: [x, {c: d}]\n",
        "a: &x 1\nb: *x\n",
        "a: !t x\n",
        "a: [\n",
        "a: b: c\n",
        "---\na: 1\n---\nb: 2\n",
    ]
    quick = [yaml_reader.read(text, "x") for text in texts]
    monkeypatch.setattr(yaml_reader, "_LOADER", yaml.SafeLoader)
    slow = [yaml_reader.read(text, "x") for text in texts]
    for one, other in zip(quick, slow, strict=True):
        assert one.root == other.root
        assert [problem.line is None for problem in one.problems] == [p.line is None for p in other.problems]
        assert len(one.problems) == len(other.problems)
