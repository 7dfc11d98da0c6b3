"""Alerts, who is told of them by which way, and which tanks are published."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("web", "0004_calendar_feed"),
    ]

    operations = [
        migrations.CreateModel(
            name="AlertRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=40)),
                ("kinds", models.TextField(blank=True)),
                (
                    "urgency",
                    models.CharField(
                        choices=[
                            ("now", "look now"),
                            ("today", "look today"),
                            ("look", "when there is time"),
                        ],
                        max_length=5,
                    ),
                ),
                ("title", models.TextField()),
                ("seen", models.TextField(blank=True)),
                ("check_first", models.TextField(blank=True)),
                ("sure", models.FloatField(null=True)),
                ("since", models.DateTimeField()),
                ("opened_at", models.DateTimeField()),
                ("held_at", models.DateTimeField()),
                ("over_at", models.DateTimeField(blank=True, null=True)),
                ("seen_at", models.DateTimeField(blank=True, null=True)),
                ("snoozed_until", models.DateTimeField(blank=True, null=True)),
                (
                    "seen_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "tank",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="web.tankrow"
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="ChannelRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("slug", models.SlugField(max_length=16, unique=True)),
                ("name", models.CharField(max_length=60)),
                ("made_at", models.DateTimeField()),
                ("told_at", models.DateTimeField(blank=True, null=True)),
                ("failures", models.PositiveIntegerField(default=0)),
                ("error", models.TextField(blank=True)),
                ("next_try", models.DateTimeField(blank=True, null=True)),
                (
                    "keeper",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="PublishRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("made_at", models.DateTimeField()),
                (
                    "tank",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, to="web.tankrow"
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="TellingRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("quiet_from", models.TimeField(blank=True, null=True)),
                ("quiet_until", models.TimeField(blank=True, null=True)),
                (
                    "keeper",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, to=settings.AUTH_USER_MODEL
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="ToldRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("count", models.PositiveIntegerField(default=0)),
                ("told_at", models.DateTimeField()),
                (
                    "urgency",
                    models.CharField(
                        choices=[
                            ("now", "look now"),
                            ("today", "look today"),
                            ("look", "when there is time"),
                        ],
                        max_length=5,
                    ),
                ),
                (
                    "alert",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="web.alertrow"
                    ),
                ),
                (
                    "channel",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="web.channelrow"
                    ),
                ),
            ],
        ),
        migrations.AddIndex(
            model_name="alertrow",
            index=models.Index(fields=["tank", "over_at"], name="alert_by_end"),
        ),
        migrations.AddConstraint(
            model_name="alertrow",
            constraint=models.UniqueConstraint(
                condition=models.Q(("over_at__isnull", True)),
                fields=("tank", "key"),
                name="one_open_alert_each",
            ),
        ),
        migrations.AddConstraint(
            model_name="toldrow",
            constraint=models.UniqueConstraint(
                fields=("alert", "channel"), name="one_telling_each"
            ),
        ),
    ]
