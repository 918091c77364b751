//! What is asked for the car, and how it is meant.

use super::*;

impl Reader<'_> {
    pub(super) fn price(&self, reading: &mut Reading, page: &Page<'_>, scratch: &Scratch) {
        let ask = price::read(
            page.listing.price.as_deref(),
            &scratch.roles,
            (page.tokens, page.headline),
            &page.signs.ask_basis,
            page.news,
        );
        let cell = page.listing.price.as_deref();
        let no_cell = cell.is_none_or(|c| price::of_cell(c).is_some_and(price::is_placeholder));
        let ask = match ask.basis {
            AskBasis::None | AskBasis::Placeholder if no_cell => {
                let named = |at: usize| page.names.iter().any(|n| n.first <= at && at <= n.last);
                let text = (page.tokens, page.headline);
                // `350 motor`, `3800 V6`
                let held =
                    |at: usize| named(at) || named(at + 1) || self.part_begins(at + 1, scratch);
                price::closes_headline(&scratch.roles, text, named)
                    .or_else(|| price::in_plain_words(&scratch.roles, text, held))
                    .or_else(|| price::opens_a_clause(&scratch.roles, text, held))
                    .or_else(|| price::like_a_year(&scratch.roles, page.tokens, reading.year))
                    .unwrap_or(ask)
            }
            _ => ask,
        };
        let ask = self.price_of_own(ask, reading, page, scratch);
        reading.ask = ask.amount.and_then(Decimal::from_f64).map(Money::new);
        reading.ask_basis = ask.basis;
        page.note(reading, "ask", ask.tokens, "price asked");
        if ask.basis == AskBasis::Plain
            && let Some(basis) = self
                .basis_in_cell(page.listing.price.as_deref())
                .or_else(|| self.basis_glued(ask.tokens, page, scratch))
        {
            reading.ask_basis = basis;
        } else if ask.basis == AskBasis::Plain
            && let Some(sign) = basis_beside(ask.amount, page, scratch)
                .or_else(|| signs::ask_basis(page.signs, ask.tokens, page.news, page.tokens))
        {
            reading.ask_basis = sign.value;
            page.note(
                reading,
                "ask_basis",
                Some(sign.tokens),
                page.words(sign.tokens),
            );
        }
        reading.currency = page.currency();
    }

    /// Of several cars in one ad each has its own price; the column's goes
    /// before.
    fn price_of_own(
        &self,
        ask: price::Ask,
        reading: &mut Reading,
        page: &Page<'_>,
        scratch: &Scratch,
    ) -> price::Ask {
        let (roles, tokens) = (&scratch.roles, page.tokens);
        let (prices, _) =
            price::candidates(None, roles, tokens, page.headline, &page.signs.ask_basis);
        let vehicles = &self.lexicon.vehicles;
        let offers = several::find(
            roles,
            tokens,
            page.names,
            &prices,
            vehicles,
            &page.signs.several,
            page.headline,
        );
        if offers.is_empty() {
            return ask;
        }
        let own = several::own(&offers, reading);
        reading.warnings.push(several::warning(&offers, own));
        match own.and_then(|own| own.price) {
            Some((value, at)) if page.listing.price.is_none() => price::Ask {
                amount: Some(value),
                basis: AskBasis::Plain,
                tokens: Some(at),
            },
            _ => ask,
        }
    }

    /// Whether the price column says how the price is meant.
    pub(super) fn basis_in_the_cell(&self, page: &Page<'_>) -> bool {
        self.basis_in_cell(page.listing.price.as_deref()).is_some()
    }

    /// How the price is meant, where the price column itself says so:
    /// `1,500 obo`.
    fn basis_in_cell(&self, cell: Option<&str>) -> Option<AskBasis> {
        let cell = cell.filter(|c| c.bytes().any(|b| b.is_ascii_alphabetic()))?;
        let mut tokens = Tokens::default();
        tokens.fill(cell);
        let mut hits = Vec::new();
        self.scanner.scan(&mut tokens, &mut Vec::new(), &mut hits);
        let signs = signs::gather(&hits, &tokens, &self.scanner);
        signs.ask_basis.first().map(|f| f.value)
    }

    /// How the price is meant, where the word is glued to the figure:
    /// `1400obo`.
    fn basis_glued(
        &self,
        price: Option<(usize, usize)>,
        page: &Page<'_>,
        scratch: &Scratch,
    ) -> Option<AskBasis> {
        let at = price?;
        let number = scratch.numbers.iter().find(|n| n.tokens == at)?;
        let tail = page.tokens.word(at.1).get(number.tail..)?;
        let signs = &self.scanner.find(tail)?.meaning.signs;
        let sign = signs.iter().find(|s| s.field == SignField::AskBasis)?;
        AskBasis::of_word(&sign.value)
    }
}

/// How the price is meant, as the words right behind it tell, wherever it stands.
fn basis_beside<'p>(
    price: Option<f64>,
    page: &Page<'p>,
    scratch: &Scratch,
) -> Option<&'p signs::Found<AskBasis>> {
    let price = price?;
    page.signs.basis_beside.iter().find(|sign| {
        let same = |n: &&Number| (n.value - price).abs() < 0.5;
        let mut numbers = scratch.numbers.iter().filter(same);
        numbers.any(|n| signs::behind(n.tokens.1, sign.tokens.0, 1, page.tokens))
    })
}
