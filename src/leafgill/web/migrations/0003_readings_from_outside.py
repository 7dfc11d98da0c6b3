"""Sensors that send by themselves: what each is called from outside, its tokens and its topics."""

import django.db.models.deletion
from django.apps.registry import Apps
from django.conf import settings
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

import leafgill.web.models


def name_them(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    # one call for each: a default would give all of them the same
    rows = apps.get_model("web", "SensorRow").objects.using(schema_editor.connection.alias)
    for pk in list(rows.values_list("pk", flat=True)):
        rows.filter(pk=pk).update(slug=leafgill.web.models.new_public_id())


class Migration(migrations.Migration):
    dependencies = [("web", "0002_readings_lie_by_their_key")]
    operations = [
        migrations.AddField(
            model_name="sensorrow",
            name="refused",
            field=models.TextField(blank=True, default=""),
        ),
        migrations.AddField(
            model_name="sensorrow",
            name="refused_at",
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="sensorrow",
            name="refused_count",
            field=models.BigIntegerField(default=0),
        ),
        migrations.AddField(
            model_name="sensorrow",
            name="slug",
            field=models.CharField(max_length=16, null=True),
        ),
        migrations.RunPython(name_them, migrations.RunPython.noop),
        migrations.AlterField(
            model_name="sensorrow",
            name="slug",
            field=models.SlugField(
                default=leafgill.web.models.new_public_id, max_length=16, unique=True
            ),
        ),
        migrations.CreateModel(
            name="TokenRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("token_hash", models.CharField(max_length=64, unique=True)),
                ("name", models.CharField(blank=True, max_length=60)),
                ("made_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "sensor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="web.sensorrow"
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="TopicRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("topic", models.CharField(max_length=200)),
                (
                    "payload",
                    models.CharField(
                        choices=[("number", "a number"), ("json", "JSON")],
                        default="number",
                        max_length=6,
                    ),
                ),
                ("path", models.CharField(blank=True, max_length=120)),
                ("time_path", models.CharField(blank=True, max_length=120)),
                ("unit", models.CharField(blank=True, max_length=16)),
                (
                    "sensor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="web.sensorrow"
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("sensor", "topic", "path"), name="one_topic_each"
                    )
                ],
            },
        ),
    ]
