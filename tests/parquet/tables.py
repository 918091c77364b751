"""Ads as DuckDB writes them, read by the program, and what it writes, read by
DuckDB: tables.py PROGRAM FOLDER, with ads.csv in the folder."""

import json
import subprocess
import sys
from pathlib import Path

import duckdb

program, folder = sys.argv[1], Path(sys.argv[2])
db = duckdb.connect()


def run(*words):
    done = subprocess.run([program, *words], cwd=folder, capture_output=True, check=True)
    return done.stdout.decode()


def rows(table):
    found = db.execute(f"select * from '{folder / table}'")
    names = [column[0] for column in found.description]
    return [dict(zip(names, row)) for row in found.fetchall()]


def whole(value, like):
    """Keys that JSON leaves out are there and null."""
    if isinstance(like, dict) and value is not None:
        assert set(value) <= set(like), (value, like)
        return {key: whole(value.get(key), like[key]) for key in like}
    if isinstance(like, list) and value is not None:
        return [whole(v, l) for v, l in zip(value, like, strict=True)]
    return value


def flat(line, like):
    row = json.loads(line)
    bill = row.pop("bill", None) or {}
    assert set(row) <= set(like), row.keys() - like.keys()
    assert all(name in like or f"bill_{name}" in like for name in bill), (bill, like)

    def value(name):
        return row[name] if name in row else bill.get(name.removeprefix("bill_"))

    return {name: whole(value(name), like[name]) for name in like}


# Columns as text, as DuckDB finds them to be, and in small groups of rows; each
# packed in another way.
texts = f"select * from read_csv('{folder / 'ads.csv'}', all_varchar=true)"
kinds = f"select * from read_csv('{folder / 'ads.csv'}')"
tables = {
    "texts": (texts, "compression snappy"),
    "kinds": (kinds, "compression zstd"),
    "newer": (kinds, "compression uncompressed, parquet_version v2"),
    "groups": (texts, "compression zstd, row_group_size 2048"),
}
found = {name: kind for name, kind, *_ in db.execute(f"describe {kinds}").fetchall()}
assert (found["price"], found["date"]) == ("BIGINT", "DATE"), found
for name, (query, how) in tables.items():
    db.execute(f"copy ({query}) to '{folder / name}.parquet' (format parquet, {how})")

for command in [["read", "--with-text"], ["price"]]:
    lines = run(*command, "ads.csv")
    for name in tables:
        assert run(*command, f"{name}.parquet") == lines, (command, name)
    run(*command, "texts.parquet", "--out", "out.parquet", "--force")
    table = rows("out.parquet")
    lines = lines.splitlines()
    assert len(table) == len(lines)
    for row, line in zip(table, lines):
        assert row == flat(line, row), (row, line)
    print(f"{command[0]}: {len(table)} ads")

# How the columns are taken, cells shown as text.
def told(name):
    file = json.loads(run("columns", name, "--format", "json"))[0]
    return {key: file[key] for key in ("columns", "missing", "problem")}


for name in ("texts", "groups"):
    assert told(f"{name}.parquet") == told("ads.csv"), name

# As its users ask.
run("read", "ads.csv", "--out", "out.parquet", "--force")
counted = db.execute(
    f"""select c.part, count(*) from (
        select unnest(claims) as c from '{folder / 'out.parquet'}'
    ) where c.says = 'bad' group by all"""
).fetchall()
of_json = {}
for line in run("read", "ads.csv").splitlines():
    for claim in json.loads(line)["claims"]:
        if claim["says"] == "bad":
            of_json[claim["part"]] = of_json.get(claim["part"], 0) + 1
assert len(of_json) > 20
assert dict(counted) == of_json

# A table of many rows is written in several groups, and read back whole.
db.execute(
    f"""copy (
        select range as id, 'clutch slips, needs a starter ' || range as text
        from range(25000)
    ) to '{folder / 'many.parquet'}' (format parquet)"""
)
run("read", "many.parquet", "--out", "out.parquet", "--force")
groups, read = db.execute(
    f"select count(distinct row_group_id), max(row_group_num_rows) "
    f"from parquet_metadata('{folder / 'out.parquet'}')"
).fetchone()
assert groups > 1 and read <= 20000, (groups, read)
ids = db.execute(f"select id::int from '{folder / 'out.parquet'}'").fetchall()
assert ids == [(n,) for n in range(25000)]
