"""Which shifts a walk-around that is made now may be for."""

from walkaround.rules.setting import SiteRules
from walkaround.rules.shift import Shift


def choices(site: SiteRules, now: int) -> tuple[Shift, ...]:
    """Return the coming shift where it is near enough to be walked for, then the present one."""
    coming, present = site.roster.next(now), site.roster.at(now)
    near = coming is not None and now >= coming.start - site.early(coming.start)
    return tuple(shift for shift in (coming if near else None, present) if shift)


def coming(site: SiteRules, now: int, until: int) -> tuple[tuple[Shift, int], ...]:
    """Return the present shift and those that start by an instant, each with the instant from
    which a walk for it may begin."""
    shift = site.roster.at(now) or site.roster.next(now)
    found = []
    while shift and shift.start <= until:
        found.append((shift, shift.start - site.early(shift.start)))
        shift = site.roster.next(shift.start)
    return tuple(found)
