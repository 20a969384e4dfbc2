"""The book in a PostgreSQL database: one book for several sites.

A writer locks the table against other writers, who wait in the order they came; readers go on
reading what stood before. `synchronous_commit = on` makes the server flush an entry before it
is acknowledged, whatever its own settings say.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager

try:
    import psycopg
except ImportError:
    from propagate.errors import MissingTool

    raise MissingTool(
        "A book in a database needs one more package; install it with: "
        "pip install 'propagate[postgres]'."
    ) from None

from propagate.errors import BrokenBook
from propagate.records.events import Entry
from propagate.store.journal import Journal, Row

WAIT_SECONDS = 20
BOOK_VERSION = 1
SETTING_UP = 0x50524F50  # the key under which one process at a time sets a database up
SCHEMA = (
    "CREATE TABLE book_version (version integer NOT NULL)",
    f"INSERT INTO book_version VALUES ({BOOK_VERSION})",
    """CREATE TABLE entry (
        seq bigint PRIMARY KEY,
        id text COLLATE "C" NOT NULL UNIQUE,
        on_day text NOT NULL,
        entered text NOT NULL,
        kind text NOT NULL,
        body text NOT NULL,
        by_whom text NOT NULL,
        device text NOT NULL,
        request text NOT NULL,
        about text NOT NULL
    )""",
    "CREATE INDEX entry_request ON entry (request) WHERE request <> ''",
    """CREATE FUNCTION entry_unchanged() RETURNS trigger LANGUAGE plpgsql AS $$
       BEGIN RAISE EXCEPTION 'entries are never changed; void instead'; END $$""",
    """CREATE TRIGGER entry_no_update
       BEFORE UPDATE OF id, on_day, entered, kind, body, by_whom, device, request, about
       ON entry EXECUTE FUNCTION entry_unchanged()""",
    """CREATE TRIGGER entry_no_delete BEFORE DELETE OR TRUNCATE ON entry
       EXECUTE FUNCTION entry_unchanged()""",
)


class PostgresBook:
    """A BookStore in a database; use as a context manager or call close()."""

    def __init__(self, url: str) -> None:
        """Connect, and make the tables when there are none.

        Raises BrokenBook when the server cannot be reached, when the tables are another
        program's, or when a newer program made them.
        """
        with _plainly():
            self._connection = psycopg.connect(url, autocommit=True, connect_timeout=WAIT_SECONDS)
            self._journal = Journal(self._run)
            try:
                self._prepare()
            except BaseException:
                self._connection.close()
                raise

    def _prepare(self) -> None:
        self._connection.execute("SET synchronous_commit = on")
        self._connection.execute(f"SET lock_timeout = '{WAIT_SECONDS}s'")
        if self._ready():
            return
        with self._connection.transaction():
            self._connection.execute("SELECT pg_advisory_xact_lock(%s)", (SETTING_UP,))
            if not self._ready():  # nobody else was quicker
                for statement in SCHEMA:
                    self._connection.execute(statement)

    def _ready(self) -> bool:
        """Whether the tables of a book this program can use are there."""
        # Read as rows: what the session remembers of names may be older than a lock it waited for.
        ours = "FROM pg_tables WHERE schemaname = current_schema() AND tablename"
        query = f"SELECT 2 * count(*) - (SELECT count(*) {ours} = 'entry') {ours} = 'book_version'"
        known = self._one(query)  # -1: entry alone, 0: none, 1: both, 2: the version alone
        if known not in (0, 1):
            raise BrokenBook("This database has tables of another program; it was left as it is.")
        version = self._one("SELECT max(version) FROM book_version") if known else 0
        if version and version > BOOK_VERSION:
            raise BrokenBook(
                f"This book was written by a newer program (book version {version}, "
                f"this program reads up to {BOOK_VERSION}); update the program."
            )
        return bool(known)

    def _one(self, query: str) -> int:
        row = self._connection.execute(query).fetchone()
        return int(row[0]) if row else 0

    def __enter__(self) -> "PostgresBook":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self._connection.close()

    def verify(self) -> None:
        """See that the server flushes what it acknowledges; it checks its own pages."""
        with _plainly():
            if self._one("SELECT (current_setting('fsync') <> 'on')::int"):
                raise BrokenBook(
                    "The database server runs with fsync = off, so a power cut may lose entries; "
                    "set it to on."
                )

    def entries(self, after: int = 0) -> tuple[Entry, ...]:
        """Every entry whose place is beyond `after`, in the order written."""
        return self._journal.entries(after)

    def last(self) -> tuple[int, str]:
        """Place and id of the latest entry; (0, "") in an empty book."""
        return self._journal.last()

    def latest(self) -> int:
        """The number of the latest entry, 0 in an empty book."""
        return self.last()[0]

    def id_at(self, seq: int) -> str:
        """The id of the entry in this place, empty where there is none."""
        return self._journal.id_at(seq)

    @contextmanager
    def writing(self) -> Iterator[Journal]:
        """Hold the book against other writers; commit at the end, or undo all on an error."""
        with _plainly():
            self._connection.execute("BEGIN")
            self._connection.execute("LOCK TABLE entry IN EXCLUSIVE MODE")
        try:
            yield self._journal
            with _plainly():
                self._connection.execute("COMMIT")
        except BaseException:
            if not self._connection.closed:
                self._connection.execute("ROLLBACK")
            raise

    def _run(self, statement: str, values: Sequence[object]) -> Iterable[Row]:
        with _plainly():
            cursor = self._connection.execute(statement.replace("?", "%s"), values)
            return cursor.fetchall() if cursor.description else ()


@contextmanager
def _plainly() -> Iterator[None]:
    """Turn the database's complaints into one sentence about the book."""
    try:
        yield
    except psycopg.errors.LockNotAvailable as error:
        raise BrokenBook(
            "Others have been writing in the book for too long; nothing was written, try again."
        ) from error
    except psycopg.Error as error:
        said = " ".join(str(error).split()).rstrip(".")
        raise BrokenBook(f"The database of the book cannot be used just now: {said}.") from error
