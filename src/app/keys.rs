//! Which key does what: one table, from presets and the configuration file.
//!
//! Remotes and pedals are keyboards with few keys, so a preset lays their keys over the usual ones.
//! The footer and the help page are drawn from the table in force, never from a list of their own.

use std::fmt;

use crossterm::event::KeyCode;

pub(crate) use super::actions::Action;

/// A key, without what the terminal adds to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Key {
    code: KeyCode,
    ctrl: bool,
}

/// Keys that have a name; the rest are characters, or `f1` to `f12`.
const NAMED: &[(&str, KeyCode)] = &[
    ("space", KeyCode::Char(' ')),
    ("enter", KeyCode::Enter),
    ("esc", KeyCode::Esc),
    ("tab", KeyCode::Tab),
    ("backspace", KeyCode::Backspace),
    ("left", KeyCode::Left),
    ("right", KeyCode::Right),
    ("up", KeyCode::Up),
    ("down", KeyCode::Down),
    ("pageup", KeyCode::PageUp),
    ("pagedown", KeyCode::PageDown),
    ("home", KeyCode::Home),
    ("end", KeyCode::End),
    ("insert", KeyCode::Insert),
    ("delete", KeyCode::Delete),
];

impl Key {
    /// A key that no table can name: with Alt, or of a keyboard that has more than others.
    pub(crate) const OTHER: Self = Self::plain(KeyCode::Null);

    /// A key by itself. Shift is in the character already, and means nothing besides.
    pub(crate) const fn plain(code: KeyCode) -> Self {
        Self { code, ctrl: false }
    }

    /// A character with Ctrl.
    pub(crate) const fn ctrl(letter: char) -> Self {
        Self::plain(KeyCode::Char(letter)).with_ctrl()
    }

    /// The same with Ctrl. Terminals send the same for capitals, and it arrives as the small letter.
    pub(crate) const fn with_ctrl(self) -> Self {
        let code = match self.code {
            KeyCode::Char(letter) => KeyCode::Char(letter.to_ascii_lowercase()),
            other => other,
        };
        Self { code, ctrl: true }
    }

    /// The key without Shift or the lock of the capitals, where that makes a difference.
    pub(crate) fn small(self) -> Self {
        let KeyCode::Char(letter) = self.code else {
            return self;
        };
        let mut small = letter.to_lowercase();
        match (small.next(), small.next()) {
            (Some(only), None) => Self {
                code: KeyCode::Char(only),
                ..self
            },
            _ => self,
        }
    }

    /// The name of the key as the configuration file has it.
    pub(crate) fn name(self) -> String {
        let plain = match self.code {
            KeyCode::Char(' ') => "space".to_owned(),
            KeyCode::Char(c) => c.to_string(),
            KeyCode::F(n) => format!("f{n}"),
            code => NAMED
                .iter()
                .find(|(_, named)| *named == code)
                .map_or_else(String::new, |(name, _)| (*name).to_owned()),
        };
        if self.ctrl {
            format!("ctrl-{plain}")
        } else {
            plain
        }
    }

    /// Whether the key writes a letter that no command has.
    pub(crate) const fn is_foreign(self) -> bool {
        matches!(self.code, KeyCode::Char(letter) if !letter.is_ascii())
    }

    /// The character that the key writes, if it writes one.
    pub(crate) const fn letter(self) -> Option<char> {
        match self.code {
            KeyCode::Char(c) if !self.ctrl => Some(c),
            _ => None,
        }
    }

    /// The names of keys that are no single character.
    pub(crate) fn names() -> impl Iterator<Item = &'static str> {
        let named = NAMED.iter().map(|(name, _)| *name);
        named.chain([
            "f1", "f2", "f3", "f4", "f5", "f6", "f7", "f8", "f9", "f10", "f11", "f12",
        ])
    }

    /// The key as the configuration file names it: a character, a name, `f5`, or `ctrl-` and one
    /// of these.
    pub(crate) fn named(text: &str) -> Option<Self> {
        if let Some(rest) = text.strip_prefix("ctrl-") {
            let key = Self::named(rest).filter(|key| !key.ctrl)?;
            return Some(key.with_ctrl());
        }
        if let Some((_, code)) = NAMED.iter().find(|(name, _)| *name == text) {
            return Some(Self::plain(*code));
        }
        let mut chars = text.chars();
        if let (Some(only), None) = (chars.next(), chars.next()) {
            let fits = !only.is_control() && only != ' ';
            return fits.then_some(Self::plain(KeyCode::Char(only)));
        }
        let number: u8 = text.strip_prefix('f')?.parse().ok()?;
        (1..=12)
            .contains(&number)
            .then_some(Self::plain(KeyCode::F(number)))
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.ctrl {
            f.write_str("ctrl-")?;
        }
        if let Some((name, _)) = NAMED.iter().find(|(_, code)| *code == self.code) {
            return f.write_str(match *name {
                "left" => "←",
                "right" => "→",
                "up" => "↑",
                "down" => "↓",
                name => name,
            });
        }
        match self.code {
            KeyCode::Char(c) => write!(f, "{c}"),
            KeyCode::F(n) => write!(f, "F{n}"),
            _ => f.write_str("?"),
        }
    }
}

/// A set of keys for a thing in the hand or under the foot.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Preset {
    /// A keyboard with its arrows.
    #[default]
    Arrows,
    /// A presenter remote: page keys, a full stop or `b`, F5.
    Remote,
    /// A pedal with one switch.
    OneSwitch,
    /// A pedal with two switches.
    TwoSwitch,
}

impl Preset {
    /// Every preset.
    pub(crate) const ALL: &[Self] = &[Self::Arrows, Self::Remote, Self::OneSwitch, Self::TwoSwitch];

    /// Its word in the configuration file.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Arrows => "Arrows",
            Self::Remote => "Remote",
            Self::OneSwitch => "OneSwitch",
            Self::TwoSwitch => "TwoSwitch",
        }
    }

    fn keys(self) -> &'static [(&'static str, Action)] {
        match self {
            Self::Arrows => &[],
            Self::Remote => &[
                ("pagedown", Action::GoOn),
                ("pageup", Action::Back),
                (".", Action::Hold),
                ("b", Action::Hold),
                ("f5", Action::OneSwitch),
                ("esc", Action::Hold),
            ],
            Self::OneSwitch => &[
                ("pagedown", Action::OneSwitch),
                ("pageup", Action::OneSwitch),
                ("left", Action::OneSwitch),
                ("right", Action::OneSwitch),
                ("up", Action::OneSwitch),
                ("down", Action::OneSwitch),
                ("enter", Action::OneSwitch),
                ("space", Action::OneSwitch),
            ],
            Self::TwoSwitch => &[
                ("pageup", Action::OneSwitch),
                ("left", Action::OneSwitch),
                ("up", Action::OneSwitch),
                ("pagedown", Action::GoOn),
                ("right", Action::GoOn),
                ("down", Action::GoOn),
            ],
        }
    }
}

const USUAL: &[(&str, Action)] = &[
    ("space", Action::Hold),
    ("right", Action::GoOn),
    ("enter", Action::GoOn),
    ("left", Action::Back),
    ("s", Action::Skip),
    ("l", Action::Landing),
    ("u", Action::Undo),
    ("e", Action::Easier),
    ("h", Action::Harder),
    ("i", Action::Instead),
    ("w", Action::Limits),
    ("+", Action::Add),
    ("=", Action::Add),
    ("-", Action::Take),
    ("b", Action::Break),
    ("k", Action::KeepMoving),
    ("a", Action::Card),
    ("x", Action::Swap),
    ("o", Action::OnceMore),
    ("d", Action::DropRound),
    ("p", Action::Parts),
    ("m", Action::Mark),
    ("n", Action::Prompts),
    ("v", Action::Mute),
    ("t", Action::Voice),
    ("up", Action::Louder),
    ("down", Action::Softer),
    ("c", Action::CatchUp),
    ("q", Action::End),
    ("ctrl-c", Action::End),
    ("?", Action::Help),
    ("f1", Action::Help),
];

/// The table in force.
#[derive(Clone, Debug)]
pub(crate) struct Keys {
    table: Vec<(Key, Action)>,
}

impl Keys {
    /// The usual keys, the preset's over them, and the configuration's over those.
    pub(crate) fn of(preset: Preset, own: &[(Key, Action)]) -> Self {
        let named = |rows: &'static [(&'static str, Action)]| {
            rows.iter()
                .filter_map(|(name, action)| Some((Key::named(name)?, *action)))
        };
        let mut keys = Self {
            table: named(USUAL).collect(),
        };
        for (key, action) in named(preset.keys()).chain(own.iter().copied()) {
            keys.table.retain(|(taken, _)| *taken != key);
            keys.table.insert(0, (key, action));
        }
        keys
    }

    /// What a key does, if anything; a capital that has no action of its own is its small letter.
    pub(crate) fn action(&self, key: Key) -> Option<Action> {
        let bound = |key: Key| {
            let row = self.table.iter().find(|(taken, _)| *taken == key);
            row.map(|(_, action)| *action)
        };
        bound(key).or_else(|| bound(key.small()))
    }

    /// The keys of an action, the most particular first.
    pub(crate) fn keys_of(&self, action: Action) -> Vec<String> {
        let rows = self.table.iter().filter(|(_, does)| *does == action);
        rows.map(|(key, _)| key.to_string()).collect()
    }

    /// Key and label of these actions, for the footer; actions without a key are left out.
    pub(crate) fn hints(&self, actions: &[Action]) -> Vec<(String, String)> {
        let hint = |action: &Action| {
            let key = self.keys_of(*action).into_iter().next()?;
            Some((key, action.label().to_owned()))
        };
        actions.iter().filter_map(hint).collect()
    }

    /// Every action that has a key: all of its keys, its word, its label and what it does, in the
    /// order of the help page.
    pub(crate) fn help(&self) -> Vec<(String, &'static str, &'static str, &'static str)> {
        let row = |action: Action| {
            let keys = self.keys_of(action);
            let keys = keys.join("  ");
            (!keys.is_empty()).then(|| (keys, action.word(), action.label(), action.help()))
        };
        Action::all().filter_map(row).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(name: &str) -> Key {
        Key::named(name).expect(name)
    }

    #[test]
    fn every_table_names_real_keys_and_reaches_every_action() {
        for preset in Preset::ALL {
            for (name, _) in USUAL.iter().chain(preset.keys()) {
                assert!(Key::named(name).is_some(), "{name}");
            }
        }
        let keys = Keys::of(Preset::Arrows, &[]);
        for action in Action::all().filter(|action| *action != Action::OneSwitch) {
            assert!(!keys.keys_of(action).is_empty(), "{action:?} has a key");
            assert_eq!(Action::named(action.word()), Some(action));
        }
    }

    #[test]
    fn a_preset_lies_over_the_usual_keys_and_the_own_table_over_both() {
        let remote = Keys::of(Preset::Remote, &[]);
        assert_eq!(remote.action(key("pagedown")), Some(Action::GoOn));
        assert_eq!(remote.action(key("b")), Some(Action::Hold));
        assert_eq!(remote.action(key("space")), Some(Action::Hold));
        let own = Keys::of(Preset::Remote, &[(key("b"), Action::Break)]);
        assert_eq!(own.action(key("b")), Some(Action::Break));
    }

    /// Whatever the lock of the capitals does; a capital in the own table is a key of its own.
    #[test]
    fn an_unbound_capital_is_its_small_letter() {
        let own = Keys::of(Preset::Arrows, &[(key("E"), Action::Mark)]);
        for (pressed, action) in [
            ("M", Some(Action::Mark)),
            ("m", Some(Action::Mark)),
            ("Q", Some(Action::End)),
            ("N", Some(Action::Prompts)),
            ("E", Some(Action::Mark)),
            ("e", Some(Action::Easier)),
            ("ctrl-C", Some(Action::End)),
            ("Z", None),
            ("\u{df}", None),
            ("\u{42b}", None),
            ("F1", None),
        ] {
            let key = Key::named(pressed);
            assert_eq!(key.and_then(|key| own.action(key)), action, "{pressed}");
        }
    }
}
