"""The parts: stretchers, machines and lost-motion fittings, recorded as they are."""

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from assets.engineering.words import (
    Adjustability,
    Condition,
    Depth,
    DriveLug,
    Ends,
    Fixings,
    Form,
    Generation,
    InsulationKind,
    InsulationSide,
    LostMotionKind,
    MachineKind,
    Notches,
    Profile,
    ShoeColour,
    Towards,
)

from .fields import LongText, Text, coded, coded_rule, key_rule, measured, order_rule, range_rule


class PartQuerySet(models.QuerySet):
    def fitted(self):
        """Parts that are in a set of points now."""
        return self.filter(fittings__taken_out_on__isnull=True, fittings__isnull=False)

    def spare(self):
        """Parts in the store: not fitted anywhere now."""
        link = self.model._meta.get_field("fittings")
        now = link.related_model.objects.current().filter(
            **{link.field.name: models.OuterRef("pk")}
        )
        return self.filter(~models.Exists(now))

    def by_tag(self, tag: str):
        """The part with this tag, however its letters are written; DoesNotExist names it."""
        try:
            return self.get(tag__iexact=" ".join(tag.split()))
        except self.model.DoesNotExist:
            raise self.model.DoesNotExist(
                f"There is no {self.model._meta.verbose_name} {tag!r} in the register."
            ) from None


class Part(models.Model):
    """What every part has, whatever its kind.

    ``sections`` has the heading, on pages and in forms, that begins with each of some fields.
    """

    sections: ClassVar[dict[str, str]] = {"tag": "What it is", "condition": "State and store"}

    tag = Text(max_length=20, unique=True)
    condition = coded(Condition, "condition")
    quarantined = models.BooleanField(
        default=False, help_text="Kept apart: not to be fitted until released."
    )
    kept_at = Text(
        "keeping place", max_length=80, blank=True, help_text="In the store: shed, rack, shelf."
    )
    origin = Text(max_length=120, blank=True, help_text="Where it came from.")
    note = LongText(blank=True)

    objects = PartQuerySet.as_manager()

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.tag

    @property
    def kind_name(self) -> str:
        return str(self._meta.verbose_name)

    def in_short(self) -> list[str]:
        """What tells it from others of its kind, for lists to choose from."""
        return [self.get_kind_display(), *([self.kept_at] if self.kept_at else [])]

    @property
    def where_in_store(self) -> str:
        """Where a spare lies, in words: "in the store: Skelbeck store, rack 2"."""
        return f"in the store: {self.kept_at}" if self.kept_at else "in the store"

    def get_absolute_url(self) -> str:
        return reverse("assets:part", args=[self._meta.model_name, self.tag])

    def clean(self) -> None:
        self.tag = " ".join(self.tag.split())

    def current_fitting(self):
        """Where it is fitted now, or None for a spare; one query unless prefetched."""
        return next((f for f in self.fittings.all() if f.taken_out_on is None), None)


def _part_rules(table: str) -> list[models.CheckConstraint]:
    return [
        coded_rule(table, "condition", Condition),
        key_rule(table, "tag"),
    ]


CARRYING = [end.value for end in Ends if end not in (Ends.NONE, Ends.UNKNOWN)]


class Stretcher(Part):
    """The rod tying the two switch rails together. Left and right are as it lies when fitted."""

    sections: ClassVar[dict[str, str]] = {
        **Part.sections,
        "for_lock": "Made for",
        "insulation_side": "Insulation",
        "left_shoe": "Left end",
        "right_shoe": "Right end",
        "depth": "Depth and welds",
        "kicker": "Kicker and drive lug",
        "length_min_mm": "Length and shims",
        "left_fixings": "Fixings",
        "notches": "Lock and turning",
    }

    generation = coded(Generation, "colour generation")
    adjustability = coded(Adjustability, "fixed or adjustable")
    form = coded(Form, "straight or gooseneck")
    gooseneck_towards = coded(Towards, "gooseneck stands towards the")
    for_lock = models.BooleanField("made for the lock", null=True, blank=True)
    for_drive = models.BooleanField("made for the drive", null=True, blank=True)
    for_intermediate = models.BooleanField("made for intermediate places", null=True, blank=True)
    for_back = models.BooleanField("made for the back", null=True, blank=True)
    insulation_side = coded(InsulationSide, "insulation side")
    insulation_kind = coded(InsulationKind, "insulation kind")
    left_shoe = coded(Profile, "left shoe, for rail")
    left_shoe_colour = coded(ShoeColour, "left shoe colour")
    left_shoe_foot_mm = measured("foot of the rail that the left shoe fits")
    right_shoe = coded(Profile, "right shoe, for rail")
    right_shoe_colour = coded(ShoeColour, "right shoe colour")
    right_shoe_foot_mm = measured("foot of the rail that the right shoe fits")
    depth = coded(Depth, "made for a switch of")
    welded = models.BooleanField("has welds", null=True, blank=True)
    kicker = models.BooleanField(null=True, blank=True)
    kicker_end = coded(Ends, "kicker at")
    drive_lug = coded(DriveLug, "drive lug")
    lug_end = coded(Ends, "drive lug at")
    lug_beyond = models.BooleanField(
        "drive lug beyond the insulation",
        null=True,
        blank=True,
        help_text="Yes: joined to the switch rail of its end. No: on the bar, within the "
        "insulation.",
    )
    length_min_mm = measured("length over backs, least")
    length_max_mm = measured("length over backs, most")
    thread_pitch_mm = measured("thread pitch, length per turn")
    shim_left_mm = measured("shims at left shoe")
    shim_right_mm = measured("shims at right shoe")
    left_fixings = coded(Fixings, "fixings at the left end")
    right_fixings = coded(Fixings, "fixings at the right end")
    torque_nm = measured("tightening torque laid down", "N·m")
    notches = coded(Notches, "lock notches")
    notch_distance_mm = measured("distance between lock notches")
    can_be_turned = models.BooleanField("can be turned end for end", null=True, blank=True)
    history = HistoricalRecords()

    def in_short(self) -> list[str]:
        side = self.get_insulation_side_display()
        told = [str(self.generation), side if side.startswith("not") else f"insulated: {side}"]
        told.append(f"shoes {self.get_left_shoe_display()} / {self.get_right_shoe_display()}")
        if self.kept_at:
            told.append(self.kept_at)
        return [*told, "quarantined"] if self.quarantined else told

    def turn(self) -> None:
        """Turns it end for end, unsaved: what was left is right, and what faced the toe the heel.

        The distance between its lock notches is forgotten: measured from the other end it may be
        another.
        """
        lefts = [f.name for f in self._meta.concrete_fields if "left" in f.name]
        for left, right in ((name, name.replace("left", "right")) for name in lefts):
            was_left, was_right = getattr(self, left), getattr(self, right)
            setattr(self, left, was_right)
            setattr(self, right, was_left)
        self.insulation_side = InsulationSide(self.insulation_side).turned.value
        self.gooseneck_towards = Towards(self.gooseneck_towards).opposite.value
        self.kicker_end = Ends(self.kicker_end).turned.value
        self.lug_end = Ends(self.lug_end).turned.value
        self.notch_distance_mm = None

    class Meta:
        ordering = ["tag", "pk"]
        constraints = [
            *_part_rules("stretcher"),
            coded_rule("stretcher", "generation", Generation),
            coded_rule("stretcher", "adjustability", Adjustability),
            coded_rule("stretcher", "form", Form),
            coded_rule("stretcher", "gooseneck_towards", Towards),
            coded_rule("stretcher", "insulation_side", InsulationSide),
            coded_rule("stretcher", "insulation_kind", InsulationKind),
            coded_rule("stretcher", "left_shoe", Profile),
            coded_rule("stretcher", "right_shoe", Profile),
            coded_rule("stretcher", "left_shoe_colour", ShoeColour),
            coded_rule("stretcher", "right_shoe_colour", ShoeColour),
            coded_rule("stretcher", "drive_lug", DriveLug),
            coded_rule("stretcher", "lug_end", Ends),
            coded_rule("stretcher", "kicker_end", Ends),
            coded_rule("stretcher", "depth", Depth),
            coded_rule("stretcher", "left_fixings", Fixings),
            coded_rule("stretcher", "right_fixings", Fixings),
            coded_rule("stretcher", "notches", Notches),
            range_rule("stretcher", "torque_nm", 2_000, unit="N·m"),
            range_rule("stretcher", "length_min_mm", 2_000),
            range_rule("stretcher", "length_max_mm", 2_000),
            range_rule("stretcher", "thread_pitch_mm", 20),
            range_rule("stretcher", "left_shoe_foot_mm", 250),
            range_rule("stretcher", "right_shoe_foot_mm", 250),
            range_rule("stretcher", "shim_left_mm", 60),
            range_rule("stretcher", "shim_right_mm", 60),
            range_rule("stretcher", "notch_distance_mm", 400),
            order_rule(
                "stretcher",
                "length_min_mm",
                "length_max_mm",
                "The shortest length must not be above the longest.",
            ),
            models.CheckConstraint(
                name="stretcher_bare_rod_has_no_insulation",
                condition=~Q(insulation_side=InsulationSide.NONE.value)
                | Q(insulation_kind__in=[InsulationKind.NONE.value, InsulationKind.UNKNOWN.value]),
                violation_error_message=(
                    "A stretcher that is not insulated has no kind of insulation."
                ),
            ),
            models.CheckConstraint(
                name="stretcher_kicker_has_an_end",
                condition=Q(kicker_end=Ends.UNKNOWN.value)
                | Q(kicker=False, kicker_end=Ends.NONE.value)
                | Q(kicker=True, kicker_end__in=CARRYING),
                violation_error_message=(
                    "The end that carries the kicker does not agree with whether there is one."
                ),
            ),
            models.CheckConstraint(
                name="stretcher_drive_lug_has_an_end",
                condition=Q(lug_end=Ends.UNKNOWN.value)
                | Q(drive_lug=DriveLug.NONE.value, lug_end=Ends.NONE.value)
                | (~Q(drive_lug=DriveLug.NONE.value) & Q(lug_end__in=CARRYING)),
                violation_error_message=(
                    "The end that carries the drive lug does not agree with which lug there is."
                ),
            ),
            models.CheckConstraint(
                name="stretcher_lug_beyond_an_insulation",
                condition=Q(lug_beyond__isnull=True)
                | Q(lug_beyond=False)
                | ~(
                    Q(insulation_side=InsulationSide.NONE.value) | Q(drive_lug=DriveLug.NONE.value)
                ),
                violation_error_message=(
                    "Only a drive lug of an insulated stretcher can be beyond the insulation."
                ),
            ),
            models.CheckConstraint(
                name="stretcher_insulated_rod_has_a_kind",
                condition=~Q(
                    insulation_side__in=["left", "right", "both"],
                    insulation_kind=InsulationKind.NONE.value,
                ),
                violation_error_message=(
                    "This stretcher is insulated on a side, so its kind of insulation cannot be "
                    "none."
                ),
            ),
        ]


class Machine(Part):
    """What moves the switch. Its kinds are generic."""

    sections: ClassVar[dict[str, str]] = {
        **Part.sections,
        "stroke_mm": "Movement",
        "drive_insulated": "Insulation",
    }

    kind = coded(MachineKind, "kind")
    stroke_mm = measured("stroke")
    unlocking_stroke_mm = measured("unlocking stroke")
    internal_lost_motion_mm = measured("internal lost motion")
    end_lost_motion_mm = models.FloatField(
        "lost motion inside it at the end of the stroke (mm)",
        default=0,
        help_text="0 unless the machine runs on after it has moved the switch.",
    )
    drive_insulated = models.BooleanField("drive rod insulated", null=True, blank=True)
    lock_rod_insulated = models.BooleanField("lock rod insulated", null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["tag", "pk"]
        constraints = [
            *_part_rules("machine"),
            coded_rule("machine", "kind", MachineKind),
            range_rule("machine", "stroke_mm", 500),
            range_rule("machine", "unlocking_stroke_mm", 500),
            range_rule("machine", "internal_lost_motion_mm", 500),
            range_rule("machine", "end_lost_motion_mm", 500),
            order_rule(
                "machine",
                "unlocking_stroke_mm",
                "stroke_mm",
                "The unlocking stroke must not be above the stroke.",
            ),
            order_rule(
                "machine",
                "internal_lost_motion_mm",
                "stroke_mm",
                "The internal lost motion must not be above the stroke.",
            ),
        ]


class LostMotionFitting(Part):
    """An external fitting on the drive lug that lets the drive move before the switch does."""

    sections: ClassVar[dict[str, str]] = {
        **Part.sections,
        "lost_motion_min_mm": "Lost motion",
        "suits_plain": "Lugs it suits",
    }

    kind = coded(LostMotionKind, "kind")
    lost_motion_min_mm = measured("lost motion, least")
    lost_motion_max_mm = measured("lost motion, most")
    lost_motion_set_mm = measured("lost motion it is set to")
    suits_plain = models.BooleanField("suits a plain lug", null=True, blank=True)
    suits_thin = models.BooleanField("suits a thin lug", null=True, blank=True)
    suits_raised_head = models.BooleanField("suits a raised-head lug", null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        verbose_name = "lost-motion fitting"
        ordering = ["tag", "pk"]
        constraints = [
            *_part_rules("lost_motion"),
            coded_rule("lost_motion", "kind", LostMotionKind),
            range_rule("lost_motion", "lost_motion_min_mm", 500),
            range_rule("lost_motion", "lost_motion_max_mm", 500),
            range_rule("lost_motion", "lost_motion_set_mm", 500),
            order_rule(
                "lost_motion",
                "lost_motion_min_mm",
                "lost_motion_max_mm",
                "The smallest lost motion must not be above the largest.",
            ),
            order_rule(
                "lost_motion",
                "lost_motion_min_mm",
                "lost_motion_set_mm",
                "It cannot be set to less than its least lost motion.",
            ),
            order_rule(
                "lost_motion",
                "lost_motion_set_mm",
                "lost_motion_max_mm",
                "It cannot be set to more than its most lost motion.",
            ),
        ]
