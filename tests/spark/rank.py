"""Ads of any number priced in parallel by an engine, and the best ranked.

    python rank.py PROGRAM ADS.jsonl FOLDER [--most 2500] [--parts 8] [--kill]

Each part of the ads goes through `fixworth price -`, as a filter. What may be
worth a look, ask and bill together below --most, is collected and ranked by
`fixworth shortlist` in FOLDER: the worth of a car is learnt from all candidates
together, so that this last step is one run. FOLDER then holds bills.jsonl,
candidates.jsonl and list.jsonl.

With --kill, at the first attempt the filter of one part is killed in the middle
of its work and the worker process of another kills itself (FOLDER/killed-filter
and killed-worker tell that it was so): the engine tries both again.
"""

import argparse
import json
import os
import pathlib
import signal
import subprocess
import sys
import threading

from pyspark import TaskContext
from pyspark.sql import SparkSession


def wanted(bill, most):
    """Whether a bill is of a car that may be worth a look."""
    if bill["bill"] is None or bill["ask"] is None:
        return False
    return bill["ask"] + bill["bill"]["likely"] <= most


def price(program, lines, killed=None):
    """The bills of some ads, one line each, in their order. Where a file is
    named as killed, the filter is killed in the middle and the file made."""
    child = subprocess.Popen(
        [program, "price", "-"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )

    def feed():
        try:
            for number, line in enumerate(lines):
                if killed and number == 50:
                    killed.touch()
                    child.send_signal(signal.SIGKILL)
                child.stdin.write(line.encode() + b"\n")
            child.stdin.close()
        except BrokenPipeError:
            pass

    feeder = threading.Thread(target=feed)
    feeder.start()
    bills = [line.decode().rstrip("\n") for line in child.stdout]
    feeder.join()
    # A part counts only where its filter came to a good end.
    if child.wait() != 0:
        raise RuntimeError(f"fixworth price ended with {child.returncode}")
    return bills


def part(program, most, folder, kill):
    """What is done with the ads of one part: (bill, ad or none) of each."""

    def work(lines):
        context = TaskContext.get()
        first = kill and context.attemptNumber() == 0
        if first and context.partitionId() == 2:
            (folder / "killed-worker").touch()
            os.kill(os.getpid(), signal.SIGKILL)
        lines = list(lines)
        killed = folder / "killed-filter" if first and context.partitionId() == 1 else None
        bills = price(program, lines, killed)
        if len(bills) != len(lines):
            raise RuntimeError(f"{len(lines)} ads, {len(bills)} bills")
        for ad, bill in zip(lines, bills):
            yield bill, ad if wanted(json.loads(bill), most) else None

    return work


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("ads")
    parser.add_argument("folder", type=pathlib.Path)
    parser.add_argument("--most", type=float, default=2500)
    parser.add_argument("--parts", type=int, default=8)
    parser.add_argument("--kill", action="store_true")
    args = parser.parse_args()
    # Two at a time, each tried up to four times.
    spark = (
        SparkSession.builder.master("local[2,4]")
        .config("spark.ui.enabled", "false")
        .config("spark.driver.host", "localhost")
        .config("spark.driver.bindAddress", "127.0.0.1")
        .getOrCreate()
    )
    spark.sparkContext.setLogLevel("OFF")
    ads = spark.sparkContext.textFile(args.ads, args.parts)
    work = part(args.program, args.most, args.folder, args.kill)
    # Parts come back in order.
    priced = ads.mapPartitions(work).collect()
    parts = ads.getNumPartitions()
    spark.stop()
    keep = {
        "bills.jsonl": [bill for bill, _ in priced],
        "candidates.jsonl": [ad for _, ad in priced if ad is not None],
    }
    for name, lines in keep.items():
        (args.folder / name).write_text("".join(line + "\n" for line in lines))
    rank = [args.program, "shortlist", "candidates.jsonl", "--as-of", "2016"]
    rank += ["--format", "jsonl", "--out", "list.jsonl"]
    subprocess.run(rank, cwd=args.folder, check=True)
    print(f"{len(priced)} ads in {parts} parts, {len(keep['candidates.jsonl'])} candidates")


if __name__ == "__main__":
    sys.exit(main())
