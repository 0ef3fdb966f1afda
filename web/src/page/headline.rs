//! The result in a line: the flux density, which uncertainty it carries, and what is worth knowing beside it.

use yokeline_core::job::output::{Analysis, Family, FluxDensity};
use yokeline_core::job::{Fit, Job, Varied};

use super::field::place_of;
use super::words::{figures, gradient_unit, gradient_unit_si, value_with_uncertainty, with_unit};

/// The headline: the flux density with its uncertainty and unit; `None` when there is none.
pub fn headline(analysis: &Analysis) -> Option<String> {
    let flux_density = analysis.flux_density.as_ref()?;
    Some(if flux_density.text.is_empty() {
        with_unit(&figures(flux_density.tesla * 1e3, 4), "mT")
    } else {
        flux_density.text.clone()
    })
}

/// The flux density of each series, with what the series is called: empty unless there are several.
pub fn headlines(analysis: &Analysis) -> Vec<String> {
    if analysis.families.len() < 2 {
        return Vec::new();
    }
    let of = |family: &Family| {
        let Some(flux_density) = &family.flux_density else {
            return format!("{}: B = —", family.label);
        };
        let mut line = format!("{}: B = {}", family.label, flux_density.text);
        if flux_density.school_uncertainty.is_some() {
            line.push_str(&format!(
                ", {}",
                family_kind(analysis, family, flux_density)
            ));
        }
        if flux_density.expanded_uncertainty.is_some() {
            line.push_str(&format!(
                "; standard, 95 %: {}",
                whole(&flux_density.text_standard)
            ));
        }
        line
    };
    let together = analysis
        .joint
        .as_ref()
        .map(|joint| format!("All series together: B = {}, 95 %", whole(&joint.text)));
    together
        .into_iter()
        .chain(analysis.families.iter().map(of))
        .collect()
}

/// The flux densities of several series on one short line: `10 mm: (33 ± 2) mT · 20 mm: …`.
pub fn in_short(analysis: &Analysis) -> String {
    if let Some(joint) = &analysis.joint {
        return joint.text.clone();
    }
    let parts: Vec<String> = analysis
        .families
        .iter()
        .map(|family| {
            let value = family.flux_density.as_ref();
            format!(
                "{}: {}",
                family.label,
                value.map_or("—", |found| found.text.as_str())
            )
        })
        .collect();
    parts.join(" · ")
}

/// The result as it is told to somebody who does not look at it: `B = (33.2 ± 0.8) mT.`; empty when there is none.
pub fn aloud(analysis: &Analysis) -> String {
    let found = match headline(analysis) {
        Some(headline) => format!("B = {headline}"),
        None => in_short(analysis),
    };
    match doubt(analysis) {
        _ if found.is_empty() => found,
        Some(field) => format!("{found}, not to be trusted yet: look at {field}."),
        None => format!("{found}."),
    }
}

/// Which uncertainty the headline has, in words; empty when it has none.
pub fn kind_of_headline(analysis: &Analysis) -> String {
    analysis
        .flux_density
        .as_ref()
        .filter(|found| found.school_uncertainty.is_some())
        .map_or_else(String::new, |found| {
            school_kind(found, analysis.blocked.is_some())
        })
}

/// What the school value of one series is.
pub(super) fn family_kind(analysis: &Analysis, family: &Family, found: &FluxDensity) -> String {
    let blocked = family.extreme_lines.is_none() && analysis.fit != Fit::ThroughOrigin;
    school_kind(found, blocked)
}

/// What the school value is: only the worst lines make it one in the sense of the school books.
fn school_kind(found: &FluxDensity, blocked: bool) -> String {
    match found.school_basis {
        Some("standard_error") if blocked => {
            "B ± standard error (no line passes through every bar)".to_owned()
        }
        Some("standard_error") => "B ± standard error".to_owned(),
        Some("worst_lines") => "from the worst lines".to_owned(),
        _ => "school uncertainty".to_owned(),
    }
}

/// A field that enters B and could not be used: B as it stands rests on something else than what was typed.
pub fn doubt(analysis: &Analysis) -> Option<String> {
    let any = analysis.flux_density.is_some()
        || analysis
            .families
            .iter()
            .any(|family| family.flux_density.is_some());
    let symbols: Vec<&str> = ENTER_B
        .iter()
        .filter(|(name, _)| {
            analysis.notes.iter().any(|note| {
                note.weight == "trouble" && note.field.and_then(place_of) == Some(*name)
            })
        })
        .map(|(_, symbol)| *symbol)
        .collect();
    (any && !symbols.is_empty()).then(|| symbols.join(" and "))
}

/// The fields whose values make B, and what they are called in a word.
const ENTER_B: [(&str, &str); 6] = [
    ("length", "L"),
    ("wires", "N"),
    ("angle", "θ"),
    ("gravity", "g"),
    ("lever_ratio", "the lever ratio"),
    ("fixed_current", "the current that was kept"),
];

/// A value that is not parted from its unit at the end of a line.
pub(super) fn whole(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}

/// What is worth knowing beside the headline, line by line: which uncertainty it is, the other one, and the gradient.
pub fn beside(analysis: &Analysis) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(flux_density) = &analysis.flux_density {
        let kind = kind_of_headline(analysis);
        if !kind.is_empty() {
            lines.push(format!("School: {}, {kind}", whole(&flux_density.text)));
        }
        if flux_density.expanded_uncertainty.is_some() {
            lines.push(format!(
                "Standard, 95 %: {}",
                whole(&flux_density.text_standard)
            ));
        }
    }
    if let Some(line) = &analysis.best_line {
        let per = gradient_unit_si(analysis);
        let gradient = whole(&value_with_uncertainty(
            line.gradient / per,
            line.gradient_standard_error.map(|error| error / per),
            &gradient_unit(analysis),
        ));
        lines.push(format!("Gradient: {gradient}"));
    }
    lines
}
/// Why there is no headline, in a sentence; empty when there is one.
pub fn why_none(job: &Job, analysis: &Analysis) -> String {
    if analysis.flux_density.is_some() {
        return String::new();
    }
    let families = analysis.families.len();
    if families > 1 {
        return match analysis.joint {
            Some(_) => format!("The table holds {families} series that agree with one field."),
            None => {
                format!("The table holds {families} series: each has a line and a B of its own.")
            }
        };
    }
    let used = analysis
        .points
        .iter()
        .filter(|point| !point.excluded)
        .count();
    match used {
        0 => "No readings yet: type or paste a current and a balance reading in each row.".to_owned(),
        1 => "One point so far: a line needs at least two, at different currents.".to_owned(),
        _ if analysis.best_line.is_none() => {
            "No line can be drawn through these points: the values along the graph are all the same.".to_owned()
        }
        _ if job.varied == Varied::Current && job.apparatus.length.trim().is_empty() => {
            "Type the length of the wire in the field, L, and B appears here.".to_owned()
        }
        _ => "B needs one more thing: see the messages beside the apparatus and below.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::algebra::tests::check_value;
    use super::*;
    use yokeline_core::job::output::Note;

    #[test]
    fn beside_the_headline_stands_which_uncertainty_it_has() {
        let (_, analysis) = check_value();
        assert_eq!(
            beside(&analysis),
            [
                "School: (32.7\u{a0}±\u{a0}0.4)\u{a0}mT, from the worst lines",
                "Gradient: (0.1666\u{a0}±\u{a0}0.0009)\u{a0}g/A"
            ]
        );
        assert!(beside(&Analysis::default()).is_empty());
    }

    #[test]
    fn each_of_several_series_has_its_b_and_its_kind() {
        let (_, mut analysis) = check_value();
        let one = Family {
            label: "10 mm".to_owned(),
            flux_density: analysis.flux_density.take(),
            extreme_lines: Some(Default::default()),
            ..Family::default()
        };
        let mut other = one.clone();
        other.label = "20 mm".to_owned();
        other.extreme_lines = None;
        if let Some(found) = &mut other.flux_density {
            found.school_basis = Some("standard_error");
        }
        analysis.families = vec![one, other];
        assert_eq!(
            headlines(&analysis),
            [
                "10 mm: B = (32.7 ± 0.4) mT, from the worst lines",
                "20 mm: B = (32.7 ± 0.4) mT, B ± standard error (no line passes through every bar)"
            ]
        );
    }

    #[test]
    fn a_field_that_could_not_be_used_makes_b_doubtful() {
        let (_, mut analysis) = check_value();
        assert_eq!(doubt(&analysis), None);
        analysis.notes = vec![Note {
            field: Some("wires"),
            weight: "trouble",
            ..Note::default()
        }];
        assert_eq!(doubt(&analysis).as_deref(), Some("N"));
        analysis.flux_density = None;
        assert_eq!(doubt(&analysis), None, "there is no B to doubt");
    }

    #[test]
    fn says_what_is_missing() {
        let (mut job, mut analysis) = check_value();
        assert_eq!(why_none(&job, &analysis), "");
        analysis.flux_density = None;
        job.apparatus.length.clear();
        assert!(why_none(&job, &analysis).contains("length of the wire"));
        analysis.points.clear();
        assert!(why_none(&job, &analysis).contains("No readings yet"));
    }
}
