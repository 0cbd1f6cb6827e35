//! What leaves the program, read by independent readers: a WebVTT parser and a CSV reader from
//! the registry, chrono's RFC 3339, serde's JSON.

use std::collections::BTreeSet;

use chrono::{DateTime, NaiveDate, TimeDelta};
use matside::export::{
    Caption, Chapter, ChapterBy, Named, captions, chapters, classes_csv, classes_json, columns,
    history_page, moves_csv, record_list, record_page, vtt_captions, vtt_chapters,
};
use matside::live::{Act, Ending, HoldReason, Input, Live, Output};
use matside::plan::{CuePlan, Timeline};
use matside::record::{History, Recovered, Summary, Taught, Wall, read};
use matside::session::{Order, Part};
use matside::time::{Moment, Span};
use subtp::vtt::{VttBlock, VttTimestamp, WebVtt};

use crate::sample::{
    self, Telling, any_words, bytes, entries, eventful, header, note, short_class, start,
};

fn record() -> Recovered {
    read(&bytes(
        &header(short_class(), start()),
        &entries(eventful(start())),
    ))
    .unwrap()
}

fn chapters_of(record: &Recovered, by: ChapterBy) -> Vec<Chapter> {
    let taught = Taught::of(&record.header, record.facts_on_the_wall());
    chapters(&record.header, &taught, by)
}

fn millis(stamp: VttTimestamp) -> u64 {
    let secs = u64::from(stamp.hours) * 3600 + u64::from(stamp.minutes) * 60;
    (secs + u64::from(stamp.seconds)) * 1000 + u64::from(stamp.milliseconds)
}

/// The cues as the independent parser sees them.
fn parsed(track: &str) -> Vec<(u64, u64, String)> {
    let cue = |block| match block {
        VttBlock::Que(cue) => Some((
            millis(cue.timings.start),
            millis(cue.timings.end),
            cue.payload.join("\n"),
        )),
        _ => None,
    };
    let blocks = WebVtt::parse(track).unwrap().blocks;
    blocks.into_iter().filter_map(cue).collect()
}

/// The character references of the WebVTT cue text, undone by their own list.
fn unescaped(words: &str) -> String {
    words
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
}

/// Worked by hand from the story that `eventful` tells: a hold of 20 s in the first squat, a skip
/// after 10 s of the first reach, a landing that cut the recovery to 25 s.
#[test]
fn chapters_are_those_of_the_class_as_it_was_taught() {
    let record = record();
    let told = |by, from: Wall| parsed(&vtt_chapters(&chapters_of(&record, by), from));
    let cue = |from: u64, to: u64, title: &str| (from * 1000, to * 1000, title.to_owned());
    assert_eq!(
        told(ChapterBy::Block, start()),
        [
            cue(0, 30, "Talk"),
            cue(30, 40, "Get ready"),
            cue(40, 215, "Ebb"),
            cue(215, 275, "Cool-down"),
        ]
    );
    assert_eq!(
        told(ChapterBy::Round, start()),
        [
            cue(0, 30, "Talk"),
            cue(30, 40, "Get ready"),
            cue(40, 140, "Ebb, round 1 of 2"),
            cue(140, 215, "Ebb, round 2 of 2"),
            cue(215, 275, "Cool-down"),
        ]
    );
    let by_move = [
        cue(0, 30, "Talk"),
        cue(30, 40, "Get ready"),
        cue(40, 105, "squat"),
        cue(105, 115, "reach (half the depth)"),
        cue(115, 140, "Recovery"),
        cue(140, 185, "squat"),
        cue(185, 215, "reach (half the depth)"),
        cue(215, 275, "fold"),
    ];
    assert_eq!(told(ChapterBy::Move, start()), by_move);

    let early = start() - TimeDelta::milliseconds(3_600_500);
    let shifted = by_move
        .clone()
        .map(|(from, to, title)| (from + 3_600_500, to + 3_600_500, title));
    assert_eq!(told(ChapterBy::Move, early), shifted);
    let late = start() + TimeDelta::seconds(110);
    let cut = [cue(0, 5, "reach (half the depth)"), cue(5, 30, "Recovery")];
    assert_eq!(told(ChapterBy::Move, late)[..2], cut);
    assert_eq!(told(ChapterBy::Move, start() + TimeDelta::hours(1)), []);
    let text = vtt_chapters(&chapters_of(&record, ChapterBy::Block), early);
    assert!(
        text.starts_with("WEBVTT\n\n1\n01:00:00.500 --> 01:00:30.500\nTalk\n"),
        "{text}"
    );
}

#[test]
fn all_rounds_of_a_move_are_one_chapter_where_they_are_done_in_turn() {
    let mut session = short_class();
    let Part::Block(block) = &mut session.parts[2] else {
        unreachable!()
    };
    block.order = Order::ByMove;
    let facts = sample::as_planned(&session, start());
    let record = read(&bytes(&header(session, start()), &entries(facts))).unwrap();
    let titles: Vec<_> = chapters_of(&record, ChapterBy::Round)
        .into_iter()
        .map(|chapter| chapter.title)
        .collect();
    assert_eq!(
        titles,
        [
            "Talk",
            "Get ready",
            "Ebb: squat",
            "Ebb: reach (half the depth)",
            "Cool-down"
        ]
    );
}

#[test]
fn chapters_cover_the_class_without_gap_or_overlap() {
    let mut random = fastrand::Rng::with_seed(8);
    let plan = Timeline::of(&short_class());
    for _ in 0..200 {
        let mut told = Telling::from(start());
        told.act(Act::Begin).enter(&plan.intervals()[0]);
        for _ in 0..random.usize(1..20) {
            told.run(random.u64(0..50_000))
                .stand(random.u64(0..2) * 900);
            told.enter(&plan.intervals()[random.usize(0..plan.intervals().len())]);
        }
        told.end(Ending::Stopped);
        let end = told.now();
        let record = read(&bytes(
            &header(short_class(), start()),
            &entries(told.facts),
        ))
        .unwrap();
        for by in [ChapterBy::Block, ChapterBy::Round, ChapterBy::Move] {
            let cues = parsed(&vtt_chapters(&chapters_of(&record, by), start()));
            let edges: Vec<_> = cues.windows(2).map(|pair| (pair[0].1, pair[1].0)).collect();
            assert!(edges.iter().all(|(end, next)| end == next));
            if let (Some(first), Some(last)) = (cues.first(), cues.last()) {
                let all = (end - start()).num_milliseconds();
                assert_eq!((first.0, i64::try_from(last.1).unwrap()), (0, all));
            }
        }
    }
}

#[test]
fn captions_survive_every_word_and_never_overlap() {
    let mut random = fastrand::Rng::with_seed(9);
    for _ in 0..300 {
        let captions: Vec<Caption> = (0..random.u32(0..12))
            .map(|_| {
                let from = start() + TimeDelta::milliseconds(random.i64(-20_000..60_000));
                Caption {
                    from,
                    to: from + TimeDelta::milliseconds(random.i64(0..9_000)),
                    say: any_words(&mut random),
                }
            })
            .collect();
        let cues = parsed(&vtt_captions(&captions, start()));
        assert!(cues.iter().all(|(from, to, _)| from < to));
        assert!(cues.windows(2).all(|pair| pair[0].1 <= pair[1].0));
        let plain = |words: &str| words.split_whitespace().collect::<Vec<_>>().join(" ");
        for (_, _, words) in &cues {
            let said = unescaped(words);
            assert!(
                captions.iter().any(|one| plain(&one.say) == said),
                "{said:?}"
            );
            assert!(!words.contains(['<', '>']));
        }
    }
    let one = |from: i64, say: &str| Caption {
        from: start() + TimeDelta::seconds(from),
        to: start() + TimeDelta::seconds(from + 3),
        say: say.into(),
    };
    let said = [one(-1, "a --> b"), one(10, "R&B <slow>"), one(-9, "gone")];
    assert_eq!(
        vtt_captions(&said, start()),
        "WEBVTT\n\n1\n00:00:00.000 --> 00:00:02.000\na --&gt; b\n\n2\n00:00:10.000 --> 00:00:13.000\nR&amp;B &lt;slow&gt;\n"
    );
}

fn summary() -> Summary {
    Summary {
        note: Some(note()),
        ..Summary::of(&record())
    }
}

fn rows(table: &str) -> Vec<std::collections::HashMap<String, String>> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

#[test]
fn the_tables_read_back_in_an_independent_reader() {
    let mut random = fastrand::Rng::with_seed(10);
    for _ in 0..200 {
        let mut class = summary();
        class.title = any_words(&mut random);
        class.moves[0].name = any_words(&mut random);
        let words = any_words(&mut random);
        class.note.as_mut().unwrap().words.clone_from(&words);
        let named: Vec<Named> = vec![("first", &class), ("second", &class)];
        let classes = rows(&classes_csv(&named));
        assert_eq!(classes.len(), 2);
        assert_eq!(
            (&classes[1]["title"], &classes[1]["words"]),
            (&told(&class.title), &told(&words))
        );
        let moves = rows(&moves_csv(&named));
        assert_eq!(moves.len(), 2 * class.moves.len());
        assert_eq!(moves[3]["name"], told(&class.moves[0].name));
    }
}

/// The page of help is held against what is written: every name, in its order, in each of the three.
#[test]
fn the_columns_and_fields_are_told_with_their_version() {
    let summary = summary();
    let classes: [Named<'_>; 1] = [("a-record", &summary)];
    let head = |table: String| table.lines().next().unwrap().replace(',', ", ");
    let told = columns();
    assert!(told.contains(&format!("--csv: {}\n", head(classes_csv(&classes)))));
    assert!(told.contains(&format!("--moves: {}\n", head(moves_csv(&classes)))));
    let json: serde_json::Value = serde_json::from_str(&classes_json(&classes)).unwrap();
    let written: BTreeSet<&str> = json[0]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    let fields = told
        .lines()
        .find_map(|line| line.trim().strip_prefix("--json: "));
    assert_eq!(
        fields.unwrap().split(", ").collect::<BTreeSet<_>>(),
        written
    );
    let version = json[0]["format"].as_str().unwrap();
    assert!(told.contains(version));
    assert!(
        rows(&classes_csv(&classes))
            .iter()
            .all(|row| row["format"] == version)
    );
    assert!(
        rows(&moves_csv(&classes))
            .iter()
            .all(|row| row["format"] == version)
    );
}

/// A text as a table has it: what a spreadsheet would take for a formula has an apostrophe before it
/// (the characters of the OWASP community page on CSV injection, from memory).
fn told(text: &str) -> String {
    match text.chars().next() {
        Some('=' | '+' | '-' | '@' | '\t' | '\r') => format!("'{text}"),
        _ => text.to_owned(),
    }
}

#[test]
fn no_cell_is_a_formula_and_numbers_stay_numbers() {
    for begin in [
        "=1+2",
        "+1",
        "-1",
        "@SUM(A1)",
        "\t=1",
        "\r=1",
        "=cmd|' /C calc'!A0",
    ] {
        let mut class = summary();
        class.title = begin.to_owned();
        class.moves[0].name = begin.to_owned();
        class.note.as_mut().unwrap().words = begin.to_owned();
        let named: [Named; 1] = [("-odd", &class)];
        for row in rows(&classes_csv(&named))
            .iter()
            .chain(&rows(&moves_csv(&named)))
        {
            for (column, cell) in row {
                let first = cell.chars().next().unwrap_or('x');
                let is_number = cell.parse::<f64>().is_ok() && column.ends_with("_s");
                assert!(
                    is_number || !"=+-@\t\r".contains(first),
                    "{column}: {cell:?}"
                );
            }
        }
        assert_eq!(rows(&classes_csv(&named))[0]["late_s"], "-25");
    }
}

#[test]
fn the_tables_say_what_the_summary_says() {
    let class = summary();
    let named: [Named; 1] = [("2026-03-02-1830-tide-shore", &class)];
    let row = &rows(&classes_csv(&named))[0];
    for (column, value) in [
        ("record", "2026-03-02-1830-tide-shore"),
        ("title", "Tide & Shore"),
        ("ending", "completed"),
        ("planned_s", "290"),
        ("taught_s", "255"),
        ("work_s", "100"),
        ("works", "3"),
        ("left_out", "1"),
        ("skips", "1"),
        ("held_s", "20"),
        ("late_s", "-25"),
        ("rating", "7"),
        ("session_load", "29.8"), // 7 x 255 s / 60
        ("people", "14"),
    ] {
        assert_eq!(row[column], value, "{column}");
    }
    assert_eq!(
        DateTime::parse_from_rfc3339(&row["started"]).unwrap(),
        start()
    );
    let squat = &rows(&moves_csv(&named))[0];
    assert_eq!(
        (squat["move"].as_str(), squat["work_s"].as_str()),
        ("squat", "60")
    );
    assert_eq!(
        (squat["regions"].as_str(), squat["muscles"].as_str()),
        ("Lower", "Quadriceps")
    );

    let json: serde_json::Value = serde_json::from_str(&classes_json(&named)).unwrap();
    assert_eq!(json[0]["taught"]["total_s"], 255.0);
    assert_eq!(json[0]["by_kind_s"]["work"], 100.0);
    assert_eq!(json[0]["holds"][0]["lasted_s"], 20.0);
    assert_eq!(json[0]["moves"][0]["work_s"], 60.0);
    assert_eq!(json[0]["session_load"], 29.75);
    assert_eq!(json[0]["marks"][0]["wall"], "2026-03-02T18:32:27.500+01:00");
}

#[test]
fn the_list_and_the_page_tell_the_class_to_a_person() {
    let class = summary();
    let list = record_list(&[("2026-03-02-1830-tide-shore", &class)], 100);
    assert_eq!(
        list,
        "2026-03-02-1830-tide-shore     4:15 of 4:50     0:25 early, 7/10, 14 came\n"
    );
    let page = record_page(&class, 80);
    for line in [
        "Monday 2 March 2026, 18:30, taught to its end, 0:25 early",
        "class              4:50     4:15",
        "works                 4        3",
        "  recovery           0:25",
        "     1:00    2x  squat",
        "  squat: with a pause below, once",
        "  1 planned work not taught",
        "  at 0:52: break for 0:20",
        "  at 2:07 (18:32:27): squat",
        "  how hard: 7 of 10 (CR10 as modified by Foster 2001)",
        "  session load: 30 (rating x minutes)",
        "  Warm room; \"good\", they said.",
    ] {
        assert!(page.lines().any(|one| one == line), "{line:?} in\n{page}");
    }
    let narrow = record_page(&class, 40);
    assert!(narrow.lines().all(|line| line.chars().count() <= 40));
}

#[test]
fn the_history_shows_every_week_and_claims_nothing() {
    let mut long = summary();
    long.started = sample::wall("2026-03-20T18:30:00+01:00");
    long.taught.run = Span::from_secs(160 * 60);
    let classes = [summary(), long];
    let today = NaiveDate::from_ymd_opt(2026, 5, 1).unwrap();
    let page = history_page(&History::of(&classes), today, 80);
    for line in [
        "2 classes from 2026-W10 to 2026-W12",
        "2026-W11        0      0:00      0:00",
        "  legs            2:00 █·█",
        "  quadriceps      2:00 █·█",
        "  2026-03-20  fold, reach, squat",
        "  class     +1:17:18", // (255 - 290 + 9600 - 290) s / 2
        "  150 to 300 min moderate: 1 of 3 weeks had 150 min of class or more",
        "  for healthy adults; information, not a prescription",
    ] {
        assert!(page.lines().any(|one| one == line), "{line:?} in\n{page}");
    }
    for width in [45, 80, 200] {
        let page = history_page(&History::of(&classes), today, width);
        assert!(page.lines().all(|line| line.chars().count() <= width));
    }
    assert_eq!(history_page(&History::of(&[]), today, 80), "no classes\n");
}

/// A class that runs as planned says its prompts where the outline has them; a break of 20 s puts
/// all that come after it off by the break and its count-in.
#[test]
fn captions_stand_where_the_running_class_had_its_prompts() {
    let session = std::sync::Arc::new(short_class());
    let plan = CuePlan::of(&Timeline::of(&session), &session.cueing, &session.limits);
    let hold_at = 52_000;
    for held in [0, 23_000] {
        let mut live = Live::new(session.clone());
        let moment = |millis: u64| Moment::from_millis(7_000 + millis);
        live.handle(moment(0), &Input::Act(Act::Begin));
        if held > 0 {
            live.handle(moment(hold_at), &Input::Act(Act::Hold(HoldReason::Break)));
            live.handle(moment(hold_at + held - 3_000), &Input::Act(Act::Resume));
        }
        live.handle(moment(290_000 + held), &Input::Wake);
        let mut facts = Vec::new();
        while let Some(output) = live.poll_output() {
            if let Output::Fact(fact) = output {
                let gone = i64::try_from(fact.at.millis() - 7_000).unwrap();
                facts.push((start() + TimeDelta::milliseconds(gone), fact));
            }
        }
        let record = read(&bytes(&header(short_class(), start()), &entries(facts))).unwrap();
        assert!(record.is_ended());
        let told: Vec<_> = captions(&record)
            .into_iter()
            .map(|one| ((one.from - start()).num_milliseconds(), one.say))
            .collect();
        let expected: Vec<_> = plan
            .prompts
            .iter()
            .map(|prompt| {
                let at = prompt.at.millis();
                let put_off = if at > hold_at { held } else { 0 };
                (i64::try_from(at + put_off).unwrap(), prompt.say.clone())
            })
            .collect();
        assert!(told.len() > 5, "{told:?}");
        assert_eq!(told, expected, "held for {held} ms");
    }
}
