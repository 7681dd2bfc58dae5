"""Parts: entering and changing them."""

from django.contrib import messages
from django.shortcuts import redirect, render

from assets.forms import part_form
from assets.kinds import KINDS, PartKind, kind_of
from assets.views.lookup import kind_or_404, part_or_404


def tabs() -> list[tuple[str, str]]:
    """Kinds as addresses and as headings."""
    return [(kind.address, kind.plural.capitalize()) for kind in KINDS]


def boxes_of(kind: PartKind, form) -> list[tuple[str, list]]:
    """The form's boxes under their headings."""
    return [(heading, [form[name] for name in names]) for heading, names in kind.sections]


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
