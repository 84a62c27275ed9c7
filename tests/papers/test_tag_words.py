"""The digest of a tag: it changes with the words, and with nothing else."""

from dataclasses import replace

import pytest

from provenance.papers.tags.words import TagWords

TAG = TagWords(
    number="2026-001",
    variant="own",
    fields=(("number", "2026-001"), ("title", "Ebb"), ("price", "£640"), ("code", "site")),
    plain_dyes="Dyed with weld",
    stripes=(),
    price="£640",
)


def fields(**changes):
    known = dict(TAG.fields) | changes
    return replace(TAG, fields=tuple((field, text) for field, text in known.items() if text))


def test_a_tag_with_a_code_and_one_without():
    without = fields(code="")
    assert TAG.has_code and not without.has_code
    assert without.digest == TAG.digest


@pytest.mark.parametrize("same", [fields(price="£700"), fields(code="elsewhere"), fields(price="")])
def test_price_and_code_are_noted_beside_it(same):
    assert same.digest == TAG.digest


@pytest.mark.parametrize(
    "other",
    [
        fields(title="Fret"),
        fields(title="ebb"),
        fields(title=""),
        fields(care="Hand wash"),
        replace(TAG, variant="guild"),
        replace(TAG, fields=TAG.fields[::-1]),
    ],
)
def test_other_words_another_order_another_kind_are_another_tag(other):
    assert other.digest != TAG.digest


def test_a_digest_is_sixteen_signs():
    assert len(TAG.digest) == 16
    assert int(TAG.digest, 16) >= 0
