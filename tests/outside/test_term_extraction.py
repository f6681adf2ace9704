"""C-value against its paper and against an independent implementation.

Paper: K. Frantzi, S. Ananiadou, H. Mima, Automatic recognition of multi-word terms: the C-value/NC-value method,
International Journal on Digital Libraries 3 (2000), 115-130. Its worked example (section 2.3.1) is given here
from memory; frequencies and values are those that the `ncnc` package prints for the same example.
Implementation: `calc_c_value` of the PyPI package ncnc 1.0.0. It takes t(a) off once too often where candidates
nest more than two deep, so that it is compared on candidates of two to four words; deeper nesting is compared with
the paper's algorithm, followed step by step below.
"""

from __future__ import annotations

import math
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.language.term_extraction import Words, c_values
from tests.term_counts import term_candidates

WORKED = {
    "adenoid cystic basal cell carcinoma": (5, 11.6096),
    "cystic basal cell carcinoma": (11, 12.0),
    "ulcerated basal cell carcinoma": (7, 14.0),
    "recurrent basal cell carcinoma": (5, 10.0),
    "circumscribed basal cell carcinoma": (3, 6.0),
    "basal cell carcinoma": (984, 1551.3613),
}


def test_the_worked_example_of_the_paper() -> None:
    values = c_values({tuple(term.split()): frequency for term, (frequency, _) in WORKED.items()})
    for term, (_, value) in WORKED.items():
        assert values[tuple(term.split())] == pytest.approx(value, abs=5e-5)


runs = st.lists(st.sampled_from("abcd"), min_size=2, max_size=8).map(tuple)


def counted(texts: list[Words], longest: int) -> Counter[Words]:
    return Counter(
        text[first : first + length]
        for text in texts
        for length in range(2, longest + 1)
        for first in range(len(text) - length + 1)
    )


@settings(max_examples=30, deadline=None)
@given(st.lists(runs, min_size=1, max_size=4))
def test_the_ncnc_package(texts: list[Words]) -> None:
    pd = pytest.importorskip("pandas")
    calc_c_value = pytest.importorskip("ncnc.c_value").calc_c_value
    counts = counted(texts, longest=4)
    frame = pd.DataFrame.from_dict(
        {" ".join(term): count for term, count in counts.items()}, orient="index", columns=["f(a)"]
    )
    theirs = calc_c_value(frame)["c-value"].to_dict()
    ours = c_values(counts)
    assert ours == pytest.approx({tuple(term.split()): value for term, value in theirs.items()})


def by_the_book(counts: Counter[Words]) -> dict[Words, float]:
    """The paper's algorithm: from the longest down, each candidate adds f - t to t of every one nested in it."""
    t: Counter[Words] = Counter()
    c: Counter[Words] = Counter()
    values = {}
    for term in sorted(counts, key=lambda words: (-len(words), words)):
        weight = math.log2(len(term))
        values[term] = weight * (counts[term] - t[term] / c[term]) if c[term] else weight * counts[term]
        for inner in {term[i:j] for i in range(len(term)) for j in range(i + 2, len(term) + 1)} - {term}:
            if inner in counts:
                t[inner] += counts[term] - t[term]
                c[inner] += 1
    return values


@given(st.lists(runs, min_size=1, max_size=6))
def test_the_papers_algorithm_at_any_depth(texts: list[Words]) -> None:
    counts = counted(texts, longest=6)
    assert c_values(counts) == pytest.approx(by_the_book(counts))


def test_a_nested_run_that_never_stands_alone_is_worth_nothing() -> None:
    """Section 2.3 of the paper, "soft contact lens": the nested "soft contact" is no term (from memory)."""
    texts = ["The soft contact lens.", "A soft contact lens!", "Hard contact lens, contact lens."]
    values = c_values(term_candidates(texts))
    assert values["soft", "contact"] == 0
    assert values["contact", "lens"] > 0
    assert max(values, key=lambda term: values[term]) == ("soft", "contact", "lens")
