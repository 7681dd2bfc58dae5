"""One part: what is recorded of it, where it has been, what was found of it."""

from django.shortcuts import render

from assets.changes import changes_of
from assets.kinds import kind_of
from assets.models import Fitting
from assets.models.parts import Part
from assets.views.lookup import part_or_404
from config.points.pieces import defects, fitted, measured, photographs
from config.points.pieces.panel import Panel


def part_page(request, kind: str, tag: str):
    part = part_or_404(kind, tag)
    story = list(part.fittings.select_related("position__points__location").in_order())
    present = next((f for f in story if f.taken_out_on is None), None)
    panels = pieces_of(part, present)
    return render(
        request,
        "points/part.html",
        {
            "part": part,
            "kind": kind,
            "groups": recorded_of(part),
            "story": story,
            "present": present,
            "marks": [mark for panel in panels for mark in panel.marks],
            "panels": panels,
            "changes": changes_of(type(part), id=part.pk),
            "section": "parts",
        },
    )


def recorded_of(part: Part) -> list[tuple[str, list[tuple[str, object]]]]:
    """Label and value of everything recorded of a part, as people read it, under headings."""
    return [
        (heading, [_fact(part, name) for name in names if name not in ("tag", "note")])
        for heading, names in kind_of(part).sections
    ]


def _fact(part: Part, name: str) -> tuple[str, object]:
    field = part._meta.get_field(name)
    value = getattr(part, f"get_{name}_display")() if field.choices else getattr(part, name)
    return str(field.verbose_name), value


def pieces_of(part: Part, present: Fitting | None) -> list[Panel]:
    """As fitted, photographs, visits, defects; what does not concern such a part is left out."""
    pieces = (
        fitted.of_part(part, present),
        photographs.of_part(part),
        measured.of_part(part),
        defects.of_part(part),
    )
    return [piece for piece in pieces if piece is not None]
