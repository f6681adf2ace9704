"""Adapts the default encoder to the trade: low-rank factors on every linear layer, with the rest of the model frozen.

    python -m tests.encoder.gather DATA.json
    python tests/encoder/train.py --base FOLDER --data DATA.json --out factors.safetensors      # all situations
    python tests/encoder/train.py --base FOLDER --data DATA.json --hold-out                     # measured, not kept

Needs torch, transformers and safetensors alone; a minute on a GPU. Three terms are added:

- contrast: two phrasings of one situation, or a query and a phrasing, against those of the others in the batch and of
  one that is easily taken for it (InfoNCE; van den Oord, Li and Vinyals 2018), cosine times `TEMPERATURE`;
- rehearsal: a general text keeps the vector that the base gives it (1 - cosine);
- structure: the cosines among the general texts of a batch stay as they are (mean squared difference).

The factors are those of Hu et al. 2021 (LoRA): W + scale * B A, B starting at zero.
"""

from __future__ import annotations

import argparse
import json
import random
from pathlib import Path
from typing import Any

import numpy as np
import torch
from safetensors.torch import load_file, save_file
from torch import nn
from transformers import AutoTokenizer, BertConfig, BertModel

SEED = 20310308
TEMPERATURE = 20.0
SITUATIONS_A_STEP = 96
GENERAL_A_STEP = 128
LONGEST = 128
RANK = 32
STEPS = 600
RATE = 5e-4
REHEARSAL = 20.0
STRUCTURE = 100.0
"""What the three terms weigh, against 1 for contrast."""
ASKED = 0.5
"""Share of the anchors that are queries or names; the others are phrasings."""
HELD_STYLE = "image"
HELD_SHARE = 0.15
TOO_ALIKE = 0.86
"""Cosine of the base's mean vectors from which on two situations of different files are no negatives for each other."""


class LowRank(nn.Module):
    """A linear layer with trainable factors beside it."""

    def __init__(self, layer: nn.Linear, rank: int) -> None:
        super().__init__()
        self.layer = layer
        self.down = nn.Parameter(torch.empty(rank, layer.in_features))
        self.up = nn.Parameter(torch.zeros(layer.out_features, rank))
        nn.init.normal_(self.down, std=1 / layer.in_features**0.5)

    def forward(self, values: torch.Tensor) -> torch.Tensor:
        return self.layer(values) + values @ self.down.T @ self.up.T


class Encoder:
    def __init__(self, folder: str, device: str) -> None:
        self.tokenizer = AutoTokenizer.from_pretrained(folder)
        weights = load_file(f"{folder}/model.safetensors")
        self.model = BertModel(BertConfig.from_pretrained(folder), add_pooling_layer=False)
        self.model.load_state_dict({k: v.float() for k, v in weights.items()}, strict=False)
        self.model.requires_grad_(False)
        self.model.eval().to(device)
        self.device = device
        self.known: dict[str, list[int]] = {}
        """Tokens of the texts seen so far."""

    def add_factors(self, rank: int) -> None:
        for name, module in list(self.model.named_modules()):
            if isinstance(module, nn.Linear) and name.startswith("encoder."):
                parent = self.model.get_submodule(name.rpartition(".")[0])
                setattr(parent, name.rpartition(".")[2], LowRank(module, rank).to(self.device))

    def factors(self) -> dict[str, LowRank]:
        return {name: module for name, module in self.model.named_modules() if isinstance(module, LowRank)}

    def __call__(self, texts: list[str]) -> torch.Tensor:
        new = [text for text in texts if text not in self.known]
        if new:
            self.known |= zip(new, self.tokenizer(new, truncation=True, max_length=LONGEST)["input_ids"], strict=True)
        rows = [torch.tensor(self.known[text]) for text in texts]
        ids = nn.utils.rnn.pad_sequence(rows, batch_first=True, padding_value=self.tokenizer.pad_token_id)
        ids = ids.to(self.device)
        mask = (ids != self.tokenizer.pad_token_id).unsqueeze(-1)
        found = self.model(input_ids=ids, attention_mask=mask.squeeze(-1)).last_hidden_state
        return nn.functional.normalize((found * mask).sum(1) / mask.sum(1).clamp(min=1e-9), dim=1)

    @torch.no_grad()
    def encode(self, texts: list[str]) -> np.ndarray[Any, Any]:
        order = sorted(range(len(texts)), key=lambda number: len(texts[number]))
        found = np.empty((len(texts), 384), dtype=np.float32)
        for begin in range(0, len(order), 512):
            batch = order[begin : begin + 512]
            found[batch] = self([texts[number] for number in batch]).float().cpu().numpy()
        return found


class Drawn:
    """Batches of situations: two texts of each and one of a situation near it."""

    def __init__(self, situations: list[dict[str, Any]], styles: list[str], means: dict[str, Any]):
        self.situations = situations
        self.by_id = {one["id"]: one for one in situations}
        self.texts = {one["id"]: [text for style in styles for text in one["said"][style]] for one in situations}
        self.chance = random.Random(SEED)
        matrix = np.stack([means[one["id"]] for one in situations])
        alike = matrix @ matrix.T > TOO_ALIKE
        files = np.array([one["file"] for one in situations])
        groups = np.array([one["group"] for one in situations])
        named = np.array([[other["id"] in one["near"] for other in situations] for one in situations])
        self.skipped = (groups[:, None] == groups) | (alike & (files[:, None] != files) & ~named & ~named.T)
        self.place = {one["id"]: number for number, one in enumerate(situations)}

    def step(self) -> tuple[list[str], list[str], list[str], torch.Tensor]:
        """Anchors, positives, and near ones; and which of positives and near ones do not count, row by row."""
        chosen = self.chance.sample(range(len(self.situations)), min(SITUATIONS_A_STEP, len(self.situations)))
        anchors, positives, near, near_places = [], [], [], []
        for number in chosen:
            one = self.situations[number]
            texts = self.texts[one["id"]]
            first, second = self.chance.sample(texts, 2)
            if self.chance.random() < ASKED:
                first = self.chance.choice([*one["ask"], one["name"]])
            anchors.append(first)
            positives.append(second)
            known = [name for name in one["near"] if name in self.by_id] or [self.chance.choice(self.situations)["id"]]
            other = self.chance.choice(known)
            near.append(self.chance.choice(self.texts[other]))
            near_places.append(self.place[other])
        columns = chosen + near_places
        skipped = torch.tensor(self.skipped[np.ix_(chosen, columns)])
        skipped[torch.arange(len(chosen)), torch.arange(len(chosen))] = False
        return anchors, positives, near, skipped


def train(encoder: Encoder, data: dict[str, Any], situations: list[dict[str, Any]], styles: list[str]) -> None:
    torch.manual_seed(SEED)
    means = _means(encoder, situations)
    general = data["general"]
    kept = torch.tensor(encoder.encode(general))
    encoder.add_factors(RANK)
    parameters = [p for module in encoder.factors().values() for p in (module.down, module.up)]
    optimiser = torch.optim.AdamW(parameters, lr=RATE)
    schedule = torch.optim.lr_scheduler.LambdaLR(
        optimiser, lambda step: min(1.0, (step + 1) / 30) * max(0.02, 1 - step / STEPS)
    )
    drawn = Drawn(situations, styles, means)
    chance = random.Random(SEED)
    for step in range(STEPS):
        anchors, positives, near, skipped = drawn.step()
        count = len(anchors)
        vectors = encoder([*anchors, *positives, *near])
        logits = TEMPERATURE * vectors[:count] @ vectors[count:].T
        logits = logits.masked_fill(skipped.to(encoder.device), -1e4)
        back = (TEMPERATURE * vectors[count : 2 * count] @ vectors[:count].T).masked_fill(
            skipped[:, :count].to(encoder.device), -1e4
        )
        right = torch.arange(count, device=encoder.device)
        contrast = (nn.functional.cross_entropy(logits, right) + nn.functional.cross_entropy(back, right)) / 2
        rows = chance.sample(range(len(general)), GENERAL_A_STEP)
        mine, theirs = encoder([general[row] for row in rows]), kept[rows].to(encoder.device)
        rehearsal = (1 - (mine * theirs).sum(1)).mean()
        structure = ((mine @ mine.T - theirs @ theirs.T) ** 2).mean()
        loss = contrast + REHEARSAL * rehearsal + STRUCTURE * structure
        optimiser.zero_grad()
        loss.backward()
        optimiser.step()
        schedule.step()
        if step % 100 == 0:
            print(f"{step} contrast {contrast:.3f} rehearsal {rehearsal:.4f} structure {structure:.5f}", flush=True)


def _means(encoder: Encoder, situations: list[dict[str, Any]]) -> dict[str, Any]:
    """By id, the mean of the base's vectors of its phrasings, of length 1."""
    means = {}
    for one in situations:
        mean = encoder.encode([text for texts in one["said"].values() for text in texts]).mean(0)
        means[one["id"]] = mean / np.linalg.norm(mean)
    return means


def save_factors(encoder: Encoder, path: Path, base_sha256: str, about: dict[str, str]) -> None:
    """In half precision: `<layer>.down` of shape (rank, in) and `<layer>.up` of shape (out, rank)."""
    tensors = {}
    for name, module in encoder.factors().items():
        tensors[f"{name}.down"] = module.down.detach().half().cpu().contiguous()
        tensors[f"{name}.up"] = module.up.detach().half().cpu().contiguous()
    save_file(tensors, str(path), metadata={"base": f"sha256:{base_sha256}", **about})


# Measuring


def split(situations: list[dict[str, Any]]) -> tuple[list[dict[str, Any]], ...]:
    """To train on, to choose by, to report: by whole groups, so that no situation stands on two sides."""
    groups = sorted({one["group"] for one in situations})
    random.Random(SEED).shuffle(groups)
    count = int(HELD_SHARE * len(groups))
    choose, report = set(groups[:count]), set(groups[count : 2 * count])
    return (
        [one for one in situations if one["group"] not in choose | report],
        [one for one in situations if one["group"] in choose],
        [one for one in situations if one["group"] in report],
    )


def answered(encoder: Encoder, asked: list[dict[str, Any]], styles: list[str], pool: list[dict[str, Any]]) -> float:
    """nDCG@10 of the queries of some situations over the phrasings, in some styles, of a pool that holds them."""
    texts = [(one["group"], text) for one in pool for style in styles for text in one["said"][style]]
    vectors = encoder.encode([text for _, text in texts])
    owners = np.array([group for group, _ in texts])
    queries = [(one["group"], text) for one in asked for text in one["ask"]]
    scores = encoder.encode([text for _, text in queries]) @ vectors.T
    gains = []
    for (group, _), row in zip(queries, scores, strict=True):
        hits = owners[np.argsort(-row)[:10]] == group
        discounts = 1 / np.log2(np.arange(2, 12))
        best = discounts[: min(10, int((owners == group).sum()))].sum()
        gains.append(float((hits * discounts).sum() / best))
    return float(np.mean(gains))


def general_measures(encoder: Encoder, data: dict[str, Any]) -> dict[str, float]:
    from scipy.stats import pearsonr, spearmanr

    found = {}
    for name, pairs in data["pairs"].items():
        left, right = (encoder.encode([pair[side] for pair in pairs]) for side in (0, 1))
        found[name] = float(spearmanr((left * right).sum(1), [pair[2] for pair in pairs])[0])
    lee = encoder.encode(data["lee"]["texts"])
    upper = np.triu_indices(len(lee), 1)
    human = np.array(data["lee"]["similarities"])
    human = human.reshape(len(lee), len(lee))[upper]
    found["Lee"] = float(pearsonr((lee @ lee.T)[upper], human)[0])
    heads, bodies = (encoder.encode([pair[side] for pair in data["summaries"]]) for side in (0, 1))
    scores = heads @ bodies.T
    ranks = (scores >= scores.diagonal()[:, None]).sum(1)
    found["SciPy summaries, MRR"] = float((1 / ranks).mean())
    return found


def measures(encoder: Encoder, data: dict[str, Any], parts: tuple[list[dict[str, Any]], ...]) -> dict[str, float]:
    training, choose, report = parts
    every = list(data["situations"][0]["said"])
    return {
        "choose": answered(encoder, choose, every, choose + report),
        "choose, among all": answered(encoder, choose, every, data["situations"]),
        "style kept out": answered(encoder, training, [HELD_STYLE], training),
        "report": answered(encoder, report, every, choose + report),
        "report, among all": answered(encoder, report, every, data["situations"]),
        **general_measures(encoder, data),
    }


def main() -> None:
    ask = argparse.ArgumentParser()
    ask.add_argument("--base", required=True)
    ask.add_argument("--data", required=True)
    ask.add_argument("--out", type=Path)
    ask.add_argument("--base-sha256", default="")
    ask.add_argument("--hold-out", action="store_true", help="keep situations and a style out, and measure on them")
    given = ask.parse_args()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    data = json.loads(Path(given.data).read_text(encoding="utf-8"))
    parts = split(data["situations"])
    encoder = Encoder(given.base, device)
    styles = list(data["situations"][0]["said"])
    before = measures(encoder, data, parts) if given.hold_out else {}
    training = parts[0] if given.hold_out else data["situations"]
    train(encoder, data, training, [style for style in styles if style != HELD_STYLE or not given.hold_out])
    if given.hold_out:
        after = measures(encoder, data, parts)
        for name, value in after.items():
            print(f"  {name:24} {before[name]:.4f} -> {value:.4f}", flush=True)
    if given.out:
        about = {"rank": str(RANK), "seed": str(SEED), "steps": str(STEPS)}
        save_factors(encoder, given.out, given.base_sha256, about)


if __name__ == "__main__":
    main()
