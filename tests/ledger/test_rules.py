"""What each event means, as short journals: days of March 2027, then what the book says."""

import datetime as dt

import pytest

from propagate.ledger import Book, Kind, Look, fold
from propagate.names import parse
from propagate.records.events import (
    Checked,
    Entry,
    Event,
    Given,
    HardenedOff,
    Lost,
    MadeReady,
    Moved,
    Offered,
    PlantedOut,
    PottedOn,
    Promised,
    Recounted,
    Started,
    StepDone,
)

CURRANT = parse("Ribes nigrum")


def day(of_march: int) -> dt.date:
    return dt.date(2027, 3, of_march)


def journal(*lines: tuple[int, Event]) -> tuple[Entry, ...]:
    """Lines in the order written; the id of each is its number, such as "e3"."""
    return tuple(
        Entry(seq, f"e{seq}", day(of_march), dt.datetime(2027, 4, 1, tzinfo=dt.UTC), event)
        for seq, (of_march, event) in enumerate(lines, start=1)
    )


def start(count: int = 40, batch: str = "A", **more: str) -> Started:
    return Started(batch, CURRANT, "hardwood-cutting", count, **more)


def tray(*lines: tuple[int, Event]) -> Book:
    """A book of 40 cuttings stuck on the 1st as batch A, and what was written after."""
    return fold(journal((1, start()), *lines))


def accounts(book: Book, batch: str = "A") -> dict[str, int]:
    assert not book.conflicts
    return book.batch(batch).accounts()


def refusal(*lines: tuple[int, Event]) -> str:
    """Why the last of these lines cannot be so beside the others."""
    (conflict,) = tray(*lines).conflicts
    assert conflict.entry.seq == len(lines) + 1
    return conflict.what


# Looking into the tray


def test_all_that_is_started_stands_waiting() -> None:
    assert accounts(tray()) == {"waiting": 40}


def test_a_check_counts_all_that_stand_rooted_now_found_before_or_not() -> None:
    book = tray((10, Checked("A", rooted=12)), (20, Checked("A", rooted=20, dead=3)))
    assert accounts(book) == {"waiting": 17, "rooted": 20, "lost": 3}
    assert book.batch("A").looks == [
        Look(day(10), rooted=12),
        Look(day(20), rooted=8, dead=3, sought=True),
    ]


def test_the_dead_come_from_the_waiting_first() -> None:
    book = tray((10, Checked("A", rooted=12)), (20, Checked("A", dead=30)))
    assert accounts(book) == {"waiting": 0, "rooted": 10, "lost": 30}
    assert book.batch("A").looks[-1] == Look(day(20), dead=28)


def test_fewer_rooted_than_before_means_that_rooted_ones_died() -> None:
    book = tray((10, Checked("A", rooted=12)), (20, Checked("A", rooted=10, dead=5)))
    assert accounts(book) == {"waiting": 25, "rooted": 10, "lost": 5}
    assert book.batch("A").looks[-1] == Look(day(20), rooted=0, dead=3, sought=True)


def test_fewer_rooted_than_before_and_too_few_dead_is_refused() -> None:
    what = refusal((10, Checked("A", rooted=12)), (20, Checked("A", rooted=10, dead=1)))
    assert "12 of A were found rooted already, so 10 cannot be right with 1 dead" in what


def test_42_found_in_a_tray_of_40_is_refused_with_the_balance_and_the_way_to_recount() -> None:
    what = refusal((10, Checked("A", rooted=2)), (20, Checked("A", rooted=39, dead=3)))
    assert "39 rooted and 3 dead make 42, but only 40 stand in the tray of A" in what
    assert "(38 waiting, 2 rooted)" in what
    assert "recount A NUMBER_ALIVE --why REASON" in what


def test_one_too_many_is_refused_and_the_whole_tray_is_not() -> None:
    assert "make 41, but only 40 stand" in refusal((10, Checked("A", rooted=30, dead=11)))
    assert accounts(tray((10, Checked("A", rooted=30, dead=10)))) == {
        "waiting": 0,
        "rooted": 30,
        "lost": 10,
    }


def test_more_dead_than_stand_in_the_tray_is_refused() -> None:
    assert "41 is more than batch A has: 40 waiting." in refusal((9, Checked("A", dead=41)))


def test_a_refused_check_is_no_check() -> None:
    book = tray((5, Checked("A", rooted=1)), (9, Checked("A", rooted=41)))
    assert book.batch("A").last_check == day(5)
    assert len(book.batch("A").looks) == 1


def test_a_check_before_the_start_is_refused_with_both_days() -> None:
    entries = journal((5, start()), (2, Checked("A", rooted=1)))
    (conflict,) = fold(entries).conflicts
    assert conflict.what == ("Batch A was started on 5 Mar 2027; 2 Mar 2027 is before that.")


def test_a_check_of_a_batch_nobody_started_is_refused() -> None:
    assert refusal((2, Checked("B", rooted=1))) == "There is no batch B in this book."


# Samples


def test_a_sample_is_evidence_and_moves_only_its_dead() -> None:
    book = tray((10, Checked("A", rooted=12)), (20, Checked("A", rooted=6, dead=1, sample=10)))
    assert accounts(book) == {"waiting": 27, "rooted": 12, "lost": 1}
    assert book.batch("A").looks[-1] == Look(
        day(20), rooted=6, dead=1, sought=True, sample=10, known_rooted=12
    )


def test_a_sample_larger_than_the_tray_is_refused() -> None:
    what = refusal((9, Checked("A", rooted=5, sample=41)))
    assert what == "A sample of 41 is more than the 40 that stand in the tray of A."


def test_more_found_than_were_lifted_is_refused() -> None:
    what = refusal((9, Checked("A", rooted=5, dead=6, sample=10)))
    assert what == "5 rooted and 6 dead are more than the 10 that were lifted."


# On the way out


def test_pot_on_takes_the_rooted_then_the_waiting_and_remembers_the_unchecked() -> None:
    book = tray((10, Checked("A", rooted=12)), (20, PottedOn("A", 15)))
    assert accounts(book) == {"waiting": 25, "potted": 15}
    assert book.batch("A").looks[-1] == Look(day(20), taken=3)


def test_pot_on_of_rooted_ones_alone_tells_nothing_new() -> None:
    book = tray((10, Checked("A", rooted=12)), (20, PottedOn("A", 12)))
    assert book.batch("A").looks == [Look(day(10), rooted=12)]


def test_more_potted_on_than_there_are_is_refused_with_the_balance_and_the_way_out() -> None:
    what = refusal((10, PottedOn("A", 38)), (20, PottedOn("A", 3)))
    assert "3 is more than batch A has: 2 waiting; it also has 38 potted." in what
    assert "recount A NUMBER_ALIVE --why REASON" in what


def test_plants_pass_through_hardening_and_ready_into_a_bed() -> None:
    book = tray(
        (10, PottedOn("A", 30)),
        (12, HardenedOff("A", 20)),
        (14, MadeReady("A", 24)),
        (16, PlantedOut("A", 25, bed="hedge")),
    )
    assert accounts(book) == {"waiting": 10, "potted": 5, "planted: hedge": 25}
    assert book.batch("A").raised == 30


def test_only_potted_plants_are_hardened_off() -> None:
    what = refusal((10, Checked("A", rooted=12)), (12, HardenedOff("A", 2)))
    assert "2 is more than batch A has: 0 potted; it also has 28 waiting, 12 rooted" in what


def test_waiting_ones_are_given_only_by_name_of_their_account() -> None:
    what = refusal((10, Given("A", 2, to="Ann")))
    assert "it also has 40 waiting (--from waiting takes from there)" in what
    book = tray((10, Given("A", 2, to="Ann", account="waiting")))
    assert accounts(book) == {"waiting": 38, "given: Ann": 2}
    assert book.batch("A").looks == [Look(day(10), gone=2)]


def test_a_loss_takes_the_waiting_first_and_names_its_cause() -> None:
    book = tray((10, PottedOn("A", 10)), (12, Lost("A", 32, cause="mice")))
    assert accounts(book) == {"waiting": 0, "potted": 8, "lost: mice": 32}
    assert book.batch("A").looks[-1] == Look(day(12), gone=30)


def test_a_loss_from_a_named_account() -> None:
    book = tray((10, PottedOn("A", 10)), (12, Lost("A", 4, account="potted")))
    assert accounts(book) == {"waiting": 30, "potted": 6, "lost": 4}


@pytest.mark.parametrize("named", ["lost", "planted", "miscounted", "pots"])
def test_nothing_is_taken_from_accounts_of_the_gone(named: str) -> None:
    what = refusal((10, Lost("A", 1, account=named)))
    assert what.startswith(f'"{named}" is not an account to take from; use waiting, rooted,')


# Recounts


def test_a_recount_down_moves_what_never_was_to_miscounted() -> None:
    book = tray((10, Recounted("A", 38, why="bundle of 19")))
    assert accounts(book) == {"waiting": 38, "miscounted": 2}
    assert book.batch("A").count == 40


def test_a_recount_up_brings_back_the_miscounted_and_then_more() -> None:
    book = tray((10, Recounted("A", 38, why="slip")), (11, Recounted("A", 43, why="slip")))
    assert accounts(book) == {"waiting": 43}
    assert book.batch("A").count == 43


def test_a_recount_up_goes_where_most_stand_when_none_wait() -> None:
    book = tray((10, PottedOn("A", 40)), (11, HardenedOff("A", 10)), (12, Recounted("A", 42, "x")))
    assert accounts(book) == {"waiting": 0, "potted": 32, "hardening": 10}


def test_a_recount_of_the_books_own_number_changes_nothing() -> None:
    assert accounts(tray((10, Recounted("A", 40, why="audit")))) == {"waiting": 40}


# Promises


def test_a_gift_to_the_same_redeems_a_promise() -> None:
    potted = (10, PottedOn("A", 20))
    book = tray(potted, (11, Promised("A", 8, to="Ann")), (12, Given("A", 5, to="Ann")))
    assert dict(book.batch("A").promised) == {"Ann": 3}
    book = tray(potted, (11, Promised("A", 8, to="Ann")), (12, Given("A", 9, to="Ann")))
    assert dict(book.batch("A").promised) == {}


def test_a_gift_to_somebody_else_leaves_the_promise() -> None:
    book = tray((10, PottedOn("A", 20)), (11, Promised("A", 8, to="Ann")), (12, Given("A", 5)))
    assert dict(book.batch("A").promised) == {"Ann": 8}


def test_more_promised_than_free_is_refused() -> None:
    what = refusal((10, Promised("A", 30, to="Ann")), (11, Promised("A", 11, to="Bea")))
    assert what == "Only 10 of A are neither gone nor promised; 11 cannot be promised."


def test_none_is_free_when_losses_ate_into_promises() -> None:
    what = refusal(
        (10, Promised("A", 30, to="Ann")), (11, Lost("A", 25)), (12, Promised("A", 1, to="Bea"))
    )
    assert what.startswith("Only 0 of A are neither gone nor promised")


# For sale


def test_what_is_for_sale_is_what_was_said_last() -> None:
    book = tray((10, Offered("A", 20)), (11, Offered("A", 12)))
    assert book.batch("A").for_sale == 12
    assert tray((10, Offered("A", 20)), (11, Offered("A", 0))).batch("A").for_sale == 0
    assert accounts(book) == {"waiting": 40}  # an offer moves no plants


def test_what_is_sold_is_for_sale_no_more_but_a_kept_promise_takes_none_off() -> None:
    potted, promise = (10, PottedOn("A", 20)), (11, Promised("A", 8, to="Ann"))
    offer = (12, Offered("A", 10))
    assert tray(potted, promise, offer, (13, Given("A", 4))).batch("A").for_sale == 6
    assert tray(potted, promise, offer, (13, Given("A", 8, to="Ann"))).batch("A").for_sale == 10
    assert tray(potted, promise, offer, (13, Given("A", 9, to="Ann"))).batch("A").for_sale == 9


def test_no_more_is_for_sale_than_is_here_and_promised_to_nobody() -> None:
    offer = (10, Offered("A", 30))
    assert tray(offer, (11, Lost("A", 25))).batch("A").for_sale == 15
    assert tray(offer, (11, Promised("A", 25, to="Ann"))).batch("A").for_sale == 15
    what = refusal((10, Promised("A", 30, to="Ann")), (11, Offered("A", 11)))
    assert what == "Only 10 of A are neither gone nor promised; 11 cannot be for sale."


# Places and steps


def test_a_batch_stands_where_it_was_moved_last() -> None:
    entries = journal((1, start(place="bench")), (9, Moved("A", "frame")), (5, Moved("A", "bed")))
    assert fold(entries).batch("A").place == "frame"
    assert fold(entries, until=day(6)).batch("A").place == "bed"
    assert fold(entries, until=day(4)).batch("A").place == "bench"


def test_a_batch_split_over_two_trays_stays_one_where_it_is() -> None:
    split = (5, Moved("A", "", ("left", "right")))
    entries = journal((1, start(place="bench")), split, (9, Moved("A", "frame")))
    assert fold(entries).batch("A").trays == ("left", "right")
    assert fold(entries, until=day(6)).batch("A").place == "bench"
    assert fold(entries).batch("A").place == "frame"
    assert fold(entries, until=day(4)).batch("A").trays == ()


def test_a_step_is_kept_with_its_day_and_moves_no_plants() -> None:
    book = tray((9, StepDone("A", "severed")))
    assert book.batch("A").steps == {"severed": day(9)}
    assert accounts(book) == {"waiting": 40}


# Figures


def test_any_figure_is_explained_by_its_moves() -> None:
    book = tray((10, PottedOn("A", 12)), (12, Lost("A", 4, account="potted")))
    told = [(m.entry, m.count) for m in book.batch("A").explain(Kind.POTTED)]
    assert told == [("e2", 12), ("e3", 4)]


def test_the_sheets_standing_agrees_with_the_accounts() -> None:
    standing = tray((10, PottedOn("A", 12)), (12, PlantedOut("A", 4, bed="x"))).batch("A").standing
    assert (standing.waiting, standing.potted, standing.planted) == (28, 8, 4)
