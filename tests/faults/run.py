"""One run: twenty phones, a bad line each, and a server that is killed while they send."""

import random
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from threading import Event, Thread

from tests.faults.line import Line
from tests.faults.phone import Phone
from tests.faults.site import Ground, Server, SmallSite
from tests.faults.work import Made, Work
from walkaround import clock

KILLS = 5
LONGEST = 300  # seconds until a run has failed
DOWN = (0.0, 0.3)  # seconds until a killed server is started again


@dataclass
class Run:
    """What was sent from where, through which lines, to which site."""

    site: SmallSite
    phones: list[Phone]
    lines: list[Line]
    kills: int = 0
    caught: int = 0  # requests that were with the server when it was killed

    @property
    def made(self) -> list[Made]:
        return [made for phone in self.phones for made in phone.work.made]

    @property
    def results(self) -> dict[str, str]:
        """What replies have said of which entry."""
        return {id: said for phone in self.phones for id, said in phone.results.items()}

    @property
    def happened(self) -> Counter[str]:
        """How often what happened on the lines."""
        return Counter(fate for line in self.lines for fate in line.happened)

    def send(self, server: Server, chance: random.Random) -> None:
        """Let all phones send; kill the server again and again while they do."""
        enough, end = Event(), time.monotonic() + LONGEST
        phones = [Thread(target=phone.send_all, args=(enough,)) for phone in self.phones]
        for phone in phones:
            phone.start()
        try:
            for kill in range(KILLS):
                self._wait_for((kill + chance.random()) / (KILLS + 1), end)
                self._kill(server, chance)
            for phone in phones:
                phone.join(max(0, end - time.monotonic()))
        finally:
            enough.set()
            for phone in phones:
                phone.join()

    def _wait_for(self, share: float, end: float) -> None:
        """Wait until this share of the entries is acknowledged."""
        wanted = share * len(self.made)
        while sum(len(phone.results) for phone in self.phones) < wanted and time.monotonic() < end:
            time.sleep(0.005)

    def _kill(self, server: Server, chance: random.Random) -> None:
        self.caught += sum(len(line.under_way) for line in self.lines)
        server.kill()
        self.kills += 1
        time.sleep(chance.uniform(*DOWN))
        server.start()


def run(ground: Ground, folder: Path, seed: int) -> Run:
    """Return when everything was sent that could be, and nothing is under way any more."""

    def chance(what: str) -> random.Random:
        return random.Random(f"{seed} {what}")

    site, now = ground.copy(folder), clock.now()
    lines = [Line(site.address, chance(f"line {place}")) for place, _ in enumerate(ground.phones)]
    phones = []
    for place, (held, line) in enumerate(zip(ground.phones, lines, strict=True)):
        work = Work(held.holder, held.device, ground.shift, now, chance(f"work {place}"))
        work.gather(place)
        phones.append(Phone(line.port, dict(held.cookies), work, chance(f"phone {place}")))
    made = Run(site, phones, lines)
    with Server(site) as server:
        try:
            made.send(server, chance("kills"))
        finally:
            for line in lines:
                line.close()
    return made
