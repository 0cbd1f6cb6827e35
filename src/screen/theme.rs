//! Colours by role, for every kind of terminal, on dark and light ground.
//!
//! A role is the question that a thing on the screen answers: how long still, what comes, what to
//! say, who needs another version, is something wrong. Work and rest have no colours of their own:
//! they are told apart by word and shape. No role is told by colour alone.

use ratatui::style::{Color, Modifier, Style};

use super::contrast::{Rgb, nearest, nearest_on, of_index};

/// What a thing on the screen is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// What goes on now: figures and the move.
    Now,
    /// What comes next.
    Next,
    /// What to say.
    Say,
    /// Who must spare what, and other versions.
    Spare,
    /// What is wrong, or over.
    Trouble,
    /// Text that may be overlooked.
    Quiet,
    /// Shapes that are no text: the class that is past, bars, rules.
    Mark,
}

impl Role {
    /// Every role.
    pub const ALL: [Self; 7] = [
        Self::Now,
        Self::Next,
        Self::Say,
        Self::Spare,
        Self::Trouble,
        Self::Quiet,
        Self::Mark,
    ];

    /// The least contrast to the ground: 7 for text (WCAG 2.2, 1.4.6), 3 for other marks (1.4.11).
    #[must_use]
    pub const fn contrast(self) -> f64 {
        match self {
            Self::Mark => 3.0,
            _ => 7.0,
        }
    }
}

/// How many colours may be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Palette {
    /// Any colour.
    True,
    /// The table of 256.
    Indexed,
    /// The sixteen whose look is the terminal's own choice: text stays uncoloured, since no
    /// contrast can be promised.
    Sixteen,
    /// None: bold, reverse and shape.
    None,
}

impl Palette {
    /// The palette that the environment speaks for; each argument is the variable of that name.
    ///
    /// `NO_COLOR` turns colour off when it is not empty.
    #[must_use]
    pub fn of_environment(
        colorterm: Option<&str>,
        term: Option<&str>,
        no_color: Option<&str>,
    ) -> Self {
        let term = term.unwrap_or_default();
        if no_color.is_some_and(|value| !value.is_empty()) || term == "dumb" {
            return Self::None;
        }
        match colorterm {
            Some("truecolor" | "24bit") => Self::True,
            _ if term.contains("direct") || term.contains("truecolor") => Self::True,
            _ if term.contains("256") => Self::Indexed,
            _ => Self::Sixteen,
        }
    }
}

/// The colours in force. They are worked out once, when the theme is made: a search of a table of
/// colours for every cell of every frame is what drawing would cost most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Theme {
    palette: Palette,
    /// The colour of each role, in the order of [`Role::ALL`].
    fronts: [Color; Role::ALL.len()],
    ground: Color,
}

impl Default for Theme {
    fn default() -> Self {
        Self::of(Palette::True, false)
    }
}

impl Theme {
    /// The colours of a palette on dark or light ground.
    #[must_use]
    pub fn of(palette: Palette, is_light: bool) -> Self {
        let ground = ground(is_light);
        let front = |role: Role| match palette {
            Palette::True => direct(rgb(is_light, role)),
            Palette::Indexed => {
                let (colour, ground) = (rgb(is_light, role), of_index(nearest(ground)));
                let front = nearest_on(ground, role.contrast(), colour);
                Color::Indexed(front.unwrap_or_else(|| nearest(colour)))
            }
            Palette::Sixteen | Palette::None => Color::Reset,
        };
        Self {
            palette,
            fronts: Role::ALL.map(front),
            ground: match palette {
                Palette::True => direct(ground),
                Palette::Indexed => Color::Indexed(nearest(ground)),
                Palette::Sixteen | Palette::None => Color::Reset,
            },
        }
    }

    /// Text and enlarged text of a role.
    #[must_use]
    pub fn style(self, role: Role) -> Style {
        let style = Style::new().fg(self.front(role)).bg(self.ground);
        match role {
            Role::Now | Role::Trouble => style.add_modifier(Modifier::BOLD),
            _ => style,
        }
    }

    /// Shapes of a role that are no text: rails, bars, the ribbon.
    #[must_use]
    pub fn shape(self, role: Role) -> Style {
        match self.palette {
            Palette::Sixteen => Style::new().fg(sixteen(role)).bg(Color::Reset),
            _ => self.style(role),
        }
    }

    /// Text on a band of the role's colour; the strongest sign there is.
    #[must_use]
    pub fn band(self, role: Role) -> Style {
        let (front, ground) = (self.front(role), self.ground);
        let style = match self.palette {
            Palette::Sixteen | Palette::None => Style::new()
                .fg(front)
                .bg(ground)
                .add_modifier(Modifier::REVERSED),
            _ => Style::new().fg(ground).bg(front),
        };
        style.add_modifier(Modifier::BOLD)
    }

    const fn front(self, role: Role) -> Color {
        self.fronts[role as usize]
    }
}

const fn direct((r, g, b): Rgb) -> Color {
    Color::Rgb(r, g, b)
}

const fn ground(is_light: bool) -> Rgb {
    if is_light {
        (0xFB, 0xF7, 0xEC)
    } else {
        (0x10, 0x17, 0x1C)
    }
}

const fn rgb(is_light: bool, role: Role) -> Rgb {
    match (is_light, role) {
        (false, Role::Now) => (0xF6, 0xF1, 0xE4),
        (false, Role::Next) => (0x87, 0xCF, 0xEA),
        (false, Role::Say) => (0xF2, 0xC9, 0x66),
        (false, Role::Spare) => (0xDA, 0xB6, 0xF2),
        (false, Role::Trouble) => (0xFF, 0x9E, 0x8A),
        (false, Role::Quiet) => (0xAD, 0xB6, 0xB9),
        (false, Role::Mark) => (0x6E, 0x7D, 0x84),
        (true, Role::Now) => (0x12, 0x18, 0x1C),
        (true, Role::Next) => (0x00, 0x4D, 0x73),
        (true, Role::Say) => (0x6B, 0x3F, 0x00),
        (true, Role::Spare) => (0x5D, 0x2C, 0x86),
        (true, Role::Trouble) => (0x8C, 0x1C, 0x10),
        (true, Role::Quiet) => (0x49, 0x51, 0x55),
        (true, Role::Mark) => (0x7B, 0x82, 0x86),
    }
}

const fn sixteen(role: Role) -> Color {
    match role {
        Role::Now | Role::Quiet => Color::Reset,
        Role::Next => Color::Cyan,
        Role::Say => Color::Yellow,
        Role::Spare => Color::Magenta,
        Role::Trouble => Color::Red,
        Role::Mark => Color::DarkGray,
    }
}

#[cfg(test)]
mod tests {
    use super::super::contrast::{of_index, ratio};
    use super::*;

    fn rgb(colour: Color) -> Rgb {
        match colour {
            Color::Rgb(r, g, b) => (r, g, b),
            Color::Indexed(index) => of_index(index),
            other => panic!("no contrast can be told of {other:?}"),
        }
    }

    fn themes(palette: Palette) -> [Theme; 2] {
        [false, true].map(|is_light| Theme::of(palette, is_light))
    }

    /// Text 7:1 (WCAG 2.2 success criterion 1.4.6), other marks 3:1 (1.4.11).
    #[test]
    fn every_pair_of_every_theme_has_its_contrast() {
        for theme in [Palette::True, Palette::Indexed]
            .into_iter()
            .flat_map(themes)
        {
            for role in Role::ALL {
                let needed = if role == Role::Mark { 3.0 } else { 7.0 };
                for style in [theme.style(role), theme.shape(role), theme.band(role)] {
                    let (fg, bg) = (style.fg.expect("set"), style.bg.expect("set"));
                    let found = ratio(rgb(fg), rgb(bg));
                    assert!(found >= needed, "{theme:?} {role:?} {found:.2}");
                }
            }
        }
    }

    #[test]
    fn each_role_has_its_own_place_in_the_table() {
        for (n, role) in Role::ALL.into_iter().enumerate() {
            assert_eq!(role as usize, n);
        }
    }

    /// With `NO_COLOR` no colour at all may be named, or the backend's full reset would take bold
    /// and reverse with it.
    #[test]
    fn without_colour_only_reset_is_named() {
        for theme in themes(Palette::None) {
            for role in Role::ALL {
                for style in [theme.style(role), theme.shape(role), theme.band(role)] {
                    assert_eq!(
                        (style.fg, style.bg),
                        (Some(Color::Reset), Some(Color::Reset))
                    );
                }
            }
        }
    }

    /// What the variables mean: `NO_COLOR` by its convention, `COLORTERM` as terminals set it.
    #[test]
    fn the_palette_follows_the_environment() {
        for (colorterm, term, no_color, palette) in [
            (Some("truecolor"), Some("xterm"), None, Palette::True),
            (Some("24bit"), None, None, Palette::True),
            (Some("truecolor"), Some("xterm"), Some("1"), Palette::None),
            (Some("truecolor"), Some("xterm"), Some(""), Palette::True),
            (None, Some("xterm-256color"), None, Palette::Indexed),
            (None, Some("xterm-direct"), None, Palette::True),
            (None, Some("xterm"), None, Palette::Sixteen),
            (None, None, None, Palette::Sixteen),
            (None, Some("dumb"), None, Palette::None),
        ] {
            let found = Palette::of_environment(colorterm, term, no_color);
            assert_eq!(found, palette, "{colorterm:?} {term:?} {no_color:?}");
        }
    }
}
