//! The user's configuration: keys, sound, looks and folders, read from the text of `config.ron`.
//!
//! It refuses to know where that file lies, and whether the folders it names exist. A file with a
//! fault gives no settings at all: a class must not begin with half of its keys.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use super::keys::{Action, Key, Keys, Preset};
use super::speech_settings::{Speech, speech};
use crate::session::edit::FieldText;
use crate::session::{Faults, Fields, Node, Reader, Ron, Shape, Word, clipped, read_other};
use crate::sound::{self, MOST_OFFSET_MS, Volume};
use crate::speech::Program;

const CONFIG: &[&str] = &[
    "keys",
    "volume",
    "sound_offset_ms",
    "ground",
    "motion",
    "sessions",
    "device",
    "keep_awake",
    "speech",
];
const KEYS: &[&str] = &["preset", "own"];
/// How a configuration is written, for whoever left it empty.
const WHAT: &str = "a configuration is `Config(..)`; `Config()` leaves everything as it is";
/// The longest path, in characters.
const LONGEST_PATH: usize = 4096;
/// The longest name of a device, in characters.
const LONGEST_NAME: usize = 1024;
/// Keys that never reach the table, and what becomes of them.
const TAKEN: &[(&str, &str)] = &[
    ("ctrl-z", "stops the program whatever the table says"),
    ("ctrl-i", "arrives as `tab`"),
    ("ctrl-m", "arrives as `enter`"),
    ("ctrl-[", "arrives as `esc`"),
];
/// What must always have a key, and the actions that do it.
const NEEDED: &[(&str, &[Action])] = &[
    ("holds the class", &[Action::Hold, Action::OneSwitch]),
    ("ends the class", &[Action::End]),
];

/// What the user has set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    pub(crate) preset: Preset,
    /// Keys of the user's own, laid over the preset's.
    pub(crate) own: Vec<(Key, Action)>,
    /// 0 to 10.
    pub(crate) volume: u8,
    /// How many milliseconds earlier the sound is sent.
    pub(crate) sound_offset_ms: i64,
    pub(crate) ground: Ground,
    /// Whether anything but the digits may move.
    pub(crate) motion: bool,
    /// More folders with sessions to choose from.
    pub(crate) sessions: Vec<PathBuf>,
    /// The sound device, as the system calls it; empty: its default.
    pub(crate) device: String,
    /// Whether a tone that nobody hears keeps the loudspeaker from falling asleep.
    pub(crate) keep_awake: bool,
    /// Spoken words.
    pub(crate) speech: Speech,
}

/// What stands behind the letters.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Ground {
    #[default]
    Dark,
    Light,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            preset: Preset::default(),
            own: Vec::new(),
            volume: Volume::FULL.step(),
            sound_offset_ms: 0,
            ground: Ground::default(),
            motion: true,
            sessions: Vec::new(),
            device: String::new(),
            keep_awake: false,
            speech: Speech::default(),
        }
    }
}

impl Settings {
    /// Reads a configuration file. `name` is its name in faults, `home` what `~` stands for.
    ///
    /// # Errors
    /// All faults of the file at once.
    pub fn read(name: &str, bytes: &[u8], home: Option<&Path>) -> Result<Self, Faults> {
        read_other(name, bytes, WHAT, |reader, root| config(reader, root, home))
    }

    /// The folders besides the working folder's `sessions` in which sessions lie.
    #[must_use]
    pub fn sessions(&self) -> &[PathBuf] {
        &self.sessions
    }

    /// The same with the sound sent so many milliseconds earlier.
    #[must_use]
    pub fn with_sound_offset(self, sound_offset_ms: i64) -> Self {
        Self {
            sound_offset_ms,
            ..self
        }
    }

    /// The program that speaks, looked for in the folders of a `PATH`; nothing where none is there.
    #[must_use]
    pub fn program(&self, path: Option<&std::ffi::OsString>) -> Option<Program> {
        self.speech.program(path)
    }

    /// The word of the preset whose keys are in force.
    #[must_use]
    pub fn preset_word(&self) -> &'static str {
        self.preset.word()
    }

    /// The table of keys for reading: keys, the action's word, its label, what it does.
    #[must_use]
    pub fn help(&self) -> Vec<(String, &'static str, &'static str, &'static str)> {
        self.keys().help()
    }

    /// What the loudspeaker is opened with.
    pub(crate) fn sound(&self, muted: bool) -> sound::Settings {
        sound::Settings {
            offset_ms: self.sound_offset_ms,
            volume: Volume::new(self.volume),
            muted,
            keeps_awake: self.keep_awake,
            ..sound::Settings::default()
        }
    }

    /// What a file says of sound: of the signals, and of the spoken words.
    #[must_use]
    pub(crate) fn of_sound(&self) -> (Vec<FieldText>, Vec<FieldText>) {
        let usual = Self::default();
        let whole = vec![
            name_field("device", &self.device),
            field(
                "sound_offset_ms",
                &self.sound_offset_ms,
                &usual.sound_offset_ms,
            ),
            field("volume", &self.volume, &usual.volume),
            field("keep_awake", &self.keep_awake, &usual.keep_awake),
        ];
        (whole, self.speech.fields())
    }

    /// The table of keys in force.
    pub(crate) fn keys(&self) -> Keys {
        Keys::of(self.preset, &self.own)
    }
}

/// A field as a file says it, and whether it is the usual one.
pub(super) fn field<T: ToString + PartialEq>(
    name: &'static str,
    value: &T,
    usual: &T,
) -> FieldText {
    FieldText {
        name,
        value: value.to_string(),
        is_usual: value == usual,
    }
}

/// A field that names a device; without a name it is the usual one.
pub(super) fn name_field(name: &'static str, device: &str) -> FieldText {
    let value = match device {
        "" => "None".to_owned(),
        device => Ron::text(device).file().trim_end().to_owned(),
    };
    FieldText {
        name,
        value,
        is_usual: device.is_empty(),
    }
}

impl Word for Preset {
    const KIND: &'static str = "a preset of keys";
    const ALL: &'static [Self] = Self::ALL;
    fn word(self) -> &'static str {
        self.word()
    }
}

impl Word for Ground {
    const KIND: &'static str = "a ground";
    const ALL: &'static [Self] = &[Self::Dark, Self::Light];
    fn word(self) -> &'static str {
        match self {
            Self::Dark => "Dark",
            Self::Light => "Light",
        }
    }
}

fn config<'s>(reader: &mut Reader<'s>, root: &Node<'s>, home: Option<&Path>) -> Option<Settings> {
    let fields = reader.group(root, "Config", "a configuration", CONFIG)?;
    let keys = fields.maybe(reader, "keys", |r, n, _| keys(r, n));
    let volume = fields.maybe(reader, "volume", |r, n, l| r.count(n, l, 0..=10));
    let offset = fields.maybe(reader, "sound_offset_ms", |r, n, l| {
        r.whole(n, l, -MOST_OFFSET_MS..=MOST_OFFSET_MS)
    });
    let ground = fields.maybe(reader, "ground", Reader::word);
    let motion = fields.maybe(reader, "motion", Reader::truth);
    let sessions = fields.maybe(reader, "sessions", |r, n, l| {
        r.list(n, l, "folders", |r, n| folder(r, n, home))
    });
    let device = fields.maybe(reader, "device", |r, n, l| r.filled(n, l, LONGEST_NAME));
    let keep_awake = fields.maybe(reader, "keep_awake", Reader::truth);
    let speech = fields.maybe(reader, "speech", |r, n, _| speech(r, n));
    let usual = Settings::default();
    let (preset, own) = keys?.unwrap_or((usual.preset, usual.own));
    let volume = volume?.and_then(|volume| u8::try_from(volume).ok());
    Some(Settings {
        preset,
        own,
        volume: volume.unwrap_or(usual.volume),
        sound_offset_ms: offset?.unwrap_or(usual.sound_offset_ms),
        ground: ground?.unwrap_or(usual.ground),
        motion: motion?.unwrap_or(usual.motion),
        sessions: sessions?.unwrap_or_default(),
        device: device?.unwrap_or_default(),
        keep_awake: keep_awake?.unwrap_or(usual.keep_awake),
        speech: speech?.unwrap_or_default(),
    })
}

type Own = Vec<(Key, Action)>;

fn keys<'s>(reader: &mut Reader<'s>, node: &Node<'s>) -> Option<(Preset, Own)> {
    let fields = reader.group(node, "Keys", "a set of keys", KEYS)?;
    let preset = fields.maybe(reader, "preset", Reader::word);
    let own = fields.maybe(reader, "own", own);
    let (preset, own) = (preset?.unwrap_or_default(), own?.unwrap_or_default());
    needed(reader, &fields, &Keys::of(preset, &own))?;
    Some((preset, own))
}

/// The user's own keys, each of them once.
fn own<'s>(reader: &mut Reader<'s>, node: &Node<'s>, label: &str) -> Option<Own> {
    let Shape::Map(pairs) = &node.shape else {
        let takes = format!("{label} takes keys and actions in braces, as in {{\"x\": \"skip\"}}");
        reader.wrong(node, &takes);
        return None;
    };
    let mut places = HashMap::new();
    let mut rows = Vec::new();
    for (key, action) in pairs {
        let (key, action) = (reader.node(key), reader.node(action));
        let (key, action) = (a_key(reader, &key, &mut places), an_action(reader, &action));
        rows.push(key.zip(action));
    }
    rows.into_iter().collect()
}

fn a_key<'s>(
    reader: &mut Reader<'s>,
    node: &Node<'s>,
    places: &mut HashMap<Key, usize>,
) -> Option<Key> {
    let written = reader.text(node, "a key", LONGEST_PATH)?;
    let Some(key) = Key::named(&written) else {
        no_key(reader, node, &written);
        return None;
    };
    let taken = |(name, _): &&(&str, &str)| Key::named(name) == Some(key);
    if let Some((_, why)) = TAKEN.iter().find(taken) {
        let message = format!("the key `{written}` {why}");
        reader.fault(node.head(), message, "take another key");
        return None;
    }
    if let Some(first) = places.get(&key) {
        let first = reader.first_at(*first);
        let message = format!("the key `{written}` stands twice{first}");
        reader.fault(node.head(), message, "a key has one action: take one away");
        return None;
    }
    places.insert(key, node.range.start);
    Some(key)
}

/// A name that no key has: the one probably meant, else how keys are named.
fn no_key<'s>(reader: &mut Reader<'s>, node: &Node<'s>, written: &str) {
    let help = match reader.like(written, Key::names()) {
        Some(name) => format!("did you mean `{name}`?"),
        None => "a key is one character, `f1` to `f12`, `space`, `enter`, `pageup` and the like, \
                 or `ctrl-` before one of these"
            .into(),
    };
    let written = clipped(written);
    reader.fault(node.head(), format!("`{written}` is no key"), &help);
}

fn an_action<'s>(reader: &mut Reader<'s>, node: &Node<'s>) -> Option<Action> {
    let written = reader.text(node, "an action", LONGEST_PATH)?;
    let action = Action::named(&written);
    if action.is_none() {
        let known: Vec<&str> = Action::all().map(Action::word).collect();
        reader.unknown(node, "an action", &written, &known);
    }
    action
}

/// Tells where the user's own keys leave a class that cannot be held or ended.
fn needed(reader: &mut Reader<'_>, fields: &Fields<'_>, table: &Keys) -> Option<()> {
    let place = fields.place(reader, "own");
    let mut whole = Some(());
    for (what, ways) in NEEDED {
        if ways.iter().any(|way| !table.keys_of(*way).is_empty()) {
            continue;
        }
        let word = ways.first().map_or("", |way| way.word());
        let message = format!("with these keys no key {what}");
        let help = format!("give a key the action \"{word}\"");
        reader.fault(place.clone().unwrap_or(0..0), message, &help);
        whole = None;
    }
    whole
}

fn folder<'s>(reader: &mut Reader<'s>, node: &Node<'s>, home: Option<&Path>) -> Option<PathBuf> {
    let written = reader.filled(node, "an entry of `sessions`", LONGEST_PATH)?;
    let below = match written.strip_prefix('~') {
        Some("") => Some(""),
        Some(rest) => rest.strip_prefix(['/', std::path::MAIN_SEPARATOR]),
        None if Path::new(&written).is_absolute() => return Some(written.into()),
        None => None,
    };
    let message = match (below, home) {
        (Some(below), Some(home)) => return Some(home.join(below)),
        (Some(_), None) => "`~` stands for the home folder, and none is known".into(),
        (None, _) => format!("`{}` is no whole path", clipped(&written)),
    };
    let help = "write the path from the root on, or from the home folder as in \"~/classes\"";
    reader.fault(node.head(), message, help);
    None
}

#[cfg(test)]
mod tests {
    use super::super::speech_settings::{CountBy, EarSide, SpeaksTo, When};
    use super::*;
    use crate::speech::Speaker;

    fn read(text: &str) -> Settings {
        let home = Some(Path::new("/home/ada"));
        Settings::read("config.ron", text.as_bytes(), home).expect(text)
    }

    #[test]
    fn every_field_of_a_full_file_is_read() {
        let key = |name| Key::named(name).expect(name);
        let text = r#"
            Config(
                keys: Keys(preset: Remote, own: {"x": "skip", "f5": "hold", "ctrl-E": "end"}),
                volume: 8,
                sound_offset_ms: -120,
                ground: Light,
                motion: false,
                sessions: ["~/classes", "~", "/srv/classes"],
                device: "Hall",
                keep_awake: true,
                speech: Speech(to: Ear, when: Always, side: Right, device: "Bud", offset_ms: 180,
                    volume: 6, command: ["say-it", "{text}"], voice: "en", words_per_minute: 200,
                    count: Words),
            )"#;
        let expected = Settings {
            preset: Preset::Remote,
            own: vec![
                (key("x"), Action::Skip),
                (key("f5"), Action::Hold),
                (key("ctrl-e"), Action::End),
            ],
            volume: 8,
            sound_offset_ms: -120,
            ground: Ground::Light,
            motion: false,
            sessions: ["/home/ada/classes", "/home/ada/", "/srv/classes"]
                .map(PathBuf::from)
                .into(),
            device: "Hall".into(),
            keep_awake: true,
            speech: Speech {
                to: SpeaksTo::Ear,
                when: When::Always,
                side: EarSide::Right,
                device: "Bud".into(),
                offset_ms: 180,
                volume: 6,
                speaker: Speaker::Own(vec!["say-it".into(), "{text}".into()]),
                voice: "en".into(),
                words_per_minute: 200,
                count: CountBy::Words,
            },
        };
        assert_eq!(read(text), expected);
        assert_eq!(read(text).keys().action(key("f5")), Some(Action::Hold));
    }

    #[test]
    fn what_is_left_out_stays_as_it_is() {
        for text in [
            "Config()",
            "()",
            "Config(keys: Keys())",
            "Config(keys: Keys(own: {}), sessions: [])",
            "Config(volume: None)",
        ] {
            assert_eq!(read(text), Settings::default(), "{text}");
        }
    }

    #[test]
    fn every_word_of_the_tables_can_be_written() {
        for preset in Preset::ALL {
            let text = format!("Config(keys: (preset: {}))", preset.word());
            assert_eq!(read(&text).preset, *preset);
        }
        for action in Action::all() {
            let text = format!("Config(keys: (own: {{\"y\": \"{}\"}}))", action.word());
            assert_eq!(read(&text).own[0].1, action);
        }
        for name in Key::names() {
            let text = format!("Config(keys: (own: {{\"{name}\": \"hold\"}}))");
            assert_eq!(Some(read(&text).own[0].0), Key::named(name));
        }
    }

    #[test]
    fn without_a_home_folder_a_tilde_is_a_fault() {
        let faults = Settings::read("c", b"(sessions: [\"~/a\", \"/b\"])", None);
        assert_eq!(faults.expect_err("no home").count(), 1);
    }
}
