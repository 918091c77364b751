"""Writes tests/data/quantities.csv: what quantulum3 reads in plain strings of
numbers with units, of the kinds that ads hold. tests/quantities.rs holds the
reading of numbers to it. Where the program reads otherwise on purpose, the row
carries the reason and the program's value and unit.

Needs quantulum3 (pip install quantulum3); without it it says so and exits with
status 3. Run from the project's root; prints the counts.
"""

import csv
import sys
import warnings
from collections import Counter
from importlib.metadata import version

warnings.filterwarnings("ignore")
try:
    from quantulum3 import parser
except ImportError as missing:
    print(missing, file=sys.stderr)
    sys.exit(3)

PLAIN = """
187,000 miles|214000 km|1 mile|148,000 miles on it|96,500 miles|101000 miles|63,250 mi|88000 mi|142,317 miles
1,850 miles|205,118 km|312000 km|99,999 km|160,000 kilometres|75,000 kilometers|240000 kilometers|12,400 km
7,000 miles|350000 miles|221,000 miles and counting|about 150,000 miles|only 43,000 miles|over 200,000 km
just under 90,000 miles|nearly 130,000 kilometres|odometer shows 118,204 miles|132,000 miles, one owner
$1,850|$900|$2500|$12,995|$450 obo|$3,200 firm|asking $1,100|$650 cash|$7,450|$800 or best offer|$1,999.00
$2,450.50|$75|$999|$10,000|$1,200 takes it|price is $2,750|reduced to $1,600|$3000 or trade|I want $1,450 for it
£900|£1,250 ono|£450|£2,995|£695 or near offer|asking £1,800|£350 no offers|£1,100.00|€1,500|€950|€2,300 ono|€12,000
1,200 dollars|900 dollars|2500 dollars or best offer|450 dollars cash|3,750 dollars|1000 euros|1,850 euros
twenty two hundred dollars|eighteen hundred dollars|two thousand dollars|three thousand five hundred dollars
nine hundred dollars|fifteen hundred dollars|twelve hundred dollars|four thousand dollars|six hundred dollars
twenty-five hundred dollars|seven hundred fifty dollars|two thousand five hundred dollars|ten thousand dollars
one thousand two hundred dollars|one hundred thousand miles|one hundred fifty thousand miles
two hundred thousand miles|ninety thousand miles|eighty-five thousand miles|sixty thousand kilometres
seventy-five thousand miles|two hundred ten thousand kilometres|thirty thousand miles|three hundred thousand km
one hundred and twenty thousand miles|forty thousand miles|one thousand miles
58 thousand miles|187 thousand miles|120 thousand km|90 thousand miles|200 thousand kilometres|45 thousand dollars
187k miles|98K miles|176 k miles|61000mi|134k miles|88k miles|205k miles|112500mi
163,000 miles on original engine|had 120,000 miles when bought|needs 2,000 dollars of work|good for 50,000 miles
$350 for the set|$40 each|worth $5,000|paid $6,200|new tires at 91,000 miles|belt changed at 160000 km
1.8 litre|2.5 liter|5.9 litre|3.4 litre|2.0 litre turbo|4 litres of oil|5 quarts of oil|1.5 gallons|2.2 liter engine
70 mph|150 hp|35 psi|12 volts|100 amps|15 inch|17 inches|6 feet|1500 lbs|45 minutes|3 hours|2 years|6 months|10 days
4 doors|4 cylinders|2 owners|5 speed|3 sets|3 weeks|16 inches|205 hp|55 mph|80 percent|14 volts|7 passengers
$1.5k|$2k|$3.5k|$12k|£2k|£1.2k|$8.5k|$4k|$1 850|214 000 km|148 000 miles
"""

# Text, why the program reads it otherwise, its value, its unit.
DIFFER = {
    "a k is a thousand of what the number counts": [
        ("58k mi", 58000, "mile"), ("120k km", 120000, "km"),
        ("187k", 187000, ""), ("2.5k", 2500, ""),
        ("210k kms", 210000, "km"), ("67k original miles", 67000, "mile"), ("asking 3k", 3000, "money"),
        ("1.2k obo", 1200, "money"), ("143k on the clock", 143000, "mile"), 
    ],
    "letters glued to digits are a unit of distance": [
        ("98000kms", 98000, "km"), ("88000mls", 88000, "mile"),
        ("214000 kms", 214000, "km"), ("120000 klms", 120000, "km"),
    ],
    "hidden digits stand for the middle of their range": [
        ("187,xxx miles", 187500, "mile"), ("187xxx", 187500, ""), ("98,*** miles", 98500, "mile"),
        ("214 xxx km", 214500, "km"), ("1xx,xxx miles", 150000, "mile"),
    ],
    "grand and thou are a thousand": [
        ("2 grand", 2000, ""), ("three grand", 3000, "money"), ("80 thou miles", 80000, "mile"),
        ("about 4 grand", 4000, ""),
    ],
    "prices are said without hundred": [
        ("asking twenty-two fifty", 2250, "money"), ("nine fifty obo", 950, "money"),
        ("twelve fifty firm", 1250, "money"),
    ],
    "the word beside a bare figure says that it is a price": [
        ("asking eighteen hundred", 1800, "money"), ("asking two thousand", 2000, "money"),
        ("asking nine hundred", 900, "money"), ("sixteen hundred firm", 1600, "money"),
        ("asking 1850", 1850, "money"), ("900 obo", 900, "money"), ("1200 firm", 1200, "money"),
    ],
    "pounds are money": [
        ("800 pounds", 800, "money"), ("450 pounds ono", 450, "money"),
    ],
    "no k where a word begins with it": [
        ("2 keys", 2, ""), ("4 keys", 4, ""),
    ],
    "words for small numbers are no figure": [
        ("two owners", None, ""), ("one of five", None, ""), ("three keys", None, ""),
        ("four new tires", None, ""), ("half a tank", None, ""),
    ],
}

UNITS = {"dollar": "money", "pound sterling": "money", "euro": "money", "mile": "mile", "kilometre": "km"}


def read(text):
    found = parser.parse(text)
    if not found:
        return "", ""
    return f"{found[0].value:.10g}", UNITS.get(found[0].unit.name, "")


def main():
    rows = [(text, "", "", "") for line in PLAIN.split("\n") for text in line.split("|") if text]
    for why, texts in DIFFER.items():
        rows += [(text, why, "" if value is None else value, unit) for text, value, unit in texts]
    out = []
    for text, why, value, unit in rows:
        out.append([text, *read(text), why, value, unit])
    with open("tests/data/quantities.csv", "w", newline="", encoding="utf-8") as file:
        file.write(f"# Made by tests/oracles/quantities.py with quantulum3 {version('quantulum3')}. value, unit: what it\n"
                   "# reads first in the text (money, mile, km; another or no unit is empty). differs: why the\n"
                   "# program reads otherwise on purpose; ours, our_unit: what it reads then.\n")
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["text", "value", "unit", "differs", "ours", "our_unit"])
        writer.writerows(out)
    print(len(out), "strings")
    for why, count in Counter(r[3] or "held to" for r in out).most_common():
        print(count, why)


if __name__ == "__main__":
    main()
