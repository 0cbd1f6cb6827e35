//! A move that is looked for by what is typed, and by what the list is narrowed to.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::typed::Takes;
use crate::app::footer;
use crate::app::keys::Key;
use crate::app::search;
use crate::screen::Role;
use crate::screen::pages::{Field, FindPage, FoundLine, Narrow, Said};
use crate::session::{Action, Library, Load, Move, MoveOption, Pick, Position, Region, Use};

/// The most letters that are searched for.
const MOST_LETTERS: usize = 40;
/// How many weeks a move may not have been taught.
const WEEKS: [u32; 4] = [2, 4, 8, 12];

/// How many days ago each move was last taught, by its id.
pub(super) type Taught = BTreeMap<String, u32>;

/// What a move is looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Purpose {
    /// To stand behind the chosen line.
    Behind,
    /// To stand in place of the chosen one, which is this.
    Instead(String),
    /// To be the first of a part, which is this.
    First(&'static str),
}

/// What there is to know of the class where a move is looked for.
#[derive(Clone, Copy)]
pub(super) struct Scene<'a> {
    pub(super) library: &'a Library,
    /// Nothing where nobody can read them.
    pub(super) limits: Option<&'a [Load]>,
    pub(super) things: &'a [String],
    pub(super) taught: &'a Taught,
}

impl Scene<'_> {
    fn spared(&self) -> &[Load] {
        self.limits.unwrap_or_default()
    }
}

/// A search as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Find {
    pub(super) purpose: Purpose,
    words: String,
    chosen: usize,
    /// Which narrowing the arrows turn.
    turned: usize,
    /// How far each is turned; 0 narrows nothing.
    narrowed: [usize; By::ALL.len()],
    /// What was done last.
    pub(super) word: String,
}

/// What a key did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Did {
    /// It was for the page.
    Page,
    /// The page closes.
    Close,
    /// This move is taken.
    Take(String),
    /// It does nothing.
    Nothing,
}

/// By what the list is narrowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum By {
    Region,
    Action,
    Position,
    Kit,
    Limits,
    Weeks,
}

impl By {
    const ALL: [Self; 6] = [
        Self::Region,
        Self::Action,
        Self::Position,
        Self::Kit,
        Self::Limits,
        Self::Weeks,
    ];

    const fn label(self) -> &'static str {
        match self {
            Self::Region => "works",
            Self::Action => "does",
            Self::Position => "lies",
            Self::Kit => "kit",
            Self::Limits => "spares",
            Self::Weeks => "not for",
        }
    }

    /// What it may be turned to.
    fn ways(self, scene: Scene) -> Vec<String> {
        let owned = |labels: Vec<&str>| labels.into_iter().map(str::to_owned).collect();
        match self {
            Self::Region => owned(Region::ALL.iter().map(|of| of.label()).collect()),
            Self::Action => owned(Action::ALL.iter().map(|of| of.label()).collect()),
            Self::Position => owned(Position::ALL.iter().map(|of| of.label()).collect()),
            // Who cannot read them spares nothing.
            Self::Limits if scene.limits.is_none() => Vec::new(),
            Self::Limits => owned(vec!["tonight's limits"]),
            Self::Weeks => WEEKS.iter().map(|weeks| format!("{weeks} weeks")).collect(),
            Self::Kit => {
                let mut ways = owned(vec!["none", "what is here"]);
                ways.extend(things(scene.library).into_iter().map(str::to_owned));
                ways
            }
        }
    }

    /// Whether a move is one of those; `thing` is the one that a way of kit means.
    fn takes(self, way: usize, of: &Arc<Move>, (scene, thing): (Scene, Option<&str>)) -> bool {
        match self {
            Self::Region => Region::ALL.get(way).is_some_and(|r| of.regions.contains(r)),
            Self::Action => of.action.as_ref() == Action::ALL.get(way),
            Self::Position => Some(&of.position) == Position::ALL.get(way),
            Self::Limits => loaded(of, scene.spared()).is_empty(),
            Self::Weeks => {
                let days = scene.taught.get(&of.id);
                days.is_none_or(|days| *days >= WEEKS[way.min(WEEKS.len() - 1)] * 7)
            }
            Self::Kit => match way {
                0 => of.equipment.is_empty(),
                1 => of
                    .equipment
                    .iter()
                    .all(|thing| scene.things.contains(thing)),
                _ => thing.is_some_and(|thing| of.equipment.iter().any(|own| own == thing)),
            },
        }
    }
}

/// Every thing that some move needs.
fn things(library: &Library) -> Vec<&str> {
    let all: BTreeSet<&str> = library
        .iter()
        .flat_map(|of| of.equipment.iter().map(String::as_str))
        .collect();
    all.into_iter().collect()
}

/// The limits that a move loads and that no version of it spares.
fn loaded(of: &Arc<Move>, limits: &[Load]) -> Vec<Load> {
    let turn = Use::plain(Arc::clone(of));
    let loads = turn.loads();
    let limits = limits.iter().copied();
    limits
        .filter(|limit| loads.contains(limit) && turn.sparing(*limit).is_none())
        .collect()
}

impl Find {
    pub(super) const fn new(purpose: Purpose) -> Self {
        Self {
            purpose,
            words: String::new(),
            chosen: 0,
            turned: 0,
            narrowed: [0; By::ALL.len()],
            word: String::new(),
        }
    }

    /// What a key does.
    pub(super) fn press(&mut self, key: Key, scene: Scene) -> Did {
        self.word.clear();
        let found = self.found(scene);
        let last = found.len().saturating_sub(1);
        let chosen = self.chosen.min(last);
        match key.name().as_str() {
            "esc" => return Did::Close,
            "enter" => {
                let taken = found.get(chosen).map(|of| of.id.clone());
                return taken.map_or(Did::Page, Did::Take);
            }
            "up" => self.chosen = chosen.saturating_sub(1),
            "down" => self.chosen = (chosen + 1).min(last),
            "pageup" => self.chosen = chosen.saturating_sub(10),
            "pagedown" => self.chosen = (chosen + 10).min(last),
            "tab" => self.turned = (self.turned + 1) % By::ALL.len(),
            "left" => self.turn(false, scene),
            "right" => self.turn(true, scene),
            "backspace" => {
                self.words.pop();
                self.chosen = 0;
            }
            _ => match key.letter() {
                Some(letter) => self.write(&letter.to_string()),
                None => return Did::Nothing,
            },
        }
        Did::Page
    }

    /// A move was taken, and another is looked for.
    pub(super) fn taken(&mut self, word: String) {
        self.word = word;
        self.words.clear();
        self.chosen = 0;
    }

    /// Writes what is typed or pasted.
    pub(super) fn write(&mut self, text: &str) {
        let left = MOST_LETTERS.saturating_sub(self.words.chars().count());
        let letters = text.chars().filter(|letter| !letter.is_control());
        self.words.extend(letters.take(left));
        self.chosen = 0;
    }

    fn turn(&mut self, is_on: bool, scene: Scene) {
        let ways = By::ALL[self.turned].ways(scene).len() + 1;
        if ways == 1 {
            "the limits of this class cannot be read as they stand".clone_into(&mut self.word);
        }
        let to = &mut self.narrowed[self.turned];
        *to = (*to + if is_on { 1 } else { ways - 1 }) % ways;
        self.chosen = 0;
    }

    /// The moves that fit all of it, the best first.
    fn found<'a>(&self, scene: Scene<'a>) -> Vec<&'a Arc<Move>> {
        let narrows = By::ALL.into_iter().zip(self.narrowed);
        let thing = |by: By, way: usize| {
            let thing = way.checked_sub(3).filter(|_| by == By::Kit)?;
            things(scene.library).get(thing).copied()
        };
        let narrows: Vec<(By, usize, Option<&str>)> = narrows
            .filter(|(_, way)| *way > 0)
            .map(|(by, way)| (by, way - 1, thing(by, way)))
            .collect();
        let mut found = crate::session::search(scene.library, &self.words);
        found.retain(|(_, of)| {
            let mut narrows = narrows.iter();
            narrows.all(|(by, way, thing)| by.takes(*way, of, (scene, *thing)))
        });
        let instead = match &self.purpose {
            Purpose::Instead(id) => scene.library.named(id).map(Use::plain),
            Purpose::Behind | Purpose::First(_) => None,
        };
        if let Some(this) = &instead {
            found.retain(|(_, of)| of.id != this.of.id);
        }
        let unlike = |of: &Move| {
            let this = instead.as_ref();
            this.map_or(0, |this| search::unlike(of, this, scene.spared()))
        };
        found.sort_by_key(|(close, of)| (*close, unlike(of)));
        found.into_iter().map(|(_, of)| of).collect()
    }

    /// The page as it is drawn.
    pub(super) fn page(&self, scene: Scene) -> FindPage {
        let found = self.found(scene);
        let chosen = self.chosen.min(found.len().saturating_sub(1));
        let (title, does) = match &self.purpose {
            Purpose::Behind => ("A move more".to_owned(), "put it in, and another"),
            Purpose::Instead(id) => {
                let of = scene.library.named(id);
                let name = of.map_or_else(|| id.clone(), |of| of.name.clone());
                (format!("In place of {name}"), "take it")
            }
            Purpose::First(_) => ("Its first move".to_owned(), "take it"),
        };
        let narrows = By::ALL
            .into_iter()
            .zip(self.narrowed)
            .map(|(by, way)| Narrow {
                label: by.label().to_owned(),
                to: match way {
                    0 => String::new(),
                    way => by.ways(scene).get(way - 1).cloned().unwrap_or_default(),
                },
            });
        FindPage {
            title,
            field: Field {
                label: "find".to_owned(),
                text: self.words.clone(),
                is_focused: true,
                hint: String::new(),
            },
            narrows: narrows.collect(),
            turned: self.turned,
            lines: found.iter().map(|of| line(of, scene)).collect(),
            chosen,
            card: found
                .get(chosen)
                .map_or_else(Vec::new, |of| card(of, scene)),
            word: self.word.clone(),
            hints: footer::of_page(&[
                ("enter", does),
                ("esc", "back"),
                ("← →", "narrow"),
                ("tab", "by what"),
                ("↑ ↓", "choose"),
            ]),
        }
    }
}

fn line(of: &Arc<Move>, scene: Scene) -> FoundLine {
    search::line(of, scene.spared())
}

/// What there is to know of a move before it is taken.
fn card(of: &Arc<Move>, scene: Scene) -> Vec<Said> {
    let mut says = vec![Said::head(of.name.clone())];
    let mut about = vec![of.position.label().to_owned()];
    about.extend(of.regions.iter().map(|region| region.label().to_owned()));
    about.extend(of.action.iter().map(|action| action.label().to_owned()));
    about.push(of.impact.label().to_owned());
    about.push(of.sides.label().to_owned());
    about.extend(of.equipment.iter().cloned());
    says.push(Said::line(Role::Next, about.join(" · ")));
    let loads: Vec<&str> = of.loads.iter().map(|load| load.label()).collect();
    if !loads.is_empty() {
        says.push(Said::line(
            Role::Quiet,
            format!("loads {}", loads.join(", ")),
        ));
    }
    let meets: Vec<&str> = loaded(of, scene.spared())
        .iter()
        .map(|load| load.label())
        .collect();
    if !meets.is_empty() {
        let told = format!("◆ no version of it spares {}", meets.join(", "));
        says.push(Said::line(Role::Spare, told));
    }
    // Which versions there are is asked before how it is done.
    says.extend(of.options().map(|(pick, option)| version(pick, option)));
    let taught = match scene.taught.get(&of.id) {
        None => "not taught yet".to_owned(),
        Some(0) => "taught today".to_owned(),
        Some(1) => "taught yesterday".to_owned(),
        Some(days) => format!("taught {days} days ago"),
    };
    says.push(Said::line(Role::Quiet, taught));
    if !of.setup.is_empty() {
        says.push(Said::line(Role::Say, of.setup.clone()));
    }
    says.extend(
        of.form
            .iter()
            .map(|cue| Said::line(Role::Now, format!("- {cue}"))),
    );
    says.extend(
        of.breath
            .iter()
            .map(|breath| Said::line(Role::Quiet, format!("breath: {breath}"))),
    );
    if let Some(fault) = &of.fault {
        let told = format!("where {}: {}", fault.see, fault.say);
        says.push(Said::line(Role::Quiet, told));
    }
    says
}

fn version(pick: Pick, option: &MoveOption) -> Said {
    let (list, n) = match pick {
        Pick::Easier(n) => ("easier", n),
        Pick::Harder(n) => ("harder", n),
        Pick::Instead(n) => ("instead", n),
    };
    let spares: Vec<&str> = option.spares.iter().map(|load| load.label()).collect();
    let spares = match &spares[..] {
        [] => String::new(),
        spares => format!("; spares {}", spares.join(", ")),
    };
    let role = if spares.is_empty() {
        Role::Quiet
    } else {
        Role::Spare
    };
    Said::line(role, format!("{list} {}: {}{spares}", n + 1, option.call))
}

/// A move as a file names it.
pub(super) fn named(id: &str) -> String {
    let text = super::typed::written(Takes::Move, id);
    text.ok().flatten().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::Version;

    /// Each narrowing against the library's own words for it, and all of them together.
    #[test]
    fn a_narrowed_list_has_just_the_moves_that_are_so() {
        let library = Library::builtin();
        let limits = [Load::Wrist];
        let things = ["mat".to_owned()];
        let taught: Taught = [("squat".to_owned(), 3), ("bridge".to_owned(), 40)].into();
        let scene = Scene {
            library: &library,
            limits: Some(&limits),
            things: &things,
            taught: &taught,
        };
        let found = |turned: usize, way: usize| {
            let mut find = Find::new(Purpose::Behind);
            find.narrowed[turned] = way;
            let found = find.found(scene).into_iter();
            found.map(|of| of.id.clone()).collect::<Vec<_>>()
        };
        let those = |is_so: &dyn Fn(&Arc<Move>) -> bool| {
            let those = library.iter().filter(|of| is_so(of));
            those.map(|of| of.id.clone()).collect::<Vec<_>>()
        };
        for (n, region) in Region::ALL.iter().enumerate() {
            assert_eq!(found(0, n + 1), those(&|of| of.regions.contains(region)));
        }
        for (n, action) in Action::ALL.iter().enumerate() {
            assert_eq!(found(1, n + 1), those(&|of| of.action == Some(*action)));
        }
        for (n, position) in Position::ALL.iter().enumerate() {
            assert_eq!(found(2, n + 1), those(&|of| of.position == *position));
        }
        assert_eq!(found(3, 1), those(&|of| of.equipment.is_empty()));
        let at_hand = |of: &Arc<Move>| of.equipment.iter().all(|thing| thing == "mat");
        assert_eq!(found(3, 2), those(&at_hand));
        for (n, thing) in super::things(&library).into_iter().enumerate() {
            let with = |of: &Arc<Move>| of.equipment.iter().any(|own| own == thing);
            assert_eq!(found(3, n + 3), those(&with), "{thing}");
        }
        // The move itself, or one of its versions.
        let spares = |of: &Arc<Move>| {
            let picks = of.options().map(|(pick, _)| Some(pick));
            let mut versions = picks.chain([None]).map(|pick| Version::of(of, pick));
            versions.any(|version| !version.loads().contains(&Load::Wrist))
        };
        let spared = found(4, 1);
        assert!(
            spared
                .iter()
                .all(|id| spares(library.get(id).expect("a move")))
        );
        assert!(!spared.is_empty() && spared.len() <= library.len());
        assert!(!found(5, 1).contains(&"squat".to_owned()));
        assert!(found(5, 2).contains(&"bridge".to_owned()));
        assert!(!found(5, 3).contains(&"bridge".to_owned()));
        assert_eq!(found(5, 4).len(), library.len() - 2);
    }

    /// Which versions a move has is seen before how it is done, which may have no room.
    #[test]
    fn the_versions_of_a_move_come_before_how_it_is_done() {
        let library = Library::builtin();
        let taught = Taught::new();
        let scene = Scene {
            library: &library,
            limits: Some(&[]),
            things: &[],
            taught: &taught,
        };
        for of in library.iter().filter(|of| !of.setup.is_empty()) {
            let card = card(of, scene);
            let place = |text: &str| card.iter().position(|said| said.text.contains(text));
            let setup = card.iter().position(|said| said.text == of.setup);
            for (_, option) in of.options() {
                assert!(place(&option.call) < setup, "{}: {}", of.name, option.call);
            }
        }
    }
}
