"""Parts: lists, one page for each, entering and changing them."""

from django.contrib import messages
from django.db.models import Prefetch
from django.shortcuts import redirect, render

from assets.filters import PART_FILTERS, order_words
from assets.forms import part_form
from assets.kinds import KINDS, PartKind, kind_of
from assets.models import Fitting
from assets.paging import page_of
from assets.views.lookup import kind_or_404, part_or_404

PAGE = 50


def tabs() -> list[tuple[str, str]]:
    """Kinds as addresses and as headings."""
    return [(kind.address, kind.plural.capitalize()) for kind in KINDS]


def boxes_of(kind: PartKind, form) -> list[tuple[str, list]]:
    """The form's boxes under their headings."""
    return [(heading, [form[name] for name in names]) for heading, names in kind.sections]


def part_list(request, kind: str):
    asked = kind_or_404(kind)
    places = Fitting.objects.current().select_related("position__points__location")
    queryset = asked.model.objects.order_by("tag", "pk").prefetch_related(
        Prefetch("fittings", queryset=places)
    )
    narrowed = PART_FILTERS[asked](request.GET, queryset)
    rows = narrowed.qs if narrowed.is_valid() else queryset.none()
    page = page_of(rows, request.GET.get("page"), PAGE)
    return render(
        request,
        "assets/part_list.html",
        {
            "kind": kind,
            "kind_name": asked.name,
            "tabs": tabs(),
            "page": page,
            "filter": narrowed,
            "order": order_words(narrowed),
            "section": "parts",
        },
    )


def part_new(request, kind: str):
    asked = kind_or_404(kind)
    form = part_form(asked)(request.POST or None)
    if request.method == "POST" and form.is_valid():
        part = form.save()
        messages.success(request, f"{part} entered; it is in the store.")
        return redirect(part)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "groups": boxes_of(asked, form),
            "heading": f"New {asked.name}",
            "button": "Enter this part",
            "lead": "Leave unknown what nobody has examined.",
            "section": "parts",
        },
    )


def part_edit(request, kind: str, tag: str):
    part = part_or_404(kind, tag)
    back = part.get_absolute_url()  # before the form: what is typed is put in the part
    form = part_form(kind_of(part))(request.POST or None, instance=part)
    if request.method == "POST" and form.is_valid():
        part = form.save()
        messages.success(request, f"{part} changed.")
        return redirect(part)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "groups": boxes_of(kind_of(part), form),
            "heading": f"Change {tag}",
            "button": "Save",
            "back": back,
            "section": "parts",
        },
    )
