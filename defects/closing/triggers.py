"""What the database refuses: events stay, and nothing closes without its evidence.

``defects.closing.evidence`` decides and explains; these rules catch whatever goes round it.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from assets.triggers import PHOTO_STAYS, Effect, Kept, Rule, stays
from defects.closing.proofs import PROOFS, Needed, Proof
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


def _shapes(entries: Entry) -> dict[Proof, list[tuple[str, ...]]]:
    """Kinds of proof but for what is read or seen, each with its rows of the table of proofs: kind
    and code of a subject, with each code that proves it."""
    shapes: dict[Proof, list[tuple[str, ...]]] = defaultdict(list)
    for subject, proofs in PROOFS.items():
        for proof in proofs:
            codes = (proof.quantity,) if entries is Reading else proof.items
            shape = replace(proof, quantity="", items=())
            if proof.any_visit:
                shapes[shape].append((subject.kind, subject.code))
            else:
                shapes[shape] += [(subject.kind, subject.code, code) for code in codes if code]
    return {shape: rows for shape, rows in shapes.items() if rows}


_SUBJECT = "defect.subject_kind, defect.subject"
_WHOLE = ", ".join(f"'{reason}'" for reason in WHOLE_VISITS)


def _standing(table: str, entry: str) -> str:
    return f"NOT EXISTS (SELECT 1 FROM {table} anew WHERE anew.corrects_id = {entry}.id)"


def _here(entries: Entry, shape: Proof, rows: list[tuple[str, ...]], entry: str, visit: str) -> str:
    """Of the same thing at its place, and standing: ``evidence._here`` in SQL."""
    measured = entries is Reading
    code = f"{entry}.{'quantity' if measured else 'item'}"
    of = _in(f"{_SUBJECT}, {code}", rows)
    if shape.any_visit:
        of = f"{_in(_SUBJECT, rows)} AND {visit}.reason IN ({_WHOLE}) AND NOT {visit}.partial"
    place = "1 = 1" if shape.anywhere else same_place_sql(entry, "defect", measured)
    return f"""
            {visit}.points_id = defect.points_id AND {of} AND {place}
            AND {_standing(entries._meta.db_table, entry)}"""


def _one_of(column: str, words: Iterable[str]) -> str:
    return f"{column} IN ({', '.join(repr(str(word)) for word in words)})"


_SOUND = [verdict for verdict in Verdict if verdict.is_sound]
_OUT = [verdict for verdict in Verdict if verdict.is_out]


def _proven_by(entries: Entry) -> str:
    """Within limits or good after the work, and not wrong again since: ``evidence.proving``."""
    measured, table = entries is Reading, entries._meta.db_table
    column = "verdict" if measured else "found"
    ways = " OR ".join(
        f"({_here(entries, shape, rows, 'proof', 'visit')} AND {_besides(entries, shape, rows)})"
        for shape, rows in _shapes(entries).items()
    )
    return f"""
    EXISTS (
        SELECT 1 FROM {table} proof
        JOIN inspections_inspection visit ON visit.id = proof.inspection_id
        JOIN defects_defect defect ON defect.id = NEW.defect_id
        WHERE proof.id = NEW.{"reading" if measured else "examination"}_id
        AND defect.state = 'work_done' AND visit.at >= defect.work_done_at
        AND {_one_of(f"proof.{column}", _SOUND if measured else [Look.GOOD])}
        AND ({ways})
    )"""


def _besides(entries: Entry, shape: Proof, rows: list[tuple[str, ...]]) -> str:
    """What a proof of this kind asks besides: ``evidence._proving`` in SQL."""
    measured, table = entries is Reading, entries._meta.db_table
    asked = []
    if not shape.any_visit:
        wrong = _one_of(
            f"again.{'verdict' if measured else 'found'}", _OUT if measured else [Look.DEFECTIVE]
        )
        asked.append(f"""NOT EXISTS (
            SELECT 1 FROM {table} again
            JOIN inspections_inspection later ON later.id = again.inspection_id
            WHERE later.at >= visit.at AND {wrong}
            AND {_here(entries, shape, rows, "again", "later")})""")
    if shape.own_part:
        asked.append("""(proof.stretcher_id IS NULL OR defect.stretcher_id IS NULL
            OR proof.stretcher_id = defect.stretcher_id)""")
    if shape.new_part:
        asked.append("""
            defect.stretcher_id IS NOT NULL
            AND EXISTS (
                SELECT 1 FROM assets_fitting there WHERE there.stretcher_id = proof.stretcher_id
                AND there.position_id = defect.position_id AND there.taken_out_on IS NULL)
            AND NOT EXISTS (
                SELECT 1 FROM assets_fitting replaced
                WHERE replaced.stretcher_id = defect.stretcher_id
                AND replaced.taken_out_on IS NULL)""")
    return " AND ".join([*asked, *map(_stands, shape.also)]) or "1 = 1"


def _stands(needed: Needed) -> str:
    """Not asked there, or within limits since the work and not out again: ``evidence._stands``."""
    place = "IS NULL" if needed.at_toe else "IS NOT DISTINCT FROM defect.position_id"

    def there(reading: str, visit: str) -> str:
        return f"""
            {visit}.points_id = defect.points_id AND {visit}.at >= defect.work_done_at
            AND {reading}.quantity = '{needed.quantity}' AND {reading}.side = '{needed.side}'
            AND {reading}.lie = '{needed.lie}' AND {reading}.position_id {place}
            AND {reading}.at_mm IS NULL AND {_standing("inspections_reading", reading)}"""

    rod = "good.stretcher_id IS NOT DISTINCT FROM proof.stretcher_id"
    if needed.at_toe:
        rod = f"""EXISTS (
                SELECT 1 FROM inspections_reading early
                JOIN inspections_inspection earlier ON earlier.id = early.inspection_id
                WHERE earlier.points_id = defect.points_id AND earlier.at >= defect.work_done_at
                AND earlier.at <= goodvisit.at AND early.position_id = defect.position_id
                AND early.stretcher_id = proof.stretcher_id AND early.value IS NOT NULL
                AND {_standing("inspections_reading", "early")})"""
    stands = f"""EXISTS (
            SELECT 1 FROM inspections_reading good
            JOIN inspections_inspection goodvisit ON goodvisit.id = good.inspection_id
            WHERE {there("good", "goodvisit")} AND {_one_of("good.verdict", _SOUND)} AND {rod}
            AND NOT EXISTS (
                SELECT 1 FROM inspections_reading bad
                JOIN inspections_inspection badvisit ON badvisit.id = bad.inspection_id
                WHERE {there("bad", "badvisit")} AND {_one_of("bad.verdict", _OUT)}
                AND badvisit.at >= goodvisit.at))"""
    return f"({' OR '.join([*_not_asked(needed), stands])})"


def _not_asked(needed: Needed) -> Iterable[str]:
    """Where the reading is not asked for: ``Needed.is_needed_at`` and the stretcher, in SQL."""
    if needed.at_lock is not None:
        at = "<>" if needed.at_lock else "="
        yield f"""EXISTS (
            SELECT 1 FROM assets_position place
            WHERE place.id = defect.position_id AND place."order" {at} 0)"""
    if needed.insulated:
        yield """EXISTS (
            SELECT 1 FROM assets_points points
            WHERE points.id = defect.points_id AND NOT points.track_circuited)"""
        yield f"""NOT EXISTS (
            SELECT 1 FROM assets_stretcher rod WHERE rod.id = proof.stretcher_id
            AND {_one_of("rod.insulation_side", needed.insulated)})"""


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
