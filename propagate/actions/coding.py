"""Batch codes: the next free one of a book, and the batch that a typed one means."""

import hashlib

from propagate import codes
from propagate.errors import Refused
from propagate.ledger import Book
from propagate.worded import worded


def free_code(book: Book, in_use: set[str], device: str = "") -> str:
    """The next batch code that this book never used; voided batches keep theirs.

    The device that began the book takes the codes from the first on; any other begins at a
    place of its own, so that two copies used apart seldom give one code twice.
    """
    spent = book.index.codes | in_use
    number = len(spent) + _stretch(book, device)
    while (code := codes.code(number)) in spent:
        number += 1
    return code


def _stretch(book: Book, device: str) -> int:
    """Where a device begins in the list of codes: 0 for the one that began the book."""
    began = book.raw[0].device if book.raw else ""
    if not device or not began or device == began:
        return 0
    return int.from_bytes(hashlib.sha256(device.encode()).digest()[:4], "big") % codes.SHORT_CODES


def batch_code(book: Book, text: str) -> str:
    """The batch meant by a code or by the grower's own mark for it.

    Raises Refused for a misread code and for a text that means several batches, and
    NotFound for a code the book does not have.
    """
    meant = [code for code, state in book.batches.items() if text and text == state.started.mark]
    if codes.valid(text) and (code := codes.read(text)) in book.batches:
        meant.append(code)
    if len(set(meant)) > 1:
        raise Refused(
            worded(
                '"{text}" may mean batch {codes}; give the code.',
                text=text,
                codes=" or ".join(sorted(set(meant))),
            )
        )
    return meant[0] if meant else book.batch(codes.read(text)).code
