from django.db import migrations, models


def cover_every_set(apps, editor) -> None:
    """A row for points that nobody has visited yet: something may be owed there all the same."""
    using = editor.connection.alias
    outlooks = apps.get_model("inspections", "Outlook").objects.using(using)
    points = apps.get_model("assets", "Points").objects.using(using)
    missing = points.exclude(pk__in=outlooks.values("points")).values_list("pk", flat=True)
    outlooks.bulk_create([outlooks.model(points_id=pk) for pk in missing], batch_size=500)


class Migration(migrations.Migration):

    dependencies = [
        ('assets', '0001_register'),
        ('inspections', '0001_visits'),
    ]

    operations = [
        migrations.AddField(
            model_name='outlook',
            name='changed_on',
            field=models.DateField(null=True),
        ),
        migrations.AddField(
            model_name='outlook',
            name='owed',
            field=models.PositiveSmallIntegerField(default=0),
        ),
        migrations.AddField(
            model_name='outlook',
            name='owed_by',
            field=models.DateField(null=True),
        ),
        migrations.AddField(
            model_name='outlook',
            name='owed_followed',
            field=models.IntegerField(default=-1),
        ),
        migrations.RunPython(cover_every_set, migrations.RunPython.noop),
    ]
