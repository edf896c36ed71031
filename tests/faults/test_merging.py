"""One catalogue from several files: own entries add or replace, what is wrong between files is left out."""

from __future__ import annotations

import msgspec

from darkroom.faults.catalogue import Catalogue, Origin
from darkroom.faults.catalogue_file import parse
from darkroom.faults.merging import merge
from darkroom.faults.reading import catalogue_of

CAUSE = "  {}: {{usual: {}, remedy: Mend it., source: invented}}\n"
FAULT = "  {}: {{looks: odd, unexplained: 0.01, causes: {{{}: 0.4}}, source: invented}}\n"
SHIPPED = (
    "causes:\n" + CAUSE.format("warm developer", 0.06) + "faults:\n" + FAULT.format("fog", "warm developer")
)


def merged(*texts: tuple[str, Origin]) -> tuple[Catalogue, list[tuple[str, int | None, str, str | None]]]:
    """Return the catalogue of texts, called 1.yaml and so on, and the problems between them."""
    parts = [
        msgspec.structs.replace(parse(text, f"{number}.yaml"), origin=origin)
        for number, (text, origin) in enumerate(texts, 1)
    ]
    catalogue, problems = merge(parts)
    return catalogue, [(one.file, one.line, one.what, one.nearest) for one in problems]


def test_own_entries_add_to_the_shipped_ones() -> None:
    """An own cause and an own fault stand behind the shipped ones, and a fault may name a shipped cause."""
    own = "causes:\n" + CAUSE.format("my leak", 0.1) + "faults:\n"
    own += FAULT.format("my veil", "my leak") + FAULT.format("my edge", "warm developer")
    catalogue, problems = merged((own, "own"), (SHIPPED, "shipped"))
    assert problems == []
    assert list(catalogue.causes) == ["warm developer", "my leak"]
    assert list(catalogue.faults) == ["fog", "my veil", "my edge"]
    assert frozenset({"my leak", "my veil", "my edge"}) == catalogue.own


def test_an_own_entry_takes_the_place_of_the_shipped_one() -> None:
    """By its id, whichever file comes first; the shipped fault then has the own cause."""
    catalogue, problems = merged(
        ("causes:\n" + CAUSE.format("warm developer", 0.2), "own"), (SHIPPED, "shipped")
    )
    assert problems == []
    assert catalogue.causes["warm developer"].usual == 0.2
    assert catalogue.faults["fog"].causes == {"warm developer": 0.4}
    assert frozenset({"warm developer"}) == catalogue.own


def test_a_fault_that_names_an_unknown_cause_is_left_out_alone() -> None:
    """It is named with file, line and the nearest cause; the rest holds, the shipped fault too."""
    own = "faults:\n" + FAULT.format("fog", "warm devleoper") + FAULT.format("my edge", "warm developer")
    catalogue, problems = merged((SHIPPED, "shipped"), (own, "own"))
    assert problems == [("2.yaml", 2, "no file has the cause 'warm devleoper'", "warm developer")]
    assert catalogue.faults["fog"].causes == {"warm developer": 0.4}
    assert list(catalogue.faults) == ["fog", "my edge"]


def test_an_id_in_two_files_of_one_origin_is_told() -> None:
    """The first holds, and the second is named with where the first stands."""
    other = "causes:\n" + CAUSE.format("warm developer", 0.2)
    catalogue, problems = merged((other, "own"), (other.replace("0.2", "0.3"), "own"), (SHIPPED, "shipped"))
    assert problems == [("2.yaml", 2, "the cause 'warm developer' stands twice, first in 1.yaml:2", None)]
    assert catalogue.causes["warm developer"].usual == 0.2


def test_a_label_that_is_another_entrys_name_is_told() -> None:
    """A fault that is called like another one could never be found: it is left out."""
    own = "faults:\n" + FAULT.format("veil", "warm developer").replace("{looks", "{label: FOG, looks")
    catalogue, problems = merged((SHIPPED, "shipped"), (own, "own"))
    assert problems == [("2.yaml", 2, "the fault 'fog' stands twice, first in 1.yaml:4", None)]
    assert list(catalogue.faults) == ["fog"]


def test_a_cause_and_a_fault_may_have_one_name() -> None:
    """The two are asked for apart."""
    text = "causes:\n" + CAUSE.format("fog", 0.1) + "faults:\n" + FAULT.format("fog", "fog")
    catalogue, problems = merged((text, "own"))
    assert problems == []
    assert catalogue.fault("Fog") is not None and catalogue.cause("FOG") is not None


def test_no_fault_is_blamed_for_a_cause_in_a_file_with_mistakes() -> None:
    """The file with mistakes is told, with how many more there are; the fault that needs it is left out."""
    broken = "causes:\n" + CAUSE.format("my leak", 0.9).replace("usual", "ususal")
    fault = "faults:\n" + FAULT.format("veil", "my leak")
    shipped: tuple[str, Origin, bytes] = ("s.yaml", "shipped", SHIPPED.encode())
    catalogue, wrong = catalogue_of(
        (shipped, ("a.yaml", "own", broken.encode()), ("b.yaml", "own", fault.encode()))
    )
    (line,) = wrong
    assert line.startswith("a.yaml:2: causes.my leak") and line.endswith("(and 1 more)")
    assert list(catalogue.faults) == ["fog"]


def test_what_was_looked_for_has_one_meaning() -> None:
    """True means the shipped faults, since nobody knows which own ones there were; names mean themselves."""
    own = "faults:\n" + FAULT.format("my veil", "warm developer")
    catalogue, _ = merged((SHIPPED, "shipped"), (own, "own"))
    assert catalogue.looked_for(True) == ("fog",)
    assert catalogue.looked_for(("my veil",)) == ("my veil",)
    assert catalogue.looked_for(None) == catalogue.looked_for(False) == ()
