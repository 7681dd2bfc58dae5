"""Until now a box left empty was kept as "no".

Where a part has no yes at all, nobody filled the boxes in: they become unknown. Where it has one,
they were filled in, and the others keep their no.
"""

from django.db import migrations

BOXES = {
    "Stretcher": ("for_lock", "for_drive", "for_intermediate", "for_back"),
    "LostMotionFitting": ("suits_plain", "suits_thin", "suits_raised_head"),
}


def forget(apps, schema_editor):
    """In the parts and in their history, so that nothing looks changed since it was exported."""
    for model, boxes in BOXES.items():
        for name in (model, f"Historical{model}"):
            rows = apps.get_model("assets", name).objects.using(schema_editor.connection.alias)
            rows.filter(**dict.fromkeys(boxes, False)).update(**dict.fromkeys(boxes))


def call_it_no(apps, schema_editor):
    for model, boxes in BOXES.items():
        for name in (model, f"Historical{model}"):
            rows = apps.get_model("assets", name).objects.using(schema_editor.connection.alias)
            for box in boxes:
                rows.filter(**{box: None}).update(**{box: False})


class Migration(migrations.Migration):
    dependencies = [("assets", "0006_what_nobody_said")]

    operations = [migrations.RunPython(forget, call_it_no)]
