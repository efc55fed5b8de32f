"""Reads the calendar file on stdin by the library icalendar, and prints what it says as JSON.

Besides what the library takes, the rules of RFC 5545 that it does not hold a file to: ends of lines, their length, and
what a calendar and an event need (3.1, 3.6, 3.6.1).
"""

import json
import sys

from icalendar import Calendar

file = sys.stdin.buffer.read()
lines = file.split(b"\r\n")
assert lines.pop() == b"", "the last line has an end"
assert not any(b"\n" in line or b"\r" in line for line in lines), "lines end with CR LF"
assert max(len(line) for line in lines) <= 75, "no line is longer than 75 octets"

calendar = Calendar.from_ical(file)
for name in ("PRODID", "VERSION"):
    assert isinstance(calendar.get(name), str), f"{name} is there once"
events = []
for event in calendar.walk("VEVENT"):
    assert not event.errors, event.errors
    for name in ("UID", "DTSTAMP", "DTSTART", "SEQUENCE", "STATUS", "SUMMARY"):
        assert event.get(name) is not None and not isinstance(event.get(name), list), f"{name} is there once"
    assert event.get("DTEND") is None and event.get("DURATION") is None
    start = event.decoded("DTSTART")
    events.append(
        {
            "uid": str(event["UID"]),
            "sequence": int(event["SEQUENCE"]),
            "status": str(event["STATUS"]),
            "start": start.isoformat(),
            "day": not hasattr(start, "hour"),
            "summary": str(event["SUMMARY"]),
            "description": str(event.get("DESCRIPTION", "")),
            "place": str(event.get("LOCATION", "")),
        }
    )
print(json.dumps({"name": str(calendar.get("NAME")), "method": str(calendar.get("METHOD")), "events": events}))
