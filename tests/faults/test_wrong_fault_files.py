"""Files of faults with a mistake: each is refused, with its line, its key and the nearest right word."""

from __future__ import annotations

import pytest

from darkroom.errors import FaultsError
from darkroom.faults.catalogue_file import parse
from darkroom.faults.remedy_rules import altered_by_test
from tests.kit.documents import ROOT

WRONG = ROOT / "tests" / "invalid" / "faults"

# (file, line, key, beginning of what is said, nearest right word)
MISTAKES: list[tuple[str, int | None, str | None, str, str | None]] = [
    (
        "alters-unknown",
        11,
        "causes.warm developer.alters",
        "'bathh' is none of: collodion, bath, developer, fixer, fixer",
        "bath",
    ),
    (
        "ask-empty",
        23,
        "faults.fog.asks[1]",
        "an answer weighs something: {a cause of this fault: decibans",
        None,
    ),
    ("ask-maybe", 23, "faults.fog.asks[1]", "the key 'no' is missing", None),
    ("ask-one-sided", 25, "faults.fog.asks[1].no", "yes and no speak both for 'old bath'", None),
    (
        "ask-other-cause",
        24,
        "faults.fog.asks[1].yes.old bahts",
        "'old bahts' is no cause of this fault",
        "old bath",
    ),
    ("ask-twice", 26, "faults.fog.asks[2]", "the question stands twice", None),
    ("ask-without-no", 23, "faults.fog.asks[1]", "the key 'no' is missing", None),
    ("asks-three", 23, "faults.fog.asks", "3 questions: at most 2", None),
    (
        "cause-none-of-these",
        12,
        "causes.none of these",
        "'none of these' is what is said of a fault that no cause explains",
        None,
    ),
    ("causes-list", 21, "faults.fog.causes", "expected a mapping, found a list", None),
    ("causes-none", 21, "faults.fog.causes", "0 causes: 1 to 16", None),
    (
        "caution-emoji",
        11,
        "causes.warm developer.cautions",
        "an emoji (U+1F525) brings its own colours, white light in th",
        None,
    ),
    ("cautions-empty", 11, "causes.warm developer.cautions", "0 cautions: 1 to 8", None),
    (
        "colon-unquoted",
        14,
        "causes.old bath.remedy",
        "not YAML: mapping values are not allowed in this context (a ",
        None,
    ),
    (
        "cost-half",
        10,
        "causes.warm developer.cost",
        "'1.5' is no whole number: expected a cost, 0 (at once) to 3 (a ",
        None,
    ),
    ("empty", None, None, "the file is empty", None),
    (
        "evidence-twice",
        8,
        "causes.warm developer.evidence[2]",
        "'developer over usual' stands twice: give it all its points ",
        None,
    ),
    (
        "evidence-unknown",
        5,
        "causes.warm developer.evidence[1].of",
        "'developer over usaul' is no figure of the record: darkroom ",
        "developer over usual",
    ),
    (
        "id-capitals",
        2,
        "causes.Warm developer",
        "'Warm developer' is no id: small letters, digits, hyphens an",
        None,
    ),
    ("id-comma", 17, "faults.fog, new", "'fog, new' is no id: small letters, digits, hyphens and sing", None),
    ("id-escape", 17, "faults.fo?g", "'fo?g' is no id: small letters, digits, hyphens and single s", None),
    (
        "id-long",
        17,
        "faults.fogfogfogfogfogfogfogfogfogfogfogfogfogfog",
        "the id 'fogfogfogfogfogfogfogfogfogfogfogfogfogf…' is too lo",
        None,
    ),
    ("id-twice", 12, "causes.warm developer", "the key 'warm developer' stands twice, first on line 2", None),
    (
        "label-taken",
        12,
        "causes.old bath",
        "'warm developer' is the name of the cause 'warm developer' a",
        None,
    ),
    ("latin-1", 2, None, "not UTF-8 text", None),
    (
        "link-certain",
        21,
        "faults.fog.causes.warm developer",
        "'1' is out of range: expected how often that cause shows as ",
        None,
    ),
    ("looks-too-long", 18, "faults.fog.looks", "too long: 256 characters, at most 200", None),
    ("looks-two-lines", 18, "faults.fog.looks", "must be one line", None),
    ("nothing-in-it", 1, None, "says nothing: 'causes', 'faults' or both have an entry", None),
    (
        "points-beyond",
        6,
        "causes.warm developer.evidence[1].points.68",
        "'68' is out of range: expected developer over usual in °C be",
        None,
    ),
    ("points-equal", 6, "causes.warm developer.evidence[1].points", "the values must ascend", None),
    ("points-list", 6, "causes.warm developer.evidence[1].points", "expected a mapping, found a list", None),
    (
        "points-one-sided",
        6,
        "causes.warm developer.evidence[1].points",
        "evidence has a value that speaks for the cause and one that ",
        None,
    ),
    ("points-turned", 6, "causes.warm developer.evidence[1].points", "the values must ascend", None),
    (
        "points-twice",
        6,
        "causes.warm developer.evidence[1].points.4",
        "the key '4' stands twice, first on line 6",
        None,
    ),
    (
        "points-word",
        6,
        "causes.warm developer.evidence[1].points.hot",
        "'hot' cannot be read: expected developer over usual in °C be",
        None,
    ),
    (
        "remedy-acid-untested",
        14,
        "causes.old bath.remedy",
        "'nitric' alters what is in a bottle: say which under 'alters",
        None,
    ),
    (
        "remedy-boil-untested",
        15,
        "causes.old bath.alters",
        "a bottle is altered after a test alone: say which under 'tes",
        None,
    ),
    (
        "remedy-cyanide-and-acid",
        9,
        "causes.warm developer.remedy",
        "cyanide and acid in one sentence: acid sets hydrogen cyanide",
        None,
    ),
    ("remedy-mercury", 9, "causes.warm developer.remedy", "mercury is never offered", None),
    ("remedy-missing", 3, "causes.warm developer", "the key 'remedy' is missing", None),
    (
        "remedy-without-caution",
        9,
        "causes.warm developer.remedy",
        "'ether' can hurt: say how under 'cautions'",
        None,
    ),
    ("root-list", 1, None, "expected a mapping, found a list", None),
    (
        "says-attribute",
        7,
        "causes.warm developer.evidence[1].says",
        "'{value.real}': only {value} can stand between { }",
        "value",
    ),
    (
        "says-brace",
        7,
        "causes.warm developer.evidence[1].says",
        "a { or } too many: the value is written {value:.0f}",
        None,
    ),
    (
        "says-conversion",
        7,
        "causes.warm developer.evidence[1].says",
        "'{value!r}': {value} with a plain format, as {value:+.1f} or",
        None,
    ),
    (
        "says-escape",
        7,
        "causes.warm developer.evidence[1].says",
        "a character that cannot be shown (U+001B)",
        None,
    ),
    (
        "says-index",
        7,
        "causes.warm developer.evidence[1].says",
        "'{value[0]}': only {value} can stand between { }",
        "value",
    ),
    (
        "says-list",
        7,
        "causes.warm developer.evidence[1].says",
        "one text with {value} in it, or {0: a text, 1: another}",
        None,
    ),
    (
        "says-nested",
        7,
        "causes.warm developer.evidence[1].says",
        "'{value:{value}}': {value} with a plain format, as {value:+.",
        None,
    ),
    ("says-one-text", 7, "causes.warm developer.evidence[1].says", "a text for each of 2 to 12 values", None),
    (
        "says-other-name",
        7,
        "causes.warm developer.evidence[1].says",
        "'{valeu}': only {value} can stand between { }",
        "value",
    ),
    (
        "says-positional",
        7,
        "causes.warm developer.evidence[1].says",
        "'{0}': only {value} can stand between { }",
        None,
    ),
    (
        "says-same",
        7,
        "causes.warm developer.evidence[1].says",
        "says the same of every value: put {value} into it, or write ",
        None,
    ),
    (
        "says-text-with-value",
        7,
        "causes.warm developer.evidence[1].says.4",
        "a text of its own for a value has no { } in it",
        None,
    ),
    ("says-texts-turned", 7, "causes.warm developer.evidence[1].says", "the values must ascend", None),
    (
        "says-too-long",
        7,
        "causes.warm developer.evidence[1].says",
        "too long: 164 characters, at most 100",
        None,
    ),
    (
        "says-width",
        7,
        "causes.warm developer.evidence[1].says",
        "'{value:99999999d}': {value} with a plain format, as {value:",
        None,
    ),
    ("source-missing", 3, "causes.warm developer", "the key 'source' is missing", None),
    ("tab", 2, None, "a tab: indent with spaces", None),
    (
        "test-absent-nothing",
        8,
        "causes.warm developer.test.absent",
        "what a test does not show speaks against the cause: less tha",
        None,
    ),
    (
        "test-boils",
        8,
        "causes.warm developer.test.do",
        "'Boil': a test alters no bottle, it is made on a sample",
        None,
    ),
    (
        "test-cost",
        8,
        "causes.warm developer.test.cost",
        "'4' is out of range: expected a cost, 0 (at once) to 3 (a ",
        None,
    ),
    ("test-mercury", 8, "causes.warm developer.test.do", "mercury is never offered", None),
    (
        "test-shown-against",
        8,
        "causes.warm developer.test.shown",
        "what a test shows speaks for the cause: more than 0",
        None,
    ),
    (
        "test-without-caution",
        8,
        "causes.warm developer.test.do",
        "'acid' can hurt: say how under 'cautions'",
        None,
    ),
    ("test-without-outcome", 8, "causes.warm developer.test", "the key 'absent' is missing", None),
    (
        "unexplained-often",
        20,
        "faults.fog.unexplained",
        "'0.2' is out of range: expected how often it is none of thes",
        None,
    ),
    ("unknown-key", 18, "faults.fog.look", "unknown key 'look'", "looks"),
    ("unknown-top-key", 16, "fualts", "unknown key 'fualts'", "faults"),
    ("usual-missing", 3, "causes.warm developer", "the key 'usual' is missing", None),
    (
        "usual-often",
        3,
        "causes.warm developer.usual",
        "'0.5' is out of range: expected the usual share of plates, a",
        None,
    ),
    (
        "usual-percent",
        3,
        "causes.warm developer.usual",
        "'6 %' cannot be read: expected the usual share of plates, a ",
        None,
    ),
    (
        "weight-exponent",
        6,
        "causes.warm developer.evidence[1].points.4",
        "'1e1' has an exponent, write it out: expected a weight in de",
        None,
    ),
    (
        "weight-heavy",
        6,
        "causes.warm developer.evidence[1].points.4",
        "'13' is out of range: expected a weight in decibans between ",
        None,
    ),
    (
        "weight-word",
        6,
        "causes.warm developer.evidence[1].points.4",
        "'strongyl' is no weight: decibans, or a little, plainly, str",
        None,
    ),
    ("where-mapping", 19, "faults.fog.where", "expected a list, found a mapping", None),
]

FOLLOWED = {"ask-maybe": 1, "unknown-key": 1}
"""{file: mistakes that are told beside its own}: a key that is misspelt is missing as well."""


@pytest.mark.parametrize(("name", "line", "key", "phrase", "near"), MISTAKES)
def test_a_wrong_file_of_faults_is_told_with_line_key_and_nearest_word(
    name: str, line: int | None, key: str | None, phrase: str, near: str | None
) -> None:
    """Each mistake is named where it stands, and nothing beside it that only follows from it."""
    with pytest.raises(FaultsError) as raised:
        parse((WRONG / f"{name}.yaml").read_bytes(), f"{name}.yaml")
    found = [(one.line, one.key, one.nearest) for one in raised.value.problems if phrase in one.what]
    assert found == [(line, key, near)]
    assert len(raised.value.problems) == 1 + FOLLOWED.get(name, 0)


def test_every_wrong_file_has_its_phrase() -> None:
    """No file of tests/invalid/faults is left untried."""
    assert {path.stem for path in WRONG.glob("*.yaml")} == {row[0] for row in MISTAKES}


@pytest.mark.parametrize(
    "do",
    [
        "Add 1 mL of alcohol to 20 mL of developer for one plate: does it flow?",
        "Mix a little with plain collodion and pour one plate.",
        "Add a few drops of water to a little varnish.",
        "Boil a sample of the bath in a dish.",
        "Lay blue litmus paper into the bath.",
    ],
)
def test_a_test_on_a_sample_alters_no_bottle(do: str) -> None:
    """What is tried in a cup, on some millilitres or with paper is a test; the same in the bottle is none."""
    assert altered_by_test(do) is None


@pytest.mark.parametrize(
    "do", ["Boil the bath.", "Add a little alcohol to the developer.", "Top up the bath."]
)
def test_a_test_in_the_bottle_alters_it(do: str) -> None:
    """What is done to the whole bottle is no test, whatever comes of it."""
    assert altered_by_test(do) is not None


@pytest.mark.parametrize(
    ("remedy", "word"),
    [
        ("Filter the collodion.", "collodion"),
        ("Pour a little alcohol over it.", "alcohol"),
        ("Wipe the glass with spirit.", "spirit"),
        ("Thin it with ether.", "ether"),
    ],
)
def test_what_takes_fire_needs_a_caution(remedy: str, word: str) -> None:
    """A remedy or a test with collodion, ether, alcohol or spirit says how it can hurt (common practice)."""
    own = "causes:\n  own cause:\n    usual: 0.02\n    source: my own\n"
    for text, key in (
        (f"{own}    remedy: {remedy}\n", "remedy"),
        (f"{own}    remedy: Wait.\n    test: {{do: {remedy}, shown: 5, absent: -5}}\n", "test.do"),
    ):
        with pytest.raises(FaultsError) as raised:
            parse(text, "own.yaml")
        assert any(
            one.key == f"causes.own cause.{key}" and f"'{word}' can hurt" in one.what
            for one in raised.value.problems
        ), raised.value.problems
        cautioned = f"{text}    alters: collodion\n    cautions: No flame near.\n"
        if key == "test.do":
            assert len(parse(cautioned, "own.yaml").causes) == 1
