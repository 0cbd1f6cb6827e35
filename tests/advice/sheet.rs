//! The pages to print: read by a browser's own rules, legible, whole, and harmless whatever a file
//! says. What a browser makes of them is checked by `tests/sheets.sh`.

use html5ever::tendril::TendrilSink;
use html5ever::{ParseOpts, parse_document};
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use matside::export::{Layout, Paper, cards, cover, sheet};
use matside::plan::{CuePlan, PromptKind, Timeline};
use matside::session::{Library, Session};

/// The text of a page as a browser takes it, with what it had to forgive.
fn read(page: &str) -> (String, Vec<String>) {
    let mut options = ParseOpts::default();
    options.tokenizer.exact_errors = true;
    options.tree_builder.exact_errors = true;
    let dom = parse_document(RcDom::default(), options).one(page);
    let errors = dom
        .errors
        .borrow()
        .iter()
        .map(ToString::to_string)
        .collect();
    let mut text = String::new();
    gather(&dom.document, &mut text);
    (
        text.split_whitespace().collect::<Vec<_>>().join(" "),
        errors,
    )
}

fn gather(node: &Handle, text: &mut String) {
    if let NodeData::Text { contents } = &node.data {
        text.push_str(&contents.borrow());
        text.push(' ');
    }
    for child in node.children.borrow().iter() {
        gather(child, text);
    }
}

fn samples() -> Vec<Session> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let read = |path: std::path::PathBuf| {
        let text = std::fs::read_to_string(path).expect("text");
        Session::read("t", &text, &Library::builtin()).expect("whole")
    };
    let entries = std::fs::read_dir(folder).expect("the folder");
    entries
        .map(|entry| read(entry.expect("an entry").path()))
        .collect()
}

fn pages(session: &Session) -> [String; 4] {
    let letter = Layout {
        paper: Paper::Letter,
        is_large: true,
    };
    [
        sheet(session, Layout::default()),
        sheet(session, letter),
        cards(session, Layout::default()),
        cover(session, &Library::builtin(), Layout::default()),
    ]
}

#[test]
fn no_browser_has_anything_to_forgive_and_nothing_comes_from_elsewhere() {
    let samples = samples();
    assert!(samples.len() >= 10);
    for session in &samples {
        for page in pages(session) {
            let (text, errors) = read(&page);
            assert!(errors.is_empty(), "{errors:?}");
            assert!(text.contains(&session.title));
            for elsewhere in ["http", "src=", "@import", "url(", "<script"] {
                assert!(!page.contains(elsewhere), "{elsewhere}");
            }
        }
    }
}

#[test]
fn the_sheet_has_every_move_every_prompt_but_of_time_and_the_cautions() {
    for session in &samples() {
        let timeline = Timeline::of(session);
        let (text, _) = read(&sheet(session, Layout::default()));
        for turn in timeline.intervals().iter().flat_map(|one| one.moves.iter()) {
            assert!(text.contains(&turn.of.name), "{}", turn.of.name);
        }
        let cues = CuePlan::of(&timeline, &session.cueing, &session.limits);
        let of_time = |kind| matches!(kind, PromptKind::Half | PromptKind::Seconds);
        for prompt in cues.prompts.iter().filter(|prompt| !of_time(prompt.kind)) {
            assert!(text.contains(&prompt.say), "{}", prompt.say);
        }
        assert!(text.contains("chest pain") && text.contains("licensed practice"));
        let (text, _) = read(&cards(session, Layout::default()));
        let works = timeline
            .intervals()
            .iter()
            .filter(|one| one.block().is_some());
        for turn in works.flat_map(|one| one.moves.iter()) {
            assert!(text.contains(&turn.of.name), "{}", turn.of.name);
        }
    }
}

/// Letters that mean something to a browser mean nothing in the words of a file.
#[test]
fn words_of_a_file_stay_words() {
    let text = r#"Session(title: "<script>alert(1)</script> & \"x\"", brief: "</style><img src=x>", equipment: ["<b>"],
        moves: [Move(id: "x", name: "<i>x</i> & 'y'", position: Standing, regions: [Core], setup: "a < b")],
        parts: [Talk(time: 30, say: "<h1>Stop</h1>"), Block(title: "</table>", moves: [Use(move: "x", note: "<br>")], pattern: Same(rounds: 2, work: 30, rest: 15))])"#;
    let session = Session::read("t", text, &Library::builtin()).expect("whole");
    for page in pages(&session) {
        let (words, errors) = read(&page);
        assert!(errors.is_empty(), "{errors:?}");
        assert!(
            words.contains("<script>alert(1)</script> & \"x\""),
            "{words}"
        );
        assert!(words.contains("<i>x</i> & 'y'"), "{words}");
    }
}

/// Equal times on end are counted, a ladder is told rung by rung, and a part is named over the curve.
#[test]
fn times_are_told_by_round_and_parts_are_named() {
    let text = "Session(title: \"t\", parts: [WarmUp([(\"march\", \"5:00\")]), Ready(time: 15),
        Block(title: \"Tide\", moves: [\"squat\", \"lunge\"], pattern: Rounds(work: [40, 30, 30], rest: [15]), recovery: 60)])";
    let session = Session::read("t", text, &Library::builtin()).expect("whole");
    let (text, _) = read(&sheet(&session, Layout::default()));
    let text = text.replace('\u{a0}', " ");
    for told in [
        "Squat 0:40, 2 x 0:30 3 x 0:15",
        "Forward lunge 0:40, 2 x 0:30 2 x 1:00",
        "MET Warm-up Tide",
    ] {
        assert!(text.contains(told), "{told}: {text}");
    }
}

fn luminance(colour: &str) -> f64 {
    let channel = |at: usize| {
        let value =
            f64::from(u8::from_str_radix(&colour[at..at + 2], 16).expect("a colour")) / 255.0;
        if value <= 0.04045 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * channel(0) + 0.7152 * channel(2) + 0.0722 * channel(4)
}

/// WCAG 2.2: 7 to 1 for text (level AAA), 4.5 to 1 for what stands beside it (AA), 3 to 1 for the
/// parts of a drawing (1.4.11).
#[test]
fn light_and_dark_have_contrast() {
    let page = sheet(&samples()[0], Layout::default());
    let grounds: Vec<&str> = page
        .lines()
        .filter(|line| line.contains("--ink:"))
        .collect();
    assert_eq!(grounds.len(), 2, "light and dark");
    for line in grounds {
        let colour = |name: &str| {
            let (_, rest) = line.split_once(&format!("--{name}: #")).expect(name);
            luminance(&rest[..6])
        };
        let ground = colour("ground");
        for (name, least) in [
            ("ink", 7.0),
            ("soft", 4.5),
            ("work", 3.0),
            ("frame", 3.0),
            ("floor", 3.0),
        ] {
            let of = colour(name);
            let ratio = (of.max(ground) + 0.05) / (of.min(ground) + 0.05);
            assert!(ratio >= least, "{name}: {ratio:.2}");
        }
    }
}
