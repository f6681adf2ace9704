"""The rules of the audit, in the order in which they run and are listed.

To add one: write its check in a file here and name it in `RULES`.
"""

from fightnotes.audit.rules.concepts_alike import concepts_alike
from fightnotes.audit.rules.contradicted import contradicted_fields
from fightnotes.audit.rules.denied import denied_tag
from fightnotes.audit.rules.labels_alike import labels_alike
from fightnotes.audit.rules.missing_tag import missing_tag
from fightnotes.audit.rules.notes import duplicate_note, untimed_note
from fightnotes.audit.rules.pairing import pairing
from fightnotes.audit.rules.reading import problems_of
from fightnotes.audit.rules.rule import Remark, Rule, TooLittle
from fightnotes.audit.rules.side import other_side
from fightnotes.audit.rules.tagged_differently import tagged_differently
from fightnotes.audit.rules.tags import parent_and_child, tag_form, unknown_tag
from fightnotes.audit.rules.target import contradicted_target
from fightnotes.audit.rules.tendency import between_analysts, drift
from fightnotes.audit.rules.times import heading_round, out_of_order, outside_footage, outside_rounds, overlap
from fightnotes.audit.rules.two_uses import two_uses
from fightnotes.audit.rules.usage import broad_concept, rare_concept
from fightnotes.audit.rules.written_again import written_again

RULES: tuple[Rule, ...] = (
    Rule("unreadable-part", "error", "Something in a file that could not be read.", problems_of("unreadable")),
    Rule("vocabulary-condition", "error", "The vocabulary breaks a condition that it must keep.",
         problems_of("vocabulary-condition")),
    Rule("unknown-fighter", "error", "A fighter in by: or on: who is not in the bout.", problems_of("unknown-fighter")),
    Rule("unknown-value", "error", "An outcome, target or stance that is not in the list.",
         problems_of("unknown-value")),
    Rule("impossible-time", "error", "A time that the recording or the round cannot have.",
         problems_of("impossible-time")),
    Rule("clock-direction", "error", "Round clocks that run the other way than the bout says.",
         problems_of("clock-direction")),
    Rule("outside-footage", "error", "A time past the end of a recording that is at hand.",
         outside_footage, needs="footage"),
    Rule("outside-rounds", "warning", "A time in a rest, before the first bell or past the last round.",
         outside_rounds),
    Rule("heading-round", "warning", "A time in another round than the heading says.", heading_round),
    Rule("out-of-order", "warning", "A time earlier than those above it in the file.", out_of_order),
    Rule("overlap", "advice", "A written end behind the start of the next note.", overlap),
    Rule("untimed-note", "warning", "A note with tags or fields that has no time.", untimed_note),
    Rule("duplicate-note", "warning", "A note that one analyst wrote twice.", duplicate_note),
    Rule("written-again", "advice", "A moment that one analyst noted twice, seconds apart and in other words.",
         written_again, needs="index", judged=True),
    Rule("unknown-tag", "warning", "A tag that names no concept.", unknown_tag),
    Rule("tag-form", "advice", "A tag written with a label or spelling in place of the concept's id.", tag_form),
    Rule("parent-and-child", "warning", "A concept and one above it on the same act.", parent_and_child),
    Rule("pairing", "warning", "A concept of open stances in closed ones, or the other way round.", pairing),
    Rule("denied-tag", "warning", "A tag that the note's own words deny.", denied_tag, judged=True),
    Rule("other-target", "warning", "A target that the words or other uses of the tag speak against.",
         contradicted_target, judged=True),
    Rule("other-side", "warning", "A tag for the other hand or place than the note says.", other_side, judged=True),
    Rule("other-field", "warning", "A fighter in by: or an outcome that the note's words contradict.",
         contradicted_fields, judged=True),
    Rule("missing-tag", "advice", "A note that says what a tag stands for, and lacks it.",
         missing_tag, needs="index", judged=True),
    Rule("tagged-differently", "advice", "Two notes that say the same under different tags.",
         tagged_differently, needs="index", judged=True),
    Rule("labels-alike", "advice", "Labels of two concepts that look or sound the same.", labels_alike, judged=True),
    Rule("concepts-alike", "advice", "Two concepts whose definitions or notes mean the same.",
         concepts_alike, needs="index", judged=True),
    Rule("two-uses", "advice", "A concept whose notes fall into two groups of meaning.",
         two_uses, needs="index", judged=True),
    Rule("drift", "advice", "A concept that means other things in later bouts.", drift, needs="index", judged=True),
    Rule("analysts-differ", "advice", "A concept that means other things with another analyst.",
         between_analysts, needs="index", judged=True),
    Rule("rare-concept", "advice", "A concept that is hardly used while others are.", rare_concept),
    Rule("broad-concept", "advice", "A concept on so many notes that it tells nothing.", broad_concept),
)  # fmt: skip

BY_NAME = {rule.name: rule for rule in RULES}

__all__ = ["BY_NAME", "RULES", "Remark", "Rule", "TooLittle"]
