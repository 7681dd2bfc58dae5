"""Reference data: rail sections and switch designs, each with where it comes from."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from assets.engineering.words import Heel, Profile, ShapeKind

from .fields import Text, coded, coded_rule, measured, order_rule, range_rule


class RailSection(models.Model):
    """A rolled rail section; Iyy is its lateral second moment of area, in cm⁴."""

    code = Text(max_length=20, unique=True)
    profile = coded(Profile, "profile")
    mass_kg_m = measured("mass", "kg/m")
    height_mm = measured("height")
    head_mm = measured("head width")
    foot_mm = measured("foot width")
    web_mm = measured("web thickness")
    iyy_cm4 = measured("lateral Iyy", "cm⁴")
    iyy_least_cm4 = measured("lateral Iyy, least it can be", "cm⁴")
    iyy_most_cm4 = measured("lateral Iyy, most it can be", "cm⁴")
    source = Text(max_length=300)
    from_memory = models.BooleanField("from memory, confirm on the ground", default=False)
    history = HistoricalRecords()

    class Meta:
        ordering = ["code", "pk"]
        constraints = [
            coded_rule("rail_section", "profile", Profile),
            range_rule("rail_section", "mass_kg_m", 100, unit="kg/m"),
            range_rule("rail_section", "height_mm", 300),
            range_rule("rail_section", "head_mm", 200),
            range_rule("rail_section", "foot_mm", 300),
            range_rule("rail_section", "web_mm", 100),
            range_rule("rail_section", "iyy_cm4", 5000, unit="cm⁴"),
            range_rule("rail_section", "iyy_least_cm4", 5000, unit="cm⁴"),
            range_rule("rail_section", "iyy_most_cm4", 5000, unit="cm⁴"),
            order_rule(
                "rail_section",
                "iyy_least_cm4",
                "iyy_most_cm4",
                "The smallest lateral Iyy must not be above the largest.",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class SwitchDesign(models.Model):
    """A drawing of a switch: its shape, and what it asks of its stretchers.

    Lengths run from the toe. A semi-curved switch is straight at 1 in ``slope`` over its
    planing, then curves at ``radius_mm``.
    """

    code = Text(max_length=30, unique=True)
    name = Text(max_length=100, blank=True)
    shape = coded(ShapeKind, "shape")
    heel = coded(Heel, "heel")
    heel_mm = measured("toe to heel")
    heel_divergence_mm = measured("heel divergence")
    slope = measured("planing, 1 in", "n")
    planing_mm = measured("planing length")
    radius_mm = measured("switch radius")
    head_mm = measured("head width of the switch rail")
    least_stretchers = models.PositiveSmallIntegerField(
        "stretchers needed, lock stretcher not counted", null=True, blank=True
    )
    source = Text(max_length=300)
    from_memory = models.BooleanField("from memory, confirm on the ground", default=False)
    history = HistoricalRecords()

    class Meta:
        ordering = ["code", "pk"]
        constraints = [
            coded_rule("switch_design", "shape", ShapeKind),
            coded_rule("switch_design", "heel", Heel),
            range_rule("switch_design", "heel_mm", 30_000, least=1_000),
            range_rule("switch_design", "heel_divergence_mm", 1_000),
            range_rule("switch_design", "slope", 500, least=1, unit="(1 in n)"),
            range_rule("switch_design", "planing_mm", 20_000),
            range_rule("switch_design", "radius_mm", 10_000_000),
            range_rule("switch_design", "head_mm", 200),
            order_rule(
                "switch_design",
                "planing_mm",
                "heel_mm",
                "The planing must not be longer than the switch from toe to heel.",
            ),
            models.CheckConstraint(
                name="switch_design_least_stretchers_range",
                condition=Q(least_stretchers__isnull=True)
                | Q(least_stretchers__gte=1, least_stretchers__lte=8),
                violation_error_message="Stretchers needed must be between 1 and 8.",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class WheelStandard(models.Model):
    """The least wheelset that the railway allows to run; the one in force judges passages."""

    name = Text(max_length=80, unique=True)
    back_to_back_mm = models.FloatField("least back-to-back (mm)")
    flange_mm = models.FloatField("least flange thickness (mm)")
    front_to_front_mm = measured("least front-to-front")
    in_force = models.BooleanField(default=False, help_text="One standard is in force at a time.")
    source = Text(max_length=300)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            range_rule("wheel_standard", "back_to_back_mm", 1_700, least=300),
            range_rule("wheel_standard", "flange_mm", 60, least=1),
            range_rule("wheel_standard", "front_to_front_mm", 1_800, least=300),
            models.UniqueConstraint(
                fields=["in_force"],
                condition=Q(in_force=True),
                name="wheel_standard_one_in_force",
                violation_error_message="Another wheel standard is in force: end that one first.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
