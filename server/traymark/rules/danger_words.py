"""Words in what a step says that stand for a danger."""

import re

from traymark.rules.procedure import Step


def danger_words(row: Step, words: list[str], places: list[str]) -> list[str]:
    """Those of the words that a written step names: title, sentences, tools, its way back, the places of its screws."""
    back = row.get("back", {"title": "", "say": []})
    texts = [row["title"], *row["say"], *row["tools"], back["title"], *back["say"], *places]
    plain = [f" {re.sub('[^a-z0-9]+', ' ', text.lower()).strip()} " for text in texts]
    return [word for word in words if any(f" {word} " in text for text in plain)]
