"""Where things are: locations, sets of points and the positions on them."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from assets.engineering.facts import PlaceFacts
from assets.engineering.words import (
    Depth,
    DetectionRods,
    DetectorOn,
    Footing,
    Heel,
    Layout,
    Lie,
    Role,
    ServiceState,
    Side,
    Soleplate,
    Use,
)

from .fields import LongText, Text, coded, coded_rule, key_rule, measured, range_rule
from .fittings import PART_FIELDS, Fitting
from .reference import RailSection, SwitchDesign
from .studs import Studs, distances_of

ON_SOLEPLATE = [on.value for on in (Footing.SOLEPLATE, Footing.LEFT, Footing.RIGHT)]


class Location(models.Model):
    code = Text(max_length=10, unique=True)
    name = Text(max_length=80)
    mileage = measured("mileage", "miles")
    history = HistoricalRecords()

    class Meta:
        ordering = ["mileage", "code", "pk"]
        constraints = [
            key_rule("location", "code"),
            range_rule("location", "mileage", 1_000, unit="miles"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


class PointsQuerySet(models.QuerySet):
    def in_walking_order(self) -> "PointsQuerySet":
        """Along the line by mileage, then by number as people count (2 before 10)."""
        return self.order_by("location__mileage", "location__code", "number_order", "number", "pk")

    def with_places(self) -> "PointsQuerySet":
        """All that the facts of a set of points need, in a number of queries that never grows."""
        current = Fitting.objects.current().select_related(*PART_FIELDS)
        positions = Position.objects.order_by("order").prefetch_related(
            models.Prefetch("fittings", queryset=current, to_attr="current_fittings")
        )
        return self.select_related("location", "design", "rail_section").prefetch_related(
            models.Prefetch("positions", queryset=positions), "offsets"
        )

    def by_key(self, key: str) -> "Points":
        """The points with this key ("SKB 12"); Points.DoesNotExist names the key."""
        code, _, number = " ".join(key.split()).rpartition(" ")
        try:
            return self.get(location__code__iexact=code, number__iexact=number)
        except Points.DoesNotExist:
            raise Points.DoesNotExist(
                f"There are no points {key!r}: the key is the location code, a space and the "
                'number, like "SKB 12".'
            ) from None


class Points(models.Model):
    """One set of switches, called "points" even in the singular."""

    location = models.ForeignKey(Location, on_delete=models.PROTECT, related_name="points")
    number = Text(max_length=10)
    number_order = models.PositiveIntegerField(default=0, editable=False)
    layout = coded(Layout, "layout")
    hand = coded(Side, "hand")
    use = coded(Use, "use")
    track_circuited = models.BooleanField(null=True, blank=True)
    rail_section = models.ForeignKey(RailSection, null=True, blank=True, on_delete=models.PROTECT)
    design = models.ForeignKey(
        SwitchDesign, null=True, blank=True, on_delete=models.PROTECT, verbose_name="switch design"
    )
    gauge_mm = measured("track gauge")
    depth = coded(Depth, "switch depth")
    soleplate = coded(Soleplate, "soleplate under the toe")
    lock_casting = coded(Footing, "lock casting bolted to")
    machine_on = coded(Footing, "machine bolted to")
    detection_rods = coded(DetectionRods, "detection rods")
    detector_on = coded(DetectorOn, "detector in or bolted to")
    studs = Studs(
        "studs behind the planing (mm from the toe)",
        max_length=120,
        blank=True,
        help_text="Distances such as 2600; 3400, or: none. Blank: not known.",
    )
    heel = coded(Heel, "heel")
    heel_mm = measured("toe to heel, as measured")
    machine_side = coded(Side, "machine side")
    normal_lie = coded(Lie, "lie that is normal")
    service_state = coded(ServiceState, "service state", default=ServiceState.IN_USE.value)
    inspection_interval_days = models.PositiveSmallIntegerField(
        "inspection interval (days)",
        null=True,
        blank=True,
        help_text="Leave blank for the railway's usual interval.",
    )
    note = LongText(blank=True)
    history = HistoricalRecords(excluded_fields=["number_order"])

    objects = PointsQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "points"
        ordering = ["location__code", "number_order", "number", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["location", "number"],
                name="points_number_once_per_location",
                violation_error_message="This location already has points with that number.",
            ),
            key_rule("points", "number"),
            coded_rule("points", "layout", Layout),
            coded_rule("points", "hand", Side),
            coded_rule("points", "heel", Heel),
            coded_rule("points", "depth", Depth),
            coded_rule("points", "soleplate", Soleplate),
            coded_rule("points", "lock_casting", Footing),
            coded_rule("points", "machine_on", Footing),
            coded_rule("points", "detection_rods", DetectionRods),
            coded_rule("points", "detector_on", DetectorOn),
            models.CheckConstraint(
                name="points_nothing_on_no_soleplate",
                condition=~Q(soleplate=Soleplate.NONE.value)
                | ~(
                    Q(lock_casting__in=ON_SOLEPLATE)
                    | Q(machine_on__in=ON_SOLEPLATE)
                    | Q(detector_on__in=ON_SOLEPLATE)
                ),
                violation_error_message=(
                    "There is no soleplate, so lock casting, machine and detector cannot be "
                    "bolted to one."
                ),
            ),
            coded_rule("points", "use", Use),
            coded_rule("points", "machine_side", Side),
            coded_rule("points", "normal_lie", Lie),
            coded_rule("points", "service_state", ServiceState),
            range_rule("points", "gauge_mm", 1_700, least=300),
            range_rule("points", "heel_mm", 30_000, least=1_000),
            models.CheckConstraint(
                name="points_interval_range",
                condition=Q(inspection_interval_days__isnull=True)
                | Q(inspection_interval_days__gte=1, inspection_interval_days__lte=1_100),
                violation_error_message="The inspection interval must be 1 to 1100 days.",
            ),
        ]

    def __str__(self) -> str:
        return self.key

    @property
    def key(self) -> str:
        """Location code and number, as people write it; reads the location."""
        return f"{self.location.code} {self.number}"

    @property
    def length_mm(self) -> float | None:
        """Toe to heel: as measured, else as the design says (reads the design)."""
        if self.heel_mm is not None:
            return self.heel_mm
        return self.design.heel_mm if self.design else None

    @property
    def studs_mm(self) -> tuple[float, ...] | None:
        """The studs behind the planing, from the toe (mm); None: not known."""
        return distances_of(self.studs)

    @property
    def heel_kind(self) -> Heel:
        """Held or pivoted: as recorded here, else as the design says (reads the design)."""
        if self.heel != Heel.UNKNOWN:
            return Heel(self.heel)
        return Heel(self.design.heel) if self.design else Heel.UNKNOWN

    def get_absolute_url(self) -> str:
        return reverse("assets:points", args=[self.location.code, self.number])

    def clean(self) -> None:
        self.number = " ".join(self.number.split())

    def set_order(self) -> None:
        """Orders numbers as people count; saving does it, writing many at once has to ask."""
        digits = "".join(c for c in self.number if c.isdigit())[:9]
        self.number_order = int(digits or 0)

    def save(self, *args, **kwargs) -> None:
        self.set_order()
        super().save(*args, **kwargs)


class PositionQuerySet(models.QuerySet):
    def in_walking_order(self) -> "PositionQuerySet":
        """As the points are walked, and on each set of points from the toe."""
        points = ("location__mileage", "location__code", "number_order", "number", "pk")
        return self.order_by(*(f"points__{field}" for field in points), "order", "pk")

    def at(self, points: Points, order: int) -> "Position":
        """Position ``order`` of these points; Position.DoesNotExist says which there are."""
        try:
            return self.get(points=points, order=order)
        except Position.DoesNotExist:
            orders = [str(n) for n in self.filter(points=points).values_list("order", flat=True)]
            have = ", ".join(orders) or "none recorded"
            raise Position.DoesNotExist(
                f"{points} has no position {order}; its positions are: {have}."
            ) from None


class Position(models.Model):
    """A place for a stretcher on one set of points; 0 is the lock stretcher's, then 1, 2 ..."""

    points = models.ForeignKey(Points, on_delete=models.CASCADE, related_name="positions")
    order = models.PositiveSmallIntegerField(
        "number from the toe", help_text="0 for the lock stretcher, then 1, 2 ... from the toe."
    )
    role = coded(Role, "role", default=Role.INTERMEDIATE.value)
    distance_mm = measured("distance from the toe")
    driven = models.BooleanField("the drive takes hold here", null=True, blank=True)
    drive_ratio = measured("movement at the drive rod per movement of the machine", "ratio")
    kicker_required = models.BooleanField("must carry a kicker", null=True, blank=True)
    separation_mm = measured("switch rails over their backs, as measured")
    space_ahead_mm = measured("free space to the timber, towards the toe")
    space_behind_mm = measured("free space to the timber, towards the heel")
    chiselled = models.BooleanField("timber cut away here", null=True, blank=True)
    history = HistoricalRecords()

    objects = PositionQuerySet.as_manager()

    class Meta:
        ordering = ["points", "order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["points", "order"],
                name="position_order_once",
                violation_error_message="These points already have a position with that number.",
            ),
            models.UniqueConstraint(
                fields=["points", "distance_mm"],
                name="position_distance_once",
                violation_error_message="Another position is at the same distance from the toe.",
            ),
            coded_rule("position", "role", Role),
            models.CheckConstraint(
                name="position_lock_is_0",
                condition=Q(order=0, role=Role.LOCK.value)
                | (Q(order__gte=1, order__lte=8) & ~Q(role=Role.LOCK.value)),
                violation_error_message=(
                    "Number 0 is the lock stretcher's place; the others count 1 to 8 from the toe."
                ),
            ),
            range_rule("position", "distance_mm", 30_000),
            range_rule("position", "space_ahead_mm", 2_000),
            range_rule("position", "space_behind_mm", 2_000),
            range_rule("position", "separation_mm", 2_000),
            range_rule("position", "drive_ratio", 10, least=0.1, unit="(ratio)"),
        ]

    def __str__(self) -> str:
        return f"{self.points.key}, {self.name}"

    @property
    def name(self) -> str:
        """ "lock stretcher", "second stretcher" ..."""
        return PlaceFacts(order=self.order, role=Role(self.role)).name

    def clean(self) -> None:
        """Says beside the box what the database would refuse: see assets.triggers."""
        if self.distance_mm is None or self.points_id is None:
            return
        length = self.points.length_mm
        if length is not None and self.distance_mm > length:
            raise ValidationError(
                {
                    "distance_mm": f"{self.distance_mm:g} mm is beyond the heel, which is "
                    f"{length:g} mm from the toe."
                }
            )
        others = Position.objects.filter(points=self.points_id).exclude(pk=self.pk)
        before = others.filter(order__lt=self.order, distance_mm__gte=self.distance_mm)
        after = others.filter(order__gt=self.order, distance_mm__lte=self.distance_mm)
        wrong = before.first() or after.first()
        if wrong:
            raise ValidationError(
                {
                    "distance_mm": f"Positions count from the toe: {wrong.name} is at "
                    f"{wrong.distance_mm:g} mm, so this one cannot be at {self.distance_mm:g} mm."
                }
            )


class SwitchOffset(models.Model):
    """A measured offset of a closed switch rail, for a switch whose drawing is lost."""

    points = models.ForeignKey(Points, on_delete=models.CASCADE, related_name="offsets")
    distance_mm = models.FloatField("distance from the toe (mm)")
    offset_mm = models.FloatField("running edge to running edge (mm)")
    history = HistoricalRecords()

    class Meta:
        ordering = ["points", "distance_mm", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["points", "distance_mm"],
                name="switch_offset_once",
                violation_error_message="There is already an offset at that distance.",
            ),
            range_rule("switch_offset", "distance_mm", 30_000),
            range_rule("switch_offset", "offset_mm", 1_000),
        ]

    def __str__(self) -> str:
        return f"{self.points}: {self.offset_mm:g} mm at {self.distance_mm:g} mm"
