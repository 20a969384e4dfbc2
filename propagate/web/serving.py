"""Start the bench page: on this machine alone, or, when asked, for the phones of the household."""

import datetime as dt
import socket
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from attrs import frozen

from propagate.actions.desk import Desk
from propagate.errors import Refused
from propagate.paper.qr import symbol
from propagate.web.app import make_app
from propagate.web.bench import Bench
from propagate.web.guarding import Guard
from propagate.web.pairing import Attempts, Paired, new_code, spaced
from propagate.web.patience import PatientProtocol
from propagate.web.room import Room

LOOPBACK: Final = "127.0.0.1"
EVERYWHERE: Final = "0.0.0.0"
MOST_AT_ONCE: Final = 200
IDLE_SECONDS: Final = 20

HALVES: Final = {
    (False, False): "█",
    (False, True): "▀",
    (True, False): "▄",
    (True, True): " ",
}
"""What stands for two modules, one over the other, by whether each is black."""

Tell = Callable[[str], None]


@frozen
class Opening:
    """How the pages are opened: the nursery, the day, the port, and whether to the network."""

    folder: Path
    today: dt.date | None
    port: int
    lan: bool
    forget: bool = False


def serve(opening: Opening, tell: Tell) -> None:
    """Serve the pages until stopped; `tell` is given the lines for the terminal.

    Raises Refused when the port is taken.
    """
    import uvicorn

    listening = _listen(EVERYWHERE if opening.lan else LOOPBACK, opening.port)
    port = int(listening.getsockname()[1])
    bench = make_bench(opening, port)
    for line in welcome(bench, opening, port):
        tell(line)
    config = uvicorn.Config(
        make_app(bench),
        http=PatientProtocol,
        ws="none",
        lifespan="off",
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=MOST_AT_ONCE,
        timeout_keep_alive=IDLE_SECONDS,
        timeout_graceful_shutdown=5,
    )
    try:
        uvicorn.Server(config).run(sockets=[listening])
    finally:
        bench.room.close()
        listening.close()


def make_bench(opening: Opening, port: int) -> Bench:
    """The room and the guard that fit how the pages are opened."""
    now = dt.datetime.now(dt.UTC)
    with Desk(opening.folder, opening.today or now.astimezone().date(), now) as desk:
        nursery = desk.nursery
        desk.book  # noqa: B018 - a book that cannot be read is told now, not on the first page
    room = Room(opening.folder, opening.today, lambda: dt.datetime.now(dt.UTC))
    room.warm_up()
    paired = Paired(opening.folder, new_code(), now.date())
    if opening.forget:
        paired.forget_all()
    hosts = own_hosts(port, opening.lan, nursery.labels.label_url)
    guard = Guard(
        hosts,
        paired if opening.lan else None,
        Attempts(time.monotonic) if opening.lan else None,
    )
    return Bench(room, guard, nursery.name)


def own_hosts(port: int, lan: bool, label_url: str) -> tuple[str, ...]:
    """What a browser may call this machine: its addresses, its name, and the name on the labels."""
    names = ["localhost", LOOPBACK]
    if lan:
        name = socket.gethostname().lower()
        names += [own_address(), name, f"{name.removesuffix('.local')}.local"]
        if label_url:
            names.append(urlsplit(label_url.lower()).hostname or LOOPBACK)
    at_port = [f"{name}:{port}" for name in names]
    return tuple(dict.fromkeys([*at_port, *names] if port == 80 else at_port))


def own_address() -> str:
    """The address of this machine on its network; the loopback address where it has none.

    Connecting a datagram socket sends nothing: it asks the system which address it would use.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))  # an address for documentation, RFC 5737
            return str(asking.getsockname()[0])
        except OSError:
            return LOOPBACK


def welcome(bench: Bench, opening: Opening, port: int) -> list[str]:
    """The lines for the terminal: where the pages are and how a phone gets in."""
    paired = bench.guard.paired
    if paired is None:
        return [
            f"The bench page of {bench.name}: http://{LOOPBACK}:{port}/",
            "Only this machine can open it; --lan opens it to the phones on your network.",
            "Stop with Ctrl+C.",
        ]
    address = f"http://{own_address()}:{port}/"
    return [
        *qr_lines(f"{address}pair?code={paired.code}"),
        f"The bench page of {bench.name}: {address}",
        f"Pairing code: {spaced(paired.code)}   (or scan the square with the phone)",
        "What is sent can be read by others on the same network; use it on one you trust.",
        "Stop with Ctrl+C.",
    ]


def qr_lines(text: str) -> list[str]:
    """A QR square for a terminal, two rows of it in a line; white is drawn, black left open.

    Terminals are dark more often than light, and phones read both.
    """
    drawing = symbol(text)
    black = {(x + step, y) for x, y, length in drawing.dashes for step in range(length)}
    return [
        "".join(
            HALVES[(x, y) in black, (x, y + 1) in black or y + 1 == drawing.side]
            for x in range(drawing.side)
        )
        for y in range(0, drawing.side, 2)
    ]


def _listen(host: str, port: int) -> socket.socket:
    """A listening socket; raises Refused when the port is not to be had."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
    except OSError as error:
        listening.close()
        raise Refused(
            f"Port {port} cannot be used ({error.strerror}); give another with --port."
        ) from None
    return listening
