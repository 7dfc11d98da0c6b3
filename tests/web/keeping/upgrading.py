"""One step of an upgrade, run as a process of its own on the database the environment names.

    python upgrading.py fill NAME     make the schema of a migration, fill every table, print it
    python upgrading.py upgrade       bring it up as the program does, print every table

What is printed is JSON: {table: [{column: value}, ...]}.
"""

import json
import sys
from datetime import UTC, datetime, timedelta

from leafgill.web.set_up import set_up, start_django

MOMENT = datetime(2025, 3, 8, 12, 10, 0, 123000, tzinfo=UTC)
TOML = '[tank]\nname = "Den"\nvolume_l = 60.0\ntimezone = "Europe/Berlin"\n'
# What a column takes where its type alone does not tell.
VALUES = {
    "toml": TOML,
    "role": "owner",
    "reply": "done",
    "units": "us",
    "decimal": ",",
    "theme": "dark",
    "kind": "ph",
    "payload": {"a": [1, None, "ü"]},
    "time_zone": "Europe/Berlin",
    "timezone": "Europe/Berlin",
}
ROWS = 3


def value_of(field, number):
    """Return a value for a column, another in each row."""
    from django.db import models

    if field.name in VALUES and not (field.name == "payload" and field.max_length):
        return VALUES[field.name]
    if field.choices:
        return [key for key, _ in field.choices][-1]
    if isinstance(field, models.BooleanField):
        return number % 2 == 0
    if isinstance(field, models.DateTimeField):
        return MOMENT.replace(minute=number)
    # a moment's field is a day's too, and was asked for before
    if isinstance(field, models.DateField):
        return MOMENT.date()
    if isinstance(field, models.TimeField):
        return MOMENT.time().replace(minute=number)
    if isinstance(field, models.DurationField):
        return timedelta(minutes=number)
    if isinstance(field, models.FloatField):
        return 6.5 + number / 7
    if isinstance(field, models.IntegerField):
        return number + 1
    if isinstance(field, models.JSONField):
        return {"row": number}
    text = f"{field.name} {number}\t\\ü"
    return text[-field.max_length :] if field.max_length else text


def fill():
    """Make some rows in every table of ours, by the models of the migrations applied."""
    from django.db import connection, models, transaction
    from django.db.migrations.loader import MigrationLoader

    loader = MigrationLoader(connection)
    apps = loader.project_state(list(loader.applied_migrations)).apps
    left = [m for m in apps.get_app_config("web").get_models() if not m._meta.auto_created]
    made = {}
    with transaction.atomic():
        while left:
            # whoever is referred to comes before
            model = next(m for m in left if all(t in made or t is m for t in targets(m)))
            left.remove(model)
            rows = []
            for number in range(ROWS):
                told = {}
                for field in model._meta.concrete_fields:
                    if field.name == "pk" or isinstance(field, models.AutoField):
                        continue
                    if field.is_relation:
                        told[field.name] = made[field.related_model][number]
                    else:
                        told[field.name] = value_of(field, number)
                rows.append(model.objects.create(**told))
            made[model] = rows


def targets(model):
    return {f.related_model for f in model._meta.concrete_fields if f.is_relation}


def tables():
    """Return every row of every table of ours, in order."""
    from django.db import connection

    found = {}
    with connection.cursor() as cursor:
        for name in sorted(connection.introspection.table_names(cursor)):
            if not name.startswith("web_"):
                continue
            cursor.execute(f'SELECT * FROM "{name}"')
            columns = [column[0] for column in cursor.description]
            rows = [dict(zip(columns, row, strict=True)) for row in cursor.fetchall()]
            found[name] = sorted(rows, key=lambda row: json.dumps(row, default=str))
    return found


def main():
    what = sys.argv[1]
    if what == "fill":
        from leafgill.web.home import prepare

        prepare()
        start_django()
        from django.core.management import call_command

        call_command("migrate", "web", sys.argv[2], interactive=False, verbosity=0)
        # the app's others, as the program of that day would have brought them up
        for app in ("auth", "contenttypes", "sessions", "axes"):
            call_command("migrate", app, interactive=False, verbosity=0)
        fill()
    else:
        set_up()
    print(json.dumps(tables(), default=str))


if __name__ == "__main__":
    main()
