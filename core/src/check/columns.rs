//! What the columns of a class's table hold, from their headings.

use super::Stage;
use crate::figures::Unit;

/// What a column of the class's table holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Holds {
    Name,
    /// The group whose readings the row belongs to.
    Group,
    Stage(Stage),
    /// The units of the column before it.
    Unit,
    Nothing,
}

impl Holds {
    /// As the columns are told.
    pub(super) fn name(self) -> String {
        match self {
            Holds::Name => "name".to_owned(),
            Holds::Group => "group".to_owned(),
            Holds::Stage(stage) => stage.name().replace('_', " "),
            Holds::Unit => "unit".to_owned(),
            Holds::Nothing => "not used".to_owned(),
        }
    }
}

#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) holds: Holds,
    /// The unit in its heading.
    pub(super) unit: String,
}

/// What a heading says that its column holds.
pub(super) fn holds(heading: &str, before: Option<Holds>) -> Holds {
    let lower = heading.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '%' && c != 'δ')
        .collect();
    let has = |word: &str| words.contains(&word);
    let begins = |word: &str| lower.contains(word);
    if has("unit") || has("units") {
        return match before {
            Some(Holds::Stage(_)) => Holds::Unit,
            _ => Holds::Nothing,
        };
    }
    if names_group(heading) {
        return Holds::Group;
    }
    if begins("name")
        || begins("student")
        || begins("group")
        || begins("pupil")
        || begins("candidate")
    {
        return Holds::Name;
    }
    if begins("uncert")
        || begins("error")
        || heading.contains('±')
        || heading.starts_with('Δ')
        || begins("delta")
    {
        return Holds::Stage(Stage::Uncertainty);
    }
    if begins("differ") || begins("discrep") || has("diff") || has("%diff") {
        return Holds::Stage(Stage::PercentageDifference);
    }
    if begins("gradient") || begins("slope") || has("grad") {
        return Holds::Stage(Stage::Gradient);
    }
    if begins("intercept") {
        return Holds::Stage(Stage::Intercept);
    }
    if begins("flux") || begins("field") || has("b") {
        return Holds::Stage(Stage::FluxDensity);
    }
    Holds::Nothing
}

/// The unit in a heading such as `B / mT` or `Gradient (g/A)`; empty for none.
pub(super) fn unit_in(heading: &str) -> String {
    let inside = |open: char, close: char| {
        let (_, after) = heading.split_once(open)?;
        Some(after.split_once(close)?.0.trim().to_owned())
    };
    inside('(', ')')
        .or_else(|| inside('[', ']'))
        .or_else(|| Some(heading.split_once(" / ")?.1.trim().to_owned()))
        .or_else(|| heading.contains('%').then(|| "%".to_owned()))
        .or_else(|| {
            let last = heading.split_whitespace().last()?;
            (last != heading.trim()).then(|| Unit::parse(last).map(|_| last.to_owned()))?
        })
        .unwrap_or_default()
}

/// Words that name those who share a bench.
const GROUP_WORDS: &[&str] = &[
    "group", "groups", "team", "teams", "bench", "benches", "pair", "pairs", "station", "stations",
    "set", "sets", "partners", "crew", "squad",
];
/// Words that may stand beside one of them.
const BESIDE_GROUP_WORDS: &[&str] = &[
    "lab", "no", "nr", "number", "name", "letter", "code", "id", "label", "colour", "color",
    "your", "our", "of", "the",
];

/// Whether a heading names groups and nothing else: `Group`, `Bench no.`, not `Set current` nor `Group mean`.
pub(super) fn names_group(heading: &str) -> bool {
    let lower = heading.to_lowercase();
    let words = || {
        lower
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
    };
    let is_group = |word: &str| GROUP_WORDS.contains(&word);
    words().any(is_group)
        && words().all(|word| is_group(word) || BESIDE_GROUP_WORDS.contains(&word))
}

/// A group's name as it is compared: `Group 3`, `3`, `group 03` and `GROUP-3` are the same.
pub(super) fn group_key(name: &str) -> String {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let beside = |word: &&&str| !GROUP_WORDS.contains(*word) && !matches!(**word, "no" | "nr");
    let mut own: Vec<&str> = words.iter().filter(beside).copied().collect();
    if own.is_empty() {
        own = words;
    }
    let without_noughts = |word: &&str| {
        let rest = word.trim_start_matches('0');
        let number = !word.is_empty() && word.chars().all(|c| c.is_ascii_digit());
        if number && !rest.is_empty() {
            rest.to_owned()
        } else {
            (*word).to_owned()
        }
    };
    let own: Vec<String> = own.iter().map(without_noughts).collect();
    own.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_that_name_groups() {
        for heading in [
            "Group",
            "TEAM",
            "Bench no.",
            "Lab group",
            "Station #",
            "Partners",
            "group name",
        ] {
            assert!(names_group(heading), "{heading}");
        }
        for heading in [
            "Set current / A",
            "Group mean / g",
            "I set",
            "Name",
            "no.",
            "",
            "Grouping",
            "pupils in group",
        ] {
            assert!(!names_group(heading), "{heading}");
        }
    }

    #[test]
    fn one_group_by_several_names() {
        for name in [
            "3", "Group 3", "group 03", "GROUP-3", " 3 ", "no. 3", "Bench 3.",
        ] {
            assert_eq!(group_key(name), "3", "{name}");
        }
        assert_eq!(group_key("Asha & Ben"), group_key("asha, ben"));
        assert_eq!(group_key("Set"), "set");
        assert_eq!(group_key("000"), "000");
        assert_eq!(group_key("–"), "");
        assert_ne!(group_key("1"), group_key("10"));
    }
}
