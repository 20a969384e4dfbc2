"""Which phones may come in: a code shown in the terminal, then a token kept by the browser.

The nursery folder keeps only the SHA-256 of each token, so that whoever reads the file cannot
come in with it. Codes are guessed at most a few times a minute.
"""

import datetime as dt
import hashlib
import hmac
import json
import os
import secrets
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Final

from attrs import define, field, frozen

from propagate.codes import SERIAL_ALPHABET

PAIRED_FILE: Final = ".paired.json"
COOKIE: Final = "bench"
CODE_LENGTH: Final = 8
"""18 characters to the power of 8 make 11,000 million codes."""
KEPT_DAYS: Final = 180
TRIES, TRY_SECONDS = 5, 60.0
ALL_TRIES: Final = 20

Seconds = Callable[[], float]


def new_code() -> str:
    """A pairing code that is easily read off a screen."""
    return "".join(secrets.choice(SERIAL_ALPHABET) for _ in range(CODE_LENGTH))


def spaced(code: str) -> str:
    """The code in two groups, as it is shown."""
    return f"{code[:4]} {code[4:]}"


@define
class Attempts:
    """Counts attempts over the last minute, of each address and of all together."""

    clock: Seconds
    _by_address: dict[str, deque[float]] = field(factory=dict)
    _every: deque[float] = field(factory=deque)

    def may_try(self, address: str) -> bool:
        """Whether this address may try once more now; the attempt is counted if so."""
        now = self.clock()
        for each in (*self._by_address.values(), self._every):
            while each and each[0] < now - TRY_SECONDS:
                each.popleft()
        self._by_address = {a: tries for a, tries in self._by_address.items() if tries}
        own = self._by_address.setdefault(address, deque())
        if len(own) >= TRIES or len(self._every) >= ALL_TRIES:
            return False
        own.append(now)
        self._every.append(now)
        return True


@frozen
class Token:
    """A paired browser: the hash of its token and the day it was paired."""

    digest: str
    paired: str


class Paired:
    """The browsers that were let in, kept in a file of the nursery folder."""

    def __init__(self, folder: Path, code: str, today: dt.date) -> None:
        self.code = code
        self._path, self._today = folder / PAIRED_FILE, today
        self._tokens = self._read()

    def pair(self, typed: str) -> str | None:
        """A new token when the code is right, None otherwise."""
        given = "".join(typed.split()).replace("-", "").upper()
        if not hmac.compare_digest(given.encode(), self.code.encode()):
            return None
        token = secrets.token_urlsafe(32)
        self._tokens.append(Token(_digest(token), self._today.isoformat()))
        self._write()
        return token

    def knows(self, token: str) -> bool:
        """Whether this token was given out and is not too old."""
        digest = _digest(token)
        return any(hmac.compare_digest(digest, each.digest) for each in self._tokens)

    def forget_all(self) -> None:
        """Let nobody in any more."""
        self._tokens = []
        self._path.unlink(missing_ok=True)

    def _read(self) -> list[Token]:
        oldest = (self._today - dt.timedelta(days=KEPT_DAYS)).isoformat()
        try:
            listed = json.loads(self._path.read_text(encoding="utf-8"))
            tokens = [Token(str(each["digest"]), str(each["paired"])) for each in listed]
        except (OSError, ValueError, KeyError, TypeError):
            return []  # no file, or one that cannot be read: everybody pairs anew
        return [token for token in tokens if token.paired >= oldest]

    def _write(self) -> None:
        text = json.dumps([{"digest": t.digest, "paired": t.paired} for t in self._tokens])
        # Made readable to its owner alone before anything is in it.
        opened = os.open(self._path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(opened, "w", encoding="utf-8") as file:
            file.write(text)


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
