//! Which phrases of an ad become items, and which are hidden by those beside them.

use super::*;

/// Whether the scope of cues is worked out over this phrase. Names of
/// vehicles and words beside numbers are plain words here.
pub(in crate::reading) fn has_scope(m: &Meaning) -> bool {
    if m.open {
        return false;
    }
    // What is said of driving is opaque, so that praise in it stays there; the
    // engine that is strong and the odometer that broke speak of parts.
    let opaque = m.signs.iter().any(|s| match s.field {
        SignField::Gearbox
        | SignField::Kind
        | SignField::Distance
        | SignField::MilesBasis
        | SignField::Aside => false,
        SignField::Moves => s.value == "drives",
        _ => true,
    });
    !m.named.is_empty()
        || !m.senses.is_empty()
        || m.heading.is_some()
        || m.cue.is_some()
        || !m.effects.is_empty()
        || m.decoy
        || opaque
}

/// Whether a phrase says nothing but as a heading.
pub(in crate::reading) fn only_heads(m: &Meaning) -> bool {
    m.heading.is_some() && m.cue.is_none() && m.named.is_empty() && m.effects.is_empty() && !m.decoy
}

/// Whether a heading may stand here: first in its sentence or line, or right
/// before a colon or a dash.
fn may_head(tokens: &Tokens, hit: &Hit) -> bool {
    let ends = |kind: TokenKind| {
        matches!(
            kind,
            TokenKind::Line
                | TokenKind::Blank
                | TokenKind::Sign(b'.' | b'!' | b'?' | b':' | b'-' | b'*' | b';')
        )
    };
    let before = (hit.first as usize).checked_sub(1);
    before.is_none_or(|t| ends(tokens.list[t].kind))
        || tokens
            .list
            .get(hit.last as usize + 1)
            .is_some_and(|t| matches!(t.kind, TokenKind::Sign(b':' | b'-') | TokenKind::Line))
        // `struts are junk, in the last two years: ...`
        || before_a_colon(tokens, hit)
}

/// Whether two words or figures at most, and then a colon, stand behind this: `all in
/// the past 5k miles: ...`.
fn before_a_colon(tokens: &Tokens, hit: &Hit) -> bool {
    let behind = tokens.list.iter().skip(hit.last as usize + 1).take(3);
    behind
        .map(|t| t.kind)
        .find(|kind| !matches!(kind, TokenKind::Word | TokenKind::Number))
        == Some(TokenKind::Sign(b':'))
}

/// Whether a phrase of more words begins inside this one and ends behind it:
/// in `no power steering leaks`, `power steering leaks` counts and not
/// `no power`. So does a part's whole name that begins with the last word of
/// a saying: in `cracked head light`, `head light` and not `cracked head`.
/// A phrase that is itself overtaken overtakes nothing: in `may need a new oil
/// pan`, `new oil` does not. `behind` are the hits that begin behind its first
/// word.
fn overtaken(behind: &[Hit], hit: &Hit, words: &[WordId], scanner: &Scanner<'_>) -> bool {
    behind
        .iter()
        .enumerate()
        .take_while(|(_, h)| h.first <= hit.last)
        .filter(|(_, h)| h.last > hit.last && h.marks.scope())
        // `packed in last week`
        .filter(|(_, h)| !(h.first == hit.last && dates_saying(scanner, h, hit)))
        .any(|(n, h)| {
            let shared = h.first == hit.last;
            let (longer, own) = (scanner.brief(h.meaning), scanner.brief(hit.meaning));
            let hidden = h.width() > hit.width()
                && !(shared && ends_name(behind, [hit, h], words, scanner))
                || shared
                    && !hit.marks.decoy()
                    && (hides(longer, own)
                        || after_a_side(behind, [hit, h], words, scanner)
                        || told_by_a_cue(behind, [hit, h], words, scanner));
            hidden
                && !(shared && named_without(behind, h, scanner))
                && !overtaken(later(&behind[n + 1..], h), h, words, scanner)
        })
}

/// The hits among these that begin behind the first word of this one.
fn later<'h>(hits: &'h [Hit], hit: &Hit) -> &'h [Hit] {
    let from = hits.iter().position(|h| h.first > hit.first);
    &hits[from.unwrap_or(hits.len())..]
}

/// Whether a saying begins with the last word of a part's whole name, and so
/// speaks of that part and not of the one that the word means by itself:
/// `blower motor gave out`. (`rear window wont roll up`: the window's motor.)
fn ends_name(
    behind: &[Hit],
    [name, saying]: [&Hit; 2],
    words: &[WordId],
    scanner: &Scanner<'_>,
) -> bool {
    let alone = |h: &&Hit| h.first == name.last && h.last == name.last;
    // `throttle body is great`: what only looks like a part hides none.
    let told = saying.marks.decoy()
        || behind.iter().find(alone).is_some_and(|word| {
            of_one_part(word, saying, scanner) && !of_one_part(word, name, scanner)
        });
    name.width() > 1
        && names_part(name, scanner)
        && !names_part(saying, scanner)
        && told
        && !begins_with_side(name, words, scanner)
}

/// Whether a phrase names a part.
fn names_part(hit: &Hit, scanner: &Scanner<'_>) -> bool {
    scanner.brief(hit.meaning).names_part
}

/// Whether two phrases name a part in common.
fn of_one_part(a: &Hit, b: &Hit, scanner: &Scanner<'_>) -> bool {
    let (a, b) = (&scanner.meaning(a).named, &scanner.meaning(b).named);
    a.iter().any(|a| b.iter().any(|b| a.part == b.part))
}

/// Whether the first of two names is a side and the word that they share: in
/// `lower end links` and `rear end links`, `end links`.
fn after_a_side(
    behind: &[Hit],
    [hit, name]: [&Hit; 2],
    words: &[WordId],
    scanner: &Scanner<'_>,
) -> bool {
    names_part(hit, scanner)
        && names_part(name, scanner)
        && begins_with_side(hit, words, scanner)
        // `rear window glass`: both words name it.
        && !(of_one_part(hit, name, scanner) && behind.iter().any(|h| {
            h.first > name.first && h.last <= name.last && scanner.brief(h.meaning).names
        }))
}

/// Whether the first of two phrases is a cue and the part with which the second,
/// a fault's name, begins: in `no engine knock`, `new oil leak`.
fn told_by_a_cue(
    behind: &[Hit],
    [told, fault]: [&Hit; 2],
    words: &[WordId],
    scanner: &Scanner<'_>,
) -> bool {
    let naming = |h: &Hit, of: fn(Naming) -> bool| {
        let named = &scanner.meaning(h).named;
        !named.is_empty() && named.iter().all(|n| of(n.naming))
    };
    let alone = |h: &Hit| h.first == fault.first && h.last == fault.first;
    let part = |h: &&Hit| alone(h) && names_part(h, scanner);
    let other = |act| matches!(act, Act::Lacks | Act::State(_)) && act != Act::State(Says::Bad);
    told.width() == 2
        && naming(told, |n| matches!(n, Naming::States(_)))
        && naming(fault, |n| n == Naming::Fault)
        && first_cue(told, words, scanner).is_some_and(|cue| other(cue.act))
        && behind.iter().any(|h| part(&h))
}

/// What the first word of a phrase does by itself.
fn first_cue(hit: &Hit, words: &[WordId], scanner: &Scanner<'_>) -> Option<Cue> {
    let first = hit.first as usize;
    scanner.phrase_at(words.get(first..=first)?)?.meaning.cue
}

/// Whether a phrase is a side and one word more.
fn begins_with_side(hit: &Hit, words: &[WordId], scanner: &Scanner<'_>) -> bool {
    let small = |cue: Cue| matches!(cue.act, Act::Side | Act::Modifier);
    hit.width() == 2 && first_cue(hit, words, scanner).is_some_and(small)
}

/// Whether a name's first word is small, and the rest of it a name as well: in
/// `stole the fuel pump` the saying takes the article.
fn named_without(behind: &[Hit], name: &Hit, scanner: &Scanner<'_>) -> bool {
    let near = || behind.iter().take_while(|h| h.first <= name.first + 1);
    let rest = |h: &Hit| h.first == name.first + 1 && h.last == name.last && names_part(h, scanner);
    let small = |h: &Hit| {
        let brief = scanner.brief(h.meaning);
        h.first == name.first && h.last == name.first && brief.cue.is_some() && !brief.names
    };
    names_part(name, scanner) && near().any(rest) && near().any(small)
}

/// Whether this tells when what the other says was so.
fn dates_saying(scanner: &Scanner<'_>, date: &Hit, saying: &Hit) -> bool {
    let act = |h: &Hit| scanner.brief(h.meaning).cue.map(|c| c.act);
    act(date) == Some(Act::Dates) && matches!(act(saying), Some(Act::State(_)))
}

/// Whether a name hides the saying that ends with its first word: a part's name
/// hides all that is no part's, a fault's only what names nothing.
fn hides(name: Brief, saying: Brief) -> bool {
    name.names_part && !saying.names_part || name.names && !saying.names && saying.cue.is_some()
}

/// How many items the last sentence has, as far as a name may reach.
fn items_of_sentence(items: &[Item]) -> usize {
    let within = |i: &&Item| !matches!(i.kind, ItemKind::End(_) | ItemKind::Blank);
    let last = items.iter().rev().take(NAME_BEFORE_DASH);
    last.take_while(within).count()
}

/// Lines at least this long may be wrapped by the writer's mail program; then
/// a small letter goes on with the sentence.
const WRAPPED: u32 = 50;

/// Whether the text below the headline begins with a small letter: where its
/// writer begins sentences so, small letters tell of no line that goes on.
fn begins_small(text: &str) -> bool {
    let body = text.split_once('\n').map_or("", |(_, body)| body);
    let first = body.chars().find(|c| c.is_alphabetic());
    first.is_some_and(char::is_lowercase)
}

/// Whether an item goes on with what follows it: `new Bosch plugs`, `the
/// Getrag gearbox`.
fn awaits_more(item: Option<&Item>, scanner: &Scanner<'_>) -> bool {
    let cue = match item.map(|i| (i.kind, i.meaning)) {
        Some((ItemKind::Phrase(_), meaning)) => scanner.brief(meaning).cue,
        _ => None,
    };
    cue.is_some_and(|c| c.side != Side::Before)
}

/// Makes the items of a text.
pub fn build(ad: Ad<'_>, hits: &[Hit], scanner: &Scanner<'_>, out: &mut Vec<Item>) {
    let Ad {
        text,
        tokens,
        words,
    } = ad;
    out.clear();
    let mut behind = hits;
    let mut phrases = leftmost_longest(hits, |h| {
        if !h.marks.scope() || h.marks.heads() && !may_head(tokens, h) {
            return false;
        }
        while behind.first().is_some_and(|next| next.first <= h.first) {
            behind = &behind[1..];
        }
        !overtaken(behind, h, words, scanner)
    })
    .peekable();
    let mut at = 0;
    let mut line_start = 0;
    let capitals = Capitals::of(tokens, text);
    let small = begins_small(text);
    let separators = separators(tokens, text);
    while at < tokens.list.len() {
        if let Some(hit) = phrases.next_if(|h| h.first as usize == at) {
            if capitals.begin_sentence(at) && !awaits_more(out.last(), scanner) {
                out.push(Item {
                    kind: ItemKind::End(b'.'),
                    first: hit.first - 1,
                    last: hit.first - 1,
                    meaning: 0,
                });
            }
            out.push(Item {
                kind: ItemKind::Phrase(hit.phrase),
                first: hit.first,
                last: hit.last,
                meaning: hit.meaning,
            });
            at = hit.last as usize + 1;
            continue;
        }
        let token = &tokens.list[at];
        let kind = match token.kind {
            TokenKind::Word => ItemKind::Word,
            TokenKind::Number => ItemKind::Number,
            TokenKind::Blank => {
                line_start = token.source.1;
                ItemKind::Blank
            }
            TokenKind::Line => {
                let long = token.source.0 - line_start >= WRAPPED && !small;
                line_start = token.source.1;
                let goes_on = text[token.source.1 as usize..]
                    .chars()
                    .next()
                    .is_some_and(char::is_lowercase);
                if long && goes_on {
                    at += 1;
                    continue;
                }
                ItemKind::End(b'\n')
            }
            TokenKind::Sign(s @ (b'.' | b'!' | b'?')) => ItemKind::End(s),
            TokenKind::Sign(_) if capitals.parts_sentences(at, || items_of_sentence(out)) => {
                ItemKind::End(b'.')
            }
            TokenKind::Sign(_) if separators.binary_search(&at).is_ok() => ItemKind::End(b'.'),
            TokenKind::Sign(s) => ItemKind::Sign(s),
        };
        out.push(Item {
            kind,
            first: at as u32,
            last: at as u32,
            meaning: 0,
        });
        at += 1;
    }
}
