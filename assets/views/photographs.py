"""Photographs: added to a part, shown to whoever is logged in, and taken down with a reason."""

from collections.abc import Callable

from django.contrib import messages
from django.http import FileResponse, Http404, HttpResponseNotModified
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import parse_etags

from assets.departments import name_of
from assets.models import PartPhoto, Photo
from assets.models.fittings import link_field
from assets.photographs.forms import PhotoForm, TakeDownForm
from assets.photographs.keeping import files_go_with_the_rows, keep, take_down
from assets.views.lookup import part_or_404


def photo(request, key, small: bool = False):
    """The file itself. A browser asks again each time, so that who logs out sees it no more."""
    shown = get_object_or_404(Photo.objects.select_related("withdrawal"), key=key)
    if shown.taken_down:
        raise Http404(f"This photograph was {shown.taken_down}.")
    etag = f'"{shown.sha256}{"-small" if small else ""}"'
    if etag in parse_etags(request.headers.get("If-None-Match", "")):
        response = HttpResponseNotModified()
    else:
        file = shown.thumbnail if small else shown.picture
        try:
            response = FileResponse(file.open("rb"), content_type="image/jpeg")
        except FileNotFoundError:
            raise Http404("The file of this photograph is missing from the server.") from None
        response["Content-Disposition"] = f'inline; filename="{shown.key}.jpg"'
    response["ETag"] = etag
    response["Cache-Control"] = "private, no-cache"
    response["X-Content-Type-Options"] = "nosniff"
    response["Cross-Origin-Resource-Policy"] = "same-origin"
    return response


def add_photos(request, *, heading: str, back: str, section: str, link: Callable[[Photo], None]):
    """A page that takes photographs of one thing; ``link`` writes what each belongs to."""
    form = PhotoForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        pictures = form.cleaned_data["photographs"]
        with files_go_with_the_rows() as kept:
            for picture in pictures:
                kept.append(
                    keep(
                        picture,
                        by=name_of(request.user),
                        user=request.user,
                        caption=form.cleaned_data["caption"],
                    )
                )
                link(kept[-1])
        count = len(pictures)
        messages.success(request, f"{count} photograph{'s' if count > 1 else ''} added.")
        return redirect(f"{back}#photographs")
    return render(
        request,
        "assets/photo_form.html",
        {"form": form, "heading": heading, "back": back, "section": section},
        status=422 if form.errors else 200,
    )


def part_photo(request, kind: str, tag: str):
    part = part_or_404(kind, tag)
    return add_photos(
        request,
        heading=f"Photograph {part.tag}",
        back=part.get_absolute_url(),
        section="parts",
        link=lambda photo: PartPhoto.objects.create(photo=photo, **{link_field(part): part}),
    )


def photo_take_down(request, key):
    shown = get_object_or_404(Photo.objects.select_related("withdrawal"), key=key)
    form = TakeDownForm(request.POST or None)
    if shown.taken_down:
        messages.warning(request, f"This photograph was {shown.taken_down} already.")
        return redirect("home")
    if request.method == "POST" and form.is_valid():
        take_down(shown, by=name_of(request.user), reason=form.cleaned_data["reason"])
        messages.success(
            request, "The photograph is taken down; the record that it was there stays."
        )
        return redirect("home")
    return render(
        request,
        "assets/photo_take_down.html",
        {"photo": shown, "form": form},
        status=422 if form.errors else 200,
    )
