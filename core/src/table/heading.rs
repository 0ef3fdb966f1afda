//! What a heading says: a quantity, a unit, an uncertainty, a label, and words such as "change" or "zero".
//!
//! Start at [`Heading::parse`]. Nothing is decided here: the numbers under the heading have their say in
//! [`super::decide`].

use super::Way;
use super::vocabulary::{
    AFTER, BEFORE, CHANGE, DOWN, FORWARD, FULL, MEAN, PRIORITY, REVERSED, UNCERTAIN, UP, ZERO,
    symbol_kind, word_kind,
};
use crate::figures::{DecimalMark, Figure, Quantity, Unit};

/// A heading taken apart.
#[derive(Clone, Debug, Default)]
pub(super) struct Heading {
    /// As shown, blanks and line breaks made single spaces.
    pub(super) text: String,
    /// Without unit and uncertainty.
    pub(super) name: String,
    /// The symbol at the start of the name, such as `m` or `I`, where there is one.
    pub(super) symbol: String,
    pub(super) unit: Option<Unit>,
    /// The unit as written, where it was taken for another: `MN` for mN.
    pub(super) mended: Option<String>,
    /// A bracket that looks like a unit that nobody here knows.
    pub(super) unknown_unit: Option<String>,
    /// Uncertainty of every cell, in its own unit or the column's.
    pub(super) uncertainty: Option<(f64, Option<Unit>)>,
    pub(super) kind: Option<Kind>,
    pub(super) says: Says,
    /// A number that sets this column apart from its fellows: `m10`, `Loop 10 mm`, `2 wires`.
    pub(super) label: Option<Label>,
}

/// Words of a heading that qualify its quantity.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Says {
    /// Begins with Δ, which is a change to some and an uncertainty to others.
    pub(super) delta: bool,
    pub(super) change: bool,
    pub(super) full: bool,
    pub(super) zero: bool,
    pub(super) before: bool,
    pub(super) after: bool,
    pub(super) mean: bool,
    pub(super) way: Option<Way>,
    pub(super) uncertain: bool,
    pub(super) percent: bool,
}

/// What the column is about, as far as its heading or its units tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Current,
    Mass,
    Force,
    Length,
    Position,
    Wires,
    Angle,
    FluxDensity,
    Time,
    Counter,
    Comment,
    /// Known, and of no use here: a voltage, a temperature, a sine.
    Other,
}

impl Kind {
    pub(super) fn of(quantity: Quantity) -> Kind {
        match quantity {
            Quantity::Current => Kind::Current,
            Quantity::Mass => Kind::Mass,
            Quantity::Length => Kind::Length,
            Quantity::Force => Kind::Force,
            Quantity::FluxDensity => Kind::FluxDensity,
            Quantity::Angle => Kind::Angle,
            Quantity::Time => Kind::Time,
            Quantity::Acceleration => Kind::Other,
        }
    }

    /// Whether a unit of `quantity` can stand under such a heading.
    pub(super) fn takes(self, quantity: Quantity) -> bool {
        let own = Kind::of(quantity);
        self == own
            || (self == Kind::Position && own == Kind::Length)
            || (self == Kind::Mass && own == Kind::Force)
    }
}

/// A number in a heading, with what it counts or measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Label {
    pub(super) number: f64,
    pub(super) unit: Option<Unit>,
    /// The number counts wires.
    pub(super) wires: bool,
}

/// Longest heading that is taken apart; a longer one is prose.
const LONGEST_HEADING_BYTES: usize = 200;

impl Heading {
    /// Takes a heading apart.
    pub(super) fn parse(text: &str) -> Heading {
        let text = one_line(text);
        let mut heading = Heading {
            text,
            ..Heading::default()
        };
        if heading.text.is_empty()
            || heading.text.len() > LONGEST_HEADING_BYTES
            || is_missing(&heading.text)
        {
            return heading;
        }
        let body = heading.take_uncertainty(plain(&heading.text));
        let name = heading.take_unit(&body);
        // "I (±0.01 A)" gives the unit with the uncertainty.
        heading.unit = heading
            .unit
            .or(heading.uncertainty.and_then(|(_, unit)| unit));
        heading.read_name(&name);
        heading.name = name;
        heading
    }

    /// Whether the heading names a unit or a quantity of the trade: it is a heading and not a stray word.
    pub(super) fn is_telling(&self) -> bool {
        self.unit.is_some() || self.kind.is_some() || self.says.uncertain || self.says.zero
    }

    /// Takes `±0.05` off the end, or the sign off the front, and returns the rest.
    fn take_uncertainty(&mut self, body: String) -> String {
        let Some((place, sign)) = ["±", "+/-", "+/−", "+-"]
            .iter()
            .filter_map(|sign| Some((body.find(sign)?, *sign)))
            .min()
        else {
            return body;
        };
        let (before, after) = body.split_at(place);
        let (before, after) = (
            before.trim(),
            after.strip_prefix(sign).unwrap_or(after).trim(),
        );
        let number = after.trim_end_matches([')', ']']).trim();
        if let Ok(figure) = Figure::parse(number, DecimalMark::Either)
            && !before.is_empty()
        {
            self.uncertainty = Some((figure.value.abs(), figure.unit));
            let closing = match (before.rfind('('), before.rfind('[')) {
                (Some(open), _) if !before[open..].contains(')') => ")",
                (_, Some(open)) if !before[open..].contains(']') => "]",
                _ => "",
            };
            let rest = format!("{before}{closing}");
            return rest
                .trim_end_matches("()")
                .trim_end_matches("[]")
                .trim_end()
                .to_owned();
        }
        self.says.uncertain = true;
        format!("{before} {after}").trim().to_owned()
    }

    /// Takes the unit off, in any usual style, and returns the rest.
    fn take_unit(&mut self, body: &str) -> String {
        for (place, _) in body.match_indices('/') {
            let (name, rest) = (&body[..place], body[place..].trim_start_matches('/').trim());
            let inside = rest
                .trim_start_matches(['(', '['])
                .trim_end_matches([')', ']'])
                .trim();
            if self.set_unit(inside) {
                return name.trim().to_owned();
            }
            if inside == "%" {
                self.says.percent = true;
                return name.trim().to_owned();
            }
            // "m / g at 20 mm", "m / g (1)"
            let (unit, after) = rest.split_once(' ').unwrap_or((rest, ""));
            let goes_on = ["at ", "for ", "with ", "("]
                .iter()
                .any(|start| after.starts_with(start));
            if goes_on && self.set_unit(unit) {
                return one_line(&format!("{name} {after}"));
            }
        }
        if let Some((before, inside, after)) = last_bracket(body) {
            let is_argument = matches!(
                before.trim(),
                "u" | "U" | "Δ" | "δ" | "σ" | "s" | "sd" | "unc" | "error"
            );
            let first_word = inside.split([' ', ',', ';']).next().unwrap_or_default();
            let stripped = inside
                .trim_start_matches("in ")
                .trim_start_matches('/')
                .trim();
            if !is_argument && (self.set_unit(stripped) || self.set_unit(first_word)) {
                return one_line(&format!("{before} {after}"));
            }
            if stripped == "%" {
                self.says.percent = true;
                return one_line(&format!("{before} {after}"));
            }
            let looks_like_unit = (1..=4).contains(&inside.chars().count())
                && inside.chars().all(char::is_alphabetic);
            if !is_argument && looks_like_unit && !before.trim().is_empty() {
                self.unknown_unit = Some(inside.to_owned());
                return one_line(&format!("{before} {after}"));
            }
        }
        if let Some((name, unit)) = body.rsplit_once(" in ")
            && self.set_unit(unit)
        {
            return name.trim().to_owned();
        }
        let is_symbol = matches!(
            body,
            "m" | "M" | "N" | "n" | "d" | "t" | "s" | "I" | "i" | "L" | "l" | "B" | "F" | "a"
        );
        if !is_symbol && self.set_unit(body) {
            return String::new();
        }
        // A bare unit at the end is believed where the words before it agree: "Current A", but not "Run A".
        if let Some((name, last)) = body.rsplit_once([' ', '_', ',']) {
            let name = name.trim().trim_end_matches(',');
            let after_number = name.ends_with(|c: char| c.is_ascii_digit());
            if let Some(unit) = Unit::parse(last).filter(|_| !after_number) {
                let mut alone = Heading::default();
                alone.read_name(name);
                if alone.kind.is_some_and(|kind| kind.takes(unit.quantity())) {
                    self.set_unit(last);
                    return name.to_owned();
                }
            }
        }
        body.to_owned()
    }

    /// Takes `text` as the unit, mending the slips that leave one meaning.
    fn set_unit(&mut self, text: &str) -> bool {
        let text = text.trim();
        let Some(unit) = Unit::parse(text)
            .or_else(|| scaled_unit(text))
            .or_else(|| capital_unit(text))
        else {
            return false;
        };
        let meant = unit.likely_meant();
        // Capitals can stand for a unit in a heading typed in capitals, yet "MA" cannot be told from mega: say so.
        if meant.is_some() || Unit::parse(text).is_none() && scaled_unit(text).is_none() {
            self.mended = Some(text.to_owned());
        }
        self.unit = Some(meant.unwrap_or(unit));
        true
    }

    /// Reads words, symbols and numbers of the heading without its unit.
    fn read_name(&mut self, name: &str) {
        let parts = parts(name);
        let words: Vec<String> = parts.iter().map(|part| part.text.to_lowercase()).collect();
        let has = |wanted: &[&str]| words.iter().any(|word| wanted.contains(&word.as_str()));
        let next_to = |index: usize, wanted: &[&str]| {
            let before = index.checked_sub(1).and_then(|before| words.get(before));
            let after = words.get(index + 1);
            [before, after]
                .into_iter()
                .flatten()
                .any(|word| wanted.contains(&word.as_str()))
        };
        self.says.delta |=
            parts.iter().any(|part| part.delta || part.text == "dm") || has(&["delta"]);
        self.says.change = has(CHANGE);
        self.says.full = has(FULL);
        self.says.zero = has(ZERO);
        self.says.before = has(BEFORE);
        self.says.after = has(AFTER);
        self.says.mean =
            has(MEAN) || name.contains('\u{304}') || name.contains('\u{305}') || name.contains("⟨");
        self.says.way = [
            (REVERSED, Way::Reversed),
            (FORWARD, Way::Forward),
            (UP, Way::Up),
            (DOWN, Way::Down),
        ]
        .into_iter()
        .find(|(wanted, _)| has(wanted))
        .map(|found| found.1)
        .or_else(|| way_of_argument(name));
        self.says.percent |= name.contains('%') || has(&["percent", "percentage"]);

        let argument = name.starts_with(['u', 'U', 's', 'σ', 'δ'])
            && name[first_len(name)..].starts_with(['(', '_']);
        let says_uncertain = has(UNCERTAIN) || argument || parts.iter().any(|part| part.uncertain);
        self.says.uncertain |= says_uncertain && !self.says.zero;

        let mut kinds: Vec<Kind> = Vec::new();
        for (index, word) in words.iter().enumerate() {
            let kind = word_kind(word);
            // "Reading with current", "current off": the balance's reading, not the current.
            let is_state = kind == Some(Kind::Current)
                && next_to(
                    index,
                    &["with", "without", "no", "off", "on", "at", "ohne", "mit"],
                )
                && words.len() > 2;
            if is_state {
                self.says.zero |= next_to(index, &["without", "no", "off", "ohne"]);
                continue;
            }
            kinds.extend(kind);
        }
        self.says.zero |= has(&["off"]);
        let counts = has(&["no", "number", "nr", "num"])
            && has(&["reading", "measurement", "row", "run", "trial"]);
        self.kind = match self.unit {
            // A unit is stronger evidence than any word; only lengths leave a choice.
            Some(unit)
                if unit.quantity() == Quantity::Length && kinds.contains(&Kind::Position) =>
            {
                Some(Kind::Position)
            }
            Some(unit) if unit.quantity() == Quantity::Length && !kinds.contains(&Kind::Length) => {
                let is_place = parts
                    .first()
                    .is_some_and(|part| matches!(part.text.as_str(), "x" | "d" | "s" | "y"));
                Some(if is_place {
                    Kind::Position
                } else {
                    Kind::Length
                })
            }
            Some(unit) => Some(Kind::of(unit.quantity())),
            None if counts => Some(Kind::Counter),
            None => PRIORITY.into_iter().find(|kind| kinds.contains(kind)),
        };
        let first_symbol = parts
            .iter()
            .find(|part| !part.text.is_empty() && !is_operator(&part.text, argument));
        if let Some(part) =
            first_symbol.filter(|part| symbol_kind(&part.text).is_some() || is_letter(&part.text))
        {
            self.symbol = part.text.clone();
            if self.kind.is_none() {
                self.kind = symbol_kind(&part.text);
            }
        }
        if self.kind.is_none() && matches!(name.trim(), "#" | "№" | "Nº" | "N°" | "n°") {
            self.kind = Some(Kind::Counter);
        }
        self.read_label(&parts, &words);
    }

    /// Finds the number that sets the column apart.
    fn read_label(&mut self, parts: &[Part], words: &[String]) {
        let Some(index) = parts.iter().position(|part| part.number.is_some()) else {
            return;
        };
        let Some(number) = parts.get(index).and_then(|part| part.number) else {
            return;
        };
        let next = parts.get(index + 1);
        let unit = next.and_then(|part| Unit::parse(&part.text));
        let word_before = index
            .checked_sub(1)
            .and_then(|before| words.get(before))
            .map(String::as_str);
        let word_after = words.get(index + 1).map(String::as_str);
        let counts_wires = |word: Option<&str>| {
            word.is_some_and(|word| {
                word_kind(word) == Some(Kind::Wires) || matches!(word, "wire" | "turn" | "strand")
            })
        };
        let symbol_before = index
            .checked_sub(1)
            .and_then(|before| parts.get(before))
            .map(|part| part.text.as_str());
        let wires = unit.is_none()
            && (counts_wires(word_after)
                || counts_wires(word_before)
                || symbol_before == Some("N"));
        self.label = Some(Label {
            number,
            unit,
            wires,
        });
        // "m0" is the reading at no current.
        if number == 0.0 && unit.is_none() && !wires && matches!(word_before, Some("m")) {
            self.says.zero = true;
        }
    }
}

/// The text on one line, runs of blanks made single spaces.
pub(super) fn one_line(text: &str) -> String {
    let mut line = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    line
}

/// Whether the text is one of the usual ways to say that there is no reading.
pub(super) fn is_missing(text: &str) -> bool {
    if text.len() > 12 {
        return false;
    }
    matches!(
        text.to_ascii_lowercase().as_str(),
        "n/a"
            | "na"
            | "n.a."
            | "n.a"
            | "nan"
            | "none"
            | "null"
            | "missing"
            | "-"
            | "–"
            | "—"
            | "−"
            | "--"
            | "---"
            | "."
            | "..."
            | "…"
    )
}

/// Whether a cell under a heading holds nothing but a unit, in brackets or after a slash or not.
pub(super) fn lone_unit(text: &str) -> Option<&str> {
    let text = text.trim();
    let inside = text
        .strip_prefix('(')
        .and_then(|rest| rest.strip_suffix(')'))
        .or_else(|| {
            text.strip_prefix('[')
                .and_then(|rest| rest.strip_suffix(']'))
        })
        .or_else(|| text.strip_prefix('/'))
        .or_else(|| text.strip_prefix("in "))
        .unwrap_or(text)
        .trim();
    let known = Unit::parse(inside).is_some() || scaled_unit(inside).is_some();
    known.then_some(inside)
}

/// Markdown's stars and back-quotes off, raised and lowered digits made plain.
fn plain(text: &str) -> String {
    let text = text.trim_matches(['*', '`']).trim();
    text.chars()
        .map(|c| match c {
            '₀'..='₉' => char::from_digit(c as u32 - '₀' as u32, 10).unwrap_or(c),
            '∆' => 'Δ',
            other => other,
        })
        .collect()
}

/// The last bracket of round, square or curly kind: text before, inside, after.
fn last_bracket(text: &str) -> Option<(&str, &str, &str)> {
    let close = text.rfind([')', ']', '}'])?;
    let opener = match text.get(close..)?.chars().next()? {
        ')' => '(',
        ']' => '[',
        _ => '{',
    };
    let head = text.get(..close)?;
    let open = head.rfind(opener)?;
    Some((
        head.get(..open)?,
        head.get(open + 1..)?.trim(),
        text.get(close + 1..)?,
    ))
}

/// A unit with a power of ten before it, `10^-3 A`, where a prefix says the same.
fn scaled_unit(text: &str) -> Option<Unit> {
    let (factor, symbol) = text.rsplit_once([' ', '·', '*'])?;
    if !factor.contains("10") {
        return None;
    }
    let unit = Unit::parse(symbol)?;
    let factor = factor
        .trim()
        .trim_start_matches(['×', 'x', '·', '*'])
        .trim();
    let figure = Figure::parse(&format!("1×{factor}"), DecimalMark::Either)
        .or_else(|_| Figure::parse(factor, DecimalMark::Either))
        .ok()
        .filter(|figure| figure.unit.is_none())?;
    let exponent = (-9..=9).find(|exponent: &i32| {
        let power = Figure::parse(&format!("1e{exponent}"), DecimalMark::Either);
        power.is_ok_and(|power| power.value == figure.value)
    })?;
    let wanted = unit.decimal_exponent()? + exponent;
    Unit::ALL.iter().copied().find(|other| {
        other.quantity() == unit.quantity() && other.decimal_exponent() == Some(wanted)
    })
}

/// A unit typed in capitals, as in a heading in capitals: `MG`, `MS`.
fn capital_unit(text: &str) -> Option<Unit> {
    let is_capitals = text.len() == 2 && text.chars().all(|c| c.is_ascii_uppercase());
    let mut letters = text.chars();
    let (first, second) = (letters.next()?, letters.next()?);
    let mixed: String = [first.to_ascii_lowercase(), second].into_iter().collect();
    is_capitals.then(|| Unit::parse(&text.to_lowercase()).or_else(|| Unit::parse(&mixed)))?
}

fn first_len(text: &str) -> usize {
    text.chars().next().map_or(0, char::len_utf8)
}

/// A run of letters or a number in a heading.
struct Part {
    text: String,
    number: Option<f64>,
    delta: bool,
    uncertain: bool,
}

/// `m(+I)` and `m(−I)`: the way of the current that stands in brackets after the symbol.
fn way_of_argument(name: &str) -> Option<Way> {
    let bare: String = name.chars().filter(|c| !c.is_whitespace()).collect();
    let says = |sign: char| bare.contains(&format!("({sign}I)"));
    if says('+') {
        Some(Way::Forward)
    } else if ['-', '\u{2212}', '\u{2013}'].into_iter().any(says) {
        Some(Way::Reversed)
    } else {
        None
    }
}

/// Letters and numbers of a heading, signs and punctuation left out; `Δm` is `m` with a delta.
fn parts(name: &str) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let mut chars = name.chars().peekable();
    let (mut delta, mut uncertain) = (false, false);
    while let Some(first) = chars.next() {
        if first == 'Δ' || first == 'δ' || first == 'σ' {
            delta |= first == 'Δ';
            uncertain |= first != 'Δ';
            let alone = !chars.peek().is_some_and(|next| next.is_alphabetic());
            if alone {
                parts.push(Part {
                    text: String::new(),
                    number: None,
                    delta,
                    uncertain,
                });
                (delta, uncertain) = (false, false);
            }
            continue;
        }
        let mut text = String::from(first);
        if first.is_ascii_digit() {
            while let Some(next) =
                chars.next_if(|next| next.is_ascii_digit() || matches!(next, '.' | ','))
            {
                text.push(next);
            }
            let number = text.trim_end_matches(['.', ',']).replace(',', ".");
            parts.push(Part {
                number: number.parse().ok(),
                text,
                delta: false,
                uncertain: false,
            });
        } else if first.is_alphabetic() || first == '°' || first == '%' {
            while let Some(next) = chars.next_if(|next| next.is_alphabetic() || *next == '\'') {
                text.push(next);
            }
            parts.push(Part {
                text,
                number: None,
                delta,
                uncertain,
            });
            (delta, uncertain) = (false, false);
        }
    }
    parts
}

/// Whether the part is the `u` of `u(m)` and not a symbol of its own.
fn is_operator(text: &str, argument: bool) -> bool {
    text == "delta" || (argument && matches!(text, "u" | "U" | "s"))
}

fn is_letter(text: &str) -> bool {
    let mut letters = text.chars();
    letters.next().is_some_and(char::is_alphabetic) && letters.next().is_none()
}
