"""Between two fits: the electrode's stream followed, and what goes wrong noticed."""

from leafgill.estimate.watch.alert import Alert
from leafgill.estimate.watch.asked import watch
from leafgill.estimate.watch.tracker import Tracked, Tracker

__all__ = ["Alert", "Tracked", "Tracker", "watch"]
