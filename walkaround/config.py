"""Every setting, read from the environment once; what cannot be understood stops the start."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from walkaround import places

PREFIX = "WALKAROUND_"
CHOICES = {PREFIX + "JOURNAL": ("wal", "delete"), PREFIX + "WORKER": ("on", "off")}


class BadSetting(Exception):
    """A setting has a value that cannot be used; the message says what would be right."""


@dataclass(frozen=True)
class Config:
    """The settings; each is WALKAROUND_ and its name in capitals."""

    data: Path = Path("data")
    database_url: str = ""
    base_url: str = "http://127.0.0.1:8000"
    checklists: Path = places.checklists()
    proxies: int = 0
    journal: str = ""
    worker: str = "on"

    @property
    def database(self) -> str:
        """Return the database's address: a file in the data folder unless set."""
        return self.database_url or f"sqlite:///{self.data / 'walkaround.db'}"

    @property
    def https(self) -> bool:
        """Say whether people reach the site over HTTPS."""
        return self.base_url.startswith("https://")

    @property
    def hosts(self) -> list[str]:
        """Return the host names that are answered."""
        return [urlsplit(self.base_url).hostname or "", "localhost", "127.0.0.1", "[::1]"]


def read(environment: Mapping[str, str]) -> Config:
    """Return the settings, or raise BadSetting."""
    known = {PREFIX + field.name.upper(): field.name for field in fields(Config)}
    given = {name: value for name, value in environment.items() if name.startswith(PREFIX)}
    for name in given:
        if name not in known:
            raise BadSetting(f"{name} is no setting; there are {', '.join(sorted(known))}")
    return replace(Config(), **{known[n]: _read(n, value) for n, value in given.items()})


def _read(name: str, value: str) -> Any:
    if name in (PREFIX + "DATA", PREFIX + "CHECKLISTS"):
        return Path(value).expanduser().absolute()
    if name == PREFIX + "PROXIES":
        if not value.isdecimal():
            raise BadSetting(f"{name}={value}: this must be a number of proxies, like 1")
        return int(value)
    if name == PREFIX + "BASE_URL":
        return _base_url(name, value)
    choices = CHOICES.get(name)
    if choices and value not in choices:
        raise BadSetting(f"{name}={value}: this must be {' or '.join(choices)}")
    return value


def _base_url(name: str, value: str) -> str:
    parts = urlsplit(value)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.path.strip("/"):
        raise BadSetting(f"{name}={value}: this must be like https://walkaround.example")
    return value.rstrip("/")
