//! The lists of choices and the ticks: what each value in the document stands for, and where it stands in the job.

use yokeline_core::job::input::{
    BalanceZero, DecimalMark, Lie, Show, StatedUncertainties, UncertaintyWay, WorstLineRule,
};
use yokeline_core::job::{Fit, Job, Varied};

/// A choice from a list, with the value it was given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // The fields of the job have the same names and say what they are.
pub enum Choice {
    Varied(Varied),
    Fit(Fit),
    WorstLineRule(WorstLineRule),
    BalanceZero(BalanceZero),
    StatedUncertainties(StatedUncertainties),
    Show(Show),
    UncertaintyWay(UncertaintyWay),
    DecimalMark(Option<DecimalMark>),
    Lie(Option<Lie>),
}

impl Choice {
    /// The names, in the document, of the lists.
    pub const LISTS: [&'static str; 9] = [
        "varied",
        "fit",
        "worst_line_rule",
        "balance_zero",
        "stated_uncertainties",
        "show",
        "uncertainty_way",
        "decimal-mark",
        "lie",
    ];

    /// The choice that a list of the document and the value chosen in it stand for.
    pub fn named(list: &str, value: &str) -> Option<Choice> {
        Some(match (list, value) {
            ("varied", "current") => Choice::Varied(Varied::Current),
            ("varied", "length") => Choice::Varied(Varied::Length),
            ("varied", "angle") => Choice::Varied(Varied::Angle),
            ("varied", "product") => Choice::Varied(Varied::Product),
            ("fit", "least_squares") => Choice::Fit(Fit::LeastSquares),
            ("fit", "weighted") => Choice::Fit(Fit::Weighted),
            ("fit", "both_errors") => Choice::Fit(Fit::BothErrors),
            ("fit", "through_origin") => Choice::Fit(Fit::ThroughOrigin),
            ("worst_line_rule", "half_difference") => {
                Choice::WorstLineRule(WorstLineRule::HalfDifference)
            }
            ("worst_line_rule", "larger_distance") => {
                Choice::WorstLineRule(WorstLineRule::LargerDistance)
            }
            ("balance_zero", "as_noted") => Choice::BalanceZero(BalanceZero::AsNoted),
            ("balance_zero", "each_time") => Choice::BalanceZero(BalanceZero::EachTime),
            ("balance_zero", "drift") => Choice::BalanceZero(BalanceZero::Drift),
            ("balance_zero", "as_read") => Choice::BalanceZero(BalanceZero::AsRead),
            ("stated_uncertainties", "known") => {
                Choice::StatedUncertainties(StatedUncertainties::Known)
            }
            ("stated_uncertainties", "relative") => {
                Choice::StatedUncertainties(StatedUncertainties::Relative)
            }
            ("show", "full") => Choice::Show(Show::Full),
            ("show", "answers") => Choice::Show(Show::Answers),
            ("show", "blank") => Choice::Show(Show::Blank),
            ("uncertainty_way", "both") => Choice::UncertaintyWay(UncertaintyWay::Both),
            ("uncertainty_way", "school") => Choice::UncertaintyWay(UncertaintyWay::School),
            ("uncertainty_way", "standard") => Choice::UncertaintyWay(UncertaintyWay::Standard),
            ("decimal-mark", "") => Choice::DecimalMark(None),
            ("decimal-mark", "point") => Choice::DecimalMark(Some(DecimalMark::Point)),
            ("decimal-mark", "comma") => Choice::DecimalMark(Some(DecimalMark::Comma)),
            ("lie", "") => Choice::Lie(None),
            ("lie", "down") => Choice::Lie(Some(Lie::Down)),
            ("lie", "across") => Choice::Lie(Some(Lie::Across)),
            _ => return None,
        })
    }

    /// The value that a list of the document shows for this job.
    pub fn shown(list: &str, job: &Job) -> &'static str {
        match list {
            "varied" => match job.varied {
                Varied::Current => "current",
                Varied::Length => "length",
                Varied::Angle => "angle",
                Varied::Product => "product",
            },
            "fit" => match job.fit {
                Fit::LeastSquares => "least_squares",
                Fit::Weighted => "weighted",
                Fit::BothErrors => "both_errors",
                Fit::ThroughOrigin => "through_origin",
            },
            "worst_line_rule" => match job.worst_line_rule {
                WorstLineRule::HalfDifference => "half_difference",
                WorstLineRule::LargerDistance => "larger_distance",
            },
            "balance_zero" => match job.balance_zero {
                BalanceZero::AsNoted => "as_noted",
                BalanceZero::EachTime => "each_time",
                BalanceZero::Drift => "drift",
                BalanceZero::AsRead => "as_read",
            },
            "stated_uncertainties" => match job.stated_uncertainties {
                StatedUncertainties::Known => "known",
                StatedUncertainties::Relative => "relative",
            },
            "show" => match job.sheet.show {
                Show::Full => "full",
                Show::Answers => "answers",
                Show::Blank => "blank",
            },
            "uncertainty_way" => match job.sheet.uncertainty {
                UncertaintyWay::Both => "both",
                UncertaintyWay::School => "school",
                UncertaintyWay::Standard => "standard",
            },
            "decimal-mark" => match job.decimal_mark {
                None => "",
                Some(DecimalMark::Point) => "point",
                Some(DecimalMark::Comma) => "comma",
            },
            "lie" => match job.lie {
                None => "",
                Some(Lie::Down) => "down",
                Some(Lie::Across) => "across",
            },
            _ => "",
        }
    }

    pub(super) fn put_into(self, job: &mut Job) {
        match self {
            Choice::Varied(varied) => job.varied = varied,
            Choice::Fit(fit) => job.fit = fit,
            Choice::WorstLineRule(rule) => job.worst_line_rule = rule,
            Choice::BalanceZero(zero) => job.balance_zero = zero,
            Choice::StatedUncertainties(stated) => job.stated_uncertainties = stated,
            Choice::Show(show) => job.sheet.show = show,
            Choice::UncertaintyWay(way) => job.sheet.uncertainty = way,
            Choice::DecimalMark(mark) => job.decimal_mark = mark,
            Choice::Lie(lie) => job.lie = lie,
        }
    }
}

/// Something that is so or not so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tick {
    /// Readings of a current and of the same current reversed are joined.
    ReversedPairs,
    /// The effective length of the walk takes the place of the typed length.
    WalkLength,
}

impl Tick {
    /// Every tick.
    pub const ALL: [Tick; 2] = [Tick::ReversedPairs, Tick::WalkLength];

    /// The name it has in the document.
    pub fn name(self) -> &'static str {
        match self {
            Tick::ReversedPairs => "reversed_pairs",
            Tick::WalkLength => "walk_length",
        }
    }

    /// The tick of that name.
    pub fn named(name: &str) -> Option<Tick> {
        Self::ALL.into_iter().find(|tick| tick.name() == name)
    }

    /// Whether it is so.
    pub fn of(self, job: &Job) -> bool {
        match self {
            Tick::ReversedPairs => job.reversed_pairs,
            Tick::WalkLength => job.walk.use_length,
        }
    }

    pub(super) fn put_into(self, job: &mut Job, on: bool) {
        match self {
            Tick::ReversedPairs => job.reversed_pairs = on,
            Tick::WalkLength => job.walk.use_length = on,
        }
    }
}
