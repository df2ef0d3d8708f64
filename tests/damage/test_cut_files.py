"""A file cut anywhere: refused, or read as whole rows, never as a wrong or a short one."""

import pytest

from lugbook.errors import CutFile, Refusal
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import parse_log, read_log

READINGS = LAYOUTS["readings"]
ROWS = [
    f"C{number:02d}A/crimp,2031,2031-04-18 14:{number:02d},1.{number:02d},1{number:02d}.5,"
    f'{"" if number % 7 == 0 else "21.5"},MV1,CL1,"warm, {number} °C"'
    for number in range(40)
]
HEAD = ",".join((*READINGS.needed, "note"))
PLAIN = [row.replace(", ", " ").replace('"', "") for row in ROWS]
FILES = {
    "quoted": "\n".join([HEAD, *ROWS, ""]).encode(),
    "CRLF": "\r\n".join([HEAD, *ROWS, ""]).encode(),
    "plain": "\n".join([HEAD, *PLAIN, ""]).encode(),
    "Windows-1252": "\r\n".join([HEAD, *PLAIN, ""]).encode("cp1252"),
    "preamble": "\n".join(["Meter export", "Channels,2", "", HEAD, *PLAIN, ""]).encode("utf-8-sig"),
    "UTF-16": "\n".join([HEAD, *ROWS[:12], ""]).encode("utf-16"),
    "decimal comma": "\n".join([HEAD, *PLAIN, ""]).replace(",", ";").replace(".", ",").encode(),
}


def rows_of(raw: bytes) -> list[tuple[object, ...]]:
    log = parse_log(read_log(raw, READINGS), READINGS)
    assert log.faults == ()
    return list(zip(*log.values.values(), strict=True))


@pytest.mark.parametrize("whole", FILES.values(), ids=FILES)
def test_no_prefix_of_a_file_gives_a_wrong_or_a_short_row(whole: bytes) -> None:
    rows = rows_of(whole)
    accepted = []

    for length in range(len(whole)):
        try:
            accepted.append(rows_of(whole[:length]))
        except Refusal:
            continue

    assert all(part == rows[: len(part)] for part in accepted)
    # Only a cut at the end of a line passes: with CRLF there are two such places for each of the rows.
    assert len(accepted) <= 2 * len(rows)


def test_a_cut_inside_the_last_row_says_so() -> None:
    with pytest.raises(CutFile):
        read_log(FILES["plain"][:-3], READINGS)
