//! The values that the keys of a reading take, each with its word in the
//! contract.

use serde::{Deserialize, Serialize};

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[derive(schemars::JsonSchema)]
        pub enum $name { $($(#[$vdoc])* #[serde(rename = $word)] $variant),* }

        impl $name {
            /// All values in order.
            pub const ALL: &'static [$name] = &[$($name::$variant),*];

            /// The word printed for it and used in tables.
            pub const fn word(self) -> &'static str {
                match self { $($name::$variant => $word),* }
            }

            /// The value of a word.
            pub fn of_word(word: &str) -> Option<Self> {
                match word { $($word => Some($name::$variant),)* _ => None }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }
    };
}

words! {
    /// What is offered.
    Kind {
        /// One whole vehicle.
        Car = "car",
        /// Parts, wheels, a manual, or a car sold only for its parts.
        Parts = "parts",
        /// Wanted, a service, another thing.
        Other = "other",
    }
}

words! {
    /// How the price is meant.
    AskBasis {
        /// A price and no more.
        Plain = "plain",
        /// Or best offer.
        Negotiable = "negotiable",
        /// Not a unit less.
        Firm = "firm",
        /// A figure that is no price.
        Placeholder = "placeholder",
        /// Only a down payment or a rate is named.
        Deposit = "deposit",
        /// No figure.
        None = "none",
    }
}

words! {
    /// How the distance is known.
    MilesBasis {
        /// All digits are given.
        Stated = "stated",
        /// To the nearest thousand or so.
        Rounded = "rounded",
        /// Digits are hidden; the middle of the range is taken.
        Masked = "masked",
        /// The figure shown may be wrong.
        Doubted = "doubted",
        /// Not given.
        None = "none",
    }
}

words! {
    /// The papers.
    Title {
        /// Clean.
        Clean = "clean",
        /// Salvage, or a UK write-off category.
        Salvage = "salvage",
        /// Rebuilt after salvage.
        Rebuilt = "rebuilt",
        /// A lender still has a claim.
        Lien = "lien",
        /// Lost or never handed over.
        Missing = "missing",
        /// Sold on a bill of sale.
        BillOfSale = "bill_of_sale",
        /// May never be registered again.
        Junk = "junk",
        /// Not said.
        Unstated = "unstated",
    }
}

words! {
    /// Whether it moves.
    Moves {
        /// Runs and drives.
        Drives = "drives",
        /// The engine runs but the car does not or should not move.
        RunsOnly = "runs_only",
        /// The engine does not run.
        NoStart = "no_start",
        /// Not said.
        Unstated = "unstated",
    }
}

words! {
    /// The gearbox.
    Gearbox {
        /// Manual.
        Manual = "manual",
        /// Automatic.
        Automatic = "automatic",
        /// Continuously variable.
        Cvt = "cvt",
        /// Not said.
        Unstated = "unstated",
    }
}

words! {
    /// What the seller says of a part or symptom.
    Says {
        /// Broken, worn, missing, to be done; a symptom: it is there.
        Bad = "bad",
        /// It may be.
        Suspect = "suspect",
        /// Replaced, rebuilt, repaired, new.
        Renewed = "renewed",
        /// Works, is good, is not there.
        Sound = "sound",
        /// A replacement comes along, not fitted.
        Spare = "spare",
    }
}

impl Says {
    /// Whether it speaks of a fault, certain or feared.
    pub const fn is_fault(self) -> bool {
        matches!(self, Says::Bad | Says::Suspect)
    }

    /// What a denial makes of it: `not done`, `not wrong`.
    pub const fn denied(self) -> Self {
        match self {
            Says::Renewed | Says::Sound => Says::Bad,
            Says::Bad | Says::Suspect | Says::Spare => Says::Sound,
        }
    }
}

words! {
    /// Vague wording.
    Vague {
        /// Needs work, with nothing named.
        NeedsWork = "needs_work",
        /// Some issues.
        UnnamedFault = "unnamed_fault",
        /// Easy fix.
        CheapFix = "cheap_fix",
        /// Mechanic's special.
        MechanicSpecial = "mechanic_special",
        /// Ran when parked.
        Stale = "stale",
        /// As is.
        AsIs = "as_is",
        /// Sold for somebody else, history not known.
        ThirdHand = "third_hand",
        /// Must go today.
        Pressure = "pressure",
        /// No test drives, no questions.
        NoCheck = "no_check",
    }
}
