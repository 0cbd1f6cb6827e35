//! What a key wants of the world outside: the file saved, the editor opened, the sheet written, a block
//! drafted.

use std::path::{Path, PathBuf};

use super::{Desk, KEPT, Left};
use crate::advice::draft_block;
use crate::app::errand::{Came, Errand};
use crate::app::planning::asking::{Ask, Question};
use crate::app::planning::editor;
use crate::app::planning::plan::{Over, Wish};
use crate::app::shell::Shell;
use crate::app::waits::FINISH;
use crate::export::{Layout, sheet};
use crate::store::{Leftover, Loan, PlanFile, Present, Saving, StoreFault, hand_over, said};

impl Desk {
    /// Does what a key wants of the world outside.
    pub(super) fn grant(&mut self, shell: &mut Shell, wish: Wish) -> Option<Left> {
        match wish {
            Wish::Save => {
                self.save(shell);
            }
            Wish::SaveAs(name) => {
                let leaves = std::mem::take(&mut self.leaves);
                if self.save_as(shell, &name) && leaves {
                    return Some(self.leave(false));
                }
                self.leaves = leaves;
            }
            Wish::SaveAndLeave => {
                if self.file.is_none() {
                    self.plan.name();
                    self.leaves = true;
                } else if self.save(shell) {
                    return Some(self.leave(false));
                }
            }
            Wish::Leave(true) => {
                if let Err(why) = self.kept_for_good() {
                    self.begin_aside(None);
                    self.plan.refuse(format!("it cannot be kept aside: {why}"));
                    return None;
                }
                self.told.push_str(KEPT);
                return Some(Left::Out(std::mem::take(&mut self.told)));
            }
            Wish::Leave(false) => return Some(self.leave(false)),
            Wish::Editor(line) => self.edit(shell, line),
            Wish::Rehearse(from, pace) => {
                let class = self.plan.class()?;
                return Some(Left::Rehearse(class, from, pace));
            }
            Wish::Sheet(name) => self.print(shell, &name),
            Wish::Draft(shape) => self.draft(shell, &shape),
            Wish::TakenUp => {
                if let Some(taken) = self.leftovers.pop() {
                    self.begin_aside(Some(&taken));
                }
            }
            Wish::LeftAside => {
                self.leftovers.pop();
                self.offer();
            }
            Wish::ThrownAway => {
                if let Some(Err(why)) = self.leftovers.pop().map(Leftover::discard) {
                    self.plan.refuse(said(&why));
                }
                self.offer();
            }
        }
        None
    }

    /// Saves the plan; whether its file has it now.
    fn save(&mut self, shell: &mut Shell) -> bool {
        let Some(mut file) = self.file.clone() else {
            return false;
        };
        let text = self.plan.manuscript.text().to_owned();
        let saving = Errand::send(shell.back(), move || {
            let done = file.save(&text);
            (file, done)
        });
        let (file, done): (PlanFile, Result<Saving, StoreFault>) =
            match saving.wait_unseen(shell, "Saving the plan.") {
                Came::Back(back) => back,
                Came::Without | Came::Leave => {
                    self.plan.refuse("the disk did not answer: it is not saved");
                    return false;
                }
            };
        // Whoever looked before has seen what was there before.
        self.looking = None;
        self.file = Some(file);
        match done {
            Ok(Saving::Done) => {
                self.plan.manuscript.saved();
                self.is_taken_up = false;
                self.passed_over = None;
                self.told = format!("{}: saved\n", self.place().display());
                self.plan.say("saved");
                true
            }
            Ok(Saving::Changed(theirs)) => {
                self.ask_about(&theirs);
                false
            }
            Err(why) => {
                self.plan.refuse(why.to_string());
                false
            }
        }
    }

    /// Saves the plan in a file that is not there yet, and goes on with that; whether it did.
    fn save_as(&mut self, shell: &mut Shell, name: &str) -> bool {
        let path = Path::new(name);
        let path = if path.extension().is_some() {
            path.to_owned()
        } else {
            path.with_extension("ron")
        };
        match PlanFile::open(&path) {
            Ok((file, None)) => {
                self.file = Some(file);
                if self.save(shell) {
                    self.plan.is_named = true;
                    // What lies aside goes once the file has it.
                    if let Some(aside) = self.aside.take() {
                        aside.forget();
                        let _ = aside.finish(FINISH);
                    }
                    self.begin_aside(None);
                    return true;
                }
                self.file = None;
            }
            Ok((_, Some(_))) => {
                let told = format!("{} is there already: choose another name", path.display());
                self.plan.refuse(told);
            }
            Err(why) => self.plan.refuse(why.to_string()),
        }
        if self.plan.over == Over::None {
            self.plan.over = Over::Ask(Ask::typing(Question::Name, name.to_owned()));
        }
        false
    }

    /// Opens the person's own editor, and takes back what it changed.
    fn edit(&mut self, shell: &mut Shell, line: usize) {
        let named = editor::named(|name| std::env::var(name).ok());
        let Some(named) = named else {
            let why = "no editor is named: set VISUAL or EDITOR before matside is started";
            return self.plan.refuse(why);
        };
        let stem = self.place();
        let stem = stem.file_stem().unwrap_or_default().to_string_lossy();
        let loan = match Loan::of(&stem, self.plan.manuscript.text()) {
            Ok(loan) => loan,
            Err(why) => return self.plan.refuse(format!("nothing to edit: {}", said(&why))),
        };
        let ended = shell.lend(|| editor::run(&named, loan.path(), line));
        let is_done = match ended {
            Some(Ok(status)) => status.success(),
            Some(Err(why)) => {
                return self
                    .plan
                    .refuse(format!("{} cannot be run: {}", named[0], said(&why)));
            }
            None => return,
        };
        match loan.back() {
            Ok(text) => self.plan.came_back(text, line, is_done),
            Err(why) => {
                let left = loan.leave().map_or_else(
                    |why| format!("and cannot be kept: {}", said(&why)),
                    |path| format!("and lies in {}", path.display()),
                );
                let why = format!("what the editor left is not taken, {left}: {why}");
                self.plan.refuse(why);
            }
        }
    }

    /// Writes the sheet to a file that is not there yet.
    fn print(&mut self, shell: &mut Shell, name: &str) {
        let Some(class) = self.plan.class() else {
            return;
        };
        let path = PathBuf::from(name);
        let told = format!("{} is written: open it in a browser", path.display());
        let writing = Errand::send(shell.back(), move || {
            let page = sheet(&class, Layout::default());
            hand_over(&path, page.as_bytes(), Present::Kept)
        });
        match writing.wait(shell, "Writing the sheet.") {
            Came::Back(Ok(())) => self.plan.say(told),
            Came::Back(Err(why)) => self.plan.refuse(format!("{name}: {}", said(&why))),
            Came::Without | Came::Leave => self.plan.refuse("the disk did not answer"),
        }
    }

    /// Has a block drafted, and puts it in.
    fn draft(&mut self, shell: &mut Shell, shape: &str) {
        let (session, wish, wishes) = match self.plan.to_draft(shape) {
            Ok(asked) => asked,
            Err(why) => {
                self.plan.refuse(why);
                self.plan.over = Over::Ask(Ask::typing(Question::Shape, shape.to_owned()));
                return;
            }
        };
        let library = self.plan.known().clone();
        let drafting = Errand::send(shell.back(), move || {
            draft_block(&session, &wish, &wishes, &library)
        });
        let why = "It is being looked for among all that suit.";
        match drafting.wait_saying(shell, "Drafting a block.", why) {
            Came::Back(Ok(block)) => self.plan.drafted(&block.text),
            Came::Back(Err(why)) => self.plan.refuse(why.to_string()),
            Came::Without | Came::Leave => self.plan.refuse("no block was drafted"),
        }
    }
}
