"""Every page of the program, as addresses into a register that holds the demo railway."""

from django.urls import reverse

from assets.engineering.assumed import FigureCode
from assets.models import Fitting, LostMotionFitting, Machine, PartPhoto, Photo, Points, Stretcher
from assets.photographs.keeping import keep, prepare
from defects.models import Defect, DefectPhoto, Route
from defects.routing.routing import code_of
from inspections.models import (
    Difference,
    Examination,
    Inspection,
    InstrumentCheck,
    Limit,
    Reading,
    Regime,
)
from inspections.models import Season as RunningSeason
from tests.pictures import upload

# Addresses that give no page: they take something in, or give a file or data.
NOT_PAGES = {
    "logout",
    "health",
    "service_worker",
    "workbook_save",
    "workbook_load",
    "workbook_apply",
    "workbook_notes",
    "workbook_forget_matching",
    "assets:photo",
    "assets:photo_small",
    "assets:spares_table_workbook",
    "inspections:limit_confirm",
    "inspections:regime_choose",
    "inspections:regime_confirm",
    "inspections:figure_withdraw",
    "inspections:receive",
    "inspections:token",
    "defects:move",
    "defects:queue_workbook",
}

# Pages of one file that was sent: a test of its own sends one.
OF_A_FILE = {"workbook_plan", "workbook_match"}


def misfit() -> Fitting:
    """A part that was found fitted and did not suit."""
    found = Fitting.objects.current().last()
    against = {"outcome": "does_not_suit", "against": "Condition: Scrap.", "found_fitted": True}
    Fitting.objects.filter(pk=found.pk).update(**against)
    return found


def photograph(**thing) -> Photo:
    """A photograph of one thing: ``stretcher=...`` or ``defect=...``."""
    photo = keep(prepare(upload()), by="Lineman A", user=None, caption="the bend of the gooseneck")
    link = DefectPhoto if "defect" in thing else PartPhoto
    link.objects.create(photo=photo, **thing)
    return photo


def doubt() -> Difference:
    """A rod changed while a form was on a phone, not yet answered."""
    visit = Inspection.objects.first()
    place = visit.points.positions.first()
    return Difference.objects.create(
        inspection=visit, position=place, rod_then=Stretcher.objects.first()
    )


def every_page() -> dict[str, list[str]]:
    """Name of the address to one or more pages under it, so that each part of them is seen."""
    points = Points.objects.by_key("SKB 12")
    at = [points.location.code, points.number]
    others = [
        [p.location.code, p.number]
        for p in Points.objects.select_related("location").exclude(pk=points.pk)[:3]
    ]
    rod, machine = Stretcher.objects.get(tag="ST-014"), Machine.objects.first()
    fitted = Fitting.objects.current().filter(stretcher__isnull=False).first()
    visit = Reading.objects.out().first().inspection
    defect = Defect.objects.open().first()
    photo = photograph(stretcher=rod)
    photograph(defect=defect)
    parts = [["stretcher", rod.tag], ["machine", machine.tag]]
    parts += [["lostmotionfitting", part.tag] for part in LostMotionFitting.objects.all()[:1]]
    kinds = ["stretcher", "machine", "lostmotionfitting"]
    check = InstrumentCheck.objects.filter(correction__isnull=True).first()
    asked = {
        "login": [[]],
        "password_change": [[]],
        "password_change_done": [[]],
        "home": [[]],
        "guide": [[]],
        "workbook": [[]],
        "workbook_columns": [[]],
        "workbook_visit_sheet": [[]],
        "assets:points_list": [[]],
        "assets:points": [at, *others],
        "assets:plan": [at],
        "assets:what_if": [at],
        "assets:points_new": [[]],
        "assets:points_edit": [at],
        "assets:points_as_installed": [at],
        "assets:position_new": [at],
        "assets:position_edit": [[*at, 1]],
        "assets:part_list": [[kind] for kind in kinds],
        "assets:part": parts,
        "assets:part_new": [[kind] for kind in kinds],
        "assets:part_edit": parts,
        "assets:part_photo": parts[:1],
        "assets:photo_take_down": [[photo.key]],
        "assets:fit": [[*at, 2, "stretcher"]],
        "assets:take_out": [[fitted.pk]],
        "assets:move": [[fitted.pk]],
        "assets:against": [[]],
        "assets:agree": [[misfit().pk]],
        "assets:suits_position": [[*at, 2], [*at, 1, "machine"]],
        "assets:suits_part": parts,
        "assets:label_sheet": [[], ["stretcher"]],
        "assets:points_labels": [at],
        "assets:spares_table": [[]],
        "assets:best_use": [[]],
        "assets:location_list": [[]],
        "assets:location_new": [[]],
        "assets:location_edit": [[points.location.code]],
        "inspections:list": [[]],
        "inspections:inspect": [at, *others[:1]],
        "inspections:inspection": [[visit.pk]],
        "inspections:difference": [[doubt().pk]],
        "inspections:take": [[]],
        "inspections:queue": [[]],
        "inspections:reading_correct": [[visit.readings.standing().first().pk]],
        "inspections:examination_correct": [[Examination.objects.standing().first().pk]],
        "inspections:due": [[]],
        "inspections:season_new": [[]],
        "inspections:season_edit": [[s.pk] for s in RunningSeason.objects.all()[:1]],
        "inspections:trends": [[]],
        "inspections:trend": [at],
        "inspections:limits": [[]],
        "inspections:switch": [at],
        "inspections:setting_up": [at],
        "inspections:limit_new": [[]],
        "inspections:limit_edit": [[Limit.objects.first().pk]],
        "inspections:instruments": [[]],
        "inspections:instrument_new": [[]],
        "inspections:instrument": [[check.instrument_id]],
        "inspections:instrument_edit": [[check.instrument_id]],
        "inspections:check_new": [[check.instrument_id]],
        "inspections:check_correct": [[check.pk]],
        "inspections:regimes": [[]],
        "inspections:regime_new": [[]],
        "inspections:regime_edit": [[Regime.objects.first().pk]],
        "inspections:figures": [[]],
        "inspections:figure_confirm": [[FigureCode.REPEAT_FWC.value]],
        "defects:list": [[]],
        "defects:queue": [["signalling"], ["permanent_way"]],
        "defects:defect": [[d.number] for d in Defect.objects.order_by("-number")[:3]],
        "defects:raise": [[]],
        "defects:edit": [[defect.number]],
        "defects:photo": [[defect.number]],
        "defects:proposals": [[visit.pk]],
        "defects:routes": [[]],
        "defects:route_edit": [[code_of(Route.objects.first().found)]],
        "defects:register_check": [[]],
        "defects:handover": [at],
    }
    pages = {name: [reverse(name, args=a) for a in args] for name, args in asked.items()}
    pages["defects:defect"].append(reverse("defects:defect", args=[defect.number]))
    pages["defects:raise"].append(f"{reverse('defects:raise')}?points=SKB+12")
    pages["not found"] = ["/points/SKB/999/"]
    return pages
