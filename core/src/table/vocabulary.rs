//! The words and symbols that headings use, in English and in the languages that most often stand beside it in
//! spreadsheets.

use super::heading::Kind;

/// Which of several quantities in one heading it is about: "force on the wires" is a force.
pub(super) const PRIORITY: [Kind; 12] = [
    Kind::Other,
    Kind::Force,
    Kind::Length,
    Kind::Position,
    Kind::Angle,
    Kind::Mass,
    Kind::Wires,
    Kind::FluxDensity,
    Kind::Current,
    Kind::Time,
    Kind::Comment,
    Kind::Counter,
];

pub(super) const CHANGE: &[&str] = &[
    "change",
    "changes",
    "difference",
    "dif",
    "diff",
    "tared",
    "net",
    "gain",
    "increase",
    "shift",
    "deflection",
    "extra",
    "apparent",
    "änderung",
    "differenz",
    "variation",
    "différence",
    "diferencia",
    "differenza",
    "diferença",
];
pub(super) const FULL: &[&str] = &["full", "total", "untared", "gross", "absolute", "raw"];
pub(super) const ZERO: &[&str] = &[
    "zero",
    "zeros",
    "zeroes",
    "offset",
    "tare",
    "empty",
    "nullpunkt",
];
pub(super) const BEFORE: &[&str] = &["before", "initial", "start", "vorher", "avant", "antes"];
pub(super) const AFTER: &[&str] = &[
    "after", "final", "end", "nachher", "après", "después", "depois",
];
pub(super) const MEAN: &[&str] = &[
    "mean",
    "average",
    "avg",
    "ave",
    "av",
    "mittelwert",
    "mittel",
    "moyenne",
    "media",
    "média",
    "promedio",
];
pub(super) const FORWARD: &[&str] = &["forward", "forwards", "vorwärts"];
pub(super) const REVERSED: &[&str] = &[
    "reversed",
    "reverse",
    "backward",
    "backwards",
    "opposite",
    "swapped",
    "umgekehrt",
    "umgepolt",
    "inverse",
    "invertida",
];
pub(super) const UP: &[&str] = &[
    "up",
    "rising",
    "increasing",
    "ascending",
    "upward",
    "upwards",
];
pub(super) const DOWN: &[&str] = &[
    "down",
    "falling",
    "decreasing",
    "descending",
    "downward",
    "downwards",
];
pub(super) const UNCERTAIN: &[&str] = &[
    "uncertainty",
    "uncertainties",
    "uncert",
    "unc",
    "error",
    "errors",
    "err",
    "sd",
    "std",
    "stdev",
    "sigma",
    "tolerance",
    "unsicherheit",
    "fehler",
    "incertitude",
    "incertezza",
    "incerteza",
];

/// The quantity that a word, in small letters, names.
pub(super) fn word_kind(word: &str) -> Option<Kind> {
    Some(match word {
        "current" | "currents" | "amps" | "amperage" | "ammeter" | "strom" | "stromstärke"
        | "courant" | "intensité" | "corriente" | "corrente" | "intensidad" | "intensidade"
        | "stroom" => Kind::Current,
        "mass" | "masses" | "masse" | "masa" | "massa" | "balance" | "scale" | "scales"
        | "reading" | "readings" | "weight" | "weighing" | "waage" | "gewicht" => Kind::Mass,
        "force" | "forces" | "kraft" | "fuerza" | "forza" | "força" | "kracht" => Kind::Force,
        "length" | "lengths" | "länge" | "longueur" | "longitud" | "lunghezza" | "comprimento"
        | "lengte" => Kind::Length,
        "position" | "distance" | "rider" | "displacement" | "slider" | "arm" | "abstand" => {
            Kind::Position
        }
        "wires" | "turns" | "loops" | "windings" | "strands" | "conductors" => Kind::Wires,
        "angle" | "angles" | "theta" | "winkel" | "ángulo" | "angolo" | "ângulo" => Kind::Angle,
        "flux" | "field" | "probe" | "feld" | "campo" => Kind::FluxDensity,
        "time" | "times" | "zeit" | "temps" | "tiempo" | "tempo" | "clock" => Kind::Time,
        "note" | "notes" | "comment" | "comments" | "remark" | "remarks" | "observation"
        | "observations" | "bemerkung" => Kind::Comment,
        "trial" | "trials" | "nr" | "no" | "number" | "index" | "run" | "row" | "point"
        | "measurement" | "messung" | "test" | "attempt" | "order" | "step" => Kind::Counter,
        "voltage" | "volts" | "pd" | "resistance" | "temperature" | "power" | "sin" | "sine"
        | "cos" | "spannung" | "tension" | "ratio" | "residual" => Kind::Other,
        _ => return None,
    })
}

/// The quantity that a lone symbol stands for.
pub(super) fn symbol_kind(symbol: &str) -> Option<Kind> {
    Some(match symbol {
        "I" | "i" => Kind::Current,
        "m" | "M" | "dm" => Kind::Mass,
        "F" => Kind::Force,
        "L" | "l" | "ℓ" => Kind::Length,
        "N" | "n" => Kind::Wires,
        "θ" | "ϑ" | "φ" | "α" => Kind::Angle,
        "B" => Kind::FluxDensity,
        "t" => Kind::Time,
        "U" | "V" | "R" | "P" | "g" => Kind::Other,
        _ => return None,
    })
}
