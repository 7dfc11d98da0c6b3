"""What was seen and done: entries, their plausibility, CSV files and sensors' streams."""

from leafgill.diary.csv_reader import read_diary
from leafgill.diary.csv_writer import entries_to_csv, streams_to_csv
from leafgill.diary.diary import Diary
from leafgill.diary.entry import Entry, written
from leafgill.diary.finding import FINDINGS, Finding
from leafgill.diary.kinds import COLOURS, FISH, KINDS, Kind, KindInfo
from leafgill.diary.plausible import check_entries, check_future, check_jumps, jumps, stuck
from leafgill.diary.probe_reader import read_probe
from leafgill.diary.sensors import SENSORS, Sensor
from leafgill.diary.stream import Stream

__all__ = [
    "COLOURS",
    "FINDINGS",
    "FISH",
    "KINDS",
    "SENSORS",
    "Diary",
    "Entry",
    "Finding",
    "Kind",
    "KindInfo",
    "Sensor",
    "Stream",
    "check_entries",
    "check_future",
    "check_jumps",
    "entries_to_csv",
    "jumps",
    "read_diary",
    "read_probe",
    "streams_to_csv",
    "stuck",
    "written",
]
