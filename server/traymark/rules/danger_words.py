"""Words in the text of a step that point to a danger."""

import re

from traymark.rules.procedure import Step


def danger_words(row: Step, words: list[str], places: list[str]) -> list[str]:
    """Those of the words found in a written step: title, sentences, tools, its way back, where its screws sit."""
    back = row.get("back", {"title": "", "say": []})
    texts = [row["title"], *row["say"], *row["tools"], back["title"], *back["say"], *places]
    plain = [f" {re.sub('[^a-z0-9]+', ' ', text.lower()).strip()} " for text in texts]
    return [word for word in words if any(f" {word} " in text for text in plain)]
