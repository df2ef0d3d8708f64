"""What is written as a table comes back as it was."""

import unicodedata

from hypothesis import given, settings
from hypothesis import strategies as st

from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import parse_log, read_log
from lugbook.exchange.tables_out import write_table

AWKWARD = [
    *("=1+1", '=HYPERLINK("http://x")', "+BATT", "-BATT", "@x", "+1", "-1", "'", "''", "'=", "'x", "''=1"),
    *("a;b", "a,b", '"', '""', '3/8"', '"quoted"', "sep=;", "span", "0,84", "<b>", "µΩ", "C12A/crimp"),
]
PRINTABLE = st.text(
    st.characters(codec="utf-8", exclude_categories=("C", "Z"), include_characters=" "), min_size=1
)
LABELS = st.one_of(
    st.sampled_from(AWKWARD),
    PRINTABLE.map(lambda text: text[:64]).filter(
        lambda text: text == text.strip() != "" and text.isprintable()
    ),
)
NOTES = st.one_of(st.none(), LABELS, st.sampled_from(["=" * 5000, 'first; second, "third"']))
NUMBERS = st.decimals(min_value=0, max_value=900, allow_nan=False, places=3).map(lambda one: format(one, "f"))
SIGNED = st.decimals(min_value=-900, max_value=900, places=2).map(
    lambda one: format(one if one else abs(one), "f")
)


@given(st.lists(st.tuples(LABELS, NOTES), min_size=1, max_size=6))
@settings(max_examples=300, deadline=None)
def test_labels_and_notes_come_back(rows: list[tuple[str, str | None]]) -> None:
    layout = LAYOUTS["operators"]

    log = parse_log(read_log(write_table(["operator", "note"], rows), layout), layout)

    assert log.faults == ()
    assert list(zip(log.values["operator"], log.values["note"], strict=True)) == rows


@given(
    st.lists(
        st.fixed_dictionaries(
            {
                "span": LABELS,
                "round": LABELS,
                "taken_at": st.just("2031-04-18T12:32:05.000000Z"),
                "drop_millivolt": SIGNED,
                "current_ampere": NUMBERS.map(lambda text: text if float(text) >= 0.1 else "100"),
                "joint_celsius": st.one_of(st.none(), st.sampled_from(["-5.5", "20", "31.0"])),
                "voltage_instrument": LABELS,
                "current_instrument": LABELS,
                "build": LABELS,
                "polarity": st.sampled_from(["forward", "reverse"]),
                "thermometer": st.one_of(st.none(), LABELS),
                "zero_millivolt": st.one_of(st.none(), SIGNED),
                "operator": st.one_of(st.none(), LABELS),
                "stage": st.sampled_from([None, "as found", "as left"]),
                "repeat": st.integers(1, 1000),
                "confirmed": st.booleans(),
                "note": NOTES,
            }
        ),
        min_size=1,
        max_size=5,
    )
)
@settings(max_examples=200, deadline=None)
def test_readings_come_back_with_their_digits(rows: list[dict[str, object]]) -> None:
    layout = LAYOUTS["readings"]
    raw = write_table(layout.headings, [[row[heading] for heading in layout.headings] for row in rows])  # type: ignore[misc]

    log = parse_log(read_log(raw, layout), layout)

    assert log.faults == ()
    assert log.as_typed == {}
    assert [dict(zip(log.values, row, strict=True)) for row in zip(*log.values.values(), strict=True)] == rows


MAYBE_NUMBERS = st.one_of(st.none(), NUMBERS.map(lambda text: text if float(text) >= 1 else "100"))
MAYBE_SMALL = st.one_of(st.none(), st.sampled_from(["0.5", "13.10", "14.2", "100"]))
PRICED = st.tuples(st.integers(0, 9_999_999), st.sampled_from(["EUR", "GBP"])).map(
    lambda one: f"{one[0]} {one[1]}"
)
MOMENT = st.just("2031-04-18T12:32:05.000000Z")
PROVING = {
    "samples": {
        "recipe": LABELS,
        "sample": LABELS,
        "tested_at": MOMENT,
        "drop_millivolt": st.one_of(st.none(), SIGNED),
        "current_ampere": MAYBE_NUMBERS,
        "joint_celsius": st.sampled_from([None, "-5.5", "20"]),
        "voltage_instrument": st.one_of(st.none(), LABELS),
        "current_instrument": st.one_of(st.none(), LABELS),
        "length_millimetre": MAYBE_NUMBERS,
        "width_millimetre": MAYBE_SMALL,
        "height_millimetre": MAYBE_SMALL,
        "ears": st.sampled_from([None, True, False]),
        "strands_cut": st.one_of(st.none(), st.integers(0, 10_000)),
        "operator": st.one_of(st.none(), LABELS),
        "note": NOTES,
    },
    "answers": {
        "item": LABELS,
        "answer": st.sampled_from(["yes", "no", "not applicable", "not answered"]),
        "looked_at": MOMENT,
        "cable_end": st.one_of(st.none(), LABELS),
        "build": st.one_of(st.none(), LABELS),
        "recipe": st.one_of(st.none(), LABELS),
        "sample": st.one_of(st.none(), LABELS),
        "operator": st.one_of(st.none(), LABELS),
        "note": NOTES,
    },
    "reels": {
        "reel": LABELS,
        "conductor": LABELS,
        "length_metre": st.sampled_from(["0.01", "3.10", "500"]),
        "count": st.one_of(st.none(), st.integers(1, 10_000)),
        "note": NOTES,
    },
    "prices": {
        "what": LABELS,
        "price": st.one_of(PRICED, st.just("4.20 EUR")),
        "per": st.sampled_from(["piece", "metre"]),
        "note": NOTES,
    },
}


@given(st.data(), st.sampled_from(sorted(PROVING)))
@settings(max_examples=200, deadline=None)
def test_the_tables_of_proving_a_crimp_come_back(data: st.DataObject, kind: str) -> None:
    layout = LAYOUTS[kind]
    rows = data.draw(st.lists(st.fixed_dictionaries(PROVING[kind]), min_size=1, max_size=4))
    raw = write_table(layout.headings, [[row[heading] for heading in layout.headings] for row in rows])

    log = parse_log(read_log(raw, layout), layout)

    assert log.faults == ()
    assert log.as_typed == {}
    assert [dict(zip(log.values, row, strict=True)) for row in zip(*log.values.values(), strict=True)] == rows


@given(st.lists(LABELS, min_size=1, max_size=6))
@settings(max_examples=100, deadline=None)
def test_a_table_read_and_written_again_is_the_same_bytes(labels: list[str]) -> None:
    layout = LAYOUTS["operators"]
    raw = write_table(["operator", "note"], [(label, None) for label in labels])

    values = parse_log(read_log(raw, layout), layout).values

    assert write_table(["operator", "note"], zip(values["operator"], values["note"], strict=True)) == raw  # type: ignore[arg-type]


def test_a_label_keeps_its_letters_as_they_were_composed() -> None:
    layout = LAYOUTS["operators"]
    split = unicodedata.normalize("NFD", "Zoë")

    assert parse_log(read_log(write_table(["operator"], [[split]]), layout), layout).values["operator"] == [
        split
    ]
