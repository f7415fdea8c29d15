"""What each kind of entry says: its body, judged by its shape alone."""

from walkaround.rules.decided import (
    Clear,
    Confirm,
    Correction,
    Defer,
    Hold,
    LayUp,
    Release,
    Return,
    Settle,
)
from walkaround.rules.found import Answer, Defect, Walkaround
from walkaround.rules.shape import Body, is_uuid
from walkaround.rules.stated import Fill, Hours, MeterChange, Service

__all__ = [
    "KINDS",
    "Answer",
    "Body",
    "Clear",
    "Confirm",
    "Correction",
    "Defect",
    "Defer",
    "Fill",
    "Hold",
    "Hours",
    "LayUp",
    "MeterChange",
    "Release",
    "Return",
    "Service",
    "Settle",
    "Walkaround",
    "is_uuid",
]

KINDS: dict[str, type[Body]] = {
    "walkaround": Walkaround,
    "defect": Defect,
    "clear": Clear,
    "defer": Defer,
    "hold": Hold,
    "release": Release,
    "hours": Hours,
    "meter_change": MeterChange,
    "service": Service,
    "fill": Fill,
    "lay_up": LayUp,
    "return": Return,
    "correction": Correction,
    "confirm": Confirm,
    "settle": Settle,
}
