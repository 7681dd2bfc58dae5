"""May this defect close? One rule, asked by every way into closing.

After the work is done, what was out must have been measured again at the same place and stand
within limits, or the thing examined again and found good; a later look that is out again undoes
it. What was wrong with a stretcher that was replaced is proven by the new one: looked at, and what
is owed at its place within limits. Without that only the responsible engineer closes, with a
written reason that stays visible. A loose or broken fixing needs a stated cause besides:
retightening is not a repair.
"""

from datetime import datetime

from django.contrib.auth.models import User
from django.db.models import Exists, F, OuterRef, Q
from django.db.models.functions import Coalesce

from assets.departments import Post, departments_of, posts_of
from assets.models import Fitting
from defects.closing.proofs import PROOFS, Needed, Proof
from defects.models import Defect
from defects.words import State
from inspections.models import Examination, Reading
from inspections.models.visits import ExaminationQuerySet, ReadingQuerySet
from inspections.words import WHOLE_VISITS, ItemCode, Look, QuantityCode, SubjectKind, Verdict

NOTHING_PROVES_IT = (
    "No reading or examination can close this defect: only the responsible engineer can, with a "
    "written reason."
)


Entries = type[Reading] | type[Examination]
Entered = ReadingQuerySet | ExaminationQuerySet


def proofs_of(defect: Defect) -> tuple[Proof, ...]:
    """What would prove this defect corrected, any of them; none if nothing would."""
    return PROOFS.get(defect.found.subject, ())


def same_finding(defect: Defect, entries: Entries) -> Entered:
    """Standing readings or examinations of what was found, at its place, whatever they show."""
    found = entries.objects.taken().filter(inspection__points=defect.points_id)
    kind, code = defect.found.subject.kind, defect.found.subject.code
    if kind == SubjectKind.CHECK:
        proofs = [proof for proof in proofs_of(defect) if not proof.new_part]
        return _here(defect, entries, proofs[0]) if proofs else found.none()
    of = SubjectKind.MEASURED if entries is Reading else SubjectKind.EXAMINED
    if kind != of:
        return found.none()
    named = Q(quantity=code) if entries is Reading else Q(item=code)
    return found.filter(named).same_place(defect.where)


def _here(defect: Defect, entries: Entries, proof: Proof) -> Entered:
    """Standing entries that may be this proof, whatever they show."""
    if proof.any_visit:
        of = Q(inspection__reason__in=WHOLE_VISITS, inspection__partial=False)
    elif entries is Reading:
        of = Q(quantity=proof.quantity)
    else:
        of = Q(item__in=proof.items)
    found = entries.objects.taken().filter(of, inspection__points=defect.points_id)
    return found if proof.anywhere else found.same_place(defect.where)


def proving(defect: Defect, entries: Entries, proofs: tuple[Proof, ...] | None = None) -> Entered:
    """Those that may close it by any of its proofs (or of these): within limits or good, after the
    work, and not wrong again since."""
    if defect.work_done_at is None:
        return entries.objects.none()
    by_any = Q(pk=None)  # none of them
    for proof in proofs_of(defect) if proofs is None else proofs:
        by_any |= Q(pk__in=_proving(defect, entries, proof).values("pk"))
    return entries.objects.filter(by_any)


def _proving(defect: Defect, entries: Entries, proof: Proof) -> Entered:
    since = _here(defect, entries, proof).filter(inspection__at__gte=defect.work_done_at)
    sound = since.sound()
    if not proof.any_visit:
        again = since.out().filter(inspection__at__gte=OuterRef("inspection__at"))
        sound = sound.filter(~Exists(again))
    if proof.own_part and defect.stretcher_id is not None:
        sound = sound.filter(Q(stretcher=None) | Q(stretcher=defect.stretcher_id))
    if proof.new_part:
        sound = sound.filter(_is_in_its_place(defect))
    for needed in _needed_of(defect, proof):
        sound = sound.filter(_stands(defect, needed))
    return sound


def _is_in_its_place(defect: Defect) -> Q:
    """The entry's stretcher is where the defect's was, which is fitted nowhere."""
    fitted = Fitting.objects.current()
    there = fitted.filter(position=defect.position_id, stretcher=OuterRef("stretcher"))
    old = fitted.filter(stretcher=defect.stretcher_id)
    named = Q() if defect.stretcher_id is not None else Q(pk=None)
    return named & Exists(there) & ~Exists(old)


def _needed_of(defect: Defect, proof: Proof) -> list[Needed]:
    """What must stand within limits besides, at this defect's place."""
    if defect.position is None:
        return list(proof.also)
    order, circuited = defect.position.order, defect.points.track_circuited
    return [needed for needed in proof.also if needed.is_needed_at(order, circuited)]


def _stands(defect: Defect, needed: Needed) -> Q:
    """That reading was within limits since the work, of the entry's stretcher, and is not out."""
    place = None if needed.at_toe else defect.position_id
    there = Reading.objects.taken().filter(
        inspection__points=defect.points_id,
        inspection__at__gte=defect.work_done_at,
        quantity=needed.quantity,
        side=needed.side,
        lie=needed.lie,
        position=place,
        at_mm=None,
    )
    out = there.out().filter(inspection__at__gte=OuterRef("inspection__at"))
    good = there.sound().filter(~Exists(out))
    if needed.at_toe:
        read = Reading.objects.taken().filter(
            inspection__points=defect.points_id,
            inspection__at__gte=defect.work_done_at,
            inspection__at__lte=OuterRef("inspection__at"),
            position=defect.position_id,
            stretcher=OuterRef(OuterRef("stretcher")),
        )
        good = good.filter(Exists(read))
    else:
        # Nought stands for no stretcher: where none is recorded, readings of none agree.
        same = good.annotate(rod=Coalesce(F("stretcher_id"), 0))
        good = same.filter(rod=Coalesce(OuterRef("stretcher_id"), 0))
    if not needed.insulated:
        return Q(Exists(good))
    return ~Q(stretcher__insulation_side__in=needed.insulated) | Q(Exists(good))


def is_replacement(defect: Defect, found: Reading | Examination) -> bool:
    """Whether it proves the repair only as that of a stretcher fitted in the defect's place."""
    new = tuple(proof for proof in proofs_of(defect) if proof.new_part)
    return proving(defect, type(found), new).filter(pk=found.pk).exists()


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
    return _why_no_proof(defect, found, defect.work_done_at)


def why_not_yet(defect: Defect) -> str:
    """Why the newest look or reading since the work does not close it; "" where there is none."""
    if defect.work_done_at is None:
        return ""
    kinds: tuple[Entries, ...] = (Examination, Reading)
    for entries in kinds:
        of_any = Q(pk=None)
        for proof in proofs_of(defect):
            of_any |= Q(pk__in=_here(defect, entries, proof).values("pk"))
        since = entries.objects.filter(of_any, inspection__at__gte=defect.work_done_at)
        newest = since.order_by("-inspection__at", "-pk").first()
        if newest is not None:
            return _why_no_proof(defect, newest, defect.work_done_at)
    return ""


def _why_no_proof(defect: Defect, found: Reading | Examination, work_done_at: datetime) -> str:
    for proof in _nearest_first(defect, found):
        if _here(defect, type(found), proof).filter(pk=found.pk).exists():
            return _why_not(defect, found, proof, work_done_at)
    if same_finding(defect, type(found)).filter(pk=found.pk).exists():
        return (
            "Examining it again does not show that it holds: closing needs "
            f"{what_is_needed(defect)}."
        )
    if isinstance(found, Reading):
        return "That reading is of another quantity or place, or has since been corrected."
    return "That examination is of another item or place, was corrected, or marked not seen."


def _refusal_of_agreement(defect: Defect, user: User, reason: str) -> str:
    if Post.ENGINEER not in posts_of(user):
        if not proofs_of(defect):
            return NOTHING_PROVES_IT
        return (
            f"Closing needs {what_is_needed(defect)}. Without it only the responsible engineer "
            "may close, with a written reason."
        )
    return "" if reason.strip() else "Write the reason for closing without a reading."


def what_is_needed(defect: Defect) -> str:
    """The evidence in words: "a reading of kicker clearance within limits, taken ... "."""
    ways = [_in_words(proof) for proof in proofs_of(defect)]
    return "; or ".join(ways) or "the responsible engineer's written reason"


def _in_words(proof: Proof) -> str:
    place = "at these points" if proof.anywhere else "at the same place"
    if proof.any_visit:
        return "an inspection of these points, with something measured within limits or found good"
    if proof.new_part:
        return (
            "if the stretcher was replaced, an examination of the new one found good, with the "
            "readings owed there taken after the work and within limits"
        )
    if proof.quantity:
        quantity = QuantityCode(proof.quantity).label
        sides = " at both sides" if proof.also else ""
        return f"a reading of {quantity}{sides} within limits, taken {place} after the work"
    items = " or ".join(ItemCode(item).label for item in proof.items)
    return f"an examination of {items} found good, made {place} after the work"


def _nearest_first(defect: Defect, found: Reading | Examination) -> list[Proof]:
    """The proofs that this entry may be meant for; of another stretcher a replacement first."""
    another = found.stretcher_id not in (None, defect.stretcher_id)
    proofs = sorted(proofs_of(defect), key=lambda proof: not proof.new_part)
    return [proof for proof in proofs if another or not proof.new_part]


def _why_not(
    defect: Defect, found: Reading | Examination, proof: Proof, work_done_at: datetime
) -> str:
    """Why an entry of the right thing at the right place is not this proof."""
    if isinstance(found, Reading):
        what, again = (
            "reading was taken",
            "A later reading at the same place is out of limits again.",
        )
        if found.verdict == Verdict.NO_LIMIT:
            wrong = (
                "The railway has no limit for that reading, so it cannot be called within limits."
            )
        else:
            wrong = "That reading is out of limits." if Verdict(found.verdict).is_out else ""
    else:
        what, again = (
            "examination was made",
            "It has since been found defective again at the same place.",
        )
        wrong = "" if found.found == Look.GOOD else "That examination found it defective."
    if found.inspection.at < work_done_at:
        return f"That {what} before the work was done."
    return wrong or _what_lacks(defect, found, proof) or again


def _what_lacks(defect: Defect, found: Reading | Examination, proof: Proof) -> str:
    """The stretcher or the readings besides that are not as they must be; "" if all are."""
    this = type(found).objects.filter(pk=found.pk)
    if (
        proof.own_part
        and defect.stretcher_id
        and found.stretcher_id not in (None, defect.stretcher_id)
    ):
        return f"That is of {found.stretcher}, and the defect is about {defect.stretcher}."
    if proof.new_part and not this.filter(_is_in_its_place(defect)).exists():
        return (
            "That shows no replacement: another stretcher must be recorded as fitted in the place "
            "of the one the defect names, and that one as fitted nowhere."
        )
    missing = [
        needed.words
        for needed in _needed_of(defect, proof)
        if not this.filter(_stands(defect, needed)).exists()
    ]
    if not missing:
        return ""
    return (
        f"Not yet read within limits since the work: {'; '.join(missing)}. What the railway has no "
        "limit for cannot be called within limits."
    )
