//! Every citation once, by key: the rest of the crate names a `Source`, never a bare string.
//! Entries say whether they are a standard, a paper, public guidance, or common practice.
//! The figures themselves stand beside the code that uses them.

macro_rules! sources {
    ($($(#[doc = $doc:literal])* $name:ident = $text:literal;)*) => {
        /// Where a rule or a figure comes from.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Source { $($(#[doc = $doc])* $name,)* }

        impl Source {
            /// Every source.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// The citation.
            pub const fn citation(self) -> &'static str {
                match self { $(Self::$name => $text,)* }
            }
        }
    };
}

sources! {
    /// US federal rule, definitions.
    Cfr1512Definitions = "16 CFR 1512.2 (US), sidewalk bicycle and seat height";
    /// US federal rule, brakes.
    Cfr1512Brakes = "16 CFR 1512.5 (US), brake lever grip dimension";
    /// US federal rule, steering.
    Cfr1512Steering = "16 CFR 1512.6 (US), handlebar height above the seat";
    /// US federal rule, seat.
    Cfr1512Seat = "16 CFR 1512.15 (US), seat post mark";
    /// US federal rule, ground and toe clearance.
    Cfr1512Clearance = "16 CFR 1512.17 (US), ground and toe clearance";
    /// US federal rule, manual.
    Cfr1512Manual = "16 CFR 1512.19 (US), minimum leg length";
    /// ISO standard for young children's bicycles.
    Iso8098 = "ISO 8098, bicycles for young children";
    /// ISO standard for cycles.
    Iso4210 = "ISO 4210-2, young adult bicycles";
    /// Japanese standard for cycles, the published text of the adult limits.
    JisD9301 = "JIS D 9301:2019, lever reach and toe clearance";
    /// Paediatric guidance.
    Aap = "American Academy of Pediatrics, choosing the right size bicycle";
    /// Hospital guidance.
    Hss = "Hospital for Special Surgery, children's bike fit guidance";
    /// Knee angle.
    Holmes1994 = "Holmes, Pruitt, Whalen 1994, Clin Sports Med 13:187 (knee flexion 25-35 deg)";
    /// Saddle height from inseam.
    Hamley1967 = "Hamley & Thomas 1967, J Physiol 191:55P (saddle height from inseam)";
    /// Crank length, children.
    Martin2002 = "Martin, Malina, Spirduso 2002, Eur J Appl Physiol 86:215 (crank length in boys)";
    /// Elbow angle.
    Holliday2021 = "Holliday & Swart 2021 (static elbow flexion 19 +/- 8 deg)";
    /// Children's body measures.
    Snyder1977 = "Snyder et al. 1977, UM-HSRI-77-17 (children's body measures)";
    /// Adult body measures.
    Ansur2 = "ANSUR II, Gordon et al. 2014, NATICK/TR-15/007 (adult body measures)";
    /// Reading a stature.
    Voss1990 = "Voss et al. 1990, Arch Dis Child 65:1340 (error of one stature reading)";
    /// Growth charts.
    Cdc2000 = "CDC 2000 growth charts, Kuczmarski et al. 2002";
    /// Growth forecast error.
    Berkeley = "Berkeley growth study, 136 children (error of a constant-z forecast)";
    /// Tyre marking.
    Iso5775 = "ISO 5775-1, tyre designation";
    /// Tyre drop.
    TyreDrop = "15 % tyre drop, Berto after Heine (common practice)";
    /// Benchmark bicycle.
    Meijaard2007 = "Meijaard, Papadopoulos, Ruina, Schwab 2007, Proc R Soc A 463:1955";
    /// Knee flexion over the top of the turn.
    KneeFold2021 = "Sensors 2021, 21:4473, table 2 (knee flexion 107-113 deg over the top of the turn)";
    /// What the maker prints or writes.
    MakersMark = "the maker's own mark or manual";
    /// Trade habit, no publication.
    Practice = "common practice of the trade";
    /// Rule made for this tool, of arithmetic alone.
    OwnFile = "this tool's own rule, figures of one file against one another";
    /// Rule made for this tool.
    OwnRule = "this tool's own rule, from published body measures";
}

/// One or more sources: the type has no empty value, so a finding without a source does not compile.
#[derive(Debug, Clone, Copy)]
pub struct Cited {
    first: Source,
    rest: &'static [Source],
}

impl Cited {
    /// At least one source.
    pub const fn new(first: Source, rest: &'static [Source]) -> Self {
        Self { first, rest }
    }

    /// The citations, in order of weight.
    pub fn citations(self) -> Vec<&'static str> {
        self.iter().map(Source::citation).collect()
    }

    /// All of them, in order of weight.
    pub fn iter(self) -> impl Iterator<Item = Source> {
        std::iter::once(self.first).chain(self.rest.iter().copied())
    }
}
