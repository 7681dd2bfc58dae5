"""What events said in the text of their note becomes fields of their own."""

import re

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


RETURNS = {
    'Not ours': 'not_ours',
    'Not found there': 'not_there',
    'Need to know more': 'need_more',
    'Not mended yet': 'not_mended',
    'Not repaired yet': 'not_mended',
}
MEASURES = {
    'secured out of use': 'secured',
    'speed restriction': 'speed',
    'hand-signalled': 'hand_signalled',
    'clipped and padlocked': 'clipped',
    'other, see the note': 'other',
}
URGENCIES = {
    'at once': 'at_once', 'urgent': 'urgent', 'planned': 'planned', 'when next there': 'when_there',
}
RETURNED = re.compile(rf"({'|'.join(RETURNS)}): (.*)", re.DOTALL)
LIFTED = re.compile(rf"Lifted \(({'|'.join(MEASURES)})\): (.*)", re.DOTALL)
MEASURE = re.compile(rf"({'|'.join(MEASURES)}): (.*)", re.DOTALL | re.IGNORECASE)
REPEAT = re.compile(r'Repeat of defect (\d+)\. ?(.*)', re.DOTALL)
LINKED = re.compile(r'(?:Caused by|Comes of) defect (\d+): .*', re.DOTALL)
MORE_URGENT = re.compile(r' urgency: "[^"]*" became "([^"]*)"\.$')
AGAIN = re.compile(
    r'(Measured again, still out( of limits)?|Seen again, still defective)(: .*)?\.', re.DOTALL
)


def parse_notes(apps, schema_editor):
    """Sets the fields of every event; the triggers that forbid it are off while migrating."""
    Event = apps.get_model('defects', 'Event')
    Defect = apps.get_model('defects', 'Defect')
    numbers = dict(Defect.objects.values_list('number', 'pk'))
    place = {}
    for event in Event.objects.select_related('defect').order_by('pk'):
        # A defect's version counts its events, so its history says how each of them left it.
        place[event.defect_id] = place.get(event.defect_id, 0) + 1
        set_fields(event, numbers, lambda: as_left(apps, event, place[event.defect_id]))
        event.save()


def as_left(apps, event, version):
    """The defect as the event left it: from its history, else as it stands."""
    history = apps.get_model('defects', 'HistoricalDefect').objects
    then = history.filter(id=event.defect_id, version=version).order_by('history_id').last()
    return then or event.defect


def set_fields(event, numbers, left):
    if event.move == 'return':
        kind, event.note = found_in(RETURNED, event).groups()
        event.return_kind = RETURNS[kind]
    elif event.move == 'measure':
        event.lifted = LIFTED.fullmatch(event.note) is not None
        measure, event.note = found_in(LIFTED if event.lifted else MEASURE, event).groups()
        event.measure = MEASURES[measure.lower()]
    elif event.move == 'raise' and (repeat := REPEAT.fullmatch(event.note)):
        event.other_id, event.note = numbers[int(repeat[1])], repeat[2]
    elif event.move == 'link':
        linked = LINKED.fullmatch(event.note)
        event.other_id = numbers[int(linked[1])] if linked else left().caused_by_id
        event.note = '' if linked else event.note
    elif event.move == 'work_done':
        # Where no history tells it, it was said when it was done: the rule where nobody said.
        event.done_at = left().work_done_at or event.at.replace(second=0, microsecond=0)
    elif event.move == 'measured_again':
        if more := MORE_URGENT.search(event.note):
            event.urgency, event.note = URGENCIES[more[1]], event.note[: more.start()]
        event.note = '' if AGAIN.fullmatch(event.note) else event.note


def found_in(pattern, event):
    """The parts of the note; it was written by the program, so it has them."""
    found = pattern.fullmatch(event.note)
    if found is None:
        raise ValueError(f'The note of event {event.pk} is not one that this program wrote.')
    return found


class Migration(migrations.Migration):

    dependencies = [
        ('defects', '0007_what_was_found'),
        ('inspections', '0010_plainer_sentences'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name='event',
            name='done_at',
            field=models.DateTimeField(blank=True, null=True, verbose_name='work done at'),
        ),
        migrations.AddField(
            model_name='event',
            name='lifted',
            field=models.BooleanField(default=False, verbose_name='measure lifted'),
        ),
        migrations.AddField(
            model_name='event',
            name='measure',
            field=models.CharField(blank=True, choices=[('secured', 'secured out of use'), ('speed', 'speed restriction'), ('hand_signalled', 'hand-signalled'), ('clipped', 'clipped and padlocked'), ('other', 'other, see the note')], max_length=24, verbose_name='temporary measure'),
        ),
        migrations.AddField(
            model_name='event',
            name='other',
            field=models.ForeignKey(blank=True, help_text='The one that this one repeats, or that caused it.', null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='defects.defect', verbose_name='other defect'),
        ),
        migrations.AddField(
            model_name='event',
            name='return_kind',
            field=models.CharField(blank=True, choices=[('not_ours', 'not ours'), ('not_there', 'not found there'), ('need_more', 'need to know more'), ('not_mended', 'not repaired yet')], max_length=24, verbose_name='kind of return'),
        ),
        migrations.AddField(
            model_name='event',
            name='urgency',
            field=models.CharField(blank=True, choices=[('at_once', 'at once'), ('urgent', 'urgent'), ('planned', 'planned'), ('when_there', 'when next there')], help_text='Found again and more urgent than it was.', max_length=24, verbose_name='made as urgent as'),
        ),
        migrations.AlterField(
            model_name='event',
            name='note',
            field=models.TextField(blank=True, help_text='The reason, or what was done.'),
        ),
        migrations.RunPython(parse_notes, migrations.RunPython.noop),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(models.Q(('return_kind__in', ['not_ours', 'not_there', 'need_more', 'not_mended'])), ('move', 'return')), models.Q(models.Q(('return_kind', '')), models.Q(('move', 'return'), _negated=True)), _connector='OR'), name='event_return_has_its_kind', violation_error_message='A return has a kind; nothing else has one.'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(models.Q(('measure__in', ['secured', 'speed', 'hand_signalled', 'clipped', 'other'])), ('move', 'measure')), models.Q(models.Q(('measure', '')), models.Q(('move', 'measure'), _negated=True)), _connector='OR'), name='event_measure_given', violation_error_message='An event of a temporary measure says which; no other event has one.'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(('lifted', False), ('move', 'measure'), _connector='OR'), name='event_lifts_a_measure', violation_error_message='Only a temporary measure can be lifted.'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('move', 'link'), ('other__isnull', False)), ('move', 'raise'), models.Q(('other__isnull', True), models.Q(('move', 'link'), _negated=True)), _connector='OR'), name='event_other_defect', violation_error_message='A link names the other defect, and raising one may; no other event does.'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(('other__isnull', True), models.Q(('other', models.F('defect')), _negated=True), _connector='OR'), name='event_not_of_itself', violation_error_message='A defect neither repeats nor causes itself.'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(models.Q(('done_at__isnull', True), _negated=True), ('move', 'work_done')), models.Q(models.Q(('done_at__isnull', True)), models.Q(('move', 'work_done'), _negated=True)), _connector='OR'), name='event_work_has_its_time', violation_error_message='Work done has the time it was done; nothing else has one.'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(('urgency', ''), models.Q(('move', 'measured_again'), ('urgency__in', ['at_once', 'urgent', 'planned', 'when_there'])), _connector='OR'), name='event_more_urgent', violation_error_message='Only what is found again makes a defect more urgent.'),
        ),
    ]
