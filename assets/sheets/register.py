"""The register's sheets, in the order in which they depend on one another.

Adding a column is adding one line: heading, unit, kind, choices and help come from the field.
"""

from collections.abc import Mapping
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from assets import fitting
from assets.models import (
    Fitting,
    Location,
    LostMotionFitting,
    Machine,
    Points,
    Position,
    RailSection,
    Stretcher,
    SwitchDesign,
    SwitchOffset,
    WheelStandard,
)
from assets.models.fittings import PART_FIELDS, PART_KINDS
from assets.sheets.columns import Link, RowMaker, column
from assets.sheets.loading import Choice, Loading
from assets.sheets.model_sheets import ModelSheet
from assets.sheets.writing import messages_of, refuse
from assets.workbook.columns import Column, Kind
from assets.workbook.planning import Outcome, PlannedRow

LOCATION_LINK = Link("Locations", Location, ("code",))
RAIL_LINK = Link("Rail sections", RailSection, ("code",))
DESIGN_LINK = Link("Switch designs", SwitchDesign, ("code",))
POINTS_LINK = Link("Points", Points, ("location__code", "number"))
PART_LINKS = {
    "stretcher": Link("Stretchers", Stretcher, ("tag",)),
    "machine": Link("Machines", Machine, ("tag",)),
    "lost_motion_fitting": Link("Lost-motion fittings", LostMotionFitting, ("tag",)),
}
POINTS_HELP = 'Location code, a space and the number: "SKB 12".'
PLACE_HELP = "0 for the lock stretcher's place, then 1, 2 ... from the toe."


def points_column(model, **details) -> Column:
    """The column that says which points a row is about."""
    return column(
        model, "points", refers_to=POINTS_LINK.sheet, help=POINTS_HELP, **{"key": True, **details}
    )


def place_column(**details) -> Column:
    """The column that says which place on the points, where it is not a field of its own."""
    return Column("Place", "order", Kind.WHOLE, help=PLACE_HELP, **details)


def at_points(path: str):
    """Narrows to rows whose field ``path`` is one of the chosen points."""

    def narrow(rows: QuerySet, choice: Choice) -> QuerySet:
        return rows if choice.points is None else rows.filter(**{f"{path}__in": choice.points})

    return narrow


LOCATIONS = ModelSheet(
    "Locations",
    Location,
    (
        column(Location, "code", key=True),
        column(Location, "name"),
        column(Location, "mileage"),
    ),
    "A place on the line that has points.",
    ("mileage", "code"),
    link=LOCATION_LINK,
)

RAIL_SECTIONS = ModelSheet(
    "Rail sections",
    RailSection,
    (
        column(RailSection, "code", key=True),
        column(RailSection, "profile"),
        column(RailSection, "mass_kg_m"),
        column(RailSection, "height_mm"),
        column(RailSection, "head_mm"),
        column(RailSection, "foot_mm"),
        column(RailSection, "web_mm"),
        column(RailSection, "iyy_cm4"),
        column(RailSection, "iyy_least_cm4"),
        column(RailSection, "iyy_most_cm4"),
        column(RailSection, "source"),
        column(RailSection, "from_memory", "From memory", help="Yes: confirm it on the ground."),
    ),
    "A rolled rail section, and where its figures come from.",
    ("code",),
    link=RAIL_LINK,
)

SWITCH_DESIGNS = ModelSheet(
    "Switch designs",
    SwitchDesign,
    (
        column(SwitchDesign, "code", key=True),
        column(SwitchDesign, "name"),
        column(SwitchDesign, "shape"),
        column(SwitchDesign, "heel"),
        column(SwitchDesign, "heel_mm"),
        column(SwitchDesign, "heel_divergence_mm"),
        column(SwitchDesign, "slope"),
        column(SwitchDesign, "planing_mm"),
        column(SwitchDesign, "radius_mm"),
        column(SwitchDesign, "head_mm"),
        column(SwitchDesign, "least_stretchers"),
        column(SwitchDesign, "source"),
        column(SwitchDesign, "from_memory", "From memory", help="Yes: confirm it on the ground."),
    ),
    "A drawing of a switch, and where its figures come from. Lengths are from the toe.",
    ("code",),
    link=DESIGN_LINK,
)

WHEEL_STANDARDS = ModelSheet(
    "Wheel standards",
    WheelStandard,
    (
        column(WheelStandard, "name", key=True),
        column(WheelStandard, "back_to_back_mm"),
        column(WheelStandard, "flange_mm"),
        column(WheelStandard, "front_to_front_mm"),
        column(WheelStandard, "in_force"),
        column(WheelStandard, "source"),
    ),
    "The narrowest wheelset that the railway allows to run.",
    ("name",),
)

POINTS = ModelSheet(
    "Points",
    Points,
    (
        column(Points, "location", refers_to="Locations", key=True, help="Its code."),
        column(Points, "number", key=True),
        column(Points, "layout"),
        column(Points, "hand"),
        column(Points, "use"),
        column(Points, "track_circuited"),
        column(Points, "rail_section", refers_to="Rail sections"),
        column(Points, "design", refers_to="Switch designs"),
        column(Points, "gauge_mm"),
        column(Points, "heel", help="Leave blank to use the switch design's."),
        column(Points, "heel_mm", help="Leave blank to use the switch design's."),
        column(Points, "machine_side"),
        column(Points, "normal_lie"),
        column(Points, "service_state"),
        column(Points, "inspection_interval_days"),
        column(Points, "note"),
    ),
    "One set of points. Left and right are as seen from the toe, looking towards the heel.",
    ("location__mileage", "location__code", "number_order", "number"),
    links={"location": LOCATION_LINK, "rail_section": RAIL_LINK, "design": DESIGN_LINK},
    link=POINTS_LINK,
    narrow=at_points("pk"),
    before=Points.set_order,
)

PLACES = ModelSheet(
    "Places",
    Position,
    (
        points_column(Position),
        column(Position, "order", "Place", key=True),
        column(Position, "role"),
        column(Position, "distance_mm"),
        column(Position, "driven"),
        column(Position, "kicker_required"),
        column(Position, "separation_mm"),
        column(Position, "space_ahead_mm"),
        column(Position, "space_behind_mm"),
    ),
    "A place for a stretcher on a set of points.",
    ("points__location__code", "points__number_order", "points__number", "order"),
    links={"points": POINTS_LINK},
    narrow=at_points("points"),
    asks_database=True,
)

OFFSETS = ModelSheet(
    "Offsets",
    SwitchOffset,
    (
        points_column(SwitchOffset),
        column(SwitchOffset, "distance_mm", key=True),
        column(SwitchOffset, "offset_mm"),
    ),
    "A measured offset of a closed switch rail, for a switch whose drawing is lost.",
    ("points__location__code", "points__number_order", "points__number", "distance_mm"),
    links={"points": POINTS_LINK},
    narrow=at_points("points"),
)


def _of_choice(rows: QuerySet, choice: Choice) -> QuerySet:
    """Chosen parts, or those that are or were fitted at the chosen points."""
    if choice.parts is not None:
        return rows.filter(pk__in=choice.parts)
    if choice.points is None:
        return rows
    field = next(name for name, model in PART_KINDS.items() if model is rows.model)
    fitted = Fitting.objects.filter(position__points__in=choice.points)
    return rows.filter(pk__in=fitted.values(field))


def _where(field: str):
    """Where each part of a kind is now, for the column that shows it; one query."""

    def where() -> dict[int, dict[str, str]]:
        now = Fitting.objects.current().filter(**{f"{field}__isnull": False})
        return {
            pk: {"where": f"{code} {number}, place {order}"}
            for pk, code, number, order in now.values_list(
                f"{field}_id",
                "position__points__location__code",
                "position__points__number",
                "position__order",
            )
        }

    return where


def _part_sheet(field: str, columns: tuple[Column, ...], help: str) -> ModelSheet:
    model, link = PART_KINDS[field], PART_LINKS[field]
    return ModelSheet(
        link.sheet,
        model,
        (
            column(model, "tag", key=True, help="As marked on it."),
            Column("Fitted now", "where", info=True, help="Blank: in the store."),
            *columns,
            column(model, "condition"),
            column(model, "quarantined"),
            column(model, "origin"),
            column(model, "note"),
        ),
        help,
        ("tag",),
        link=link,
        narrow=_of_choice,
        info=_where(field),
    )


STRETCHERS = _part_sheet(
    "stretcher",
    (
        column(
            Stretcher,
            "generation",
            former=(
                ("black (original fixed rods)", "black"),
                ("red (the other adjustable pattern)", "red"),
            ),
        ),
        column(Stretcher, "adjustability"),
        column(Stretcher, "form"),
        column(Stretcher, "gooseneck_towards"),
        column(Stretcher, "for_lock"),
        column(Stretcher, "for_drive"),
        column(Stretcher, "for_intermediate"),
        column(Stretcher, "for_back"),
        column(Stretcher, "insulation_side"),
        column(Stretcher, "insulation_kind"),
        column(Stretcher, "left_shoe"),
        column(Stretcher, "left_shoe_colour"),
        column(Stretcher, "right_shoe"),
        column(Stretcher, "right_shoe_colour"),
        column(Stretcher, "kicker"),
        column(Stretcher, "drive_lug"),
        column(Stretcher, "length_min_mm"),
        column(Stretcher, "length_max_mm"),
        column(Stretcher, "thread_pitch_mm"),
        column(Stretcher, "shim_left_mm"),
        column(Stretcher, "shim_right_mm"),
        column(Stretcher, "fixings"),
        column(Stretcher, "torque_nm"),
        column(Stretcher, "notches"),
        column(Stretcher, "notch_distance_mm"),
        column(Stretcher, "can_be_turned"),
    ),
    "A bar tying the two switch rails together. Left and right are as it lies when fitted.",
)

MACHINES = _part_sheet(
    "machine",
    (
        column(Machine, "kind"),
        column(Machine, "stroke_mm"),
        column(Machine, "unlocking_stroke_mm"),
        column(Machine, "internal_lost_motion_mm"),
        column(Machine, "lever_ratio", "Lever ratio", unit="", help="Drive rod to machine."),
        column(Machine, "drive_insulated"),
        column(Machine, "lock_rod_insulated"),
    ),
    "What moves the switch.",
)

LOST_MOTION_FITTINGS = _part_sheet(
    "lost_motion_fitting",
    (
        column(LostMotionFitting, "kind"),
        column(LostMotionFitting, "lost_motion_min_mm"),
        column(LostMotionFitting, "lost_motion_max_mm"),
        column(LostMotionFitting, "suits_plain"),
        column(LostMotionFitting, "suits_thin"),
        column(LostMotionFitting, "suits_raised_head"),
    ),
    "An external fitting on the drive lug that lets the drive move before the switch does.",
)


PART_KIND_CHOICES = tuple(
    (field, str(model._meta.verbose_name)) for field, model in PART_KINDS.items()
)


def _fitting_maker() -> RowMaker:
    fields = (
        "fitted_on",
        "found_fitted",
        "fitted_by",
        "fitted_reason",
        "taken_out_on",
        "taken_out_by",
        "taken_out_reason",
    )
    place = ("position__points__location__code", "position__points__number", "position__order")
    tags = tuple(f"{field}__tag" for field in PART_FIELDS)

    def make(record) -> dict[str, Any]:
        code, number, order, *rest = record
        kind, part = next((k, t) for k, t in zip(PART_FIELDS, rest, strict=False) if t is not None)
        values = dict(zip(fields, rest[len(PART_FIELDS) :], strict=True))
        return {"kind": kind, "part": part, "points": f"{code} {number}", "order": order, **values}

    return RowMaker((*place, *tags, *fields), make)


def position_ids(loading: Loading) -> dict[tuple[int, int], int]:
    """Key of each place by the key of its points and its number; one query per loading."""
    if "places" not in loading.kept:
        rows = Position.objects.values_list("points_id", "order", "pk")
        loading.kept["places"] = {(points, order): pk for points, order, pk in rows}
    return loading.kept["places"]


def _fill_fitting(
    loading: Loading, row: PlannedRow, thing: Fitting, given: Mapping[str, Any]
) -> None:
    """A new fitting whole, or the end of one that stands; nothing else of it changes."""
    if row.outcome is Outcome.CHANGED:
        _fill_end(row, thing, given)
    else:
        _fill_new(loading, row, thing, given)
    for name in ("fitted_on", "taken_out_on"):
        day = getattr(thing, name)
        if day is None or (row.outcome is Outcome.CHANGED and name not in given):
            continue
        try:
            fitting.not_in_the_future(day)
        except ValidationError as wrong:
            refuse(row, *((name, sentence) for _, sentence in messages_of(wrong)))


END_FIELDS = {"taken_out_on", "taken_out_by", "taken_out_reason"}


def _fill_end(row: PlannedRow, thing: Fitting, given: Mapping[str, Any]) -> None:
    fixed = set(given) - END_FIELDS
    if fixed or thing.taken_out_on is not None or given.get("taken_out_on") is None:
        name = next(iter(fixed), "taken_out_on")
        row.refuse(
            "What is recorded of a fitting stays. Only the taking out of a part that is still "
            "fitted can be added.",
            name,
        )
    for name in set(given) & END_FIELDS:
        setattr(thing, name, given[name])


def _fill_new(loading: Loading, row: PlannedRow, thing: Fitting, given: Mapping[str, Any]) -> None:
    points = loading.pk_of(POINTS_LINK, given["points"])
    place = position_ids(loading).get((points, given["order"]))
    if place is None:
        row.refuse(f"{given['points']} has no place {given['order']} in the sheet Places.", "order")
    kind = given["kind"]
    part = loading.pk_of(PART_LINKS[kind], given["part"])
    if part is None:
        label = dict(PART_KIND_CHOICES)[kind]
        row.refuse(f'There is no {label} "{given["part"]}" in the register.', "part")
    thing.position_id = place
    setattr(thing, f"{kind}_id", part)
    for name in given.keys() - {"kind", "part", "points", "order"}:
        setattr(thing, name, given[name])


def _fittings_of_choice(rows: QuerySet, choice: Choice) -> QuerySet:
    if choice.parts is not None:
        return rows.filter(**{f"{choice.part_field}__in": choice.parts})
    return at_points("position__points")(rows, choice)


FITTINGS = ModelSheet(
    "Fittings",
    Fitting,
    (
        Column("Kind of part", "kind", Kind.CHOICE, choices=PART_KIND_CHOICES, key=True),
        Column("Part", "part", Kind.TEXT, key=True, help="Its tag."),
        Column("Points", "points", Kind.REFERENCE, refers_to="Points", key=True, help=POINTS_HELP),
        place_column(key=True),
        column(Fitting, "fitted_on", key=True),
        column(Fitting, "found_fitted"),
        column(Fitting, "fitted_by"),
        column(Fitting, "fitted_reason"),
        column(Fitting, "taken_out_on", help="Blank: still fitted."),
        column(Fitting, "taken_out_by"),
        column(Fitting, "taken_out_reason", help="Needed where it was taken out."),
    ),
    "A part in a place, from a day until it is taken out. A part is in one place at a time.",
    ("fitted_on",),
    narrow=_fittings_of_choice,
    maker=_fitting_maker(),
    fill=_fill_fitting,
    asks_database=True,
)

SHEETS = (
    LOCATIONS,
    RAIL_SECTIONS,
    SWITCH_DESIGNS,
    WHEEL_STANDARDS,
    POINTS,
    PLACES,
    OFFSETS,
    STRETCHERS,
    MACHINES,
    LOST_MOTION_FITTINGS,
    FITTINGS,
)
