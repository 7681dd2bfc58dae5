"""Parts: lists, one page for each, entering and changing them."""

from django.contrib import messages
from django.db.models import Prefetch
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render

from assets import panels
from assets.changes import changes_of
from assets.filters import PART_FILTERS, order_words
from assets.forms import PART_FORMS
from assets.models import Fitting, LostMotionFitting, Machine, Stretcher
from assets.paging import page_of

PAGE = 50
KINDS = {"stretcher": Stretcher, "machine": Machine, "lostmotionfitting": LostMotionFitting}


def kind_or_404(kind: str):
    """The model of a kind of part as it stands in addresses."""
    try:
        return KINDS[kind]
    except KeyError:
        raise Http404(f"There is no kind of part called {kind}.") from None


def part_or_404(kind: str, tag: str):
    return get_object_or_404(kind_or_404(kind), tag__iexact=tag)


def tabs() -> list[tuple[str, str]]:
    """Kinds as addresses and as headings."""
    return [(kind, str(m._meta.verbose_name_plural).capitalize()) for kind, m in KINDS.items()]


def part_list(request, kind: str):
    model = kind_or_404(kind)
    places = Fitting.objects.current().select_related("position__points__location")
    queryset = model.objects.order_by("tag", "pk").prefetch_related(
        Prefetch("fittings", queryset=places)
    )
    narrowed = PART_FILTERS[kind](request.GET, queryset)
    rows = narrowed.qs if narrowed.is_valid() else queryset.none()
    page = page_of(rows, request.GET.get("page"), PAGE)
    return render(
        request,
        "assets/part_list.html",
        {
            "kind": kind,
            "kind_name": model._meta.verbose_name,
            "tabs": tabs(),
            "page": page,
            "filter": narrowed,
            "order": order_words(narrowed),
            "section": "parts",
        },
    )


def part_page(request, kind: str, tag: str):
    part = part_or_404(kind, tag)
    story = list(
        part.fittings.select_related("position__points__location").order_by("-fitted_on", "-pk")
    )
    return render(
        request,
        "assets/part.html",
        {
            "part": part,
            "kind": kind,
            "facts": facts_of(part),
            "story": story,
            "present": next((f for f in story if f.taken_out_on is None), None),
            "panels": panels.part_page(part, request),
            "changes": changes_of(type(part), id=part.pk),
            "section": "parts",
        },
    )


def facts_of(part) -> list[tuple[str, object]]:
    """Label and value of everything recorded of a part, as people read it."""
    rows = []
    for name in PART_FORMS[part._meta.model_name]._meta.fields:
        if name in ("tag", "note"):
            continue
        field = part._meta.get_field(name)
        value = getattr(part, name)
        if field.choices:
            value = getattr(part, f"get_{name}_display")()
        rows.append((field.verbose_name, value))
    return rows


def part_new(request, kind: str):
    model = kind_or_404(kind)
    form = PART_FORMS[kind](request.POST or None)
    if request.method == "POST" and form.is_valid():
        part = form.save()
        messages.success(request, f"{part} entered; it is in the store.")
        return redirect(part)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": f"New {model._meta.verbose_name}",
            "button": "Enter this part",
            "lead": "What nobody has looked at stays unknown.",
            "section": "parts",
        },
    )


def part_edit(request, kind: str, tag: str):
    part = part_or_404(kind, tag)
    back = part.get_absolute_url()  # before the form: what is typed is put in the part
    form = PART_FORMS[kind](request.POST or None, instance=part)
    if request.method == "POST" and form.is_valid():
        part = form.save()
        messages.success(request, f"{part} changed.")
        return redirect(part)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": f"Change {tag}",
            "button": "Save",
            "back": back,
            "section": "parts",
        },
    )
