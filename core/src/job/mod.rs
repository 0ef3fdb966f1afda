//! The way itself: a [`Job`] (all that the user typed) goes in, an [`Analysis`] (all that was found) comes out.
//!
//! Start at [`analyse`]. The shapes in [`input`] and [`output`] are what tools, links and JavaScript see: they are
//! versioned, and converted here on purpose, so that the types inside a stage stay free to change.

mod convert;
mod drift;
pub mod input;
pub mod output;
mod sheet;
mod walk;
mod words;
mod work;

pub use input::{Apparatus, Fit, Job, Probe, Varied};
pub use output::Analysis;
pub use work::{Series, Working, tesla_unit, work};

/// Everything that can be said of a job. The same job gives the same analysis, to the bit, natively and in a browser.
///
/// # Examples
/// ```
/// use yokeline_core::job::{Apparatus, Job, analyse};
/// let job = Job {
///     table: "I / A\tm / g\n0.50\t0.08\n1.00\t0.17\n1.50\t0.25\n2.00\t0.33\n".into(),
///     apparatus: Apparatus { length: "5.0 cm".into(), ..Apparatus::default() },
///     ..Job::default()
/// };
/// let found = analyse(&job).flux_density.unwrap();
/// assert!((found.tesla - 0.0326).abs() < 0.0001);
/// ```
pub fn analyse(job: &Job) -> Analysis {
    work(job).analysis()
}

impl Working {
    /// What others see of it.
    pub fn analysis(&self) -> Analysis {
        convert::analysis(self)
    }

    /// The same with a simulation that was run elsewhere, so that the sheet can tell of it.
    pub fn with_simulation(self, found: &output::MonteCarlo) -> Working {
        Working {
            monte_carlo: Some(convert::outcome(found)),
            ..self
        }
    }

    /// The worked solution, or as much of it as the job asks for.
    pub fn sheet(&self) -> crate::sheet::Sheet {
        sheet::sheet(self)
    }
}
