//! Fields written into a group where they stand, or put into it where they don't.

use std::ops::Range;

use super::bracket::Bracket;
use super::{Edits, Step};

/// A field that is to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldText {
    /// What it is called.
    pub name: &'static str,
    /// Its value as a file says it.
    pub value: String,
    /// Whether it is what holds anyhow: such a field is not put in where it isn't there.
    pub is_usual: bool,
}

/// Where a group takes fields more.
#[derive(Debug)]
pub(super) struct Opening {
    /// Behind the bracket.
    at: usize,
    is_empty: bool,
    /// The line break and the blanks before its first field, where that has a line of its own.
    indent: Option<String>,
    /// What is put in, as it is written.
    new: Vec<String>,
}

impl Opening {
    /// The place with all that is put in there.
    pub(super) fn splice(&self) -> (Range<usize>, String) {
        let new = self.new.iter();
        let text = match &self.indent {
            _ if self.is_empty => self.new.join(", "),
            Some(indent) => new.map(|new| [indent, new, ","].concat()).collect(),
            None => new.map(|new| [new, ", "].concat()).collect(),
        };
        (self.at..self.at, text)
    }
}

/// The fields of a group, by name, with the places of their values.
type Present = Vec<(String, Range<usize>)>;

impl Edits {
    /// Writes fields into the group at a path. Where the group isn't there, a field `group` of the
    /// one around it is put in, that has them. Whether the file has a place for them.
    pub fn put(&mut self, path: &[Step], group: &str, fields: &[FieldText]) -> bool {
        let Some(there) = self.fields_of(path) else {
            let new: Vec<String> = fields.iter().filter(|f| !f.is_usual).map(written).collect();
            let Some((Step::Field(name), around)) = path.split_last() else {
                return false;
            };
            let value = format!("{group}({})", new.join(", "));
            let whole = FieldText {
                name,
                value,
                is_usual: new.is_empty(),
            };
            return self.put(around, "", &[whole]);
        };
        let (mut opening, present) = there;
        for field in fields {
            match present.iter().find(|(name, _)| *name == field.name) {
                Some((_, range)) => self.splices.push((range.clone(), field.value.clone())),
                None if !field.is_usual => opening.new.push(written(field)),
                None => {}
            }
        }
        let mut openings = self.openings.iter_mut();
        match openings.find(|other| other.at == opening.at) {
            Some(other) => other.new.append(&mut opening.new),
            None => self.openings.push(opening),
        }
        true
    }

    fn fields_of(&self, path: &[Step]) -> Option<(Opening, Present)> {
        let (base, text) = (&self.base, self.base.text());
        let group = Bracket::of(base, base.at(path)?)?;
        if group.is_list {
            return None;
        }
        let fields = &group.of.inside;
        let present: Present = (fields.iter())
            .map(|twig| {
                let name = base.key(twig).unwrap_or_default().to_owned();
                (name, twig.value.range.clone())
            })
            .collect();
        let indent = fields.first().and_then(|first| {
            let (_, line) = text[group.open..first.value.range.start].rsplit_once('\n')?;
            let blank = line.len() - line.trim_start().len();
            Some(format!("\n{}", &line[..blank]))
        });
        let opening = Opening {
            at: group.open,
            is_empty: present.is_empty(),
            indent,
            new: Vec::new(),
        };
        Some((opening, present))
    }
}

fn written(field: &FieldText) -> String {
    format!("{}: {}", field.name, field.value)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(name: &'static str, value: &str, is_usual: bool) -> FieldText {
        FieldText {
            name,
            value: value.into(),
            is_usual,
        }
    }

    /// Comments and layout stay; what stands is replaced in its place, what doesn't is put first.
    #[test]
    fn fields_are_written_where_they_stand_or_put_in_first() {
        let put = [
            field("volume", "7", false),
            field("device", "\"Hall\"", false),
            field("motion", "true", true),
        ];
        let inner = [field("to", "Ear", false), field("when", "WhenBlind", true)];
        for (before, after) in [
            (
                "Config()",
                "Config(speech: Speech(to: Ear), volume: 7, device: \"Hall\")",
            ),
            (
                "()",
                "(speech: Speech(to: Ear), volume: 7, device: \"Hall\")",
            ),
            (
                "Config(volume: 3, speech: ())",
                "Config(device: \"Hall\", volume: 7, speech: (to: Ear))",
            ),
            (
                "Config(\n    // loud\n    volume: 3, // (not the bracket)\n    speech: Speech(\n        when: Always,\n    ),\n)",
                "Config(\n    device: \"Hall\",\n    // loud\n    volume: 7, // (not the bracket)\n    speech: Speech(\n        to: Ear,\n        when: WhenBlind,\n    ),\n)",
            ),
            (
                "// Mine.\nConfig(\n    motion: false,\n)\n",
                "// Mine.\nConfig(\n    speech: Speech(to: Ear),\n    volume: 7,\n    device: \"Hall\",\n    motion: true,\n)\n",
            ),
        ] {
            let mut edits = Edits::of("config.ron", before).expect(before);
            assert!(
                edits.put(&[Step::Field("speech")], "Speech", &inner),
                "{before}"
            );
            assert!(edits.put(&[], "Config", &put), "{before}");
            assert_eq!(edits.finish().expect("apart"), after, "{before}");
        }
    }

    #[test]
    fn what_is_no_group_takes_no_field() {
        let mut edits = Edits::of("c", "[1, 2]").expect("a text");
        assert!(!edits.put(&[], "Config", &[field("a", "1", false)]));
    }
}
