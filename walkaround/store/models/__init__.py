"""The tables."""

from walkaround.store.models.base import Base
from walkaround.store.models.checklists import ChecklistVersionRow
from walkaround.store.models.entries import EntryRow, RefusedRow
from walkaround.store.models.facts import (
    DefectRow,
    DoubtRow,
    HoldRow,
    LinkRow,
    MeasureRow,
    MeterChangeRow,
    ReadingRow,
    RemarkRow,
    WalkRow,
)
from walkaround.store.models.labels import LabelRow
from walkaround.store.models.people import (
    AttemptRow,
    PersonRolesRow,
    PersonRow,
    PhoneGapRow,
    PhoneRow,
    SessionRow,
    TokenRow,
)
from walkaround.store.models.photos import PhotoRow, PhotoUseRow
from walkaround.store.models.site import SettingRow, SiteRow, UnitRow

__all__ = [
    "AttemptRow",
    "Base",
    "ChecklistVersionRow",
    "DefectRow",
    "DoubtRow",
    "EntryRow",
    "HoldRow",
    "LabelRow",
    "LinkRow",
    "MeasureRow",
    "MeterChangeRow",
    "PersonRolesRow",
    "PersonRow",
    "PhoneGapRow",
    "PhoneRow",
    "PhotoRow",
    "PhotoUseRow",
    "ReadingRow",
    "RefusedRow",
    "RemarkRow",
    "SessionRow",
    "SettingRow",
    "SiteRow",
    "TokenRow",
    "UnitRow",
    "WalkRow",
]
