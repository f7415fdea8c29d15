"""Which release of the pages this is: a new one is taken over whole, or not at all."""

import hashlib
from functools import cache

from walkaround import places
from walkaround.web import assets


@cache
def digest() -> str:
    """Return 16 hex digits that change whenever a static file, a template or a translation does."""
    total = hashlib.sha256(assets.digest().encode())
    for folder in (places.templates(), places.languages()):
        for path in sorted(path for path in folder.rglob("*") if path.suffix in (".html", ".po")):
            total.update(path.relative_to(folder).as_posix().encode() + b"\0" + path.read_bytes())
    return total.hexdigest()[:16]
