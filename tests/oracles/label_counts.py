"""Counts right, extra and missed of readings against labels, apart from the program's own count.

label_counts.py READINGS.jsonl LABELLED.jsonl...   (READINGS is what `fixworth read --format jsonl` printed)
Prints one line a figure: its name, then its counts, parted by tabs. Python's own library only.
"""
import json
import sys


def rows(path):
    with open(path, encoding="utf-8") as lines:
        return [json.loads(line) for line in lines if line.strip()]


def bare(name):
    return "".join(letter for letter in (name or "").lower() if letter.isalnum())


def off_by(read, gold, relative, floor):
    if read is None or gold is None:
        return read is gold
    return abs(read - gold) <= max(floor, relative * abs(gold))


def model(row, make):
    name, make = bare(row), bare(make)
    return name[len(make):] if make and name != make and name.startswith(make) else name


def right_fields(read, gold):
    yield "kind", read["kind"] == gold["kind"]
    if gold["kind"] != "car":
        return
    yield "ask", off_by(read["ask"], gold["ask"], 0.001, 0.5)
    yield "miles", off_by(read["miles"], gold["miles"], 0.01, 600)
    yield "year", read["year"] == gold["year"]
    yield "make", bare(read["make"]) == bare(gold["make"])
    ours, theirs = model(read["model"], gold["make"]), model(gold["model"], gold["make"])
    begins = bool(ours and theirs) and (ours.startswith(theirs) or theirs.startswith(ours))
    yield "model", ours == theirs or begins
    for key in ("ask_basis", "miles_basis", "title", "moves", "gearbox"):
        yield key, read[key] == gold[key]
    yield "vin", bare(read["vin"]) == bare(gold["vin"])


def pairs(reading):
    unscored = {("failed_inspection", "sound"), ("failed_emissions", "sound")}
    return {(claim["part"], claim["says"]) for claim in reading["claims"]} - unscored


def groups(read, gold):
    def fault(found):
        return {pair for pair in found if pair[1] in ("bad", "suspect")}

    ours, theirs = pairs(read), pairs(gold)
    yield "all", ours, theirs
    yield "fault", fault(ours), fault(theirs)
    yield "good", ours - fault(ours), theirs - fault(theirs)
    yield "named", {code for code, _ in ours}, {code for code, _ in theirs}
    yield "vague", set(read["vague"]), set(gold["vague"])


def main():
    readings = {row["id"]: row for row in rows(sys.argv[1])}
    counts, fields = {}, {}
    for path in sys.argv[2:]:
        for row in rows(path):
            read, gold = readings[row["id"]], row["gold"]
            for key, right in right_fields(read, gold):
                held = fields.setdefault(key, [0, 0])
                held[0] += right
                held[1] += 1
            if gold["kind"] != "car":
                continue
            for key, ours, theirs in groups(read, gold):
                held = counts.setdefault(key, [0, 0, 0])
                for at, part in enumerate((ours & theirs, ours - theirs, theirs - ours)):
                    held[at] += len(part)
    for name, numbers in [*fields.items(), *counts.items()]:
        print(name, *numbers, sep="\t")


main()
