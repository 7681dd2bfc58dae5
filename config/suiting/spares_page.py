"""The table of every spare against every place, and the best use of the store."""

from tempfile import SpooledTemporaryFile

from django import forms
from django.http import FileResponse
from django.shortcuts import render

from assets.engineering.suitability import Outcome
from assets.engineering.words import Generation
from assets.models import Location
from config.suiting import spares as domain
from config.suiting.best_use import best_use_of_store

IN_MEMORY = 2**20  # bytes of a workbook before it goes to a file
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class LocationForm(forms.Form):
    location = forms.ModelChoiceField(Location.objects.all(), required=False, empty_label="any")


class TableForm(LocationForm):
    generation = forms.ChoiceField(
        choices=[("", "any"), *Generation.choices()],
        required=False,
        label="Colour of the spare",
    )
    outcome = forms.ChoiceField(choices=[("", "any"), *Outcome.choices()], required=False)
    wanting = forms.BooleanField(
        required=False, label="Only places that are empty or whose stretcher does not suit"
    )

    def asked(self) -> domain.Asked:
        """What is asked for; everything while a box is wrong."""
        return domain.Asked(**self.cleaned_data) if self.is_valid() else domain.Asked()


def spares_table(request):
    form = TableForm(request.GET)
    window = domain.window(form.asked(), request.GET.get("page"), request.GET.get("across"))
    return render(
        request,
        "suiting/spares.html",
        {
            "filter": {"form": form},
            "window": window,
            "table": window.table,
            "asked": form.asked(),
            "section": "parts",
        },
    )


def workbook(request):
    """All that the filters ask for, not just the page; a wrong filter asks for everything."""
    from config.suiting import spares_sheet  # openpyxl loads numpy: both wait until they are needed

    table = domain.whole_table(TableForm(request.GET).asked())
    if outcome := TableForm(request.GET).asked().outcome:
        table = table.with_outcome(Outcome(outcome))
    file = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 - the response closes it
    spares_sheet.write(table, file)
    file.seek(0)
    return FileResponse(
        file, as_attachment=True, filename="spares and places.xlsx", content_type=XLSX
    )


def best_use(request):
    form = LocationForm(request.GET)
    location = form.cleaned_data["location"] if form.is_valid() else None
    return render(
        request,
        "suiting/best_use.html",
        {"filter": {"form": form}, "found": best_use_of_store(location), "section": "parts"},
    )
