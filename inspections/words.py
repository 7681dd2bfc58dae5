"""Words of the inspection: what is measured, what is looked at, how it is judged."""

from assets.engineering.words import Vocabulary


class QuantityCode(Vocabulary):
    SWITCH_OPENING = "switch_opening"
    FWC = "fwc", "free wheel clearance"
    FWP = "fwp", "free wheel passage"
    RESIDUAL_OPENING = "residual_opening"
    CLOSED_GAP = "closed_gap", "gap on the closed side"
    KICKER_CLEARANCE = "kicker_clearance"
    TRACK_GAUGE = "track_gauge"
    LOCK_GO = "lock_go", "lock test, gauge that must lock"
    LOCK_NO_GO = "lock_no_go", "lock test, gauge that must not lock"
    DETECT_GO = "detect_go", "detection test, gauge that it must make with"
    DETECT_NO_GO = "detect_no_go", "detection test, gauge that it must not make with"
    LOCK_ENGAGEMENT = "lock_engagement", "engagement of the lock"
    LOCK_SLOT = "lock_slot", "width of the lock notch"
    HOLDING_FORCE = "holding_force"
    INSULATION_RESISTANCE = "insulation_resistance"
    TORQUE = "torque", "tightening torque"
    LOST_MOTION = "lost_motion"


class ItemCode(Vocabulary):
    """A thing looked at."""

    GOOSENECK_CRACK = "gooseneck_crack", "gooseneck cracks"
    SHOE_CRACK = "shoe_crack", "shoe cracks"
    WELD = "weld", "welds on adjustable stretchers"
    RUBBER_BUSH = "rubber_bush", "rubber bushes"
    INSULATION_PLATES = "insulation_plates"
    METAL_TOUCHING = "metal_touching", "metal touching the rails"
    CAPTIVE_NUT = "captive_nut", "captive nuts"
    LOCK_NUTS = "lock_nuts"
    LOCK_CASTING = "lock_casting", "lock casting secure"
    FIXINGS = "fixings"
    GREASING = "greasing", "greasing behind back nuts"
    WEAR_MARKS = "wear_marks", "wear marks on the back of the open switch"
    BALLAST = "ballast", "ballast behind the stretchers"
    TIMBER_FOULING = "timber_fouling", "timber fouling the stretchers"
    SWITCH_CREEP = "switch_creep"
    SLIDE_CHAIRS = "slide_chairs"
    RAIL_DAMAGE = "rail_damage"


class Look(Vocabulary):
    """What an examination found."""

    GOOD = "good"
    DEFECTIVE = "defective"
    NOT_SEEN = "not_seen", "not seen"


class SubjectKind(Vocabulary):
    """How a finding is come by; the labels are headings over lists of them."""

    MEASURED = "measured", "Measured"
    EXAMINED = "item", "Examined"
    CHECK = "check", "Found in the register"


class Way(Vocabulary):
    """Which end of its limit a reading is past."""

    BELOW = "below"
    ABOVE = "above"


class Reason(Vocabulary):
    """Why the visit was made."""

    ROUTINE = "routine"
    AFTER_WORK = "after_work"
    AFTER_FITTING = "after_fitting", "after fitting a part"
    BEFORE_USE = "before_use", "before use after a closed season"
    JOINT_VISIT = "joint_visit", "joint visit of both departments"

    @property
    def is_whole(self) -> bool:
        """Made to look at the whole of the points, not just at what was done."""
        return self not in (Reason.AFTER_WORK, Reason.AFTER_FITTING)


WHOLE_VISITS = tuple(reason.value for reason in Reason if reason.is_whole)


class WhichRod(Vocabulary):
    """Which rod the readings are of, where it was changed about the time of the visit."""

    THEN = "then", "of the stretcher that the form was for"
    NOW = "now", "of the stretcher that is recorded there"
    NOT_KNOWN = "not_known", "not known: measure again"


class Level(Vocabulary):
    """Levels of a limit in the sense of EN 13848-5 and the infrastructure TSI."""

    ALERT = "alert", "alert limit"
    INTERVENTION = "intervention", "intervention limit"
    IMMEDIATE = "immediate", "immediate action limit"


class Verdict(Vocabulary):
    """A reading against the limits; "out" is from intervention upwards."""

    WITHIN = "within"
    ALERT = "alert"
    INTERVENTION = "intervention"
    IMMEDIATE = "immediate", "immediate action"
    NO_LIMIT = "no_limit", "no limit"
    NOT_TAKEN = "not_taken", "not taken"

    @property
    def is_out(self) -> bool:
        return self in (Verdict.INTERVENTION, Verdict.IMMEDIATE)

    @property
    def is_sound(self) -> bool:
        """Within limits; past the alert limit only is still within."""
        return self in (Verdict.WITHIN, Verdict.ALERT)

    @property
    def is_past(self) -> bool:
        """Past a limit of any level, the alert limit included."""
        return self.is_out or self is Verdict.ALERT

    @property
    def result(self) -> str:
        """As people read it: a glance tells the two that are out apart."""
        plain = {Verdict.WITHIN: "within limits", Verdict.INTERVENTION: "out of limits"}
        return plain.get(self, self.label)


class Scope(Vocabulary):
    """What a limit holds for, from the widest to the most specific."""

    RAILWAY = "railway", "the whole railway"
    RAIL_SECTION = "rail_section"
    LAYOUT = "layout"
    DESIGN = "design", "switch design"
    POINTS = "points", "one set of points"


class InstrumentKind(Vocabulary):
    RULE = "rule", "rule or callipers"
    FEELER = "feeler", "feeler or taper gauge"
    TRACK_GAUGE = "track_gauge"
    SPRING_BALANCE = "spring_balance"
    OBSTRUCTION = "obstruction", "obstruction gauges"
    INSULATION_TESTER = "insulation_tester"
    TORQUE_WRENCH = "torque_wrench"

    @property
    def unit(self) -> str:
        """Of its resolution, its uncertainty and the error found at a check."""
        units = {
            InstrumentKind.INSULATION_TESTER: "Ω",
            InstrumentKind.TORQUE_WRENCH: "N·m",
            InstrumentKind.SPRING_BALANCE: "N",
        }
        return units.get(self, "mm")


class CalculatedFinding(Vocabulary):
    """What the arithmetic of the switch finds, the gravest first: each is something to measure."""

    WHEELS = "wheels", "narrowest wheelset may strike the switch rail"
    BETWEEN = "between", "below the limit between the stretchers"
    DISAGREE = "disagree", "readings disagree"
    STEP = "step", "stretcher changed, no work recorded"
    PLAY = "play", "the two lies disagree"
    TOO_LONG = "too_long", "stretcher too long"
    TOO_CLOSE = "too_close", "too close to call"
