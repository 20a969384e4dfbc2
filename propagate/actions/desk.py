"""The open nursery that every action works at: its settings, library, book and the day."""

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from attrs import evolve

from propagate.errors import NotFound, PropagateError
from propagate.ledger import Book, fold, grown
from propagate.library import Library
from propagate.paths import NURSERY_FILE, find_nursery, labels_folder, methods_folder
from propagate.records.events import Hand
from propagate.records.nursery import BookSettings, Nursery
from propagate.settings import read_book_settings, read_settings
from propagate.store import BookStore, Reading, back_up_daily, open_book, snapshots

if TYPE_CHECKING:
    from propagate.science.learning import GroupData, GroupPosterior
    from propagate.weather.places import Temperatures

Answer = TypeVar("Answer")


class Desk:
    """One nursery, opened for one command or for as long as pages are served, as of one day.

    `now` is the moment of writing; `today` the day the answers are for.
    """

    def __init__(
        self, folder: Path, today: dt.date, now: dt.datetime, by: str = "", device: str = ""
    ) -> None:
        """`by` and `device` say who writes and on what, where the settings do not."""
        self.folder, self.today, self.now = folder, today, now
        self._by, self._device = by, device
        self._remembered: dict[str, Any] = {}
        self.lasting: dict[str, Any] = {}
        """What was learned and stays true where the batches behind it did not change."""
        self.aside = False
        """Whether the book at this desk is one that might be, of which nothing is kept on disk."""
        self._book: Book | None = None
        self._kept_up_to = 0
        self._stale = True
        self.machine = ""  # what to call the device where nobody named it
        self.remarks: list[str] = []

    @cached_property
    def nursery(self) -> Nursery:
        """The settings of this nursery, frost days from the weather's record where asked for."""
        return self._with_frosts(read_settings(self.folder))

    def _with_frosts(self, nursery: Nursery) -> Nursery:
        if nursery.frost_risk is None or self.today == dt.date.min:
            return nursery
        from propagate.weather.frosts import safe_days  # only where a risk is named
        from propagate.weather.places import read_outdoors

        record = read_outdoors(nursery, self.folder, self.today)
        days = record and safe_days(record, nursery.hemisphere, nursery.frost_risk)
        return evolve(nursery, last_frost=days[0], first_frost=days[1]) if days else nursery

    @cached_property
    def temperatures(self) -> "Temperatures":
        """All temperatures that the settings lead to, as of this desk's day."""
        from propagate.weather.places import read_temperatures  # not needed without weather

        return read_temperatures(self.nursery, self.folder, self.today)

    @cached_property
    def library(self) -> Library:
        """The shipped method records, and over them the nursery's own."""
        return Library(self._data_folders(methods_folder()))

    @property
    def label_folders(self) -> tuple[Path, ...]:
        """Folders of label formats, the nursery's own last."""
        return self._data_folders(labels_folder())

    @cached_property
    def book_settings(self) -> BookSettings:
        """Where the book is kept and who writes, as the settings say."""
        return read_book_settings(self.folder)

    def hand(self, request: str = "") -> Hand:
        """Whose hand writes at this desk, now, for this request of a program."""
        settings = self.book_settings
        return Hand(
            self._by or settings.by, self._device or settings.device or self.machine, request
        )

    @contextmanager
    def in_the_hand_of(self, by: str) -> Iterator[None]:
        """What is written meanwhile is written by this person, where a name is given."""
        usual = self._by
        self._by = by or usual
        try:
            yield
        finally:
            self._by = usual

    @cached_property
    def store(self) -> BookStore:
        """The book on disk, or in the database that the settings name."""
        return open_book(self.folder, self.book_settings.url)

    @property
    def book(self) -> Book:
        """The book as it stood when it was last looked at; `forget` to look again."""
        if self._stale or self._book is None:
            self.look_again(self.store)
        assert self._book is not None
        return self._book

    def look_again(self, reading: Reading) -> Book:
        """Bring the book up to what is written; only what is new is read, as far as can be."""
        if self._book is None:
            self._book = snapshots.load(self.folder / snapshots.FILE, reading)
            self._kept_up_to = self._book.last[0] if self._book else 0
        self._book, self._stale = brought_up(self._book, reading), False
        if snapshots.keep(self.folder / snapshots.FILE, self._book, self._kept_up_to):
            self._kept_up_to = self._book.last[0]
        return self._book

    def learn_method(
        self, method: str, groups: "Mapping[str, GroupData]"
    ) -> "dict[str, GroupPosterior]":
        """What the batches by a method taught, recalled where nothing was seen since."""
        if self.aside:
            from propagate.science.pooling import learn_method

            return learn_method(groups)
        from propagate.store import lessons  # only where something is foretold

        return lessons.learned_or_recalled(self.folder / lessons.FOLDER, method, groups)

    def remember(self, key: str, make: Callable[[], Answer]) -> Answer:
        """What `make` makes of the book, made once until the book is read anew."""
        if key not in self._remembered:
            self._remembered[key] = make()
        answer: Answer = self._remembered[key]
        return answer

    def forget(self) -> None:
        """Let the next question look whether others have written meanwhile."""
        self._stale = True
        self._remembered.clear()

    def beside(self, book: Book) -> "Desk":
        """A desk like this one with another book on it, to see what would follow from that."""
        desk = Desk(self.folder, self.today, self.now, self._by, self._device)
        desk.__dict__.update(nursery=self.nursery, library=self.library)
        desk.keep(book)
        desk.lasting = dict(self.lasting)
        desk.aside = True
        return desk

    def keep(self, book: Book) -> None:
        """Know this book as the one that is written now."""
        self._book, self._stale = book, False

    def back_up_if_due(self) -> None:
        """Make the day's backup before the first entry of a day; a remark when that fails.

        What a grower saw is taken all the same.
        """
        try:
            back_up_daily(self.store, self.folder, self.now)
        except PropagateError as error:
            self.remarks.append(str(error))

    def close(self) -> None:
        """Close the book, if it was opened."""
        if "store" in self.__dict__:
            self.store.close()
            del self.__dict__["store"]
            self.forget()

    def __enter__(self) -> "Desk":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _data_folders(self, shipped: Path) -> tuple[Path, ...]:
        own = self.folder / shipped.name
        return (shipped, own) if own.is_dir() else (shipped,)


def open_desk(
    start: Path, today: dt.date, now: dt.datetime, by: str = "", device: str = ""
) -> Desk:
    """Open the nursery that `start` lies in.

    Raises NotFound when neither the folder nor one above it is a nursery.
    """
    folder = find_nursery(start)
    if folder is None:
        raise NotFound(
            f"There is no nursery in {start} or above it ({NURSERY_FILE} is missing); "
            "make one with: propagate init FOLDER."
        )
    return Desk(folder, today, now, by, device)


def brought_up(book: Book | None, reading: Reading) -> Book:
    """The book with what was written since; read anew where entries came in between."""
    if book is not None and book.last[0]:
        if reading.last() == book.last:
            return book
        seq, key = book.last
        if reading.id_at(seq) == key:
            return grown(book, reading.entries(seq))[0]
    return fold(reading.entries())


def library_only() -> Library:
    """The shipped library, for questions asked outside any nursery."""
    return Library((methods_folder(),))


def open_desk_if_any(start: Path) -> tuple[Library, Nursery] | None:
    """The library and settings of the nursery that `start` lies in, None outside any."""
    folder = find_nursery(start)
    if folder is None:
        return None
    desk = Desk(folder, dt.date.min, dt.datetime.min)  # nothing here depends on the day
    return desk.library, desk.nursery
