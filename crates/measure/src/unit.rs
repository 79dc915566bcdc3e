//! The units: one table with symbol, kind, exact factor and the spellings people type.
//!
//! Factors are exact by definition (in = 0.0254 m, lbf = 4.448 221 615 260 5 N, NIST SP 811 (2008) B.8 footnotes); the columns of water and
//! mercury are the values printed in NIST SP 811 B.8 (0 °C and 60 °F mercury from memory).

use core::fmt;
use core::str::FromStr;
use std::collections::HashMap;
use std::sync::LazyLock;

use crate::error::QuantityError;
use crate::exact::Rational;

/// What kind of thing a unit measures; only units of one kind compare.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Dimension {
    Torque,
    Pressure,
    Length,
    Area,
    Volume,
    Force,
    Stiffness,
    Mass,
    Temperature,
    Time,
    Angle,
    Flow,
    StandardFlow,
    PressureRate,
    BubbleRate,
    DropRate,
    Percent,
    Pieces,
    Bubbles,
    Drops,
    Threads,
    Cycles,
}

impl Dimension {
    /// The kind in plain words, to stand behind "a".
    pub fn words(self) -> &'static str {
        match self {
            Self::Torque => "torque",
            Self::Pressure => "pressure",
            Self::Length => "length",
            Self::Area => "surface",
            Self::Volume => "volume",
            Self::Force => "force",
            Self::Stiffness => "spring rate",
            Self::Mass => "mass",
            Self::Temperature => "temperature",
            Self::Time => "time",
            Self::Angle => "turn or angle",
            Self::Flow => "flow",
            Self::StandardFlow => "flow at standard conditions",
            Self::PressureRate => "change of pressure with time",
            Self::BubbleRate => "count of bubbles with time",
            Self::DropRate => "count of drops with time",
            Self::Percent => "percentage",
            Self::Pieces => "count of pieces",
            Self::Bubbles => "count of bubbles",
            Self::Drops => "count of drops",
            Self::Threads => "count of threads",
            Self::Cycles => "count of cycles",
        }
    }

    /// Whether readings of this kind are counted by eye, with no instrument.
    pub fn is_count(self) -> bool {
        matches!(
            self,
            Self::Pieces
                | Self::Bubbles
                | Self::Drops
                | Self::Threads
                | Self::Cycles
                | Self::BubbleRate
                | Self::DropRate
        )
    }
}

/// Whether capital and small letters may be mixed up when a spelling is typed.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Case {
    /// `NM`, `nm` and `Nm` all mean it.
    Any,
    /// Only as written: a prefix would change its size (mN·m and MN·m).
    Exact,
}

struct Row {
    symbol: &'static str,
    dimension: Dimension,
    factor: Rational,
    /// Added before the factor is applied; nought but for temperatures.
    offset: Rational,
    case: Case,
    spellings: &'static [&'static str],
}

const fn r(num: i128, den: i128) -> Rational {
    Rational::lowest(num, den)
}

const ONE: Rational = r(1, 1);
const INCH: Rational = r(254, 10_000);
const FOOT: Rational = r(3_048, 10_000);
const LBF: Rational = r(44_482_216_152_605, 10_000_000_000_000);
const KGF: Rational = r(980_665, 100_000);
const OZF: Rational = LBF.over_const(r(16, 1));
const PSI: Rational = LBF.over_const(INCH).over_const(INCH);
const INCH3: Rational = INCH.times_const(INCH).times_const(INCH);
const FOOT3: Rational = FOOT.times_const(FOOT).times_const(FOOT);
const GALLON: Rational = INCH3.times_const(r(231, 1));
const MINUTE: Rational = r(60, 1);
const HOUR: Rational = r(3_600, 1);

macro_rules! units {
    ($( $name:ident $symbol:literal $dimension:ident ($factor:expr) $([$offset:expr])? $case:ident $spellings:expr; )*) => {
        /// A unit of the table.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Unit {
            $( #[doc = concat!("`", $symbol, "`")] $name, )*
        }

        const UNITS: &[Unit] = &[ $( Unit::$name, )* ];

        const TABLE: &[Row] = &[ $( Row {
            symbol: $symbol,
            dimension: Dimension::$dimension,
            factor: $factor,
            offset: units!(@offset $($offset)?),
            case: Case::$case,
            spellings: &$spellings,
        }, )* ];
    };
    (@offset) => { Rational::ZERO };
    (@offset $offset:expr) => { $offset };
}

// Spellings leave out points, hyphens, spaces and multiplication signs: `ft-lb`, `ft·lb` and `ft lb` are all looked up as `ftlb`.
units! {
    NewtonMetre "N·m" Torque (ONE) Any ["Nm", "newtonmetre", "newtonmetres", "newtonmeter", "newtonmeters"];
    MillinewtonMetre "mN·m" Torque (r(1, 1_000)) Exact ["mNm"];
    CentinewtonMetre "cN·m" Torque (r(1, 100)) Any ["cNm"];
    DecinewtonMetre "dN·m" Torque (r(1, 10)) Any ["dNm"];
    KilonewtonMetre "kN·m" Torque (r(1_000, 1)) Any ["kNm"];
    MeganewtonMetre "MN·m" Torque (r(1_000_000, 1)) Exact ["MNm"];
    KilogramForceMetre "kgf·m" Torque (KGF) Any ["kgfm", "kgm", "mkgf", "mkg", "kpm"];
    KilogramForceCentimetre "kgf·cm" Torque (KGF.over_const(r(100, 1))) Any ["kgfcm", "kgcm", "cmkgf", "cmkg", "kpcm"];
    PoundForceFoot "lbf·ft" Torque (LBF.times_const(FOOT)) Any ["lbfft", "ftlbf", "ftlb", "ftlbs", "lbft", "lbsft", "footlb", "footlbs", "footpound", "footpounds", "poundfoot", "poundfeet"];
    PoundForceInch "lbf·in" Torque (LBF.times_const(INCH)) Any ["lbfin", "inlbf", "inlb", "inlbs", "lbin", "lbsin", "inchlb", "inchlbs", "inchpound", "inchpounds", "poundinch", "poundinches"];
    OunceForceInch "ozf·in" Torque (OZF.times_const(INCH)) Any ["ozfin", "inozf", "inoz", "ozin", "inchounce", "inchounces", "ounceinch"];

    Pascal "Pa" Pressure (ONE) Any ["pascal", "pascals"];
    Hectopascal "hPa" Pressure (r(100, 1)) Any [];
    Kilopascal "kPa" Pressure (r(1_000, 1)) Any ["kilopascal"];
    Megapascal "MPa" Pressure (r(1_000_000, 1)) Exact ["N/mm²", "N/mm2", "MPA"];
    Bar "bar" Pressure (r(100_000, 1)) Any ["bars"];
    Millibar "mbar" Pressure (r(100, 1)) Exact ["mbars", "millibar"];
    Psi "psi" Pressure (PSI) Any ["lbf/in²", "lbf/in2", "lb/in²", "lb/in2"];
    Ksi "ksi" Pressure (PSI.times_const(r(1_000, 1))) Any [];
    OunceForcePerSquareInch "ozf/in²" Pressure (PSI.over_const(r(16, 1))) Any ["ozf/in2", "oz/in²", "oz/in2", "osi"];
    KilogramForcePerSquareCentimetre "kgf/cm²" Pressure (r(980_665, 10)) Any ["kgf/cm2", "kg/cm²", "kg/cm2", "kp/cm²", "kp/cm2"];
    InchOfWater "inH2O(conv)" Pressure (r(2_490_889, 10_000)) Any ["inh2oconv", "inh2oconventional", "inwcconv", "inchesofwaterconventional"];
    InchOfWater4C "inH2O(4°C)" Pressure (r(249_082, 1_000)) Any ["inh2o4°c", "inh2o4c", "inh2o392°f", "inh2o392f", "inh2o@4°c", "inh2o@4c", "inwc4°c"];
    InchOfWater60F "inH2O(60°F)" Pressure (r(24_884, 100)) Any ["inh2o60°f", "inh2o60f", "inh2o@60°f", "inh2o@60f", "inwc60°f"];
    InchOfMercury "inHg(conv)" Pressure (r(3_386_389, 1_000)) Any ["inhgconv", "inhgconventional"];
    InchOfMercury0C "inHg(0°C)" Pressure (r(338_638, 100)) Any ["inhg0°c", "inhg0c", "inhg32°f", "inhg32f"];
    InchOfMercury60F "inHg(60°F)" Pressure (r(337_685, 100)) Any ["inhg60°f", "inhg60f"];
    Atmosphere "atm" Pressure (r(101_325, 1)) Any [];

    Metre "m" Length (ONE) Exact ["metre", "metres", "meter", "meters"];
    Centimetre "cm" Length (r(1, 100)) Any [];
    Millimetre "mm" Length (r(1, 1_000)) Any ["millimetre", "millimetres", "millimeter", "millimeters"];
    Micrometre "µm" Length (r(1, 1_000_000)) Exact ["um", "micron", "microns"];
    Inch "in" Length (INCH) Any ["inch", "inches", "\"", "″"];
    Thou "thou" Length (INCH.over_const(r(1_000, 1))) Any ["mil", "mils"];
    Foot "ft" Length (FOOT) Any ["foot", "feet"];

    SquareMetre "m²" Area (ONE) Exact ["m2"];
    SquareCentimetre "cm²" Area (r(1, 10_000)) Any ["cm2"];
    SquareMillimetre "mm²" Area (r(1, 1_000_000)) Any ["mm2"];
    SquareInch "in²" Area (INCH.times_const(INCH)) Any ["in2", "sqin"];

    CubicMetre "m³" Volume (ONE) Exact ["m3"];
    Litre "L" Volume (r(1, 1_000)) Any ["l", "litre", "litres", "liter", "liters"];
    Millilitre "mL" Volume (r(1, 1_000_000)) Any ["millilitre", "millilitres", "milliliter"];
    CubicCentimetre "cm³" Volume (r(1, 1_000_000)) Any ["cm3", "cc"];
    CubicMillimetre "mm³" Volume (r(1, 1_000_000_000)) Any ["mm3"];
    CubicInch "in³" Volume (INCH3) Any ["in3", "cuin"];
    CubicFoot "ft³" Volume (FOOT3) Any ["ft3", "cuft"];
    Gallon "gal(US)" Volume (GALLON) Any ["usgal", "galus"];

    Newton "N" Force (ONE) Any ["newton", "newtons"];
    Kilonewton "kN" Force (r(1_000, 1)) Any [];
    PoundForce "lbf" Force (LBF) Any [];
    OunceForce "ozf" Force (OZF) Any [];
    KilogramForce "kgf" Force (KGF) Any ["kp"];

    NewtonPerMetre "N/m" Stiffness (ONE) Exact [];
    NewtonPerMillimetre "N/mm" Stiffness (r(1_000, 1)) Any [];
    PoundForcePerInch "lbf/in" Stiffness (LBF.over_const(INCH)) Any ["lb/in", "lbs/in"];

    Kilogram "kg" Mass (ONE) Any ["kgs", "kilogram", "kilograms"];
    Gram "g" Mass (r(1, 1_000)) Any ["gram", "grams"];
    Pound "lb" Mass (r(45_359_237, 100_000_000)) Any ["lbs", "lbm", "pound", "pounds"];
    Ounce "oz" Mass (r(45_359_237, 1_600_000_000)) Any ["ounce", "ounces"];

    Celsius "°C" Temperature (ONE) [r(27_315, 100)] Any ["C", "degc", "celsius", "ºC", "℃"];
    Fahrenheit "°F" Temperature (r(5, 9)) [r(45_967, 100)] Any ["F", "degf", "fahrenheit", "ºF", "℉"];
    Kelvin "K" Temperature (ONE) Exact ["kelvin"];

    Second "s" Time (ONE) Any ["sec", "secs", "second", "seconds"];
    Minute "min" Time (MINUTE) Any ["mins", "minute", "minutes"];
    Hour "h" Time (HOUR) Any ["hr", "hrs", "hour", "hours"];
    Day "d" Time (r(86_400, 1)) Any ["day", "days"];

    Degree "°" Angle (ONE) Any ["deg", "degs", "degree", "degrees", "º"];
    Turn "turns" Angle (r(360, 1)) Any ["turn", "rev", "revs"];
    Flat "flats" Angle (r(60, 1)) Any ["flat"];

    MillilitrePerMinute "mL/min" Flow (r(1, 60_000_000)) Any ["mlpm"];
    CubicCentimetrePerMinute "cm³/min" Flow (r(1, 60_000_000)) Any ["cm3/min", "cc/min", "ccm"];
    LitrePerMinute "L/min" Flow (r(1, 60_000)) Any ["lpm"];
    LitrePerHour "L/h" Flow (r(1, 3_600_000)) Any ["lph"];
    CubicMetrePerHour "m³/h" Flow (r(1, 3_600)) Exact ["m3/h", "m3/hr"];
    CubicMetrePerSecond "m³/s" Flow (ONE) Exact ["m3/s"];
    CubicMillimetrePerSecond "mm³/s" Flow (r(1, 1_000_000_000)) Any ["mm3/s"];
    CubicFootPerMinute "ft³/min" Flow (FOOT3.over_const(MINUTE)) Any ["ft3/min", "cfm"];
    CubicFootPerHour "ft³/h" Flow (FOOT3.over_const(HOUR)) Any ["ft3/h", "ft3/hr", "cfh"];
    GallonPerMinute "gal(US)/min" Flow (GALLON.over_const(MINUTE)) Any ["usgal/min", "usgpm"];

    StandardCubicFootPerMinute "scfm" StandardFlow (ONE) Any [];
    StandardCubicFootPerHour "scfh" StandardFlow (r(1, 60)) Any [];

    PascalPerSecond "Pa/s" PressureRate (ONE) Any [];
    KilopascalPerMinute "kPa/min" PressureRate (r(1_000, 60)) Any [];
    BarPerMinute "bar/min" PressureRate (r(100_000, 60)) Any [];
    PsiPerMinute "psi/min" PressureRate (PSI.over_const(MINUTE)) Any [];

    BubblesPerMinute "bubbles/min" BubbleRate (r(1, 60)) Any ["bubble/min", "bpm"];
    DropsPerMinute "drops/min" DropRate (r(1, 60)) Any ["drop/min"];

    Percent "%" Percent (ONE) Any ["percent", "pct"];
    Pieces "pieces" Pieces (ONE) Any ["piece", "pcs", "pc"];
    Bubbles "bubbles" Bubbles (ONE) Any ["bubble"];
    Drops "drops" Drops (ONE) Any ["drop"];
    Threads "threads" Threads (ONE) Any ["thread"];
    Cycles "cycles" Cycles (ONE) Any ["cycle", "strokes", "stroke"];
}

impl Unit {
    /// Every unit, in the order of the table.
    pub fn all() -> &'static [Unit] {
        UNITS
    }

    fn row(self) -> &'static Row {
        &TABLE[self as usize]
    }

    /// The table spelling, the only one ever printed.
    pub fn symbol(self) -> &'static str {
        self.row().symbol
    }

    /// What kind of thing it measures.
    pub fn dimension(self) -> Dimension {
        self.row().dimension
    }

    /// How many base units one of it is, exactly. Base units are SI; counts, percent, degrees of arc and scfm stand for themselves.
    pub fn factor(self) -> Rational {
        self.row().factor
    }

    /// What is added to a value before its factor applies: nought but for °C and °F.
    pub fn offset(self) -> Rational {
        self.row().offset
    }

    /// Reads a unit in any spelling people type.
    ///
    /// Capital and small letters may be mixed, except where a prefix would change its meaning (`mN·m` and `MN·m`, `mbar`, `MPa`).
    pub fn parse(text: &str) -> Result<Unit, QuantityError> {
        if let Some(found) = Self::look_up(text) {
            return Ok(found);
        }
        let key = key_of(text);
        if key.is_empty() {
            return Err(QuantityError::Empty);
        }
        let lower = key.to_lowercase();
        let alike = SPELLINGS
            .any_case
            .get(&lower)
            .map_or(&[][..], Vec::as_slice);
        match alike {
            [one] => Err(QuantityError::UnknownUnit {
                text: text.trim().to_owned(),
                nearest: vec![one.symbol()],
            }),
            [one, other, ..] => Err(QuantityError::UnitCase {
                text: text.trim().to_owned(),
                first: one.symbol(),
                second: other.symbol(),
            }),
            [] => Err(unknown(text, &lower)),
        }
    }

    /// The unit of a spelling, without looking for the reason where there is none.
    pub(crate) fn look_up(text: &str) -> Option<Unit> {
        let key = key_of(text);
        if let Some(found) = SPELLINGS.exact.get(&key) {
            return Some(*found);
        }
        match SPELLINGS
            .any_case
            .get(&key.to_lowercase())
            .map(Vec::as_slice)
        {
            Some([one]) if one.row().case == Case::Any => Some(*one),
            _ => None,
        }
    }

    /// The spellings as they are looked up.
    fn keys(self) -> impl Iterator<Item = String> {
        let row = self.row();
        core::iter::once(row.symbol)
            .chain(row.spellings.iter().copied())
            .map(key_of)
    }
}

/// Every spelling, made ready once.
struct Spellings {
    exact: HashMap<String, Unit>,
    any_case: HashMap<String, Vec<Unit>>,
}

static SPELLINGS: LazyLock<Spellings> = LazyLock::new(|| {
    let (mut exact, mut any_case) = (HashMap::new(), HashMap::<String, Vec<Unit>>::new());
    for unit in UNITS.iter().copied() {
        for key in unit.keys() {
            let alike = any_case.entry(key.to_lowercase()).or_default();
            if !alike.contains(&unit) {
                alike.push(unit);
            }
            exact.entry(key).or_insert(unit);
        }
    }
    Spellings { exact, any_case }
});

/// A spelling without what people put between its letters, with the signs that look alike made one.
fn key_of(text: &str) -> String {
    text.chars()
        .filter(|c| {
            !matches!(
                c,
                '.' | '-'
                    | ' '
                    | '·'
                    | '⋅'
                    | '*'
                    | '×'
                    | '\u{2219}'
                    | '\u{a0}'
                    | '('
                    | ')'
                    | '\u{2010}'
                    | '\u{2011}'
                    | '_'
            )
        })
        .map(|c| if c == 'μ' { 'µ' } else { c })
        .collect()
}

fn unknown(text: &str, lower: &str) -> QuantityError {
    let text = text.trim().to_owned();
    if matches!(
        lower,
        "inh2o" | "inwc" | "inwg" | "wc" | "inchesofwater" | "inchofwater"
    ) {
        return QuantityError::ColumnReference {
            text,
            choices: "inH2O(conv), inH2O(4°C), inH2O(60°F)",
        };
    }
    if matches!(lower, "inhg" | "inchesofmercury") {
        return QuantityError::ColumnReference {
            text,
            choices: "inHg(conv), inHg(0°C), inHg(60°F)",
        };
    }
    let mut nearest: Vec<&'static str> = Vec::new();
    // Gallons of two countries go by one name.
    if matches!(lower, "gal" | "gallon" | "gallons") {
        nearest.push(Unit::Gallon.symbol());
    } else if lower == "gpm" {
        nearest.push(Unit::GallonPerMinute.symbol());
    }
    for unit in UNITS {
        if unit
            .keys()
            .any(|key| one_slip_apart(&key.to_lowercase(), lower))
            && nearest.len() < 3
        {
            nearest.push(unit.symbol());
        }
    }
    QuantityError::UnknownUnit { text, nearest }
}

/// Whether two spellings differ by one letter put in, left out or exchanged, or only by capital letters.
fn one_slip_apart(a: &str, b: &str) -> bool {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    if a == b {
        return true;
    }
    if a.len().abs_diff(b.len()) > 1 || a.len().min(b.len()) < 2 {
        return false;
    }
    let front = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let back = a
        .iter()
        .rev()
        .zip(b.iter().rev())
        .take_while(|(x, y)| x == y)
        .count();
    front + back + 1 >= a.len().max(b.len())
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.symbol())
    }
}

impl FromStr for Unit {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

as_text!(Unit);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_spelling_belongs_to_two_units() {
        for unit in UNITS {
            for key in unit.keys() {
                assert_eq!(SPELLINGS.exact.get(&key), Some(unit), "{key}");
            }
        }
        // Only a prefix may tell two units apart by the size of a letter.
        let alike: Vec<_> = SPELLINGS
            .any_case
            .values()
            .filter(|units| units.len() > 1)
            .collect();
        assert_eq!(
            alike,
            [&vec![Unit::MillinewtonMetre, Unit::MeganewtonMetre]]
        );
    }

    #[test]
    fn table_and_enum_are_in_step() {
        for (place, unit) in UNITS.iter().enumerate() {
            assert_eq!(*unit as usize, place);
            assert!(unit.factor() > Rational::ZERO, "{unit}");
        }
        assert_eq!(UNITS.len(), TABLE.len());
    }
}
