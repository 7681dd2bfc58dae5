"""One part: what is recorded of it, where it has been, what was found of it."""

from django.shortcuts import render

from assets.changes import changes_of
from assets.kinds import kind_of
from assets.models.parts import Part
from assets.views.lookup import part_or_404
from config.points.pieces import defects, measured, photographs
from config.points.pieces.panel import Panel


def part_page(request, kind: str, tag: str):
    part = part_or_404(kind, tag)
    story = list(part.fittings.select_related("position__points__location").in_order())
    return render(
        request,
        "points/part.html",
        {
            "part": part,
            "kind": kind,
            "facts": recorded_of(part),
            "story": story,
            "present": next((f for f in story if f.taken_out_on is None), None),
            "panels": pieces_of(part),
            "changes": changes_of(type(part), id=part.pk),
            "section": "parts",
        },
    )


def recorded_of(part: Part) -> list[tuple[str, object]]:
    """Label and value of everything recorded of a part, as people read it."""
    rows = []
    for name in kind_of(part).fields:
        if name in ("tag", "note"):
            continue
        field = part._meta.get_field(name)
        value = getattr(part, name)
        if field.choices:
            value = getattr(part, f"get_{name}_display")()
        rows.append((field.verbose_name, value))
    return rows


def pieces_of(part: Part) -> list[Panel]:
    """Photographs, what visits found, defects; what does not concern such a part is left out."""
    pieces = (photographs.of_part(part), measured.of_part(part), defects.of_part(part))
    return [piece for piece in pieces if piece is not None]
