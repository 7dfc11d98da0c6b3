"""The rows of alerts: what is not well with a tank, who is told of it where, what is published."""

from __future__ import annotations

from datetime import datetime
from typing import Any, ClassVar

from django.db import models

URGENCY_CHOICES = [("now", "look now"), ("today", "look today"), ("look", "when there is time")]
OPEN, SEEN, SNOOZED, OVER = "open", "seen", "snoozed", "over"


class AlertRow(models.Model):
    """Something that is not well with a tank, from when it was noticed until it is over.

    `key` names what it is, and `kinds` all that it may be, with commas; `held_at` is when it was
    last found to hold, `sure` how sure it is, None where nothing is reckoned.
    """

    tank = models.ForeignKey("web.TankRow", on_delete=models.CASCADE)
    key = models.CharField(max_length=40)
    kinds = models.TextField(blank=True)
    urgency = models.CharField(max_length=5, choices=URGENCY_CHOICES)
    title = models.TextField()
    seen = models.TextField(blank=True)
    check_first = models.TextField(blank=True)
    sure = models.FloatField(null=True)
    since = models.DateTimeField()
    opened_at = models.DateTimeField()
    held_at = models.DateTimeField()
    over_at = models.DateTimeField(null=True, blank=True)
    seen_by = models.ForeignKey(
        "web.Keeper", on_delete=models.SET_NULL, related_name="+", null=True, blank=True
    )
    seen_at = models.DateTimeField(null=True, blank=True)
    snoozed_until = models.DateTimeField(null=True, blank=True)

    class Meta:  # noqa: D106
        constraints: ClassVar[list[Any]] = [
            models.UniqueConstraint(
                fields=["tank", "key"],
                condition=models.Q(over_at__isnull=True),
                name="one_open_alert_each",
            )
        ]
        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["tank", "over_at"], name="alert_by_end")
        ]

    def __str__(self) -> str:
        return f"{self.tank} {self.key} since {self.since:%Y-%m-%d %H:%M}"

    def state_at(self, now: datetime) -> str:
        """Return "open", "seen", "snoozed" or "over"."""
        if self.over_at is not None:
            return OVER
        if self.seen_at is not None:
            return SEEN
        if self.snoozed_until is not None and now < self.snoozed_until:
            return SNOOZED
        return OPEN


class TellingRow(models.Model):
    """When a keeper is not to be told, by the keeper's own time zone; danger is told always."""

    keeper = models.OneToOneField("web.Keeper", on_delete=models.CASCADE)
    quiet_from = models.TimeField(null=True, blank=True)
    quiet_until = models.TimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"quiet hours of {self.keeper}"


class ChannelRow(models.Model):
    """A way a keeper is told; its address, which is a secret, lies in a file under `slug`.

    `failures` are those in a row; after one nothing is sent before `next_try`.
    """

    keeper = models.ForeignKey("web.Keeper", on_delete=models.CASCADE)
    slug = models.SlugField(max_length=16, unique=True)
    name = models.CharField(max_length=60)
    made_at = models.DateTimeField()
    told_at = models.DateTimeField(null=True, blank=True)
    failures = models.PositiveIntegerField(default=0)
    error = models.TextField(blank=True)
    next_try = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.name} of {self.keeper}"


class ToldRow(models.Model):
    """How often, when last and how urgently an alert was told by a channel."""

    alert = models.ForeignKey(AlertRow, on_delete=models.CASCADE)
    channel = models.ForeignKey(ChannelRow, on_delete=models.CASCADE)
    count = models.PositiveIntegerField(default=0)
    told_at = models.DateTimeField()
    urgency = models.CharField(max_length=5, choices=URGENCY_CHOICES)

    class Meta:  # noqa: D106
        constraints: ClassVar[list[Any]] = [
            models.UniqueConstraint(fields=["alert", "channel"], name="one_telling_each")
        ]

    def __str__(self) -> str:
        return f"{self.alert} told {self.count} times"


class PublishRow(models.Model):
    """A tank whose belief, step, alerts and permission for gas are published to the broker."""

    tank = models.OneToOneField("web.TankRow", on_delete=models.CASCADE)
    made_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.tank} is published"
