"""May this defect close? One rule, asked by every way into closing.

After the work is done, what was out must have been measured again at the same place and stand
within limits, or the thing examined again and found good; a later look that is out again undoes
it. Without that only the responsible engineer closes, with a written reason that stays visible. A
loose or broken fixing needs a stated cause besides: retightening is not a repair.
"""

from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef, Q

from assets.departments import Post, departments_of, posts_of
from defects.models import Defect
from defects.words import Check, State
from inspections.models import Examination, Reading
from inspections.models.visits import ExaminationQuerySet, ReadingQuerySet
from inspections.verdicts.finding import Subject
from inspections.words import (
    WHOLE_VISITS,
    ItemCode,
    Look,
    QuantityCode,
    SubjectKind,
    Verdict,
)

NOTHING_PROVES_IT = (
    "No reading or examination can close this defect: only the responsible engineer can, with a "
    "written reason."
)


Entries = type[Reading] | type[Examination]
Entered = ReadingQuerySet | ExaminationQuerySet


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


def _checked(check: Check) -> Subject:
    return Subject(SubjectKind.CHECK.value, check.value)


# The one table of what proves what; the database's own rule is made from it too. What a check of
# the register found is not all seen by measuring: what is not here is for the engineer to agree.
PROOFS: dict[Subject, Proof] = {
    **{Subject(SubjectKind.MEASURED.value, q.value): Proof(quantity=q.value) for q in QuantityCode},
    **{Subject(SubjectKind.EXAMINED.value, i.value): Proof(items=(i.value,)) for i in ItemCode},
    _checked(Check.MIXED_INSULATION): Proof(
        quantity=QuantityCode.INSULATION_RESISTANCE.value, anywhere=True
    ),
    _checked(Check.KICKER_MISSING): Proof(quantity=QuantityCode.KICKER_CLEARANCE.value),
    _checked(Check.INSPECTION_OVERDUE): Proof(any_visit=True, anywhere=True),
    _checked(Check.CRACKED_PART): Proof(items=CRACKS),
}


def proof_of(defect: Defect) -> Proof:
    """What would prove this defect corrected; an empty proof if nothing would."""
    return PROOFS.get(defect.found.subject, Proof())


def here(defect: Defect, entries: Entries) -> Entered:
    """Standing readings or examinations of the same thing at its place, whatever they show."""
    proof = proof_of(defect)
    if proof.any_visit:
        of = Q(inspection__reason__in=WHOLE_VISITS, inspection__partial=False)
    elif entries is Reading:
        of = Q(quantity=proof.quantity)
    else:
        of = Q(item__in=proof.items)
    found = entries.objects.taken().filter(of, inspection__points=defect.points_id)
    return found if proof.anywhere else found.same_place(defect.where)


def proving(defect: Defect, entries: Entries) -> Entered:
    """Those that may close it: within limits or good, after the work, and not wrong again since."""
    found = here(defect, entries)
    if defect.work_done_at is None:
        return found.none()
    since = found.filter(inspection__at__gte=defect.work_done_at)
    again = since.out().filter(inspection__at__gte=OuterRef("inspection__at"))
    if proof_of(defect).any_visit:
        again = since.none()
    return since.sound().filter(~Exists(again))


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
    if proving(defect, type(found)).filter(pk=found.pk).exists():
        return ""
    if isinstance(found, Reading):
        return _why_not_proof(defect, found, defect.work_done_at)
    return _why_no_good_look(defect, found, defect.work_done_at)


def _refusal_of_agreement(defect: Defect, user: User, reason: str) -> str:
    if Post.ENGINEER not in posts_of(user):
        if not proof_of(defect).is_known:
            return NOTHING_PROVES_IT
        return (
            f"Closing needs {what_is_needed(defect)}. Without it only the responsible engineer "
            "may close, with a written reason."
        )
    return "" if reason.strip() else "Write the reason for closing without a reading."


def what_is_needed(defect: Defect) -> str:
    """The evidence in words: "a reading of kicker clearance within limits, taken ... "."""
    proof = proof_of(defect)
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
    if not here(defect, Reading).filter(pk=reading.pk).exists():
        return "That reading is of another quantity or place, or has since been corrected."
    if reading.inspection.at < work_done_at:
        return "That reading was taken before the work was done."
    if reading.verdict == Verdict.NO_LIMIT:
        return "The railway has no limit for that reading, so it cannot be called within limits."
    if Verdict(reading.verdict).is_out:
        return "That reading is out of limits."
    return "A later reading at the same place is out of limits again."


def _why_no_good_look(defect: Defect, examination: Examination, work_done_at: datetime) -> str:
    if not here(defect, Examination).filter(pk=examination.pk).exists():
        return "That examination is of another item or place, was corrected, or marked not seen."
    if examination.inspection.at < work_done_at:
        return "That examination was made before the work was done."
    if examination.found != Look.GOOD:
        return "That examination found it defective."
    return "It has since been found defective again at the same place."
