"""A unit's own book: each entry in words, newest first."""

from collections.abc import Iterator
from dataclasses import dataclass

from flask import Blueprint, Response, abort, g, render_template, request

from walkaround.rules.entry import CLOCK, LEFT, LIST, Book, Doubt, Entry
from walkaround.rules.instant import MINUTE
from walkaround.rules.person import may_correct
from walkaround.rules.refusal import N_
from walkaround.store import book_page, defects, logbook, units
from walkaround.store.book_page import BookPage
from walkaround.store.models import EntryRow, UnitRow
from walkaround.web.content_words import of_doubt
from walkaround.web.entry_words import Known, known, lines, title
from walkaround.web.guards import may, signed_in
from walkaround.web.language import say
from walkaround.web.lines import who
from walkaround.web.moments import clock_words, moment

DIGITS = 16  # of a hash: enough to compare with an export, short enough to read out
LATE = 2 * MINUTE

UNCONFIRMED = {
    CLOCK: N_("its time cannot be right"),
    LEFT: N_("its maker had left"),
    LIST: N_("its checklist, the version or an item is not known here"),
}

bp = Blueprint("logbook", __name__)


@dataclass(frozen=True)
class EntryShown:
    """One entry as the page shows it."""

    id: str
    seq: int
    kind: str
    title: str
    lines: list[str]
    contents: list[tuple[str, list[str]]]  # of a doubt: what stands, and what came
    who: str
    when: str
    notes: list[str]
    hash: str
    confirms: bool  # the reader can confirm it
    corrects: bool  # the reader can correct it


@bp.get("/units/<number>/logbook")
@signed_in
def show(number: str) -> str:
    """Show one page of a unit's logbook."""
    unit = units.find(g.db, number) or abort(404)
    before = request.args.get("before", "0")
    if not before.isdecimal() or len(before) > 12:
        abort(404)
    found = book_page.page(g.db, unit, int(before))
    return render_template("logbook/show.html", unit=unit, found=found, shown=_shown(unit, found))


@bp.get("/units/<number>/logbook.jsonl")
@may("supervisor")
def export(number: str) -> Response:
    """Return the whole logbook as JSON Lines, as the command does."""
    unit = units.find(g.db, number) or abort(404)
    text = "".join(f"{line}\n" for line in logbook.export(g.db, unit.number))
    headers = {"Content-Disposition": "attachment; filename=logbook.jsonl"}
    return Response(text, headers=headers, mimetype="application/jsonl")


def _shown(unit: UnitRow, found: BookPage) -> list[EntryShown]:
    about = known(unit.number, [made.body for made in found.entries.values()])
    clears = {row.id: row.by for row in found.rows if row.kind == "clear"}
    own = defects.same_person(g.db, unit.number, clears)
    return [
        _entry(row, found.entries[row.id], found.book, about, own_find=row.id in own)
        for row in found.rows
    ]


def _entry(row: EntryRow, made: Entry, book: Book, about: Known, *, own_find: bool) -> EntryShown:
    mine = row.by == g.person.crew_number
    made_by_people = row.kind not in ("doubt", "label")
    by = f"{who(row.by)}, {row.by}" if row.by else say("the server")
    unconfirmed = made_by_people and not book.full(made) and made.id not in book.contested
    return EntryShown(
        id=row.id,
        seq=row.seq,
        kind=row.kind,
        title=title(row.kind),
        lines=lines(made.body, about),
        contents=of_doubt(row) if isinstance(made.body, Doubt) else [],
        who=by,
        when=moment(made.made_at),
        notes=list(_notes(row, made, book, own_find=own_find)),
        hash=row.hash[:DIGITS],
        confirms=mine and unconfirmed,
        corrects=made_by_people and may_correct(g.person.roles, g.person.crew_number, row.by or ""),
    )


def _notes(row: EntryRow, made: Entry, book: Book, *, own_find: bool) -> Iterator[str]:
    """Yield what a reader must know of an entry besides what it says."""
    yield from _standing(made, book)
    if own_find:
        yield say("Finder and clearer are the same person.")
    if words := clock_words(row.skew_ms):
        yield words
    if made.received_at - made.made_at >= LATE:
        yield say("Came in %(when)s", when=moment(made.received_at))


def _standing(made: Entry, book: Book) -> Iterator[str]:
    """Yield what keeps an entry from counting fully."""
    if made.id in book.contested:
        yield say("In doubt: it came with other content as well. Only what is strict counts.")
    elif not made.confirmed:
        yield _unconfirmed(made, signed_later=book.full(made))
    if book.withdrawn(made):
        yield say("Withdrawn: what it covers, or the number that it states, counts no more.")


def _unconfirmed(made: Entry, *, signed_later: bool) -> str:
    if signed_later:
        return say("It came in unconfirmed; its maker has confirmed it since.")
    causes = [say(UNCONFIRMED[cause]) for cause in sorted(made.trouble)]
    why = ", ".join(causes) or say("its PIN was wrong or missing")
    return say("Unconfirmed: %(why)s. What is bad in it counts, what is good does not.", why=why)
