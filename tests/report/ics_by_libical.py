#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""`calendar --format ics` read back by libical and held against the JSON of the same calendar.

    ics_by_libical.py PROGRAM DEMO

RFC 5545: lines of at most 75 octets that are whole characters (3.1), escaped text (3.3.11), all-day events with
DTEND the day after (3.6.1), a UID that stays when the calendar is written again on another day (3.8.4.7).
"""
import ctypes
import datetime
import json
import pathlib
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
from skip import skip

try:
    ICAL = ctypes.CDLL("libical.so.3")
except OSError as missing:
    skip(f"{missing}", "libical3")

PROGRAM, DEMO = sys.argv[1], pathlib.Path(sys.argv[2])
failures = []


class Day(ctypes.Structure):
    """struct icaltimetype of libical 3."""
    _fields_ = [(name, ctypes.c_int) for name in
                ("year", "month", "day", "hour", "minute", "second", "is_date", "is_daylight")] + [("zone", ctypes.c_void_p)]


def function(name, result, *arguments):
    found = getattr(ICAL, name)
    found.restype, found.argtypes = result, arguments
    return found


pointer, text, number = ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int
parse = function("icalparser_parse_string", pointer, text)
free = function("icalcomponent_free", None, pointer)
restrictions_hold = function("icalrestriction_check", number, pointer)
errors = function("icalcomponent_count_errors", number, pointer)
kind_of = function("icalcomponent_string_to_kind", number, text)
first = function("icalcomponent_get_first_component", pointer, pointer, number)
following = function("icalcomponent_get_next_component", pointer, pointer, number)
uid = function("icalcomponent_get_uid", text, pointer)
summary = function("icalcomponent_get_summary", text, pointer)
description = function("icalcomponent_get_description", text, pointer)
begins = function("icalcomponent_get_dtstart", Day, pointer)
ends = function("icalcomponent_get_dtend", Day, pointer)


def check(holds, what):
    if not holds:
        failures.append(what)


def said(*words):
    done = subprocess.run([PROGRAM, *map(str, words), "--quiet"], capture_output=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{words}: {done.stderr.decode()}")
    return done.stdout


def check_lines(raw, what):
    check(raw.endswith(b"\r\n") and raw.count(b"\n") == raw.count(b"\r\n") == raw.count(b"\r"), f"{what}: line ends")
    folded = 0
    for line in raw.split(b"\r\n"):
        check(len(line) <= 75, f"{what}: a line of {len(line)} octets")
        folded += line.startswith(b" ")
        try:
            line.decode("utf-8")
        except UnicodeDecodeError:
            check(False, f"{what}: a character is cut in two: {line!r}")
    return folded


def day_of(time, what):
    check(time.is_date == 1, f"{what}: not an all-day event")
    return datetime.date(time.year, time.month, time.day)


def read_back(raw, what):
    """The events as libical understands them."""
    calendar = parse(raw)
    check(calendar is not None, f"{what}: not read")
    if calendar is None:
        return []
    check(restrictions_hold(calendar) == 1, f"{what}: restrictions of RFC 5546 or 5545 do not hold")
    check(errors(calendar) == 0, f"{what}: {errors(calendar)} errors")
    events, kind = [], kind_of(b"VEVENT")
    event = first(calendar, kind)
    while event:
        events.append({"uid": uid(event).decode(), "summary": summary(event).decode(), "why": description(event).decode(),
                       "low": day_of(begins(event), what), "after": day_of(ends(event), what)})
        event = following(calendar, kind)
    free(calendar)
    return events


def compare(book, what, names, *words):
    raw = said("calendar", book, "--format", "ics", *words)
    folded = check_lines(raw, what)
    events = read_back(raw, what)
    told = json.loads(said("calendar", book, "--format", "json", *words))["events"]
    check(len(events) == len(told), f"{what}: {len(events)} events read, {len(told)} told")
    check(len({e["uid"] for e in events}) == len(events), f"{what}: a UID stands twice")
    for mine, hers in zip(events, told):
        low, high = (datetime.date.fromisoformat(hers[key]) for key in ("date_low", "date_high"))
        check(mine["low"] == low, f"{what}: begins {mine['low']} instead of {low}")
        check(mine["after"] == high + datetime.timedelta(days=1), f"{what}: ends {mine['after']} after {high}")
        check(mine["why"].startswith(hers["why"] + "."), f"{what}: why: {mine['why']!r} instead of {hers['why']!r}")
        who = names.get(hers["doe"] or hers["sire"], hers["doe"] or hers["sire"])
        check(mine["summary"].startswith(f"{who}: "), f"{what}: {mine['summary']!r} is not of {who!r}")
    return events, folded


HOSTILE = {
    "A,1;x": "Bär, der; \\große\\n, \"so\"",
    "N\\,2": "Ζαφειρία-Ζαφειρία-Ζαφειρία-Ζαφειρία-Ζαφειρία; Ζαφειρία",
    "日本の山羊": "山羊山羊山羊山羊山羊山羊山羊山羊山羊山羊山羊山羊山羊山羊山羊",
    "END:VCALENDAR": "BEGIN:VEVENT",
    "🐐🐐🐐": "x🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐🐐",
}


def quoted(cell):
    return '"' + cell.replace('"', '""') + '"'


def hostile(root):
    """Ids alone, for every way a fold can fall: 0 to 39 letters before them."""
    for before in range(0, 40):
        book = root / f"hostile-{before}"
        book.mkdir()
        ids = ["x" * before + name for name in HOSTILE]
        (book / "animals.csv").write_text("id,sex,born\nBock,buck,2020-03-01\n" + "".join(f"{quoted(i)},doe,2021-03-01\n" for i in ids), encoding="utf-8")
        (book / "services.csv").write_text("doe,sire,from,how\n" + "".join(f"{quoted(i)},Bock,2026-09-01,seen\n" for i in ids), encoding="utf-8")
        (book / "sires.csv").write_text("sire,terms,from,to\nBock,own,2026-10-01,2026-11-01\n")
        _, folded = compare(book, f"{before} letters before", {}, "--as-of", "2026-09-05")
        check(folded > 10, "lines are folded")
    book = root / "named"
    book.mkdir()
    rows = "".join(f"D{n},doe,2021-03-01,{quoted(name)}\n" for n, name in enumerate(HOSTILE.values()))
    (book / "animals.csv").write_text("id,sex,born,name\nBock,buck,2020-03-01,\"Zeile\n\"\n" + rows, encoding="utf-8")
    (book / "services.csv").write_text("doe,sire,from,how\n" + "".join(f"D{n},Bock,2026-09-01,seen\n" for n in range(len(HOSTILE))))
    compare(book, "named", {f"D{n}": name for n, name in enumerate(HOSTILE.values())}, "--as-of", "2026-09-05")


def leap(root):
    """Served on 2 October 2027 she is due about 29 February 2028, a day that there is."""
    book = root / "leap"
    book.mkdir()
    (book / "animals.csv").write_text("id,sex,born\nBock,buck,2020-03-01\nDoe,doe,2021-03-01\nHeat,doe,2021-03-01\n")
    (book / "services.csv").write_text("doe,sire,from,how\nDoe,Bock,2027-10-02,seen\n")
    events, _ = compare(book, "leap year", {}, "--as-of", "2027-10-10")
    covered = {e["low"] + datetime.timedelta(days=k) for e in events for k in range((e["after"] - e["low"]).days)}
    check(datetime.date(2028, 2, 29) in covered, "29 February 2028 is one of the days")
    day = lambda text: datetime.date.fromisoformat(text)
    due = [e for e in events if e["summary"].endswith(": due")]
    check(len(due) == 1 and due[0]["low"] < day("2028-02-29") < due[0]["after"], "due about 29 February")
    # ninety days after 1 December 2027 is 29 February 2028
    (book / "services.csv").write_text("doe,sire,from,how\nDoe,Bock,2027-12-01,seen\n")
    events, _ = compare(book, "dry off on leap day", {}, "--as-of", "2027-12-05")
    dry = [e for e in events if e["summary"].endswith(": dry off")]
    check([(e["low"], e["after"]) for e in dry] == [(day("2028-02-29"), day("2028-03-01"))], "one day, 29 February, ends on 1 March")


def stable():
    """Written again later, the same event has the same UID, and no other event has it."""
    before, _ = compare(DEMO, "demo", {}, "--as-of", "2026-09-15")
    for later in ("2026-09-16", "2026-10-01", "2026-11-20"):
        after, _ = compare(DEMO, f"demo {later}", {}, "--as-of", later)
        known = {e["uid"]: e for e in before}
        same = [e for e in after if e["uid"] in known]
        check(len(same) > 5, f"{later}: events are known again")
        for event in same:
            check(event["summary"] == known[event["uid"]]["summary"], f"{later}: a UID went to another event")
        keys = {(e["summary"], e["low"], e["after"]) for e in same}
        for event in before:
            if event["after"] > datetime.date.fromisoformat(later) and (event["summary"], event["low"], event["after"]) not in keys:
                moved = [e for e in after if e["summary"] == event["summary"] and e["low"] == event["low"]]
                check(not moved, f"{later}: {event['summary']} on {event['low']} has another UID now")


with tempfile.TemporaryDirectory() as scratch:
    hostile(pathlib.Path(scratch))
    leap(pathlib.Path(scratch))
    stable()
for failure in failures[:20]:
    print("FAILED", failure)
print(f"{len(failures)} failed")
sys.exit(1 if failures else 0)
