from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.editing.line_edit import edited
from fightnotes.editing.vocabulary_rewrite import rewrite_vocabulary
from fightnotes.editing.vocabulary_text import block_entry, flow_entry, scalar, sections
from fightnotes.errors import UnreadableFile
from fightnotes.model import Concept, Term, Vocabulary
from fightnotes.reading.vocabulary_file import read_vocabulary
from tests.whole_vocabulary import vocabulary_to_yaml

FILE = "vocabulary.yaml"

words = st.one_of(
    st.sampled_from(["jab", "no", "null", "~", "1:30", "a: b", "a #b", "- x", "it's", 'say "x"', "[x]", "ß é", "-"]),
    st.text(st.characters(exclude_categories=("Cs", "Cc", "Cn"), exclude_characters="\ufeff"), min_size=1, max_size=8),
)
labels = words.map(str.strip).filter(bool)
several = st.lists(labels, max_size=3, unique=True).map(tuple)
ids = st.sampled_from(["jab", "cross", "lead-hook", "slip", "teep", "été"])
links = st.lists(ids, max_size=3, unique=True).map(tuple)
concepts = st.builds(
    Concept,
    id=ids,
    label=labels,
    also=several,
    misheard=several,
    broader=links,
    related=links,
    definition=st.one_of(st.just(""), labels),
    scope=st.one_of(st.just(""), labels),
    pairing=st.sampled_from([None, "open", "closed"]),
)
terms = st.builds(Term, say=labels, misheard=several)
vocabularies = st.builds(
    Vocabulary,
    concepts=st.lists(concepts, max_size=5, unique_by=lambda concept: concept.id).map(tuple),
    terms=st.lists(terms, max_size=3, unique_by=lambda term: term.say).map(tuple),
)


@settings(deadline=None)
@given(labels)
def test_a_scalar_reads_as_the_text_in_block_and_in_flow(text: str) -> None:
    block, _ = read_vocabulary(f"terms:\n- say: {scalar(text)}\n", FILE)
    flow, _ = read_vocabulary(f"terms: [{{say: {scalar(text)}, misheard: [x]}}]\n", FILE)
    assert [term.say for term in (*block.terms, *flow.terms)] == [text, text]


@settings(max_examples=50, deadline=None)
@given(vocabularies)
def test_a_vocabulary_written_whole_is_read_again(vocabulary: Vocabulary) -> None:
    assert sections(read_vocabulary(vocabulary_to_yaml(vocabulary), FILE)[0]) == sections(vocabulary)


@st.composite
def written(draw: st.DrawFn, vocabulary: Vocabulary) -> str:
    """The vocabulary in some of the ways in which a person may write it."""
    newline = draw(st.sampled_from(["\n", "\r\n"]))
    indent = draw(st.sampled_from(["", "  "]))
    lines = draw(st.sampled_from([[], ["# House rules"], ["%YAML 1.2", "---"]]))
    for key, entries in sections(vocabulary).items():
        if not entries:
            nothing = draw(st.sampled_from([None, f"{key}:", f"{key}:  # none yet", f"{key}: []  # none yet"]))
            lines = [*lines, nothing] if nothing else lines
            continue
        lines = [*lines, f"{key}:  # {key}"]
        for entry in entries.values():
            lines += draw(st.sampled_from([[], [""], [f"{indent}# above"]]))
            style = draw(st.sampled_from(["block", "flow", "lists"]))
            if style == "flow":
                lines += [f"{indent}- {flow_entry(entry)}  # behind"]
            elif style == "block":
                lines += block_entry(entry, indent)
            else:
                for number, (name, value) in enumerate(entry.items()):
                    head = f"{indent}{'  ' if number else '- '}{name}:"
                    if isinstance(value, tuple):
                        lines += [head, *(f"{indent}    - {scalar(each)}" for each in value)]
                    else:
                        lines += [f"{head} {json.dumps(value, ensure_ascii=False)}  # note"]
            lines += draw(st.sampled_from([[], [f"{indent}    # below"]]))
    return newline.join(lines) + draw(st.sampled_from(["", newline]))


@settings(max_examples=60, deadline=None)
@given(st.data(), vocabularies, vocabularies, st.booleans())
def test_any_vocabulary_becomes_any_other_in_place(
    data: st.DataObject, before: Vocabulary, after: Vocabulary, mark: bool
) -> None:
    text = ("\ufeff" if mark else "") + data.draw(written(before))
    result = edited(FILE, text, rewrite_vocabulary(text, FILE, after))
    assert sections(read_vocabulary(result, FILE)[0]) == sections(after)
    assert result.startswith("\ufeff") == mark
    assert all(result.count(remark) == text.count(remark) for remark in ("# House rules", "# above", "# none yet"))
    if "\r\n" in text:
        assert "\n" not in result.replace("\r\n", "")


@settings(max_examples=30, deadline=None)
@given(st.data(), vocabularies)
def test_what_does_not_change_is_not_touched(data: st.DataObject, vocabulary: Vocabulary) -> None:
    text = data.draw(written(vocabulary))
    assert rewrite_vocabulary(text, FILE, vocabulary) == ()


def change(text: str, concept_id: str, **fields: object) -> str:
    vocabulary, _ = read_vocabulary(text, FILE)
    wanted = [
        Concept.model_validate({**concept.model_dump(), **fields}) if concept.id == concept_id else concept
        for concept in vocabulary.concepts
    ]
    after = Vocabulary(concepts=tuple(wanted), terms=vocabulary.terms)
    return edited(FILE, text, rewrite_vocabulary(text, FILE, after))


BLOCK = """\
concepts:
  # ---- punches
  - id: jab
    label: 'jab'
    also: [lead straight]   # mind: not the hook
    definition: >-
      A straight punch
      with the lead hand.
    # kept apart from the body jab

  - id: cross
    label: cross
    broader: jab
"""


@pytest.mark.parametrize(
    ("fields", "old", "new"),
    [
        ({"also": ("lead straight", "stick")}, "[lead straight] ", "[lead straight, stick] "),
        ({"label": "the jab"}, "'jab'", "the jab"),
        ({"definition": "Short."}, ">-\n      A straight punch\n      with the lead hand.", "Short."),
        ({"misheard": ("job",)}, "the hook\n", "the hook\n    misheard: [job]\n"),
        ({"also": ()}, "    also: [lead straight]   # mind: not the hook\n", ""),
        ({"pairing": "open"}, "hand.\n", "hand.\n    pairing: open\n"),
    ],
)
def test_one_value_changed_in_a_block(fields: dict[str, object], old: str, new: str) -> None:
    assert change(BLOCK, "jab", **fields) == BLOCK.replace(old, new, 1)


@pytest.mark.parametrize(
    ("before", "fields", "after"),
    [
        ("{id: jab, label: jab}", {"also": ("a b",)}, "{id: jab, label: jab, also: [a b]}"),
        ("{id: jab, label: jab, broader: x}", {"broader": ("x", "z")}, "{id: jab, label: jab, broader: [x, z]}"),
        ("{id: jab, label: jab, broader: x}", {"broader": ()}, "{id: jab, label: jab}"),
        ("{id: jab, label: jab, also: [a], broader: x}", {"also": (), "broader": ()}, "{id: jab, label: jab}"),
        ("{also: [a], misheard: [b], id: jab, label: jab}", {"also": (), "misheard": ()}, "{id: jab, label: jab}"),
        ("{id: jab, also: [a], label: jab}", {"also": ()}, "{id: jab, label: jab}"),
        ("{id: jab, label: jab, also: [a, b, c]}", {"also": ("a", "c")}, "{id: jab, label: jab, also: [a, c]}"),
        ("{id: jab, label: jab, also: [a, b]}", {"also": ("a",)}, "{id: jab, label: jab, also: [a]}"),
        ("{id: jab, label: jab, related: [x, w]}", {"related": ("z", "w")}, "{id: jab, label: jab, related: [z, w]}"),
        ("{id: jab, label: jab, also: }", {"also": ("a",)}, "{id: jab, label: jab, also: [a] }"),
    ],
)
def test_one_value_changed_in_braces(before: str, fields: dict[str, object], after: str) -> None:
    tail = "  - {id: x, label: the x}\n  - {id: w, label: the w}\n  - {id: z, label: the z}\n"
    assert change(f"concepts:\n  - {before}\n{tail}", "jab", **fields) == f"concepts:\n  - {after}\n{tail}"


def test_the_key_behind_the_dash_goes() -> None:
    text = "concepts:\n- also: [a]\n  misheard: [b]\n  id: jab\n  scope: x\n  label: jab\n"
    assert change(text, "jab", also=(), misheard=(), scope="") == "concepts:\n- id: jab\n  label: jab\n"


def test_a_new_concept_takes_the_style_and_the_gap_of_the_one_before_it() -> None:
    vocabulary, _ = read_vocabulary(BLOCK, FILE)
    new = Concept(id="hook", label="hook", broader=("jab",))
    behind_jab = Vocabulary(concepts=(vocabulary.concepts[0], new, vocabulary.concepts[1]))
    entry = "\n  - id: hook\n    label: hook\n    broader: jab\n"
    jab, cross = BLOCK.split("\n\n")
    assert edited(FILE, BLOCK, rewrite_vocabulary(BLOCK, FILE, behind_jab)) == f"{jab}\n{entry}\n{cross}"
    at_the_end = Vocabulary(concepts=(*vocabulary.concepts, new))
    assert edited(FILE, BLOCK, rewrite_vocabulary(BLOCK, FILE, at_the_end)) == BLOCK + entry
    braces = "concepts: [\n  {id: jab, label: jab},\n]\n"
    both = Vocabulary(concepts=(Concept(id="jab", label="jab"), new))
    assert edited(FILE, braces, rewrite_vocabulary(braces, FILE, both)) == (
        "concepts: [\n  {id: jab, label: jab},\n  {id: hook, label: hook, broader: jab},\n]\n"
    )


@pytest.mark.parametrize(
    "text", ["", "# to come\n", "concepts:\n", "concepts: []\n", "concepts:", "terms:\n- {say: ropes}\n"]
)
def test_the_first_concept_of_a_file(text: str) -> None:
    vocabulary, _ = read_vocabulary(text, FILE)
    after = Vocabulary(concepts=(Concept(id="jab", label="jab"),), terms=vocabulary.terms)
    result = edited(FILE, text, rewrite_vocabulary(text, FILE, after))
    assert sections(read_vocabulary(result, FILE)[0]) == sections(after)
    assert all(line in result for line in text.splitlines() if "concepts" not in line)


def test_a_renamed_concept_stays_where_it_is() -> None:
    vocabulary, _ = read_vocabulary(BLOCK, FILE)
    jab, cross = vocabulary.concepts
    after = Vocabulary(
        concepts=(
            jab.model_copy(update={"id": "lead-jab"}),
            cross.model_copy(update={"broader": ("lead-jab",)}),
        )
    )
    edits = rewrite_vocabulary(BLOCK, FILE, after, {"jab": "lead-jab"})
    assert edited(FILE, BLOCK, edits) == BLOCK.replace("id: jab", "id: lead-jab").replace("er: jab", "er: lead-jab")
    assert [edit.line for edit in edits] == [3, 13]


@pytest.mark.parametrize("text", ["concepts:\n  - {id: jab\n", "just text\n", "- a list\n"])
def test_a_file_that_is_no_vocabulary_is_refused(text: str) -> None:
    with pytest.raises(UnreadableFile):
        rewrite_vocabulary(text, FILE, Vocabulary(concepts=(Concept(id="jab", label="jab"),)))


def test_an_alias_gives_way_and_an_anchor_that_is_needed_is_refused() -> None:
    text = "concepts:\n- {id: jab, label: jab, also: &shared [a]}\n- {id: slip, label: slip, misheard: *shared}\n"
    assert change(text, "slip", misheard=("a", "b")) == text.replace("*shared", "[a, b]")
    with pytest.raises(UnreadableFile, match="cannot be edited in place"):
        change(text, "jab", also=("a", "b"))
    elsewhere = "base: &all\n- {id: jab, label: jab}\nconcepts: *all\n"
    with pytest.raises(UnreadableFile, match="cannot be edited in place"):
        change(elsewhere, "jab", label="stab")


COMMENTED = """\
concepts:
  - also:  # other words
      # the common one
      - 'lead straight'  # not the hook
      - stick
    # the id
    id: jab
    label:
      # not the punch
      jab
  - {id: cross, # the rear hand
     label: cross, color: red, also: [right hand, # of an orthodox
     straight right]}  # behind
terms: [
  # spoken
  {say: ropes}, # the ring's
  {say: southpaw},
]
"""
WORDS = COMMENTED[COMMENTED.index("  # other") : COMMENTED.index("    # the id") - 1]
HOISTED = "# other words  # the common one  # not the hook"
ORTHODOX = "also: [right hand, # of an orthodox\n     straight right]"


@pytest.mark.parametrize(
    ("concept", "fields", "old", "new"),
    [
        ("jab", {"also": ("stick",)}, "      - 'lead straight'  # not the hook\n", ""),
        ("jab", {"also": ("lead straight", "poke", "stick")}, "hook\n", "hook\n      - poke\n"),
        ("jab", {"label": "stab"}, "label:\n      # not the punch\n      jab", "label: stab  # not the punch"),
        ("jab", {"also": ()}, COMMENTED[12 : COMMENTED.index("# the id")], "- "),
        ("jab", {"also": ("lead poke", "stick")}, "'lead straight'", "lead poke"),
        ("jab", {"also": ("stick", "lead straight")}, WORDS, f" [stick, lead straight]  {HOISTED}"),
        ("cross", {"label": "rear"}, "label: cross,", "label: rear,"),
        ("cross", {"also": ("a",)}, ORTHODOX, f"also: [a]  # of an orthodox\n{' ' * 31}"),
        ("cross", {"also": ()}, f", {ORTHODOX}", " # of an orthodox\n     "),
    ],
)
def test_a_comment_goes_only_with_its_line(concept: str, fields: dict[str, object], old: str, new: str) -> None:
    assert old in COMMENTED
    assert change(COMMENTED, concept, **fields) == COMMENTED.replace(old, new, 1)


def test_comments_beside_entries_in_brackets_stay() -> None:
    vocabulary, _ = read_vocabulary(COMMENTED, FILE)
    southpaw = Vocabulary(concepts=vocabulary.concepts, terms=vocabulary.terms[1:])
    result = edited(FILE, COMMENTED, rewrite_vocabulary(COMMENTED, FILE, southpaw))
    assert result == COMMENTED.replace("  {say: ropes}, # the ring's\n", "  # the ring's\n")
    nothing = edited(FILE, COMMENTED, rewrite_vocabulary(COMMENTED, FILE, Vocabulary(concepts=vocabulary.concepts)))
    assert nothing.split("terms: ")[1] == "[\n  # spoken\n   # the ring's\n  \n]\n"
