"""How fast PINs may be tried: after some failures each next try waits, doubling."""

from dataclasses import dataclass

from walkaround.rules.instant import MINUTE, SECOND


@dataclass(frozen=True)
class Count:
    """Failures so far, and the instant of the last one."""

    failures: int
    failed_at: int


@dataclass(frozen=True)
class Pace:
    """What failures cost. `forgets`: one failure is forgotten after each such time."""

    free: int
    longest: int
    closes_at: int | None = None
    forgets: int | None = None
    first: int = SECOND


# The third failure costs a second, the thirteenth 15 minutes; after the twentieth only a new PIN
# helps. The numbers are ours; NIST SP 800-63B asks for no more than 100 in a row on one account.
PERSON_ON_PHONE = Pace(free=2, longest=15 * MINUTE, closes_at=20)

# Over all phones nobody is slowed, so that a phone elsewhere cannot keep a colleague waiting.
PERSON = Pace(free=50, longest=0, closes_at=50)

# A shared phone and a site behind one address see many honest mistakes, so these only brake
# somebody who tries the same few PINs on many people.
PHONE = Pace(free=20, longest=MINUTE, forgets=2 * MINUTE)
ADDRESS = Pace(free=100, longest=MINUTE, forgets=MINUTE // 4)


def standing(pace: Pace, count: Count, now: int) -> int:
    """Return how many failures still count."""
    if pace.forgets is None:
        return count.failures
    return max(0, count.failures - max(0, now - count.failed_at) // pace.forgets)


def wait(pace: Pace, failures: int) -> int:
    """Return the milliseconds that the last of so many failures costs."""
    costly = failures - pace.free
    if costly <= 0:
        return 0
    # Beyond 2^40 any wait is over the longest; a huge shift would only burn memory.
    return min(pace.longest, pace.first << min(costly - 1, 40))


def open_at(pace: Pace, count: Count, now: int) -> bool:
    """Say whether one more try is taken now."""
    failures = standing(pace, count, now)
    if pace.closes_at is not None and failures >= pace.closes_at:
        return False
    # A clock that was set back must not lengthen a wait.
    return not 0 <= now - count.failed_at < wait(pace, failures)


def after_failure(pace: Pace, count: Count | None, now: int) -> Count:
    """Return the count with one more failure."""
    return Count(1 if count is None else standing(pace, count, now) + 1, now)
