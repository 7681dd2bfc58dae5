"""What the database refuses: events stay, and nothing closes without its evidence.

``defects.closing.evidence`` decides and explains; these rules catch whatever goes round it.
"""

from collections.abc import Callable, Iterable

from assets.triggers import PHOTO_STAYS, Effect, Kept, Rule, stays
from defects.closing.evidence import PROOFS, Proof
from inspections.catalogue.where import same_place_sql
from inspections.models import Examination, Reading
from inspections.recording.triggers import counted
from inspections.words import WHOLE_VISITS, Look, Verdict

Entry = type[Reading] | type[Examination]


def _values(rows: Iterable[tuple[str, ...]]) -> str:
    """Rows of words for IN; they are the program's own, never typed by anybody."""
    return ", ".join("(" + ", ".join(f"'{word}'" for word in row) + ")" for row in rows)


def _in(columns: str, rows: Iterable[tuple[str, ...]]) -> str:
    listed = _values(rows)
    return f"({columns}) IN (VALUES {listed})" if listed else "1 = 0"


def _rows(entries: Entry, wanted: Callable[[Proof], bool]) -> list[tuple[str, ...]]:
    """Kind and code of a subject with each code that proves it, from the table of proofs."""
    return [
        (subject.kind, subject.code, code)
        for subject, proof in PROOFS.items()
        if wanted(proof)
        for code in ((proof.quantity,) if entries is Reading else proof.items)
        if code
    ]


_ANY_VISIT = [(subject.kind, subject.code) for subject, proof in PROOFS.items() if proof.any_visit]
_SUBJECT = "defect.subject_kind, defect.subject"
_WHOLE = ", ".join(f"'{reason}'" for reason in WHOLE_VISITS)


def _here(entries: Entry, entry: str, visit: str) -> str:
    """Of the same thing at its place, and standing: ``evidence.here`` in SQL."""
    measured = entries is Reading
    code = f"{entry}.{'quantity' if measured else 'item'}"
    at_place = _rows(entries, lambda proof: not proof.anywhere)
    anywhere = _rows(entries, lambda proof: proof.anywhere)
    return f"""
            {visit}.points_id = defect.points_id
            AND ({_in(f"{_SUBJECT}, {code}", anywhere)}
                 OR {_in(_SUBJECT, _ANY_VISIT)}
                    AND {visit}.reason IN ({_WHOLE}) AND NOT {visit}.partial
                 OR {_in(f"{_SUBJECT}, {code}", at_place)}
                    AND {same_place_sql(entry, "defect", measured)})
            AND NOT EXISTS (
                SELECT 1 FROM {entries._meta.db_table} anew WHERE anew.corrects_id = {entry}.id)"""


def _one_of(column: str, words: Iterable[str]) -> str:
    return f"{column} IN ({', '.join(repr(str(word)) for word in words)})"


def _proven_by(entries: Entry) -> str:
    """Within limits or good after the work, and not wrong again since: ``evidence.proving``."""
    measured, table = entries is Reading, entries._meta.db_table
    column = "verdict" if measured else "found"
    sound = [verdict for verdict in Verdict if verdict.is_sound] if measured else [Look.GOOD]
    wrong = [verdict for verdict in Verdict if verdict.is_out] if measured else [Look.DEFECTIVE]
    return f"""
    EXISTS (
        SELECT 1 FROM {table} proof
        JOIN inspections_inspection visit ON visit.id = proof.inspection_id
        JOIN defects_defect defect ON defect.id = NEW.defect_id
        WHERE proof.id = NEW.{"reading" if measured else "examination"}_id
        AND defect.state = 'work_done' AND visit.at >= defect.work_done_at
        AND {_one_of(f"proof.{column}", sound)}
        AND {_here(entries, "proof", "visit")}
        AND ({_in(_SUBJECT, _ANY_VISIT)} OR NOT EXISTS (
            SELECT 1 FROM {table} again
            JOIN inspections_inspection later ON later.id = again.inspection_id
            WHERE later.at >= visit.at
            AND {_one_of(f"again.{column}", wrong)}
            AND {_here(entries, "again", "later")}))
    )"""


DEFECT_STAYS = "A defect is never removed: mark it as raised in error."

RULES = (
    *stays(
        "event_stays",
        "defects_event",
        "An event is never changed or removed: add one that corrects it.",
    ),
    Rule(
        name="closing_is_proven",
        table="defects_event",
        events=("INSERT",),
        condition=f"""
            NEW.move = 'close' AND NOT NEW.agreed_by_engineer
            AND NOT {_proven_by(Reading)} AND NOT {_proven_by(Examination)}""",
        sentence=(
            "What closes a defect must be taken at the same place after the work, and be within "
            "limits or good."
        ),
    ),
    Effect(
        name="work_counts",
        table="defects_event",
        events=("INSERT",),
        condition="NEW.move = 'work_done'",
        statement=counted(
            "SELECT defect.points_id FROM defects_defect defect WHERE defect.id = NEW.defect_id"
        ),
    ),
    *stays(
        "dismissal_stays",
        "defects_dismissal",
        "Why a finding was not raised is never changed or removed.",
    ),
    Rule(
        name="defect_stays",
        table="defects_defect",
        events=("DELETE",),
        condition="1 = 1",
        sentence=DEFECT_STAYS,
    ),
    Kept("defect_kept", "defects_defect", DEFECT_STAYS),
    Rule(
        name="defect_keeps_its_finding",
        table="defects_defect",
        events=("UPDATE",),
        condition="""
            NEW.number <> OLD.number OR NEW.points_id <> OLD.points_id
            OR NEW.position_id IS DISTINCT FROM OLD.position_id
            OR NEW.reading_id IS DISTINCT FROM OLD.reading_id
            OR NEW.examination_id IS DISTINCT FROM OLD.examination_id
            OR NEW.subject_kind <> OLD.subject_kind OR NEW.subject <> OLD.subject
            OR NEW.way <> OLD.way OR NEW.gauge_out <> OLD.gauge_out
            OR NEW.side <> OLD.side OR NEW.lie <> OLD.lie
            OR NEW.at_mm IS DISTINCT FROM OLD.at_mm""",
        sentence="What was found, and where, stays as it was raised: raise another defect.",
    ),
    Rule(
        name="defect_moves_by_events",
        table="defects_defect",
        events=("UPDATE",),
        condition="""
            (NEW.state <> OLD.state OR NEW.owner <> OLD.owner)
            AND NOT EXISTS (
                SELECT 1 FROM defects_event event
                WHERE event.defect_id = NEW.id
                AND event.state = NEW.state AND event.owner = NEW.owner
                AND event.id = (
                    SELECT MAX(last.id) FROM defects_event last WHERE last.defect_id = NEW.id)
            )""",
        sentence="A defect is in the state its last event says: it changes only by an event.",
    ),
    *stays("defect_photo_stays", "defects_defectphoto", PHOTO_STAYS),
    Rule(
        name="defect_work_done_once",
        table="defects_defect",
        events=("UPDATE",),
        condition="NEW.work_done_at IS DISTINCT FROM OLD.work_done_at AND NEW.state = OLD.state",
        sentence="When the work was done is recorded once, by the event that records the work.",
    ),
    Rule(
        name="defect_done_with",
        table="defects_defect",
        events=("UPDATE",),
        condition="OLD.state IN ('closed', 'in_error') AND NEW.state <> OLD.state",
        sentence="A closed defect is not reopened: raise a new one.",
    ),
    Rule(
        name="close_needs_evidence",
        table="defects_defect",
        events=("INSERT", "UPDATE"),
        condition="""
            NEW.state = 'closed' AND NOT EXISTS (
                SELECT 1 FROM defects_event event
                WHERE event.defect_id = NEW.id AND event.move = 'close'
                AND event.at = NEW.closed_at
            )""",
        sentence="A defect closes only by an event that carries its evidence.",
    ),
)
