"""The catalogue of a language: what the code says, read from its source, beside what the catalogue has for it."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from contextlib import redirect_stderr
from dataclasses import dataclass, field
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_javascript, extract_python
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.utils.translation.template import templatize

from courses.greens.answers import known_kinds
from courses.greens.models import WorkStatus
from courses.layout.models import Gender, PartOfDay
from golfstats.calc.trust import table
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import Lie, Part
from golfstats.doors.pages.meanings import FIELDS
from golfstats.ground.answers import field_meanings
from golfstats.ground.clubs.models import DistanceUnit, Role, Scope
from golfstats.ground.events import Happening
from players.coaching.models import ForecastKind
from players.coaching.reports.attention import AttentionKind
from players.figures.answers.figures import FIGURE_OPTIONS
from players.figures.answers.rounds import WorkedOut
from players.figures.meanings import specs_by_key
from players.files.models import ImportKind, ImportState
from players.handicap.actions import KINDS
from players.pictures.subjects import PARTS
from players.plans.answers import SURFACES
from players.rounds.models import RoundFormat

ROOT = Path(__file__).parent.parent.parent
LOCALE = ROOT / "golfstats" / "doors" / "pages" / "locale"
KEYWORDS = ("gettext", "gettext_lazy", "noop", "ngettext", "pgettext", "counted", "counted_words", "Sentence")
COUNTED_IN_TEMPLATES = re.compile(r'counted:"([a-z ]+)"')
COUNTED_BY_FIGURES = re.compile(r'\bof="([a-z]+(?: [a-z]+)?)"|\btell\.plain\([^")]*"([a-z]+(?: [a-z]+)?)"')
"""What a figure's sample is of."""
PLACEHOLDER = re.compile(r"%\((\w+)\)s|\{(\w*)\}")


@dataclass
class Sentence:
    """A sentence of the source: its English words, the plural where it has one, and the files in which it stands."""

    english: str
    plural: str = ""
    context: str | None = None
    files: set[str] = field(default_factory=set)

    @property
    def key(self) -> tuple[str | None, str]:
        return self.context, self.english


def sentences() -> dict[tuple[str | None, str], Sentence]:
    """Every sentence that is marked for translation, by context and English words."""
    known: dict[tuple[str | None, str], Sentence] = {}
    for path in source_files():
        for one in in_file(path):
            kept = known.setdefault(one.key, one)
            kept.plural = kept.plural or one.plural
            kept.files.add(str(path.relative_to(ROOT)))
    for name in sorted(names()):
        known.setdefault((None, name), Sentence(name)).files.add("a closed set")
    return known


def names() -> set[str]:
    """Words of closed sets and names of figures and kinds of work: pages translate them as they show them."""
    sets = (
        Role,
        Scope,
        WorkStatus,
        PartOfDay,
        Gender,
        DistanceUnit,
        Unit,
        ImportState,
        RoundFormat,
        Happening,
        AttentionKind,
        WorkedOut,
    )
    words = {one.value for closed in sets for one in closed}
    words |= {*Lie.words(), *Part.words(), "analysis", "rounds", "shots", "higher", "lower"}
    words |= {"left", "right", "short", "long", "front", "middle", "back"}
    words |= {str(one.label) for closed in (ImportKind, Gender, ForecastKind) for one in closed}
    words |= {one.words for one in KINDS.values()} | {name for _, name in (*FIGURE_OPTIONS, *SURFACES)}
    words |= {spec.meaning for spec in specs_by_key().values()}
    words |= {field_meanings(answer)[field] for _, answer, field in FIELDS.values()}
    words |= {text for kind in known_kinds().values() for text in (kind.words, kind.description)}
    words |= {word for claim in table.claims() for row in claim.rows for word in (row.claim, row.world)}
    words |= {row.size for claim in table.claims() for row in claim.rows if re.search("[a-z]{2}", row.size)}
    return {word.replace("_", " ") for word in (*words, *PARTS)}


def source_files() -> Iterator[Path]:
    for top in ("golfstats", "courses", "players"):
        for path in sorted((ROOT / top).rglob("*")):
            if path.suffix in {".py", ".html", ".js"} and "migrations" not in path.parts:
                yield path


def in_file(path: Path) -> Iterator[Sentence]:
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".html":
        # Django blots out all but the sentences; what indents them is no Python.
        yield from of_python("\n".join(line.strip() for line in templatize(text).splitlines()))
        for what in COUNTED_IN_TEMPLATES.findall(text):
            yield of_counted(what)
    elif path.suffix == ".js":
        for _, _, message, _ in extract_javascript(io.BytesIO(text.encode()), ("t",), (), {}):
            yield Sentence(message if isinstance(message, str) else message[0])
    elif path.suffix == ".py":
        yield from of_python(text)


def of_python(text: str) -> Iterator[Sentence]:
    """What is said in Python, and in what Django makes of a template before it is extracted."""
    for what in COUNTED_BY_FIGURES.findall(text):
        yield of_counted(what[0] or what[1])
    with redirect_stderr(io.StringIO()):  # it warns of each number that is written into a sentence
        found = list(extract_python(io.BytesIO(text.encode()), (*KEYWORDS, "_"), (), {}))
    for _, function, message, _ in found:
        parts = message if isinstance(message, tuple) else (message,)
        if function.startswith("counted"):
            if isinstance(parts[-1], str):
                yield of_counted(parts[-1])
        elif not isinstance(parts[0], str) or not parts[0]:
            continue
        elif function == "ngettext":
            yield Sentence(parts[0], parts[1])
        elif function == "pgettext":
            yield Sentence(parts[1], context=parts[0])
        else:
            yield Sentence(parts[0])


def of_counted(what: str) -> Sentence:
    """The pair of which :func:`golfstats.ground.words.counted` makes a number of things."""
    return Sentence(f"%(n)s {what}", f"%(n)s {what}s")


def placeholders(text: str) -> set[str]:
    return {one or two for one, two in PLACEHOLDER.findall(text)}


def path_of(language: str) -> Path:
    return LOCALE / language / "LC_MESSAGES" / "django.po"


def catalogue_of(language: str) -> Catalog:
    with path_of(language).open("rb") as file:
        return read_po(file, locale=language)


def compiled(catalogue: Catalog) -> bytes:
    file = io.BytesIO()
    write_mo(file, catalogue)
    return file.getvalue()


def write(catalogue: Catalog) -> None:
    """The catalogue and what Django reads of it, as files."""
    path = path_of(str(catalogue.locale))
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        write_po(file, catalogue, width=110, sort_output=True, ignore_obsolete=True, include_lineno=False)
    path.with_suffix(".mo").write_bytes(compiled(catalogue))


def updated(catalogue: Catalog) -> Catalog:
    """The catalogue with every sentence of the source; those without words yet have none."""
    fresh = Catalog(locale=catalogue.locale, header_comment=catalogue.header_comment, fuzzy=False)
    fresh.mime_headers = catalogue.mime_headers
    for one in sentences().values():
        there = catalogue.get(one.english, one.context)
        words = there.string if there else None
        if one.plural:
            words = words if isinstance(words, tuple) else (words or "", "")
        fresh.add(
            (one.english, one.plural) if one.plural else one.english,
            words or "",
            locations=[(name, 0) for name in sorted(one.files)],
            context=one.context,
        )
    return fresh
