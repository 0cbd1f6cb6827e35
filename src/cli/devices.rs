//! `matside devices`: what can play, and what speaks; and setting it by ear.

use std::fmt::Write as _;
use std::path::Path;

use super::args::Devices;
use super::load::{self, Own};
use super::report::{self, Failure};
use super::{print, teach};
use crate::app::{self, Settings};
use crate::export::counted;
use crate::session::Faults;
use crate::session::edit::{Edits, Step};
use crate::sound::{hush_stderr, outputs};
use crate::store::{Present, hand_over, make_folder};

pub(super) fn devices(asked: &Devices, own: Own) -> Result<(), Failure> {
    if asked.set {
        return set(own);
    }
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

/// The page on which sound is set, and the configuration with what was chosen.
fn set(own: Own) -> Result<(), Failure> {
    teach::needs_terminal()?;
    let settings = load::settings(own)?;
    let path = load::config_path().filter(|_| own == Own::Read);
    let path = path.ok_or_else(|| {
        let why = "there is no place for a configuration (no home folder, or --no-config)";
        Failure::Usage(why.to_owned())
    })?;
    let chosen = app::tune(&settings, load::words_cache())?;
    let Some(chosen) = chosen.filter(|chosen| *chosen != settings) else {
        report::tell("nothing was changed\n");
        return Ok(());
    };
    let name = path.display().to_string();
    // What somebody wrote into it meanwhile stays.
    let text = load::config_text()?;
    let text = text.as_deref().unwrap_or("Config()\n");
    let new = changed(&name, text, &chosen).map_err(Failure::OwnFaults)?;
    let new = new.ok_or_else(|| {
        let why =
            format!("`{name}` is laid out in a way that could not be changed; nothing is written");
        Failure::System(anyhow::anyhow!(why))
    })?;
    write(&path, &new)?;
    report::tell(&format!("kept in {name}\n"));
    Ok(())
}

fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let made = path.parent().map_or(Ok(()), make_folder);
    let made = made.and_then(|()| hand_over(path, text.as_bytes(), Present::Replaced));
    made.map_err(|error| Failure::Create {
        path: path.to_owned(),
        error,
    })
}

/// The text of a configuration with what was chosen of sound; nothing where it would not say that.
fn changed(name: &str, text: &str, chosen: &Settings) -> Result<Option<String>, Faults> {
    let (signals, words) = chosen.of_sound();
    let mut edits = Edits::of(name, text)?;
    let done =
        edits.put(&[Step::Field("speech")], "Speech", &words) && edits.put(&[], "Config", &signals);
    let Some(new) = edits.finish() else {
        return Ok(None);
    };
    let read = Settings::read(name, new.as_bytes(), load::home().as_deref())?;
    Ok((done && read.of_sound() == chosen.of_sound()).then_some(new))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever was chosen stands in the file afterwards, whatever stood there before; the rest of it
    /// stays.
    #[test]
    fn what_was_chosen_is_what_the_file_says() {
        let chosen = |text: &str| Settings::read("c", text.as_bytes(), None).expect(text);
        let choices = [
            "()",
            "(device: \"Hall \\\"2\\\"\", volume: 4)",
            "(sound_offset_ms: -130, keep_awake: true, speech: (to: Room, volume: 3))",
            "(speech: (to: Ear, when: Always, side: Right))",
            "(speech: (to: Ear, device: \"Bud\", offset_ms: 250))",
        ];
        for before in [
            "Config()\n",
            "(ground: Light)",
            "// mine\nConfig(\n    // keys\n    keys: Keys(preset: Remote),\n    device: \"Old\", // old\n    \
             speech: Speech(\n        to: Ear, // ear\n        device: \"Older\",\n    ),\n)\n",
            "Config(volume: 2, speech: ())",
        ] {
            for choice in choices {
                let choice = chosen(choice);
                let new = changed("c", before, &choice).expect(before).expect(before);
                assert_eq!(chosen(&new).of_sound(), choice.of_sound(), "{new}");
                assert_eq!(chosen(&new).preset_word(), chosen(before).preset_word());
                for kept in ["// mine", "// keys", "// ear", "ground: Light"] {
                    assert_eq!(before.contains(kept), new.contains(kept), "{new}");
                }
            }
        }
    }
}
