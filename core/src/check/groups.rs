//! Readings of several groups in one table: a job of its own for each group that a column names.
//!
//! Start at [`Groups::of`]. A class that measured at several benches pastes one table; what a student answers belongs to the
//! readings of their own group.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use super::columns::{group_key, names_group};
use crate::job::input::{ColumnChoice, Lie, MonteCarlo};
use crate::job::{Job, Working, work};
use crate::table::{Plain, Role};

/// More groups than these are not told apart.
pub const MOST_GROUPS: usize = 100;
/// Fewer rows than these make no line.
const FEWEST_ROWS: usize = 2;

/// The readings of a table by group.
#[derive(Clone, Debug)]
pub struct Groups {
    /// The groups in the order in which the table names them first.
    pub groups: Vec<Group>,
    /// Names of groups that have too few rows for a line; they are not among the groups.
    pub too_short: Vec<String>,
}

/// The readings of one group.
#[derive(Clone, Debug)]
pub struct Group {
    /// Its name, as the table has it first.
    pub name: String,
    /// Its rows in the table of all, from 1.
    pub rows: Vec<usize>,
    /// Its readings with the apparatus and the choices of the whole.
    pub job: Job,
    key: String,
    worked: OnceCell<Working>,
}

/// Why a table is not parted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoGroups {
    /// No column names groups.
    NoColumn,
    /// All rows belong to one.
    OnlyOne,
    /// Most have one row only, so that the column rather counts the readings.
    TooFewRows,
    /// There are more than [`MOST_GROUPS`].
    TooMany {
        /// So many.
        count: usize,
    },
}

impl Groups {
    /// Parts the readings of a job by the column that names the group. A row that names none belongs to the group of the row
    /// above, as where cells were joined.
    ///
    /// # Errors
    /// [`NoGroups`] where there is no such column or it parts nothing.
    pub fn of(working: &Working) -> Result<Groups, NoGroups> {
        let column = group_column(working).ok_or(NoGroups::NoColumn)?;
        let plain = working.table.plain();
        let mut rows_of: Vec<(String, &str, Vec<usize>)> = Vec::new();
        let mut places: BTreeMap<String, usize> = BTreeMap::new();
        let mut last = "";
        for (row, cells) in (1..).zip(&plain.rows) {
            let own = cells.get(column).map_or("", String::as_str);
            last = if own.is_empty() { last } else { own };
            let blank = cells
                .iter()
                .enumerate()
                .all(|(i, cell)| i == column || cell.is_empty());
            let key = group_key(last);
            if blank || key.is_empty() {
                continue;
            }
            let place = *places.entry(key.clone()).or_insert(rows_of.len());
            match rows_of.get_mut(place) {
                Some((_, _, rows)) => rows.push(row),
                None => rows_of.push((key, last, vec![row])),
            }
        }
        let count = rows_of.len();
        let long_enough = |rows: &[usize]| rows.len() >= FEWEST_ROWS;
        let long = rows_of
            .iter()
            .filter(|(_, _, rows)| long_enough(rows))
            .count();
        if count < 2 {
            return Err(NoGroups::OnlyOne);
        }
        if 2 * long < count || long < 2 {
            return Err(NoGroups::TooFewRows);
        }
        if count > MOST_GROUPS {
            return Err(NoGroups::TooMany { count });
        }
        let mut groups = Vec::with_capacity(long);
        let mut too_short = Vec::new();
        for (key, name, rows) in rows_of {
            if !long_enough(&rows) {
                too_short.push(name.to_owned());
                continue;
            }
            groups.push(Group {
                name: name.to_owned(),
                job: job_of(&working.job, &plain, column, &rows),
                rows,
                key,
                worked: OnceCell::new(),
            });
        }
        Ok(Groups { groups, too_short })
    }

    /// The group of that name, however it is written.
    pub fn named(&self, name: &str) -> Option<&Group> {
        let key = group_key(name);
        self.groups.iter().find(|group| group.key == key)
    }
}

impl Group {
    /// Its readings worked, once.
    pub fn working(&self) -> &Working {
        self.worked.get_or_init(|| work(&self.job))
    }
}

/// The column, from 0, that names the group: its heading says so, and it was not found to hold a quantity.
fn group_column(working: &Working) -> Option<usize> {
    let table = &working.table;
    let chosen = |column: usize| {
        let mut choices = working.job.columns.iter();
        choices.any(|c| c.column == column + 1 && c.meaning.is_some())
    };
    let free = |role: Role| matches!(role, Role::Ignored | Role::Comment | Role::Counter);
    let columns = table.columns.iter().enumerate();
    let mut named = columns.filter(|(i, c)| {
        let quantity = chosen(*i) && !free(c.role) || c.unit.is_some() && !c.guessed;
        names_group(&c.heading) && !quantity
    });
    named.next().map(|(i, _)| i)
}

/// The job of some rows without one column: what was said of rows and columns moves with them.
fn job_of(job: &Job, plain: &Plain, column: usize, rows: &[usize]) -> Job {
    let without = |cells: &Vec<String>| -> Vec<String> {
        let kept = cells.iter().enumerate().filter(|(i, _)| *i != column);
        kept.map(|(_, cell)| cell.clone()).collect()
    };
    let own = Plain {
        title: None,
        headings: without(&plain.headings),
        rows: rows
            .iter()
            .filter_map(|row| plain.rows.get(row.checked_sub(1)?))
            .map(without)
            .collect(),
    };
    // Numbers of columns and rows count from 1.
    let moved = |number: usize| match number {
        n if n == column + 1 => None,
        n if n > column + 1 => Some(n - 1),
        n => Some(n),
    };
    let place = |row: &usize| Some(rows.binary_search(row).ok()? + 1);
    let columns = job.columns.iter().filter_map(|choice| {
        Some(ColumnChoice {
            column: moved(choice.column)?,
            of: choice.of.and_then(moved),
            ..choice.clone()
        })
    });
    Job {
        table: own.to_text(),
        columns: columns.collect(),
        exclude: job.exclude.iter().filter_map(place).collect(),
        reasons: job
            .reasons
            .iter()
            .filter_map(|(row, why)| Some((place(row)?, why.clone())))
            .collect(),
        // It lies down whichever way the whole lay.
        lie: Some(Lie::Down),
        // A simulation of each would take its time and change no verdict.
        monte_carlo: MonteCarlo::default(),
        ..job.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(table: &str) -> Result<Groups, NoGroups> {
        Groups::of(&work(&Job {
            table: table.into(),
            exclude: vec![2, 4],
            reasons: [(4, "late".to_owned())].into(),
            columns: vec![
                ColumnChoice {
                    column: 2,
                    meaning: Some("current".into()),
                    ..ColumnChoice::default()
                },
                ColumnChoice {
                    column: 3,
                    unit: "mg".into(),
                    ..ColumnChoice::default()
                },
            ],
            ..Job::default()
        }))
    }

    #[test]
    fn each_group_has_its_rows_and_what_was_said_of_them() {
        let groups = of(
            "Our class\nGroup\tI\tm\n1\t1\t80\n\t2\t170\nGroup 2\t1\t90\n2\t2\t180\n1\t3\t250\n",
        )
        .unwrap();
        let [one, two] = &groups.groups[..] else {
            panic!("{groups:?}")
        };
        assert_eq!((one.name.as_str(), &one.rows[..]), ("1", &[1, 2, 5][..]));
        assert_eq!((two.name.as_str(), &two.rows[..]), ("Group 2", &[3, 4][..]));
        assert_eq!(one.job.table, "I\tm\n1\t80\n2\t170\n3\t250\n");
        assert_eq!(
            (&one.job.exclude[..], &two.job.exclude[..]),
            (&[2][..], &[2][..])
        );
        assert_eq!(two.job.reasons.get(&2).map(String::as_str), Some("late"));
        let columns: Vec<usize> = one.job.columns.iter().map(|c| c.column).collect();
        assert_eq!(columns, [1, 2]);
        let first = one.working().readings.points[0];
        assert!((first.y - 80e-6).abs() < 1e-12, "{first:?}");
        assert_eq!(groups.named("GROUP 02").map(|g| g.rows.len()), Some(2));
        assert!(groups.named("3").is_none());
    }

    #[test]
    fn what_parts_nothing_is_left_whole() {
        for (table, why) in [
            ("I / A\tm / g\n1\t2\n2\t4\n", NoGroups::NoColumn),
            (
                "Set current / A\tm / g\n1\t2\n1\t2\n2\t4\n2\t4\n",
                NoGroups::NoColumn,
            ),
            ("Group\tI / A\tm / g\nA\t1\t2\na\t2\t4\n", NoGroups::OnlyOne),
            (
                "Set\tI / A\tm / g\n1\t1\t2\n2\t2\t4\n3\t3\t6\n",
                NoGroups::TooFewRows,
            ),
        ] {
            assert_eq!(of(table).err(), Some(why), "{table}");
        }
        let mut many = String::from("Group,I / A,m / g\n");
        for group in 0..=MOST_GROUPS {
            many += &format!("{group},1,2\n{group},2,4\n");
        }
        assert_eq!(
            of(&many).err(),
            Some(NoGroups::TooMany {
                count: MOST_GROUPS + 1
            })
        );
    }

    #[test]
    fn a_group_of_one_row_is_named_and_left_out() {
        let groups =
            of("Team\tI / A\tm / g\nA\t1\t2\nA\t2\t4\nB\t1\t2\nB\t2\t4\nC\t1\t2\n").unwrap();
        assert_eq!(
            (groups.groups.len(), groups.too_short),
            (2, vec!["C".to_owned()])
        );
    }
}
