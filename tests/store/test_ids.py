"""Names of entries: UUIDs of version 7, checked with the standard library's own reading of them."""

import datetime as dt
import uuid

from hypothesis import given
from hypothesis import strategies as st

from propagate.store.ids import entry_id, following, next_id

moments = st.datetimes(dt.datetime(1970, 1, 2), dt.datetime(2999, 1, 1), timezones=st.just(dt.UTC))
bits = st.integers(0, 2**74 - 1)


@given(moments, bits)
def test_an_id_is_a_uuid_of_version_7(entered: dt.datetime, random_bits: int) -> None:
    read = uuid.UUID(entry_id(entered, random_bits))
    assert read.version == 7
    assert read.variant == uuid.RFC_4122
    assert str(read) == entry_id(entered, random_bits)


@given(moments, bits)
def test_its_first_48_bits_are_the_milliseconds_of_writing(
    entered: dt.datetime, random_bits: int
) -> None:
    milliseconds = uuid.UUID(entry_id(entered, random_bits)).int >> 80
    since_1970 = (entered - dt.datetime(1970, 1, 1, tzinfo=dt.UTC)) / dt.timedelta(milliseconds=1)
    assert abs(milliseconds - since_1970) <= 1


@given(moments, st.integers(2, 10**9), bits, bits)
def test_ids_sort_by_the_time_of_writing(
    entered: dt.datetime, later_ms: int, first: int, second: int
) -> None:
    later = entered + dt.timedelta(milliseconds=later_ms)
    assert entry_id(entered, first) < entry_id(later, second)


@given(bits, bits)
def test_every_random_bit_tells_two_ids_apart(first: int, second: int) -> None:
    now = dt.datetime(2027, 3, 12, tzinfo=dt.UTC)
    assert (entry_id(now, first) == entry_id(now, second)) == (first == second)


def test_the_example_of_the_standard() -> None:
    # RFC 9562 appendix A.6: 2022-02-22 14:22:22 -05:00, rand_a CC3, rand_b 18C4DC0C0C07398F.
    entered = dt.datetime(2022, 2, 22, 14, 22, 22, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
    assert entry_id(entered, 0xCC3 << 62 | 0x18C4DC0C0C07398F) == (
        "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    )


@given(moments, st.lists(st.integers(-(10**6), 10**6), min_size=1, max_size=20))
def test_every_new_id_sorts_after_the_last_wherever_the_clock_stands(
    first: dt.datetime, milliseconds: list[int]
) -> None:
    ids = [next_id(first)]
    for ahead in milliseconds:
        ids.append(next_id(first + dt.timedelta(milliseconds=ahead), ids[-1]))
    assert sorted(set(ids)) == ids
    assert {uuid.UUID(each).version for each in ids} == {7}


@given(moments, bits, st.integers(1, 2**32))
def test_the_id_that_follows_is_the_next_number_of_the_clock_and_chance(
    entered: dt.datetime, random_bits: int, step: int
) -> None:
    before = entry_id(entered, random_bits)
    ahead = divmod(random_bits + step, 2**74)
    later = entered + dt.timedelta(milliseconds=ahead[0])
    assert following(before, step) == entry_id(later, ahead[1])
