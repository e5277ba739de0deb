"""Files: everything a person may see to take along, and rounds that come in by file."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from typing import Annotated, Any

from django.core.files.uploadhandler import MemoryFileUploadHandler, TemporaryFileUploadHandler
from django.http.multipartparser import MultiPartParser, MultiPartParserError
from pydantic import AfterValidator, BaseModel, ConfigDict, Field, Json

from golfstats.ground import inputs
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.faults import ProblemError
from golfstats.ground.input_words import input_fault
from golfstats.ground.operations import (
    Asker,
    Change,
    Done,
    Download,
    Listing,
    Operation,
    Query,
    Reading,
    Subject,
)
from golfstats.ground.resources import reading_of
from golfstats.ground.seats import seat
from golfstats.ground.stretches import filtered
from golfstats.sentences import Sentence
from players.files import answers, services
from players.files.announcing import IMPORT_ENDED
from players.files.incoming.dialect import DateOrder, text_of
from players.files.incoming.parsing import Layout
from players.files.incoming.taken_along import FILE_LIMIT, csv_of, csv_within
from players.files.models import Import, ImportKind
from players.files.outgoing import exports
from players.files.outgoing.tables import FigureLine, ShotLine
from players.rounds.announcing import ROUND_POSTED
from players.rounds.answers import RoundInFull, visible_rounds
from players.rounds.operations import WhichRounds

FORM = "multipart/form-data"
ZIP = "application/zip"
CSV = "text/csv; charset=utf-8; header=present"
BEGUN = 202

IMPORT = Subject(
    word="import",
    parameter="import_id",
    root="import",
    model=Import,
    visible=lambda asker: services.visible_imports(asker.member),
    head=answers.Import,
    heads=answers.import_heads,
)


def without_nul(text: str) -> str:
    """JSON writes the character that PostgreSQL's text cannot hold as an escape, which no look at the form finds."""
    if inputs.NUL in text:
        raise input_fault("not_text", Sentence("text has no NUL character"))
    return text


Text = Annotated[str, AfterValidator(without_nul)]


class ImportForm(BaseModel):
    """A file of rounds, and how to read it."""

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid", str_strip_whitespace=True)

    file: bytes = Field(
        description="CSV (RFC 4180) with a header; comma, semicolon or tab; UTF-8, UTF-16 or Windows-1252. Or the "
        "zip of `me/record` of another club; its rounds are yours, or of whom `constants` names as `player`."
    )
    kind: ImportKind = Field(description="A line a round with scores, or a line a shot.")
    columns: Json[dict[Text, Text]] = Field(
        default_factory=dict,
        description="JSON: the file's name for each of our columns; for columns of every hole with {n}, "
        'as in {"player": "Name", "score": "Hole {n}"}.',
    )
    constants: Json[dict[Text, Text]] = Field(
        default_factory=dict,
        description='JSON: what the file does not hold, as in {"course": "Larkmoor Old", "tee": "White"}.',
    )
    unit: DistanceUnit | None = Field(default=None, description="Without it, the club's unit.")
    dates: DateOrder = Field(
        default=DateOrder.YEAR_FIRST,
        description="How days are written: 2026-06-14, or day first (14.6.2026), or month first (6/14/2026).",
    )
    dry_run: bool = Field(default=False, description="Look at the file and save nothing.")


class GuessForm(BaseModel):
    """A file of which nobody has said yet what it holds."""

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid")

    file: bytes = Field(description="As for an import; only its header and first lines are looked at.")


def import_form(body: bytes, content_type: str) -> ImportForm:
    return inputs.checked(ImportForm, fields_of(body, content_type))


def record_form(body: bytes, _: str) -> ImportForm:
    """The zip alone: the shots of one's own rounds."""
    return ImportForm(file=csv_within(body, ImportKind.SHOTS), kind=ImportKind.SHOTS)


def guess_form(body: bytes, content_type: str) -> GuessForm:
    return inputs.checked(GuessForm, fields_of(body, content_type))


def fields_of(body: bytes, content_type: str) -> dict[str, object]:
    """The fields of a multipart form."""
    about = {"CONTENT_TYPE": content_type, "CONTENT_LENGTH": str(len(body))}
    handlers = [MemoryFileUploadHandler(), TemporaryFileUploadHandler()]
    try:
        fields, files = MultiPartParser(about, io.BytesIO(body), handlers, "utf-8").parse()
    except MultiPartParserError as error:
        raise ProblemError(
            "not-a-form", Sentence("The body is no multipart form"), detail=str(error)
        ) from None
    uploaded = files.get("file")
    file = {} if uploaded is None else {"file": uploaded.read()}
    return fields.dict() | file


def _import(asker: Asker, form: ImportForm) -> Done:
    with seat(asker.member.club.id):
        text, _ = text_of(csv_of(form.file, form.kind))
        layout = Layout(form.kind, form.columns, form.constants, form.dates)
        unit = form.unit or DistanceUnit(asker.distance_unit)
        if form.dry_run:
            return Done(answers.findings_of(services.look_at(asker.member, text, layout, unit)), status=200)
        (begun,) = answers.import_heads(asker, [services.start(asker.member, text, layout, unit)])
        return Done(begun)


class Exported(WhichRounds):
    """Which rounds, and in which unit their lengths are."""

    unit: DistanceUnit | None = Field(None, description="Of every length; the club's if left out.")


class DictionaryQuery(Query):
    unit: DistanceUnit | None = Field(None, description="Of every length; the club's if left out.")


def _guess(asker: Asker, form: GuessForm) -> answers.ImportGuess:
    with seat(asker.member.club.id):
        return answers.guess_of(form.file)


Writer = Callable[..., Iterator[Any]]
MEDIA_TYPES = {"csv": CSV, "json": "application/json", "parquet": "application/vnd.apache.parquet"}


def _download(
    table: str, form: str, write: Writer, summary: str, description: str = "", answer: type | None = None
) -> Download:
    """Every round that the member may see and the query names, written by ``write``."""

    def pieces(asker: Asker, query: Exported) -> Iterator[Any]:
        rounds = filtered(visible_rounds(asker.member), query)
        asker.looks_at("shots", rounds.order_by().values_list("player_id", flat=True).distinct())
        return write(rounds, asker.club.id, query.unit or asker.distance_unit)

    return Download(
        name=f"export-{table}-{form}",
        id=f"export_{table}_{form}",
        path=f"export/{table}.{form}",
        summary=summary,
        description=description,
        query=Exported,
        pieces=pieces,
        media_type=MEDIA_TYPES[form],
        file_name=f"{table}.{form}",
        answer=answer,
    )


def _dictionary(asker: Asker, query: DictionaryQuery) -> answers.DataDictionary:
    return answers.dictionary(query.unit or asker.distance_unit)


GUARDED = "A text that a spreadsheet would take for a formula has an apostrophe in front."
ONE_UNIT = "Every length is in one unit, on the green too; `export/dictionary` says what each column means."
PARQUET = (
    "A row group holds a hundred rounds. Unit, meaning and codes stand in each column's metadata, "
    "all of them as JSON in the file's `data_dictionary`."
)

OPERATIONS: list[Operation] = [
    _download(
        "rounds",
        "csv",
        exports.rounds_csv,
        "Rounds as CSV, a line a round with the score of each hole; can be imported again",
        GUARDED,
    ),
    _download(
        "rounds",
        "json",
        exports.rounds_json,
        "Rounds as JSON, shot by shot; the `round` within each could be posted again",
        answer=list[RoundInFull],
    ),
    _download("rounds", "parquet", exports.rounds_parquet, "Rounds as Parquet, a line a round", PARQUET),
    _download(
        "shots",
        "csv",
        exports.shots_csv,
        "Shots as CSV, a line a shot with its strokes gained; can be imported again",
        f"{ONE_UNIT} {GUARDED} Where a round has shots, a hole without any is a line without a shot, with what else is "
        "known of it, so that the whole round comes in again.",
    ),
    _download(
        "shots", "json", exports.shots_json, "Shots as JSON, an object a shot", ONE_UNIT, list[ShotLine]
    ),
    _download(
        "shots", "parquet", exports.shots_parquet, "Shots as Parquet, a line a shot", f"{ONE_UNIT} {PARQUET}"
    ),
    _download(
        "figures", "csv", exports.figures_csv, "Figures as CSV, a line for each figure of each round", GUARDED
    ),
    _download(
        "figures",
        "json",
        exports.figures_json,
        "Figures as JSON, an object for each figure of each round",
        answer=list[FigureLine],
    ),
    _download(
        "figures",
        "parquet",
        exports.figures_parquet,
        "Figures as Parquet, a line for each figure of each round",
        PARQUET,
    ),
    Reading(
        name="export-dictionary",
        id="read_data_dictionary",
        path="export/dictionary",
        summary="What each column of the exports means: type, unit, meaning and codes",
        query=DictionaryQuery,
        read=_dictionary,
        answer=answers.DataDictionary,
    ),
    Listing(
        name="imports",
        id="list_imports",
        path="imports",
        field="imports",
        summary="Your imports, newest first; a manager sees everybody's",
        rows=IMPORT.visible,
        of=IMPORT,
        order=("-id",),
    ),
    Change(
        name="imports",
        id="import_rounds",
        path="imports",
        verb="POST",
        summary="Import rounds from a CSV file of hole scores or of shots, or from a record of another club",
        description=(
            "At most 5 MB with a header; comma, semicolon or tab between cells, decimal point or comma, UTF-8, "
            "UTF-16 or Windows-1252. The columns are those of the exports unless `columns` names others, and days "
            "are written as `dates` says; `imports/guess` tells what both probably are. With `dry_run` the file is "
            "only looked at. Every fault has its line and column. A worker saves all rounds or none; rounds that "
            "are there already are left out, so the same file twice adds nothing. The zip "
            "of `me/record` of another club is taken as it is, as the body or as the form's `file`: alone the shots of "
            "your own rounds, in a form what `kind` says, and by a coach or manager for the `player` of `constants`."
        ),
        accepts={FORM: import_form, ZIP: record_form},
        form=ImportForm,
        limit=FILE_LIMIT,
        sends_later=(IMPORT_ENDED, ROUND_POSTED),
        do=_import,
        gives=answers.Import,
        status=BEGUN,
        also={200: answers.ImportFindings},
    ),
    Change(
        name="guess-import",
        id="guess_import",
        path="imports/guess",
        verb="POST",
        summary="What the columns of a file probably are, before it is imported; nothing is saved",
        description="Where the guess is right, send its `kind`, `columns` (as an object) and `dates` with the file.",
        accepts={FORM: guess_form},
        form=GuessForm,
        limit=FILE_LIMIT,
        do=_guess,
        gives=answers.ImportGuess,
        status=200,
    ),
    reading_of(
        IMPORT,
        name="import",
        id="read_import",
        path="imports/<uuid:import_id>",
        summary="How far an import is, and every fault it has found",
    ),
]
