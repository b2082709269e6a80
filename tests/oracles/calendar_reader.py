"""Reads an iCalendar file with python3-icalendar, which shares nothing with the service, and prints it as JSON.

Usage: calendar_reader.py FILE
"""
import json
import sys

from icalendar import Calendar


def text(component, name):
    value = component.get(name)
    if value is None:
        return None
    if hasattr(value, "dt"):
        return value.dt.isoformat()
    return str(value)


def entry(event):
    names = ["UID", "SEQUENCE", "DTSTAMP", "LAST-MODIFIED", "DTSTART", "DTEND", "STATUS", "TRANSP", "SUMMARY", "DESCRIPTION", "URL"]
    found = {name: text(event, name) for name in names}
    found["startIsDate"] = event["DTSTART"].params.get("VALUE") == "DATE"
    found["alarms"] = [int(alarm["TRIGGER"].dt.total_seconds()) for alarm in event.walk("VALARM")]
    return found


with open(sys.argv[1], "rb") as file:
    calendar = Calendar.from_ical(file.read())
names = ["PRODID", "VERSION", "METHOD", "NAME", "X-WR-CALNAME", "REFRESH-INTERVAL", "SOURCE"]
json.dump({"calendar": {name: text(calendar, name) for name in names}, "events": [entry(e) for e in calendar.walk("VEVENT")]}, sys.stdout)
