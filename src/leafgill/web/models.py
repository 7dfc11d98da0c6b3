"""The rows: keepers, tanks with their history, diaries, sensors, tasks, answers and steps."""

from __future__ import annotations

import secrets
from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone

import leafgill.web.alert_models  # noqa: F401 - Django looks for all rows here

# Letters and digits that are not taken for one another when read aloud.
_LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"
_ID_LENGTH = 10
# as the tank file has it
MOST_LETTERS = 80
ROLES = [("owner", "owner"), ("write", "may write"), ("read", "may read")]
REPLIES = [("", "none"), ("done", "done"), ("not now", "not now"), ("fish", "fish look wrong")]


def new_public_id() -> str:
    """Return a short name for a tank's address that nobody guesses."""
    return "".join(secrets.choice(_LETTERS) for _ in range(_ID_LENGTH))


class KeeperManager(BaseUserManager["Keeper"]):
    """Finds keepers by name, however its letters are cased: phones begin with a capital."""

    def get_by_natural_key(self, username: str | None) -> Keeper:
        """Return the keeper of a name. Raises Keeper.DoesNotExist."""
        return self.get(username__iexact=username)


class Keeper(AbstractBaseUser):
    """Somebody who keeps tanks; without a usable password only at the machine itself."""

    username = models.CharField(max_length=80, unique=True)
    is_active = models.BooleanField(default=True)
    units = models.CharField(
        max_length=8, choices=[("metric", "metric"), ("us", "us")], default="metric"
    )
    decimal = models.CharField(max_length=1, choices=[(".", "."), (",", ",")], default=".")
    time_zone = models.CharField(max_length=64, default="UTC")
    theme = models.CharField(
        max_length=5,
        choices=[("auto", "auto"), ("light", "light"), ("dark", "dark")],
        default="auto",
    )
    created = models.DateTimeField(default=timezone.now)

    objects: ClassVar[KeeperManager] = KeeperManager()

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        constraints: ClassVar[list[Any]] = [
            # two names that differ in their capitals alone would be one person's slip
            models.UniqueConstraint(Lower("username"), name="one_keeper_each")
        ]

    def __str__(self) -> str:
        return str(self.username)


class TankRow(models.Model):
    """A tank; `version` counts every change of it, its diary or its readings."""

    public_id = models.SlugField(max_length=16, unique=True, default=new_public_id)
    name = models.CharField(max_length=MOST_LETTERS)
    created = models.DateTimeField(default=timezone.now)
    version = models.BigIntegerField(default=1)
    archived_at = models.DateTimeField(null=True, blank=True)
    keepers = models.ManyToManyField(Keeper, through="Share", related_name="tanks")

    def __str__(self) -> str:
        return str(self.name)


class Share(models.Model):
    """What a keeper may do with a tank."""

    tank = models.ForeignKey(TankRow, on_delete=models.CASCADE)
    keeper = models.ForeignKey(Keeper, on_delete=models.CASCADE)
    role = models.CharField(max_length=5, choices=ROLES)

    class Meta:
        constraints: ClassVar[list[Any]] = [
            models.UniqueConstraint(fields=["tank", "keeper"], name="one_share_each")
        ]

    def __str__(self) -> str:
        return f"{self.keeper} {self.role} {self.tank}"


class Invitation(models.Model):
    """A right to a tank that a link carries; only the hash of its token is kept."""

    tank = models.ForeignKey(TankRow, on_delete=models.CASCADE)
    token_hash = models.CharField(max_length=64, unique=True)
    role = models.CharField(max_length=5, choices=ROLES)
    made_by = models.ForeignKey(Keeper, on_delete=models.CASCADE, related_name="+")
    made_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_by = models.ForeignKey(Keeper, on_delete=models.SET_NULL, related_name="+", null=True)

    def __str__(self) -> str:
        return f"{self.role} {self.tank}"


class FeedRow(models.Model):
    """A keeper's calendar as a link gives it; only the hash of its token is kept."""

    keeper = models.OneToOneField(Keeper, on_delete=models.CASCADE)
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"calendar of {self.keeper}"


class SpecRow(models.Model):
    """A tank's description from a moment on, as a tank file; the newest is in force."""

    tank = models.ForeignKey(TankRow, on_delete=models.CASCADE)
    valid_from = models.DateTimeField()
    toml = models.TextField()

    class Meta:
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["tank", "valid_from"], name="spec_by_time")
        ]

    def __str__(self) -> str:
        return f"{self.tank} from {self.valid_from:%Y-%m-%d}"


class EntryRow(models.Model):
    """One thing seen or done; what was taken out stays, with the moment it was."""

    tank = models.ForeignKey(TankRow, on_delete=models.CASCADE)
    time = models.DateTimeField()
    kind = models.CharField(max_length=24)
    value = models.TextField()
    unit = models.CharField(max_length=40, blank=True)
    note = models.TextField(blank=True)
    made_by = models.ForeignKey(Keeper, on_delete=models.SET_NULL, related_name="+", null=True)
    made_at = models.DateTimeField()
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["tank", "time"], name="entry_by_time"),
            models.Index(fields=["tank", "kind", "time"], name="entry_by_kind"),
        ]

    def __str__(self) -> str:
        return f"{self.time:%Y-%m-%d %H:%M} {self.kind} {self.value}"


class SensorRow(models.Model):
    """A sensor of a tank; `kind` is one of `diary.sensors`, `unit` that kind's.

    `slug` is what it is called from outside. `refused` says in words why the newest reading that
    was refused was, with the moment and how many there were so far.
    """

    tank = models.ForeignKey(TankRow, on_delete=models.CASCADE)
    slug = models.SlugField(max_length=16, unique=True, default=new_public_id)
    name = models.CharField(max_length=40)
    kind = models.CharField(max_length=24)
    unit = models.CharField(max_length=16, blank=True)
    made_at = models.DateTimeField()
    refused = models.TextField(blank=True, default="")
    refused_at = models.DateTimeField(null=True, blank=True)
    refused_count = models.BigIntegerField(default=0)

    class Meta:
        constraints: ClassVar[list[Any]] = [
            models.UniqueConstraint(fields=["tank", "name"], name="one_sensor_each")
        ]

    def __str__(self) -> str:
        return str(self.name)


class ReadingRow(models.Model):
    """One reading [the sensor's unit] at a second since 1970; `flag` is not 0 when it is doubted.

    The key is sensor and second: a reading is there once, however often it comes in.
    """

    pk = models.CompositePrimaryKey("sensor_id", "time_s")
    sensor = models.ForeignKey(SensorRow, on_delete=models.CASCADE, db_index=False)
    time_s = models.BigIntegerField()
    value = models.FloatField()
    flag = models.SmallIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.sensor_id} {self.time_s} {self.value:g}"


class TokenRow(models.Model):
    """A right to send readings as one sensor; only the hash of the token is kept."""

    sensor = models.ForeignKey(SensorRow, on_delete=models.CASCADE)
    token_hash = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=60, blank=True)
    made_by = models.ForeignKey(Keeper, on_delete=models.SET_NULL, related_name="+", null=True)
    made_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.name or 'token'} of {self.sensor}"


class TopicRow(models.Model):
    """Messages of a broker that are one sensor's readings.

    `payload` is "number", or "json" with the `path` of the value and, where there is one, the
    `time_path` of its time. `unit` is the values', "" for the sensor's own.
    """

    sensor = models.ForeignKey(SensorRow, on_delete=models.CASCADE)
    topic = models.CharField(max_length=200)
    payload = models.CharField(
        max_length=6, choices=[("number", "a number"), ("json", "JSON")], default="number"
    )
    path = models.CharField(max_length=120, blank=True)
    time_path = models.CharField(max_length=120, blank=True)
    unit = models.CharField(max_length=16, blank=True)

    class Meta:
        constraints: ClassVar[list[Any]] = [
            models.UniqueConstraint(fields=["sensor", "topic", "path"], name="one_topic_each")
        ]

    def __str__(self) -> str:
        return str(self.topic)


class TaskRow(models.Model):
    """Care that comes round every so many days."""

    tank = models.ForeignKey(TankRow, on_delete=models.CASCADE)
    what = models.CharField(max_length=120)
    every_days = models.PositiveIntegerField()
    last_done = models.DateTimeField(null=True, blank=True)
    note = models.TextField(blank=True)

    def __str__(self) -> str:
        return str(self.what)


class AnswerRow(models.Model):
    """What was last worked out for a tank: for which of its versions, and about which moment.

    `error` tells in one line why the newest try failed, "" after one that did not; the payload and
    what belongs to it are then still those of the last that did not. `failed_version` and
    `failed_at` are that try's, `failures` how many there were in a row.
    """

    tank = models.OneToOneField(TankRow, on_delete=models.CASCADE, related_name="answer")
    version = models.BigIntegerField(default=0)
    asked_for = models.DateTimeField(null=True, blank=True)
    made_at = models.DateTimeField(null=True, blank=True)
    seconds = models.FloatField(default=0.0)
    payload = models.JSONField(null=True)
    error = models.TextField(blank=True)
    failed_version = models.BigIntegerField(default=0)
    failed_at = models.DateTimeField(null=True, blank=True)
    failures = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.tank}, version {self.version}"


class StepRow(models.Model):
    """A step that was shown, and what the keeper said to it."""

    tank = models.ForeignKey(TankRow, on_delete=models.CASCADE)
    made_at = models.DateTimeField()
    payload = models.JSONField()
    reply = models.CharField(max_length=8, choices=REPLIES, default="", blank=True)
    replied_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["tank", "made_at"], name="step_by_time")
        ]

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M} {self.reply}"
