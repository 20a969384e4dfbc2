"""Opening the pages: to this machine alone, or to the network with a code."""

import datetime as dt
import socket

import numpy as np
import pytest
import zxingcpp

from propagate.errors import Refused
from propagate.web.pairing import CODE_LENGTH, new_code, spaced
from propagate.web.serving import LOOPBACK, Opening, make_bench, own_hosts, qr_lines, serve, welcome
from tests.web.conftest import TODAY


@pytest.mark.parametrize("lan", [False, True])
def test_only_a_network_needs_a_code_and_hears_of_it(nursery, codes, lan) -> None:
    opening = Opening(nursery, TODAY, 8000, lan)
    bench = make_bench(opening, 8000)
    said = "\n".join(welcome(bench, opening, 8000))
    assert "Alderbrook" in said
    assert (bench.guard.paired is not None) == lan
    if bench.guard.paired is not None:
        assert spaced(bench.guard.paired.code) in said
        assert "one you trust" in said
    else:
        assert f"http://{LOOPBACK}:8000/" in said
    bench.room.close()


def test_the_square_in_the_terminal_is_read_by_a_phone() -> None:
    text = "http://192.168.1.20:8000/pair?code=M7KDXY34"
    white = {"█": (1, 1), "▀": (1, 0), "▄": (0, 1), " ": (0, 0)}
    rows = [[white[sign] for sign in line] for line in qr_lines(text)]
    picture = np.array([[cell[half] for cell in row] for row in rows for half in (0, 1)])
    drawn = np.kron(picture * 255, np.ones((6, 6))).astype(np.uint8)
    assert [found.text for found in zxingcpp.read_barcodes(drawn)] == [text]


def test_this_machine_is_known_by_its_addresses_and_the_name_on_the_labels() -> None:
    assert own_hosts(8000, lan=False, label_url="HTTP://BENCH.LOCAL/T/") == (
        "localhost:8000",
        "127.0.0.1:8000",
    )
    assert "bench.local:8000" in own_hosts(8000, lan=True, label_url="HTTP://BENCH.LOCAL/T/")
    assert "bench.local" in own_hosts(80, lan=True, label_url="HTTP://BENCH.LOCAL/T/")


def test_a_port_that_is_taken_is_refused_in_one_sentence(nursery, codes) -> None:
    with socket.create_server((LOOPBACK, 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(Refused, match=f"Port {port} cannot be used"):
            serve(Opening(nursery, TODAY, port, lan=False), print)


def test_pairing_codes_are_long_and_not_alike() -> None:
    made = {new_code() for _ in range(200)}
    assert len(made) == 200
    assert {len(code) for code in made} == {CODE_LENGTH}


def test_the_day_follows_the_clock_unless_it_is_fixed(nursery, codes) -> None:
    import asyncio

    from propagate.web.room import Room

    moments = iter([dt.datetime(2026, 11, 20, 12, tzinfo=dt.UTC)] * 1)
    later = dt.datetime(2026, 11, 22, 12, tzinfo=dt.UTC)
    room = Room(nursery, None, lambda: next(moments, later))

    async def days() -> list[dt.date]:
        return [await room.ask(lambda desk: desk.today) for _ in range(2)]

    assert asyncio.run(days()) == [dt.date(2026, 11, 20), dt.date(2026, 11, 22)]
    room.close()
