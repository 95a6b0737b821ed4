"""Sorting by dealing out first: the same order as Python's own sort, at every length where the dealing changes."""

import random

import pytest

from pvcalc.core import sorting

FEW = 50  # a shorter list is sorted as it is


@pytest.mark.parametrize("count", [0, 1, 2, FEW - 1, FEW, FEW + 1, 200, 7919, 7919 * 2, 7920])
def test_the_order_is_that_of_pythons_own_sort(count):
    values = list(range(count))
    for given in (values, values[::-1], values[count // 2:] + values[:count // 2]):
        assert sorting.sorted_soon(given) == values
        assert sorting.sorted_soon([(-value, "x") for value in given], key=lambda one: one[0]) == [(value, "x") for value in sorted(-one for one in given)]


def dealt(monkeypatch, count, strides=sorting.STRIDES):
    """The places of a falling list in the order in which the sort gets them."""
    seen = []
    monkeypatch.setattr(sorting, "STRIDES", strides)
    monkeypatch.setattr(sorting, "sorted", lambda values, key=None: seen.extend(values) or seen, raising=False)
    sorting.sorted_soon(list(range(count))[::-1])
    return [count - 1 - value for value in seen]


def test_a_long_list_is_dealt_out_so_that_no_neighbours_stay_neighbours(monkeypatch):
    assert dealt(monkeypatch, FEW - 1) == list(range(FEW - 1)), "a short one is left as it lies"
    # 7919 = 158 × 50 + 19, and 7919 = 78 × 101 + 41
    assert dealt(monkeypatch, FEW)[:4] == [0, 19, 38, 7]
    assert dealt(monkeypatch, 101)[:4] == [0, 41, 82, 22]


def test_a_stride_that_divides_the_length_is_passed_over(monkeypatch):
    assert all(all(stride % divisor for divisor in range(2, int(stride ** 0.5) + 1)) for stride in sorting.STRIDES), "each is a prime"
    assert dealt(monkeypatch, 60, strides=(3, 7, 11))[:3] == [0, 7, 14]
    assert dealt(monkeypatch, 77, strides=(7, 11))[:3] == [0, 1, 2], "when all divide it, nothing is dealt, and nothing lost"


@pytest.mark.parametrize("count", [0, 1, 2, 49, 50, 51, 1000, sorting.STRIDES[0], 2 * sorting.STRIDES[0]])
def test_every_order_and_length_is_sorted_like_the_usual_way(count):
    # 7919 cards dealt out by every 7919th would be the same card again and again: another stride must be taken.
    rising = list(range(count))
    for values in (rising, rising[::-1], random.Random(count).sample(rising, count), rising[1:] + rising[:1], [7] * count):
        given = values[:]
        assert sorting.sorted_soon(values) == sorted(values)
        assert sorting.sorted_soon(values, key=lambda value: -value) == sorted(values, reverse=True)
        assert values == given


def test_what_is_in_order_comes_back_as_a_list_of_its_own():
    values = list(range(60))
    made = sorting.sorted_soon(values)
    made.append(0)
    assert values == list(range(60))


@pytest.mark.parametrize("values", [list(range(60)), [place // 2 for place in range(60)], [7] * 60])
def test_what_is_in_order_is_not_sorted_at_all(monkeypatch, values):
    monkeypatch.setattr(sorting, "sorted", None, raising=False)
    assert sorting.sorted_soon(values) == values and sorting.sorted_soon(values[::-1], key=lambda value: -value) == values[::-1]
