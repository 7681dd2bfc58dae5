"""What the database refuses: events stay, and nothing closes without its evidence.

``defects.closing.evidence`` decides and explains; these rules catch whatever goes round it.
"""

from assets.triggers import PHOTO_STAYS, Kept, Rule, stays
from inspections.models.visits import SAME_PLACE_MM

# A standing value within limits, of what was out, where it was out, since the work was done.
_PROVEN_BY_READING = f"""
    EXISTS (
        SELECT 1 FROM inspections_reading proof
        JOIN inspections_inspection visit ON visit.id = proof.inspection_id
        JOIN defects_defect defect ON defect.id = NEW.defect_id
        LEFT JOIN inspections_reading first_read ON first_read.id = defect.reading_id
        WHERE proof.id = NEW.reading_id
        AND proof.verdict IN ('within', 'alert')
        AND visit.points_id = defect.points_id
        AND visit.at >= defect.work_done_at
        AND NOT EXISTS (SELECT 1 FROM inspections_reading later WHERE later.corrects_id = proof.id)
        AND (first_read.id IS NULL OR (
            proof.quantity = first_read.quantity
            AND proof.side = first_read.side
            AND proof.lie = first_read.lie
            AND proof.position_id IS NOT DISTINCT FROM first_read.position_id
            AND (proof.at_mm IS NOT DISTINCT FROM first_read.at_mm
                 OR ABS(proof.at_mm - first_read.at_mm) <= {SAME_PLACE_MM})))
    )"""

_PROVEN_BY_EXAMINATION = """
    EXISTS (
        SELECT 1 FROM inspections_examination proof
        JOIN inspections_inspection visit ON visit.id = proof.inspection_id
        JOIN defects_defect defect ON defect.id = NEW.defect_id
        LEFT JOIN inspections_examination first_look ON first_look.id = defect.examination_id
        WHERE proof.id = NEW.examination_id
        AND proof.found = 'good'
        AND visit.points_id = defect.points_id
        AND visit.at >= defect.work_done_at
        AND NOT EXISTS (
            SELECT 1 FROM inspections_examination later WHERE later.corrects_id = proof.id)
        AND (first_look.id IS NULL OR (
            proof.item = first_look.item
            AND proof.position_id IS NOT DISTINCT FROM first_look.position_id))
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
            AND NOT {_PROVEN_BY_READING} AND NOT {_PROVEN_BY_EXAMINATION}""",
        sentence=(
            "What closes a defect must be taken at the same place after the work, and be within "
            "limits or good."
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
            OR (OLD.found <> '' AND NEW.found <> OLD.found)""",
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
