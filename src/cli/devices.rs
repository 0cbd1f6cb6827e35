//! `matside devices`: what can play, and what speaks.

use std::fmt::Write as _;

use super::load::{self, Own};
use super::print;
use super::report::Failure;
use crate::export::counted;
use crate::sound::{hush_stderr, outputs};

pub(super) fn devices(own: Own) -> Result<(), Failure> {
    let settings = load::settings(own)?;
    let hush =
        hush_stderr().map_err(|error| anyhow::Error::new(error).context("standard error"))?;
    let all = outputs();
    drop(hush);
    let mut page = String::new();
    let rows: Vec<[String; 4]> = all
        .iter()
        .map(|output| {
            let mark = if output.is_default { "default" } else { "" };
            let channels = counted(usize::from(output.channels), "channel");
            [
                output.name.clone(),
                channels,
                mark.into(),
                output.id.clone(),
            ]
        })
        .collect();
    if rows.is_empty() {
        page.push_str("no sound device was found\n");
    }
    page.push_str(&print::columns(&rows));
    let program = settings.program(std::env::var_os("PATH").as_ref());
    let speaks = match &program {
        Some(program) => format!("words are spoken by {}", program.path().display()),
        None => "no speaker program was found; espeak-ng is one".into(),
    };
    let _ = writeln!(page, "{speaks}");
    print::result(&page)
}
