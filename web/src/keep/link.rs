//! A job as the fragment of a link: `#j1.` and then the job's JSON, squeezed.
//!
//! Start at [`to_fragment`] and [`from_fragment`]. A browser never sends the fragment to any server, so a shared job
//! goes only to whoever is given the link.
//!
//! The format, version 1: the job as JSON without the fields that have their default value, squeezed as `squeeze.rs`
//! says. The digit after the `j` is raised when that changes, and old digits stay readable.

use serde_json::Value;
use yokeline_core::job::Job;

use super::squeeze::{self, Kind, to_value, without_defaults};
use super::{KeepError, parse_job, reason, refuse_later_version};

pub use super::squeeze::LONGEST;

/// The length, in characters, up to which links survive mail and chat programs in practice.
pub const COMFORTABLE: usize = 2_000;

/// A job in a link, and the version of the format that is written.
const JOB: Kind = Kind {
    letter: 'j',
    format: 1,
};

/// The fragment of a link to this job, with its `#`: to be put after the page's address.
///
/// A job of any size gives a fragment; ask [`concern`] whether it will arrive.
///
/// # Examples
/// ```
/// use yokeline_core::job::Job;
/// use yokeline_web::keep::link;
///
/// let job = Job { table: "I / A\tm / g\n0.50\t0.08\n1.00\t0.17".to_owned(), ..Job::default() };
/// let fragment = link::to_fragment(&job);
/// assert!(fragment.starts_with("#j1."));
/// assert_eq!(link::from_fragment(&fragment), Ok(job));
/// ```
pub fn to_fragment(job: &Job) -> String {
    squeeze::pack(JOB, &shortest(job).to_string())
}

/// The job in a fragment, or in a whole link.
///
/// Blanks and line breaks inside, and punctuation or padding after the end, are passed over: that is what mail and chat
/// programs add. Fields that this release does not know are ignored.
///
/// # Errors
/// [`KeepError::NoJobInLink`] when it does not begin as a link to a job does; [`KeepError::LaterRelease`] for a format
/// or a job of a later version; [`KeepError::LinkTooLong`] over [`LONGEST`]; [`KeepError::LinkDamaged`] when it is cut
/// off or altered; [`KeepError::LinkSwells`] when it unpacks to more than 8 MiB; [`KeepError::LinkMisread`] when a field
/// holds what it cannot.
pub fn from_fragment(fragment: &str) -> Result<Job, KeepError> {
    let json = squeeze::unpack(JOB, fragment)?;
    refuse_later_version(&json)?;
    parse_job(&json).map_err(|error| KeepError::LinkMisread {
        reason: reason(&error),
    })
}

/// Whether a fragment means to hold a job, of whatever version and in whatever state: a page's own `#heading` does not.
pub fn holds_job(fragment: &str) -> bool {
    JOB.is(fragment)
}

/// What to tell the person who is about to share this fragment, when it is so long that it may not arrive.
pub fn concern(fragment: &str) -> Option<String> {
    let characters = fragment.len();
    if characters > LONGEST {
        Some(format!(
            "This job is too large for a link ({characters} characters; up to {LONGEST} can be read). Save it as a file \
             and share that."
        ))
    } else if characters > COMFORTABLE {
        Some(format!(
            "This link is {characters} characters long. Some mail and chat programs cut links of more than about \
             {COMFORTABLE}; a file is safer."
        ))
    } else {
        None
    }
}

/// What to tell the person who hands out links to a page at this address, when nobody else can open them.
pub fn works_here_only(page: &str) -> Option<String> {
    let here = |host: &str| {
        ["http://", "https://"]
            .iter()
            .any(|scheme| page.starts_with(&format!("{scheme}{host}")))
    };
    if is_file(page) {
        Some(
            "This page is a file on your own machine, so the link opens nothing for anybody else. Make it on the page of a \
             site, or in a copy that was saved there: such a copy knows the site’s address."
                .to_owned(),
        )
    } else if here("localhost") || here("127.") {
        Some(
            "This page is open from your own machine, so the link works there only: open it from where your students will."
                .to_owned(),
        )
    } else {
        None
    }
}

/// Whether a page at this address is a file of one machine.
pub fn is_file(page: &str) -> bool {
    page.starts_with("file:")
}

/// The job as JSON, without the fields that have their default value.
pub(super) fn shortest(job: &Job) -> Value {
    without_defaults(to_value(job), &to_value(&Job::default()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A usual class table: fifteen rows of current and two repeats, as copied from a spreadsheet.
    fn usual() -> Job {
        let mut table = String::from("Current / A\tReading 1 / g\tReading 2 / g\n");
        for row in 1..=15_u32 {
            let current = f64::from(row) * 0.2;
            let jitter = f64::from(row * 7 % 5) * 0.01 - 0.02;
            table += &format!(
                "{current:.2}\t{:.2}\t{:.2}\n",
                current * 0.167 + jitter,
                current * 0.165 - jitter
            );
        }
        let mut job = Job {
            title: "Force on a wire".to_owned(),
            table,
            exclude: vec![4],
            ..Job::default()
        };
        job.reasons
            .insert(4, "the wire touched the yoke".to_owned());
        job.apparatus.length = "5.0 cm".to_owned();
        job.apparatus.length_uncertainty = "0.1 cm".to_owned();
        job.apparatus.balance_resolution = "0.01 g".to_owned();
        job.probe.reading = "32 mT".to_owned();
        job.probe.uncertainty = "1 mT".to_owned();
        job
    }

    /// A fragment around any JSON, as a hostile writer would make it.
    fn fragment_of(json: &str) -> String {
        squeeze::pack(JOB, json)
    }

    #[test]
    fn a_usual_job_comes_back_from_a_short_link() {
        let fragment = to_fragment(&usual());
        assert_eq!(from_fragment(&fragment), Ok(usual()));
        assert!(fragment.len() < 600, "{} characters", fragment.len());
        assert_eq!(concern(&fragment), None);
    }

    #[test]
    fn links_that_open_nothing_elsewhere_say_so() {
        for page in [
            "file:///media/stick/yokeline.html",
            "http://localhost:8080/",
            "http://127.0.0.1:8080/",
        ] {
            assert!(works_here_only(page).is_some(), "{page}");
        }
        for page in [
            "https://school.example/yokeline/",
            "http://192.0.2.7/127.html",
        ] {
            assert_eq!(works_here_only(page), None, "{page}");
        }
        assert!(is_file("file:///C:/yokeline.html") && !is_file("https://file.example/"));
    }

    #[test]
    fn defaults_are_left_out() {
        let job = Job {
            table: "1\t2".to_owned(),
            ..Job::default()
        };
        let json = shortest(&job).to_string();
        assert_eq!(json, "{\"table\":\"1\\t2\"}");
        assert_eq!(
            from_fragment(&to_fragment(&Job::default())),
            Ok(Job::default())
        );
    }

    #[test]
    fn what_mail_programs_do_to_a_link_is_passed_over() {
        let fragment = to_fragment(&usual());
        let (head, tail) = fragment.split_at(90);
        for changed in [
            format!("https://example.org/practical/{fragment}"),
            fragment.trim_start_matches('#').to_owned(),
            format!("{head}\r\n {tail}\n"),
            format!("{fragment}="),
            format!("{fragment}=="),
            format!("{fragment}>."),
            format!("{fragment})"),
        ] {
            assert_eq!(from_fragment(&changed), Ok(usual()), "{changed}");
        }
    }

    #[test]
    fn other_fragments_are_not_jobs() {
        for other in [
            "",
            "#",
            "#readings",
            "#j",
            "#j.",
            "#j0.abc",
            "#j+1.abc",
            "#jump.here",
            "j1",
            "#k1.abc",
            "#é",
        ] {
            assert_eq!(from_fragment(other), Err(KeepError::NoJobInLink), "{other}");
            assert!(!holds_job(other), "{other}");
        }
        assert!(holds_job("#j1.") && holds_job("#j99.x"));
    }

    #[test]
    fn a_cut_or_altered_link_is_told_from_a_whole_one() {
        let fragment = to_fragment(&usual());
        for end in 4..fragment.len() {
            assert_eq!(
                from_fragment(&fragment[..end]),
                Err(KeepError::LinkDamaged),
                "cut at {end}"
            );
        }
        for place in 4..fragment.len() {
            let mut bytes = fragment.clone().into_bytes();
            bytes[place] = if bytes[place] == b'A' { b'B' } else { b'A' };
            let altered = String::from_utf8(bytes).unwrap();
            assert_eq!(
                from_fragment(&altered),
                Err(KeepError::LinkDamaged),
                "altered at {place}"
            );
        }
    }

    #[test]
    fn later_versions_are_refused_by_name() {
        let later = |version| Err(KeepError::LaterRelease { version, newest: 1 });
        assert_eq!(from_fragment("#j2.anything at all"), later(2));
        assert_eq!(
            from_fragment("#j99999999999999999999999.x"),
            later(u64::MAX)
        );
        assert_eq!(
            from_fragment(&fragment_of("{\"version\":7,\"table\":3}")),
            later(7)
        );
    }

    #[test]
    fn unknown_fields_are_ignored_and_wrong_ones_named() {
        let read = from_fragment(&fragment_of(
            "{\"table\":\"1 2\",\"colour\":{\"of\":[\"ink\"]}}",
        ));
        assert_eq!(read.unwrap().table, "1 2");
        let wrong =
            from_fragment(&fragment_of("{\"table\":\"1 2\",\"fit\":\"by eye\"}")).unwrap_err();
        assert!(
            matches!(&wrong, KeepError::LinkMisread { reason } if reason.contains("by eye")),
            "{wrong}"
        );
        for odd in ["[]", "null", "", "{", "\u{0}", &"[".repeat(100_000)] {
            let read = from_fragment(&fragment_of(odd));
            assert!(
                matches!(read, Err(KeepError::LinkMisread { .. }) | Ok(_)),
                "{read:?}"
            );
        }
    }

    #[test]
    fn huge_links_are_refused_before_they_are_unpacked() {
        let long = format!("#j1.{}", "A".repeat(LONGEST));
        let characters = LONGEST + 4;
        assert_eq!(
            from_fragment(&long),
            Err(KeepError::LinkTooLong {
                characters,
                longest: LONGEST
            })
        );
        let bomb = fragment_of(&" ".repeat(squeeze::LONGEST_UNPACKED + 1));
        assert!(bomb.len() < 20_000);
        assert_eq!(
            from_fragment(&bomb),
            Err(KeepError::LinkSwells {
                longest: squeeze::LONGEST_UNPACKED
            })
        );
        assert!(concern(&long).unwrap().contains("too large"));
        assert!(
            concern(&long[..COMFORTABLE + 1])
                .unwrap()
                .contains("cut links")
        );
    }
}
