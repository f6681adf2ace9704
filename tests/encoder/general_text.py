"""General English that packages carry, on which the adapted encoder is held to the vectors of its base.

WordNet 3.0's glosses and words (Debian wordnet-base), news of the Lee background corpus, Wikipedia articles and a novel
(gensim's test data), and paragraphs of the documentation strings of NumPy, scikit-learn, NetworkX and pandas. Words of
the word pairs that tests judge by are left out.
"""

from __future__ import annotations

import ast
import bz2
import importlib.util
import random
import re
from collections.abc import Iterator
from pathlib import Path

WORDNET = Path("/usr/share/wordnet")
_DOCUMENTED = ("numpy", "sklearn", "networkx", "pandas")
HELD_OUT = "scipy"
"""A package whose documentation is kept for measuring."""
_SEED = 20310308
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z\"“])")


def package_folder(name: str) -> Path:
    spec = importlib.util.find_spec(name)
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError(name)
    return Path(spec.origin).parent


def gensim_file(name: str) -> Path:
    return package_folder("gensim") / "test" / "test_data" / name


def general_texts() -> list[str]:
    """About 30,000 texts, from single words to paragraphs, in a fixed order."""
    chance = random.Random(_SEED)
    glosses = [gloss for gloss, _ in _wordnet()]
    judged = _judged_words()
    words = sorted({word for _, lemmas in _wordnet() for word in lemmas} - judged)
    prose = _SENTENCE.split(" ".join(gensim_file("crime-and-punishment.txt").read_text(encoding="utf-8").split()))
    news = gensim_file("lee_background.cor").read_text(encoding="utf-8").splitlines()
    encyclopedia = list(_encyclopedia())
    manuals = [paragraph for package in _DOCUMENTED for paragraph in documentation(package)]
    joined = [" ".join(chance.sample(glosses, chance.randint(3, 8))) for _ in range(3000)]
    parts = (
        chance.sample(glosses, 8000), chance.sample(words, 4000), joined, news,
        _some(chance, [sentence for text in news for sentence in _SENTENCE.split(text)], 2000),
        _some(chance, prose, 3000), _some(chance, encyclopedia, 3000), _some(chance, manuals, 8000),
    )  # fmt: skip
    texts = [text for part in parts for text in part]
    chance.shuffle(texts)
    return texts


def documentation(package: str) -> Iterator[str]:
    """Paragraphs of prose of a package's documentation strings, each once."""
    seen: set[str] = set()
    for path in sorted(package_folder(package).rglob("*.py")):
        if "tests" in path.parts:
            continue
        try:
            tree = ast.parse(path.read_text(encoding="utf-8"))
        except (SyntaxError, UnicodeDecodeError):
            continue  # a file for another Python
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef | ast.ClassDef | ast.Module):
                for paragraph in (ast.get_docstring(node) or "").split("\n\n"):
                    text = " ".join(paragraph.split())
                    if text not in seen and 40 < len(text) < 1200 and not re.search(r">>>|----|\.\. |::| : ", text):
                        seen.add(text)
                        yield text


def summaries(package: str) -> Iterator[tuple[str, str]]:
    """The first sentence and the paragraph that follows it, of each documentation string that has both."""
    seen: set[str] = set()
    for path in sorted(package_folder(package).rglob("*.py")):
        if "tests" in path.parts:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                parts = [" ".join(part.split()) for part in (ast.get_docstring(node) or "").split("\n\n")]
                if len(parts) > 1 and parts[0] not in seen and len(parts[1]) > 120 and "----" not in parts[1]:
                    seen.add(parts[0])
                    yield parts[0], parts[1]


def _wordnet() -> Iterator[tuple[str, list[str]]]:
    """The gloss of each sense and its words."""
    for kind in ("noun", "verb", "adj", "adv"):
        for line in (WORDNET / f"data.{kind}").read_text(encoding="ascii").splitlines():
            if not line.startswith(" "):
                facts, _, gloss = line.partition(" | ")
                fields = facts.split()
                yield (
                    gloss.strip(),
                    [fields[4 + 2 * n].replace("_", " ").casefold() for n in range(int(fields[3], 16))],
                )


def _encyclopedia() -> Iterator[str]:
    name = "enwiki-latest-pages-articles1.xml-p000000010p000030302-shortened.bz2"
    with bz2.open(gensim_file(name), "rt", encoding="utf-8") as file:
        for line in file:
            text = re.sub(r"\[\[(?:[^\]|]*\|)?([^\]|]*)\]\]|'{2,}|<[^>]*>|&lt;.*?&gt;|{{.*?}}", r"\1", line).strip()
            if 150 < len(text) < 1500 and text[0].isupper() and "|" not in text and "{" not in text:
                yield text


def _judged_words() -> set[str]:
    pairs = [gensim_file(name).read_text(encoding="utf-8") for name in ("wordsim353.tsv", "simlex999.txt")]
    return {word.casefold() for text in pairs for line in text.splitlines() for word in line.split()[:2]}


def _some(chance: random.Random, texts: list[str], count: int) -> list[str]:
    return chance.sample(texts, min(count, len(texts)))
