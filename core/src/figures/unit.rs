//! Units of the trade: what people write, what they print, and the way to SI.
//!
//! Start at [`Unit::parse`]. Nearly every unit here is a power of ten of its SI unit, and such a unit is
//! converted by moving the decimal point of the number that the reader sees: 0.31 g is 0.00031 kg to the last bit,
//! where a plain multiplication would leave a trace of binary rounding.

use std::f64::consts::PI;
use std::fmt;

use super::glyphs;
use super::round::shift;

/// What a unit measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Electric current; SI unit A.
    Current,
    /// Mass; SI unit kg.
    Mass,
    /// Length; SI unit m.
    Length,
    /// Force; SI unit N.
    Force,
    /// Magnetic flux density; SI unit T.
    FluxDensity,
    /// Plane angle; SI unit rad.
    Angle,
    /// Time; SI unit s.
    Time,
    /// Acceleration, and the free fall acceleration written as N/kg; SI unit m/s².
    Acceleration,
}

/// A unit that a reading, a length or an answer may carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    symbol: &'static str,
    quantity: Quantity,
    scale: Scale,
}

/// How many SI units one of this unit is.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Scale {
    PowerOfTen(i32),
    Factor(f64),
}

/// Longest text, in bytes, that is looked at as a unit: longer ones are prose.
const LONGEST_UNIT_BYTES: usize = 48;

macro_rules! powers_of_ten {
    ($($(#[$doc:meta])* $name:ident = $symbol:literal, $quantity:ident, $exponent:literal;)*) => {
        impl Unit {
            $($(#[$doc])* pub const $name: Unit = Unit {
                symbol: $symbol,
                quantity: Quantity::$quantity,
                scale: Scale::PowerOfTen($exponent),
            };)*

            /// Every unit whose symbol stands for one power of ten of its SI unit, then the others.
            pub const ALL: &'static [Unit] = &[
                $(Unit::$name,)*
                Unit::DEGREE,
                Unit::MINUTE,
                Unit::HOUR,
            ];
        }
    };
}

powers_of_ten! {
    /// Ampere.
    AMPERE = "A", Current, 0;
    /// Milliampere.
    MILLIAMPERE = "mA", Current, -3;
    /// Microampere.
    MICROAMPERE = "µA", Current, -6;
    /// Nanoampere.
    NANOAMPERE = "nA", Current, -9;
    /// Kiloampere.
    KILOAMPERE = "kA", Current, 3;
    /// Megaampere: on a school bench nearly always a slip for mA, see [`Unit::likely_meant`].
    MEGAAMPERE = "MA", Current, 6;
    /// Kilogram.
    KILOGRAM = "kg", Mass, 0;
    /// Gram.
    GRAM = "g", Mass, -3;
    /// Milligram.
    MILLIGRAM = "mg", Mass, -6;
    /// Microgram.
    MICROGRAM = "µg", Mass, -9;
    /// Megagram: a slip for mg.
    MEGAGRAM = "Mg", Mass, 3;
    /// Metre.
    METRE = "m", Length, 0;
    /// Decimetre.
    DECIMETRE = "dm", Length, -1;
    /// Centimetre.
    CENTIMETRE = "cm", Length, -2;
    /// Millimetre.
    MILLIMETRE = "mm", Length, -3;
    /// Micrometre.
    MICROMETRE = "µm", Length, -6;
    /// Kilometre.
    KILOMETRE = "km", Length, 3;
    /// Megametre: a slip for mm.
    MEGAMETRE = "Mm", Length, 6;
    /// Newton.
    NEWTON = "N", Force, 0;
    /// Centinewton.
    CENTINEWTON = "cN", Force, -2;
    /// Millinewton.
    MILLINEWTON = "mN", Force, -3;
    /// Micronewton.
    MICRONEWTON = "µN", Force, -6;
    /// Nanonewton.
    NANONEWTON = "nN", Force, -9;
    /// Kilonewton.
    KILONEWTON = "kN", Force, 3;
    /// Meganewton: a slip for mN.
    MEGANEWTON = "MN", Force, 6;
    /// Tesla.
    TESLA = "T", FluxDensity, 0;
    /// Millitesla.
    MILLITESLA = "mT", FluxDensity, -3;
    /// Microtesla.
    MICROTESLA = "µT", FluxDensity, -6;
    /// Nanotesla.
    NANOTESLA = "nT", FluxDensity, -9;
    /// Megatesla: a slip for mT.
    MEGATESLA = "MT", FluxDensity, 6;
    /// Gauss, 10⁻⁴ T.
    GAUSS = "G", FluxDensity, -4;
    /// Kilogauss, 0.1 T.
    KILOGAUSS = "kG", FluxDensity, -1;
    /// Milligauss, 10⁻⁷ T.
    MILLIGAUSS = "mG", FluxDensity, -7;
    /// Radian.
    RADIAN = "rad", Angle, 0;
    /// Milliradian.
    MILLIRADIAN = "mrad", Angle, -3;
    /// Second.
    SECOND = "s", Time, 0;
    /// Millisecond.
    MILLISECOND = "ms", Time, -3;
    /// Microsecond.
    MICROSECOND = "µs", Time, -6;
    /// Metre per second squared.
    METRE_PER_SECOND_SQUARED = "m/s²", Acceleration, 0;
    /// Centimetre per second squared.
    CENTIMETRE_PER_SECOND_SQUARED = "cm/s²", Acceleration, -2;
    /// Newton per kilogram, the same as m/s².
    NEWTON_PER_KILOGRAM = "N/kg", Acceleration, 0;
    /// Millinewton per gram, the same as m/s².
    MILLINEWTON_PER_GRAM = "mN/g", Acceleration, 0;
}

impl Unit {
    /// Degree of angle, π/180 rad.
    pub const DEGREE: Unit = Unit {
        symbol: "°",
        quantity: Quantity::Angle,
        scale: Scale::Factor(PI / 180.0),
    };
    /// Minute of time.
    pub const MINUTE: Unit = Unit {
        symbol: "min",
        quantity: Quantity::Time,
        scale: Scale::Factor(60.0),
    };
    /// Hour.
    pub const HOUR: Unit = Unit {
        symbol: "h",
        quantity: Quantity::Time,
        scale: Scale::Factor(3600.0),
    };

    /// The unit that `text` names, all of it: a symbol (`mA`, `m s^-2`, `°`) or a word (`milliamps`, `degrees`).
    ///
    /// Symbols are taken as SI writes them first, so `MN` is the meganewton and `G` the gauss; a symbol in the wrong
    /// case is then forgiven where that leaves one meaning (`ma`, `KG`, `CM`). Micro may be U+00B5, U+03BC or
    /// `u`; powers may be raised or follow `^`. `m g` with a space is not the milligram: it is more often a mass in g.
    pub fn parse(text: &str) -> Option<Unit> {
        let text = text.trim();
        if text.len() > LONGEST_UNIT_BYTES {
            return None;
        }
        if let Some(unit) = Unit::with_symbol(text) {
            return Some(unit);
        }
        let plain = PlainUnit::from_text(text);
        if let Some(unit) = compound(&plain.joined) {
            return Some(unit);
        }
        if plain.has_product {
            let phrase = plain.spaced.to_lowercase();
            return word_phrase(&phrase).or_else(|| word(&phrase));
        }
        let single = plain.joined.strip_suffix('.').unwrap_or(&plain.joined);
        Unit::with_symbol(single)
            .or_else(|| forgiven_symbol(single))
            .or_else(|| word(&single.to_lowercase()))
    }

    /// The unit with exactly this symbol, as SI writes it or with `u` for micro.
    pub(super) fn with_symbol(text: &str) -> Option<Unit> {
        Unit::ALL
            .iter()
            .copied()
            .find(|unit| unit.symbol == text)
            .or(match text {
                "uA" => Some(Unit::MICROAMPERE),
                "ug" => Some(Unit::MICROGRAM),
                "um" => Some(Unit::MICROMETRE),
                "uN" => Some(Unit::MICRONEWTON),
                "uT" => Some(Unit::MICROTESLA),
                "us" => Some(Unit::MICROSECOND),
                "Gs" => Some(Unit::GAUSS),
                _ => None,
            })
    }

    /// The symbol as printed: `mA`, `°`, `m/s²`.
    pub fn symbol(&self) -> &'static str {
        self.symbol
    }

    /// What the unit measures.
    pub fn quantity(&self) -> Quantity {
        self.quantity
    }

    /// `value` of this unit in the SI unit of its quantity.
    ///
    /// For a power of ten this is the `f64` nearest to the shifted decimal number.
    pub fn to_si(&self, value: f64) -> f64 {
        match self.scale {
            Scale::PowerOfTen(exponent) => shift(value, exponent),
            Scale::Factor(factor) => value * factor,
        }
    }

    /// An SI value in this unit: the way back from [`Unit::to_si`].
    pub fn from_si(&self, si: f64) -> f64 {
        match self.scale {
            Scale::PowerOfTen(exponent) => shift(si, -exponent),
            Scale::Factor(factor) => si / factor,
        }
    }

    /// The power of ten between this unit and the SI unit: -3 for mA; `None` for degrees and minutes.
    pub fn decimal_exponent(&self) -> Option<i32> {
        match self.scale {
            Scale::PowerOfTen(exponent) => Some(exponent),
            Scale::Factor(_) => None,
        }
    }

    /// For a unit with the prefix mega, which no school bench needs, the milli unit that was probably meant.
    pub fn likely_meant(&self) -> Option<Unit> {
        match self.symbol {
            "MA" => Some(Unit::MILLIAMPERE),
            "Mg" => Some(Unit::MILLIGRAM),
            "Mm" => Some(Unit::MILLIMETRE),
            "MN" => Some(Unit::MILLINEWTON),
            "MT" => Some(Unit::MILLITESLA),
            _ => None,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.symbol)
    }
}

/// Symbols in a case that SI does not use. `n`, `M`, `S`, `t` and `GM` are left out: each has another meaning.
fn forgiven_symbol(text: &str) -> Option<Unit> {
    Some(match text {
        "gm" | "gr" => Unit::GRAM,
        "GM" | "GR" | "MG" => return None,
        _ => match text.to_lowercase().as_str() {
            "a" => Unit::AMPERE,
            "ma" => Unit::MILLIAMPERE,
            "ua" => Unit::MICROAMPERE,
            "ka" => Unit::KILOAMPERE,
            "kg" => Unit::KILOGRAM,
            "ug" => Unit::MICROGRAM,
            "cm" => Unit::CENTIMETRE,
            "mm" => Unit::MILLIMETRE,
            "dm" => Unit::DECIMETRE,
            "km" => Unit::KILOMETRE,
            "mn" => Unit::MILLINEWTON,
            "un" => Unit::MICRONEWTON,
            "kn" => Unit::KILONEWTON,
            "mt" => Unit::MILLITESLA,
            "ut" => Unit::MICROTESLA,
            "rad" => Unit::RADIAN,
            "mrad" => Unit::MILLIRADIAN,
            "min" | "mins" => Unit::MINUTE,
            "sec" | "secs" => Unit::SECOND,
            "hr" | "hrs" => Unit::HOUR,
            "deg" | "degs" => Unit::DEGREE,
            _ => return None,
        },
    })
}

/// Products and quotients, with spaces, dots, `^` and raised digits already made plain.
fn compound(joined: &str) -> Option<Unit> {
    Some(match joined {
        "m/s2" | "ms-2" | "m/s/s" | "m/ss" | "M/S2" => Unit::METRE_PER_SECOND_SQUARED,
        "cm/s2" | "cms-2" | "cm/s/s" => Unit::CENTIMETRE_PER_SECOND_SQUARED,
        "N/kg" | "Nkg-1" | "n/kg" | "N/Kg" | "N/KG" => Unit::NEWTON_PER_KILOGRAM,
        "mN/g" | "mNg-1" => Unit::MILLINEWTON_PER_GRAM,
        // The tesla spelt out by its definitions.
        "N/Am" | "N/(Am)" | "N/A/m" | "NA-1m-1" | "Nm-1A-1" | "Wb/m2" | "Wbm-2" | "kgs-2A-1"
        | "Vs/m2" | "Vsm-2" => Unit::TESLA,
        _ => return None,
    })
}

/// A unit in words, lower case: prefix and name (`milliamps`, `milli-amps`, `kilogrammes`), or a name alone.
fn word(text: &str) -> Option<Unit> {
    const PREFIXES: [(&str, i32); 7] = [
        ("nano", -9),
        ("micro", -6),
        ("milli", -3),
        ("centi", -2),
        ("deci", -1),
        ("kilo", 3),
        ("mega", 6),
    ];
    if let Some(unit) = unit_name(text) {
        return Some(unit);
    }
    let (prefix, exponent) = PREFIXES
        .iter()
        .find(|(prefix, _)| text.starts_with(prefix))?;
    let named = unit_name(text.strip_prefix(prefix)?.trim_start_matches(['-', ' ']))?;
    let exponent = named.decimal_exponent()? + exponent;
    Unit::ALL.iter().copied().find(|unit| {
        // A tenth of a tesla is a kilogauss, but nobody who writes one means the other.
        let same_kind = unit.quantity == named.quantity && unit.symbol.ends_with(named.symbol);
        same_kind && unit.decimal_exponent() == Some(exponent)
    })
}

fn unit_name(text: &str) -> Option<Unit> {
    Some(match text {
        "amp" | "amps" | "ampere" | "amperes" | "ampère" | "ampères" => Unit::AMPERE,
        "gram" | "grams" | "gramme" | "grammes" => Unit::GRAM,
        "metre" | "metres" | "meter" | "meters" => Unit::METRE,
        "newton" | "newtons" => Unit::NEWTON,
        "tesla" | "teslas" => Unit::TESLA,
        "gauss" => Unit::GAUSS,
        "radian" | "radians" => Unit::RADIAN,
        "degree" | "degrees" => Unit::DEGREE,
        "second" | "seconds" => Unit::SECOND,
        "minute" | "minutes" => Unit::MINUTE,
        "hour" | "hours" => Unit::HOUR,
        _ => return None,
    })
}

/// Units of several words.
fn word_phrase(text: &str) -> Option<Unit> {
    Some(match text {
        "metre per second squared"
        | "metres per second squared"
        | "meter per second squared"
        | "meters per second squared"
        | "metres per second per second"
        | "meters per second per second" => Unit::METRE_PER_SECOND_SQUARED,
        "newton per kilogram" | "newtons per kilogram" => Unit::NEWTON_PER_KILOGRAM,
        _ => return None,
    })
}

/// A unit's text in plain characters.
struct PlainUnit {
    /// Without spaces and multiplication signs.
    joined: String,
    /// With single spaces for them.
    spaced: String,
    /// Whether there were any inside.
    has_product: bool,
}

impl PlainUnit {
    fn from_text(text: &str) -> PlainUnit {
        let mut spaced = String::with_capacity(text.len());
        let mut gap = false;
        for seen in text.chars() {
            let plain = match seen {
                'µ' | 'μ' => 'u',
                'º' | '˚' => '°',
                '⁄' | '∕' => '/',
                '·' | '⋅' | '∙' | '•' | '*' | '×' => ' ',
                '^' | '{' | '}' => continue,
                other => match glyphs::raised(other) {
                    Some(raised) => raised,
                    None => match glyphs::meaning(other) {
                        Some(meaning) => meaning.character,
                        None => continue,
                    },
                },
            };
            if plain == ' ' || plain == glyphs::HARD_SPACE {
                gap = !spaced.is_empty();
                continue;
            }
            // A point between letters is a product (`m.s-2`); at the end it closes an abbreviation (`cm.`).
            if gap && plain != '/' && !spaced.ends_with('/') {
                spaced.push(' ');
            }
            gap = false;
            spaced.push(plain);
        }
        let has_inner_point = spaced.trim_end_matches('.').contains('.');
        if has_inner_point {
            spaced = spaced.replace('.', " ").trim_end().to_owned();
        }
        let has_product = spaced.contains(' ');
        let joined = spaced.replace(' ', "");
        PlainUnit {
            joined,
            spaced,
            has_product,
        }
    }
}
