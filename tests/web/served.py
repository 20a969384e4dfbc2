"""The bench page on loopback, for whoever asks it from outside: a browser, or many clients."""

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

from propagate.web.app import make_app
from propagate.web.bench import Bench
from propagate.web.guarding import Guard
from propagate.web.patience import PatientProtocol
from propagate.web.room import Room


@contextmanager
def on_loopback(room: Room, name: str) -> Iterator[str]:
    """The address of the pages of a nursery, while they are served; closes the room."""
    import uvicorn

    listening = socket.create_server(("127.0.0.1", 0), backlog=200)
    host = f"127.0.0.1:{listening.getsockname()[1]}"
    app = make_app(Bench(room, Guard((host,)), name))
    config = uvicorn.Config(
        app, http=PatientProtocol, lifespan="off", log_level="critical", ws="none"
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, args=([listening],), daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield f"http://{host}"
    server.should_exit = True
    thread.join(10)
    room.close()
