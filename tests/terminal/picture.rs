//! The picture of the README, drawn from the real screen.
//! `cargo test --test terminal picture -- --ignored` writes `assets/class.svg` anew.

use std::fmt::Write as _;
use std::path::Path;
use std::time::Duration;

use rustix::process::Signal;

use crate::folders::{Folders, write};
use crate::run::Start;

/// A cell in units of the picture: half as wide as it is high, and both even, so that halves and
/// eighths of a cell end on whole units.
const CELL: (u16, u16) = (8, 16);
const GROUND: &str = "#101014";
const LETTERS: &str = "#d8d8d8";

#[test]
#[ignore = "writes the picture anew"]
fn picture() {
    let folders = Folders::new();
    let args = ["rehearse", "--mute", "--at", "3:47", "--slot", "14"];
    let mut run = Start::new(&folders, &args).cells((100, 30)).run();
    run.runs();
    run.watch(Duration::from_millis(1_500));
    let svg = drawn(run.screen());
    run.signal(Signal::TERM);
    run.ends();
    let to = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/class.svg");
    write(&to, &svg);
}

/// The screen as SVG: grounds and blocks as rectangles, all else as letters.
fn drawn(screen: &vt100::Screen) -> String {
    let (rows, columns) = screen.size();
    let (wide, high) = (columns.get() * CELL.0, rows.get() * CELL.1);
    let (mut grounds, mut blocks, mut words) = (Vec::new(), Vec::new(), Vec::new());
    for row in 0..rows.get() {
        for column in 0..columns.get() {
            if let Some(cell) = screen.cell(row, column) {
                let at = [column * CELL.0, row * CELL.1];
                ground(cell, at, &mut grounds);
                front(cell, at, &mut blocks, &mut words);
            }
        }
    }
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide} {high}\" font-family=\"monospace\" font-size=\"13\" shape-rendering=\"crispEdges\">\n\
         <title>The screen of a class while it runs</title>\n\
         <rect width=\"{wide}\" height=\"{high}\" fill=\"{GROUND}\"/>\n"
    );
    for Area {
        at: [x, y],
        size: [wide, high],
        fill,
    } in merged(grounds).into_iter().chain(merged(blocks))
    {
        let _ = writeln!(
            svg,
            "<rect x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\" fill=\"{fill}\"/>"
        );
    }
    for Words {
        at: [x, y],
        text,
        fill,
        is_bold,
    } in words
    {
        let long = u16::try_from(text.chars().count()).expect("a line") * CELL.0;
        let text = text.replace('&', "&amp;").replace('<', "&lt;");
        let bold = if is_bold { " font-weight=\"bold\"" } else { "" };
        let base = y + CELL.1 - 4;
        let _ = writeln!(
            svg,
            "<text x=\"{x}\" y=\"{base}\" textLength=\"{long}\" fill=\"{fill}\"{bold}>{text}</text>"
        );
    }
    svg.push_str("</svg>\n");
    svg
}

/// A rectangle of one colour.
struct Area {
    at: [u16; 2],
    size: [u16; 2],
    fill: String,
}

/// Letters in a row that look alike.
struct Words {
    at: [u16; 2],
    text: String,
    fill: String,
    is_bold: bool,
}

/// The colours of the letter and of what is behind it.
fn colours(cell: &vt100::Cell) -> [String; 2] {
    let both = [
        colour(cell.fgcolor(), LETTERS),
        colour(cell.bgcolor(), GROUND),
    ];
    let [front, back] = both;
    if cell.inverse() {
        [back, front]
    } else {
        [front, back]
    }
}

fn ground(cell: &vt100::Cell, at: [u16; 2], grounds: &mut Vec<Area>) {
    let [_, fill] = colours(cell);
    if fill != GROUND {
        let size = [CELL.0, CELL.1];
        grounds.push(Area { at, size, fill });
    }
}

fn front(cell: &vt100::Cell, at: [u16; 2], blocks: &mut Vec<Area>, words: &mut Vec<Words>) {
    let [front, _] = colours(cell);
    let Some(letter) = cell
        .contents()
        .chars()
        .next()
        .filter(|letter| *letter != ' ')
    else {
        return;
    };
    if let Some(parts) = parts(letter) {
        blocks.extend(parts.into_iter().map(|[left, top, wide, high]| Area {
            at: [at[0] + left, at[1] + top],
            size: [wide, high],
            fill: front.clone(),
        }));
        return;
    }
    match words.last_mut() {
        Some(last)
            if last.at[1] == at[1]
                && usize::from(at[0] - last.at[0])
                    == last.text.chars().count() * usize::from(CELL.0)
                && (&last.fill, last.is_bold) == (&front, cell.bold()) =>
        {
            last.text.push(letter);
        }
        _ => words.push(Words {
            at,
            text: letter.into(),
            fill: front,
            is_bold: cell.bold(),
        }),
    }
}

/// Rectangles that touch and look alike as one, first along the row and then down.
fn merged(areas: Vec<Area>) -> Vec<Area> {
    let mut out = areas;
    for (along, across) in [(0, 1), (1, 0)] {
        out.sort_by_key(|area| (area.at[across], area.size[across], area.at[along]));
        let mut joined: Vec<Area> = Vec::new();
        for area in out {
            match joined.last_mut() {
                Some(last)
                    if last.fill == area.fill
                        && (last.at[across], last.size[across])
                            == (area.at[across], area.size[across])
                        && last.at[along] + last.size[along] == area.at[along] =>
                {
                    last.size[along] += area.size[along];
                }
                _ => joined.push(area),
            }
        }
        out = joined;
    }
    out
}

/// What of the cell a block fills (Unicode, Block Elements, U+2580 to U+259F); nothing for others.
fn parts(letter: char) -> Option<Vec<[u16; 4]>> {
    let (wide, high) = CELL;
    let part = |eighths: u32, of: u16| of * u16::try_from(eighths).unwrap_or(8) / 8;
    let code = u32::from(letter);
    let quarters = |which: [bool; 4]| -> Vec<[u16; 4]> {
        let at = [[0, 0], [wide / 2, 0], [0, high / 2], [wide / 2, high / 2]];
        let chosen = at.into_iter().zip(which).filter(|(_, on)| *on);
        chosen
            .map(|([x, y], _)| [x, y, wide / 2, high / 2])
            .collect()
    };
    Some(match code {
        0x2580 => vec![[0, 0, wide, high / 2]],
        0x2581..=0x2588 => {
            let tall = part(code - 0x2580, high);
            vec![[0, high - tall, wide, tall]]
        }
        0x2589..=0x258f => vec![[0, 0, part(0x2590 - code, wide), high]],
        0x2590 => vec![[wide / 2, 0, wide / 2, high]],
        0x2594 => vec![[0, 0, wide, high / 8]],
        0x2595 => vec![[wide - wide / 8, 0, wide / 8, high]],
        0x2596 => quarters([false, false, true, false]),
        0x2597 => quarters([false, false, false, true]),
        0x2598 => quarters([true, false, false, false]),
        0x2599 => quarters([true, false, true, true]),
        0x259a => quarters([true, false, false, true]),
        0x259b => quarters([true, true, true, false]),
        0x259c => quarters([true, true, false, true]),
        0x259d => quarters([false, true, false, false]),
        0x259e => quarters([false, true, true, false]),
        0x259f => quarters([false, true, true, true]),
        _ => return None,
    })
}

/// A colour as SVG writes it. The program sends colours of 24 bits here.
fn colour(colour: vt100::Color, usual: &str) -> String {
    match colour {
        vt100::Color::Rgb(r, g, b) => format!("#{r:02x}{g:02x}{b:02x}"),
        _ => usual.to_owned(),
    }
}
