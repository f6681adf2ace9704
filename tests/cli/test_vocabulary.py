"""`fightnotes vocabulary`, as an analyst uses it, and what holds after the next build."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from rdflib import Graph
from rdflib.compare import isomorphic

from tests.conftest import MakeLibrary, RunCommand

VOCABULARY = """\
# House words
concepts:
  - id: punch
    label: punch

  - id: jab
    label: jab
    also: [lead straight]   # never the hook
    misheard: [job]
    broader: punch
    definition: "A straight punch with the lead hand."

  - {id: stick, label: stick, broader: punch, related: [slip]}
  # ---- defence
  - {id: slip, label: slip}
terms:
  - {say: ropes}
"""
NOTE = """\
---
bout: a-b-2031
title: A v B
red: {name: Ines Corvale}
blue: {name: Rika Brandaal}
analyst: mk
---
## Round 1
- R1 1:40 Corvale in behind it. #jab by:corvale   
- R1 1:20 Twice. #jab #stick by:corvale outcome:landed
- R1 0:58 Off the line #slip(by:brandaal) #lead-straight(by:corvale outcome:missed)
"""
OTHER = "---\r\nbout: c-d-2031\r\ntitle: C v D\r\nanalyst: dv\r\n---\r\n- R1 0:10 Again #Jab.\r\n- \xff\r\n"


@pytest.fixture
def root(make_library: MakeLibrary) -> Path:
    root = make_library({"vocabulary.yaml": VOCABULARY, "bouts/a.md": NOTE})
    (root / "bouts/b.md").write_bytes(OTHER.encode("latin-1"))
    return root


def contents(root: Path) -> dict[str, bytes]:
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and path.relative_to(root).parts[0] not in (".fightnotes", "undo")
    }


def changed(before: bytes, after: bytes) -> tuple[list[bytes], list[bytes]]:
    """Lines gone and lines come, endings kept, where the two have equally many."""
    pairs = list(zip(before.splitlines(True), after.splitlines(True), strict=True))
    return [old for old, new in pairs if old != new], [new for old, new in pairs if old != new]


def tagged(fightnotes: RunCommand, root: Path, tag: str) -> set[tuple[str, int]]:
    """Where `find --tag` finds the tag after a build."""
    assert fightnotes("build", "--library", root).exit_code in (0, 1)  # b.md holds a byte that is no UTF-8
    words = ("find", "again twice off the line behind", "--library", root, "--tag", tag, "--format", "json")
    result = fightnotes(*words)
    assert result.exit_code == 0, result.stderr
    return {(hit["file"], hit["line"]) for hit in json.loads(result.stdout)["hits"]}


def test_show_gives_the_tree_with_labels_and_use(fightnotes: RunCommand, root: Path) -> None:
    table = fightnotes("vocabulary", "show", "--library", root)
    assert table.exit_code == 0
    lines = [line.split() for line in table.stdout.splitlines()]
    assert ["punch", "punch", "0", "4"] in lines
    assert ["jab", "jab,", "lead", "straight", "4", "4", "mk", "3,", "dv", "1"] in lines
    assert "misheard: job" in table.stdout
    assert "  jab" in table.stdout
    assert "A straight punch" not in table.stdout
    one = fightnotes("vocabulary", "show", "Lead-Straight", "--definitions", "--library", root)
    assert "A straight punch with the lead hand." in one.stdout
    assert "stick" not in one.stdout
    unknown = fightnotes("vocabulary", "show", "jib", "--library", root)
    assert (unknown.exit_code, unknown.stdout) == (2, "")
    assert "the nearest is jab" in unknown.stderr


def test_show_as_json_and_csv(fightnotes: RunCommand, root: Path) -> None:
    document = json.loads(fightnotes("vocabulary", "show", "--library", root, "--format", "json").stdout)
    assert [each["id"] for each in document["concepts"]] == ["punch", "jab", "stick", "slip"]
    assert document["terms"] == [{"say": "ropes", "misheard": []}]
    assert document["concepts"][0]["narrower"] == ["jab", "stick"]
    assert document["concepts"][1]["used"] == {"tags": 4, "moments": 4, "bouts": 2, "analysts": {"mk": 3, "dv": 1}}
    rows = csv.DictReader(io.StringIO(fightnotes("vocabulary", "show", "--library", root, "--format", "csv").stdout))
    assert {row["id"]: (row["tags"], row["moments"], row["also"]) for row in rows} == {
        "punch": ("0", "4", ""), "jab": ("4", "4", "lead straight"), "stick": ("1", "1", ""), "slip": ("1", "1", ""),
    }  # fmt: skip


def test_a_concept_under_two_is_told_once_and_a_cycle_ends(fightnotes: RunCommand, root: Path) -> None:
    text = "concepts:\n- {id: a, label: a}\n- {id: b, label: b}\n- {id: c, label: c, broader: [a, b]}\n"
    text += "- {id: d, label: d, broader: c}\n- {id: x, label: x, broader: y}\n- {id: y, label: y, broader: x}\n"
    (root / "vocabulary.yaml").write_text(text)
    result = fightnotes("vocabulary", "show", "--library", root)
    body = [line.split()[0] for line in result.stdout.splitlines()[2:]]
    assert body == ["a", "c", "d", "b", "c", "x", "y", "x"]
    assert result.stdout.count("(see above)") == 2
    assert "vocabulary.yaml has problems: see `fightnotes vocabulary check`" in result.stderr


@pytest.mark.parametrize(
    ("old", "new", "named"),
    [
        ("misheard: [job]", "misheard: [lead-straight]", "S13: 'lead-straight' is both alternative and hidden"),
        ("label: jab", "label: [jab, poke]", "S14: a second preferred label, 'poke'"),
        ("related: [slip]", "related: [punch]", "S27: stick is related to punch, which is above it"),
        ("label: punch", "label: punch\n    broader: jab", "cycle: punch is below jab is below punch"),
        ("{id: slip, label: slip}", "{id: slip, label: Jab}", "'Jab' names both jab (line 6) and slip"),
        ("broader: punch\n", "broader: punhc\n", "no such concept: broader of jab names 'punhc'"),
        ("concepts:", "concepts: [", "vocabulary.yaml:"),
    ],
)
def test_check_names_the_condition_and_its_place(
    fightnotes: RunCommand, root: Path, old: str, new: str, named: str
) -> None:
    assert fightnotes("vocabulary", "check", "--library", root).exit_code == 0
    (root / "vocabulary.yaml").write_text(VOCABULARY.replace(old, new, 1))
    result = fightnotes("vocabulary", "check", "--library", root)
    assert result.exit_code == 1
    assert named in result.stdout
    assert result.stdout.startswith("vocabulary.yaml:")
    document = json.loads(fightnotes("vocabulary", "check", "--library", root, "--format", "json").stdout)
    assert document["problems"]
    assert {each["file"] for each in document["problems"]} == {"vocabulary.yaml"}
    kind = "unreadable" if named == "vocabulary.yaml:" else "vocabulary-condition"
    assert {each["kind"] for each in document["problems"]} == {kind}
    table = fightnotes("vocabulary", "check", "--library", root, "--format", "csv").stdout
    assert {row["kind"] for row in csv.DictReader(io.StringIO(table))} == {kind}


def test_a_merge_is_shown_then_made_then_found_then_undone(fightnotes: RunCommand, root: Path) -> None:
    before = contents(root)
    dry = fightnotes("vocabulary", "merge", "jab", "stick", "--library", root, "--dry-run")
    assert dry.exit_code == 0
    assert contents(root) == before
    assert not (root / "undo").exists()
    made = fightnotes("vocabulary", "merge", "jab", "stick", "--library", root)
    assert made.exit_code == 0
    assert made.stdout == dry.stdout
    assert "-- R1 0:10 Again #Jab." in made.stdout.splitlines()
    assert "+- R1 0:10 Again #stick." in made.stdout.splitlines()
    after = contents(root)
    assert changed(before["bouts/a.md"], after["bouts/a.md"]) == (
        [
            b"- R1 1:40 Corvale in behind it. #jab by:corvale   \n",
            b"- R1 1:20 Twice. #jab #stick by:corvale outcome:landed\n",
            b"- R1 0:58 Off the line #slip(by:brandaal) #lead-straight(by:corvale outcome:missed)\n",
        ],
        [
            b"- R1 1:40 Corvale in behind it. #stick by:corvale   \n",
            b"- R1 1:20 Twice. #stick by:corvale outcome:landed\n",
            b"- R1 0:58 Off the line #slip(by:brandaal) #stick(by:corvale outcome:missed)\n",
        ],
    )
    assert after["bouts/b.md"] == before["bouts/b.md"].replace(b"#Jab", b"#stick")
    everywhere = {("bouts/a.md", 9), ("bouts/a.md", 10), ("bouts/a.md", 11), ("bouts/b.md", 6)}
    assert tagged(fightnotes, root, "stick") == everywhere
    assert tagged(fightnotes, root, "jab") == everywhere, "the old word is a label of the one that is left"
    undone = fightnotes("vocabulary", "undo", "--library", root)
    assert undone.exit_code == 0
    assert "taken back: merge jab into stick" in undone.stderr
    assert contents(root) == before
    again = fightnotes("vocabulary", "undo", "--library", root)
    assert again.exit_code == 2
    assert "nothing to take back" in again.stderr


def test_undo_goes_back_step_by_step_and_outlives_the_index(fightnotes: RunCommand, root: Path) -> None:
    states = [contents(root)]
    for words in (
        ("add", "hook", "--broader", "punch", "--also", "bent arm", "--definition", "A bent-arm punch."),
        ("label", "hook", "--misheard", "hock"),
        ("rename", "jab", "--id", "poke", "--label", "poke"),
    ):
        assert fightnotes("vocabulary", *words, "--library", root).exit_code == 0
        states.append(contents(root))
    assert len(list((root / "undo").iterdir())) == 3
    dry = fightnotes("vocabulary", "undo", "--dry-run", "--library", root)
    assert "dry run: would take back: rename jab to poke 'poke'" in dry.stderr
    assert contents(root) == states.pop()
    while states:
        assert fightnotes("vocabulary", "undo", "--library", root).exit_code == 0
        assert contents(root) == states.pop()
    assert not list((root / "undo").iterdir())


def test_an_undo_whose_lines_were_changed_since_changes_nothing(fightnotes: RunCommand, root: Path) -> None:
    fightnotes("vocabulary", "rename", "jab", "--id", "poke", "--library", root)
    note = root / "bouts/a.md"
    note.write_bytes(note.read_bytes().replace(b"in behind it", b"in behind that"))
    before = contents(root)
    result = fightnotes("vocabulary", "undo", "--library", root)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "bouts/a.md:9:1" in result.stderr
    assert contents(root) == before
    assert len(list((root / "undo").iterdir())) == 1
    foreign = fightnotes("vocabulary", "undo", note, "--library", root)
    assert foreign.exit_code == 1
    assert "expected an undo file" in foreign.stderr


def test_rename_rewrites_the_tags_and_keeps_the_old_words(fightnotes: RunCommand, root: Path) -> None:
    assert (
        fightnotes("vocabulary", "rename", "jab", "--id", "poke", "--label", "poke", "--library", root).exit_code == 0
    )
    assert b"#lead-straight(" in contents(root)["bouts/a.md"], "a tag by a label that is kept stays as written"
    assert b"#jab" not in contents(root)["bouts/a.md"]
    assert len(tagged(fightnotes, root, "poke")) == 4
    assert tagged(fightnotes, root, "jab") == tagged(fightnotes, root, "poke")
    assert fightnotes("vocabulary", "check", "--library", root).exit_code == 0
    forget = ("rename", "poke", "--id", "thrust", "--label", "thrust", "--forget")
    assert fightnotes("vocabulary", *forget, "--library", root).exit_code == 0
    fightnotes("build", "--library", root)
    assert fightnotes("find", "twice", "--tag", "poke", "--library", root).exit_code == 2
    assert fightnotes("vocabulary", "rename", "slip", "--library", root).exit_code == 2


def test_split_gives_tags_to_the_parts(fightnotes: RunCommand, root: Path) -> None:
    words = ("split", "jab", "--part", "step-jab", "--part", "flick = flick jab", "--give", "bouts/a.md:9=step-jab")
    result = fightnotes("vocabulary", *words, "--give", "bouts/b.md:6:17=flick", "--library", root)
    assert result.exit_code == 0, result.stderr
    assert tagged(fightnotes, root, "step-jab") == {("bouts/a.md", 9)}
    assert tagged(fightnotes, root, "flick-jab") == {("bouts/b.md", 6)}
    assert len(tagged(fightnotes, root, "jab")) == 4
    for wrong in (
        ("--part", "x", "--give", "bouts/a.md:8=x"),
        ("--part", "x", "--give", "bouts/a.md:10=y"),
        ("--part", "x", "--give", "somewhere"),
        ("--part", "9"),
        (),
    ):
        before = contents(root)
        assert fightnotes("vocabulary", "split", "jab", *wrong, "--library", root).exit_code == 2
        assert contents(root) == before


def test_retire_gives_the_tags_to_the_broader_or_another(fightnotes: RunCommand, root: Path) -> None:
    result = fightnotes("vocabulary", "retire", "jab", "--library", root)
    assert "no concept has these labels any more: jab, lead straight, job" in result.stderr
    assert len(tagged(fightnotes, root, "punch")) == 4
    assert fightnotes("vocabulary", "retire", "slip", "--library", root).exit_code == 2
    assert fightnotes("vocabulary", "retire", "slip", "--instead", "punch", "--library", root).exit_code == 0
    assert fightnotes("vocabulary", "check", "--library", root).exit_code == 0


def test_what_would_break_a_condition_is_refused(fightnotes: RunCommand, root: Path) -> None:
    before = contents(root)
    for words, said in (
        (("add", "poke", "--also", "Jab"), "shared label: 'jab'"),
        (("add", "jab"), "same id"),
        (("add", "poke", "--broader", "nothing"), "no such concept"),
        (("add", "9"), "is no id"),
        (("label", "jab", "--misheard", "lead straight"), "S13"),
        (("merge", "jab", "jab"), "merged into itself"),
        (("merge", "jib", "jab"), "the nearest is jab"),
    ):
        result = fightnotes("vocabulary", *words, "--library", root)
        assert result.exit_code == 2, words
        assert said.lower() in result.stderr.lower()
    assert contents(root) == before


def test_a_change_as_json(fightnotes: RunCommand, root: Path) -> None:
    result = fightnotes("vocabulary", "label", "slip", "--also", "head move", "--library", root, "--format", "json")
    document = json.loads(result.stdout)
    assert document["edits"] == [
        {
            "file": "vocabulary.yaml",
            "line": 15,
            "old": ["  - {id: slip, label: slip}"],
            "new": ["  - {id: slip, label: slip, also: [head move]}"],
        }
    ]
    assert (root / document["undo_file"]).is_file()
    assert document["title"] == "add labels to slip"


def test_the_first_concept_of_a_library_without_a_vocabulary(fightnotes: RunCommand, make_library: MakeLibrary) -> None:
    root = make_library({})
    dry = fightnotes("vocabulary", "add", "jab", "--library", root, "--dry-run")
    assert "+  - id: jab" in dry.stdout
    assert not (root / "vocabulary.yaml").exists()
    assert fightnotes("vocabulary", "add", "jab", "--library", root).exit_code == 0
    assert (root / "vocabulary.yaml").read_text() == "concepts:\n  - id: jab\n    label: jab\n"


def test_export_in_both_formats_is_one_graph_and_comes_back_as_it_was(fightnotes: RunCommand, root: Path) -> None:
    """Graphs compared by rdflib.compare (RDF 1.1 graph isomorphism)."""
    turtle = fightnotes("vocabulary", "export", "--library", root)
    assert turtle.exit_code == 0
    file = root.parent / "out.jsonld"
    assert fightnotes("vocabulary", "export", file, "--library", root).exit_code == 0
    graphs = Graph().parse(data=turtle.stdout, format="turtle"), Graph().parse(file, format="json-ld")
    assert isomorphic(*graphs)
    assert len(graphs[0]) > 20
    for words in ((file,), (file, "--whole")):
        back = fightnotes("vocabulary", "import", *words, "--library", root)
        assert (back.exit_code, back.stdout) == (0, "")
        assert "nothing to change" in back.stderr
    other = fightnotes("vocabulary", "export", "--base", "urn:house:", "--format", "json-ld", "--library", root)
    assert "urn:house:jab" in other.stdout


SKOS = """\
@prefix skos: <http://www.w3.org/2004/02/skos/core#> .
<urn:x:jab> a skos:Concept ; skos:prefLabel "jab"@en, "direct"@fr ; skos:altLabel "poke"@en .
<urn:x:jab> skos:broader <urn:x:punch> .
<urn:x:punch> a skos:Concept ; skos:prefLabel "punch"@en .
<urn:x:hook> a skos:Concept ; skos:prefLabel "hook"@en ; skos:broader <urn:x:punch> .
"""


def test_import_joins_and_says_what_it_leaves_out(fightnotes: RunCommand, root: Path, tmp_path: Path) -> None:
    before = contents(root)
    file = tmp_path / "in.ttl"
    file.write_text(SKOS)
    result = fightnotes("vocabulary", "import", file, "--library", root)
    assert result.exit_code == 0
    assert "left out: 1 text in fr" in result.stderr
    text = contents(root)["vocabulary.yaml"].decode()
    assert '    also: [poke]   # never the hook\n    broader: punch\n    address: "urn:x:jab"\n\n' in text
    assert "  # ---- defence\n  - {id: slip, label: slip}\n" in text
    assert '  - {id: hook, label: hook, broader: punch, address: "urn:x:hook"}\nterms:\n' in text
    assert fightnotes("vocabulary", "undo", "--library", root).exit_code == 0
    assert contents(root) == before
    whole = fightnotes("vocabulary", "import", file, "--whole", "--library", root)
    assert "slip goes, and so many tags that name it are left without a concept: 1" in whole.stderr
    assert "slip" not in contents(root)["vocabulary.yaml"].decode()


@pytest.mark.parametrize(
    ("name", "text", "status", "said"),
    [
        ("in.ttl", "x", 1, "in.ttl:1:1"),
        (
            "in.ttl",
            SKOS.replace("hook", "\xe9t\xe9").encode("latin-1"),
            1,
            "in.ttl:5:8: found byte 0xe9, expected UTF-8",
        ),
        ("in.ttl", SKOS.encode("utf-16"), 1, "in.ttl:1:1: found UTF-16, expected UTF-8"),
        ("in.ttl", "", 1, "nothing imported: the file holds no concept"),
        ("in.jsonld", "{", 1, "in.jsonld:1"),
        ("in.skos", SKOS, 2, "in.skos: its ending tells no format"),
        ("gone.ttl", None, 1, "No such file"),
    ],
)
def test_an_import_that_cannot_be_taken_changes_nothing(
    fightnotes: RunCommand, root: Path, tmp_path: Path, name: str, text: str | bytes | None, status: int, said: str
) -> None:
    before = contents(root)
    if text is not None:
        (tmp_path / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    result = fightnotes("vocabulary", "import", tmp_path / name, "--library", root)
    assert (result.exit_code, result.stdout) == (status, "")
    assert said in result.stderr
    assert contents(root) == before


BAD = (
    SKOS
    + """\
<urn:x:roll> a skos:Concept ; skos:prefLabel "roll"@en , "shoulder roll"@en .
<urn:x:bare> a skos:Concept ; skos:broader <urn:x:punch> .
<urn:x:up> skos:prefLabel "up"@en ; skos:broader <urn:x:down> . <urn:x:down> skos:prefLabel "down"@en .
<urn:x:down> skos:broader <urn:x:up> .
<urn:x:under> skos:prefLabel "under"@en ; skos:broader <urn:x:up> , <urn:x:punch> .
<urn:x:duck> skos:prefLabel "Slip"@en .
<urn:x:one two> skos:prefLabel "one-two"@en .
"""
)
REASONS = (
    "not imported: roll <urn:x:roll>: S14: roll has 2 preferred labels in en: 'roll', 'shoulder roll'",
    "not imported: bare <urn:x:bare>: no preferred label",
    "not imported: up <urn:x:up>: cycle: up is below down is below up",
    "not imported: down <urn:x:down>: cycle: up is below down is below up",
    "not imported: duck <urn:x:duck>: shared label: 'Slip' names both slip (line 15) and duck",
    "not imported: one-two <urn:x:one two>: a broken address",
)


def test_bad_concepts_are_named_and_the_good_ones_imported(fightnotes: RunCommand, root: Path, tmp_path: Path) -> None:
    before = contents(root)
    file = tmp_path / "in.ttl"
    file.write_bytes(b"\xef\xbb\xbf" + BAD.encode())
    dry = fightnotes("vocabulary", "import", file, "--dry-run", "--library", root)
    assert (dry.exit_code, contents(root)) == (1, before)
    made = fightnotes("vocabulary", "import", file, "--library", root)
    assert made.exit_code == 1
    assert made.stdout == dry.stdout
    for said in (*REASONS, "under: left out: broader up, which is not imported"):
        assert said in made.stderr.splitlines()
        assert said in dry.stderr.splitlines()
    assert sum(line.startswith("not imported") for line in made.stderr.splitlines()) == len(REASONS)
    shown = json.loads(fightnotes("vocabulary", "show", "--library", root, "--format", "json").stdout)
    ids = [concept["id"] for concept in shown["concepts"]]
    assert sorted(ids) == ["hook", "jab", "punch", "slip", "stick", "under"]
    assert fightnotes("vocabulary", "check", "--library", root).exit_code == 0
    assert fightnotes("vocabulary", "undo", "--library", root).exit_code == 0
    assert contents(root) == before


def test_nothing_goes_by_a_file_that_is_not_sound(fightnotes: RunCommand, root: Path, tmp_path: Path) -> None:
    for text, status in ((BAD, 1), ("", 1), (SKOS, 0)):
        (tmp_path / "in.ttl").write_text(text)
        result = fightnotes("vocabulary", "import", tmp_path / "in.ttl", "--whole", "--library", root)
        assert result.exit_code == status
        assert ("no concept goes" in result.stderr) is bool(status)
        assert ("slip" in contents(root)["vocabulary.yaml"].decode()) is bool(status)


def test_a_concept_is_known_by_its_address_under_another_id(fightnotes: RunCommand, root: Path, tmp_path: Path) -> None:
    file = tmp_path / "in.ttl"
    file.write_text(SKOS)
    assert fightnotes("vocabulary", "import", file, "--library", root).exit_code == 0
    assert fightnotes("vocabulary", "rename", "hook", "--id", "bend", "--library", root).exit_code == 0
    file.write_text(SKOS.replace('"hook"', '"hooking blow"').replace("urn:x:jab", "urn:y:jab"))
    again = fightnotes("vocabulary", "import", file, "--library", root)
    assert again.exit_code == 1
    assert "not imported: jab <urn:y:jab>: the library's jab is another concept, <urn:x:jab>" in again.stderr
    text = contents(root)["vocabulary.yaml"].decode()
    assert "id: bend, label: hooking blow" in text
    assert "id: hook," not in text


@pytest.mark.parametrize(("language", "said"), [("de", ""), ("en", "de-at is taken instead: hook")])
def test_the_language_asked_for(fightnotes: RunCommand, root: Path, tmp_path: Path, language: str, said: str) -> None:
    file = tmp_path / "in.ttl"
    file.write_text(SKOS.replace('"hook"@en', '"Haken"@de-AT'))
    result = fightnotes("vocabulary", "import", file, "--language", language, "--library", root)
    assert "label: Haken" in contents(root)["vocabulary.yaml"].decode()
    assert said in result.stderr
    german = fightnotes("vocabulary", "export", "--language", "de", "--library", root)
    assert '"Haken"@de' in german.stdout
    wrong = fightnotes("vocabulary", "import", file, "--language", "en_GB", "--library", root)
    assert (wrong.exit_code, "'en_GB' is no language" in wrong.stderr) == (2, True)


def test_a_large_vocabulary_goes_in_and_out(fightnotes: RunCommand, make_library: MakeLibrary, tmp_path: Path) -> None:
    root, file, out = make_library({}), tmp_path / "in.ttl", tmp_path / "out.ttl"
    rows = [
        f'<urn:x:c{n}> skos:prefLabel "thing {n}"@en ; skos:altLabel "item {n}"@en ; skos:broader <urn:x:c{n - 1}> .'
        for n in range(1, 300)
    ]
    file.write_text("\n".join([SKOS.splitlines()[0], '<urn:x:c0> skos:prefLabel "thing 0"@en .', *rows]))
    assert fightnotes("vocabulary", "import", file, "--library", root).exit_code == 0
    assert fightnotes("vocabulary", "export", out, "--library", root).exit_code == 0
    again = fightnotes("vocabulary", "import", out, "--library", root)
    assert (again.exit_code, again.stdout) == (0, "")
