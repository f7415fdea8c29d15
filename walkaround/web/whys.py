"""Why something is in doubt or was refused: it is kept in English, and read in any language."""

import re

from walkaround.rules.refusal import N_
from walkaround.web.language import say

SENTENCES = (
    N_("the same id came with other content"),
    N_("could not be read: %(error)s"),
    N_("There is no unit %(number)s here."),
    N_("This could not be read: %(error)s."),
    N_("This speaks of somebody else's entry."),
    N_("This id is in the logbook with other content."),
    N_("'%(kind)s' is not a kind of entry"),
    N_("id: an entry needs a UUID, made where the entry was made"),
    N_("by: it does not say who made it"),
    N_("until: a defect can be deferred for %(days)s days at the most"),
)
# What the kind is called stands above it, in the reader's language.
ROLE = "%(who)s may not enter this: %(kind)s is for other roles."
SHOWN = {sentence: sentence for sentence in SENTENCES} | {
    ROLE: N_("%(who)s may not enter this: it is for other roles.")
}


def why(kept: str) -> str:
    """Return what was kept as a sentence for the reader; as it is where it is none of these."""
    for sentence, shown in SHOWN.items():
        if found := _pattern(sentence).fullmatch(kept):
            gaps = {name: why(words) for name, words in found.groupdict().items()}
            return say(shown, **gaps)
    return kept


def _pattern(sentence: str) -> re.Pattern[str]:
    gaps = re.sub(r"%\\\((\w+)\\\)s", r"(?P<\1>.+)", re.escape(sentence))
    return re.compile(gaps, re.DOTALL)  # what could not be read may hold lines
