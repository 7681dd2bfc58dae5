"""Loading a workbook in the browser: sent, planned, shown, and loaded once somebody says so."""

import hashlib
import json
import tempfile
from collections.abc import Iterator
from itertools import groupby

from django import forms
from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.views.decorators.http import require_GET, require_POST

from assets.models import Matching
from assets.workbook.annotating import annotated_copy
from assets.workbook.planning import Outcome, Plan, PlannedRow
from assets.workbook.refusals import WorkbookRefused
from config.operations import streaming
from config.workbook import files, register
from config.workbook.files import Kept
from inspections.models import Inspection

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MOST_SHOWN = 100  # rows of one sheet and outcome
MOST_VISITS = 30


class UploadForm(forms.Form):
    """A file, and how to read it where it is a railway's own spreadsheet."""

    file = forms.FileField(
        label="Workbook (.xlsx) or .csv file",
        widget=forms.ClearableFileInput(attrs={"accept": ".xlsx,.xlsm,.csv"}),
    )
    matching = forms.ModelChoiceField(
        queryset=Matching.objects.order_by("name"),
        required=False,
        empty_label="by its own headings",
        label="Read it",
        help_text="For a spreadsheet of your own whose columns were matched before.",
    )


@require_POST
def load(request):
    """Keeps what was sent and goes on to its plan, or to the matching of its columns."""
    form = UploadForm(request.POST, request.FILES)
    if not form.is_valid():
        for errors in form.errors.values():
            messages.error(request, " ".join(errors))
        return redirect("workbook")
    kept = files.keep(form.cleaned_data["file"], request.user)
    matching = form.cleaned_data["matching"]
    if matching is not None:
        kept = kept.matched(matching.pk)
    return redirect("workbook_plan", kept.token)


def kept_or_404(request: HttpRequest, token: str) -> Kept:
    """The user's own file; anybody else's is not there."""
    kept = files.find(token, request.user)
    if kept is None:
        raise Http404("This file is no longer stored here. Choose it again.")
    return kept


def steps(kept: Kept, account, keep) -> Iterator:
    """The work of loading a kept file; the plan, or the refusal of the file, is returned."""
    matching = Matching.objects.filter(pk=kept.matching).first() if kept.matching else None
    try:
        with kept.opened() as book:
            reading = register.understand(book, matching)
            return (yield from register.steps(reading, account, keep))
    except WorkbookRefused as refused:
        return refused


@require_GET
def plan(request, token: str):
    """What loading the file would do. Nothing is changed by looking."""
    kept = kept_or_404(request, token)
    return _work_page(
        request,
        f"What loading {kept.name} would change",
        steps(kept, request.user, lambda plan: False),
        lambda found: _show(request, kept, found),
    )


@require_POST
def apply(request, token: str):
    """Loads the file if it would still do what was shown; shows it anew otherwise."""
    kept = kept_or_404(request, token)
    shown = request.POST.get("shown", "")
    return _work_page(
        request,
        f"Loading {kept.name}",
        steps(kept, request.user, lambda plan: digest(plan) == shown),
        lambda found: _show_done(request, kept, found, shown),
    )


def _work_page(request, heading: str, work: Iterator, outcome):
    def say(step) -> str:
        return f"{step.sheet}: {step.rows} row{'' if step.rows == 1 else 's'} {step.doing}"

    return streaming.page(request, heading, work, say, outcome, section="workbook")


def digest(plan: Plan) -> str:
    """What a plan would do, in short: two plans that would do the same have the same."""
    data = [plan.totals, [row.as_data() for row in plan.rows], [_given(row) for row in plan.rows]]
    return hashlib.sha256(json.dumps(data, default=str, sort_keys=True).encode()).hexdigest()


def _given(row: PlannedRow) -> dict:
    """The values that a new row brings; of a changed one the changes say it."""
    return row.values if row.outcome is Outcome.NEW else {}


def _show(request, kept: Kept, found: Plan | WorkbookRefused, changed: bool = False) -> str:
    if isinstance(found, WorkbookRefused):
        context = {"kept": kept, "reason": str(found)}
        return render_to_string("config/workbook/_refused.html", context, request)
    context = {
        "kept": kept,
        "plan": found,
        **_sheets(found),
        "groups": list(_groups(found)),
        "shown": digest(found),
        "changed": changed,
        "anything": found.totals[Outcome.NEW] + found.totals[Outcome.CHANGED],
    }
    return render_to_string("config/workbook/_plan.html", context, request)


def _sheets(plan: Plan) -> dict[str, dict]:
    """Totals of the sheets in which something is to be seen, and of the others."""
    totals = plan.totals_by_sheet
    stirred = {name: t for name, t in totals.items() if sum(t.values()) > t[Outcome.SAME]}
    at_rest = {name: t for name, t in totals.items() if name not in stirred}
    return {"stirred": stirred, "at_rest": at_rest}


def _groups(plan: Plan) -> Iterator[dict]:
    """The rows by outcome and sheet, what needs a person first, as many as a page can show."""
    order = (
        Outcome.REFUSED, Outcome.CONFLICT, Outcome.LEFT_OUT, Outcome.CHANGED, Outcome.NEW
    )  # fmt: skip
    for outcome in order:
        chosen = [row for row in plan.rows if row.outcome is outcome]
        for sheet, rows in groupby(chosen, key=lambda row: row.sheet):
            rows = list(rows)
            yield {
                "outcome": str(outcome),
                "sheet": sheet.name,
                "count": len(rows),
                "rows": [_shown_row(row) for row in rows[:MOST_SHOWN]],
                "more": max(0, len(rows) - MOST_SHOWN),
            }


def _shown_row(row: PlannedRow) -> dict:
    return {
        "number": row.number,
        "key": row.key,
        "refusals": row.refusals,
        "left_out": row.left_out,
        "changes": [
            {
                "heading": change.column.heading,
                "old": change.column.show(change.old),
                "new": change.column.show(change.new),
            }
            for change in row.changes
        ],
    }


def _show_done(request, kept: Kept, found: Plan | WorkbookRefused, shown: str) -> str:
    if isinstance(found, WorkbookRefused):
        return _show(request, kept, found)
    if not found.can_be_applied or digest(found) != shown:
        return _show(request, kept, found, changed=True)
    kept.forget()
    context = {"plan": found, **_sheets(found), "visits": _visits(found)}
    return render_to_string("config/workbook/_done.html", context, request)


def _visits(plan: Plan) -> list[Inspection]:
    """The visits that were recorded, the latest first: what they found is to be decided."""
    new = sum(row.outcome is Outcome.NEW and row.sheet.name == "Visits" for row in plan.rows)
    latest = Inspection.objects.select_related("points__location").order_by("-pk")
    return list(latest[: min(new, MOST_VISITS)])


@require_GET
def notes(request, token: str):
    """A copy of the file with a note on each refused cell."""
    kept = kept_or_404(request, token)
    work = steps(kept, request.user, lambda plan: False)
    while True:
        try:
            next(work)
        except StopIteration as done:
            found = done.value
            break
    target = tempfile.TemporaryFile()  # noqa: SIM115 - the response closes it
    try:
        if isinstance(found, WorkbookRefused):
            raise found
        with kept.path.open("rb") as source:
            annotated_copy(source, found.refusals, target, kept.name)
    except WorkbookRefused as refused:
        target.close()
        return render(
            request,
            "config/workbook/refused.html",
            {"kept": kept, "reason": str(refused), "section": "workbook"},
        )
    target.seek(0)
    name = f"{kept.name.rsplit('.', 1)[0]} with notes.xlsx"
    return FileResponse(target, as_attachment=True, filename=name, content_type=XLSX)
