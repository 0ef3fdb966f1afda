//! What is done with a recipe that no bench could follow: each size is brought within what can be made, and that is told.

use crate::figures::round;

use super::recipe::{Range, Recipe, VERSION, Way};
use super::words;

/// A size of the recipe: its name for people, its unit, and between what it may lie.
pub(super) struct Size {
    pub what: &'static str,
    pub unit: &'static str,
    pub low: f64,
    pub high: f64,
    /// What is taken for something that is not a number.
    pub usual: f64,
    /// Decimals that are kept: finer ones would show in no reading.
    pub decimals: i32,
}

const FLUX_DENSITY: Size = Size {
    what: "flux density",
    unit: "T",
    low: 1e-4,
    high: 5.0,
    usual: 0.05,
    decimals: 9,
};
const LENGTH: Size = Size {
    what: "length of the wire",
    unit: "m",
    low: 0.001,
    high: 1.0,
    usual: 0.05,
    decimals: 6,
};
const LENGTH_UNCERTAINTY: Size = Size {
    what: "uncertainty of the length",
    unit: "m",
    low: 0.0,
    high: 0.01,
    usual: 0.0005,
    decimals: 6,
};
const WIRES: Size = count("number of wires", 1.0, 100.0, 1.0);
const READINGS: Size = count("number of readings", 3.0, 100.0, 10.0);
const REPEATS: Size = count("number of repeats", 1.0, 10.0, 1.0);
const CURRENT: Size = Size {
    what: "highest current",
    unit: "A",
    low: 0.01,
    high: 100.0,
    usual: 5.0,
    decimals: 6,
};
const LOWEST_CURRENT: Size = Size {
    what: "lowest current",
    low: 0.0,
    usual: 0.5,
    ..CURRENT
};
const BALANCE_STEP: Size = Size {
    what: "step of the balance",
    unit: "g",
    low: 1e-4,
    high: 10.0,
    usual: 0.01,
    decimals: 9,
};
const AMMETER_STEP: Size = Size {
    what: "step of the ammeter",
    unit: "A",
    high: 1.0,
    ..BALANCE_STEP
};
const NOISE: Size = Size {
    what: "scatter",
    unit: "steps",
    low: 0.0,
    high: 100.0,
    usual: 0.4,
    decimals: 6,
};
const STATED_BAR: Size = mass("stated error bar", 100.0);
const ZERO_ERROR: Size = mass("zero error", 100.0);
const DRIFT: Size = mass("drift for each reading", 10.0);
const OUTLIER: Size = mass("error of the one wrong reading", 100.0);
const WARMING: Size = Size {
    what: "part of the gradient lost by warming",
    unit: "",
    low: 0.0,
    high: 0.9,
    usual: 0.0,
    decimals: 4,
};

/// How many of something.
const fn count(what: &'static str, low: f64, high: f64, usual: f64) -> Size {
    Size {
        what,
        unit: "",
        low,
        high,
        usual,
        decimals: 0,
    }
}

/// A mass that may be nothing.
const fn mass(what: &'static str, high: f64) -> Size {
    Size {
        what,
        unit: "g",
        low: 0.0,
        high,
        usual: 0.0,
        decimals: 5,
    }
}

/// The recipe as it can be made, and a sentence for each thing that was changed.
pub(super) fn bring_within(asked: &Recipe) -> (Recipe, Vec<String>) {
    let mut notes = Vec::new();
    if asked.version > VERSION {
        notes.push(words::LATER_VERSION.to_owned());
    }
    let mut taken = asked.clone();
    taken.version = VERSION;
    let told = &mut notes;
    range(&mut taken.flux_density_t, &FLUX_DENSITY, told);
    range(&mut taken.length_m, &LENGTH, told);
    number(&mut taken.length_uncertainty_m, &LENGTH_UNCERTAINTY, told);
    range(&mut taken.wires, &WIRES, told);
    whole(&mut taken.readings, &READINGS, told);
    whole(&mut taken.repeats, &REPEATS, told);
    step(&mut taken.balance_step_g, &BALANCE_STEP, told);
    step(&mut taken.ammeter_step_a, &AMMETER_STEP, told);
    number(&mut taken.noise_steps, &NOISE, told);
    number(&mut taken.stated_bar_g, &STATED_BAR, told);
    let faults = &mut taken.faults;
    range(&mut faults.zero_error_g, &ZERO_ERROR, told);
    range(&mut faults.drift_g, &DRIFT, told);
    range(&mut faults.outlier_g, &OUTLIER, told);
    range(&mut faults.warming, &WARMING, told);
    currents(&mut taken, told);
    length(&mut taken, told);
    if taken.way == Way::Wires {
        if taken.wires.high < 2.0 {
            taken.wires.high = 2.0;
            told.push(words::TWO_WIRES.to_owned());
        }
        taken.wires.low = taken.wires.low.max(2.0);
    }
    if matches!(taken.way, Way::Angle | Way::Length) {
        if taken.faults.warming.high > 0.0 {
            taken.faults.warming = Range::default();
            told.push(words::NO_WARMING.to_owned());
        }
        if taken.faults.reversed_current {
            taken.faults.reversed_current = false;
            told.push(words::NO_REVERSAL.to_owned());
        }
    }
    (taken, notes)
}

fn number(value: &mut f64, size: &Size, notes: &mut Vec<String>) {
    let asked = *value;
    let taken = if asked.is_nan() {
        size.usual
    } else {
        asked.clamp(size.low, size.high)
    };
    if taken != asked {
        notes.push(words::taken_instead(size, asked, taken));
    }
    *value = round::to_decimals(taken, size.decimals)
        .parse()
        .unwrap_or(taken);
}

/// Both ends, told once where both are the same number.
fn range(range: &mut Range, size: &Size, notes: &mut Vec<String>) {
    let one = range.low == range.high || (range.low.is_nan() && range.high.is_nan());
    number(&mut range.high, size, notes);
    if one {
        range.low = range.high;
        return;
    }
    number(&mut range.low, size, notes);
    if range.low > range.high {
        *range = Range::between(range.high, range.low);
    }
}

fn whole(value: &mut u32, size: &Size, notes: &mut Vec<String>) {
    let mut taken = f64::from(*value);
    number(&mut taken, size, notes);
    *value = taken as u32;
}

/// An instrument's step: one figure, as 0.01 or 0.05.
fn step(value: &mut f64, size: &Size, notes: &mut Vec<String>) {
    number(value, size, notes);
    let taken = round::to_significant(*value, 1)
        .parse()
        .unwrap_or(size.usual);
    if taken != *value {
        notes.push(words::one_figure(size, *value, taken));
        *value = taken;
    }
}

/// Currents that the ammeter can tell apart.
fn currents(taken: &mut Recipe, notes: &mut Vec<String>) {
    let readings = f64::from(taken.readings);
    let range = &mut taken.current_a;
    let single = range.low == range.high;
    if !single && range.low > range.high {
        *range = Range::between(range.high, range.low);
    }
    number(&mut range.high, &CURRENT, notes);
    if single {
        range.low = range.high / readings;
    } else {
        number(&mut range.low, &LOWEST_CURRENT, notes);
        if range.high - range.low < 0.1 * range.high {
            range.low = range.high / readings;
            notes.push(words::currents_too_close(range.high));
        }
    }
    let apart = (range.high - range.low) / (readings - 1.0);
    let asked = taken.ammeter_step_a;
    while taken.way.varies_current() && taken.ammeter_step_a > apart * (1.0 + 1e-9) {
        taken.ammeter_step_a = finer(taken.ammeter_step_a);
    }
    while !taken.way.varies_current() && taken.ammeter_step_a > range.high * (1.0 + 1e-9) {
        taken.ammeter_step_a = finer(taken.ammeter_step_a);
    }
    if taken.ammeter_step_a != asked {
        notes.push(words::taken_finer(asked, taken.ammeter_step_a));
    }
}

/// A tenth, as the decimal that it is.
fn finer(step: f64) -> f64 {
    round::to_significant(step / 10.0, 1)
        .parse()
        .unwrap_or(step / 10.0)
}

/// A length whose uncertainty leaves something of it, and lengths that a millimetre tells apart.
fn length(taken: &mut Recipe, notes: &mut Vec<String>) {
    if taken.way == Way::Length {
        let least = 0.001 * f64::from(taken.readings);
        if taken.length_m.low < least {
            taken.length_m.low = least;
            taken.length_m.high = taken.length_m.high.max(least);
            notes.push(words::longer(least));
        }
    }
    let shortest = match taken.way {
        Way::Length => taken.length_m.low / f64::from(taken.readings),
        _ => taken.length_m.low,
    };
    let most = 0.1 * shortest;
    if taken.length_uncertainty_m > most {
        taken.length_uncertainty_m = most;
        notes.push(words::better_measured(most));
    }
}
