//! The bytes of a record: round trips, cuts, flips, other versions.

use matside::record::{Body, Entry, Fault, Header, Torn, Version, read};
use matside::session::{Move, Part, Pattern, Session};
use matside::time::{Moment, Offset, Span};

use crate::sample::{self, bytes, entries, eventful, header, hour_class, short_class, start};

fn sample_record() -> (Header, Vec<Entry>, Vec<u8>) {
    let header = header(short_class(), start());
    let mut told = entries(eventful(start()));
    told.push(Entry {
        n: told.len() as u64 + 1,
        wall: start(),
        body: Body::Note(sample::note()),
    });
    let bytes = bytes(&header, &told);
    (header, told, bytes)
}

#[test]
fn a_record_reads_back_as_it_was_written() {
    let (header, told, bytes) = sample_record();
    let back = read(&bytes).unwrap();
    assert_eq!((&back.header, &back.entries), (&header, &told));
    assert_eq!((back.whole, back.torn), (bytes.len(), None));
    assert_eq!(back.note(), Some(&sample::note()));
    assert!(back.is_ended());
}

#[test]
fn an_hour_of_plan_stays_under_twenty_kilobytes() {
    let session = hour_class("Long Shore", 0);
    let line = Header::new(session.clone(), start()).line();
    assert_eq!(read(&line).unwrap().header.session, session);
    assert!(line.len() < 20_000, "{} bytes", line.len());
}

#[test]
fn two_moves_with_one_word_stay_two() {
    let mut session = short_class();
    let Part::Block(block) = &mut session.parts[2] else {
        unreachable!()
    };
    let of = Move {
        id: block.moves[0].moves()[0].of.id.clone(),
        ..(*block.moves[1].moves()[0].of).clone()
    };
    block.moves[1] = sample::plain(&of.into()).into();
    let line = Header::new(session.clone(), start()).line();
    assert_eq!(read(&line).unwrap().header.session, session);
}

#[test]
fn whatever_happens_reads_back() {
    let mut random = fastrand::Rng::with_seed(5);
    for _ in 0..200 {
        let session = Session {
            title: sample::any_words(&mut random),
            brief: sample::any_words(&mut random),
            stock: (0..random.usize(0..3))
                .map(|n| (format!("thing {n}"), random.u32(0..=1000)))
                .collect(),
            ..short_class()
        };
        let told: Vec<Entry> = (1..=random.u64(0..20))
            .map(|n| Entry {
                n,
                wall: start(),
                body: Body::Fact(matside::live::Fact {
                    at: Moment::from_millis(random.u64(..)),
                    offset: Offset::from_millis(random.u64(..)),
                    what: sample::any_what(&mut random),
                }),
            })
            .collect();
        let header = Header::new(session, start());
        let back = read(&bytes(&header, &told)).unwrap();
        assert_eq!((back.header, back.entries), (header, told));
    }
}

#[test]
fn a_record_cut_at_any_byte_gives_the_beginning_of_it() {
    let (_, told, bytes) = sample_record();
    let first = bytes.iter().position(|&byte| byte == b'\n').unwrap() + 1;
    for cut in 0..bytes.len() {
        match read(&bytes[..cut]) {
            Err(fault) => assert!(cut < first && fault == Fault::Empty, "{cut}: {fault}"),
            Ok(back) => {
                let whole = bytes[..cut].split(|&byte| byte == b'\n').count() - 2;
                assert_eq!(back.entries, told[..whole], "cut at {cut}");
                assert_eq!(back.torn.is_some(), back.whole < cut, "cut at {cut}");
            }
        }
    }
}

#[test]
fn a_flipped_byte_before_the_last_line_is_refused_with_its_place() {
    let (_, told, bytes) = sample_record();
    let starts: Vec<usize> = std::iter::once(0)
        .chain(
            (0..bytes.len())
                .filter(|&at| bytes[at] == b'\n')
                .map(|at| at + 1),
        )
        .collect();
    let tail = starts[starts.len() - 2];
    for at in 0..bytes.len() {
        for flip in [0x01, 0x20, bytes[at] ^ b'\n', bytes[at]] {
            let mut bad = bytes.clone();
            bad[at] ^= flip;
            if bad == bytes {
                continue;
            }
            let line = starts.iter().rposition(|&start| start <= at).unwrap();
            match read(&bad) {
                Err(Fault::Damaged {
                    line: said, byte, ..
                }) => {
                    assert_eq!((said, byte), (line + 1, starts[line]), "byte {at} ^ {flip}");
                }
                Ok(back) if at >= tail => {
                    assert_eq!(back.entries, told[..told.len() - 1], "byte {at} ^ {flip}");
                    assert!(back.torn.is_some());
                }
                Err(Fault::Foreign) => assert!(at < 18, "byte {at} ^ {flip}"),
                other => panic!("byte {at} ^ {flip}: {other:?}"),
            }
        }
    }
}

#[test]
fn a_missing_and_a_doubled_line_are_refused() {
    let (_, _, bytes) = sample_record();
    let lines: Vec<&[u8]> = bytes.split_inclusive(|&byte| byte == b'\n').collect();
    let missing = [&lines[..4], &lines[5..]].concat().concat();
    let doubled = [&lines[..5], &lines[4..]].concat().concat();
    for (bad, said) in [(missing, 5), (doubled, 6)] {
        assert!(matches!(read(&bad), Err(Fault::Damaged { line, .. }) if line == said));
    }
}

#[test]
fn what_a_power_cut_leaves_behind_the_last_line_is_forgiven() {
    let (_, told, mut bytes) = sample_record();
    let whole = bytes.len();
    bytes.extend([0; 300]);
    let back = read(&bytes).unwrap();
    assert_eq!((back.entries, back.whole), (told.clone(), whole));
    let line = told.len() + 2;
    assert_eq!(back.torn, Some(Torn { line, bytes: 300 }));
}

#[test]
fn what_is_not_a_record_is_told_from_an_empty_one() {
    assert_eq!(read(b""), Err(Fault::Empty));
    assert_eq!(read(b"{\"matside_rec"), Err(Fault::Empty));
    assert_eq!(read(b"Session(title: \"x\")\nmore\n"), Err(Fault::Foreign));
}

/// A line sealed by the published CRC-32 of an independent place: the tests' own arithmetic.
fn sealed(object: &str) -> Vec<u8> {
    let body = object.strip_suffix('}').unwrap();
    let mut sum = u32::MAX;
    for byte in body.bytes() {
        sum ^= u32::from(byte);
        for _ in 0..8 {
            sum = (sum >> 1) ^ (0xedb8_8320 * (sum & 1));
        }
    }
    format!("{body},\"crc\":\"{:08x}\"}}\n", !sum).into_bytes()
}

fn unsealed(line: &[u8]) -> String {
    let text = std::str::from_utf8(line).unwrap();
    format!("{}}}", text.rsplit_once(",\"crc\":").unwrap().0)
}

#[test]
fn a_newer_minor_version_is_read_and_kept_and_a_newer_major_one_refused() {
    let (header, told, _) = sample_record();
    let first = unsealed(&header.line());
    let newer = first
        .replace("\"2.0\"", "\"2.7\"")
        .replace("\"n\":0", "\"n\":0,\"weather\":{\"rain\":true}");
    let fact = unsealed(&told[0].line()).replace("\"n\":1,", "\"n\":1,\"mood\":\"calm\",");
    let kind = "{\"n\":2,\"wall\":\"2026-03-02T18:30:01+01:00\",\"fact\":{\"at\":1,\"offset\":2,\"what\":{\"rang\":3}}}";
    let entry = "{\"n\":3,\"wall\":\"2026-03-02T18:30:01+01:00\",\"photo\":\"none\"}";
    let lines = [newer.as_str(), &fact, kind, entry].map(sealed).concat();

    let back = read(&lines).unwrap();
    assert_eq!(back.header.version, Version { major: 2, minor: 7 });
    assert_eq!(back.header.more["weather"]["rain"], true);
    assert_eq!(back.entries[0].body, told[0].body);
    assert_eq!((back.entries.len(), back.passed_over()), (3, 2));
    let again = bytes(&back.header, &back.entries[1..]);
    assert!(again.ends_with(&[kind, entry].map(sealed).concat()));

    let major = [sealed(&first.replace("\"2.0\"", "\"3.0\"")), told[0].line()].concat();
    let said = read(&major).unwrap_err().to_string();
    assert!(
        said.contains("`3.0`") && said.contains("newer version"),
        "{said}"
    );

    let ours = [sealed(&first), sealed(&kind.replace("\"n\":2", "\"n\":1"))].concat();
    assert!(matches!(read(&ours), Err(Fault::Damaged { line: 2, .. })));
}

/// Pieces moved, doubled, lost or overwritten anywhere: never a fact that was not written, never
/// one out of its place.
#[test]
fn no_damage_makes_up_a_fact() {
    let (_, told, bytes) = sample_record();
    let mut random = fastrand::Rng::with_seed(6);
    for _ in 0..3_000 {
        let mut bad = bytes.clone();
        let from = random.usize(..bad.len());
        let to = (from + random.usize(..600)).min(bad.len());
        let piece: Vec<u8> = bad[from..to].to_vec();
        let at = random.usize(..bad.len());
        match random.u8(0..4) {
            0 => drop(bad.drain(from..to)),
            1 => drop(bad.splice(at..at, piece)),
            2 => drop(bad.splice(at..(at + piece.len()).min(bytes.len()), piece)),
            _ => bad[from..to].fill(0),
        }
        if let Ok(back) = read(&bad) {
            assert_eq!(back.entries, told[..back.entries.len()]);
        }
    }
}

/// A record's plan passes the bounds that a session file passes. Such a record has a right checksum:
/// before, its rounds were expanded until no memory was left, and nothing can catch that.
#[test]
fn a_plan_past_the_bounds_of_a_class_is_refused_before_it_is_expanded() {
    let (_, told, _) = sample_record();
    let mut session = short_class();
    let Part::Block(block) = &mut session.parts[2] else {
        unreachable!()
    };
    block.pattern = Pattern::Same {
        rounds: 3,
        work: Span::from_secs(41),
        rest: Span::from_secs(19),
    };
    session.cueing.fetch = Span::from_secs(7);
    let block = Part::Block(block.clone());
    session.parts.push(block);
    let first = unsealed(&header(session, start()).line());
    let same = r#""pattern":{"Same":{"rounds":3,"work":41000,"rest":19000}}"#;
    let refused = |first: &str| {
        let bytes = [sealed(first), told[0].line()].concat();
        match read(&bytes) {
            Err(Fault::Damaged { line: 1, what, .. }) => Some(what),
            Ok(_) => None,
            other => panic!("{other:?}"),
        }
    };
    assert!(first.contains(same), "{first}");
    assert_eq!(refused(&first), None);
    for (written, instead, said) in [
        (r#""rounds":3"#, r#""rounds":4294967295"#, "100000"),
        (r#""rounds":3"#, r#""rounds":100001"#, "100000"),
        (r#""rounds":3"#, r#""rounds":60000"#, "100000 intervals"),
        (r#""rounds":3"#, r#""rounds":0"#, "from 1"),
        (r#""rounds":3"#, r#""rounds":2000"#, "12:00:00"),
        (r#""work":41000"#, r#""work":0"#, "no time"),
        (
            r#""work":41000"#,
            r#""work":18446744073709551615"#,
            "longer",
        ),
        (
            r#""rest":19000"#,
            r#""rest":18446744073709551615"#,
            "longer",
        ),
        (
            same,
            r#""pattern":{"Emom":{"minutes":4294967295,"work":9000}}"#,
            "`minutes`",
        ),
        (
            same,
            r#""pattern":{"Emom":{"minutes":9,"work":60000}}"#,
            "minute",
        ),
        (same, r#""pattern":{"Amrap":{"time":0}}"#, "no time"),
        (
            same,
            r#""pattern":{"Rounds":{"work":[9000,9000],"rest":[0]}}"#,
            "pair",
        ),
        (
            same,
            r#""pattern":{"Rounds":{"work":[],"rest":[]}}"#,
            "pair",
        ),
        (
            same,
            r#""pattern":{"Reps":{"rounds":3,"rest":0,"pace":3000}}"#,
            "`reps`",
        ),
        (
            r#""words_per_minute":140"#,
            r#""words_per_minute":0"#,
            "from 60",
        ),
        (r#""count":3"#, r#""count":4294967295"#, "from 0"),
        (
            r#""fetch":7000"#,
            r#""fetch":18446744073709551615"#,
            "longer",
        ),
    ] {
        assert!(first.contains(written), "{written} in {first}");
        let what = refused(&first.replace(written, instead)).unwrap_or_default();
        assert!(what.contains(said), "{instead}: {what}");
    }
}

/// Whatever a session file can say is kept in a record, and read back as it was.
#[test]
fn every_kind_of_plan_is_read_back_as_it_was() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let library = matside::session::Library::builtin();
    let mut files = 0;
    for folder in ["sessions", "tests/published"] {
        for entry in std::fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            let text = std::fs::read(&path).unwrap();
            let name = path.display().to_string();
            let session = matside::session::Session::read_bytes(&name, &text, &library);
            let session = session.unwrap_or_else(|faults| panic!("{faults}"));
            let line = Header::new(session.clone(), start()).line();
            assert_eq!(read(&line).expect(&name).header.session, session, "{name}");
            files += 1;
        }
    }
    assert!(files >= 40, "only {files} sessions");
}
