"""Sounds against what others say of them.

- Metaphone, by which the audit compares labels: L. Philips, Hanging on the Metaphone, Computer Language 7 (12), 1990.
  Its rules are from memory, one word for each; the keys are jellyfish's.
- The distance of sounds (Wagner and Fischer 1974): with each cost 1 it is Levenshtein's, as rapidfuzz computes it.
- Letters to sounds: homophones, as school-books list them, from memory; and Metaphone, another way to the same end.
"""

from __future__ import annotations

import jellyfish
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import Levenshtein

from fightnotes.language import sounds
from fightnotes.language.sounds import alike, alike_pairs, sounds_of

RULES = {
    "knot": "NT", "gnome": "NM", "wrap": "RP", "xenon": "SNN", "whale": "WL",  # at the beginning
    "dumb": "TM", "thumb": "0M",  # B behind M at the end; TH
    "church": "XRX", "city": "ST", "cat": "KT", "nation": "NXN", "ship": "XP",  # C, TI, SH
    "judge": "JJ", "phone": "FN", "quick": "KK", "vice": "FS", "zoo": "S", "box": "BKS",
}  # fmt: skip
HOMOPHONES = """
bare/bear brake/break cheque/check faint/feint role/roll knight/night write/right pail/pale sail/sale waist/waste
weak/week tail/tale steal/steel road/rode pair/pear knot/not peace/piece plain/plane sore/soar sum/some son/sun
their/there through/threw wrap/rap wring/ring would/wood hair/hare heal/heel hole/whole made/maid mail/male
meat/meet main/mane sea/see sight/site stair/stare toe/tow way/weigh bored/board course/coarse flour/flower
great/grate groan/grown higher/hire mussel/muscle pause/paws praise/prays scene/seen sweet/suite
"""
UNLIKE = "jab/hook cross/feint parry/clinch southpaw/body step/guard pivot/knee"


def pairs_of(text: str) -> list[list[str]]:
    return [pair.split("/") for pair in text.split()]


@pytest.mark.parametrize(("word", "key"), RULES.items())
def test_metaphone_follows_its_rules(word: str, key: str) -> None:
    assert jellyfish.metaphone(word) == key


said = st.text(st.sampled_from("abdekmnrstSTCJ@I"), max_size=12)


@given(st.lists(st.tuples(said, said), min_size=1, max_size=20))
def test_with_each_cost_1_the_distance_is_levenshtein_s(pairs: list[tuple[str, str]]) -> None:
    end = sounds._SOUNDS.index(sounds._END)
    losses, costs = np.ones_like(sounds._LOSS_OF), 1 - np.eye(len(sounds._SOUNDS), dtype=np.float32)
    losses[end], costs[end, :], costs[:, end] = 0, np.inf, np.inf
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sounds, "_LOSS_OF", losses)
        patch.setattr(sounds, "_COST_OF", costs)
        ours = alike_pairs([one for one, _ in pairs], [other for _, other in pairs])
    theirs = [Levenshtein.normalized_similarity(one, other) if one or other else 0 for one, other in pairs]
    assert ours == pytest.approx(theirs, abs=1e-6)


@given(said, said)
def test_likeness_is_even_and_whole_for_the_same(one: str, other: str) -> None:
    assert alike(one, other) == pytest.approx(alike(other, one), abs=1e-6)
    assert 0 <= alike(one, other) <= 1
    assert alike(one, one) == (1 if one else 0)


def test_homophones_sound_alike_and_other_words_do_not() -> None:
    likeness = [alike(sounds_of(one), sounds_of(other)) for one, other in pairs_of(HOMOPHONES)]
    assert np.mean(np.array(likeness) >= 0.85) >= 0.9
    assert min(likeness) >= 0.6
    assert max(alike(sounds_of(one), sounds_of(other)) for one, other in pairs_of(UNLIKE)) < 0.5


def test_as_many_homophones_sound_the_same_as_have_one_metaphone_key() -> None:
    ours = sum(alike(sounds_of(one), sounds_of(other)) >= 0.85 for one, other in pairs_of(HOMOPHONES))
    theirs = sum(jellyfish.metaphone(one) == jellyfish.metaphone(other) for one, other in pairs_of(HOMOPHONES))
    assert ours >= theirs
