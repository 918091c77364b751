//! Sound cars of the batch as comparables.

use super::estimate::{Comparable, PriceBasis};
use crate::lexicon::light_faults::LightFaults;
use crate::reading::{AskBasis, Kind, Moves, Reading, Title, Vague};

impl Comparable {
    /// A car of the batch whose ask tells what sound cars cost: a whole car
    /// that drives or is not said not to, with clean or unstated papers, of
    /// known make, model and year, with a price that is meant, and with no
    /// fault that weighs stated, suspected or hinted at. `None` for any other.
    ///
    /// The price is the ask as it stands; the caller takes off what is usually
    /// given.
    pub fn from_reading(
        reading: &Reading,
        class: Option<&str>,
        light: &LightFaults,
    ) -> Option<Comparable> {
        let is_price = matches!(
            reading.ask_basis,
            AskBasis::Plain | AskBasis::Negotiable | AskBasis::Firm
        );
        let sound = reading.kind == Kind::Car
            && is_price
            && matches!(reading.moves, Moves::Drives | Moves::Unstated)
            && matches!(reading.title, Title::Clean | Title::Unstated)
            && !reading.vague.iter().any(|(v, _)| hints_at_faults(*v))
            && reading
                .claims
                .iter()
                .all(|c| !c.says.is_fault() || light.contains(c.part));
        if !sound {
            return None;
        }
        Some(Comparable {
            make: reading.make.clone()?,
            model: reading.model.clone()?,
            class: class.map(str::to_owned),
            year: reading.year?,
            miles: reading.miles,
            price: reading.ask?,
            basis: PriceBasis::Asked,
            dated: None,
            body: None,
            engine: None,
        })
    }
}

/// Vague words behind which a fault stands; the others are manners of selling.
fn hints_at_faults(vague: Vague) -> bool {
    match vague {
        Vague::NeedsWork
        | Vague::UnnamedFault
        | Vague::CheapFix
        | Vague::MechanicSpecial
        | Vague::Stale => true,
        Vague::AsIs | Vague::ThirdHand | Vague::Pressure | Vague::NoCheck => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::ListingId;
    use crate::lexicon::Lexicon;
    use crate::reading::{Claim, Says};
    use crate::units::{Miles, ModelYear, Money};

    fn sound() -> Reading {
        Reading {
            year: Some(ModelYear(2008)),
            make: Some("Mazda".to_owned()),
            model: Some("3".to_owned()),
            ask: Some(Money::whole(4200)),
            ask_basis: AskBasis::Negotiable,
            miles: Some(Miles(120_000)),
            moves: Moves::Drives,
            title: Title::Clean,
            ..Reading::unread(ListingId("1".to_owned()))
        }
    }

    fn with_claim(code: &str, says: Says) -> Option<Comparable> {
        let lexicon = Lexicon::built_in().unwrap();
        let mut reading = sound();
        let part = lexicon.parts.find(code).unwrap();
        reading.claims.push(Claim::new(part, says));
        Comparable::from_reading(&reading, Some("compact"), &lexicon.light_faults)
    }

    #[test]
    fn a_sound_car_serves_and_keeps_its_facts() {
        let car = with_claim("head_gasket", Says::Renewed).unwrap();
        assert_eq!(car.price, Money::whole(4200));
        assert_eq!((car.make.as_str(), car.model.as_str()), ("Mazda", "3"));
        assert_eq!(car.class.as_deref(), Some("compact"));
    }

    #[test]
    fn faults_that_weigh_keep_a_car_out_and_light_ones_do_not() {
        assert_eq!(with_claim("head_gasket", Says::Bad), None);
        assert_eq!(with_claim("slips", Says::Suspect), None);
        assert!(with_claim("dent", Says::Bad).is_some());
    }

    #[test]
    fn papers_price_moves_and_vague_words_keep_a_car_out() {
        let light = Lexicon::built_in().unwrap().light_faults;
        let spoil: [fn(&mut Reading); 8] = [
            |r| r.kind = Kind::Parts,
            |r| r.ask_basis = AskBasis::Placeholder,
            |r| r.moves = Moves::RunsOnly,
            |r| r.title = Title::Salvage,
            |r| r.year = None,
            |r| r.make = None,
            |r| r.ask = None,
            |r| {
                let evidence = crate::reading::Evidence {
                    range: 0..0,
                    rule: String::new(),
                };
                r.vague.push((Vague::NeedsWork, evidence));
            },
        ];
        for (i, spoil) in spoil.iter().enumerate() {
            let mut reading = sound();
            spoil(&mut reading);
            assert_eq!(
                Comparable::from_reading(&reading, None, &light),
                None,
                "{i}"
            );
        }
    }
}
