"""How far published methods of the shelf come with the same phrases: spaCy's
PhraseMatcher finds the names of lexicon/phrases.csv, medspaCy's ConText
(Chapman et al. 2001, Harkema et al. 2009) decides what is said of them. Scored
on samples/labelled/practice.jsonl by the counting rules of the labels: a claim
is right when code and state agree, `fault` looks at bad and suspect, `named` at
the code alone. Beside it the program's own reading, through the variable
FIXWORTH. Error bars: 95 % by 1000 bootstrap resamples of the ads, seeded.

Four settings, each given more of what the program's tables know:
  own rules   medspaCy's own rules; a part named counts as bad
  cues        also cues.csv as modifiers; a part named says nothing by itself
  cues, n     the same, each modifier reaching at most n words
  effects     also effects.csv as modifiers that act on their subjects

How ConText's states are taken: negated is sound (of a part under `no`: bad),
uncertain is suspect, hypothetical is no claim, historical is no claim for a
fault, anything else is what the cue says; the nearest cue wins; several
sayings of one code are settled as the labels settle them.

Needs spacy and medspacy (pip install spacy medspacy; no model); without them
it says so and exits with status 3.
"""

import csv
import json
import logging
import os
import random
import re
import subprocess
import sys
import tempfile
from collections import defaultdict
from itertools import product
from pathlib import Path

# medspaCy logs every rule it loads.
os.environ.setdefault("LOGURU_LEVEL", "ERROR")
try:
    import medspacy  # noqa: F401  (its version is printed)
    import spacy
    from importlib.metadata import version
    from medspacy.context import ConText, ConTextRule
    from spacy.matcher import PhraseMatcher
    from spacy.tokens import Span
except ImportError as missing:
    print(missing, file=sys.stderr)
    sys.exit(3)
logging.disable(logging.CRITICAL)

ROOT = Path(__file__).resolve().parents[2]
FAULT = {"bad", "suspect"}
# Two pairs that the labels leave out of the count.
FREE = {("failed_inspection", "sound"), ("failed_emissions", "sound")}


def table(name):
    with open(ROOT / "lexicon" / name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def forms(written):
    """`(a|b|)` multiplied out."""
    parts = re.split(r"\(([^)]*)\)", written)
    choices = [p.split("|") if i % 2 else [p] for i, p in enumerate(parts)]
    return {" ".join("".join(c).split()) for c in product(*choices)}


def plural(form):
    last = form.split(" ")[-1]
    if len(last) < 3 or last.endswith("s") or any(c.isdigit() for c in last):
        return None
    if last.endswith("y") and last[-2] not in "aeiou":
        return form[:-1] + "ies"
    return form + ("es" if last.endswith(("ch", "sh", "x")) else "s")


def joined(form):
    words = form.split(" ")
    return "".join(words) if len(words) == 2 and min(map(len, words)) > 2 else None


def fold(text):
    """The text as the phrases are written: lower case, no apostrophes, words
    parted at hyphens, `a/c` as `ac`; lines end sentences."""
    text = text.lower().replace("\u2019", "'").replace("\u2026", ",").replace("...", ",")
    text = re.sub(r"(?<=\w)'(?=\w)", "", text)
    text = re.sub(r"\b([a-z])/([a-z])\b", r"\1\2", text)
    text = re.sub(r"(?<=\w)-(?=\w)", " ", text)
    text = text.replace("&", " and ").replace("+", " plus ").replace("\n", " . ")
    text = re.sub(r"([.,;:!?()/*\"-])(?![\d])", r" \1 ", text)
    return " ".join(text.split())


def names():
    """Form -> (how it names, codes)."""
    written, derived = defaultdict(list), {}
    for row in table("phrases.csv"):
        codes = tuple(c for c in row["code"].split(";") if c)
        for form in forms(row["phrase"]):
            written[form].append((row["says"], codes))
            if row["says"] in {"noun", "subject", "fault"}:
                for other in (plural(form), joined(form)):
                    if other:
                        derived.setdefault(other, (row["says"], codes))
    out = dict(derived)
    for form, rows in written.items():
        codes = tuple(c for _, cs in rows for c in cs)
        out[form] = (rows[0][0], codes)
    return out


SIDES = {"after": "FORWARD", "before": "BACKWARD", "either": "BIDIRECTIONAL", "": "BIDIRECTIONAL"}
STATES = {"bad", "suspect", "renewed", "sound", "spare"}
ACTS = {"lacks": "LACKS", "negates": "NEGATES", "negates_all": "NEGATES", "hedges": "HEDGES",
        "unreal": "UNREAL", "past": "PAST"}


def cue_rules(reach):
    out = []
    for row in table("cues.csv"):
        act, side = row["act"], row["side"]
        if side == "heading":
            continue
        if act in STATES:
            category, direction = act.upper(), SIDES[side]
        elif act in ACTS:
            category = ACTS[act]
            direction = "BACKWARD" if side == "before" else "FORWARD"
        elif act == "border":
            category, direction = "BORDER", "TERMINATE"
        else:
            continue
        for form in forms(row["phrase"]):
            far = None if direction == "TERMINATE" else reach
            out.append(ConTextRule(form, category, direction=direction, max_scope=far))
    return out


def effect_rules(labels):
    """Each saying as a modifier of its subjects; a saying without a subject
    is found apart."""
    by_form = defaultdict(list)
    for row in table("effects.csv"):
        claims = [tuple(c.split(":")) for c in row["claims"].split(";") if c]
        for form in forms(row["phrase"]):
            by_form[form].append((row["subject"], claims))
    rules, lone = [], {}
    for form, rows in by_form.items():
        named = set()
        for subject, claims in rows:
            if subject == "nothing":
                lone[form] = claims
                continue
            codes = set(subject.split(";"))
            if subject == "any":
                allowed = {l for l in labels if not set(l.split(";")) & named}
            else:
                allowed = {l for l in labels if set(l.split(";")) & codes}
                named |= codes
            if allowed:
                rules.append(ConTextRule(form, "EFFECT", direction="BIDIRECTIONAL",
                                         allowed_types=allowed, max_scope=6, max_targets=1,
                                         metadata={"claims": claims}))
    return rules, lone


class Reader:
    def __init__(self, kinds, cues=False, reach=None, effects=False):
        self.cues = cues
        self.nlp = spacy.blank("en")
        self.nlp.tokenizer = spacy.tokenizer.Tokenizer(self.nlp.vocab)
        self.nlp.add_pipe("sentencizer", config={"punct_chars": [".", "!", "?"]})
        self.names = names()
        self.kinds = kinds
        self.matcher = PhraseMatcher(self.nlp.vocab)
        for form in self.names:
            self.matcher.add(form, [self.nlp.make_doc(form)])
        self.context = ConText(self.nlp, rules="default")
        self.lone = {}
        if cues:
            self.context.add(cue_rules(reach))
        if effects:
            labels = {";".join(codes) for _, codes in self.names.values() if codes}
            rules, self.lone = effect_rules(labels)
            self.context.add(rules)
            self.lone_matcher = PhraseMatcher(self.nlp.vocab)
            for form in self.lone:
                self.lone_matcher.add(form, [self.nlp.make_doc(form)])

    def read(self, text):
        doc = self.nlp(fold(text))
        spans = [Span(doc, s, e, label=";".join(self.names[doc.vocab.strings[k]][1]) or "none")
                 for k, s, e in self.matcher(doc)]
        doc.ents = spacy.util.filter_spans(spans)
        doc = self.context(doc)
        sayings, used = [], set()
        for ent in doc.ents:
            says, codes = self.names[ent.text]
            if says == "ignore":
                continue
            modifiers = list(ent._.modifiers)
            effects = [m for m in modifiers if m.category == "EFFECT"]
            states = [gap(m, ent) for m in modifiers if m.category.lower() in STATES]
            nearest = min(effects, key=lambda m: gap(m, ent), default=None)
            if nearest and says in {"noun", "subject"} and gap(nearest, ent) < min(states, default=99):
                used.add(nearest.modifier_span)
                turned = any(m.category in {"NEGATES", "LACKS", "NEGATED_EXISTENCE"} for m in modifiers)
                for what, state in nearest.rule.metadata["claims"]:
                    for code in codes if what == "subject" else [what]:
                        sayings.append((code, flip(state) if turned else state))
                continue
            for code in codes:
                state = self.state(ent, modifiers, says, code)
                if state:
                    sayings.append((code, state))
        if self.lone:
            taken = {i for s, e in used for i in range(s, e)} | {t.i for e in doc.ents for t in e}
            for key, start, end in self.lone_matcher(doc):
                if not taken & set(range(start, end)):
                    sayings += self.lone[doc.vocab.strings[key]]
        return settle(sayings, self.kinds)

    def state(self, ent, modifiers, says, code):
        symptom = self.kinds[code] == "symptom"
        noun = says in {"noun", "subject"}
        has = lambda *names: any(m.category in names for m in modifiers)
        if says == "subject" or has("UNREAL", "HYPOTHETICAL"):
            return None
        state = "bad" if says == "fault" else None if noun else says
        cues = [m for m in modifiers if m.category.lower() in STATES]
        if cues:
            cue = min(cues, key=lambda m: gap(m, ent)).category.lower()
            if noun:
                state = cue
            elif state in FAULT and cue in {"renewed", "suspect"}:
                state = cue
        elif noun and not self.cues:
            state = "bad"
        if has("NEGATES", "NEGATED_EXISTENCE"):
            state = flip(state)
        elif has("LACKS"):
            state = "bad" if noun else flip(state)
        if has("PAST", "HISTORICAL") and state in FAULT:
            return None
        if has("HEDGES", "POSSIBLE_EXISTENCE") and state in {None, "bad"}:
            state = "suspect"
        if symptom and state == "renewed":
            state = "sound"
        return None if symptom and state == "spare" else state


def gap(modifier, ent):
    start, end = modifier.modifier_span
    return max(start - ent.end, ent.start - end, 0)


def flip(state):
    return {"bad": "sound", "suspect": "sound", "sound": "bad"}.get(state)


def settle(sayings, kinds):
    """Broken then mended is renewed, mended then broken is bad, a denial of a
    symptom ends it, a spare stands beside."""
    kept = {}
    spare = set()
    for code, new in sayings:
        old = kept.get(code)
        if new == "spare":
            spare.add(code)
        elif old is None or (old, new) in {
            ("suspect", "bad"), ("bad", "renewed"), ("suspect", "renewed"), ("renewed", "bad"),
            ("sound", "renewed"), ("sound", "bad"), ("sound", "suspect"), ("suspect", "sound"),
        } or (old, new) == ("bad", "sound") and kinds[code] == "symptom":
            kept[code] = new
    return set(kept.items()) | {(c, "spare") for c in spare}


def own_reading(rows):
    program = os.environ.get("FIXWORTH", str(ROOT / "target/release/fixworth"))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ads.csv"
        with open(path, "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(["id", "title", "description", "price", "odometer", "year"])
            for r in rows:
                writer.writerow([r["id"], r["title_text"], r["body"], r["price_field"],
                                 r["odometer_field"], r["year_field"]])
        done = subprocess.run([program, "read", str(path), "--format", "jsonl"],
                              capture_output=True, text=True, check=True)
    read = {}
    for line in filter(None, done.stdout.splitlines()):
        o = json.loads(line)
        read[o["id"]] = {(c["part"], c["says"]) for c in o["claims"]}
    return [read.get(str(r["id"]), set()) for r in rows]


VIEWS = {
    "all": lambda s: s,
    "fault": lambda s: {c for c in s if c[1] in FAULT},
    "named": lambda s: {c[0] for c in s},
}


def counts(read, gold):
    """Per ad and view: right, extra, missed."""
    out = []
    for r, g in zip(read, gold):
        r, g = r - FREE, g - FREE
        row = {}
        for view, take in VIEWS.items():
            a, b = take(r), take(g)
            row[view] = (len(a & b), len(a - b), len(b - a))
        out.append(row)
    return out


def f1(rows, view):
    tp, fp, fn = (sum(r[view][i] for r in rows) for i in range(3))
    return 2 * tp / (2 * tp + fp + fn) if tp else 0.0


def bars(rows, view, draws):
    values = sorted(f1([rows[i] for i in draw], view) for draw in draws)
    return values[len(values) * 25 // 1000], values[len(values) * 975 // 1000 - 1]


def main():
    with open(ROOT / "samples/labelled/practice.jsonl", encoding="utf-8") as file:
        rows = [json.loads(line) for line in file if line.strip()]
    rows = [r for r in rows if r["gold"]["kind"] == "car"]
    gold = [{(c["part"], c["says"]) for c in r["gold"]["claims"]} for r in rows]
    kinds = {r["code"]: r["kind"] for r in table("parts.csv")}
    chance = random.Random(2009)
    draws = [chance.choices(range(len(rows)), k=len(rows)) for _ in range(1000)]
    settings = {
        "own rules": {},
        "cues": {"cues": True},
        "cues, 8": {"cues": True, "reach": 8},
        "cues, 4": {"cues": True, "reach": 4},
        "cues, 2": {"cues": True, "reach": 2},
        "effects": {"cues": True, "effects": True},
    }
    print(f"python {sys.version.split()[0]}, spacy {version('spacy')}, medspacy {version('medspacy')}")
    print(f"{len(rows)} ads that offer a car, {sum(map(len, gold))} claims; F1 (95 % of 1000 resamples)")
    scored = {}
    for name, setting in settings.items():
        reader = Reader(kinds, **setting)
        scored[name] = counts([reader.read(f"{r['title_text']}\n{r['body']}") for r in rows], gold)
    scored["fixworth"] = counts(own_reading(rows), gold)
    for name, per_ad in scored.items():
        cells = []
        for view in VIEWS:
            low, high = bars(per_ad, view, draws)
            cells.append(f"{view} {f1(per_ad, view):.3f} ({low:.3f}-{high:.3f})")
        print(f"{name:10}  " + "  ".join(cells))
    # On the same resamples: how much the program is ahead of the best setting.
    cells = []
    for view in VIEWS:
        best = max((n for n in settings), key=lambda n: f1(scored[n], view))
        ahead = sorted(f1([scored["fixworth"][i] for i in d], view)
                       - f1([scored[best][i] for i in d], view) for d in draws)
        cells.append(f"{view} {f1(scored['fixworth'], view) - f1(scored[best], view):+.3f} "
                     f"({ahead[25]:+.3f} to {ahead[974]:+.3f}) over '{best}'")
    print("ahead       " + "  ".join(cells))


if __name__ == "__main__":
    main()
