//! The fields of typed text: what each is called in the document and in a word, and where it stands in the job.

use yokeline_core::job::Job;

/// A field of typed text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // The fields of the job have the same names and say what they are.
pub enum Field {
    Title,
    Length,
    LengthUncertainty,
    Wires,
    Angle,
    Gravity,
    LeverRatio,
    BalanceResolution,
    CurrentResolution,
    BalanceCalibration,
    CurrentCalibration,
    Walk,
    FixedCurrent,
    ProbeReading,
    ProbeUncertainty,
}

impl Field {
    /// Every field.
    pub const ALL: [Field; 15] = [
        Field::Title,
        Field::Length,
        Field::LengthUncertainty,
        Field::Wires,
        Field::Angle,
        Field::Gravity,
        Field::LeverRatio,
        Field::BalanceResolution,
        Field::CurrentResolution,
        Field::BalanceCalibration,
        Field::CurrentCalibration,
        Field::Walk,
        Field::FixedCurrent,
        Field::ProbeReading,
        Field::ProbeUncertainty,
    ];

    /// The name it has in the document, which notes use too.
    pub fn name(self) -> &'static str {
        match self {
            Field::Title => "title",
            Field::Length => "length",
            Field::LengthUncertainty => "length_uncertainty",
            Field::Wires => "wires",
            Field::Angle => "angle",
            Field::Gravity => "gravity",
            Field::LeverRatio => "lever_ratio",
            Field::BalanceResolution => "balance_resolution",
            Field::CurrentResolution => "current_resolution",
            Field::BalanceCalibration => "balance_calibration",
            Field::CurrentCalibration => "current_calibration",
            Field::Walk => "walk",
            Field::FixedCurrent => "fixed_current",
            Field::ProbeReading => "probe_reading",
            Field::ProbeUncertainty => "probe_uncertainty",
        }
    }

    /// The field of that name.
    pub fn named(name: &str) -> Option<Field> {
        Self::ALL.into_iter().find(|field| field.name() == name)
    }

    /// What it is called in a word or two.
    pub fn in_short(self) -> &'static str {
        match self {
            Field::Title => "title",
            Field::Length => "L",
            Field::LengthUncertainty => "uncertainty of L",
            Field::Wires => "N",
            Field::Angle => "θ",
            Field::Gravity => "g",
            Field::LeverRatio => "lever ratio",
            Field::BalanceResolution => "step of the balance",
            Field::CurrentResolution => "step of the ammeter",
            Field::BalanceCalibration => "scale of the balance",
            Field::CurrentCalibration => "scale of the ammeter",
            Field::Walk => "walk of the probe",
            Field::FixedCurrent => "the current that was kept",
            Field::ProbeReading => "expected B",
            Field::ProbeUncertainty => "uncertainty of the expected B",
        }
    }

    /// What is typed in it.
    pub fn of(self, job: &Job) -> &str {
        match self {
            Field::Title => &job.title,
            Field::Length => &job.apparatus.length,
            Field::LengthUncertainty => &job.apparatus.length_uncertainty,
            Field::Wires => &job.apparatus.wires,
            Field::Angle => &job.apparatus.angle,
            Field::Gravity => &job.apparatus.gravity,
            Field::LeverRatio => &job.apparatus.lever_ratio,
            Field::BalanceResolution => &job.apparatus.balance_resolution,
            Field::CurrentResolution => &job.apparatus.current_resolution,
            Field::BalanceCalibration => &job.apparatus.balance_calibration,
            Field::CurrentCalibration => &job.apparatus.current_calibration,
            Field::Walk => &job.walk.table,
            Field::FixedCurrent => &job.fixed_current,
            Field::ProbeReading => &job.probe.reading,
            Field::ProbeUncertainty => &job.probe.uncertainty,
        }
    }

    pub(super) fn in_job(self, job: &mut Job) -> &mut String {
        match self {
            Field::Title => &mut job.title,
            Field::Length => &mut job.apparatus.length,
            Field::LengthUncertainty => &mut job.apparatus.length_uncertainty,
            Field::Wires => &mut job.apparatus.wires,
            Field::Angle => &mut job.apparatus.angle,
            Field::Gravity => &mut job.apparatus.gravity,
            Field::LeverRatio => &mut job.apparatus.lever_ratio,
            Field::BalanceResolution => &mut job.apparatus.balance_resolution,
            Field::CurrentResolution => &mut job.apparatus.current_resolution,
            Field::BalanceCalibration => &mut job.apparatus.balance_calibration,
            Field::CurrentCalibration => &mut job.apparatus.current_calibration,
            Field::Walk => &mut job.walk.table,
            Field::FixedCurrent => &mut job.fixed_current,
            Field::ProbeReading => &mut job.probe.reading,
            Field::ProbeUncertainty => &mut job.probe.uncertainty,
        }
    }
}

/// The field of the page that a note's field is shown beside; `None` for one that the page has no field for.
pub fn place_of(field: &str) -> Option<&'static str> {
    let name = match field {
        "probe" | "reading" | "probe.reading" => "probe_reading",
        "uncertainty" | "probe.uncertainty" => "probe_uncertainty",
        "varied" => return Some("varied"),
        "balance_zero" => return Some("balance_zero"),
        "fit" => return Some("fit"),
        other => other.strip_prefix("apparatus.").unwrap_or(other),
    };
    Field::named(name).map(Field::name)
}
