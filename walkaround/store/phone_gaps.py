"""What phones have not sent: numbers that did not come in, and silence with work waiting."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from walkaround.rules.instant import DAY, HOUR
from walkaround.store.db import site_of
from walkaround.store.models.people import PhoneGapRow, PhoneRow

SILENT = 12 * HOUR  # without a word, while work waits on it
MOST = 2**53  # numbers are exact up to here in every JSON reader


@dataclass(frozen=True)
class Lack:
    """What a supervisor should ask about one phone."""

    phone: PhoneRow
    silent: bool
    gaps: Sequence[PhoneGapRow]  # of which the supervisor should ask, lowest first


def arrived(db: Session, device: object, n: object, now: int) -> None:
    """Note that the entry with that number of an enrolled phone came in, whatever became of it."""
    if not isinstance(device, str) or not isinstance(n, int) or not 0 < n < MOST:
        return
    phone = _locked(db, device)
    if phone is None:
        return
    highest = phone.highest or 0
    if n <= highest:
        return _fill(db, phone, n)
    if n > highest + 1:
        db.add(_gap(phone, highest + 1, n - 1, now))
    phone.highest = n
    return None


def emptied(db: Session, phone: PhoneRow, now: int) -> None:
    """Note that a phone lost what it had kept; what it makes next leaves one number out for it."""
    highest = phone.highest or 0
    last = db.get(PhoneGapRow, (site_of(db), phone.id, highest))
    if last is None or not last.emptied:  # else its last answer did not get there
        phone.highest = highest + 1
        db.add(_gap(phone, highest + 1, highest + 1, now, emptied=True))


def lacking(db: Session, now: int) -> list[Lack]:
    """Return the phones about which nobody has asked yet, by name."""
    row = PhoneGapRow
    gaps: dict[str, list[PhoneGapRow]] = {}
    for gap in db.scalars(select(row).where(row.site == site_of(db)).order_by(row.first)):
        gaps.setdefault(gap.phone, []).append(gap)
    rows = select(PhoneRow).where(PhoneRow.site == site_of(db)).order_by(PhoneRow.name, PhoneRow.id)
    found = [_lack(phone, gaps.get(phone.id, []), now) for phone in db.scalars(rows)]
    return [one for one in found if one.silent or one.gaps]


def _lack(phone: PhoneRow, gaps: Sequence[PhoneGapRow], now: int) -> Lack:
    looked = phone.looked_at or 0
    shown = [gap for gap in gaps if looked < _shown_from(gap) <= now]
    silent_from = (phone.seen_at or now) + SILENT
    return Lack(phone, bool(phone.waiting) and looked < silent_from <= now, shown)


def _shown_from(gap: PhoneGapRow) -> int:
    return gap.since if gap.emptied else gap.since + DAY


def _locked(db: Session, phone: str) -> PhoneRow | None:
    row = select(PhoneRow).where(PhoneRow.site == site_of(db), PhoneRow.id == phone)
    locked = row.with_for_update().execution_options(populate_existing=True)
    return db.scalars(locked).one_or_none()


def _fill(db: Session, phone: PhoneRow, n: int) -> None:
    row = PhoneGapRow
    around = select(row).where(row.site == site_of(db), row.phone == phone.id)
    gap = db.scalars(around.where(row.first <= n, row.last >= n)).one_or_none()
    if gap is None:
        return
    db.delete(gap)
    db.flush()  # a gap that is left may begin where this one did
    for first, last in ((gap.first, n - 1), (n + 1, gap.last)):
        if first <= last:
            db.add(_gap(phone, first, last, gap.since, emptied=gap.emptied))


def _gap(
    phone: PhoneRow, first: int, last: int, since: int, *, emptied: bool = False
) -> PhoneGapRow:
    return PhoneGapRow(
        site=phone.site, phone=phone.id, first=first, last=last, since=since, emptied=emptied
    )
