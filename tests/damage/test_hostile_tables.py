"""Whatever the bytes: a refusal, or values and faults; nothing else, and no row that is not in the file."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lugbook.exchange.layout import Layout

from lugbook.errors import Refusal
from lugbook.exchange.faults import word_fault
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import parse_log, read_log
from lugbook.exchange.tables_out import write_table
from lugbook.units.fields import METER_FIELDS

NASTY = [
    *(
        "",
        " ",
        "0,84",
        "1,234",
        "1.234,5",
        "-0.5",
        "\N{MINUS SIGN}1",
        "OL",
        "---",
        "nan",
        "inf",
        "1e400",
        "0x10",
    ),
    *(
        "=1+1",
        "+BATT",
        "@x",
        "'",
        "''",
        '"',
        '"x',
        'x"y',
        "a\nb",
        "a\rb",
        "\x00",
        "\x1b[2J",
        "\u202e",
        "\ufeff",
    ),
    *("9" * 400, "1e-999999999", "١٢", "½", "2031-04-18", "18.04.2031 14:32", "2031-02-30", "03/04/2025"),
    *("23:59:60", "yes", "no", "mV", "70 mm2", "2/0 AWG", "a" * 65, ";", ",", "\t", "sep=;", "🪛", "\ud7ff"),
]
CELLS = st.one_of(st.sampled_from(NASTY), st.text(max_size=12))
ENCODINGS = st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252", "latin-1"])


def try_to_read(
    raw: bytes, layout: Layout, *, decimal: str | None = None, ignore_unknown: bool = False
) -> None:
    try:
        table = read_log(raw, layout, decimal=decimal, ignore_unknown=ignore_unknown)
    except Refusal as refusal:
        sentence = str(refusal)
        assert sentence.isprintable()
        assert sentence.endswith(".")
        assert len(sentence) < 500
        return
    log = parse_log(table, layout)
    assert all(len(column) == table.row_count for column in log.values.values())
    assert all(word_fault(fault).isprintable() for fault in log.faults)
    faulty = {(fault.line, fault.column) for fault in log.faults}
    for heading, cells in table.columns.items():
        for line, cell, value in zip(table.line_numbers, cells, log.values[heading], strict=True):
            if (line, heading) in faulty:
                assert value is None
            elif (
                cell
            ):  # a resolution has no meaning without its unit, so the fault of the unit stands for both
                by_its_unit = heading in METER_FIELDS and line in {one.line for one in log.faults}
                assert value is not None or by_its_unit


@given(st.binary(max_size=300), st.sampled_from(list(LAYOUTS.values())))
@settings(max_examples=150, deadline=None)
def test_any_bytes_are_refused_or_read(raw: bytes, layout: Layout) -> None:
    try_to_read(raw, layout)


@given(
    layout=st.sampled_from(list(LAYOUTS.values())),
    delimiter=st.sampled_from([",", ";", "\t"]),
    encoding=ENCODINGS,
    decimal=st.sampled_from([None, "comma", "point"]),
    data=st.data(),
)
@settings(max_examples=300, deadline=None)
def test_any_cells_under_the_right_headings_are_refused_or_read(
    layout: Layout, delimiter: str, encoding: str, decimal: str | None, data: st.DataObject
) -> None:
    width = len(layout.columns)
    rows = data.draw(st.lists(st.lists(CELLS, min_size=width, max_size=width), min_size=1, max_size=4))
    lines = [delimiter.join(layout.headings), *(delimiter.join(row) for row in rows), ""]

    try_to_read("\n".join(lines).encode(encoding, errors="replace"), layout, decimal=decimal)


@given(
    layout=st.sampled_from(list(LAYOUTS.values())),
    headings=st.lists(CELLS, max_size=3),
    ignore_unknown=st.booleans(),
    data=st.data(),
)
@settings(max_examples=150, deadline=None)
def test_any_headings_are_refused_or_read(
    layout: Layout, headings: list[str], ignore_unknown: bool, data: st.DataObject
) -> None:
    every = data.draw(st.permutations([*layout.needed, *headings]))
    lines = [",".join(every), ",".join(data.draw(CELLS) for _ in every), ""]

    try_to_read("\n".join(lines).encode(), layout, ignore_unknown=ignore_unknown)


@given(st.sampled_from(list(LAYOUTS.values())), st.data())
@settings(max_examples=200, deadline=None)
def test_a_well_written_table_of_any_cells_keeps_every_row(layout: Layout, data: st.DataObject) -> None:
    cells = st.text(st.characters(blacklist_categories=("Cs", "Cc")), min_size=1, max_size=12).map(
        lambda x: f"x{x}"
    )
    rows = data.draw(
        st.lists(
            st.lists(cells, min_size=len(layout.columns), max_size=len(layout.columns)),
            min_size=1,
            max_size=4,
        )
    )

    table = read_log(write_table(layout.headings, rows), layout, decimal="point")

    assert [list(row) for row in zip(*table.columns.values(), strict=True)] == [
        [cell.strip() for cell in row] for row in rows
    ]


@pytest.mark.parametrize(
    "raw", [b"\xff\xfe\x00\x00a\x00\x00\x00", b"PK\x03\x04\x14\x00\x06\x00", b"\xff\xd8\xff\xe0\x00"]
)
def test_files_that_are_no_text_are_refused(raw: bytes) -> None:
    with pytest.raises(Refusal):
        read_log(raw + b"\n", LAYOUTS["readings"])


def test_a_cell_of_two_hundred_thousand_characters_is_refused_in_every_place() -> None:
    long = b"x" * 200_000
    for raw in (
        long,
        long + b",a\n",
        b"operator,note\n" + long + b",a\n",
        b'operator,note\n"' + long + b'",a\n',
    ):
        with pytest.raises(Refusal):
            read_log(raw + b"\n", LAYOUTS["operators"])
