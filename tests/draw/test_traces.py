"""Which samples of a record are drawn."""

import pytest

from pvcalc.draw.traces import shown_samples


@pytest.mark.parametrize("count, stride", [(8, 1), (133, 1), (134, 1), (135, 2), (268, 2), (269, 3), (20000, 150)])
def test_as_few_samples_are_left_out_as_keep_a_curve_to_a_hundred_and_thirty_four(count, stride):
    assert shown_samples(count, ()) == list(range(0, count, stride)) and len(range(0, count, stride)) <= 134


def test_peaks_are_kept_in_their_order_and_once():
    assert shown_samples(300, (299, 7, 6, 8)) == sorted({*range(0, 300, 3), 7, 8, 299})
