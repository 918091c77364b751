//! The classes of words that code asks for.

macro_rules! word_classes {
    ($($(#[$doc:meta])* $class:ident = $name:literal,)*) => {
        /// What a word does in an ad. One registry: `word_classes.csv` has a row
        /// for each, and none besides.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum WordClass { $($(#[$doc])* $class,)* }

        impl WordClass {
            /// All classes in order.
            pub const ALL: &'static [WordClass] = &[$(WordClass::$class),*];

            /// The name of its row.
            pub const fn name(self) -> &'static str {
                match self { $(WordClass::$class => $name),* }
            }
        }
    };
}

word_classes! {
    /// What it stands before is known, or named already: `the starter`.
    The = "the",
    /// One of several stands behind it: `needs a starter`.
    Indefinite = "indefinite",
    /// What was named before or is at hand, or what is told of it.
    That = "that",
    /// Several things named before.
    Those = "those",
    /// The one thing named before: `it works`.
    It = "it",
    /// It is, or a thing's own: `its $900`, `its gearbox`.
    Its = "its",
    /// Several things, or people: `they work`.
    They = "they",
    /// Takes up what was named right before: `the mirror, which broke`.
    Which = "which",
    /// Puts in a clause about what was named: `the pump, which I did, leaks`.
    Relative = "relative",
    /// What is told only behind it: `what it comes with:`.
    What = "what",
    /// One of the kind named before: `needs one`.
    One = "one",
    /// Several of the kind named before: `new ones`.
    Ones = "ones",
    /// Something is at hand: `there is a spare`.
    There = "there",
    /// The seller's own car: `mine is a 98`.
    ThisCar = "this_car",
    /// Two things.
    Both = "both",
    /// Every one of several.
    All = "all",
    /// Every one by itself.
    Each = "each",
    /// Not one of several.
    NoneOf = "none",
    /// Not one of two, or not this one either.
    Neither = "neither",
    /// One of two.
    Either = "either",
    /// A number of things: `all four of them`.
    Count = "count",
    /// Three things, behind `all`.
    Three = "three",
    /// Four things, behind `all`.
    Four = "four",
    /// Two of a kind.
    Pair = "pair",
    /// All there is on the car, or whatever there is.
    Everything = "everything",
    /// Not a thing.
    Nothing = "nothing",
    /// A thing told of in general: `only thing wrong`.
    Thing = "thing",
    /// All that is left, all there is: `the rest works`.
    Rest = "rest",
    /// A great deal: `not much wrong`.
    Much = "much",
    /// This and no other: `the only one of the two`.
    Only = "only",
    /// The second of two named before.
    Latter = "latter",
    /// The first of two named before.
    Former = "former",
    /// Whoever comes before others: `first $500 takes it`.
    First = "first",
    /// Somebody who speaks, drives, or mends.
    Person = "person",
    /// Somebody who worked on the car for the seller.
    Helper = "helper",
    /// The buyer who is spoken to.
    You = "you",
    /// Tells how a thing is, or seems to be.
    Is = "is",
    /// Tells how several things are, or were.
    Are = "are",
    /// How several things were.
    Were = "were",
    /// Tells how a thing was.
    Was = "was",
    /// How a thing may be, has been, or is just then: `the pump being replaced`.
    Be = "be",
    /// Has a thing, or has had something done.
    Has = "has",
    /// The same of one thing.
    HasAlone = "has_alone",
    /// Had a thing, or had something done; forms of have that deny.
    Had = "had",
    /// Gets a thing, or is to have something done.
    Get = "get",
    /// Did what is named behind it: `did that in May`.
    Did = "did",
    /// A light came on.
    Came = "came",
    /// Is there with the car: `comes with two keys`.
    Comes = "comes",
    /// Goes with the car: `goes with it`.
    Goes = "goes",
    /// It is driven, and now: `driven daily`.
    Driven = "driven",
    /// Asks for work: `needs a starter`, `due for a belt`.
    Needs = "needs",
    /// Asked for work at the time: `needed a starter`.
    Needed = "needed",
    /// Denies the saying that it stands in: `will not run`.
    Not = "not",
    /// Begins what a part can do, or cannot: `won't stay shut`.
    Ability = "ability",
    /// Tells what a part costs elsewhere: `used ones run $200`.
    Costs = "costs",
    /// Tells that a part was bought, not that it was fitted.
    Buys = "buys",
    /// A part is still to be put in.
    Put = "put",
    /// Heads what is to be mended: `- fix the radio`.
    Fix = "fix",
    /// Work that is to be done: `needs starter work`.
    Work = "work",
    /// Tells of a fluid that got lost: `lost some coolant`.
    LosesFluid = "loses_fluid",
    /// A knock, in whatever form.
    Knock = "knock",
    /// Joins two things or clauses.
    And = "and",
    /// Joins two things of which one counts.
    Or = "or",
    /// Sets what follows against what stands before.
    But = "but",
    /// Adds something to what was told.
    Plus = "plus",
    /// What came next: `then it died`.
    Then = "then",
    /// What follows came of what stands before.
    So = "so",
    /// What follows is only supposed, or asked.
    If = "if",
    /// What follows tells the time, or the occasion.
    When = "when",
    /// What follows is the reason.
    Because = "because",
    /// Up to the time that follows: `parked until it is fixed`.
    Until = "until",
    /// From the time on that follows: `once fixed it is a good car`.
    Once = "once",
    /// From then on.
    Since = "since",
    /// Before a place or a time.
    In = "in",
    /// Before a place, a distance or a sum.
    At = "at",
    /// Before a place, a day, or what was worked on.
    On = "on",
    /// Before the end of a time: `dead by 2022`.
    By = "by",
    /// Before what came first.
    After = "after",
    /// Before where something comes from, or its year: `from 2021`.
    From = "from",
    /// Before what is aimed at, or done.
    To = "to",
    /// Before what something is meant for: `$300 for the gearbox`.
    For = "for",
    /// Before the whole, or the things counted: `two of the tyres`.
    Of = "of",
    /// Before what comes along.
    With = "with",
    /// Before a place that hides what lies there.
    Under = "under",
    /// Nearly so much: `at around 90k`.
    Around = "around",
    /// Before the two ends of a range.
    Between = "between",
    /// A place on the car: `up front`.
    Up = "up",
    /// Taken out of the car; a place: `out back`.
    Out = "out",
    /// As far as what follows: `everything works, down to the clock`.
    Down = "down",
    /// One side of the car.
    Side = "side",
    /// A corner of the car, cut short.
    Corner = "corner",
    /// There again: `the noise is back`.
    Back = "back",
    /// The one before now: `last May`.
    Last = "last",
    /// A day that tells how new something is.
    Today = "today",
    /// How it is at present.
    Now = "now",
    /// Once more.
    Again = "again",
    /// As before.
    Still = "still",
    /// Sooner than one would think: `quit again already`.
    Already = "already",
    /// A short time ago.
    Just = "just",
    /// Besides.
    Also = "also",
    /// Until now: `not found yet`.
    Yet = "yet",
    /// What one would not think is praised too: `even the AC`.
    Even = "even",
    /// At no time.
    Never = "never",
    /// Apart from what was told.
    Otherwise = "otherwise",
    /// Before a guess: `maybe 50%`.
    Maybe = "maybe",
    /// Before what something is like.
    Like = "like",
    /// Further; behind `no`, not as before.
    More = "more",
    /// Tells that a fault is there no more.
    Over = "over",
    /// Tells that a fault is there no more, or that a part is worn out.
    Gone = "gone",
    /// Denies what stands behind it, or answers a question.
    No = "no",
    /// As was told of the part before.
    Same = "same",
    /// The second of two: `the other one is bad`.
    Other = "other",
    /// One more than that on the car.
    Another = "another",
    /// Newly fitted, or not used before.
    New = "new",
    /// Not as old as the rest.
    Newer = "newer",
    /// Behind an age: `2k old`.
    Old = "old",
    /// Not new.
    Used = "used",
    /// As the maker fitted it.
    Original = "original",
    /// A part that is not bought new: what it costs is no price of the car.
    SecondHand = "second_hand",
    /// A part to take the place of one.
    Replacement = "replacement",
    /// Comes along, or counts among what was told.
    Includes = "includes",
    /// A paper that tells of work that was paid.
    Slip = "slip",
    /// A warning light, called no more than that: `the light is on`.
    Light = "light",
    /// The car as a whole.
    Vehicle = "vehicle",
    /// Before the name or behind the year of the model.
    Model = "model",
    /// A field of the header, which is none of the ad.
    HeaderField = "header_field",
    /// A field of which one stands in every header.
    SureField = "sure_field",
    /// A field in which the writer tells more: only its name is left out.
    ToldField = "told_field",
    /// A unit of distance behind a number.
    DistanceUnit = "distance_unit",
    /// A currency behind a number.
    MoneyName = "money_name",
    /// A share out of a hundred.
    Percent = "percent",
    /// A unit of what is left of a tyre or pad, or what it is left of.
    WearUnit = "wear_unit",
    /// Depth of tread in parts of an inch: `5/32`.
    ThirtySecond = "thirty_second",
    /// Marks out of ten: `8/10`.
    Ten = "ten",
    /// A number times a thousand.
    Thousand = "thousand",
    /// A number times a thousand, in money.
    Grand = "grand",
    /// A number times a hundred.
    Hundred = "hundred",
    /// And a half: `two and a half thousand`.
    Half = "half",
    /// The nought of a year: `oh six`.
    Nought = "nought",
    /// A number times a hundred thousand.
    Lakh = "lakh",
    /// Some more than the number before it: `150 something thousand`.
    Odd = "odd",
    /// How a sum is to be paid, and whether less is taken.
    Terms = "terms",
}
