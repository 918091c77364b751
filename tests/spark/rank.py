"""Ads of any number priced in parallel by an engine, and the best ranked.

    python rank.py PROGRAM ADS.jsonl FOLDER [options]

Each part of the ads goes through `fixworth price -`, as a filter, and its bills
are written where they are made: FOLDER/bills holds one file for each part.
Three kinds of ads are kept: what may be worth a look, ask and bill together no
more than --most; sound cars, since the worth of all is learnt from them; and
other ads of the same car as one of these, by its number (VIN) or by model, year
and distance. Only they come to one place, FOLDER/candidates.jsonl, one part
after the other, where `fixworth shortlist` ranks them: FOLDER/list.jsonl. Ads
are taken to have ids that are unique over all parts.

With --kill, at the first attempt the filter of one part is killed in the middle
of its work and the worker process of another kills itself (FOLDER/killed-filter
and killed-worker tell that it was so): the engine tries both again.
"""

import argparse
import collections
import hashlib
import json
import os
import pathlib
import signal
import subprocess
import sys
import threading

from pyspark import StorageLevel, TaskContext
from pyspark.sql import SparkSession


def wanted(bill, most):
    """Whether a bill is of a car that may be worth a look, or of a sound one."""
    if bill["sound_at"] is not None:
        return True
    if bill["bill"] is None or bill["ask"] is None:
        return False
    return bill["ask"] + bill["bill"]["likely"] <= most


def cars(bill):
    """What tells that other ads are of the same car, in eight bytes each."""
    names = []
    if bill["vin"] is not None:
        names.append([bill["vin"]])
    facts = [bill["make"], bill["model"], bill["year"], bill["miles"]]
    if None not in facts:
        names.append(facts)
    return [
        hashlib.blake2b(json.dumps(name).encode(), digest_size=8).digest()
        for name in names
    ]


def id_of(ad):
    """The id of an ad as the tool gives it back; none where there is none."""
    try:
        return str(json.loads(ad)["id"])
    except (ValueError, TypeError, KeyError):
        return None


def price(program, as_of, lines, killed=None):
    """Each ad with its bill, a line each, in their order; no bill where the
    tool could not use the ad. Where a file is named as killed, the filter is
    killed in the middle and the file made."""
    child = subprocess.Popen(
        [program, "price", "-", "--as-of", as_of],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    waiting = collections.deque()
    said, failed = [], []

    def feed():
        try:
            with child.stdin:
                for number, line in enumerate(lines):
                    if killed and number == 50:
                        killed.touch()
                        child.send_signal(signal.SIGKILL)
                    waiting.append(line)
                    child.stdin.write(line.encode() + b"\n")
        except BrokenPipeError:
            pass
        except Exception as error:
            failed.append(error)

    # Both at once with the bills, or each would wait for the other.
    beside = [
        threading.Thread(target=feed),
        threading.Thread(target=lambda: said.append(child.stderr.read())),
    ]
    for thread in beside:
        thread.start()
    try:
        for bill in child.stdout:
            bill = bill.decode().rstrip("\n")
            id = json.loads(bill)["id"]
            while waiting and id_of(waiting[0]) != id:
                yield waiting.popleft(), None
            if not waiting:
                raise RuntimeError(f"a bill for no ad of this part: {id}")
            yield waiting.popleft(), bill
        for thread in beside:
            thread.join()
        code = child.wait()
    finally:
        # Where nobody wants the rest.
        if child.poll() is None:
            child.kill()
            child.wait()
    # A part counts only where all went in and the filter came to a good end.
    if failed:
        raise failed[0]
    if code != 0:
        told = b"".join(said).decode()
        raise RuntimeError(f"fixworth price ended with {code}: {told}")
    for line in waiting:
        yield line, None


def part(args):
    """What is done with the ads of one part: (ad, bill, wanted, cars) of each."""

    def work(lines):
        context = TaskContext.get()
        first = args.kill and context.attemptNumber() == 0
        if first and context.partitionId() == 2:
            (args.folder / "killed-worker").touch()
            os.kill(os.getpid(), signal.SIGKILL)
        killed = args.folder / "killed-filter" if first and context.partitionId() == 1 else None
        for ad, bill in price(args.program, args.as_of, lines, killed):
            if bill is None:
                yield ad, None, False, []
            else:
                facts = json.loads(bill)
                yield ad, bill, wanted(facts, args.most), cars(facts)

    return work


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("ads")
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--most", type=float, default=2500)
    parser.add_argument("--as-of", default="2016")
    parser.add_argument("--parts", type=int, default=8)
    parser.add_argument("--top", help="no more than so many cars in the list")
    parser.add_argument("--kill", action="store_true")
    args = parser.parse_args()
    # Two at a time, each tried up to four times.
    spark = (
        SparkSession.builder.master("local[2,4]")
        .config("spark.ui.enabled", "false")
        .config("spark.driver.host", "localhost")
        .config("spark.driver.bindAddress", "127.0.0.1")
        .config("spark.rdd.compress", "true")
        .getOrCreate()
    )
    spark.sparkContext.setLogLevel("OFF")
    ads = spark.sparkContext.textFile(args.ads, args.parts)
    # Each ad is priced once; what is asked of it after that is asked of a disk.
    priced = ads.mapPartitions(part(args)).persist(StorageLevel.DISK_ONLY)
    bills = priced.filter(lambda row: row[1] is not None).map(lambda row: row[1])
    bills.saveAsTextFile(str(args.folder / "bills"))

    count = priced.count()
    unpriced = priced.filter(lambda row: row[1] is None).count()
    of_wanted = priced.filter(lambda row: row[2]).flatMap(lambda row: row[3])
    known = spark.sparkContext.broadcast(set(of_wanted.distinct().toLocalIterator()))
    kept = priced.filter(
        lambda row: row[2] or any(car in known.value for car in row[3])
    ).map(lambda row: row[0])
    # Parts come in order, one at a time.
    candidates = 0
    with open(args.folder / "candidates.jsonl", "w", encoding="utf-8", newline="\n") as out:
        for ad in kept.toLocalIterator(prefetchPartitions=True):
            out.write(ad + "\n")
            candidates += 1
    parts = ads.getNumPartitions()
    print(
        f"{count} ads in {parts} parts, {unpriced} without a bill, {candidates} candidates",
        flush=True,
    )
    spark.stop()
    rank = [args.program, "shortlist", "candidates.jsonl", "--as-of", args.as_of]
    rank += ["--format", "jsonl", "--out", "list.jsonl"]
    rank += ["--top", args.top] if args.top else []
    subprocess.run(rank, cwd=args.folder, check=True)
    print("ranked", flush=True)


if __name__ == "__main__":
    sys.exit(main())
