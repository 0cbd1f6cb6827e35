//! Values as a file says them, and as a hand types them: `[40, "1:30"]` is typed `40 1:30`.
//!
//! Whether a value may stand where it is meant to is not known here: the reader of the file says so.

use ron::value::RawValue;

use crate::session::Load;
use crate::time::Span;

/// What may be typed in a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Takes {
    /// A time.
    Time,
    /// A time, or `until` and a place of the class.
    Lasting,
    /// A time that holds in all rounds, or a row of them with one a round.
    Times,
    /// The same, which is a list in the file even where it is one.
    TimeList,
    /// How long the room is there: a bare number is minutes, as in everybody's head.
    Slot,
    /// How many.
    Count,
    /// How many in all rounds, or a row with one a round.
    Counts,
    /// Words.
    Text,
    /// Words for all rounds, or one a round with a bar between.
    Texts,
    /// Names with commas between.
    Names,
    /// Things, each with how many of it there are, with commas between.
    Stock,
    /// What somebody must spare, with commas between.
    Limits,
    /// One of these: what is shown, and what the file says. An empty one says nothing.
    Choice(&'static [(&'static str, &'static str)]),
    /// A move by one of its names.
    Move,
    /// Which version of the move.
    Version,
    /// How work and rest follow one another.
    Pattern,
}

/// Yes or no, where nothing said is no.
pub(super) const YES: Takes = Takes::Choice(&[("no", ""), ("yes", "true")]);

impl Takes {
    /// What may be typed, in words.
    pub(super) const fn hint(self) -> &'static str {
        match self {
            Self::Time => "seconds or m:ss; ← → five seconds",
            Self::Slot => "minutes: 45, or 45:30; ← → one minute",
            Self::Lasting => "seconds or m:ss, or until 15:00; ← → five seconds",
            Self::Times => {
                "seconds or m:ss; one for all rounds, or one a round: 40 35 30. tab picks one of them"
            }
            Self::TimeList => "one a round: 40 35 30, or one for all; tab picks one of them",
            Self::Count => "a number; ← → one less, one more",
            Self::Counts => "a number; one for all rounds, or one a round: 12 10 8",
            Self::Text => "words; enter begins to write, and ends it",
            Self::Texts => "words; for each round its own with | between",
            Self::Names => "names with commas between",
            Self::Stock => {
                "such as band 6, step 8; with people, it is told where too few are there"
            }
            Self::Limits => "such as wrist, knee; in the list, l has them all",
            Self::Choice(_) | Self::Version | Self::Pattern => "← → the next of them",
            Self::Move => "a move by its name; in the list, w finds one",
        }
    }

    /// Whether it is a row of figures.
    pub(super) const fn is_figures(self) -> bool {
        matches!(self, Self::Times | Self::TimeList | Self::Counts)
    }

    /// Whether a letter may begin what is typed, in place of what stands there: where figures stand, a
    /// digit may. Any other is a key of the list pressed in the wrong place, and words would be lost by
    /// it.
    pub(super) const fn begins_with(self, letter: char) -> bool {
        match self {
            Self::Time | Self::Slot | Self::Count => letter.is_ascii_digit(),
            Self::Times | Self::TimeList | Self::Counts => letter.is_ascii_digit() || letter == '-',
            Self::Lasting => letter.is_ascii_digit() || letter == 'u',
            _ => false,
        }
    }

    /// Whether it is words, which only enter begins to write.
    pub(super) const fn is_words(self) -> bool {
        matches!(
            self,
            Self::Text
                | Self::Texts
                | Self::Names
                | Self::Stock
                | Self::Limits
                | Self::Move
                | Self::Version
        )
    }

    const fn is_time(self) -> bool {
        matches!(
            self,
            Self::Time | Self::Slot | Self::Lasting | Self::Times | Self::TimeList
        )
    }
}

/// A value of the file as it is typed.
pub(super) fn shown(takes: Takes, raw: &str) -> String {
    if let Takes::Choice(all) = takes {
        let known = all.iter().find(|(_, file)| *file == raw.trim());
        return known.map_or_else(|| raw.trim().to_owned(), |(shown, _)| (*shown).to_owned());
    }
    let between = match takes {
        Takes::Texts => " | ",
        Takes::Names | Takes::Stock | Takes::Limits => ", ",
        _ => " ",
    };
    let one = |raw: &str| match takes {
        Takes::Limits => of_limit(raw),
        Takes::Stock => of_stock(raw),
        Takes::Slot => of_slot(raw),
        _ => plain(raw),
    };
    match items(raw) {
        Some(items) => {
            let shown: Vec<String> = items.iter().map(|raw| one(raw)).collect();
            shown.join(between)
        }
        None => one(raw),
    }
}

/// The values of a list, each as the file says it; nothing where it is no list.
pub(super) fn items(raw: &str) -> Option<Vec<String>> {
    let raw = raw.trim();
    if !raw.starts_with('[') {
        return None;
    }
    let items: Vec<Box<RawValue>> = ron::from_str(raw).ok()?;
    Some(
        items
            .iter()
            .map(|item| item.get_ron().trim().to_owned())
            .collect(),
    )
}

/// A value without its quotes.
fn plain(raw: &str) -> String {
    let raw = raw.trim();
    if raw == "None" {
        return "-".to_owned();
    }
    if let Some(mark) = raw.strip_prefix("Until(") {
        return format!("until {}", plain(mark.trim_end_matches(')')));
    }
    if let Some(named) = raw.strip_prefix("Use(") {
        let first = named.split("move:").nth(1).unwrap_or(named);
        return plain(first.split([',', ')']).next().unwrap_or(first));
    }
    ron::from_str::<String>(raw).unwrap_or_else(|_| raw.to_owned())
}

/// In a file a bare number is seconds.
fn of_slot(raw: &str) -> String {
    let plain = plain(raw);
    span(&plain).map_or(plain, |slot| slot.to_string())
}

fn of_stock(raw: &str) -> String {
    let pair = ron::from_str::<(String, u32)>(raw);
    pair.map_or_else(|_| plain(raw), |(thing, many)| format!("{thing} {many}"))
}

fn of_limit(raw: &str) -> String {
    let known = Load::ALL.iter().find(|load| load.word() == raw.trim());
    known.map_or_else(|| plain(raw), |load| load.label().to_owned())
}

/// What is typed as a file says it; nothing where nothing is typed.
pub(super) fn written(takes: Takes, typed: &str) -> Result<Option<String>, String> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Ok(None);
    }
    let text = match takes {
        Takes::Time => time(typed)?,
        Takes::Slot => slot(typed)?,
        Takes::Lasting => match typed.strip_prefix("until") {
            Some(mark) => format!("Until({})", time(mark.trim())?),
            None => time(typed)?,
        },
        Takes::Times => figures(typed, false, time)?,
        Takes::TimeList => figures(typed, true, time)?,
        Takes::Count => count(typed)?,
        Takes::Counts => figures(typed, false, count)?,
        Takes::Text | Takes::Move => quoted(typed),
        Takes::Texts => texts(typed),
        Takes::Names => list(typed, |name| Ok(quoted(name)))?,
        Takes::Stock => list(typed, stock)?,
        Takes::Limits => list(typed, limit)?,
        Takes::Choice(all) => {
            let known = all.iter().find(|(shown, _)| *shown == typed);
            let known = known.map(|(_, file)| (*file).to_owned());
            return Ok(known.filter(|file| !file.is_empty()));
        }
        Takes::Version | Takes::Pattern => typed.to_owned(),
    };
    Ok(Some(text))
}

/// A text as a file says it.
pub(super) fn quoted(text: &str) -> String {
    ron::ser::to_string(text).unwrap_or_else(|_| format!("{text:?}"))
}

/// A time as it is typed: seconds stay a number, `m:ss` stands in quotes.
fn time(typed: &str) -> Result<String, String> {
    let span = span(typed).ok_or_else(|| format!("{typed} is no time: write 45 or 1:30"))?;
    if typed.contains(':') {
        return Ok(format!("\"{span}\""));
    }
    Ok(typed.to_owned())
}

/// A slot as it is typed: minutes, or `m:ss`.
fn slot(typed: &str) -> Result<String, String> {
    if typed.contains(':') {
        return time(typed);
    }
    let minutes: Option<u64> = typed.parse().ok().filter(|minutes| *minutes < 6_000);
    let minutes = minutes.ok_or_else(|| format!("{typed} is no slot: write 45 or 45:30"))?;
    Ok(format!("\"{}\"", Span::from_secs(minutes * 60)))
}

/// The length of a time as it is typed.
pub(super) fn span(typed: &str) -> Option<Span> {
    if typed.contains(':') {
        return Span::parse_clock(typed).ok();
    }
    let is_number = typed.chars().all(|c| c.is_ascii_digit() || c == '.');
    let secs: f64 = typed.parse().ok().filter(|_| is_number)?;
    Span::parse_secs(secs).ok()
}

fn count(typed: &str) -> Result<String, String> {
    let number: Option<u32> = typed.parse().ok();
    let number = number.ok_or_else(|| format!("{typed} is no whole number"))?;
    Ok(number.to_string())
}

fn stock(typed: &str) -> Result<String, String> {
    let (thing, many) = typed
        .rsplit_once(' ')
        .ok_or_else(|| format!("how many {typed} are there? write {typed} 6"))?;
    Ok(format!("({}, {})", quoted(thing.trim()), count(many)?))
}

fn limit(typed: &str) -> Result<String, String> {
    let wanted = letters(typed);
    let fits = |load: &&Load| {
        let names = [load.word(), load.label()].map(letters);
        names
            .iter()
            .any(|name| name == &wanted || name.strip_suffix('s') == Some(&wanted))
    };
    let known = Load::ALL.iter().find(fits);
    let known = known.ok_or_else(|| format!("nobody knows a limit {typed}: l lists them"))?;
    Ok(known.word().to_owned())
}

fn letters(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphanumeric());
    letters.flat_map(char::to_lowercase).collect()
}

/// One figure, or a list of them.
fn figures(
    typed: &str,
    is_list: bool,
    one: impl Fn(&str) -> Result<String, String>,
) -> Result<String, String> {
    let typed: Vec<&str> = typed
        .split([' ', ','])
        .filter(|one| !one.is_empty())
        .collect();
    let of = |figure: &&str| match *figure {
        "-" => Ok("None".to_owned()),
        figure => one(figure),
    };
    let all: Vec<String> = typed.iter().map(of).collect::<Result<_, _>>()?;
    match &all[..] {
        [alone] if !is_list => Ok(alone.clone()),
        _ => Ok(format!("[{}]", all.join(", "))),
    }
}

fn texts(typed: &str) -> String {
    let all: Vec<String> = typed
        .split('|')
        .map(|one| match one.trim() {
            "" | "-" => "None".to_owned(),
            one => quoted(one),
        })
        .collect();
    match &all[..] {
        [alone] => alone.clone(),
        _ => format!("[{}]", all.join(", ")),
    }
}

fn list(typed: &str, one: impl Fn(&str) -> Result<String, String>) -> Result<String, String> {
    let all = typed
        .split(',')
        .map(str::trim)
        .filter(|one| !one.is_empty());
    let all: Vec<String> = all.map(one).collect::<Result<_, _>>()?;
    Ok(format!("[{}]", all.join(", ")))
}

/// What five seconds are a part of.
const GRID: u64 = 5_000;

/// What is typed, a step further: times by `step` onto its grid, numbers by one. Of a row of figures
/// only the chosen one, where one is.
pub(super) fn stepped(
    takes: Takes,
    typed: &str,
    is_more: bool,
    figure: Option<usize>,
    step: Span,
) -> Option<String> {
    let one = |typed: &str| {
        if takes.is_time() {
            stepped_time(typed, is_more, step)
        } else {
            let number: u32 = typed.parse().ok()?;
            let to = if is_more {
                number.saturating_add(1)
            } else {
                number.saturating_sub(1)
            };
            Some(to.to_string())
        }
    };
    if let Some(mark) = typed.strip_prefix("until ") {
        return Some(format!("until {}", one(mark)?));
    }
    let all = typed.split_whitespace().enumerate();
    let all: Option<Vec<String>> = all
        .map(|(n, typed)| match figure {
            Some(figure) if figure != n => Some(typed.to_owned()),
            _ if typed == "-" => Some(typed.to_owned()),
            _ => one(typed),
        })
        .collect();
    all.filter(|all| !all.is_empty()).map(|all| all.join(" "))
}

/// The next time on the grid, never nothing; written as it was.
fn stepped_time(typed: &str, is_more: bool, step: Span) -> Option<String> {
    let now = span(typed)?.millis();
    let step = step.millis().max(GRID);
    let to = if is_more {
        (now / step + 1) * step
    } else {
        (now.div_ceil(step).saturating_sub(1) * step).max(step.min(now))
    };
    let to = Span::from_millis(to);
    Some(if typed.contains(':') {
        to.to_string()
    } else {
        to.secs_floor().to_string()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIVE: Span = Span::from_secs(5);

    /// The right column is RON as its own grammar has it (the ron crate's, version 0.2 of the
    /// notation): what is typed becomes that, and that is shown as it was typed.
    #[test]
    fn what_is_typed_is_what_the_file_says_and_the_other_way_round() {
        for (takes, typed, raw) in [
            (Takes::Time, "45", "45"),
            (
                Takes::Stock,
                "band 6, long bar 2",
                "[(\"band\", 6), (\"long bar\", 2)]",
            ),
            (Takes::Time, "7.5", "7.5"),
            (Takes::Time, "1:30", "\"1:30\""),
            (Takes::Lasting, "until 15:00", "Until(\"15:00\")"),
            (Takes::Slot, "45:30", "\"45:30\""),
            (Takes::Times, "40", "40"),
            (Takes::Times, "40 35 1:30", "[40, 35, \"1:30\"]"),
            (Takes::TimeList, "40", "[40]"),
            (Takes::Counts, "12 - 8", "[12, None, 8]"),
            (Takes::Count, "3", "3"),
            (
                Takes::Text,
                "soft \"knees\" \\ n",
                r#""soft \"knees\" \\ n""#,
            ),
            (
                Takes::Texts,
                "one | - | three, two",
                r#"["one", None, "three, two"]"#,
            ),
            (Takes::Names, "mat, band", r#"["mat", "band"]"#),
            (Takes::Limits, "wrists, low back", "[Wrist, LowBack]"),
            (YES, "yes", "true"),
        ] {
            assert_eq!(written(takes, typed), Ok(Some(raw.to_owned())), "{typed}");
            assert_eq!(shown(takes, raw), typed, "{raw}");
        }
        assert_eq!(written(Takes::Time, "  "), Ok(None));
        assert_eq!(written(YES, "no"), Ok(None));
        assert_eq!(
            written(Takes::Limits, "wrist,KNEE"),
            Ok(Some("[Wrist, Knee]".to_owned()))
        );
        // A slot that a file gives in seconds is shown as what it is, and typed minutes are minutes.
        assert_eq!(shown(Takes::Slot, "1800"), "30:00");
        for (typed, raw) in [("45", "\"45:00\""), ("75", "\"1:15:00\"")] {
            assert_eq!(written(Takes::Slot, typed), Ok(Some(raw.to_owned())));
        }
        for (takes, wrong) in [
            (Takes::Slot, "7.5"),
            (Takes::Time, "soon"),
            (Takes::Time, "1:75"),
            (Takes::Time, "-5"),
            (Takes::Times, "40 x"),
            (Takes::Count, "2.5"),
            (Takes::Limits, "hair"),
        ] {
            let told = written(takes, wrong).expect_err(wrong);
            assert!(
                told.contains(wrong.split(' ').next_back().unwrap_or_default()),
                "{told}"
            );
        }
    }

    #[test]
    fn arrows_step_times_by_five_seconds_and_numbers_by_one() {
        for (takes, typed, figure, more, less) in [
            (Takes::Time, "40", None, "45", "35"),
            (Takes::Time, "42", None, "45", "40"),
            (Takes::Time, "5", None, "10", "5"),
            (Takes::Time, "3", None, "5", "3"),
            (Takes::Time, "0:55", None, "1:00", "0:50"),
            (Takes::Time, "59:55", None, "1:00:00", "59:50"),
            (
                Takes::Lasting,
                "until 15:00",
                None,
                "until 15:05",
                "until 14:55",
            ),
            (Takes::Times, "40 35 30", None, "45 40 35", "35 30 25"),
            (Takes::Times, "40 35 30", Some(1), "40 40 30", "40 30 30"),
            (Takes::Counts, "12 - 8", None, "13 - 9", "11 - 7"),
            (Takes::Count, "0", None, "1", "0"),
        ] {
            let to = |is_more| stepped(takes, typed, is_more, figure, FIVE);
            assert_eq!(to(true).as_deref(), Some(more), "{typed}");
            assert_eq!(to(false).as_deref(), Some(less), "{typed}");
        }
        let minute = Span::from_secs(60);
        let slot = stepped(Takes::Time, "45:00", true, None, minute);
        assert_eq!(slot.as_deref(), Some("46:00"));
    }
}
