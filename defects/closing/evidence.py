"""May this defect close? One rule, asked by every way into closing.

After the work is done, what was out must have been measured again at the same place and stand
within limits, or the thing examined again and found good; a later look that is out again undoes
it. Without that only the responsible engineer closes, with a written reason that stays visible. A
loose or broken fixing needs a stated cause besides: retightening is not a repair.
"""

from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef

from assets.departments import Post, departments_of, posts_of
from defects.models import Defect
from defects.routing.routing import GAUGE_OUT, check_code, item_code
from defects.words import Check, State
from inspections.models import Examination, Reading
from inspections.models.visits import ExaminationQuerySet, ReadingQuerySet
from inspections.words import WHOLE_VISITS, ItemCode, Look, QuantityCode, Verdict

PROVING_VERDICTS = (Verdict.WITHIN.value, Verdict.ALERT.value)


NOTHING_PROVES_IT = (
    "No reading or examination can close this defect: only the responsible engineer can, with a "
    "written reason."
)


@dataclass(frozen=True)
class Proof:
    """What shows that a finding is corrected: a quantity, things examined, or any look at all."""

    quantity: str = ""
    items: tuple[str, ...] = ()
    anywhere: bool = False  # at any place of the same points
    any_visit: bool = False  # whatever was within limits or good at an inspection of the whole

    @property
    def is_known(self) -> bool:
        return bool(self.quantity or self.items or self.any_visit)


CRACKS = (ItemCode.GOOSENECK_CRACK.value, ItemCode.SHOE_CRACK.value, ItemCode.WELD.value)

# What a register check found is not all seen by measuring; the rest is for the engineer to agree.
_CHECK_PROOFS = {
    check_code(Check.MIXED_INSULATION): Proof(
        quantity=QuantityCode.INSULATION_RESISTANCE.value, anywhere=True
    ),
    check_code(Check.KICKER_MISSING): Proof(quantity=QuantityCode.KICKER_CLEARANCE.value),
    check_code(Check.INSPECTION_OVERDUE): Proof(any_visit=True, anywhere=True),
    check_code(Check.CRACKED_PART): Proof(items=CRACKS),
}


def proof_of(found: str) -> Proof:
    """What would prove a finding with this code corrected; an empty proof if nothing would."""
    if found in _CHECK_PROOFS:
        return _CHECK_PROOFS[found]
    if found.startswith(item_code("")):
        return Proof(items=(found.removeprefix(item_code("")),))
    quantity = found.removesuffix(GAUGE_OUT).partition(".")[0]
    return Proof(quantity=quantity) if quantity in set(QuantityCode) else Proof()


def readings_of(defect: Defect) -> ReadingQuerySet:
    """Standing readings of the same quantity at the same place, whatever they show."""
    proof = proof_of(defect.found)
    readings = Reading.objects.standing().filter(value__isnull=False)
    if defect.reading is not None:
        return readings.same_place(defect.reading)
    readings = readings.filter(inspection__points=defect.points_id)
    if proof.any_visit:
        readings = readings.filter(inspection__reason__in=WHOLE_VISITS, inspection__partial=False)
    else:
        readings = readings.filter(quantity=proof.quantity)
    return readings if proof.anywhere else readings.filter(position=defect.position_id)


def examinations_of(defect: Defect) -> ExaminationQuerySet:
    """Standing examinations of the same thing at the same place, whatever they found."""
    proof = proof_of(defect.found)
    looks = Examination.objects.standing().exclude(found=Look.NOT_SEEN.value)
    if defect.examination is not None:
        return looks.same_place(defect.examination)
    looks = looks.filter(inspection__points=defect.points_id)
    if proof.any_visit:
        looks = looks.filter(inspection__reason__in=WHOLE_VISITS, inspection__partial=False)
    else:
        looks = looks.filter(item__in=proof.items)
    return looks if proof.anywhere else looks.filter(position=defect.position_id)


def proving_readings(defect: Defect) -> ReadingQuerySet:
    """Readings that may close it: within limits, after the work, and not out again since."""
    if defect.work_done_at is None:
        return readings_of(defect).none()
    here = readings_of(defect).filter(inspection__at__gte=defect.work_done_at)
    out_since = here.out().filter(inspection__at__gte=OuterRef("inspection__at"))
    if proof_of(defect.found).any_visit:
        out_since = here.none()
    return here.filter(~Exists(out_since), verdict__in=PROVING_VERDICTS)


def proving_examinations(defect: Defect) -> ExaminationQuerySet:
    """Examinations that may close it: found good after the work, and not defective again since."""
    if defect.work_done_at is None:
        return examinations_of(defect).none()
    here = examinations_of(defect).filter(inspection__at__gte=defect.work_done_at)
    bad_since = here.defective().filter(inspection__at__gte=OuterRef("inspection__at"))
    if proof_of(defect.found).any_visit:
        bad_since = here.none()
    return here.filter(~Exists(bad_since), found=Look.GOOD.value)


def refusal_to_close(
    defect: Defect,
    *,
    user: User,
    reading: Reading | None = None,
    examination: Examination | None = None,
    reason: str = "",
) -> str:
    """Why this defect may not close by this user on this evidence; "" where it may.

    ``reason`` without a reading or an examination is the responsible engineer's agreement.
    """
    if not defect.is_open:
        return f"Defect {defect.number} is {State(defect.state).label} already."
    if defect.needs_cause and not defect.cause.strip():
        return (
            "A loose or broken fixing needs a stated cause before it can be closed: "
            "retightening is not a repair."
        )
    found = examination if reading is None else reading
    if found is None:
        return _refusal_of_agreement(defect, user, reason)
    if defect.owner not in departments_of(user):
        return f"The defect is with {defect.get_owner_display()}: that department checks it."
    if defect.state != State.WORK_DONE or defect.work_done_at is None:
        return "The work is not recorded as done: a reading taken before it proves nothing."
    if isinstance(found, Reading):
        proven = proving_readings(defect).filter(pk=found.pk).exists()
        return "" if proven else _why_not_proof(defect, found, defect.work_done_at)
    proven = proving_examinations(defect).filter(pk=found.pk).exists()
    return "" if proven else _why_no_good_look(defect, found, defect.work_done_at)


def _refusal_of_agreement(defect: Defect, user: User, reason: str) -> str:
    if Post.ENGINEER not in posts_of(user):
        if not proof_of(defect.found).is_known:
            return NOTHING_PROVES_IT
        return (
            f"Closing needs {what_is_needed(defect)}. Without it only the responsible engineer "
            "may close, with a written reason."
        )
    return "" if reason.strip() else "Write the reason for closing without a reading."


def what_is_needed(defect: Defect) -> str:
    """The evidence in words: "a reading of kicker clearance within limits, taken ... "."""
    proof = proof_of(defect.found)
    place = "at these points" if proof.anywhere else "at the same place"
    if proof.any_visit:
        return "an inspection of these points, with something measured within limits or found good"
    if proof.quantity:
        quantity = QuantityCode(proof.quantity).label
        return f"a reading of {quantity} within limits, taken {place} after the work"
    if proof.items:
        items = " or ".join(ItemCode(item).label for item in proof.items)
        return f"an examination of {items} found good, made {place} after the work"
    return "the responsible engineer's written reason"


def _why_not_proof(defect: Defect, reading: Reading, work_done_at: datetime) -> str:
    if not readings_of(defect).filter(pk=reading.pk).exists():
        return "That reading is of another quantity or place, or has since been corrected."
    if reading.inspection.at < work_done_at:
        return "That reading was taken before the work was done."
    if reading.verdict == Verdict.NO_LIMIT:
        return "The railway has no limit for that reading, so it cannot be called within limits."
    if Verdict(reading.verdict).is_out:
        return "That reading is out of limits."
    return "A later reading at the same place is out of limits again."


def _why_no_good_look(defect: Defect, examination: Examination, work_done_at: datetime) -> str:
    if not examinations_of(defect).filter(pk=examination.pk).exists():
        return "That examination is of another item or place, was corrected, or marked not seen."
    if examination.inspection.at < work_done_at:
        return "That examination was made before the work was done."
    if examination.found != Look.GOOD:
        return "That examination found it defective."
    return "It has since been found defective again at the same place."
