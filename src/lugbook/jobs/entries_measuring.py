"""How a line about instruments or services becomes facts; readings have a file of their own."""

from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Mismatch
from lugbook.jobs.entering import operator_of, past_moment, said, same_row
from lugbook.jobs.meters import last_calibration
from lugbook.records.tables import Calibration, Instrument, InstrumentRange, Service, Span


def enter_instrument(desk: Desk, entry: Entry) -> bool:
    """An instrument, and its calibration where one is given."""
    cells = entry.cells
    old = desk.directory.find(Instrument, cells["instrument"])
    fact = {
        "name": cells["instrument"],
        **said(cells, "kind", "percent_of_reading", "counts", "resolution", "unit", "note"),
        **said(cells, "least", "greatest", "zero_offset"),
    }
    calibrated, due = cells.get("calibrated_on"), cells.get("calibration_due")
    if due and not calibrated:
        raise Mismatch("calibrated_on", "", f"the day of the calibration that is due again on {due}")
    if calibrated and due and due < calibrated:
        raise Mismatch("calibration_due", due, f"a day after {calibrated}, on which it was calibrated")
    new = desk.enter_once(Instrument, old, fact, entry)
    return (calibrated is not None and _enter_calibration(desk, entry)) or new


def _enter_calibration(desk: Desk, entry: Entry) -> bool:
    """The calibration of an instrument on a day; where the instrument is amended, its last one is put right."""
    cells = entry.cells
    instrument = desk.directory.need(Instrument, "instrument", cells["instrument"])
    fact = {
        "instrument_id": instrument["id"], "calibrated_on": cells["calibrated_on"],
        "due_on": cells.get("calibration_due"),
    }  # fmt: skip
    same = same_row(desk, Calibration, fact, ("instrument_id", "calibrated_on"))
    last = last_calibration(desk.directory, instrument) if desk.amendment is not None else None
    if last is not None:
        desk.refuse_second(Calibration, same, last["id"])
    return desk.enter_once(Calibration, last or same, fact, entry)


def enter_range(desk: Desk, entry: Entry) -> bool:
    """A further range of an instrument."""
    cells = entry.cells
    instrument = desk.directory.need(Instrument, "instrument", cells["instrument"])
    if cells["unit"] != instrument["unit"]:
        raise Mismatch("unit", cells["unit"], f"{instrument['unit']}, which this instrument reads in")
    if instrument["greatest"] is None:
        why = (
            f"the first range of {instrument['name']} has no end yet, so this one would take its readings; say first "
            f'where it ends: lugbook instrument amend "{instrument["name"]}" "greatest=400 mV" --reason "...".'
        )
        raise Mismatch("greatest", cells["greatest"], "an instrument whose own range has an end", why)
    fact = {
        "instrument_id": instrument["id"],
        **said(cells, "greatest", "percent_of_reading", "counts", "resolution"),
    }
    known = {**fact, "greatest": float(cells["greatest"])}
    old = same_row(desk, InstrumentRange, known, ("instrument_id", "greatest"))
    return desk.enter_once(InstrumentRange, old, fact, entry)


def enter_service(desk: Desk, entry: Entry) -> bool:
    """A service."""
    cells, directory = entry.cells, desk.directory
    build_id = directory.build(cells["build"])["id"] if cells.get("build") else None
    span = directory.need(Span, "span", cells["span"], build_id)
    fact = {
        "span_id": span["id"], "serviced_at": past_moment(desk, "serviced_at", entry),
        **said(cells, "action", "torque_newton_metre", "note"),
        "operator_id": operator_of(desk, cells.get("operator"), entry),
    }  # fmt: skip
    return desk.enter_once(
        Service, same_row(desk, Service, fact, ("span_id", "serviced_at", "action")), fact, entry
    )
