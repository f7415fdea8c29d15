"""A defect that was found outside a walk-around, at any time of the shift."""

from collections.abc import Iterable

from flask import Blueprint, flash, g, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import BooleanField, SelectMultipleField, StringField

from walkaround import clock
from walkaround.actions.report_defect import Report, report_defect
from walkaround.rules.checklist import Checklist, Item
from walkaround.rules.refusal import Refusal
from walkaround.rules.words import say as say_text
from walkaround.store import checklists
from walkaround.store.standings import Standing
from walkaround.web import photos
from walkaround.web.guards import signed_in
from walkaround.web.language import say
from walkaround.web.lines import sent_before
from walkaround.web.signing import EntryForm
from walkaround.web.units import OCCASIONS, standing_of

bp = Blueprint("reports", __name__, url_prefix="/units/<number>/defects/new")


class ReportForm(EntryForm):
    """What is wrong, in taps and words."""

    findings = SelectMultipleField(validate_choice=False)
    what = StringField()
    critical = BooleanField()
    photos = SelectMultipleField(validate_choice=False)

    def what_in(self, item: Item | None) -> str:
        """Return the words, else the findings that were tapped, in words."""
        if typed := (self.what.data or "").strip():
            return str(typed)
        known = item.findings if item else {}
        tapped = [say_text(known[name], g.language) for name in self.findings.data if name in known]
        return ", ".join(tapped)


@bp.route("", methods=["GET", "POST"])
@signed_in
def new(number: str) -> Response | str | tuple[str, int]:
    """Ask first where it is, then what it is, and take it in."""
    standing, name, form = standing_of(number), request.args.get("item"), ReportForm()
    if name is None:
        stations = places(_lists(standing))
        return render_template("reports/places.html", standing=standing, stations=stations)
    item = _items(standing).get(name)
    if form.is_submitted() and _taken_in(form, standing, item):
        flash(say("Your report is in the logbook of %(unit)s.", unit=number))
        return redirect(url_for("units.show", number=number), code=303)
    page = render_template("reports/new.html", standing=standing, item=item, form=form)
    return page, 422 if form.is_submitted() else 200


def places(lists: Iterable[Checklist]) -> list[tuple[str, list[Item]]]:
    """Return the stations of these lists with their items, each item once."""
    seen: set[str] = set()
    found = []
    for checklist in lists:
        for station in checklist.stations:
            items = [item for item in station.items if item.name not in seen]
            seen.update(item.name for item in items)
            found += [(say_text(station.title, g.language), items)] if items else []
    return found


def _taken_in(form: ReportForm, standing: Standing, item: Item | None) -> bool:
    """Say whether it is in the logbook now; else the form says why not."""
    form.validate()
    try:
        form.photos.data += photos.take_in(request.files.getlist("photo"))
        if not form.what_in(item):
            form.what.errors = [say("Say what is wrong, in words or by tapping.")]
        if form.what.errors or form.entry.errors:
            return False
        report_defect(g.db, _report(form, standing, item), form.signer, clock.now())
    except Refusal as error:
        form.what.errors = [say(error.sentence, **error.data)]
        return False
    return True


def _report(form: ReportForm, standing: Standing, item: Item | None) -> Report:
    return Report(
        unit=standing.unit.number,
        what=form.what_in(item),
        item=item.name if item else None,
        critical=form.critical.data,
        findings=tuple(name for name in form.findings.data if item and name in item.findings),
        photos=sent_before(form.photos.data),
    )


def _items(standing: Standing) -> dict[str, Item]:
    return {item.name: item for _, items in places(_lists(standing)) for item in items}


def _lists(standing: Standing) -> list[Checklist]:
    machine = standing.unit.machine
    found = (checklists.in_force(g.db, machine, occasion) for occasion in OCCASIONS)
    return [one for one in found if one]
