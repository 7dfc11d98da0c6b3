"""The keeper who does what the program says: three visits a day, the diary kept in memory."""

import tomllib
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta

from leafgill import Belief, Diary, Entry, Step, Tank, believe, next_step, rank_readings
from leafgill.tank.window import parse_window

from ..trial.actions import (
    Action,
    DrawGlass,
    Read,
    SetAirDay,
    SetGasDay,
    SetValve,
    WaterChange,
    Window,
)
from ..trial.diary import MINUTES_DAY, START
from ..trial.habit import LOOKS_AFTER_LIGHT_H, WATER_CHANGE
from ..trial.senses import Senses
from ..trial.world import Ways

AWAKE = (8, 22)
LOOKS_A_DAY = 3
DAY = timedelta(days=1)
KH_EVERY_DAYS = 4
WEIGH_EVERY_DAYS = 4
# A reading that would help is taken when it would narrow CO2 by this much, one at each visit, and
# not the same again within so many days.
WORTH_IT = 0.04
AGAIN_DAYS = 2
HAND = "hand pH test of the tank water"
SUGGESTED: dict[str, Action] = {
    HAND: Read("ph"),
    "KH test": Read("kh"),
    "KH test on a double sample": Read("kh", "double"),
    "degassed sample, stood in the room": DrawGlass(),
    "degassed sample, stood outdoors": DrawGlass(outdoors=True),
    "weight of the cylinder": Read("cylinder_mass"),
    "weight of the cylinder, now and in three days": Read("cylinder_mass"),
}


class AdvisedKeeper:
    """Takes the ordinary readings at each visit, asks for the next step, and follows it.

    A step that says when to look moves the next visit there, within the hours awake and the three
    visits of a day; one that leaves the tank alone for longer does not keep the keeper from it.
    `steps` are (time, step) as they were given.
    """

    def __init__(
        self, light: Window, ways: Ways, draws: int = 250, heeds_measure: bool = True
    ) -> None:
        self.light = light
        self.ways = ways
        self.draws = draws
        self.steps: list[tuple[datetime, Step]] = []
        self.diary = Diary(timezone="UTC")
        self.read_rows = 0
        self.last_probe = START
        self.visits: dict[date, int] = {}
        self.glass_due: datetime | None = START + timedelta(days=1)
        self.kh_due = START + timedelta(days=KH_EVERY_DAYS)
        self.weigh_due = START + timedelta(days=WEIGH_EVERY_DAYS)
        self.aired: str | None = None
        self.heeds_measure = heeds_measure
        self.taken: dict[str, datetime] = {}
        self.asked: Read | None = None

    # --- when ------------------------------------------------------------------------------

    def next_look(self, now: datetime) -> datetime | None:
        """The moment the step names, if a visit is left that day; else the next usual one."""
        step = self.steps[-1][1] if self.steps else None
        moments = () if step is None else (step.act_at, step.look_at)
        for asked in moments:
            if asked is None:
                continue
            at = asked.astimezone(UTC).replace(tzinfo=None)
            if now < at <= now + DAY and self._awake(at) and self._left(at):
                return at
        days = (now.replace(hour=0, minute=0) + timedelta(days=d) for d in range(4))
        usual = [t for day in days for t in self._usual(day) if t > now and self._left(t)]
        return min([*usual, *(t for t in (WATER_CHANGE,) if t > now)], default=None)

    def _usual(self, day: datetime) -> list[datetime]:
        lit = day + timedelta(minutes=self.light.on_min)
        return [lit + timedelta(hours=h) for h in LOOKS_AFTER_LIGHT_H]

    def _left(self, at: datetime) -> bool:
        return self.visits.get(at.date(), 0) < LOOKS_A_DAY

    @staticmethod
    def _awake(at: datetime) -> bool:
        return time(AWAKE[0]) <= at.time() <= time(AWAKE[1])

    # --- what ------------------------------------------------------------------------------

    def look(self, now: datetime, senses: Senses) -> Sequence[Action]:
        """One visit: what is due, the ordinary readings, then the step."""
        if now == START:
            return [DrawGlass()]
        self.visits[now.date()] = self.visits.get(now.date(), 0) + 1
        if now == WATER_CHANGE:
            senses.do(WaterChange(40.0, self.ways.writes_water_change))
        self._due(now, senses)
        senses.read("ph_probe" if senses.has_probe else "ph")
        senses.read("drop_checker")
        senses.read("fish")
        if senses.gas_on:
            senses.read("bubble_count")
        if self.asked is not None:
            senses.do(self.asked)
            self.asked = None
        belief = self._believe(now, senses)
        if self.heeds_measure:
            self.asked = self._asked(now, belief, senses)
        at = now.replace(tzinfo=UTC)
        step = next_step(belief.tank, self.diary, belief, at, awake=AWAKE)
        self.steps.append((now, step))
        return list(self._follow(now, step, senses))

    def _due(self, now: datetime, senses: Senses) -> None:
        if self.glass_due is not None and now >= self.glass_due:
            senses.read("degassed_ph")
            self.glass_due = None
        if now >= self.kh_due:
            senses.read("kh")
            self.kh_due = now + timedelta(days=KH_EVERY_DAYS)
        if now >= self.weigh_due:
            senses.read("cylinder_mass")
            self.weigh_due = now + timedelta(days=WEIGH_EVERY_DAYS)

    def _believe(self, now: datetime, senses: Senses) -> Belief:
        for row in senses.rows[self.read_rows :]:
            self.diary.add(Entry(row.time.replace(tzinfo=UTC), *row[1:]))
        self.read_rows = len(senses.rows)
        if senses.has_probe:
            times, values = senses.probe(self.last_probe)
            if times:
                self.diary.add_readings("ph", [t.replace(tzinfo=UTC) for t in times], values)
            self.last_probe = now
        tank = tank_of(senses.tank_toml)
        at = now.replace(tzinfo=UTC)
        return believe(tank, self.diary, at, count=self.draws)

    def _asked(self, now: datetime, belief: Belief, senses: Senses) -> Read | None:
        """The reading that would help most, to take at the next visit, if it is worth it.

        A glass is drawn at once, and read a day later.
        """
        for reading in rank_readings(belief.tank, self.diary, belief, belief.now):
            action = SUGGESTED.get(reading.what)
            last = self.taken.get(reading.what)
            again = last is None or reading.what == HAND or last <= now - timedelta(days=AGAIN_DAYS)
            if action is None or not again or reading.narrows_by < WORTH_IT:
                continue
            if isinstance(action, DrawGlass):
                if self.glass_due is not None:
                    continue
                self.glass_due = now + DAY
                senses.do(action)
            self.taken[reading.what] = now
            return action if isinstance(action, Read) else None
        return None

    def _follow(self, now: datetime, step: Step, senses: Senses) -> Sequence[Action]:
        if step.air is not None and step.air != self.aired:
            self.aired = step.air
            senses.do(SetAirDay(_window(step.air)))
        if step.schedule is not None:
            senses.do(SetGasDay(_window(step.schedule)))
        due = step.act_at is None or step.act_at <= now.replace(tzinfo=UTC)
        if step.rate is not None and due:
            senses.do(SetValve(step.rate))
        if step.action == "emergency":
            senses.do(WaterChange(30.0))
        return ()


def tank_of(toml: str) -> Tank:
    """The tank of a tank file's text."""
    return Tank.from_mapping(tomllib.loads(toml))


def _window(text: str) -> Window:
    hours = parse_window(text)
    on, off = (60 * t.hour + t.minute for t in (hours.on, hours.off))
    return Window(on, off % MINUTES_DAY)
