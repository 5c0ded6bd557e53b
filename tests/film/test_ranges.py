"""Which pictures are encoded and which are copied, on made-up indexes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.episode.cards import reading_ms
from studio.episode.records import Card, CardKind, CardRow
from studio.film.ranges import (
    PictureIndex,
    Piece,
    Showing,
    better_export,
    encoded,
    needed_ms,
    pieces,
    reorder_allowed,
    settled,
    share_text,
    showing,
)


def plain(count: int, every: int) -> PictureIndex:
    """No B-frames, a key frame every so many pictures, 25 a second."""
    return PictureIndex(Fraction(1, 25), range(count), range(count), range(0, count, every))


def reordered(
    orders: Sequence[Sequence[int]], *, times: Sequence[int] | None = None, delay: int = 2
) -> PictureIndex:
    """Groups, each given as the numbers of its pictures in order of decoding."""
    numbers, keys = [], []
    for order in orders:
        keys.append(len(numbers))
        start = len(numbers)
        numbers += [start + number for number in order]
    shown = list(times or range(0, 10 * len(numbers), 10))
    step = shown[1] - shown[0]
    early = [shown[0] - step * (delay - at) for at in range(delay)]
    dts = [*early, *shown][: len(numbers)]
    return PictureIndex(Fraction(1, 250), [shown[number] for number in numbers], dts, keys)


# key, then P with two B-frames before it, twice; then a P alone
IPBB = (0, 3, 1, 2, 6, 4, 5, 7)
PYRAMID = (0, 4, 2, 1, 3, 8, 6, 5, 7)


def test_without_reordering_every_place_is_a_cut() -> None:
    index = plain(100, 25)
    assert [index.cut_before(at) for at in (0, 1, 24, 25, 60, 99)] == [0, 1, 24, 25, 60, 99]


def test_cuts_lie_where_both_orders_hold_the_same_pictures() -> None:
    """By hand: after 0, after 0 3 1 2, and after 0 3 1 2 6 4 5 nothing is missing."""
    index = reordered([IPBB, IPBB])
    assert [index.cut_before(at) for at in range(8)] == [0, 1, 1, 1, 4, 4, 4, 7]
    assert [index.cut_before(at) for at in range(8, 16)] == [8, 9, 9, 9, 12, 12, 12, 15]
    pyramid = reordered([PYRAMID])
    assert [pyramid.cut_before(at) for at in range(9)] == [0, 1, 1, 1, 1, 5, 5, 5, 5]


@given(st.lists(st.permutations(list(range(1, 6))), min_size=1, max_size=4), st.data())
def test_a_cut_parts_both_orders_alike(orders: list[list[int]], data: st.DataObject) -> None:
    """The definition itself, on any closed groups at all."""
    index = reordered([(0, *order) for order in orders], delay=6)
    at = data.draw(st.integers(0, len(index) - 1))
    cut = index.cut_before(at)
    assert index.key_before(at) <= cut <= at
    assert sorted(index.pts[:cut]) == list(index.shown[:cut])
    later = [
        place
        for place in range(cut + 1, at + 1)
        if sorted(index.pts[:place]) == list(index.shown[:place])
    ]
    assert later == []


def test_closed_groups_are_told_from_open_ones() -> None:
    assert reordered([IPBB, PYRAMID, IPBB]).open_group() is None
    # the second key frame is followed by two pictures shown before it
    leading = PictureIndex(
        Fraction(1, 25), [2, 3, 4, 7, 5, 6, 8, 9], [0, 1, 2, 3, 4, 5, 6, 7], [0, 3]
    )
    assert leading.open_group() == 3
    assert (
        PictureIndex(Fraction(1, 25), [2, 3, 6, 4, 5, 7], [0, 1, 2, 3, 4, 5], [0, 4]).open_group()
        == 0
    )
    # a picture before the key frame is shown after it
    late = PictureIndex(Fraction(1, 25), [2, 5, 3, 4, 6], [0, 1, 2, 3, 4], [0, 3])
    assert late.open_group() == 0


@pytest.mark.parametrize(
    ("pts", "dts", "keys"),
    [
        ([], [], []),
        ([0, 1], [0, 1], [1]),
        ([0, 1], [0, 0], [0]),
        ([0, 0], [0, 1], [0]),
        ([0, 1], [0, 2], [0]),
    ],
)
def test_unsound_indexes_are_refused(pts: list[int], dts: list[int], keys: list[int]) -> None:
    with pytest.raises(ValueError, match=r"picture|key frame"):
        PictureIndex(Fraction(1, 25), pts, dts, keys)


def test_times_of_a_variable_rate_are_looked_up() -> None:
    """Pictures at 0, 40, 60, 160, 170 and 200 ms."""
    index = PictureIndex(
        Fraction(1, 100), [0, 4, 6, 16, 17, 20], [0, 4, 6, 16, 17, 20], [0], last_duration=5
    )
    assert [index.at(ms) for ms in (0, 1, 40, 41, 61, 165, 200, 201)] == [0, 1, 1, 2, 3, 4, 5, 6]
    assert index.seconds(3) == pytest.approx(0.16)
    assert index.seconds(6) == pytest.approx(0.25)


def card(start: int, end: int, words: int = 1, kind: CardKind = CardKind.MEASUREMENT) -> Card:
    return Card(
        number=1, step_id="s", kind=kind, heading="Head",
        rows=(CardRow(label=" ".join(["word"] * words), value="5"),),
        start_ms=start, end_ms=end,
    )  # fmt: skip


def test_slack_is_what_reading_leaves() -> None:
    """Ten words at 2.5 a second and one second more are five seconds: two lines below say so."""
    assert reading_ms(["w " * 10], 0) == 5000
    assert needed_ms(card(2000, 12_000, words=8)) == 5000
    one = showing(card(2000, 12_000, words=8), plain(500, 50))
    assert one == Showing(1, first=50, beyond=300, least=175)
    # one that stands too short as it is has no slack, and never less than none
    assert needed_ms(card(2000, 4000, words=20)) == 2000
    # a caution is read without its heading, and stands four seconds at least
    assert needed_ms(card(0, 9000, words=2, kind=CardKind.CAUTION)) == 4000


def test_an_end_goes_back_to_a_key_frame_within_its_slack() -> None:
    index = plain(500, 100)
    inside, outside = Showing(1, 50, 330, 300), Showing(1, 50, 330, 301)
    assert settled([inside], index)[0].beyond == 300
    assert settled([outside], index)[0].beyond == 330
    assert (encoded([inside], index), encoded(settled([inside], index), index)) == (350, 250)


def test_an_end_stays_where_moving_it_saves_nothing() -> None:
    index = plain(500, 100)
    on_key, last = Showing(1, 50, 300, 60), Showing(1, 450, 500, 460)
    assert settled([on_key, last], index) == (on_key, last)
    # the second card stands there anyway, and has no slack
    both = [Showing(1, 50, 330, 290), Showing(2, 280, 340, 340)]
    assert settled(both, index) == tuple(both)
    # with slack for both, both go back
    loose = [Showing(1, 50, 330, 290), Showing(2, 180, 340, 290)]
    assert [one.beyond for one in settled(loose, index)] == [300, 300]


def test_pieces_run_from_a_cut_to_a_key_frame() -> None:
    index = plain(500, 100)
    assert pieces([Showing(1, 130, 190, 190)], index) == (Piece(130, 200, (1,)),)
    assert pieces([Showing(1, 0, 10, 10), Showing(2, 495, 500, 500)], index) == (
        Piece(0, 100, (1,)),
        Piece(495, 500, (2,)),
    )
    assert pieces([], index) == ()
    with_b = reordered([IPBB, IPBB])
    assert pieces([Showing(1, 3, 5, 5)], with_b) == (Piece(1, 8, (1,)),)


def test_pieces_part_where_cards_come_and_go() -> None:
    """One stretch: a change of either card leaves the other and both tails as they were."""
    index = plain(600, 100)
    cards = [Showing(1, 20, 230, 230), Showing(2, 260, 450, 450)]
    assert pieces(cards, index) == (
        Piece(20, 230, (1,)),
        Piece(230, 260, ()),
        Piece(260, 450, (2,)),
        Piece(450, 500, ()),
    )
    # no part of a few pictures: a key frame each would cost more than it saves
    near = [Showing(1, 20, 230, 230), Showing(2, 235, 495, 495)]
    assert pieces(near, index) == (Piece(20, 230, (1,)), Piece(230, 500, (2,)))


@given(
    st.lists(st.tuples(st.integers(0, 199), st.integers(1, 60)), min_size=1, max_size=6),
    st.integers(1, 60),
)
def test_pieces_cover_every_card_once_and_no_more_than_its_groups(
    spans: list[tuple[int, int]], every: int
) -> None:
    index = plain(200, every)
    cards = [
        Showing(number, first, min(first + length, 200), min(first + length, 200))
        for number, (first, length) in enumerate(spans, 1)
    ]
    parts = pieces(cards, index)
    places = [at for part in parts for at in range(part.start, part.beyond)]
    assert len(places) == len(set(places)) == encoded(cards, index)
    covered = {at for one in cards for at in range(one.first, one.beyond)}
    assert covered <= set(places)
    for part in parts:
        joined = any(other.start == part.beyond for other in parts)
        assert joined or part.beyond in index.keys or part.beyond == len(index)
        for at in range(part.start, part.beyond):
            standing = {one.number for one in cards if one.first <= at < one.beyond}
            assert standing <= set(part.numbers)
    # nothing but the tails: after a card, up to the next key frame
    for at in set(places) - covered:
        assert any(one.beyond <= at < index.key_from(one.beyond) for one in cards)


def test_holding_back_is_allowed_as_far_as_the_master_does() -> None:
    """B-frames that others depend on need two pictures' delay, plain ones one, none none."""
    for delay, order in ((2, PYRAMID), (1, IPBB), (0, tuple(range(8)))):
        index = reordered([order, order], delay=delay)
        assert reorder_allowed([Piece(0, len(index), (1,))], index) == delay
    assert reorder_allowed([], plain(10, 5)) == 2


def test_holding_back_keeps_to_uneven_times() -> None:
    times = [0, 10, 20, 30, 200, 210, 220, 230]
    index = reordered([IPBB], times=times, delay=2)
    d = reorder_allowed([Piece(0, 8, (1,))], index)
    assert all(index.shown[max(0, at - d)] >= index.dts[at] for at in range(8))
    assert d == 2


def test_a_better_export_is_named_only_when_it_would_help() -> None:
    cards = [Showing(1, 100, 260, 260), Showing(2, 1000, 1100, 1100)]
    told = better_export(cards, plain(2000, 250), Fraction(25))
    # 160 and 100 pictures, tails of 15 and none: 275 of 2,000
    assert "every 25 pictures" in told
    assert "14 %" in told
    assert better_export(cards, plain(2000, 25), Fraction(25)) == ""
    assert better_export([], plain(2000, 250), Fraction(25)) == ""


def test_shares_are_told_in_whole_percents() -> None:
    assert [share_text(count, 1000) for count in (0, 4, 10, 456, 1000)] == [
        "0 %", "under 1 %", "1 %", "46 %", "100 %",
    ]  # fmt: skip
