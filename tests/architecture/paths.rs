//! The source as it is written: its modules, and which module names which.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use syn::visit::{self, Visit};
use syn::{Attribute, ItemMod, ItemUse, Meta, UseTree};

/// A module: its path below the crate (`live::landing::spot`).
pub(crate) type Module = Vec<String>;

/// The paths that a module names, from the crate's root.
pub(crate) type Named = BTreeSet<Vec<String>>;

/// Every module that has a file, tests left out, with what it names of this crate.
pub(crate) fn modules() -> BTreeMap<Module, (PathBuf, Named)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut modules = BTreeMap::new();
    let mut open = vec![(Vec::new(), src.join("lib.rs"))];
    while let Some((module, file)) = open.pop() {
        let text = fs::read_to_string(&file).expect("source is text");
        let seen = Seen::of(&module, &text);
        for child in seen.files {
            let below = child.iter().fold(src.clone(), |path, name| path.join(name));
            let flat = below.with_extension("rs");
            let file = if flat.exists() {
                flat
            } else {
                below.join("mod.rs")
            };
            open.push((child, file));
        }
        modules.insert(module, (file, seen.named));
    }
    modules
}

/// What a module with this text names of this crate.
pub(crate) fn named_in(module: &[&str], text: &str) -> Named {
    let module: Module = module.iter().map(|&name| name.to_owned()).collect();
    Seen::of(&module, text).named
}

/// The module that a path leads into: the longest beginning of it that is one.
pub(crate) fn owner<'a, T>(
    path: &[String],
    modules: &'a BTreeMap<Module, T>,
) -> Option<&'a Module> {
    let ends = (0..=path.len()).rev();
    let mut known = ends.filter_map(|end| modules.get_key_value(&path[..end]));
    known.next().map(|(module, _)| module)
}

/// What a file says of other modules.
struct Seen {
    /// The module that is being read; one that is written inside another follows its name.
    here: Module,
    named: Named,
    files: Vec<Module>,
}

impl Seen {
    fn of(module: &[String], text: &str) -> Self {
        let syntax = syn::parse_file(text).expect("source that compiles");
        let mut seen = Self {
            here: module.to_vec(),
            named: Named::new(),
            files: Vec::new(),
        };
        seen.visit_file(&syntax);
        seen
    }

    /// A path as written, from the crate's root; none where it does not lead into this crate.
    fn name(&mut self, written: &[String]) {
        let mut path = self.here.clone();
        let mut rest = written;
        match rest.first().map(String::as_str) {
            Some("crate") => {
                path.clear();
                rest = &rest[1..];
            }
            Some("self") => rest = &rest[1..],
            Some("super") => {
                while rest.first().is_some_and(|first| first == "super") {
                    path.pop();
                    rest = &rest[1..];
                }
            }
            _ => return,
        }
        path.extend_from_slice(rest);
        self.named.insert(path);
    }

    fn tree(&mut self, tree: &UseTree, before: &[String]) {
        let with = |name: &syn::Ident| {
            let mut path = before.to_vec();
            path.push(name.to_string());
            path
        };
        match tree {
            UseTree::Path(of) => self.tree(&of.tree, &with(&of.ident)),
            UseTree::Name(of) if of.ident == "self" => self.name(before),
            UseTree::Name(of) => self.name(&with(&of.ident)),
            UseTree::Rename(of) => self.name(&with(&of.ident)),
            UseTree::Glob(_) => self.name(before),
            UseTree::Group(of) => {
                for tree in &of.items {
                    self.tree(tree, before);
                }
            }
        }
    }
}

fn is_for_tests(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| match &attribute.meta {
        Meta::List(list) if list.path.is_ident("cfg") => list.tokens.to_string() == "test",
        meta => meta.path().is_ident("test"),
    })
}

impl<'ast> Visit<'ast> for Seen {
    fn visit_item_mod(&mut self, of: &'ast ItemMod) {
        if is_for_tests(&of.attrs) {
            return;
        }
        self.here.push(of.ident.to_string());
        if of.content.is_some() {
            visit::visit_item_mod(self, of);
        } else {
            self.files.push(self.here.clone());
        }
        self.here.pop();
    }

    fn visit_item_use(&mut self, of: &'ast ItemUse) {
        if !is_for_tests(&of.attrs) {
            self.tree(&of.tree, &[]);
        }
    }

    fn visit_item_fn(&mut self, of: &'ast syn::ItemFn) {
        if !is_for_tests(&of.attrs) {
            visit::visit_item_fn(self, of);
        }
    }

    /// Who may see an item is no dependency.
    fn visit_vis_restricted(&mut self, _: &'ast syn::VisRestricted) {}

    fn visit_path(&mut self, of: &'ast syn::Path) {
        let written: Vec<String> = of.segments.iter().map(|s| s.ident.to_string()).collect();
        if written.len() > 1 {
            self.name(&written);
        }
        visit::visit_path(self, of);
    }
}
