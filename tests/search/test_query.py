"""How a query is read: phrases, words, labels, names and their parts, and what it denies."""

from __future__ import annotations

import unicodedata

import pytest

from fightnotes.language.names import name_index
from fightnotes.model import Concept, Fighter, Vocabulary
from fightnotes.search.query import MOST_WORDS, Query, query_labels, read_query

PEOPLE = (
    Fighter(id="corvale", name="Ines Corvale", misheard=("core vale", "cor valley")),
    Fighter(id="brandaal", name="Rika Brandaal", also=("the Bell", "B")),
    Fighter(id="iturbena", name="Nicolás Iturbeña", also=("Nico",)),
    Fighter(id="gwernllwyd", name="Siân Gwernllwyd"),
    Fighter(id="kazehori", name="Mio Kazehori", also=("風堀 澪",)),
    Fighter(id="orzhelian", name="Davit Orzhelian", also=("Օրժելյան",)),
    Fighter(id="adawa", name="Nico Adawa", also=("Nico",)),
)
VOCABULARY = Vocabulary(
    concepts=(
        Concept(
            id="open-guard-bait",
            label="open-guard bait",
            also=("baiting with an open guard", "hands-down invitation"),
            misheard=("open god bait",),
        ),
        Concept(id="bait", label="bait"),
        Concept(id="outside-step", label="outside step", also=("outside foot position",)),
        Concept(id="jab", label="jab"),
    )
)
NAMES, LABELS = name_index(PEOPLE, misheard=True), query_labels(VOCABULARY)


def read(text: str) -> Query:
    return read_query(text, NAMES, LABELS)


def people(text: str) -> list[tuple[str, str]]:
    return [(sought.fighter, sought.role) for sought in read(text).names]


def concepts(text: str) -> list[str]:
    return [sought.concept for sought in read(text).concepts]


@pytest.mark.parametrize(
    ("text", "phrases", "words"),
    [
        ('"lead foot" outside', ("lead foot",), ("lead", "foot", "outside")),
        ("“lead foot” outside", ("lead foot",), ("lead", "foot", "outside")),
        ("„lead foot“", ("lead foot",), ("lead", "foot")),
        ('"on the ropes" "left hand"', ("on the ropes", "left hand"), ("ropes", "left", "hand")),
        ('"never closed', (), ("closed",)),
        ('"" " " "!?"', (), ()),
        ("jab Jab JAB", (), ("jab",)),
        ("find me every time when the hook was there", (), ("hook",)),
        ("jab OR hook NOT (cross NEAR/3 body*) ^text:x", (),
         ("jab", "hook", "cross", "near", "3", "body", "text", "x")),
    ],
)  # fmt: skip
def test_phrases_and_content_words(text: str, phrases: tuple[str, ...], words: tuple[str, ...]) -> None:
    assert (read(text).phrases, read(text).words) == (phrases, words)


def test_a_very_long_query_is_cut_to_so_many_words() -> None:
    assert len(read(" ".join(f"word{number}" for number in range(1000))).words) == MOST_WORDS


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("open-guard bait", ["open-guard-bait"]),
        ("open guard baits", ["open-guard-bait"]),
        ("baiting with open guard", ["open-guard-bait"]),
        ("BAITED with the Open Guard", ["open-guard-bait"]),
        ("a hands down invitation", ["open-guard-bait"]),
        ("open god bait", ["open-guard-bait"]),
        ("open-guard-bait", ["open-guard-bait"]),
        ("stepping outside", []),
        ("outside foot position and then the jab", ["outside-step", "jab"]),
        ("took the bait", ["bait"]),
        ("guard open bait", ["bait"]),
        ("bait, then an open guard bait", ["open-guard-bait", "bait"]),
        ("", []),
    ],
)
def test_labels_name_concepts_by_stem_the_longest_first(text: str, expected: list[str]) -> None:
    assert concepts(text) == expected


def test_a_label_says_what_role_it_has() -> None:
    roles = {text: read(text).concepts[0].role for text in ("outside step", "outside foot position", "open god bait")}
    assert roles == {"outside step": "id", "outside foot position": "alternative", "open god bait": "hidden"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Corvale jabs", ["corvale"]),
        ("ines corvale jabs", ["corvale"]),
        ("CORVALE'S jab", ["corvale"]),
        ("Corvale’s jab", ["corvale"]),
        ("cor valley steps", ["corvale"]),
        ("core vale's jab", ["corvale"]),
        ("Iturbena goes back", ["iturbena"]),
        ("ITURBEÑA goes back", ["iturbena"]),
        (unicodedata.normalize("NFD", "Iturbeña and Siân Gwernllwyd"), ["iturbena", "gwernllwyd"]),
        ("風堀 澪 clinches", ["kazehori"]),
        ("Օրժելյան clinches", ["orzhelian"]),
        ("Nico clinches", ["iturbena", "adawa"]),
        ("the Bell rings", ["brandaal"]),
        ("the bells ring", []),
        ("plan B", []),
        ("a vale in the core", []),
        ('"Corvale jabs"', []),
    ],
)
def test_names_in_every_form(text: str, expected: list[str]) -> None:
    assert [name for name, _ in people(text)] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Corvale hooks", {"corvale": "acts"}),
        ("outside step by Corvale", {"corvale": "acts"}),
        ("body hook on Corvale", {"corvale": "is acted on"}),
        ("left hand against Brandaal", {"brandaal": "is acted on"}),
        ("jabs to Corvale's body", {"corvale": "is acted on"}),
        ("Corvale hooks on Brandaal", {"corvale": "acts", "brandaal": "is acted on"}),
        ("Brandaal counters Corvale", {"brandaal": "acts", "corvale": "is acted on"}),
        ("Brandaal counters Corvale's jab", {"brandaal": "acts", "corvale": "acts"}),
        ("Corvale is hurt", {"corvale": "is acted on"}),
        ("Corvale gets badly shaken", {"corvale": "is acted on"}),
        ("Corvale dropped by Brandaal", {"corvale": "is acted on", "brandaal": "acts"}),
        ("Corvale dropped the hands", {"corvale": "acts"}),
        ("Corvale and Brandaal clinch", {"corvale": "acts", "brandaal": "acts"}),
        ("Corvale v Brandaal", {"corvale": "acts", "brandaal": "acts"}),
        ("hooks on Corvale and Brandaal", {"corvale": "is acted on", "brandaal": "is acted on"}),
        ("Corvale feints, Brandaal bites", {"corvale": "acts", "brandaal": "acts"}),
        ("Corvale feints and Brandaal bites", {"corvale": "acts", "brandaal": "acts"}),
        ("Orzhelian's bait copied by Iturbeña", {"orzhelian": "acts", "iturbena": "acts"}),
    ],
)
def test_who_acts_and_who_is_acted_on(text: str, expected: dict[str, str]) -> None:
    assert dict(people(text)) == expected


def test_names_are_left_out_of_words_and_meaning() -> None:
    query = read("Corvale's jab on Brandaal")
    assert (query.words, query.meaning) == (("jab",), "jab on")


def test_a_name_alone_is_looked_up_as_a_word_too() -> None:
    assert read("Corvale").words == ("corvale",)


@pytest.mark.parametrize(
    ("text", "denies", "affirmed"),
    [
        ("takes the bait", False, {"take", "bait"}),
        ("doesn't take the bait", True, set()),
        ("doesn’t bite", True, set()),
        ("steps outside without a punch", True, {"step", "outsid"}),
        ("not only the jab", False, {"onli", "jab"}),
        ("never closed his guard, then jabs", True, {"jab"}),
        ("refuses the invitation", True, set()),
    ],
)
def test_what_a_query_denies(text: str, denies: bool, affirmed: set[str]) -> None:
    assert read(text).denies is denies
    assert set(read(text).affirmed) == affirmed
