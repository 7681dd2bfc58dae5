"""The register's sheets, in the order in which they depend on one another.

Their columns are the models' fields; only what a column says otherwise than its field stands here.
"""

from collections.abc import Mapping
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from assets import fitting
from assets.kinds import BY_MODEL, KINDS, PartKind
from assets.models import (
    Fitting,
    Location,
    Points,
    Position,
    RailSection,
    SwitchDesign,
    SwitchOffset,
    WheelStandard,
)
from assets.models.fields import entered
from assets.models.fittings import PART_FIELDS
from assets.sheets.columns import Link, RowMaker, column, columns_of
from assets.sheets.figures import FIGURES
from assets.sheets.loading import Choice, Loading
from assets.sheets.model_sheets import ModelSheet
from assets.sheets.writing import BATCH, Draft, messages_of, refuse
from assets.workbook.columns import Column, Kind
from assets.workbook.planning import Outcome, PlannedRow
from assets.workbook.reading import Row

LOCATION_LINK = Link("Locations", Location, ("code",))
RAIL_LINK = Link("Rail sections", RailSection, ("code",))
DESIGN_LINK = Link("Switch designs", SwitchDesign, ("code",))
POINTS_LINK = Link("Points", Points, ("location__code", "number"))
PART_LINKS = {kind.field: Link(kind.sheet, kind.model, ("tag",)) for kind in KINDS}
PART_KIND_CHOICES = tuple((kind.field, kind.name) for kind in KINDS)
POINTS_HELP = 'Location code, a space and the number: "SKB 12".'
PLACE_HELP = "0 for the lock stretcher's place, then 1, 2 ... from the toe."

KEY = {"key": True}
WHICH_POINTS = {"key": True, "refers_to": POINTS_LINK.sheet, "help": POINTS_HELP}
FROM_MEMORY = {"heading": "From memory", "help": "Yes: confirm it on the ground."}
BY_DESIGN = {"help": "Leave blank to use the switch design's."}


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
    columns_of(Location, code=KEY),
    "A place on the line that has points.",
    ("mileage", "code"),
    link=LOCATION_LINK,
)

RAIL_SECTIONS = ModelSheet(
    "Rail sections",
    RailSection,
    columns_of(RailSection, code=KEY, from_memory=FROM_MEMORY),
    "A rolled rail section, and where its figures come from.",
    ("code",),
    link=RAIL_LINK,
)

SWITCH_DESIGNS = ModelSheet(
    "Switch designs",
    SwitchDesign,
    columns_of(SwitchDesign, code=KEY, from_memory=FROM_MEMORY),
    "A drawing of a switch, and where its figures come from. Lengths are from the toe.",
    ("code",),
    link=DESIGN_LINK,
)

WHEEL_STANDARDS = ModelSheet(
    "Wheel standards",
    WheelStandard,
    columns_of(WheelStandard, name=KEY),
    "The narrowest wheelset that the railway allows to run.",
    ("name",),
)

POINTS = ModelSheet(
    "Points",
    Points,
    columns_of(
        Points,
        location={"refers_to": LOCATION_LINK.sheet, "key": True, "help": "Its code."},
        number=KEY,
        rail_section={"refers_to": RAIL_LINK.sheet},
        design={"refers_to": DESIGN_LINK.sheet},
        heel=BY_DESIGN,
        heel_mm=BY_DESIGN,
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
    columns_of(Position, points=WHICH_POINTS, order={"heading": "Place", "key": True}),
    "A place for a stretcher on a set of points.",
    ("points__location__code", "points__number_order", "points__number", "order"),
    links={"points": POINTS_LINK},
    narrow=at_points("points"),
    asks_database=True,
)

OFFSETS = ModelSheet(
    "Offsets",
    SwitchOffset,
    columns_of(SwitchOffset, points=WHICH_POINTS, distance_mm=KEY),
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
    fitted = Fitting.objects.filter(position__points__in=choice.points)
    return rows.filter(pk__in=fitted.values(BY_MODEL[rows.model].field))


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


def part_sheet(kind: PartKind) -> ModelSheet:
    """The sheet of a kind of part."""
    details = {"tag": {"key": True, "help": "As marked on it."}, **kind.columns}
    tag, *columns = columns_of(kind.model, *kind.fields, **details)
    where = Column("Fitted now", "where", info=True, help="Blank: in the store.")
    return ModelSheet(
        kind.sheet,
        kind.model,
        (tag, where, *columns),
        kind.about,
        ("tag",),
        link=PART_LINKS[kind.field],
        narrow=_of_choice,
        info=_where(kind.field),
        moved=kind.moved,
    )


STRETCHERS, MACHINES, LOST_MOTION_FITTINGS = map(part_sheet, KINDS)


# Of a fitting itself: its part and its place are named by columns of their own.
FITTING_FIELDS = [f for f in entered(Fitting) if f not in (*PART_FIELDS, "position")]
# For people to read: written by the program where a part is fitted.
JUDGED_FIELDS = ("work_done", "outcome", "against", "agreed_on", "agreed_by", "agreement")


def _fitting_maker() -> RowMaker:
    place = ("position__points__location__code", "position__points__number", "position__order")
    tags = tuple(f"{field}__tag" for field in PART_FIELDS)
    read = (*FITTING_FIELDS, *JUDGED_FIELDS)

    def make(record) -> dict[str, Any]:
        code, number, order, *rest = record
        kind, part = next((k, t) for k, t in zip(PART_FIELDS, rest, strict=False) if t is not None)
        values = dict(zip(read, rest[len(PART_FIELDS) :], strict=True))
        values["order_on_day"] = only_if_later(values["order_on_day"])
        return {"kind": kind, "part": part, "points": f"{code} {number}", "order": order, **values}

    return RowMaker((*place, *tags, *read), make)


def position_ids(loading: Loading) -> dict[tuple[int, int], int]:
    """Key of each place by the key of its points and its number; one query per loading."""
    if "places" not in loading.kept:
        rows = Position.objects.values_list("points_id", "order", "pk")
        loading.kept["places"] = {(points, order): pk for points, order, pk in rows}
    return loading.kept["places"]


def only_if_later(order_on_day: int | None) -> int | None:
    """The order within a day as a workbook says it: blank where there was none before."""
    return None if order_on_day == 1 else order_on_day


class FittingSheet(ModelSheet):
    """The sheet of fittings, where the first of a day is named by the day alone."""

    def prepare(self, row: Row) -> None:
        row.values["order_on_day"] = only_if_later(row.values.get("order_on_day"))


def _judge_new(loading: Loading, drafts: list[Draft]) -> None:
    """Judges the parts that the workbook puts somewhere and that are there still.

    One that does not suit is refused without a reason, as on the page, and else stays marked.
    """
    there = sorted(
        (draft for draft in drafts if draft.thing.taken_out_on is None),
        key=lambda draft: draft.thing.position_id,
    )
    links = (*PART_FIELDS, "position__points__location")
    for start in range(0, len(there), BATCH):
        rows = {draft.thing.pk: draft.row for draft in there[start : start + BATCH]}
        fittings = list(Fitting.objects.filter(pk__in=rows).select_related(*links))
        marks: dict[tuple[str, str], list[int]] = {}
        for one, judged in zip(fittings, loading.judge(fittings), strict=True):
            refusal = fitting.without_a_reason(one, judged)
            if refusal:
                rows[one.pk].refuse(refusal, "part")
            else:
                marks.setdefault((judged.outcome.value, judged.against), []).append(one.pk)
        for (outcome, against), pks in marks.items():
            # Entered just now and judged as it was entered: one record of its history.
            for table in (Fitting.objects.filter(pk__in=pks), Fitting.history.filter(id__in=pks)):
                table.update(outcome=outcome, against=against)


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
    for name in given.keys() - {"kind", "part", "points", "order", "order_on_day"}:
        setattr(thing, name, given[name])
    thing.order_on_day = given["order_on_day"] or 1


def _fittings_of_choice(rows: QuerySet, choice: Choice) -> QuerySet:
    if choice.parts is not None:
        return rows.filter(**{f"{choice.part_field}__in": choice.parts})
    return at_points("position__points")(rows, choice)


FITTINGS = FittingSheet(
    "Fittings",
    Fitting,
    (
        Column("Kind of part", "kind", Kind.CHOICE, choices=PART_KIND_CHOICES, key=True),
        Column("Part", "part", Kind.TEXT, key=True, help="Its tag."),
        Column("Points", "points", Kind.REFERENCE, refers_to="Points", key=True, help=POINTS_HELP),
        place_column(key=True),
        *columns_of(
            Fitting,
            *FITTING_FIELDS,
            fitted_on=KEY,
            order_on_day={"key": True, "optional": True, "required": False},
            taken_out_on={"help": "Blank: still fitted."},
            taken_out_reason={"help": "Needed where it was taken out."},
        ),
        *(column(Fitting, name, info=True, required=False) for name in JUDGED_FIELDS),
    ),
    "A part in a place, from a day until it is taken out. A part is in one place at a time.",
    ("fitted_on",),
    narrow=_fittings_of_choice,
    maker=_fitting_maker(),
    fill=_fill_fitting,
    after=_judge_new,
    asks_database=True,
)

SHEETS = (
    LOCATIONS,
    RAIL_SECTIONS,
    SWITCH_DESIGNS,
    WHEEL_STANDARDS,
    FIGURES,
    POINTS,
    PLACES,
    OFFSETS,
    STRETCHERS,
    MACHINES,
    LOST_MOTION_FITTINGS,
    FITTINGS,
)
