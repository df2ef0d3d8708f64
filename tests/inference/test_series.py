"""Packing moves readings to the left without losing or inventing any."""

import numpy as np

from lugbook.inference.series import median_of_rows, pack_series

NAN = np.nan


def test_readings_move_left_in_order_of_time_whatever_the_order_of_the_columns() -> None:
    day = np.array([300.0, 100.0, 200.0])
    table = np.array([[3.0, 1.0, NAN], [NAN, NAN, 2.0]])

    packed = pack_series(day, ~np.isnan(table))

    assert packed.count.tolist() == [2, 1]
    assert packed.take(table, 0.0).tolist() == [[1.0, 3.0], [2.0, 0.0]]
    assert packed.take_columns(day).tolist() == [[100.0, 300.0], [200.0, 0.0]]


def test_spreading_undoes_packing() -> None:
    day = np.array([300.0, 100.0, 200.0, 50.0])
    table = np.array([[3.0, 1.0, NAN, 4.0], [NAN, NAN, 2.0, NAN], [NAN, NAN, NAN, NAN]])
    packed = pack_series(day, ~np.isnan(table))

    again = packed.spread(packed.take(table, 0.0), 4, NAN)

    np.testing.assert_array_equal(again, table)


def test_the_median_of_a_row_leaves_holes_out() -> None:
    table = np.array([[5.0, NAN, 1.0, 2.0], [4.0, NAN, NAN, 1.0], [NAN, NAN, NAN, NAN]])

    assert median_of_rows(table).tolist() == [2.0, 2.5, 0.0]
