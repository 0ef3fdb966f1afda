//! A task that a teacher hands out, as the fragment of a link: `#h1.` and then its JSON, squeezed.
//!
//! Start at [`Homework`], [`to_fragment`] and [`from_fragment`]. A task names a practice set or carries readings of its
//! own, so that a link to a set stays short enough for a small QR code. What it hides is not in plain sight on the page,
//! and is no secret from somebody who takes the link apart.

use serde::{Deserialize, Serialize};
use yokeline_core::job::Job;
use yokeline_core::practice::{Level, Recipe, set};

use super::squeeze::{self, Kind, to_value, without_defaults};
use super::{Head, KeepError, link, reason};

/// A task in a link, and the version of the format that is written.
const HOMEWORK: Kind = Kind {
    letter: 'h',
    format: 1,
};

/// The longest text of a task that is kept, in characters: about two pages.
pub const LONGEST_TASK: usize = 4_000;

/// What a teacher hands out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Homework {
    /// What is to be done, in the teacher's words.
    pub task: String,
    /// The practice set to be worked on, where it is one.
    pub practice: Option<Practice>,
    /// The readings to be worked on, where they are given.
    pub job: Option<Box<Job>>,
    /// What the page shows beside them.
    pub show: Reveal,
}

/// A practice set that is handed out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Practice {
    /// Its kind.
    pub level: Level,
    /// The teacher's own recipe, where it is of no ready kind.
    pub own: Option<Box<Recipe>>,
    /// The number of the set.
    pub set: u32,
    /// The number of a student whose set everybody gets; none where all type their own number.
    pub student: Option<u32>,
}

/// What is shown to whoever opens a task.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Reveal {
    /// Everything, as on the page itself.
    #[default]
    Everything,
    /// Verdicts and hints until an answer was typed; then everything.
    AfterAttempt,
    /// Verdicts and hints, never a result.
    Hints,
}

impl Reveal {
    /// All of them, in the order of the list on the page.
    pub const ALL: [Reveal; 3] = [Reveal::AfterAttempt, Reveal::Hints, Reveal::Everything];
}

impl Homework {
    /// The job of a student: readings that are given, or the set of that number; none where students bring their own, or
    /// have to type a number first.
    pub fn job_of(&self, student: Option<u32>) -> Option<Job> {
        if let Some(job) = &self.job {
            return Some(Job::clone(job));
        }
        let practice = self.practice.as_ref()?;
        let student = practice.student.or(student)?;
        Some(set(&practice.recipe(), practice.set, student).job)
    }

    /// Whether each student has a number of their own to type.
    pub fn asks_number(&self) -> bool {
        self.job.is_none() && self.practice.as_ref().is_some_and(|p| p.student.is_none())
    }
}

impl Practice {
    /// What its sets are made of.
    pub fn recipe(&self) -> Recipe {
        self.own
            .as_deref()
            .cloned()
            .unwrap_or_else(|| self.level.recipe())
    }
}

/// The fragment of a link to this task, with its `#`.
///
/// # Examples
/// ```
/// use yokeline_web::keep::homework::{Homework, Practice, Reveal, from_fragment, to_fragment};
///
/// let task = Homework {
///     task: "Find B.".to_owned(),
///     practice: Some(Practice { set: 3, ..Practice::default() }),
///     show: Reveal::Hints,
///     ..Homework::default()
/// };
/// let fragment = to_fragment(&task);
/// assert!(fragment.starts_with("#h1.") && fragment.len() < 120);
/// assert_eq!(from_fragment(&fragment), Ok(task));
/// ```
pub fn to_fragment(homework: &Homework) -> String {
    let short = Homework {
        task: homework.task.chars().take(LONGEST_TASK).collect(),
        job: None,
        ..homework.clone()
    };
    let mut value = without_defaults(to_value(&short), &to_value(&Homework::default()));
    if let (Some(job), Some(fields)) = (&homework.job, value.as_object_mut()) {
        fields.insert("job".to_owned(), link::shortest(job));
    }
    if let Some(own) = value
        .pointer_mut("/practice/own")
        .filter(|own| own.is_object())
    {
        let usual = to_value(&Recipe::default());
        *own = without_defaults(own.take(), &usual);
    }
    if let Some(practice) = value.pointer_mut("/practice").filter(|p| p.is_object()) {
        let usual = to_value(&Practice::default());
        *practice = without_defaults(practice.take(), &usual);
    }
    squeeze::pack(HOMEWORK, &value.to_string())
}

/// The task in a fragment, or in a whole link. Fields that this release does not know are ignored.
///
/// # Errors
/// As [`link::from_fragment`].
pub fn from_fragment(fragment: &str) -> Result<Homework, KeepError> {
    /// Where a task that holds a job says of which version that is.
    #[derive(Deserialize)]
    struct WithJob {
        job: Option<Head>,
    }
    let json = squeeze::unpack(HOMEWORK, fragment)?;
    let misread = |error: serde_json::Error| KeepError::LinkMisread {
        reason: reason(&error),
    };
    if let Ok(WithJob { job: Some(head) }) = serde_json::from_str(&json) {
        head.refuse_later_version()?;
    }
    let mut homework: Homework = serde_json::from_str(&json).map_err(misread)?;
    homework.task = homework.task.chars().take(LONGEST_TASK).collect();
    Ok(homework)
}

/// Whether a fragment means to hold a task, of whatever version and in whatever state.
pub fn holds_homework(fragment: &str) -> bool {
    HOMEWORK.is(fragment)
}

#[cfg(test)]
mod tests {
    use super::*;
    use yokeline_core::practice::Range;

    fn practised(show: Reveal) -> Homework {
        Homework {
            task: "Find B and its uncertainty for your own number.\nShow your working.".to_owned(),
            practice: Some(Practice {
                level: Level::OneToFind,
                set: 12,
                ..Practice::default()
            }),
            job: None,
            show,
        }
    }

    #[test]
    fn a_task_comes_back_from_a_short_link() {
        for show in Reveal::ALL {
            let task = practised(show);
            let fragment = to_fragment(&task);
            assert!(
                fragment.len() < 220,
                "{} characters: {fragment}",
                fragment.len()
            );
            assert_eq!(from_fragment(&fragment), Ok(task));
        }
    }

    #[test]
    fn readings_of_its_own_come_back_too() {
        let task = Homework {
            job: Some(Box::new(Job {
                table: "I / A\tm / g\n1\t0.2\n2\t0.4".to_owned(),
                ..Job::default()
            })),
            ..Homework::default()
        };
        let back = from_fragment(&to_fragment(&task)).unwrap();
        assert_eq!(back, task);
        assert_eq!(back.job_of(Some(3)), task.job.map(|job| *job));
    }

    #[test]
    fn a_student_gets_the_set_of_their_number() {
        let task = practised(Reveal::Hints);
        assert!(task.asks_number() && task.job_of(None).is_none());
        let (one, two) = (task.job_of(Some(1)), task.job_of(Some(2)));
        assert!(one.is_some() && one != two);
        let same = Homework {
            practice: task.practice.clone().map(|p| Practice {
                student: Some(2),
                ..p
            }),
            ..task
        };
        assert!(!same.asks_number());
        assert_eq!(
            (same.job_of(None), same.job_of(Some(9))),
            (two.clone(), two)
        );
    }

    #[test]
    fn a_recipe_of_ones_own_comes_back_and_makes_its_own_sets() {
        let mut recipe = Recipe::default();
        recipe.faults.drift_g = Range::between(0.004, 0.012);
        let task = Homework {
            practice: Some(Practice {
                own: Some(Box::new(recipe.clone())),
                set: 5,
                ..Practice::default()
            }),
            ..Homework::default()
        };
        let fragment = to_fragment(&task);
        assert!(fragment.len() < 150, "{} characters", fragment.len());
        assert_eq!(from_fragment(&fragment), Ok(task.clone()));
        assert_eq!(task.job_of(Some(8)), Some(set(&recipe, 5, 8).job));
        // With nothing changed it is still a recipe of its own, and not the first of the ready ones.
        let plain = Homework {
            practice: Some(Practice {
                own: Some(Box::default()),
                ..Practice::default()
            }),
            ..Homework::default()
        };
        assert_eq!(from_fragment(&to_fragment(&plain)), Ok(plain));
    }

    #[test]
    fn a_job_is_no_task_and_a_task_is_no_job() {
        let task = to_fragment(&practised(Reveal::Everything));
        assert!(holds_homework(&task) && !link::holds_job(&task));
        let job = link::to_fragment(&Job::default());
        assert!(link::holds_job(&job) && !holds_homework(&job));
        assert_eq!(from_fragment(&job), Err(KeepError::NoJobInLink));
        assert_eq!(from_fragment("#help-part"), Err(KeepError::NoJobInLink));
    }

    #[test]
    fn what_a_later_release_wrote_is_refused_by_name() {
        assert_eq!(
            from_fragment("#h2.abc"),
            Err(KeepError::LaterRelease {
                version: 2,
                newest: 1
            })
        );
        let later = squeeze::pack(HOMEWORK, "{\"job\":{\"version\":9}}");
        assert_eq!(
            from_fragment(&later),
            Err(KeepError::LaterRelease {
                version: 9,
                newest: 1
            })
        );
        let unknown = squeeze::pack(HOMEWORK, "{\"practice\":{\"level\":\"in_the_rain\"}}");
        assert!(
            matches!(from_fragment(&unknown), Err(KeepError::LinkMisread { reason }) if reason.contains("in_the_rain"))
        );
    }

    #[test]
    fn a_task_without_end_is_cut() {
        let task = Homework {
            task: "é".repeat(LONGEST_TASK + 9),
            ..Homework::default()
        };
        let back = from_fragment(&to_fragment(&task)).unwrap();
        assert_eq!(back.task.chars().count(), LONGEST_TASK);
        let by_hand = squeeze::pack(HOMEWORK, &format!("{{\"task\":\"{}\"}}", task.task));
        assert_eq!(from_fragment(&by_hand), Ok(back));
    }
}
