"""Labels that are no longer true, or soon cannot be read."""

import datetime as dt

import pytest

from propagate.ledger import fold
from propagate.names import parse
from propagate.planning.reprints import reprint, window_text
from propagate.records import events
from propagate.records.answers import PotOn
from propagate.records.events import Entry

PRINTED = dt.date(2026, 11, 20)
TODAY = dt.date(2027, 1, 10)
WINDOW = (dt.date(2027, 3, 10), dt.date(2027, 3, 28), dt.date(2027, 4, 20))


def state_after(*happened):
    start = events.Started("A", parse("Ribes nigrum"), "hardwood-cutting", 40)
    entered = dt.datetime(2026, 11, 20, tzinfo=dt.UTC)
    entries = [
        Entry(at, f"e{at}", PRINTED, entered, event) for at, event in enumerate((start, *happened))
    ]
    return fold(entries).batches["A"]


def printed(material="", printing="", window=WINDOW):
    windows = (window_text(*window),)
    return events.LabelsPrinted(("A",), "tray-a4", 1, windows, material, printing)


def window(likely):
    return PotOn(likely, likely, likely, "")


def test_a_good_label_needs_no_other():
    assert reprint(state_after(printed()), window(WINDOW[1]), TODAY) is None


def test_nothing_printed_is_nothing_to_print_anew():
    assert reprint(state_after(), window(WINDOW[1]), TODAY) is None


def parting():
    own = events.Started("B", parse("Ribes nigrum"), "hardwood-cutting", 15, parted_from="e0")
    return own, events.Parted("A", 15, "B")


def test_a_label_that_counts_what_is_a_batch_of_its_own_now_is_printed_anew():
    found = reprint(state_after(printed(), *parting()), window(WINDOW[1]), TODAY)
    assert found is not None
    assert found.why == "there are 25 in it now"
    good = (printed(), *parting(), printed())
    assert reprint(state_after(*good), window(WINDOW[1]), TODAY) is None


def test_a_label_printed_after_a_parting_is_void_when_that_is_taken_back():
    back = (*parting(), printed(), events.Voided("e2"), events.Voided("e1"))
    found = reprint(state_after(*back), window(WINDOW[1]), TODAY)
    assert found is not None
    assert found.why == "there are 40 in it now"
    never_printed_since = (printed(), *parting(), events.Voided("e3"), events.Voided("e2"))
    assert reprint(state_after(*never_printed_since), window(WINDOW[1]), TODAY) is None


def test_a_name_put_right_counts_at_once():
    settled = events.NameSettled(parse("Ribes rubrum"), batch="A")
    found = reprint(state_after(printed(), settled), window(WINDOW[1]), TODAY)
    assert found is not None
    assert (found.date, found.why) == (TODAY, "its name is now Ribes rubrum")


@pytest.mark.parametrize(
    ("likely", "void"),
    [(dt.date(2027, 4, 20), False), (dt.date(2027, 4, 21), True), (dt.date(2027, 3, 9), True)],
)
def test_a_date_that_left_the_span_on_the_label_voids_it(likely, void):
    found = reprint(state_after(printed()), window(likely), TODAY)
    assert (found is not None) == void
    assert found is None or "it says 28 Mar 2027" in found.why


def test_dates_matter_no_more_once_all_are_potted():
    potted = events.PottedOn("A", 40)
    assert reprint(state_after(printed(), potted), window(dt.date(2028, 1, 1)), TODAY) is None


def test_a_label_without_dates_is_not_void_by_them():
    label = printed(window=(None, None, None))
    assert reprint(state_after(label), window(dt.date(2028, 1, 1)), TODAY) is None


# Hand sum: dye ink is sure for a quarter of a month, 365.25 / 12 / 4 = 7.6 days; resin for 36
# months, 1095.75 days.
@pytest.mark.parametrize(
    ("material", "printing", "on"),
    [
        ("polyester", "dye-inkjet", dt.date(2026, 11, 28)),
        ("polyester", "resin-transfer", dt.date(2029, 11, 20)),
    ],
)
def test_a_label_is_due_before_it_fades(material, printing, on):
    found = reprint(state_after(printed(material, printing)), window(WINDOW[1]), TODAY)
    assert found is not None
    assert found.date == on
    assert f"{printing} on polyester lasts" in found.why


def test_of_two_printings_the_later_one_counts():
    state = state_after(printed("paper", "dye-inkjet"), printed("polyester", "resin-transfer"))
    found = reprint(state, window(WINDOW[1]), TODAY)
    assert found is not None
    assert found.date.year == 2029


def test_nobody_needs_a_label_for_what_is_gone():
    lost = events.Lost("A", 40)
    assert reprint(state_after(printed("paper"), lost), window(WINDOW[1]), TODAY) is None
