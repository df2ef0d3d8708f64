"""How the readings of many series lie in one table: a row per series, a column per round, holes as NaN."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class PackedSeries:
    """Each series' own readings moved to the left, in order of time; M is the longest series."""

    column: Whole  # (J, M) which round column the reading came from; 0 where there is none
    present: Flags  # (J, M)
    count: Whole  # (J,) readings in each series
    as_is: bool  # a table without holes, in order of time, is its own packed form

    def take(self, table: Floats, missing: float) -> Floats:
        """The (J, M) packed form of a (J, T) table, `missing` where the series has no more readings."""
        if self.as_is:
            return table
        packed = np.take_along_axis(table, self.column, axis=1)
        return np.where(self.present, packed, missing)

    def take_columns(self, per_column: Floats) -> Floats:
        """The (J, M) packed form of a fact of each round column, such as its day; 0 where no reading is."""
        if self.as_is:
            return np.broadcast_to(per_column, self.column.shape)
        return np.where(self.present, per_column[self.column], 0.0)

    def spread(self, packed: Floats, columns: int, missing: float) -> Floats:
        """Back to a (J, T) table, `missing` where nothing was read."""
        if self.as_is:
            return packed
        table = np.full((len(self.count), columns), missing)
        rows, places = np.nonzero(self.present)
        table[rows, self.column[rows, places]] = packed[rows, places]
        return table


def pack_series(day: Floats, read: Flags) -> PackedSeries:
    """Pack a table whose cells `read` (J, T) hold readings taken on `day` (T,), in any order."""
    by_day = np.argsort(day, kind="stable")
    if read.size and read.all():
        column = np.broadcast_to(by_day, read.shape)
        return PackedSeries(column, read, np.full(len(read), len(day)), bool((np.diff(by_day) > 0).all()))
    count = np.count_nonzero(read, axis=1)
    longest = max(1, int(count.max(initial=0)))
    order = np.argsort(~read[:, by_day], axis=1, kind="stable")[:, :longest]
    present = np.arange(longest) < count[:, None]
    return PackedSeries(np.where(present, by_day[order], 0), present, count, as_is=False)


def median_of_rows(table: Floats) -> Floats:
    """The median along the last axis, NaN holes left out; 0 for a row without any number."""
    low, high = _middles(table)
    return (low + high) / 2


def middle_nearest_zero(table: Floats) -> Floats:
    """Of the one or two middle numbers of each row the one nearest zero; 0 for a row with fewer than two numbers."""
    low, high = _middles(table)
    nearest = np.where(np.abs(low) < np.abs(high), low, high)
    return np.where(np.count_nonzero(~np.isnan(table), axis=-1) > 1, nearest, 0.0)


def _middles(table: Floats) -> tuple[Floats, Floats]:
    """The two middle numbers of each row, NaN holes left out: the same one twice of an odd number; 0 of none."""
    if table.shape[-1] == 0:
        return np.zeros(table.shape[:-1]), np.zeros(table.shape[:-1])
    ordered = np.sort(table, axis=-1)  # NaN last
    count = np.count_nonzero(~np.isnan(table), axis=-1)[..., None]
    last = np.maximum(count - 1, 0)
    low, high = (np.take_along_axis(ordered, place, axis=-1) for place in (last // 2, np.minimum(count // 2, last)))
    return np.where(count > 0, low, 0.0)[..., 0], np.where(count > 0, high, 0.0)[..., 0]
