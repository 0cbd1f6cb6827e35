//! Many classes together: by week, by move, planned against taught.
//!
//! A fold over summaries. What is told here is information; nothing is recommended to anyone.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};

use super::sides::UNFELT;
use super::summary::Summary;
use crate::session::{Muscle, Region};
use crate::time::Span;

/// Weekly amounts of activity published for healthy adults, in minutes.
///
/// Bull et al. 2020, World Health Organization 2020 guidelines on physical activity and sedentary
/// behaviour, Br J Sports Med 54:1451.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WeeklyAmounts {
    /// Minutes of moderate activity a week, from and to.
    pub moderate: (u32, u32),
    /// Or minutes of vigorous activity a week, from and to.
    pub vigorous: (u32, u32),
    /// Where it was published.
    pub source: &'static str,
    /// Whom it is for, and what it is not.
    pub caution: &'static str,
}

/// The published weekly amounts.
pub const WEEKLY_AMOUNTS: WeeklyAmounts = WeeklyAmounts {
    moderate: (150, 300),
    vigorous: (75, 150),
    source: "WHO 2020 guidelines, Br J Sports Med 54:1451",
    caution: "for healthy adults; information, not a prescription",
};

/// Which classes are looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filter {
    /// From this day on.
    pub from: Option<NaiveDate>,
    /// Up to this day, which is included.
    pub to: Option<NaiveDate>,
    /// Whose title has these words in it, capitals or not.
    pub title: Option<String>,
}

impl Filter {
    /// Whether a class is looked at.
    #[must_use]
    pub fn takes(&self, class: &Summary) -> bool {
        let day = class.started.date_naive();
        self.from.is_none_or(|from| from <= day)
            && self.to.is_none_or(|to| day <= to)
            && self
                .title
                .as_ref()
                .is_none_or(|words| class.title.to_lowercase().contains(&words.to_lowercase()))
    }
}

/// A week from Monday to Sunday, as ISO 8601 has it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Week {
    /// Its Monday.
    pub monday: NaiveDate,
    /// How many classes were taught.
    pub classes: usize,
    /// Class time run.
    pub run: Span,
    /// Time of work.
    pub work: Span,
    /// Time of work by region; a move counts in full for each region it names.
    pub regions: BTreeMap<Region, Span>,
    /// Time of work by muscle; counted as for regions.
    pub muscles: BTreeMap<Muscle, Span>,
    /// Session load of the classes that were rated.
    pub load: f64,
    /// How many were rated.
    pub rated: usize,
}

impl Week {
    /// The week as ISO 8601 writes it: `2026-W10`.
    #[must_use]
    pub fn name(&self) -> String {
        let week = self.monday.iso_week();
        format!("{:04}-W{:02}", week.year(), week.week())
    }
}

/// When a move was used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoveUse {
    /// Its word in the library.
    pub id: String,
    /// Its name when it was last used.
    pub name: String,
    /// How many classes had it.
    pub classes: usize,
    /// The day of the last of them.
    pub last: NaiveDate,
    /// What the first side had in all of them, where it has sides.
    pub first_side: Span,
    /// What the second side had.
    pub second_side: Span,
}

/// How taught differs from planned on average; seconds, more taught than planned is positive.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Differences {
    /// How many classes ran to their end.
    pub classes: usize,
    /// Class time.
    pub run_s: f64,
    /// Time of work.
    pub work_s: f64,
    /// Number of works.
    pub works: f64,
    /// Time held.
    pub held_s: f64,
    /// After the slot's end, over the classes that had one.
    pub late_s: Option<f64>,
}

/// Many classes together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// How many classes.
    pub classes: usize,
    /// Every week from the first class to the last, those without a class too.
    pub weeks: Vec<Week>,
    /// Every move that was used, the longest unused first.
    pub moves: Vec<MoveUse>,
    /// Planned against taught.
    pub differences: Differences,
}

impl History {
    /// The history of these classes.
    #[must_use]
    pub fn of<'a>(classes: impl IntoIterator<Item = &'a Summary>) -> Self {
        let classes: Vec<&Summary> = classes.into_iter().collect();
        Self {
            classes: classes.len(),
            weeks: weeks(&classes),
            moves: moves(&classes),
            differences: differences(&classes),
        }
    }

    /// Moves last used more than so many days before `today`, the longest unused first.
    #[must_use]
    pub fn unused_for(&self, days: u64, today: NaiveDate) -> &[MoveUse] {
        let bound = today.checked_sub_days(Days::new(days));
        let count = self
            .moves
            .iter()
            .take_while(|one| bound.is_some_and(|bound| one.last < bound));
        &self.moves[..count.count()]
    }

    /// One-sided moves of which one side had clearly more, all classes together.
    #[must_use]
    pub fn uneven(&self) -> Vec<&MoveUse> {
        let apart = |one: &MoveUse| {
            one.first_side
                .max(one.second_side)
                .saturating_sub(one.first_side.min(one.second_side))
        };
        self.moves
            .iter()
            .filter(|one| apart(one) >= UNFELT)
            .collect()
    }

    /// Moves that every class had, where there is more than one class.
    #[must_use]
    pub fn at_every_class(&self) -> Vec<&MoveUse> {
        let every = |one: &&MoveUse| self.classes > 1 && one.classes == self.classes;
        self.moves.iter().filter(every).collect()
    }
}

fn monday_of(day: NaiveDate) -> NaiveDate {
    let back = u64::from(day.weekday().num_days_from_monday());
    day.checked_sub_days(Days::new(back)).unwrap_or(day)
}

fn weeks(classes: &[&Summary]) -> Vec<Week> {
    let mut weeks: BTreeMap<NaiveDate, Week> = BTreeMap::new();
    for class in classes {
        let monday = monday_of(class.started.date_naive());
        add(weeks.entry(monday).or_default(), class);
    }
    let ends = weeks
        .keys()
        .next()
        .copied()
        .zip(weeks.keys().next_back().copied());
    let Some((first, last)) = ends else {
        return Vec::new();
    };
    first
        .iter_weeks()
        .take_while(|monday| *monday <= last)
        .map(|monday| Week {
            monday,
            ..weeks.remove(&monday).unwrap_or_default()
        })
        .collect()
}

fn add(week: &mut Week, class: &Summary) {
    week.classes += 1;
    week.run += class.taught.run;
    week.work += class.taught.work;
    for (region, span) in class.by_region() {
        *week.regions.entry(region).or_default() += span;
    }
    for (muscle, span) in class.by_muscle() {
        *week.muscles.entry(muscle).or_default() += span;
    }
    if let Some(load) = class.load() {
        week.load += load;
        week.rated += 1;
    }
}

fn moves(classes: &[&Summary]) -> Vec<MoveUse> {
    let mut uses: BTreeMap<&str, MoveUse> = BTreeMap::new();
    for class in classes {
        let day = class.started.date_naive();
        for done in &class.moves {
            let one = uses.entry(&done.id).or_insert_with(|| MoveUse {
                id: done.id.clone(),
                name: done.name.clone(),
                classes: 0,
                last: day,
                first_side: Span::ZERO,
                second_side: Span::ZERO,
            });
            one.classes += 1;
            one.first_side += done.first_side;
            one.second_side += done.second_side;
            if day >= one.last {
                one.last = day;
                one.name.clone_from(&done.name);
            }
        }
    }
    let mut uses: Vec<MoveUse> = uses.into_values().collect();
    uses.sort_by_key(|one| one.last);
    uses
}

fn differences(classes: &[&Summary]) -> Differences {
    let ended: Vec<&&Summary> = classes
        .iter()
        .filter(|class| class.ending == Some(crate::live::Ending::Completed))
        .collect();
    let late: Vec<f64> = ended
        .iter()
        .filter_map(|class| class.late_ms)
        .map(seconds)
        .collect();
    let mean_of = |value: fn(&Summary) -> f64| mean(ended.iter().map(|class| value(class)));
    Differences {
        classes: ended.len(),
        run_s: mean_of(|one| one.taught.run.secs() - one.planned.run.secs()),
        work_s: mean_of(|one| one.taught.work.secs() - one.planned.work.secs()),
        works: mean_of(|one| count(one.taught.works) - count(one.planned.works)),
        held_s: mean_of(|one| one.held.secs()),
        late_s: (!late.is_empty()).then(|| mean(late.into_iter())),
    }
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let many = count(values.len());
    if many > 0.0 {
        values.sum::<f64>() / many
    } else {
        0.0
    }
}

#[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
fn count(number: usize) -> f64 {
    number as f64
}

#[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
fn seconds(millis: i64) -> f64 {
    millis as f64 / 1000.0
}
