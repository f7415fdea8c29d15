"""What is still to be done, in the order of time."""

import heapq
from collections.abc import Callable

Act = Callable[[int], object]  # what it returns is of no interest


class Agenda:
    """Acts with their instants; an act may add others that come later."""

    def __init__(self) -> None:
        self._waiting: list[tuple[int, int, Act]] = []
        self._count = 0

    def add(self, at: int, act: Act) -> None:
        """Let something be done at an instant; of two at one instant the first added goes first."""
        heapq.heappush(self._waiting, (at, self._count, act))
        self._count += 1

    def run(self, until: int) -> None:
        """Do everything up to an instant, that instant included; what comes later never is."""
        while self._waiting and self._waiting[0][0] <= until:
            at, _, act = heapq.heappop(self._waiting)
            act(at)
