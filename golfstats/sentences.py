"""Sentences that calculations make: English text that remembers of what it was made, so that rooms can say the same in
the language of whoever reads it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Self

Kept = Any
"""A sentence as JSON."""


class Sentence(str):
    """``Sentence("{n} of {rounds} were wet", n=3, rounds=counted(5, "round"))``: reads as its English text.

    The template is a literal where it is made, because catalogues of other languages are read from the source. Values
    are numbers as they are written in English, names, and sentences again.
    """

    __slots__ = ("begins_large", "counts", "template", "values")

    template: str
    values: Mapping[str, object]
    counts: tuple[int, str] | None
    """So many of something, which each language puts into the plural in its own way."""
    begins_large: bool
    """With a capital letter, whatever its first word is."""

    def __new__(cls, template: str, **values: object) -> Self:
        sentence = super().__new__(cls, template.format(**values) if values else template)
        sentence.template, sentence.values = template, values
        sentence.counts, sentence.begins_large = None, False
        return sentence


def words_of(error: Exception) -> str:
    """What an error says; a sentence where it was raised with one."""
    return error.args[0] if error.args and isinstance(error.args[0], Sentence) else str(error)


def as_kept(words: str) -> Kept:
    """For a document that is stored: says the same in any language when it is read again."""
    if not isinstance(words, Sentence):
        return words
    if words.counts is not None:
        return {"counts": list(words.counts)}
    values = {
        name: one if isinstance(one, int | float) else as_kept(one if isinstance(one, str) else str(one))
        for name, one in words.values.items()
    }
    return {"template": words.template, "values": values, "begins_large": words.begins_large}


def from_kept(kept: Kept) -> str:
    """The opposite of :func:`as_kept`; text stays text."""
    match kept:
        case {"counts": [int(n), str(what)]}:
            return counted(n, what)
        case {"template": str(template), "values": dict(values), "begins_large": begins_large}:
            told = {name: from_kept(one) for name, one in values.items()}
            return begun(told["begun"]) if begins_large else Sentence(template, **told)
    return str(kept)


def with_sentences(document: Mapping[str, object]) -> dict[str, object]:
    """A document to store, and in it how each of its sentences is made, by its English text."""
    return {**document, "made_of": {str(one): as_kept(one) for one in _sentences_in(document)}}


def _sentences_in(part: object) -> Iterator[Sentence]:
    if isinstance(part, Sentence):
        yield part
    elif isinstance(part, Mapping):
        for one in part.values():
            yield from _sentences_in(one)
    elif isinstance(part, list | tuple):
        for one in part:
            yield from _sentences_in(one)


def counted(n: int, what: str) -> Sentence:
    """``1 round``, ``1,200 rounds``."""
    number = f"{n:,} {what}" if n == 1 else f"{n:,} {what}s"
    sentence = Sentence(number)
    sentence.counts = n, what
    return sentence


def joined(between: str, sentences: Iterable[str]) -> Sentence:
    """One after the other; what stands between them is the same in every language."""
    parts = {f"part{place}": one for place, one in enumerate(sentences)}
    template = between.join(f"{{{name}}}" for name in parts)
    return Sentence(template, **parts)


def one_or_another(words: Sequence[Sentence]) -> Sentence:
    """``player, manager or coach``; at least one."""
    first, *others = words
    if not others:
        return first
    if len(others) > 1:
        return Sentence("{one}, {other}", one=first, other=one_or_another(others))
    return Sentence("{one} or {other}", one=first, other=others[0])


def whole(words: str) -> Sentence:
    """A sentence of its own: with a capital letter and a full stop."""
    return Sentence("{sentence}.", sentence=begun(words))


def begun(words: str) -> Sentence:
    """With a capital letter, as a sentence begins."""
    capital = f"{words[:1].upper()}{words[1:]}"
    sentence = Sentence(capital)
    sentence.template, sentence.values, sentence.begins_large = "{begun}", {"begun": words}, True
    return sentence
