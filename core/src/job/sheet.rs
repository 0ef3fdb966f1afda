//! The worked sheet of a job: what the stages found, handed to the sheet stage.

use crate::line::extreme::Bars;
use crate::sheet::{
    self, Excluded, Found, Given, Method, Observation, Sheet, Show, Way, WorstLineRule,
};

use super::input;
use super::words::Remark;
use super::work::{Series, Working};

/// The sheet as the job asks for it.
pub fn sheet(working: &Working) -> Sheet {
    let job = &working.job;
    let of_table = working.table.notes.iter().map(ToString::to_string);
    let of_readings = working.readings.remarks.iter().map(|remark| remark.text());
    let excluded = |row: &usize| Excluded {
        row: *row,
        reason: job.reasons.get(row).cloned().unwrap_or_default(),
    };
    let known = |row: &&usize| **row >= 1 && **row <= working.table.rows;
    let observed = |finding: &crate::findings::Finding| Observation {
        text: finding.text(),
        advice: finding.advice().to_owned(),
        rows: finding.rows.clone(),
    };
    sheet::build::sheet(&Given {
        title: &job.title,
        table: &working.table,
        setup: &working.setup,
        readings: &working.readings,
        method: method(working),
        found: working.series.iter().map(found).collect(),
        joint: working.joint.as_ref().map(|j| (j.value, &j.budget)),
        effective_length: working.walked.as_ref().map(|w| (w.length, w.used)),
        monte_carlo: working.monte_carlo,
        relative: job.stated_uncertainties == input::StatedUncertainties::Relative,
        comparison: working.comparison,
        observations: working.findings.iter().map(observed).collect(),
        notes: of_table.chain(of_readings).collect(),
        excluded: job.exclude.iter().filter(known).map(excluded).collect(),
        worst_line_rule: match job.worst_line_rule {
            input::WorstLineRule::HalfDifference => WorstLineRule::HalfDifference,
            input::WorstLineRule::LargerDistance => WorstLineRule::LargerDistance,
        },
        show: match job.sheet.show {
            input::Show::Full => Show::Full,
            input::Show::Answers => Show::Answers,
            input::Show::Blank => Show::Blank,
        },
        way: match job.sheet.uncertainty {
            input::UncertaintyWay::Both => Way::Both,
            input::UncertaintyWay::School => Way::School,
            input::UncertaintyWay::Standard => Way::Standard,
        },
    })
}

fn found(series: &Series) -> Found<'_> {
    Found {
        best: series.best.as_ref().ok().copied(),
        drift: series.drift,
        through_origin: series.origin,
        inverse: series.inverse.map(|i| (i.line, i.flux_density)),
        residual_tests: series.residual_tests,
        extremes: series.extremes.clone(),
        boxes: series.bars == Bars::Boxes,
        blocked_rows: series.suspects.clone(),
        smallest_half_width: series.smallest_half_width,
        triangle: series.triangle,
        flux_density: series.flux_density.as_ref(),
    }
}

/// How the line was found in the end: the kind that was asked for, unless it could not be had.
fn method(working: &Working) -> Method {
    if working
        .remarks
        .iter()
        .any(|remark| matches!(remark, Remark::FitReplaced { .. }))
    {
        return Method::LeastSquares;
    }
    match working.job.fit {
        input::Fit::LeastSquares => Method::LeastSquares,
        input::Fit::Weighted => Method::Weighted,
        input::Fit::BothErrors => Method::BothErrors,
        input::Fit::ThroughOrigin => Method::ThroughOrigin,
    }
}
