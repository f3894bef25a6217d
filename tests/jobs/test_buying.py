"""The least dear order: held against trying every order there is."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from partsbin.jobs.buying import ONE_EACH, order
from partsbin.jobs.goods import LINE, Goods, Shipping, Weights

MOST = 6


@st.composite
def _goods(draw: st.DrawFn) -> Goods:
    first = draw(st.integers(5, 60))
    breaks = [(1, first)]
    if draw(st.booleans()):
        breaks.append((draw(st.integers(2, 5)), draw(st.integers(5, first + 5))))  # a dearer one as well
    supply = draw(st.none() | st.integers(0, MOST))
    return Goods(draw(st.integers(1, 2)), tuple(breaks), draw(st.integers(1, 3)), draw(st.integers(1, 2)), supply)


@st.composite
def _cases(draw: st.DrawFn) -> tuple[list[int], list[list[int]], list[Goods], dict[int, Shipping]]:
    goods = draw(st.lists(_goods(), min_size=1, max_size=3))
    wanted = draw(st.lists(st.integers(1, 3), min_size=1, max_size=2))
    serving = [draw(st.lists(st.integers(0, len(goods) - 1), unique=True)) for _ in wanted]
    shipping = {n: Shipping(draw(st.integers(0, 40)), draw(st.none() | st.integers(20, 60))) for n in (1, 2)}
    return wanted, serving, goods, shipping


@st.composite
def _weighed(draw: st.DrawFn) -> tuple[tuple[list[int], list[list[int]], list[Goods], dict[int, Shipping]], Weights]:
    case = draw(_cases())
    weights = {(need, a): draw(st.integers(1, 3)) for need, own in enumerate(case[1]) for a in own}
    return case, weights


def _served(wanted: list[int], serving: list[list[int]], pieces: tuple[int, ...], weights: Weights) -> int:
    """Most pieces of all needs that these articles serve: every split of the first need's share tried."""

    def make(need: int, own: Sequence[int]) -> int:
        return min(wanted[need], sum(own[a] // weights.get((need, a), 1) for a in serving[need]))

    if len(wanted) == 1:
        return make(0, pieces)
    best = 0
    for taken in product(*(range(pieces[a] + 1) if a in serving[0] else (0,) for a in range(len(pieces)))):
        best = max(best, make(0, taken) + make(1, [n - t for n, t in zip(pieces, taken, strict=True)]))
    return best


def _brute(
    wanted: list[int],
    serving: list[list[int]],
    goods: list[Goods],
    shipping: dict[int, Shipping],
    weights: Weights = ONE_EACH,
) -> tuple[int, int]:
    """Most pieces served, and the least that so many cost: every number of packs of every article tried."""
    found: list[tuple[int, int]] = []
    useful = {a for own in serving for a in own}
    taken = [sum(n * weights.get((at, a), 1) for at, n in enumerate(wanted)) for a in range(len(goods))]
    top = [max(2 * MOST + 2, n + 2) for n in taken]
    for pieces in product(
        *(range(0, top[a] + item.pack, item.pack) if a in useful else (0,) for a, item in enumerate(goods))
    ):
        paid: dict[int, int] = {}
        for n, item in zip(pieces, goods, strict=True):
            price = item.price(n) if n else 0
            if price is None or (item.supply is not None and n > item.supply):
                break
            if n:
                paid[item.supplier] = paid.get(item.supplier, 0) + n * price
        else:
            cost = sum(paid.values()) + sum(shipping[s].of(sum_) for s, sum_ in paid.items())
            found.append((-_served(wanted, serving, pieces, weights), cost))
    most, least = min(found)
    return -most, least


@settings(max_examples=120, deadline=None)
@given(_cases())
def test_no_order_serves_more_or_costs_less(
    case: tuple[list[int], list[list[int]], list[Goods], dict[int, Shipping]],
) -> None:
    """Packs, minimum orders, price breaks, what the supplier has, shipping free from a sum; a line more counts a thousandth."""
    wanted, serving, goods, shipping = case
    made = order(wanted, serving, goods, shipping)
    served = sum(wanted) - sum(made.short.values())
    most, least = _brute(wanted, serving, goods, shipping)
    assert served == most
    assert least <= made.goods + made.shipping <= least + LINE * len(goods)


def test_nobody_pays_a_dearer_price_to_have_the_sending_free() -> None:
    """Three at 5 and 10 for sending are 25; four at the price of one, 24, would be sent free, but four cost 20."""
    made = order([3], [[0]], [Goods(2, ((1, 6), (2, 5)))], {2: Shipping(10, 21)})
    assert (made.goods, made.shipping) in ((15, 10), (25, 0))


@settings(max_examples=60, deadline=None)
@given(_weighed())
def test_no_order_costs_less_where_several_pieces_make_one(
    weighed: tuple[tuple[list[int], list[list[int]], list[Goods], dict[int, Shipping]], Weights],
) -> None:
    """One piece of a need takes one, two or three of an article, as a rectifier valve takes two diodes."""
    (wanted, serving, goods, shipping), weights = weighed
    made = order(wanted, serving, goods, shipping, weights=weights)
    served = sum(wanted) - sum(made.short.values())
    most, least = _brute(wanted, serving, goods, shipping, weights)
    assert served == most
    assert least <= made.goods + made.shipping <= least + LINE * len(goods)
    for article, n in made.pieces.items():
        taken = sum(k * weights[need, a] for (need, a), k in made.serves.items() if a == article)
        assert taken <= n


def test_two_that_make_one_are_bought_for_each_piece() -> None:
    """By hand: three valves take six diodes at 3, 18 in all; one at 10 each would be 30."""
    made = order([3], [[0, 1]], [Goods(1, ((1, 3),)), Goods(1, ((1, 10),))], {1: Shipping()}, weights={(0, 0): 2})
    assert (made.pieces, made.serves, made.goods) == ({0: 6}, {(0, 0): 3}, 18)


def test_more_are_bought_where_that_costs_less() -> None:
    """By hand: nine at 10 are 90, ten at 6 are 60."""
    made = order([9], [[0]], [Goods(1, ((1, 10), (10, 6)))], {1: Shipping()})
    assert (made.pieces, made.goods) == ({0: 10}, 60)


def test_one_part_that_serves_two_needs_saves_sending_twice() -> None:
    """By hand: 2 × 12 + 5 against 10 + 10 + 2 × 5."""
    goods = [Goods(1, ((1, 10),)), Goods(2, ((1, 10),)), Goods(1, ((1, 12),))]
    made = order([1, 1], [[0, 2], [1, 2]], goods, {1: Shipping(5), 2: Shipping(5)})
    assert (made.pieces, made.goods + made.shipping) == ({0: 1, 2: 1}, 27)


@given(_cases())
@settings(max_examples=60, deadline=None)
def test_needs_that_share_pieces_cost_what_the_one_that_wants_most_costs(
    case: tuple[list[int], list[list[int]], list[Goods], dict[int, Shipping]],
) -> None:
    """Two rules that the same articles serve are as one that wants the most of both."""
    wanted, serving, goods, shipping = case
    alike = [serving[0]] * len(wanted)
    both = order(wanted, alike, goods, shipping, range(len(wanted)))
    one = order([max(wanted)], serving[:1], goods, shipping)
    assert max(both.short.values(), default=0) == sum(one.short.values())
    if not one.short:
        assert both.goods + both.shipping == one.goods + one.shipping
