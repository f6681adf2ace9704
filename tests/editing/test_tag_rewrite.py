from __future__ import annotations

import re

import pytest

from fightnotes.editing.line_edit import edited
from fightnotes.editing.tag_rewrite import retag
from fightnotes.errors import UnreadableFile
from fightnotes.model import Fields, Segment, Tag

FILE = "bouts/a.md"
NAMES = {"jab": "jab", "lead-straight": "jab", "cross": "cross", "stick": "stick"}


def segments_of(text: str) -> list[Segment]:
    """A segment a list item, its tags found by a pattern; the fields of a tag are kept as one word."""
    segments: list[Segment] = []
    lines = re.split(r"\r\n|\r|\n", text.removeprefix("\ufeff"))
    for number, line in enumerate(lines, 1):
        tags = tuple(
            Tag(
                written=match[1],
                concept=NAMES.get(match[1]),
                line=number,
                column=match.start() + 1,
                own=Fields(by=(match[2],)) if match[2] else Fields(),
            )
            for match in re.finditer(r"#([a-z-]+)(?:\(by:(\w+)\))?", line)
        )
        if line.startswith("- ") or not segments:
            places = {"line": number, "last_line": number}
            segments.append(Segment(bout="b", file=FILE, kind="note", text="", tags=tags, **places))
        else:
            last = segments[-1]
            segments[-1] = last.model_copy(update={"tags": (*last.tags, *tags), "last_line": number})
    return segments


def jab_to(target: str, text: str) -> str:
    edits = retag(segments_of(text), {FILE: text}, lambda _, tag: target if tag.concept == "jab" else None)
    return edited(FILE, text, edits)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("- R1 0:41 In. #jab by:x", "- R1 0:41 In. #stick by:x"),
        ("- the #jab lands, #lead-straight.", "- the #stick lands, #stick."),
        ("- #jab(by:x) and #cross", "- #stick(by:x) and #cross"),
        ("\ufeff- #jab\r\n- #jab  \r\n", "\ufeff- #stick\r\n- #stick  \r\n"),
        ("- é über #jab\t", "- é über #stick\t"),
        # the segment names the concept already: the tag goes, but for one that is a word of the sentence
        ("- In. #stick #jab", "- In. #stick"),
        ("- In. #jab #stick by:x", "- In. #stick by:x"),
        ("- In. #jab by:x\n  #stick", "- In. by:x\n  #stick"),
        ("- In. #stick\n  #jab", "- In. #stick\n  jab"),
        ("- a #lead-straight lands. #stick", "- a lead straight lands. #stick"),
        ("- In. #jab(by:x) #stick(by:x)", "- In. #stick(by:x)"),
        # other fields make it another act; twice the same stays twice
        ("- In. #jab(by:x) #stick(by:y)", "- In. #stick(by:x) #stick(by:y)"),
        ("- In. #jab #jab", "- In. #stick #stick"),
        ("- In. #stick\n- In. #jab", "- In. #stick\n- In. #stick"),
    ],
)
def test_tags_are_rewritten_where_they_stand(before: str, after: str) -> None:
    assert jab_to("stick", before) == after


def test_a_label_can_give_way_to_the_id_of_its_own_concept() -> None:
    text = "- #jab #lead-straight"
    edits = retag(segments_of(text), {FILE: text}, lambda _, tag: "jab" if tag.written == "lead-straight" else None)
    assert edited(FILE, text, edits) == "- #jab #jab"


@pytest.mark.parametrize("now", ["- the #cross", "- #", "", "- In #jab"])
def test_a_tag_that_is_not_at_its_place_any_more_stops_everything(now: str) -> None:
    segments = segments_of("- #jab")
    with pytest.raises(UnreadableFile, match=r"bouts/a\.md:1:3: .*expected the tag #jab as it was read"):
        retag(segments, {FILE: now}, lambda _, tag: "stick")


def test_a_file_that_was_not_handed_over_stops_everything() -> None:
    with pytest.raises(UnreadableFile, match=r"bouts/a\.md"):
        retag(segments_of("- #jab"), {}, lambda _, tag: "stick")
