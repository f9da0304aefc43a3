"""How good a ranking is, and how sure that is.

Sources: nDCG with the gain of the grade and a discount of log2 (Järvelin and
Kekäläinen 2002), as trec_eval counts it; intervals by the percentile bootstrap over
the questions, 95 %, with a fixed seed.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

TOP = 10
ROUNDS = 1000


def ndcg(ranking: Sequence[str], right: dict[str, int]) -> float:
    gained = sum(right.get(id_, 0) / math.log2(i + 2) for i, id_ in enumerate(ranking[:TOP]))
    ideal = sorted(right.values(), reverse=True)[:TOP]
    return gained / sum(grade / math.log2(i + 2) for i, grade in enumerate(ideal))


def reciprocal_rank(ranking: Sequence[str], right: dict[str, int]) -> float:
    return next((1 / i for i, id_ in enumerate(ranking[:TOP], 1) if id_ in right), 0.0)


def recall(ranking: Sequence[str], right: dict[str, int]) -> float:
    return len(set(ranking[:TOP]) & set(right)) / len(right)


def interval(values: Sequence[float]) -> dict[str, float]:
    """The mean of a figure and the 95 % interval of that mean."""
    chance = random.Random(20260301)
    size = len(values)
    means = sorted(sum(chance.choices(values, k=size)) / size for _ in range(ROUNDS))
    return {
        "mean": round(sum(values) / size, 4),
        "low": round(means[ROUNDS * 25 // 1000], 4),
        "high": round(means[ROUNDS * 975 // 1000 - 1], 4),
    }
