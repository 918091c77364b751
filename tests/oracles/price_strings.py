"""Makes tests/data/price_strings.csv: plain price strings with the amount that the package price-parser reads.

    pip install price-parser==0.5.1
    python tests/oracles/price_strings.py > tests/data/price_strings.csv

Columns: text; amount (empty where price-parser finds none).
"""
import csv
import itertools
import sys

from price_parser import Price

AMOUNTS = ["1", "45", "250", "999", "1850", "1,850", "1 850", "1,850.00", "1.850,00", "850.50", "12,500", "12.500",
           "1,850.5", "0", "1'850", "123,456", "1,234,567"]
FRAMES = ["{}", "${}", "$ {}", "£{}", "€{}", "{}$", "{} €", "{} USD", "US$ {}", "CAD {}", "{} NZD", "AU${}", "Asking {}",
          "Price: {}"]
ODD = ["free", "ask", "make offer", "", "$", "2.5k", "$3K", "1.8k obo", "£2k", "1500 or 1400", "$1200 was $1500", "call", "n/a", "-",
       "$ 950 firm", "900 obo", "£1,195 ono", "EUR 700", "1.5", "$1,5", "$1,85", "USD 2,000.00", "2000.-", "£950.-",
       "$1,000,000.00"]
out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["text", "amount"])
for text in [f.format(a) for a, f in itertools.product(AMOUNTS, FRAMES)] + ODD:
    amount = Price.fromstring(text).amount
    out.writerow([text, "" if amount is None else amount])
