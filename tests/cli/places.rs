//! Where sessions are found, and what is said where they are not.

use crate::home::{Home, err, out, status};

const CLASS: &str = r#"(title: "Tide Line", slot: "10:00", parts: [Talk(time: 30, say: "Hi.")])"#;

/// A home with sessions in the working folder and in one of the settings.
fn home() -> Home {
    let home = Home::new();
    home.put("sessions/tide-line.ron", CLASS);
    home.put("sessions/three.dots.in.ron", CLASS);
    home.put("classes/EBB.RON", CLASS);
    home.put("classes/night/owl.ron", CLASS);
    let folder = home.path().join("classes");
    let none = home.path().join("none");
    let settings = format!(
        "(sessions: [\"{}\", \"{}\"])",
        folder.display(),
        none.display()
    );
    home.with("config.ron", &settings)
}

#[test]
fn a_session_is_found_by_its_name_in_every_folder() {
    let home = home();
    for name in [
        "tide-line",
        "tide-line.ron",
        "Tide-Line",
        "tide line",
        "tide_line.RON",
        "ebb",
        "EBB.ron",
        "three.dots.in",
        "sessions/tide-line.ron",
        "./classes/EBB.RON",
        "classes/night/owl.ron",
        "Tide Line",
    ] {
        let output = home.run(&["outline", name]);
        assert_eq!(status(&output), Some(0), "{name}: {}", err(&output));
        assert!(out(&output).starts_with("Tide Line"), "{name}");
    }
}

/// What the list shows first is a name of the session, too; the name of a file comes before it.
#[test]
fn a_session_is_found_by_its_title_where_no_file_has_that_name() {
    let home = home();
    home.put(
        "sessions/a.ron",
        &CLASS.replace("Tide Line", "Grey_Gull's Hour 2"),
    );
    home.put("sessions/b.ron", &CLASS.replace("Tide Line", "a"));
    home.put("sessions/torn.ron", "(title: \"Torn\"");
    for name in [
        "Grey_Gull's Hour 2",
        "grey gull's hour 2",
        "GREY-GULL'S-HOUR-2",
    ] {
        let told = home.run(&["outline", name]);
        assert!(
            out(&told).starts_with("Grey_Gull"),
            "{name}: {}",
            err(&told)
        );
    }
    for name in ["grey gull", "gery-gulls-hour-2"] {
        let told = err(&home.run(&["outline", name]));
        assert!(told.contains("did you mean `sessions/a.ron`?"), "{told}");
    }
    let told = home.run(&["outline", "a"]);
    assert!(
        out(&told).starts_with("Grey_Gull"),
        "the file: {}",
        err(&told)
    );
    home.put(
        "sessions/c.ron",
        &CLASS.replace("Tide Line", "grey gull's hour 2"),
    );
    let two = home.run(&["outline", "grey gull's hour 2"]);
    assert!(err(&two).contains("is taken; `"), "{}", err(&two));
}

#[test]
fn what_is_not_found_is_told_with_where_it_was_looked_for_and_what_was_meant() {
    let home = home();
    for (name, told) in [
        ("tidel-ine", "did you mean `sessions/tide-line.ron`?"),
        ("tide", "did you mean `sessions/tide-line.ron`?"),
        ("ebbb", "EBB.RON`?"),
        (
            "sessions/tide-lin.ron",
            "did you mean `sessions/tide-line.ron`?",
        ),
        ("xyzzy", "`sessions`"),
        ("xyzzy", "classes`"),
        ("xyzzy", "none` (not there)"),
        ("xyzzy", "`matside sessions` lists"),
        ("nowhere/x.ron", "there is no folder `nowhere`"),
        (" ", "no session"),
    ] {
        let output = home.run(&["outline", name]);
        assert_eq!(status(&output), Some(66), "{name}: {}", err(&output));
        assert!(err(&output).contains(told), "{name}: {}", err(&output));
    }
}

#[test]
fn sessions_are_listed_and_checked_all_of_them() {
    let home = home();
    for n in 0..520 {
        home.put(&format!("sessions/class-{n:03}.ron"), CLASS);
    }
    for beside in [
        ".tide.ron.swp",
        "tide.ron~",
        "#tide.ron#",
        "._tide.ron",
        "tide.ron.bak",
    ] {
        home.put(&format!("sessions/{beside}"), "no session");
    }
    let list = home.run(&["sessions"]);
    assert_eq!((status(&list), err(&list).as_str()), (Some(0), ""));
    assert_eq!(out(&list).lines().count(), 523);
    let line = |text: &str| text.contains("Tide Line") && text.contains("0:30 of 10:00");
    assert!(out(&list).lines().all(line), "{}", out(&list));
    let all = home.run(&["check"]);
    assert_eq!((status(&all), err(&all).as_str()), (Some(0), ""));
    assert_eq!(out(&all).lines().count(), 523);
    assert!(out(&all).lines().all(|line| line.contains(": no faults, ")));

    home.put("sessions/torn.ron", "(title: \"Torn\", slot: 45, part: [])");
    for (args, told) in [
        (&["check"][..], "did you mean `parts`?"),
        (&["check", "torn", "ebb"], "1 of 2 files cannot be taught"),
        (&["sessions"], "torn.ron:1:"),
        (&["check", "xyzzy", "ebb"], "no session `xyzzy`"),
    ] {
        let output = home.run(args);
        let code = if args.contains(&"xyzzy") { 66 } else { 65 };
        assert_eq!(status(&output), Some(code), "{args:?}");
        assert!(err(&output).contains(told), "{args:?}: {}", err(&output));
        assert!(
            out(&output).contains("EBB.RON"),
            "{args:?}: the others are told"
        );
    }
}

/// An empty file of settings sets nothing, and neither does one that was only begun.
#[test]
fn a_file_of_settings_or_moves_with_nothing_in_it_is_no_fault() {
    for text in ["", "\n", "  \n\t", "// later", "/* later */\n", "\u{feff}"] {
        let home = Home::new().with("config.ron", text).with("moves.ron", text);
        for args in [
            &["keys"][..],
            &["moves", "squat"],
            &["check"],
            &["sessions"],
        ] {
            let output = home.run(args);
            assert_eq!(
                status(&output),
                Some(0),
                "{text:?} {args:?}: {}",
                err(&output)
            );
        }
    }
}

/// A slot as a bare number in a file is asked about where it may be minutes.
#[test]
fn a_bare_slot_in_a_file_is_asked_about() {
    let home = Home::new();
    for (slot, help) in [
        (
            "45",
            Some("for 45 minutes write \"45:00\", for seconds \"0:45\""),
        ),
        (
            "60",
            Some("for 60 minutes write \"1:00:00\", for seconds \"1:00\""),
        ),
        ("720", Some("for 720 minutes write \"12:00:00\"")),
        ("721", None),
        ("2700", None),
        ("\"45:00\"", None),
        ("45.5", None),
    ] {
        home.put(
            "a.ron",
            &format!("(title: \"A\", slot: {slot}, parts: [Ready(time: 9)])"),
        );
        let output = home.run(&["check", "a.ron"]);
        let told = err(&output);
        match help {
            Some(help) => assert!(told.contains(help), "{slot}: {told}"),
            None => assert_eq!(status(&output), Some(0), "{slot}: {told}"),
        }
    }
}

#[test]
fn a_move_is_shown_by_any_name_that_is_printed_of_it() {
    let home = Home::new();
    let list = out(&home.run(&["moves"]));
    assert!(list.lines().count() > 100);
    for (n, line) in list.lines().enumerate().filter(|(n, _)| n % 12 == 0) {
        let cells: Vec<&str> = line.split("  ").filter(|cell| !cell.is_empty()).collect();
        let page = out(&home.run(&["moves", "--show", cells[0]]));
        assert_eq!(
            out(&home.run(&["moves", "--show", cells[1].trim()])),
            page,
            "{n}: {line}"
        );
    }
    for (words, told) in [
        ("sqauts", "did you mean `squat`?"),
        ("xyzzy", "`matside moves WORDS`"),
    ] {
        let output = home.run(&["moves", "--show", words]);
        assert_eq!(status(&output), Some(66), "{words}");
        assert!(err(&output).contains(told), "{words}: {}", err(&output));
    }
}
