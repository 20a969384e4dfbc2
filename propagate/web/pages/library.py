"""The method library to browse and search, and the start of a batch from one of its cards."""

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from attrs import frozen
from starlette.requests import Request
from starlette.responses import Response

from propagate.actions.asking import find_records, months_of
from propagate.actions.desk import Desk
from propagate.actions.previewing import preview_batch
from propagate.actions.sharing import last_seq
from propagate.errors import NotFound, PropagateError
from propagate.names import PlantName, parse
from propagate.nearness import folded
from propagate.planning.cards import method_card, months_words, range_words, weeks_words
from propagate.records.answers import BatchForecast
from propagate.records.methods import Method, MethodRecord
from propagate.records.prints import MethodCard
from propagate.web.forms import Form, asked_number, new_key, read_form
from propagate.web.keeper import keeper
from propagate.web.pages.tray import answered
from propagate.web.rendering import page, reader, wants_data
from propagate.web.speech import Units
from propagate.web.strips import SeasonStrip, season_strip
from propagate.web.writing import read_plan, write_start
from propagate.worded import worded

MOST_RECORDS = 60
MOST_PLANTS = 200


@frozen
class RecordRow:
    """One record in a list of finds."""

    record: MethodRecord
    method: Method
    name: PlantName | None
    names: Mapping[str, str]
    months: str
    weeks: str
    take: str

    @property
    def address(self) -> str:
        """Where its card is."""
        plant = f"/{self.record.plant}" if self.record.plant else ""
        return f"/methods/{self.record.method}{plant}"


@frozen
class Shelf:
    """What the library page shows."""

    rows: tuple[RecordRow, ...]
    more: int
    methods: tuple[Method, ...]
    trouble: str
    seen: int


def shelf_of(desk: Desk, words: Sequence[str], method: str, month: int | None) -> Shelf:
    """Records that fit all that was asked; with nothing asked, only the methods themselves."""
    methods, library = desk.library.methods(), desk.library
    found: Sequence[MethodRecord] = ()
    trouble = ""
    if words or method or month:
        try:
            found = find_records(library, words, month, desk.nursery)
        except NotFound as error:
            trouble = error.said
    found = [record for record in found if not method or record.method == method]
    rows = tuple(_row(desk, record) for record in found[:MOST_RECORDS])
    more = len(found) - len(rows)
    return Shelf(rows, more, tuple(methods), trouble, last_seq(desk.book))


def _row(desk: Desk, record: MethodRecord) -> RecordRow:
    name = parse(record.plant) if record.plant else None
    take = record.taking.take
    return RecordRow(
        record=record,
        method=desk.library.method(record.method),
        name=name,
        names=desk.library.common_names(name) if name else {},
        months=months_words(record, desk.nursery),
        weeks=weeks_words(*record.weeks),
        take=range_words(take.low, take.high, share=True) if take else "",
    )


async def methods(request: Request) -> Response:
    """Search by plant, method and month."""
    asked = request.query_params
    typed, method = asked.get("q", "").strip()[:100], asked.get("method", "")[:60]
    month = asked_number(request, "month")
    number = month if 1 <= month <= 12 else None
    shelf = await request.app.state.bench.room.ask(
        lambda desk: shelf_of(desk, typed.split(), method, number)
    )
    return page(request, "methods.html", shelf=shelf, typed=typed, method=method, month=number or 0)


@frozen
class CardView:
    """One record's card, and whether plants stand in the book for it."""

    record: MethodRecord
    card: MethodCard
    months: tuple[int, ...]
    names: Mapping[str, str]
    seen: int


def card_view(desk: Desk, method_id: str, plant: str, units: Units) -> CardView:
    """The card of a record; raises NotFound when the library has none of this name."""
    method = desk.library.method(method_id)
    record = method.general
    if plant:
        wanted = folded(plant)
        found = [one for one in method.records if one.plant and folded(one.plant) == wanted]
        if not found:
            raise NotFound(
                worded(
                    "The library has no record of {plant} by {method}.",
                    plant=plant,
                    method=worded(method.name),
                )
            )
        record = found[0]
    card = method_card(desk.library, record, desk.nursery, units)
    names = desk.library.common_names(parse(record.plant)) if record.plant else {}
    return CardView(record, card, months_of(record, desk.nursery), names, last_seq(desk.book))


async def card(request: Request) -> Response:
    """One record with all its numbers and where each is from."""
    method, plant = request.path_params["method"][:60], request.path_params.get("plant", "")[:200]
    bench, units = request.app.state.bench, reader(request).units
    try:
        view = await bench.room.ask(lambda desk: card_view(desk, method, plant, units))
    except PropagateError as error:
        latest = await bench.room.latest()
        return page(request, "find.html", 404, typed="", trouble=error.said, seen=latest)
    return page(request, "card.html", view=view)


@frozen
class Preview:
    """What would follow from the batch that is about to be started."""

    name: PlantName
    method: Method
    answer: BatchForecast
    strip: SeasonStrip
    cautions: tuple[str, ...]
    short: tuple[str, ...]


def preview_of(desk: Desk, form: Form) -> Preview:
    """Work out a batch that is not yet in the book; raises Refused when it cannot be started."""
    plan = read_plan(desk, form)
    answer = preview_batch(desk, plan)
    return Preview(
        name=plan.plant,
        method=desk.library.method(plan.method),
        answer=answer,
        strip=season_strip(plan.on, answer.pot_on, desk.today),
        cautions=desk.library.cautions(plan.method, plan.plant),
        short=desk.library.short_cautions(plan.method, plan.plant),
    )


@frozen
class Way:
    """One way to multiply a plant, and the address of the form with this way chosen."""

    row: RecordRow
    address: str


def ways_of(desk: Desk, typed: Mapping[str, str]) -> tuple[Way, ...]:
    """The ways that the library has a record of for the plant of a form.

    Those whose months it is come first. Raises NotFound for a plant that nobody knows.
    """
    name, library = desk.library.resolve(typed["plant"]), desk.library
    found = [library.record(method.id, name) for method in library.methods()]
    records = [match.record for match in found if match.level == "species"]
    records.sort(key=lambda record: desk.today.month not in months_of(record, desk.nursery))
    return tuple(
        Way(_row(desk, record), f"/start?{urlencode({**typed, 'method': record.method})}")
        for record in records
    )


async def start(request: Request) -> Response:
    """The form for a new batch, with its dates and plants before it is saved."""
    query = {key: value[:200] for key, value in request.query_params.items()}
    return await _start_page(request, Form(query, tuple(query.items())))


async def _start_page(
    request: Request, form: Form, trouble: str = "", status: int = 200
) -> Response:
    bench, typed = request.app.state.bench, form.values
    preview, ways = None, None
    try:
        if typed.get("plant") and not typed.get("method") and not trouble:
            ways = await bench.room.ask(lambda desk: ways_of(desk, typed))
        elif typed.get("count") and typed.get("plant") and not trouble:
            preview = await bench.room.ask(lambda desk: preview_of(desk, form))
    except PropagateError as error:
        trouble, status = error.said, 422

    def around(desk: Desk) -> dict[str, Any]:
        book = desk.book
        return {
            "methods": desk.library.methods(),
            "places": tuple(desk.nursery.places),
            "mothers": tuple(sorted(book.stock_plants)),
            "plants": tuple(sorted({str(s.name) for s in book.batches.values()}))[:MOST_PLANTS],
            "today": desk.today,
            "seen": last_seq(book),
        }

    known = await bench.room.ask(around)
    return page(
        request,
        "start.html",
        status,
        typed=typed,
        preview=preview,
        ways=ways,
        trouble=trouble,
        key=new_key,
        **known,
    )


async def begin(request: Request) -> Response:
    """Start the batch."""
    bench = request.app.state.bench
    form = Form({}, ())
    try:
        form = await read_form(request)
        done = await bench.room.write(keeper(request), lambda desk: write_start(desk, form))
    except PropagateError as error:
        if wants_data(request):
            from starlette.responses import JSONResponse

            return JSONResponse({"refused": reader(request).tell(error.said), "changes": []}, 422)
        return await _start_page(request, form, error.said, 422)
    return answered(request, done, f"/T/{done.code}?done={done.seq}#done")
