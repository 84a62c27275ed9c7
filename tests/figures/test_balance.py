"""What went in is what is in the cloth and what was left over; each case worked by hand.

Only what is in the finished piece counts as fibre: Regulation (EU) No 1007/2011 Art. 19(3) with
Annex IX, read in the text; the tolerance of three points: Art. 20(3).
"""

from fractions import Fraction

import pytest

from provenance.figures.cloth.balance import balance
from provenance.figures.fibre.of_piece import piece_fibres, piece_labels
from provenance.figures.review import check_cloth
from provenance.language.phrases import british
from provenance.records.book import read_book

STUDIO = {
    "studio/studio.yaml": "studio: Brackenfold\nmaker: Isla Wren\nlabels for: [EU, US]\n",
    "studio/yarns.yaml": "gold: {fibre: wool, weight: 1 kg, cost: 40}\n"
    "line: {fibre: linen, weight: 1 kg, cost: 41, count: 12/2 lea}\n"
    "string: {fibre: cotton, weight: 1 kg, cost: 20}\n"
    "sheen: {fibre: {wool: 50 %, silk: 50 %}, weight: 1 kg, cost: 90}\n",
    "studio/sundries.yaml": "bar: {each: 6, weighs: 300 g}\nthread: {weight: 100 g, cost: 6}\n",
}
LINEN, WOOL = "{use: warp, lot: line, weight: 111 g%s}", "{use: weft, lot: gold, weight: 94 g%s}"
BOTH = f"yarns: [{WOOL % ''}, {LINEN % ''}]\n"


@pytest.fixture
def piece(tmp_path):
    def read(text):
        number = "2026-001"
        files = {**STUDIO, f"{number}.yaml": f"number: {number}\ntitle: Headland\n{text}"}
        for name, content in files.items():
            path = tmp_path / "pieces" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, encoding="utf-8")
        book, problems = read_book(tmp_path / "pieces")
        assert not [each for each in problems if not each.is_remark]
        return book, book.pieces[number]

    return read


def told(book, piece):
    shares = piece_fibres(book, piece, balance(book, piece))
    return {
        str(one.fibre): (one.percent if one.is_certain else None, round(one.low, 1))
        for one in shares
    }


def label(book, piece, market):
    return british().tell(piece_labels(book, piece, balance(book, piece), (market,))[market].text)


def remarks(book):
    return [
        (problem.place.line, british().tell(problem.what), british().tell(problem.remedy))
        for piece in book.pieces.values()
        for problem in check_cloth(book, piece)
    ]


def test_written_waste_is_not_in_the_cloth(piece):
    # 111 - 41 = 70 g of linen beside 94 g of wool: 70 / 164 = 42.7 %
    book, made = piece(f"weight: 164 g\nyarns: [{WOOL % ''}, {LINEN % ', waste: 41 g'}]\n")
    assert told(book, made) == {"wool": (57, Fraction(573, 10)), "linen": (43, Fraction(427, 10))}
    assert balance(book, made).waste == 41
    assert label(book, made, "EU") == "57 % wool, 43 % linen"
    assert label(book, made, "US") == "57% Wool / 43% Linen"
    assert remarks(book) == []


def test_thrums_and_loom_waste_of_a_cotton_warp(piece):
    # 80 g before cutting, 18 g thrums and loom waste, 320 g of weft all in: 62 / 382 = 16.2 %
    yarns = "{use: warp, lot: string, weight: 80 g, waste: 18 g}"
    book, made = piece(f"yarns: [{yarns}, {{use: weft, lot: gold, weight: 320 g}}]\n")
    assert told(book, made)["cotton"] == (16, Fraction(162, 10))


def test_a_warp_is_reckoned_from_sett_size_and_count(piece):
    # 36 cm at 5 ends are 180 ends of 1.40 m: 252 m at 3.63 m a gram are 69.5 g. The scale leaves
    # 41 g over, so 70 g if all of that is warp, 75 g if the warp bends as much as warps do.
    text = f"weight: 164 g\nsize: 140 x 36 cm\nsett: {{ends: 5 per cm, picks: 4 per cm}}\n{BOTH}"
    book, made = piece(text)
    held = balance(book, made)
    assert held.cloth == (94, 70)
    assert held.least[1] == 70 < held.most[1] < 76  # 94 g of wool are the most there can be
    assert told(book, made)["linen"] == (43, Fraction(427, 10))
    assert remarks(book) == []


def test_a_sett_counted_on_the_loom_was_of_a_wider_cloth(piece):
    # 4.5 ends on the loom: 162 ends for 36 cm, more for the width it had: up to a quarter more.
    # 162 x 1.40 m at 3.63 m a gram: 62.5 g if it drew in nothing; 70 g lie within what it may.
    text = f"weight: 164 g\nsize: 140 x 36 cm\nsett: {{ends: 4.5 per cm{{}}}}\n{BOTH}"
    book, made = piece(text.replace("{}", " on the loom"))
    assert told(book, made)["linen"] == (None, Fraction(427, 10))
    assert balance(book, made).most[1] == pytest.approx(
        Fraction("62.5") * Fraction("1.35"), rel=0.01
    )
    # As a sett of the finished cloth it cannot be: 67.5 g at most, and the scale says 70.
    assert balance(*piece(text.replace("{}", ""))).most[1] == 111


def test_without_sett_the_waste_may_be_of_either_yarn(piece):
    # 41 g left over: all linen, 70 / 164 = 42.7 %; or all wool, 111 / 164 = 67.7 %
    book, made = piece(f"weight: 164 g\n{BOTH}")
    low, high = balance(book, made).ends([Fraction(0), Fraction(1)])
    assert (low, high) == ((94, 70), (53, 111))
    assert told(book, made) == {
        "wool": (None, Fraction(323, 10)),
        "linen": (None, Fraction(427, 10)),
    }
    assert label(book, made, "EU") == "wool, linen"
    assert label(book, made, "US") == "Wool / Linen"
    said = "how much line is in 2026-001 is not known: 70 to 111 g; its tag gives no percentages"
    assert remarks(book) == [(4, said, "write what it left over beside its weight: 'waste: 36 g'")]


def test_a_piece_that_nobody_weighed(piece):
    book, made = piece(BOTH)
    assert told(book, made) == {"wool": (None, 0), "linen": (None, 0)}
    assert [remedy.split(":")[0] for *_, remedy in remarks(book)] == ["weigh the finished piece"]


def test_nothing_left_over_needs_no_word(piece):
    book, made = piece(f"weight: 205 g\n{BOTH}")
    assert told(book, made)["linen"] == (54, Fraction(541, 10))


def test_one_blend_throughout_is_certain_whatever_was_left_over(piece):
    yarns = "{use: warp, lot: sheen, weight: 60 g}, {use: weft, lot: sheen, weight: 50 g}"
    book, made = piece(f"yarns: [{yarns}]\n")
    assert told(book, made) == {"silk": (50, 50), "wool": (50, 50)}


def test_what_sundries_weigh_is_no_cloth(piece):
    # 469 g on the scale, 300 g of bar and 5 g of thread: 164 g of cloth
    sundries = "sundries: {bar: 1, thread: 5 g}\n"
    book, made = piece(
        f"weight: 469 g\n{sundries}yarns: [{WOOL % ''}, {LINEN % ', waste: 41 g'}]\n"
    )
    assert (balance(book, made).weighed, balance(book, made).waste) == (164, 41)


def test_scale_and_waste_that_disagree_are_remarked(piece):
    # 205 - 20 - 0 = 185 g, but the piece weighs 164: 21 g more were left over
    yarns = f"yarns: [{WOOL % ', waste: 0 g'}, {LINEN % ', waste: 20 g'}]\n"
    book, _ = piece(f"weight: 164 g\n{yarns}")
    said = "2026-001 weighs 21 g less than its yarns less what they left over"
    assert remarks(book) == [(3, said, "weigh the piece again, or look at 'waste'")]
    # 2 % of 205 g: a scale errs by as much
    book, _ = piece(f"weight: 181 g\n{yarns}")
    assert remarks(book) == []


def test_no_yarn_leaves_over_more_than_it_weighs(tmp_path, piece):
    with pytest.raises(AssertionError):
        piece(f"yarns: [{LINEN % ', waste: 112 g'}]\n")
    _, problems = read_book(tmp_path / "pieces")
    [problem] = [each for each in problems if not each.is_remark]
    assert british().tell(problem.what) == "a yarn can't leave over more than its weight"
    assert (problem.place.line, problem.place.column) == (3, 54)
