"""How readings become one table: a row per series of a span, a column per round and instrument pair."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.assessment.evidence import BuildEvidence, Flags, Floats, ReadingColumns, Whole
from lugbook.assessment.weighing import ANEW, LASTING, TURNING, ReadingWorth, instrument_pair


@dataclass(frozen=True)
class Layout:
    """J rows (span by span, its series in order), T columns in order of time; NaN where nothing was read."""

    first_row: Whole  # (spans + 1,) row of each span's first series; the last entry is J
    column_round: Whole  # (T,) index into BuildEvidence.rounds
    day: Floats  # (T,) mean day of the column's readings
    microohm_20c: Floats  # (J, T) repeats and both polarities averaged
    own_sd: Floats  # (J, T) relative
    gain_sd: Floats  # (T,) relative, shared by the column
    without_temperature: Whole  # (J,) readings without a joint temperature
    without_cancelling: Whole  # (J,) readings with neither zero nor reversed partner
    unusable: Whole  # (J,) readings at or below zero, left out
    counted: Whole  # (J,) readings used
    lapsed: Whole  # (J,) readings with a meter whose calibration was past its day
    column: Whole  # (N,) the column of each reading
    votes: Flags  # (J, T) holds a reading that was not taken at a service

    @property
    def log_resistance(self) -> Floats:
        """ln of the resistance in microohm."""
        return np.asarray(np.log(self.microohm_20c))


def lay_out(evidence: BuildEvidence, worth: ReadingWorth) -> Layout:
    """Average the readings of each cell: forward and reversed readings weigh half each, repeats share
    equally.

    Repeats lessen what is drawn anew by their number, not what lasts; what turns with the current cancels between the
    two ways (`weighing.ANEW`, LASTING and TURNING).
    """
    readings = evidence.readings
    first_row = np.concatenate(
        [[0], np.cumsum([span.series_count for span in evidence.spans], dtype=np.int64)]
    )
    rows = int(first_row[-1])
    row = first_row[readings.span] + readings.series
    column, column_round, day = _columns(readings)
    columns = len(column_round)
    cell = (row * columns + column)[worth.usable]

    def per_cell(weights: Floats) -> Floats:
        sums = np.bincount(cell, weights=weights, minlength=rows * columns)
        return np.asarray(sums.reshape(rows, columns), float)

    backward = readings.polarity[worth.usable] < 0
    share = _shares(backward, cell, rows * columns)
    microohm = worth.microohm_20c[worth.usable]
    variance = per_cell((share * worth.sd_of(ANEW)[worth.usable]) ** 2)
    variance += per_cell(share * worth.sd_of(LASTING)[worth.usable] ** 2)
    for name in TURNING:
        variance += per_cell(np.where(backward, -share, share) * worth.parts[name][worth.usable]) ** 2
    mean = per_cell(share * microohm)
    read = mean > 0
    column_count = np.bincount(column, minlength=columns)
    gain_sd = np.bincount(column, weights=worth.gain_sd, minlength=columns) / np.maximum(column_count, 1)
    return Layout(
        first_row=first_row,
        column_round=column_round,
        day=day,
        microohm_20c=np.where(read, mean, np.nan),
        own_sd=np.where(read, np.sqrt(variance), np.nan),
        gain_sd=gain_sd,
        without_temperature=np.bincount(row[~worth.temperature_read], minlength=rows),
        without_cancelling=np.bincount(row[~worth.emf_cancelled], minlength=rows),
        unusable=np.bincount(row[~worth.usable], minlength=rows),
        counted=np.bincount(row[worth.usable], minlength=rows),
        lapsed=_count(row, readings.calibration_lapsed, rows),
        column=column,
        votes=_votes(readings, worth, cell, rows, columns),
    )


def _votes(readings: ReadingColumns, worth: ReadingWorth, cell: Whole, rows: int, columns: int) -> Flags:
    in_rounds = np.ones(len(cell)) if readings.at_service is None else ~readings.at_service[worth.usable]
    return np.bincount(cell, weights=in_rounds, minlength=rows * columns).reshape(rows, columns) > 0


def _count(row: Whole, marked: Flags | None, rows: int) -> Whole:
    return np.zeros(rows, np.int64) if marked is None else np.bincount(row[marked], minlength=rows)


def _columns(readings: ReadingColumns) -> tuple[Whole, Whole, Floats]:
    """The column of each reading, and the round and the mean day of each column, in order of time."""
    pair = instrument_pair(readings)
    pairs = int(pair.max(initial=0)) + 1
    found, column = np.unique(readings.round * pairs + pair, return_inverse=True)
    day = np.bincount(column, weights=readings.day) / np.bincount(column)
    by_day = np.argsort(day, kind="stable")
    rank = np.empty(len(found), np.int64)
    rank[by_day] = np.arange(len(found))
    return rank[column], (found // pairs)[by_day], day[by_day]


def _shares(reversed_: Flags, cell: Whole, cells: int) -> Floats:
    """The weight of each reading in its cell."""
    backward = np.bincount(cell, weights=reversed_, minlength=cells)
    forward = np.bincount(cell, minlength=cells) - backward
    ways = (forward > 0).astype(float) + (backward > 0)
    same_way = np.where(reversed_, backward[cell], forward[cell])
    return np.asarray(1.0 / (ways[cell] * same_way))
